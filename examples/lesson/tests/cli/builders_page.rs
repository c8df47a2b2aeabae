//! The page for builders of a trainer box, held to what the tool prints. Numbers are not compared.

use crate::desk::Desk;
use crate::learn::Bench;
use crate::stand_in::{StandIn, State};

const PAGE: &str = include_str!("../../../trainer-box/README.md");
const COMMAND: &str = "cargo run --release -- ";

/// The text with `#` for each number.
fn without_numbers(text: &str) -> String {
    let mut plain = String::new();
    for c in text.chars() {
        match c {
            '0'..='9' if plain.ends_with('#') => {}
            '0'..='9' => plain.push('#'),
            _ => plain.push(c),
        }
    }
    plain
}

/// What the page shows after the command that begins with this word; `...` stands for what is left out.
fn shown(word: &str) -> Vec<&'static str> {
    let (_, after) = PAGE.split_once(&format!("$ {COMMAND}{word}")).expect(word);
    let block = after.split("```").next().unwrap_or_default().lines().skip(1);
    block.take_while(|line| !line.starts_with('$')).filter(|line| *line != "...").collect()
}

#[track_caller]
fn prints_in_order(said: &str, shown: &[&str]) {
    assert!(shown.len() > 1);
    let said = without_numbers(said);
    let mut lines = said.lines();
    for line in shown {
        assert!(lines.any(|other| other == without_numbers(line)), "not printed, or not in this order: {line}");
    }
}

/// Given two simulated transmitters, when they are learnt, then each line of the page comes, in its order.
#[test]
fn learn_prints_what_the_builders_page_shows() {
    let desk = Desk::new();
    prints_in_order(&desk.put("raw.csv", Bench::sequence().text).run_well(&["learn", "raw.csv"]), &shown("learn"));
}

/// Given a box without a file, when one is written to it, then each line of the page comes, but the question.
#[test]
fn box_write_prints_what_the_builders_page_shows() {
    let (desk, stand_in) = (Desk::new(), StandIn::new(State::default()));
    desk.put("box.toml", desk.run_well(&["policy", "--box"]));
    let said = desk.run_well(&["box", "write", &stand_in.port, "box.toml", "--yes"]);
    let mut shown = shown("box write");
    shown.retain(|line| !["Write it? Type yes:", "yes"].contains(line));
    prints_in_order(&said, &shown);
}

/// Given the commands of the page, when their help is asked for, then each is a command; and the check of a simulated
/// bench ends as the page says.
#[test]
fn each_command_of_the_builders_page_is_one() {
    let desk = Desk::new();
    let mut commands = 0;
    for after in PAGE.split(COMMAND).skip(1) {
        let word = after.split_whitespace().next().expect("a command");
        desk.run_well(&[word, "--help"]);
        commands += 1;
    }
    assert_eq!(commands, 5);
    let run = desk.run(&["preflight", "--fault", "reversed:aileron"]);
    assert!(PAGE.contains("`FAILED: 39 of 40 steps passed`"));
    assert!(run.out.contains("FAILED: 39 of 40 steps passed"), "{run:?}");
}
