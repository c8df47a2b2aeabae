//! The tables: fault against outcome.

use std::fmt::Write;

use crate::fault::{CATALOGUE, Fault};
use crate::hazard::Hazard;
use crate::plan::{SINGLES, faults_of};
use crate::tally::{Row, Tally};

const HEAD: &str = "| lessons | flew | lost | nobody | no change | again |";
const RULE: &str = "|--:|--:|--:|--:|--:|--:|";

/// Each fault alone.
pub(crate) fn singles(tally: &Tally) -> String {
    let mut text =
        format!("| fault {HEAD} worst time | from stick to craft | worst time, any policy |\n|---{RULE}--:|--:|--:|\n");
    for (n, row) in tally.rows.iter().take(SINGLES).enumerate() {
        let (name, hazard) = match n.checked_sub(1).map(|n| &CATALOGUE[n]) {
            Some(entry) => (entry.name, entry.hazard),
            None => ("none", Hazard::Stick),
        };
        let of = |worst: &[Option<u64>], hazard: Hazard| time(worst[hazard as usize]);
        let _ = writeln!(
            text,
            "| {name} | {} | {} | {} | {} |",
            counts(row),
            of(&row.worst_default, hazard),
            of(&row.worst_default, Hazard::Stick),
            of(&row.worst, hazard)
        );
    }
    text
}

/// Each pair.
pub(crate) fn pairs(tally: &Tally) -> String {
    let mut text = format!("| fault | and fault {HEAD} worst times |\n|---|---{RULE}--:|\n");
    for (n, row) in tally.rows.iter().enumerate().skip(SINGLES) {
        let entries: Vec<_> = faults_of(n).into_iter().map(Fault::entry).collect();
        let times: Vec<String> = entries.iter().map(|entry| time(row.worst_default[entry.hazard as usize])).collect();
        let names: Vec<&str> = entries.iter().map(|entry| entry.name).collect();
        let _ = writeln!(text, "| {} | {} | {} |", names.join(" | "), counts(row), times.join(" and "));
    }
    text
}

/// Each fault, what it is, and what is safe then.
pub(crate) fn catalogue() -> String {
    let mut text = String::from("| fault | what happens | safe output |\n|---|---|---|\n");
    for entry in &CATALOGUE {
        let _ = writeln!(text, "| {} | {} | {} |", entry.name, entry.what, entry.hazard.safe_output());
    }
    text
}

fn counts(row: &Row) -> String {
    let counts = [row.lessons, row.flew, row.lost, row.nobody, row.unchanged, row.back];
    counts.map(|count| count.to_string()).join(" | ")
}

/// Milliseconds, rounded up to a hundredth.
fn time(us: Option<u64>) -> String {
    us.map_or("–".into(), |us| {
        let hundredths = us.div_ceil(10);
        format!("{}.{:02} ms", hundredths / 100, hundredths % 100)
    })
}
