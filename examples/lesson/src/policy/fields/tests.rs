//! The table of fields against the library, the contract, the C interface and the printed default file.

use std::collections::{BTreeMap, BTreeSet};

use super::*;
use crate::policy::file::keys::{TABLES, Table};
use crate::policy::print_c::CPolicy;
use crate::policy::print_rust::RustPolicy;
use crate::policy::wiring::{CHANNEL, CUE, CUES, TRAIN_IN, TRAIN_OUT, bare_box};
use crate::policy::{DEFAULT, default_box};

/// The path in a policy and the rules of each row.
fn rows() -> BTreeMap<String, String> {
    let whole = whole::<1>().map(|field| (field.name.to_owned(), field.rules.to_owned()));
    let latches = LATCHES.map(|field| (format!("latches.{}", field.name), field.rules.to_owned()));
    let axis = AXIS.map(|field| (format!("axis.{}", field.name), field.rules.to_owned()));
    whole.into_iter().chain(latches).chain(axis).collect()
}

fn all() -> Policy<1> {
    let mut policy = Policy::new([AxisRule::sprung()]);
    policy.frozen_after = Some(Duration::from_millis(1));
    policy.latches.lasted = Some(Duration::from_millis(1));
    policy.latches.beyond = Some(Deflection::FULL);
    policy.axes[0].window = Some(Deflection::FULL);
    policy
}

/// Given a policy in which nothing is none, when serde writes it, then each of its fields is a row of the table, and
/// each row is one of its fields.
#[test]
fn every_field_of_a_policy_is_a_row_of_the_table() {
    let mut whole = toml::Table::try_from(all()).unwrap();
    let latches = whole.remove("latches").unwrap();
    let axis = whole.remove("axes").unwrap()[0].clone();
    let of = |prefix: &str, table: &toml::Table| table.keys().map(|key| format!("{prefix}{key}")).collect::<Vec<_>>();
    let axis = of("axis.", axis.as_table().unwrap());
    let fields = [of("", &whole), of("latches.", latches.as_table().unwrap()), axis].concat();
    assert_eq!(rows().into_keys().collect::<Vec<_>>(), BTreeSet::from_iter(fields).into_iter().collect::<Vec<_>>());
}

/// Given a policy in which serde changes one field, when both are printed as Rust, then only the assignment of the
/// field of that name differs.
#[test]
fn the_way_of_a_row_leads_to_the_field_of_its_name() {
    let assignments = |policy: &Policy<1>| {
        let text = RustPolicy { policy, names: &["roll".to_owned()], around: None }.to_string();
        text.lines().filter(|line| line.starts_with("    policy.")).map(str::to_owned).collect::<Vec<_>>()
    };
    let written = toml::Table::try_from(all()).unwrap();
    for (path, _) in rows() {
        let mut changed = written.clone();
        let name = path.rsplit('.').next().unwrap();
        let (value, place) = match path.split('.').next().unwrap() {
            "latches" => (&mut changed["latches"][name], format!("policy.latches.{name}")),
            "axis" => (&mut changed["axes"][0][name], format!("policy.axes[0].{name}")),
            _ => (&mut changed[name], format!("policy.{name}")),
        };
        *value = another(value);
        let (before, after) = (assignments(&all()), assignments(&changed.try_into().unwrap()));
        let differ = after.iter().zip(&before).filter(|(after, before)| after != before).collect::<Vec<_>>();
        assert!(differ.len() == 1 && differ[0].0.starts_with(&format!("    {place} = ")), "{place}: {differ:?}");
    }
}

/// A value of the same kind that differs.
fn another(value: &toml::Value) -> toml::Value {
    match value {
        toml::Value::Integer(number) => (number ^ 1).into(),
        toml::Value::Boolean(flag) => (!flag).into(),
        toml::Value::String(word) if word == "Craft" => "Axis".into(),
        toml::Value::String(word) if word == "Snap" => "Pickup".into(),
        toml::Value::Table(time) if time.contains_key("ticks") => {
            toml::Value::try_from(Duration::from_millis(77)).unwrap()
        }
        toml::Value::Table(_) => toml::Value::try_from(Rest::At(Deflection::FULL)).unwrap(),
        other => panic!("{other}"),
    }
}

/// Given the tables of defaults in `core/CONTRACT.md`, when their rows are read, then they are the rows of this table,
/// with the same rules.
#[test]
fn the_contract_names_the_same_fields_and_rules() {
    let contract = include_str!("../../../../../core/CONTRACT.md");
    let defaults = contract.split_once("## Defaults").unwrap().1;
    let mut prefix = "";
    let mut told = BTreeMap::new();
    for line in defaults.lines().filter(|line| line.starts_with('|')) {
        let cells = line.trim_matches('|').split('|').map(str::trim).collect::<Vec<_>>();
        match (cells[0], cells.last()) {
            ("field of an axis rule", _) => prefix = "axis.",
            (name, Some(rules)) if name.starts_with('`') => {
                told.insert(format!("{prefix}{}", name.trim_matches('`')), (*rules).to_owned());
            }
            _ => {}
        }
    }
    assert_eq!(rows(), told);
}

/// Given the printed default file, when its keys are read, those that are commented out too, then they are the keys
/// that a policy file may have.
#[test]
fn the_keys_are_those_of_the_printed_file() {
    let mut here = Table::Whole;
    let mut shown = BTreeSet::new();
    for line in DEFAULT.lines().filter(|line| !line.is_empty()) {
        here = TABLES.into_iter().find(|table| table.header() == line).unwrap_or(here);
        let key = line.trim_start_matches("# ").split_once(" = ").map_or("", |(key, _)| key);
        if !key.is_empty() && key.bytes().all(|byte| byte.is_ascii_lowercase() || byte == b'_') {
            shown.insert((here.header(), key));
        }
    }
    let tables = [Table::Whole, Table::Latches, Table::Axis].into_iter();
    let known = tables.flat_map(|table| table.keys().into_iter().map(move |key| (table.header(), key)));
    assert_eq!(shown, known.collect());
}

/// Given the printed default box, when its keys are read, those that are commented out and those of inline tables too,
/// then every key of every table of a box is among them, and no other.
#[test]
fn the_keys_of_a_box_are_those_of_the_printed_box() {
    let of_policy: BTreeSet<_> = [Table::Whole, Table::Latches, Table::Axis].iter().flat_map(|it| it.keys()).collect();
    let of_box: BTreeSet<_> = TABLES.iter().flat_map(|table| table.keys()).collect();
    let all = of_box.difference(&of_policy).copied().collect::<BTreeSet<_>>();
    let text = default_box();
    let words = text.split(|c: char| !(c.is_ascii_lowercase() || c == '_')).collect::<Vec<_>>();
    let shown = all.iter().copied().filter(|key| text.contains(&format!("{key} = "))).collect::<BTreeSet<_>>();
    assert_eq!(shown, all);
    for key in words.iter().filter(|word| word.ends_with("_us") || word.ends_with("_ms")) {
        assert!(of_box.contains(key) || of_policy.contains(key), "{key}");
    }
}

/// Given a box in which nothing is none, when serde writes it, then each of its fields is a row of a table, and each
/// row is one of its fields.
#[test]
fn every_field_of_a_box_is_a_row_of_a_table() {
    let names = |fields: &toml::Value| fields.as_table().unwrap().keys().cloned().collect::<BTreeSet<_>>();
    let of = |names: Vec<&str>| names.into_iter().map(str::to_owned).collect::<BTreeSet<_>>();
    let mut plan = bare_box(all(), &["roll".to_owned()]);
    let mut channel = handback::Channel::pulse(0);
    (channel.limit_below, channel.limit_above) = (Some(Deflection::FULL), Some(Deflection::FULL));
    plan.instructor.axes[0] = Some(channel);
    plan.instructor_train.channels = Some(8);
    plan.craft_train.channels = Some(8);
    plan.cues.taken.phrase = Some(Phrase { slot: 1, lasts: Duration::from_millis(1) });
    let written = toml::Value::try_from(plan).unwrap();
    let row = |fields: &[&'static str]| of(fields.to_vec());
    assert_eq!(names(&written["instructor_train"]), row(&TRAIN_IN.map(|field| field.name)));
    assert_eq!(names(&written["craft_train"]), row(&TRAIN_OUT.map(|field| field.name)));
    assert_eq!(names(&written["instructor"]["axes"][0]), row(&CHANNEL.map(|field| field.name)));
    assert_eq!(names(&written["cues"]["taken"]), row(&CUE.map(|field| field.name)));
    let cues = handback::cue::Cue::ALL.map(handback::cue::Cue::name).into_iter().chain(CUES.map(|field| field.name));
    assert_eq!(names(&written["cues"]), of(cues.collect()));
}

/// Given the header of the C interface, when its members are read, then a printed policy sets each of them.
#[test]
fn every_member_of_the_c_structures_is_printed() {
    let header = include_str!("../../../../../core/c/include/handback.h");
    let names = ["roll".to_owned()];
    let printed = CPolicy { policy: &all(), names: &names, is_box: false }.to_string();
    for structure in ["handback_policy", "handback_axis_rule"] {
        let body = header.split_once(&format!("typedef struct {structure} {{")).unwrap().1;
        let body = body.split_once('}').unwrap().0;
        let members = body.lines().filter_map(|line| line.trim().strip_suffix(';')).collect::<Vec<_>>();
        assert!(members.len() > 8, "{members:?}");
        for member in members {
            let name = member.rsplit(' ').next().unwrap().split('[').next().unwrap();
            assert!(printed.contains(&format!(".{name} = ")), "{name}");
        }
    }
}
