//! The wire to a computer and the black box of the tested box.

use handback::Instant;
use trainer_box::{Entry, Step, TrainerBox};
use trainer_box_wire::{BlackBox, BlackBoxMemory, Request, Wire};

use crate::plan::{AXES, BoxPlan, MOST_CHANNELS};

/// The room for the time before a lesson, and for the lesson, in bytes: what the board has left.
const LEAD: usize = 6 * 1_024;
const BODY: usize = 24 * 1_024;

/// The memory of the black box.
pub type Memory = BlackBoxMemory<LEAD, BODY>;

/// A number of the plan, for the black box: the tested box has one plan.
const PLAN_ID: u32 = 1;

/// Wire and black box.
#[derive(Debug)]
pub(crate) struct Talk<'p> {
    plan: &'p BoxPlan,
    pub(crate) wire: Wire<'p, AXES, MOST_CHANNELS, MOST_CHANNELS, 2_048>,
    black_box: BlackBox<'static, AXES, LEAD, BODY>,
}

impl<'p> Talk<'p> {
    pub(crate) fn new(plan: &'p BoxPlan, memory: &'static mut Memory) -> Self {
        let wire = Wire::new(plan, concat!("trainer-box-rig ", env!("CARGO_PKG_VERSION")));
        Self { plan, wire, black_box: BlackBox::new(memory, plan, PLAN_ID) }
    }

    /// Takes what the box did in a step.
    pub(crate) fn step(
        &mut self,
        now: Instant,
        trainer_box: &TrainerBox<'p, AXES, MOST_CHANNELS, MOST_CHANNELS>,
        said: &Step<AXES, MOST_CHANNELS>,
        entries: &[Entry],
    ) {
        if let Some(row) = trainer_box.row() {
            self.black_box.note(self.plan, row);
        }
        self.wire.step(now, trainer_box, said, &self.black_box);
        for entry in entries {
            self.wire.entry(entry);
        }
        match self.wire.request() {
            None => {}
            Some(Request::Read) => self.wire.file(None),
            Some(Request::Store(_)) => self.wire.stored(Err("this board has no flash")),
        }
    }
}
