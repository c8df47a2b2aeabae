//! The contract's tables of defaults, compared with the code field by field.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Debug;
use std::path::Path;

use handback::{AxisRule, AxisSet, Deflection, Duration, Latches, Policy, Rest};
use handback_host_tests::points;

const HEADS: [&str; 2] = ["| field of the policy |", "| field of an axis rule |"];

/// A field's default as the table writes it, its unit, and its rules.
type Row = (String, String);

fn contract() -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../core/CONTRACT.md");
    std::fs::read_to_string(path).expect("core has a contract")
}

/// The rows below one head, cell by cell.
fn rows(head: &str) -> Vec<Vec<String>> {
    let contract = contract();
    let (_, below) = contract.split_once(head).unwrap_or_else(|| panic!("no table {head}"));
    let lines = below.lines().skip(2).take_while(|line| line.starts_with('|'));
    let cells = |line: &str| line.trim_matches('|').split('|').map(|cell| cell.trim().replace('`', "")).collect();
    lines.map(cells).collect()
}

/// One column of values with its unit: field to default and unit.
fn written(head: &str, value: usize) -> BTreeMap<String, Row> {
    let unit = if head == HEADS[0] { 2 } else { 3 };
    let rows = rows(head);
    let table: BTreeMap<_, _> =
        rows.iter().map(|cells| (cells[0].clone(), (cells[value].clone(), cells[unit].clone()))).collect();
    assert_eq!(table.len(), rows.len(), "a field stands twice below {head}");
    table
}

/// In points: every default is a whole number of them.
fn in_points(deflection: Deflection) -> String {
    let whole = (-200..200).find(|&whole| points(whole) == deflection).expect("a whole number of points");
    whole.to_string()
}

fn in_ms(duration: Duration) -> String {
    assert_eq!(duration.as_ticks() % 1000, 0, "not a whole number of milliseconds");
    (duration.as_ticks() / 1000).to_string()
}

fn or_none<T>(value: Option<T>, say: impl Fn(T) -> String) -> String {
    value.map_or("none".to_owned(), say)
}

fn set<const N: usize>(axes: AxisSet) -> String {
    if axes == AxisSet::first(N) { "all".to_owned() } else { format!("{axes:?}") }
}

fn word(value: impl Debug) -> String {
    format!("{value:?}")
}

fn table<const M: usize>(rows: [(&str, String, &str); M]) -> BTreeMap<String, Row> {
    rows.into_iter().map(|(field, value, unit)| (field.to_owned(), (value, unit.to_owned()))).collect()
}

/// Every field; `every_field_has_a_row` notices a new one.
fn coded<const N: usize>(policy: Policy<N>) -> BTreeMap<String, Row> {
    let Policy {
        axes: _,
        watched,
        shared,
        scope,
        plausible,
        settle,
        dwell,
        fade,
        pickup_max,
        timeout,
        requalify,
        frozen_after,
        failsafe_after,
        late_step,
        off_first_after_loss,
        latches: Latches { lasted, beyond },
        ..
    } = policy;
    table([
        ("watched", set::<N>(watched), "axes"),
        ("shared", set::<N>(shared), "axes"),
        ("scope", word(scope), ""),
        ("plausible", in_points(plausible), "points"),
        ("settle", in_ms(settle), "ms"),
        ("dwell", in_ms(dwell), "ms"),
        ("fade", in_ms(fade), "ms"),
        ("pickup_max", in_ms(pickup_max), "ms"),
        ("timeout", in_ms(timeout), "ms"),
        ("requalify", in_ms(requalify), "ms"),
        ("frozen_after", or_none(frozen_after, in_ms), "ms"),
        ("failsafe_after", in_ms(failsafe_after), "ms"),
        ("late_step", in_ms(late_step), "ms"),
        ("off_first_after_loss", word(off_first_after_loss), ""),
        ("latches.lasted", or_none(lasted, in_ms), "ms"),
        ("latches.beyond", or_none(beyond, in_points), "points"),
    ])
}

/// `failsafe` is the table's entry: a value, or the word 'named'.
fn coded_rule(rule: AxisRule, failsafe: &str) -> BTreeMap<String, Row> {
    let AxisRule { engage, release, confirm, rest, transfer, keep, window, .. } = rule;
    let rest = match rest {
        Rest::At(rest) => format!("At({})", in_points(rest)),
        Rest::WhereLeft { still } => format!("WhereLeft({})", in_ms(still)),
    };
    table([
        ("engage", in_points(engage), "points"),
        ("release", in_points(release), "points"),
        ("confirm", confirm.to_string(), "frames"),
        ("rest", rest, "points; ms"),
        ("transfer", word(transfer), ""),
        ("keep", word(keep), ""),
        ("window", or_none(window, in_points), "points"),
        ("failsafe", failsafe.to_owned(), "points"),
    ])
}

/// Given the contract's table, when it is compared with the policy that `Policy::new` makes, then it has every field
/// with its value and unit, and nothing else.
/// Rules: P1
#[test]
fn the_defaults_of_a_policy_are_those_of_the_contract() {
    let axes = [AxisRule::sprung(); 4];
    assert_eq!(written(HEADS[0], 1), coded(Policy::new(axes)));
    assert_eq!(written(HEADS[0], 1), coded(Policy::new([AxisRule::sprung(); 16])));
    assert_eq!(Policy::new(axes).axes, axes);
}

/// Given the contract's table, when it is compared with a sprung and with an unsprung axis, then it has every field
/// with its value and unit, and nothing else.
/// Rules: P1
#[test]
fn the_defaults_of_an_axis_are_those_of_the_contract() {
    let sprung = AxisRule::sprung();
    assert_eq!(written(HEADS[1], 1), coded_rule(sprung, &in_points(sprung.failsafe)));
    // The named failsafe is the one that the axis has.
    for failsafe in [points(-100), points(0), points(37)] {
        let unsprung = AxisRule::unsprung(failsafe);
        assert_eq!(unsprung.failsafe, failsafe);
        assert_eq!(written(HEADS[1], 2), coded_rule(unsprung, "named"));
    }
    assert!(contract().contains("An unsprung axis has no default failsafe"));
}

/// Given the fields that a policy and an axis rule are stored with, when the contract's tables are read, then each field
/// has its row.
/// Rules: P1
#[test]
fn every_field_has_a_row() {
    let stored = serde_json::to_value(Policy::new([AxisRule::sprung()])).expect("plain data");
    let names = |value: &serde_json::Value, within: &str| -> BTreeSet<String> {
        value.as_object().expect("fields").keys().map(|key| format!("{within}{key}")).collect()
    };
    let mut fields = names(&stored, "");
    fields.retain(|field| field != "axes" && field != "latches");
    fields.extend(names(&stored["latches"], "latches."));
    assert_eq!(fields, written(HEADS[0], 1).into_keys().collect());
    assert_eq!(names(&stored["axes"][0], ""), written(HEADS[1], 1).into_keys().collect());
}

/// Given a default in the contract's tables, when its rules are looked up, then each of them is a rule of the contract
/// that mentions the field.
/// Rules: P1
#[test]
fn every_default_names_rules_that_mention_its_field() {
    let contract = contract();
    let rule = |id: &str| {
        let (_, text) = contract.split_once(&format!("- **{id}**")).unwrap_or_else(|| panic!("no rule {id}"));
        text.split("\n- **").next().unwrap_or_default().to_owned()
    };
    // The contract's own word for a field, where it has one.
    let called = |field: &str| match field {
        "watched" | "shared" => field.to_owned(),
        "scope" => "Scope".to_owned(),
        "rest" => "rest".to_owned(),
        "plausible" => "bad instructor's frame".to_owned(),
        "transfer" => "`Snap`".to_owned(),
        "window" => "`window`".to_owned(),
        "failsafe" => "failsafe frame".to_owned(),
        "latches.lasted" => "`lasted(t)`".to_owned(),
        "latches.beyond" => "`beyond(d)`".to_owned(),
        field => format!("`{field}`"),
    };
    for cells in HEADS.iter().flat_map(|head| rows(head)) {
        let rules = cells.last().expect("a rule");
        for id in rules.split(", ") {
            let called = called(&cells[0]);
            assert!(rule(id).contains(&called), "{id} does not speak of {called}");
        }
    }
}
