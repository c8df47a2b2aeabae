//! What lessons came to, counted by row of the table.

use handback::{Cause, Event, Outcome, Pilot};

use crate::AXES;
use crate::hazard::{HAZARDS, Reading};
use crate::lesson::{Wrong, loses};
use crate::plan::ROWS;

/// What one lesson came to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Flown {
    row: usize,
    is_default: bool,
    pub(crate) steps: u64,
    /// A checksum of every output and of who flew.
    trail: u64,
    /// The fault began; the student flew then.
    pub(crate) begun: bool,
    flew: bool,
    /// While a fault lasted: the student lost an axis that no hand took; nobody flew.
    lost: bool,
    nobody: bool,
    /// After the faults the student flew again.
    pub(crate) back: bool,
    /// The longest time to a safe output, of each hazard, in microseconds.
    worst: [Option<u64>; HAZARDS],
    pub(crate) wrong: Option<Wrong>,
}

impl Flown {
    pub(crate) const fn new(row: usize, is_default: bool) -> Self {
        Self {
            row,
            is_default,
            steps: 0,
            trail: 0,
            begun: false,
            flew: false,
            lost: false,
            nobody: false,
            back: false,
            worst: [None; HAZARDS],
            wrong: None,
        }
    }

    pub(crate) fn begins(&mut self, pilot: Pilot) {
        self.begun = true;
        self.flew = !pilot.student().is_empty();
    }

    /// The engine starts again: the student loses what that pilot had, without an event.
    pub(crate) fn reset(&mut self, pilot: Pilot) {
        self.lost |= !pilot.student().is_empty();
    }

    /// One step.
    pub(crate) fn step(&mut self, outcome: &Outcome<AXES>) {
        self.steps += 1;
        let flown = outcome.pilot.student().to_bits();
        for x in outcome.output.axes().iter().map(|x| x.to_bits().cast_unsigned()).chain([flown]) {
            self.trail = self.trail.wrapping_mul(0x0000_0100_0000_01B3) ^ u64::from(x);
        }
    }

    /// One step while a fault lasts.
    pub(crate) fn note(&mut self, pilot: Pilot, slams: bool, readings: &[Option<Reading>; HAZARDS]) {
        self.nobody |= !slams && pilot == Pilot::Nobody;
        for (worst, reading) in self.worst.iter_mut().zip(readings) {
            *worst = (*worst).max(reading.and_then(|reading| reading.response()));
        }
    }

    pub(crate) fn note_event(&mut self, event: &Event, in_window: bool, idle: bool) {
        let by_itself = matches!(
            event.cause,
            Cause::LateStep | Cause::InstructorLost | Cause::InstructorBack | Cause::LinkFrozen | Cause::LinkLost
        );
        self.lost |= in_window && (idle || by_itself) && loses(event);
    }
}

/// The lessons of one row.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Row {
    pub(crate) lessons: u64,
    /// With the default policy: in how many the student flew as the fault began.
    pub(crate) flew: u64,
    /// Of these: how often the student lost an axis, nobody flew, or neither; how often the student flew again.
    pub(crate) lost: u64,
    pub(crate) nobody: u64,
    pub(crate) unchanged: u64,
    pub(crate) back: u64,
    /// The longest time to a safe output: with the default policy, with any.
    pub(crate) worst_default: [Option<u64>; HAZARDS],
    pub(crate) worst: [Option<u64>; HAZARDS],
}

/// All lessons.
#[derive(Clone, Debug)]
pub(crate) struct Tally {
    pub(crate) rows: Vec<Row>,
    pub(crate) lessons: u64,
    pub(crate) steps: u64,
    /// Lessons that a judge found wrong, by number.
    pub(crate) wrong: Vec<(u64, Wrong)>,
}

impl Tally {
    pub(crate) fn new() -> Self {
        Self { rows: vec![Row::default(); ROWS], lessons: 0, steps: 0, wrong: Vec::new() }
    }

    pub(crate) fn add(&mut self, number: u64, flown: Flown) {
        self.lessons += 1;
        self.steps += flown.steps;
        let row = &mut self.rows[flown.row];
        row.lessons += 1;
        if flown.is_default && flown.flew {
            row.flew += 1;
            row.lost += u64::from(flown.lost);
            row.nobody += u64::from(flown.nobody);
            row.unchanged += u64::from(!flown.lost && !flown.nobody);
            row.back += u64::from(flown.back);
        }
        latest(&mut row.worst, &flown.worst);
        if flown.is_default {
            latest(&mut row.worst_default, &flown.worst);
        }
        self.wrong.extend(flown.wrong.map(|wrong| (number, wrong)));
    }

    pub(crate) fn merge(&mut self, other: Self) {
        self.lessons += other.lessons;
        self.steps += other.steps;
        for (row, more) in self.rows.iter_mut().zip(&other.rows) {
            row.lessons += more.lessons;
            row.flew += more.flew;
            row.lost += more.lost;
            row.nobody += more.nobody;
            row.unchanged += more.unchanged;
            row.back += more.back;
            latest(&mut row.worst, &more.worst);
            latest(&mut row.worst_default, &more.worst_default);
        }
        self.wrong.extend(other.wrong);
        self.wrong.sort_by_key(|(number, _)| *number);
    }
}

fn latest(worst: &mut [Option<u64>; HAZARDS], more: &[Option<u64>; HAZARDS]) {
    for (worst, more) in worst.iter_mut().zip(more) {
        *worst = (*worst).max(*more);
    }
}
