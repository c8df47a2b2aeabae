//! Reads what a box sent, and takes its decisions once more: a small reader of its own, for tests.
#![allow(dead_code)] // each user needs a part

use handback::{CheckedPolicy, Deflection, Engine, Frame, Inputs, Instant, Outcome};
use outcome_digest::{Crc32, OutcomeBytes};

/// What a text of the wire holds.
#[derive(Debug, Default)]
pub(crate) struct Replayed {
    pub(crate) rows: u64,
    pub(crate) recordings: u64,
    /// The rows that the box could not send.
    pub(crate) missing: u64,
    /// Rows after a missing one, until the next recording: they cannot be compared.
    pub(crate) not_compared: u64,
    /// Steps in which the student flew.
    pub(crate) student: u64,
    pub(crate) messages: Vec<String>,
    pub(crate) last_us: u64,
}

/// One row of a trace.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Read<const N: usize> {
    pub(crate) time_us: u64,
    pub(crate) lesson_switch: bool,
    pub(crate) instructor_now: bool,
    pub(crate) sides: [Option<Frame<N>>; 2],
    pub(crate) check: u32,
}

/// Replays a text of one trace. Fails with the first line that is none, or whose decision was another one.
pub(crate) fn replay<const N: usize>(text: &str, policy: &CheckedPolicy<N>) -> Result<Replayed, String> {
    let mut done = Replayed::default();
    let mut flight = Some((Engine::new(policy), Crc32::new()));
    let mut header = false;
    for (number, line) in text.lines().enumerate() {
        let wrong = |what: &str| format!("line {}: {what}: {line:?}", number + 1);
        if let Some(message) = line.strip_prefix("# ") {
            if message == "recording" {
                flight = Some((Engine::new(policy), Crc32::new()));
                done.recordings += 1;
            } else if let Some(count) = message.strip_prefix("missing ") {
                let count = count.strip_suffix(" rows").and_then(|count| count.parse::<u64>().ok());
                done.missing += count.ok_or_else(|| wrong("no count of rows"))?;
                flight = None;
            }
            done.messages.push(message.to_owned());
        } else if line.starts_with("time_us,") {
            if core::mem::replace(&mut header, true) {
                return Err(wrong("a second header"));
            }
        } else {
            let row = row::<N>(line).filter(|_| header).ok_or_else(|| wrong("no row"))?;
            if row.time_us < done.last_us {
                return Err(wrong("the time goes back"));
            }
            (done.last_us, done.rows) = (row.time_us, done.rows + 1);
            let Some((engine, check)) = &mut flight else {
                done.not_compared += 1;
                continue;
            };
            let outcome = row.fly(engine);
            OutcomeBytes::of(&outcome).digest(check);
            if check.value() != row.check {
                return Err(wrong(&format!("the decision here has the check value {:08x}", check.value())));
            }
            done.student += u64::from(!outcome.pilot.student().is_empty());
        }
    }
    Ok(done)
}

impl<const N: usize> Read<N> {
    fn fly(&self, engine: &mut Engine<N, &CheckedPolicy<N>>) -> Outcome<N> {
        let low = u32::try_from(self.time_us & u64::from(u32::MAX)).expect("32 bits");
        let [instructor, student] = self.sides.each_ref().map(Option::as_ref);
        let Self { lesson_switch, instructor_now, .. } = *self;
        engine.step(Instant::from_ticks(low), Inputs { instructor, student, lesson_switch, instructor_now })
    }
}

/// The row in this line; `None` where it is none.
pub(crate) fn row<const N: usize>(line: &str) -> Option<Read<N>> {
    let cells: Vec<&str> = line.split(',').collect();
    let [time_us, switch, now, sticks @ .., check] = cells.as_slice() else { return None };
    if sticks.len() != 2 * N || check.len() != 8 {
        return None;
    }
    let on = |cell: &str| match cell {
        "0" => Some(false),
        "1" => Some(true),
        _ => None,
    };
    let (instructor, student) = sticks.split_at(N);
    Some(Read {
        time_us: time_us.parse().ok()?,
        lesson_switch: on(switch)?,
        instructor_now: on(now)?,
        sides: [side(instructor)?, side(student)?],
        check: u32::from_str_radix(check, 16).ok()?,
    })
}

/// The frame of these cells, or that none came: all are filled, or none.
#[allow(clippy::option_option)] // a frame, no frame, or no row at all
fn side<const N: usize>(cells: &[&str]) -> Option<Option<Frame<N>>> {
    if cells.iter().all(|cell| cell.is_empty()) {
        return Some(None);
    }
    let mut frame = Frame::CENTRE;
    for (cell, at) in cells.iter().zip(frame.axes_mut()) {
        *at = points(cell)?;
    }
    Some(Some(frame))
}

/// `round(points * 163.84)`, halves away from zero, in whole numbers.
fn points(cell: &str) -> Option<Deflection> {
    let (negative, digits) = cell.strip_prefix('-').map_or((false, cell), |digits| (true, digits));
    let (whole, part) = digits.split_once('.').unwrap_or((digits, ""));
    if part.len() > 4 {
        return None;
    }
    let size = whole.parse::<i64>().ok()? * 10_000 + format!("{part:0<4}").parse::<i64>().ok()?;
    let bits = (2 * size * 16_384 + 1_000_000) / 2_000_000;
    i16::try_from(if negative { -bits } else { bits }).ok().map(Deflection::from_bits)
}
