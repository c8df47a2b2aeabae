//! Reads the lesson of a black box, a row at a time.

use handback::{CheckedChannels, Frame, Inputs, Instant, Micros, Pulse};
use trainer_box::{CheckedPlan, Desk};

use super::BlackBox;
use super::bits::Reader;
use super::memory::Kept;
use super::packer::{Packed, Packer};

/// A row of the lesson, as the engine was given it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct KeptRow<const N: usize> {
    pub(crate) at: Instant,
    pub(crate) desk: Desk,
    pub(crate) instructor: Option<Frame<N>>,
    pub(crate) student: Option<Frame<N>>,
    /// The check value of the box in that step, where it was kept.
    pub(crate) check: Option<u32>,
}

impl<const N: usize> KeptRow<N> {
    pub(crate) const fn inputs(&self) -> Inputs<'_, N> {
        Inputs {
            instructor: self.instructor.as_ref(),
            student: self.student.as_ref(),
            lesson_switch: self.desk.lesson_switch,
            instructor_now: self.desk.instructor_now,
        }
    }
}

/// The place in a lesson that is being read. What is added to the lesson after the reading began is left out.
#[derive(Clone, Debug)]
pub(crate) struct LessonReader<const N: usize> {
    kept: Kept,
    packer: Packer<N>,
    at: u32,
    read: u32,
}

impl<const N: usize> LessonReader<N> {
    /// Begins at the first row; `None` where no lesson is kept.
    pub(crate) fn new<const LEAD: usize, const BODY: usize>(black_box: &BlackBox<'_, N, LEAD, BODY>) -> Option<Self> {
        Some(Self { kept: black_box.kept?, packer: Packer::new(), at: 0, read: 0 })
    }

    /// The next row; `None` at the end.
    pub(crate) fn next<const M: usize, const S: usize, const LEAD: usize, const BODY: usize>(
        &mut self,
        black_box: &BlackBox<'_, N, LEAD, BODY>,
        plan: &CheckedPlan<N, M, S>,
    ) -> Option<KeptRow<N>> {
        let kept = &self.kept;
        if self.read >= kept.rows {
            return None;
        }
        let lead = black_box.memory.lead(kept.lead)?;
        let pieces = [(&lead[..], kept.lead_bits), (&black_box.memory.body[..], kept.body_bits)];
        let mut reader = Reader { pieces, at: self.at };
        let packed = self.packer.pass(&mut reader, &Packed::NONE, &black_box.has)?;
        self.at = reader.at;
        self.read = self.read.saturating_add(1);
        let check = if self.read == self.kept.rows { Some(self.kept.check) } else { packed.check };
        let [instructor, student] = packed.sides;
        Some(KeptRow {
            at: packed.at,
            desk: packed.desk,
            instructor: instructor.map(|widths| frame(plan.instructor(), widths)),
            student: student.map(|widths| frame(plan.student(), widths)),
            check,
        })
    }
}

impl<const N: usize, const LEAD: usize, const BODY: usize> BlackBox<'_, N, LEAD, BODY> {
    /// The number of rows of the lesson that is kept; 0 where there is none.
    pub fn rows(&self) -> u32 {
        self.kept.map_or(0, |kept| kept.rows)
    }

    /// The bytes that the lesson takes.
    pub fn bytes(&self) -> u32 {
        self.kept.map_or(0, |kept| kept.lead_bits.saturating_add(kept.body_bits).div_ceil(8))
    }

    /// Whether the lesson was longer than the memory, so that its end is missing.
    pub fn is_full(&self) -> bool {
        self.kept.is_some_and(|kept| kept.full != 0)
    }
}

/// The frame of these widths of its axes' channels; the other channels of the train do not matter.
fn frame<const N: usize, const M: usize>(channels: &CheckedChannels<Micros, N, M>, widths: [u16; N]) -> Frame<N> {
    let mut train = [Pulse::MIN; M];
    for (channel, width) in channels.channels().axes.iter().zip(widths) {
        if let Some(place) = channel.and_then(|channel| train.get_mut(usize::from(channel.number))) {
            *place = Pulse::from_micros(width.into());
        }
    }
    channels.frame(&train)
}
