//! The table: the delay part by part, and what it costs in height and distance. Plain text, at most 100 columns.

use std::io::{self, Write};

use super::delay::{Delay, Part, Reaction, Wait};
use super::fall::{Flight, Lift, distance_m};
use super::{Cost, Question};

/// Where the columns begin, and how wide each is.
const LABEL: usize = 38;
const COLUMN: usize = 9;

/// Prints the whole table.
pub(crate) fn print(out: &mut impl Write, question: &Question) -> io::Result<()> {
    delay(out, question)?;
    for &dive_deg in &question.dives {
        if dive_deg > 0.0 { dive(out, question, dive_deg)? } else { level(out, question)? }
    }
    distance(out, question)?;
    reactions(out, question)?;
    writeln!(out, "\nHow to read it")?;
    NOTES.iter().try_for_each(|line| writeln!(out, "  {line}"))
}

const NOTES: [&str; 11] = [
    "The craft flies on as it did while nobody corrects it. Distance = speed x time. Height lost =",
    "  speed x sin(dive) x time + 1/2 g cos(dive)^2 (1 - cos(bank)) x time^2, g = 9.80665 m/s^2:",
    "  the lift stays as large as it was and is tilted by the bank. No lift: 1/2 g x time^2 instead.",
    "The fall is the square of the time: the later the human, the dearer the same frame.",
    "~ the path has bent by more than 27 degrees by then: an order of size for a wing, no more.",
    "Not in it: the recovery, the student's sticks meanwhile, wind, frames lost or bad, the fade, a",
    "  throttle that waits for its stick. A push on the elevator goes down faster than any of this.",
    "Reactions: watching is common practice, no source; rotorcraft is the least delay of a pilot's",
    "  action in 14 CFR 27.143(e) and 29.143(e): 1 s, or normal pilot reaction, if longer; road the",
    "  brake reaction of AASHTO, 2.5 s. Borrowed figures, and no claim that anything here conforms to",
    "  them: measure your own.",
];

fn delay(out: &mut impl Write, question: &Question) -> io::Result<()> {
    let delay = &question.delay;
    heading(out, "The delay, in milliseconds", &["mean".into(), "worst".into()])?;
    let mut part = |label: &str, Wait { mean_s, worst_s }: Wait| {
        row(out, label, [mean_s, worst_s].map(|s| format!("{:.2}", s * 1e3)))
    };
    let whose = question.reaction.map_or("as given", Reaction::words);
    let human = Wait { mean_s: delay.reaction_s, worst_s: delay.reaction_s };
    part(&format!("human: {whose}"), human)?;
    for of in Part::ALL {
        let wait = delay.part(of);
        if of != Part::OutputFrame || wait.worst_s > 0.0 {
            part(&part_words(of, delay), wait)?;
        }
    }
    part("electronics, together", delay.electronics())?;
    part("human and electronics", delay.whole())?;
    let Wait { worst_s, .. } = delay.whole();
    let share = if worst_s > 0.0 { delay.electronics().worst_s / worst_s * 100.0 } else { 0.0 };
    writeln!(out, "  of it electronics, at worst: {share:.0} %. All that follows is at worst.")
}

/// What a part is called.
pub(crate) fn part_words(part: Part, delay: &Delay) -> String {
    match (part, delay.confirm) {
        (Part::NextFrame, _) => format!("the next frame, every {} ms", short(delay.frame_s * 1e3)),
        (Part::Confirm, 1) => "confirm 1: no further frame".into(),
        (Part::Confirm, 2) => "confirm 2: 1 more frame".into(),
        (Part::Confirm, frames) => format!("confirm {frames}: {} more frames", frames - 1),
        (Part::Link, _) => "links, box and servo".into(),
        (Part::OutputFrame, _) => format!("the next frame out, every {} ms", short(delay.output_frame_s * 1e3)),
    }
}

fn level(out: &mut impl Write, question: &Question) -> io::Result<()> {
    heading(out, "Height lost in level flight, metres", &lift_names(question))?;
    let costs: Vec<Cost> = question
        .lifts()
        .map(|lift| Cost::of(&question.delay, |after_s| Flight::level(lift).height_lost_m(after_s)))
        .collect();
    shares(out, &costs)?;
    let worst_s = question.delay.whole().worst_s;
    let rough =
        |speed_m_s: f64| question.lifts().any(|lift| Flight { speed_m_s, dive_deg: 0.0, lift }.is_rough(worst_s));
    if let Some(fastest) = question.speeds.iter().rev().find(|speed| rough(**speed)) {
        writeln!(out, "  ~ at {} m/s and slower, in the steepest bank", short(*fastest))?;
    }
    Ok(())
}

fn dive(out: &mut impl Write, question: &Question, dive_deg: f64) -> io::Result<()> {
    heading(out, &format!("Height lost, dive {} degrees, metres", short(dive_deg)), &lift_names(question))?;
    let worst_s = question.delay.whole().worst_s;
    let flights = |speed_m_s| question.lifts().map(move |lift| Flight { speed_m_s, dive_deg, lift });
    for &speed in &question.speeds {
        let cells = flights(speed).map(|flight| {
            let mark = if flight.is_rough(worst_s) { "~" } else { "" };
            format!("{mark}{}", metres(flight.height_lost_m(worst_s)))
        });
        row(out, &format!("human and electronics, {} m/s", short(speed)), cells)?;
    }
    let Some(&fastest) = question.speeds.last() else { return Ok(()) };
    let costs: Vec<Cost> =
        flights(fastest).map(|flight| Cost::of(&question.delay, |after_s| flight.height_lost_m(after_s))).collect();
    row(
        out,
        &format!("  of it electronics, {} m/s", short(fastest)),
        costs.iter().map(|cost| metres(cost.electronics())),
    )?;
    row(
        out,
        &format!("one more frame of confirm, {} m/s", short(fastest)),
        costs.iter().map(|cost| fine(cost.one_more_frame)),
    )
}

fn distance(out: &mut impl Write, question: &Question) -> io::Result<()> {
    let names: Vec<String> =
        question.speeds.iter().map(|&speed| fitting(format!("{} m/s", short(speed)), speed)).collect();
    heading(out, "Distance flown on, metres", &names)?;
    let costs: Vec<Cost> =
        question.speeds.iter().map(|&speed| Cost::of(&question.delay, |after_s| distance_m(speed, after_s))).collect();
    shares(out, &costs)
}

/// Level flight once more, with the reactions that are known here.
fn reactions(out: &mut impl Write, question: &Question) -> io::Result<()> {
    heading(out, "Height lost in level flight, by reaction", &lift_names(question))?;
    for reaction in Reaction::ALL {
        let delay = Delay { reaction_s: reaction.seconds(), ..question.delay };
        let cells = question.lifts().map(|lift| metres(Flight::level(lift).height_lost_m(delay.whole().worst_s)));
        row(out, &format!("{} ms: {}", short(delay.reaction_s * 1e3), reaction.words()), cells)?;
    }
    Ok(())
}

/// Whose the metres are.
fn shares(out: &mut impl Write, costs: &[Cost]) -> io::Result<()> {
    row(out, "human alone", costs.iter().map(|cost| metres(cost.human)))?;
    row(out, "electronics add", costs.iter().map(|cost| metres(cost.electronics())))?;
    row(out, "human and electronics", costs.iter().map(|cost| metres(cost.whole)))?;
    row(out, "one more frame of confirm would add", costs.iter().map(|cost| fine(cost.one_more_frame)))
}

fn lift_names(question: &Question) -> Vec<String> {
    question
        .lifts()
        .map(|lift| match lift {
            Lift::Banked(deg) => fitting(format!("bank {}", short(deg)), deg),
            Lift::None => "no lift".into(),
        })
        .collect()
}

/// The name of a column, or the number alone where the column is too narrow for it.
fn fitting(name: String, number: f64) -> String {
    if name.len() <= COLUMN { name } else { short(number) }
}

/// A heading over columns, after an empty line.
fn heading(out: &mut impl Write, words: &str, columns: &[String]) -> io::Result<()> {
    writeln!(out)?;
    line(out, words, LABEL + 2, columns.iter().cloned())
}

fn row(out: &mut impl Write, label: &str, cells: impl IntoIterator<Item = String>) -> io::Result<()> {
    line(out, &format!("  {label}"), LABEL + 2, cells)
}

fn line(out: &mut impl Write, label: &str, width: usize, cells: impl IntoIterator<Item = String>) -> io::Result<()> {
    let cells: Vec<String> = cells.into_iter().map(|cell| format!(" {cell:>COLUMN$}")).collect();
    writeln!(out, "{}", format!("{label:width$}{}", cells.concat()).trim_end())
}

/// Centimetres, or metres where there are thousands, with room behind so that the points stand below each other.
fn metres(value: f64) -> String {
    if value < 1000.0 { format!("{value:.2} ") } else { format!("{value:.0}    ") }
}

fn fine(value: f64) -> String {
    format!("{value:.3}")
}

/// A number as the user wrote it, near enough.
pub(crate) fn short(value: f64) -> String {
    format!("{}", (value * 1e3).round() / 1e3)
}

#[cfg(test)]
mod tests;
