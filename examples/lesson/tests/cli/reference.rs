//! The page of commands and formats, `REFERENCE.md`, held to what the tool says itself.

use std::collections::BTreeSet;

use crate::desk::Desk;

const PAGE: &str = include_str!("../../REFERENCE.md");

/// The words of a text that are options: two dashes and a name.
fn options(text: &str) -> BTreeSet<&str> {
    let words = text.split(|c: char| !(c.is_ascii_alphanumeric() || c == '-'));
    words.filter(|word| word.starts_with("--") && word.len() > 2).collect()
}

/// Given each command, when its help and its row of the page are compared, then both name the same options.
#[test]
fn the_page_names_every_option_of_every_command_and_no_other() {
    let desk = Desk::new();
    for command in ["fly", "replay", "tune", "record", "learn", "box", "debrief", "policy", "preflight", "cost"] {
        let help = desk.run_well(&[command, "--help"]);
        // Where an option begins its line it is declared; elsewhere it is mentioned.
        let declared: BTreeSet<&str> = help
            .lines()
            .filter_map(|line| line.trim_start().trim_start_matches("-h, ").split_whitespace().next())
            .filter(|word| word.starts_with("--") && *word != "--help")
            .collect();
        let row = PAGE.lines().find(|line| line.starts_with(&format!("| `{command}"))).expect(command);
        assert_eq!(options(row.rsplit_once(" | ").expect("a last column").1), declared, "{command}");
    }
}
