//! The black box: the rows of the last lesson, packed, in RAM.
//!
//! A replay starts with a new engine. So a lesson is kept from the beginning of its recording, at most 10 s before the
//! lesson switch went on, until the memory is full or the next recording begins. The lesson before stays until the
//! switch goes on again.

mod bits;
mod memory;
mod model;
mod packer;
mod reader;
#[cfg(test)]
mod tests;

pub use memory::BlackBoxMemory;
pub(crate) use reader::LessonReader;

use handback::{CheckedChannels, Micros, Pulse};
use trainer_box::{CheckedPlan, Received, Row};

use self::bits::Writer;
use self::memory::{Kept, Sum};
use self::packer::{Packed, Packer};

/// The black box of a box with `N` axes. It writes into memory that outlives it: `LEAD` bytes for the time before the
/// lesson switch goes on (twice), and `BODY` bytes for the time after.
#[derive(Debug)]
pub struct BlackBox<'m, const N: usize, const LEAD: usize, const BODY: usize> {
    memory: &'m mut BlackBoxMemory<LEAD, BODY>,
    plan: u32,
    /// Which axes have a channel, of the instructor and of the student.
    has: [[bool; N]; 2],
    kept: Option<Kept>,
    writing: Writing,
    packer: Packer<N>,
    /// Whether the lesson switch was on in the last row.
    was_on: bool,
    sum: Sum,
    /// The bits of lead and body of the present recording, its rows, and the lead that it is written into.
    bits: [u32; 2],
    rows: u32,
    lead: u32,
    /// The check value of the last row that was written.
    check: u32,
    /// Lessons that were not kept, because the lead was full before the switch went on.
    lost: u32,
}

/// What becomes of the next row.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Writing {
    /// It goes into the lead.
    Lead,
    /// It goes into the body: it belongs to the lesson that is kept.
    Body,
    /// It is dropped: the recording did not fit, or has no beginning.
    Nothing,
}

impl<'m, const N: usize, const LEAD: usize, const BODY: usize> BlackBox<'m, N, LEAD, BODY> {
    /// A black box that keeps what is whole in this memory from before a reset. `id` is a number that another plan would
    /// not have, such as the CRC of its file: widths of channels mean other sticks under another plan.
    pub fn new<const M: usize, const S: usize>(
        memory: &'m mut BlackBoxMemory<LEAD, BODY>,
        plan: &CheckedPlan<N, M, S>,
        id: u32,
    ) -> Self {
        Self {
            kept: memory.kept(id),
            memory,
            plan: id,
            has: [
                plan.instructor().channels().axes.map(|channel| channel.is_some()),
                plan.student().channels().axes.map(|channel| channel.is_some()),
            ],
            writing: Writing::Nothing,
            packer: Packer::new(),
            was_on: false,
            sum: Sum::new(),
            bits: [0; 2],
            rows: 0,
            lead: 0,
            check: 0,
            lost: 0,
        }
    }

    /// Takes a row; give it every row of the box.
    pub fn note<const M: usize, const S: usize>(&mut self, plan: &CheckedPlan<N, M, S>, row: &Row<N, M, S>) {
        if row.begins {
            self.begin();
            // A box that was reset in mid-lesson must not replace the lesson that led to the reset.
            self.was_on = row.desk.lesson_switch;
        } else if row.desk.lesson_switch && !self.was_on {
            self.lesson_begins();
        }
        self.was_on = row.desk.lesson_switch;
        let packed = Packed {
            at: row.at,
            desk: row.desk,
            sides: [widths(plan.instructor(), row.instructor.as_ref()), widths(plan.student(), row.student.as_ref())],
            check: Some(row.check),
        };
        let kept = match self.writing {
            Writing::Lead => self.write(0, &packed),
            Writing::Body => self.write(1, &packed),
            Writing::Nothing => return,
        };
        if self.writing == Writing::Body {
            self.keep(!kept);
        }
        if !kept {
            self.writing = Writing::Nothing;
        }
    }

    /// The number of lessons since the start that were not kept, since the recording was too long before the lesson
    /// switch went on.
    pub const fn lost(&self) -> u32 {
        self.lost
    }

    fn begin(&mut self) {
        let taken = self.kept.map(|kept| kept.lead);
        self.lead = u32::from(taken == Some(0));
        (self.packer, self.sum) = (Packer::new(), Sum::new());
        (self.bits, self.rows, self.writing) = ([0; 2], 0, Writing::Lead);
    }

    fn lesson_begins(&mut self) {
        match self.writing {
            Writing::Lead => self.writing = Writing::Body,
            Writing::Body => {}
            // The memory is full of this very recording, or its beginning is missing.
            Writing::Nothing => self.lost = self.lost.saturating_add(u32::from(self.bits[1] == 0)),
        }
    }

    /// Writes a row into the lead, 0, or into the body, 1; says whether it fitted.
    fn write(&mut self, piece: usize, packed: &Packed<N>) -> bool {
        let Some(&at) = self.bits.get(piece) else { return false };
        let memory = match piece {
            0 => match usize::try_from(self.lead).ok().and_then(|lead| self.memory.leads.get_mut(lead)) {
                Some(lead) => &mut lead[..],
                None => return false,
            },
            _ => &mut self.memory.body[..],
        };
        let mut writer = Writer { memory, at };
        if self.packer.pass(&mut writer, packed, &self.has).is_none() {
            return false;
        }
        let end = writer.at;
        self.sum.add(piece, memory, end);
        if let Some(bits) = self.bits.get_mut(piece) {
            *bits = end;
        }
        self.rows = self.rows.saturating_add(1);
        self.check = packed.check.unwrap_or_default();
        true
    }

    fn keep(&mut self, full: bool) {
        let mut kept = Kept::nothing(self.plan);
        [kept.lead_bits, kept.body_bits] = self.bits;
        (kept.lead, kept.rows, kept.check, kept.full) = (self.lead, self.rows, self.check, full.into());
        self.memory.keep(kept, &self.sum);
        self.kept = Some(kept);
    }
}

/// The widths of the axes' channels in a train, in whole microseconds, as decoders measure them.
fn widths<const N: usize, const M: usize>(
    channels: &CheckedChannels<Micros, N, M>,
    received: Option<&Received<N, M>>,
) -> Option<[u16; N]> {
    let train = &received?.train;
    Some(channels.channels().axes.map(|channel| {
        let width = channel.and_then(|channel| train.get(usize::from(channel.number)));
        width.copied().map_or(0, Pulse::to_micros)
    }))
}
