//! The sections of the report, in their order.

use std::io::{self, Write};

use handback::{Pilot, Transfer};

use super::Page;
use crate::count::{counted, thousands};
use crate::tally::{Agreement, CAUSES, Distribution, ENDS, FLICKER_US, LONGEST_MS, Misplaced, Tally, Wrong};
use crate::timeline::{Entry, clock, listed, sentence};
use crate::trace::Points;

/// Number of changes listed from the beginning of a long lesson, and from its end.
const LISTED: usize = 20;
const NOT_KNOWN: &str = "not known";

pub(super) fn timeline<W: Write, const N: usize>(page: &mut Page<'_, W>, tally: &Tally<N>) -> io::Result<()> {
    let timeline = &tally.timeline;
    page.line("Who flew, and why")?;
    let Some((began_us, who)) = timeline.began else {
        return page.line("  no step was flown");
    };
    let who = match who {
        Pilot::Nobody => "nobody flies at the start",
        Pilot::Instructor => "instructor flies at the start",
        Pilot::Student(_) => "student flies at the start",
    };
    page.line(&format!("  {:>8}  {who}", clock(began_us)))?;
    let say =
        |entry: &Entry| format!("  {:>8}  {}", clock(entry.time_us), sentence(entry, tally.names(), tally.shared()));
    let kept: Vec<&Entry> = timeline.first().iter().chain(timeline.last()).collect();
    if timeline.is_whole() && kept.len() <= 2 * LISTED {
        return kept.iter().try_for_each(|entry| page.line(&say(entry)));
    }
    let (head, tail) = (&kept[..LISTED], &kept[kept.len() - LISTED..]);
    head.iter().try_for_each(|entry| page.line(&say(entry)))?;
    let left_out = timeline.count().saturating_sub(2 * LISTED as u64);
    page.line(&format!("       ...  {} between {} left out", counted(left_out, "change"), are(left_out)))?;
    tail.iter().try_for_each(|entry| page.line(&say(entry)))
}

pub(super) fn time<W: Write, const N: usize>(page: &mut Page<'_, W>, tally: &Tally<N>) -> io::Result<()> {
    let turns = &tally.turns;
    page.heading("Time")?;
    page.row("lesson", &format!("{}   {}", clock(turns.lasted_us()), counted(turns.steps, "step")))?;
    let share = turns.student_share() * 100.0;
    page.row("student flew", &format!("{}   {share:.1} % of the lesson", clock(turns.student_us)))?;
    page.row("instructor flew", &clock(turns.instructor_us))?;
    page.row("nobody flew", &clock(turns.nobody_us))?;
    let told = |turn: Option<u64>| turn.map_or("none".to_owned(), clock);
    page.row("student flew, times", &thousands(turns.count))?;
    page.row("longest time flying", &told(turns.longest_us()))?;
    page.row("shortest time flying", &told(turns.shortest_us))
}

pub(super) fn takeovers<W: Write, const N: usize>(page: &mut Page<'_, W>, tally: &Tally<N>) -> io::Result<()> {
    let takeovers = &tally.takeovers;
    page.heading(&format!("Takeovers: {}", thousands(takeovers.count)))?;
    by_cause(page, &takeovers.by_cause)?;
    for (name, &count) in tally.names().iter().zip(&takeovers.by_axis).filter(|(_, count)| **count > 0) {
        page.row(&format!("  with {name}"), &thousands(count))?;
    }
    match takeovers.untaken.iter().sum() {
        0 => return Ok(()),
        count => page.heading(&format!("Lost by the student without a takeover: {}", thousands(count)))?,
    }
    by_cause(page, &takeovers.untaken)
}

fn by_cause<W: Write>(page: &mut Page<'_, W>, counts: &[u64]) -> io::Result<()> {
    CAUSES
        .iter()
        .zip(counts)
        .filter(|(_, count)| **count > 0)
        .try_for_each(|(cause, &count)| page.row(&format!("by {cause}"), &thousands(count)))
}

pub(super) fn steadiness<W: Write, const N: usize>(
    page: &mut Page<'_, W>,
    shipped: &Tally<N>,
    plain: &Tally<N>,
) -> io::Result<()> {
    page.heading("Steadiness")?;
    page.columns("", &["this policy".to_owned(), "plain threshold".to_owned()])?;
    let both = |of: fn(&Tally<N>) -> Option<u64>| {
        [shipped, plain].map(|tally| of(tally).map_or(NOT_KNOWN.to_owned(), thousands))
    };
    page.columns("takeovers by stick", &both(|tally| Some(tally.takeovers.by_stick())))?;
    page.columns("false takeovers", &both(|tally| tally.takeovers.false_ones()))?;
    page.columns(&format!("flickers within {} ms", FLICKER_US / 1000), &both(|tally| Some(tally.flickers.count)))?;
    STEADINESS.iter().try_for_each(|line| page.line(&format!("  {line}")))
}

/// The key to the table above.
const STEADINESS: [&str; 3] = [
    "plain threshold: the same policy and rests without dwell and hysteresis",
    "false: a stick took the craft while the simulated instructor did not mean to",
    "flicker: who flies changed and changed back within 300 ms, even where a short touch was meant",
];

pub(super) fn latency<W: Write, const N: usize>(page: &mut Page<'_, W>, tally: &Tally<N>) -> io::Result<()> {
    let latency = &tally.latency;
    page.heading("From the instructor's movement to the craft")?;
    page.row("frames later", &spread(&latency.frames, "movement", |frames| frames.to_string()))?;
    if latency.brushes > 0 {
        page.row("shorter than 'confirm'", &counted(latency.brushes, "movement"))?;
    }
    if latency.unanswered > 0 {
        page.row("*** NEVER FOLLOWED ***", &counted(latency.unanswered, "movement"))?;
    }
    let policy = tally.policy();
    let waits =
        (0..).zip(&policy.axes).any(|(axis, rule)| policy.shared.contains(axis) && rule.transfer == Transfer::Pickup);
    let of_a_wait = if waits { "; for an axis that waits for pickup, at its pilot" } else { "" };
    page.row("measured", &format!("at the output{of_a_wait}"))
}

/// Prints the outputs that waited for their stick (T6).
pub(super) fn pickups<W: Write, const N: usize>(page: &mut Page<'_, W>, tally: &Tally<N>) -> io::Result<()> {
    let pickups = &tally.pickups;
    if pickups.axes.is_empty() {
        return Ok(());
    }
    let names = listed(pickups.axes, tally.names());
    page.heading(&format!("Outputs kept until the instructor's stick picks them up: {names}"))?;
    page.row("waits", &thousands(pickups.count()))?;
    let say = |ms: u64| match usize::try_from(ms) {
        Ok(ms) if ms <= LONGEST_MS => format!("{} ms", thousands(ms as u64)),
        _ => format!("over {} s", LONGEST_MS / 1000),
    };
    if let (Some(median), Some(worst)) = (pickups.lasted_ms.median(), pickups.lasted_ms.max()) {
        page.row("lasted", &format!("median {}   worst {}", say(median), say(worst)))?;
    }
    for (end, &count) in ENDS.iter().zip(&pickups.ended).filter(|(_, count)| **count > 0) {
        page.row(&format!("  {end}"), &thousands(count))?;
    }
    if pickups.open() > 0 {
        page.row("  waiting to the end", &thousands(pickups.open()))?;
    }
    Ok(())
}

/// Prints rests that differ from the policy. It comes early, since a wrong rest makes the other figures worse.
pub(super) fn rests<W: Write, const N: usize>(page: &mut Page<'_, W>, tally: &Tally<N>) -> io::Result<()> {
    let mut misplaced = tally.resting.misplaced().peekable();
    if misplaced.peek().is_none() {
        return Ok(());
    }
    page.heading("HINT: sticks rest where this policy does not expect them, so that they take the craft or keep it")?;
    for Misplaced { axis, rests_at, policy } in misplaced {
        let (name, rests_at) = (&tally.names()[axis], f64::from(rests_at.to_bits()) / 163.84);
        let says = Points(policy);
        page.line(&format!(
            "  {name} rests at {rests_at:.1} points, the policy says {says}: set rest_points = {rests_at:.1}"
        ))?;
    }
    page.line("  `lesson policy` prints a policy to start from; --policy takes it")
}

pub(super) fn height<W: Write, const N: usize>(page: &mut Page<'_, W>, tally: &Tally<N>) -> io::Result<()> {
    let rescues = &tally.rescues;
    page.heading("Height lost, from mistake to recovery")?;
    if !rescues.known {
        return page.row("metres", NOT_KNOWN);
    }
    let metres = |tenths: u64| format!("{}.{}", tenths / 10, tenths % 10);
    page.row("metres", &spread(&rescues.lost_dm, "rescue", metres))?;
    if rescues.unfinished() > 0 {
        page.row("not handed back", &counted(rescues.unfinished(), "rescue"))?;
    }
    Ok(())
}

pub(super) fn signals<W: Write, const N: usize>(page: &mut Page<'_, W>, tally: &Tally<N>) -> io::Result<()> {
    let signals = &tally.signals;
    page.heading("Signals")?;
    page.columns("", &["instructor".to_owned(), "student".to_owned()])?;
    let sides = [signals.instructor, signals.student];
    page.columns("good frames", &sides.map(|side| thousands(side.good)))?;
    page.columns("bad frames", &sides.map(|side| thousands(side.bad)))?;
    page.columns("steps without a frame", &sides.map(|side| thousands(side.missing)))?;
    let losses = signals.losses;
    page.columns("signal lost, times", &[losses.instructor, losses.student].map(thousands))?;
    if losses.unqualified > 0 {
        page.columns("lost before it was good, times", &[String::new(), thousands(losses.unqualified)])?;
    }
    if losses.late_steps > 0 {
        page.row("late steps", &thousands(losses.late_steps))?;
    }
    Ok(())
}

/// Prints whether this build is sound: a line for each kind of error that occurred.
pub(super) fn agreement<W: Write, const N: usize>(page: &mut Page<'_, W>, tally: &Tally<N>) -> io::Result<()> {
    let Agreement { decisions, outputs, unannounced, groundless, misnamed, at_start } = tally.agreement;
    page.heading("Engine and float reference")?;
    if tally.agreement.agrees() {
        let steps = counted(tally.turns.steps, "step");
        page.line(&format!("  agree in every decision and every output, {steps}"))?;
    } else {
        page.line("  *** THE ENGINE AND ITS REFERENCE DISAGREE ***")?;
        tell(page, decisions, "decision", differ(decisions))?;
        tell(page, outputs, "output", differ(outputs))?;
    }
    if !tally.agreement.announces() {
        page.line("  *** THE ENGINE'S ANNOUNCEMENTS ARE WRONG ***")?;
        tell(page, unannounced, "change", "without an announcement")?;
        tell(page, groundless, "announcement", "without a change")?;
        tell(page, misnamed, "announcement", "of another change than the one that happened")?;
        tell(page, at_start, "announcement", "of the start, which must not be announced")?;
    }
    if tally.agreement.is_sound() { Ok(()) } else { page.line("  Do not fly with this build.") }
}

fn differ(wrong: Wrong) -> &'static str {
    if wrong.count == 1 { "differs" } else { "differ" }
}

/// Prints one kind of error, where it occurred.
fn tell<W: Write>(page: &mut Page<'_, W>, wrong: Wrong, what: &str, how: &str) -> io::Result<()> {
    match wrong.count {
        0 => Ok(()),
        count => page.line(&format!("  {} {how}, the first at {}", counted(count, what), clock(wrong.first_us))),
    }
}

/// The minimum, median, maximum and count of a distribution, as text.
fn spread(of: &Distribution, what: &str, say: impl Fn(u64) -> String) -> String {
    match (of.min(), of.median(), of.max()) {
        (Some(min), Some(median), Some(max)) => {
            let (min, median, max) = (say(min), say(median), say(max));
            format!("least {min}   median {median}   worst {max}   of {}", counted(of.count(), what))
        }
        _ => format!("no {what}"),
    }
}

fn are(count: u64) -> &'static str {
    if count == 1 { "is" } else { "are" }
}
