//! `RULES.md`, the table of the rules and the tests that show them: built from the sources, compared with the contract.
//!
//! A test names its rules in the last line of its doc comment: `/// Rules: T1, T3`.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::{env, fs};

const TABLE: &str = "RULES.md";

/// A test: its file and name, and the rules that it names.
struct Cited {
    place: String,
    rules: Vec<String>,
}

fn here() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// Every source below a folder, ordered by name.
fn sources(folder: &Path) -> Vec<PathBuf> {
    let entries = fs::read_dir(folder).unwrap_or_else(|why| panic!("{}: {why}", folder.display()));
    let mut paths: Vec<PathBuf> = entries.map(|entry| entry.expect("an entry").path()).collect();
    paths.sort();
    let below = |path: PathBuf| if path.is_dir() { sources(&path) } else { vec![path] };
    paths.into_iter().flat_map(below).filter(|path| path.extension().is_some_and(|kind| kind == "rs")).collect()
}

/// The tests of one source. A test without a `Rules:` line has no rules.
fn tests(path: &Path) -> Vec<Cited> {
    let source = fs::read_to_string(path).unwrap_or_else(|why| panic!("{}: {why}", path.display()));
    let file = path.strip_prefix(here()).expect("below this crate").display().to_string();
    let (mut found, mut rules, mut is_test) = (Vec::new(), Vec::new(), false);
    for line in source.lines().map(str::trim) {
        if let Some(list) = line.strip_prefix("/// Rules:") {
            rules = list.split(',').map(|rule| rule.trim().to_owned()).collect();
        } else if line == "#[test]" {
            is_test = true;
        } else if line.starts_with("#[ignore") {
            // An ignored test shows no rule.
            is_test = false;
        } else if let Some(name) = line.strip_prefix("fn ") {
            let name = name.split('(').next().unwrap_or_default();
            // The rules of a helper do not pass to the next test.
            let rules = std::mem::take(&mut rules);
            if std::mem::take(&mut is_test) {
                found.push(Cited { place: format!("{file}: {name}"), rules });
            }
        }
    }
    found
}

fn all_tests() -> Vec<Cited> {
    sources(&here().join("tests")).iter().flat_map(|path| tests(path)).collect()
}

/// The ids of the contract's rules, in its order.
fn contract() -> Vec<String> {
    let contract = fs::read_to_string(here().join("../core/CONTRACT.md")).expect("core has a contract");
    let rules = contract.lines().filter_map(|line| line.strip_prefix("- **")?.split_once("**"));
    let is_id =
        |id: &str| id.len() >= 2 && id.starts_with(|c: char| c.is_ascii_uppercase()) && id[1..].parse::<u8>().is_ok();
    rules.filter(|(id, _)| is_id(id)).map(|(id, _)| id.to_owned()).collect()
}

/// The tests that show each rule.
fn table() -> BTreeMap<String, BTreeSet<String>> {
    let mut table = BTreeMap::new();
    for test in all_tests() {
        for rule in test.rules {
            let tests: &mut BTreeSet<String> = table.entry(rule).or_default();
            tests.insert(test.place.clone());
        }
    }
    table
}

/// The file that keeps each rule: the one whose first lines have it in a line `//! Rules: T5, H1`.
fn homes() -> BTreeMap<String, Vec<String>> {
    let core = here().join("../core/src");
    let mut homes = BTreeMap::new();
    for path in sources(&core) {
        let source = fs::read_to_string(&path).unwrap_or_else(|why| panic!("{}: {why}", path.display()));
        let file = path.strip_prefix(&core).expect("below core").display().to_string();
        let lists =
            source.lines().take_while(|line| line.starts_with("//!")).filter_map(|l| l.strip_prefix("//! Rules: "));
        for rule in lists.flat_map(|list| list.split(", ")) {
            let files: &mut Vec<String> = homes.entry(rule.to_owned()).or_default();
            files.push(file.clone());
        }
    }
    homes
}

fn as_text(ids: &[String], table: &BTreeMap<String, BTreeSet<String>>) -> String {
    let homes = homes();
    let mut text = String::from(
        "# Rules, the file that keeps each, and the tests that show it\n\n\
         Generated from the `Rules:` lines of the tests; `UPDATE_RULES=1 cargo test -p handback-host-tests rule_table` \
         writes it again.\nThe rules themselves are in `core/CONTRACT.md`.\n",
    );
    for id in ids {
        let tests = table.get(id).into_iter().flatten();
        let home = homes.get(id).map_or_else(String::new, |files| files.join(", "));
        writeln!(text, "\n## {id}: `core/src/{home}`\n").expect("a string takes everything");
        for test in tests {
            let (file, name) = test.split_once(": ").expect("a place");
            writeln!(text, "- {} (`{file}`)", name.replace('_', " ")).expect("a string takes everything");
        }
    }
    text
}

/// Given the contract, when the tests are read, then every rule has a test and no test names an unknown rule.
#[test]
fn every_rule_has_a_test_and_no_test_names_an_unknown_rule() {
    let ids = contract();
    assert!(ids.len() >= 30, "the contract has rules: {ids:?}");
    let table = table();
    let known: BTreeSet<&String> = ids.iter().collect();
    let without: Vec<&&String> = known.iter().filter(|id| !table.contains_key(**id)).collect();
    assert!(without.is_empty(), "no test shows {without:?}");
    for (rule, tests) in &table {
        assert!(known.contains(rule), "{rule} is not in core/CONTRACT.md, but named by {tests:?}");
    }
}

/// Given the contract, when the first lines of the crate's files are read, then each rule is at home in one file.
#[test]
fn every_rule_is_at_home_in_one_file() {
    let homes = homes();
    for id in contract() {
        let files = homes.get(&id).map_or(&[][..], Vec::as_slice);
        assert_eq!(files.len(), 1, "{id} is kept by {files:?}: one file has it in a line `//! Rules: ...`");
    }
    let unknown: Vec<&String> = homes.keys().filter(|id| !contract().contains(id)).collect();
    assert!(unknown.is_empty(), "no rules of the contract: {unknown:?}");
}

/// Given the tests of the contract, when they are read, then each names a rule.
#[test]
fn every_test_of_the_contract_names_a_rule() {
    let about_rules =
        |test: &&Cited| test.place.starts_with("tests/contract/") && !test.place.contains("rule_table.rs");
    let tests = all_tests();
    let silent: Vec<&String> =
        tests.iter().filter(about_rules).filter(|t| t.rules.is_empty()).map(|t| &t.place).collect();
    assert!(silent.is_empty(), "without a line `/// Rules: ...`: {silent:#?}");
}

/// Given the committed table, when it is built again, then it is the same.
#[test]
fn the_committed_table_is_up_to_date() {
    let text = as_text(&contract(), &table());
    let path = here().join(TABLE);
    if env::var_os("UPDATE_RULES").is_some() {
        fs::write(&path, &text).unwrap_or_else(|why| panic!("{}: {why}", path.display()));
    }
    let committed = fs::read_to_string(&path).unwrap_or_default();
    let line = committed.lines().zip(text.lines()).take_while(|(old, new)| old == new).count() + 1;
    assert!(
        committed == text,
        "{TABLE} differs from the tests from line {line} on: run \
         `UPDATE_RULES=1 cargo test -p handback-host-tests rule_table` and commit it"
    );
}
