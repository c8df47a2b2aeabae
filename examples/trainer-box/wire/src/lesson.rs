//! The lesson of the black box, on its way to the computer.

use handback::{CheckedPolicy, Engine};
use outcome_digest::{Crc32, OutcomeBytes};
use trainer_box::CheckedPlan;

use crate::black_box::{BlackBox, LessonReader};
use crate::clock::Clock;
use crate::text::Line;
use crate::trace;

/// Reads a lesson and takes its steps once more, for the check values between those that were kept in flight.
#[derive(Clone, Debug)]
pub(crate) struct Lesson<'p, const N: usize> {
    reader: LessonReader<N>,
    engine: Engine<N, &'p CheckedPolicy<N>>,
    check: Crc32,
    clock: Clock,
    /// The lines before the rows that were sent.
    begun: u8,
}

impl<'p, const N: usize> Lesson<'p, N> {
    /// Begins at the first row; `None` where no lesson is kept.
    pub(crate) fn new<const LEAD: usize, const BODY: usize>(
        policy: &'p CheckedPolicy<N>,
        black_box: &BlackBox<'_, N, LEAD, BODY>,
    ) -> Option<Self> {
        let (reader, engine) = (LessonReader::new(black_box)?, Engine::new(policy));
        Some(Self { reader, engine, check: Crc32::new(), clock: Clock::default(), begun: 0 })
    }

    /// The next line without its end, and whether it is the last. In a row whose check value was kept in flight, it is
    /// that one: a computer that finds another one knows that the box decided something else then.
    pub(crate) fn line<const M: usize, const S: usize, const LEAD: usize, const BODY: usize>(
        &mut self,
        plan: &CheckedPlan<N, M, S>,
        black_box: &BlackBox<'_, N, LEAD, BODY>,
    ) -> (Line, bool) {
        let mut line = Line::new();
        self.begun = self.begun.saturating_add(1);
        match self.begun {
            1 => {
                line.text("# lesson ");
                line.number(black_box.rows());
                line.text(" rows");
                if black_box.is_full() {
                    line.text("; the memory was full before the lesson ended");
                }
                (line, false)
            }
            2 => (trace::header(plan.names()), false),
            _ => match self.reader.next(black_box, plan) {
                None => {
                    line.text("# end");
                    (line, true)
                }
                Some(row) => {
                    self.clock.pass(row.at);
                    OutcomeBytes::of(&self.engine.step(row.at, row.inputs())).digest(&mut self.check);
                    let check = row.check.unwrap_or_else(|| self.check.value());
                    let frames = [row.instructor.as_ref(), row.student.as_ref()];
                    (trace::row(&self.clock, row.desk, frames, check), false)
                }
            },
        }
    }
}
