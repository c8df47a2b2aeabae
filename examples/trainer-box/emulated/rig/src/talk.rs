//! The wire to a computer and the black box of the tested box.

use handback::{Instant, Message};
use trainer_box::{Desk, Entry, Plan, Step, TrainerBox};
use trainer_box_store::{FILE_BYTES, NotStored, Refusal, Slots, encode, fingerprint, permit};
use trainer_box_wire::{BlackBox, BlackBoxMemory, LONGEST_FILE, Request, Wire};

use crate::flash::Flash;
use crate::plan::{AXES, BoxPlan, MOST_CHANNELS};

/// The room for the time before a lesson, and for the lesson, in bytes: what the board has left beside 36 KiB of stack.
const LEAD: usize = 4 * 1_024;
const BODY: usize = 8 * 1_024;

/// The memory of the black box.
pub type Memory = BlackBoxMemory<LEAD, BODY>;

const _: () = assert!(LONGEST_FILE == FILE_BYTES, "the wire carries every file of the store");

/// Wire and black box.
#[derive(Debug)]
pub(crate) struct Talk<'p> {
    plan: &'p BoxPlan,
    pub(crate) wire: Wire<'p, AXES, MOST_CHANNELS, MOST_CHANNELS, 2_048>,
    black_box: BlackBox<'static, AXES, LEAD, BODY>,
    pub(crate) slots: Slots<Flash<'static>>,
}

impl<'p> Talk<'p> {
    /// `refusal` says why the stored plan is not in force, where it is not.
    pub(crate) fn new(
        plan: &'p BoxPlan,
        refusal: Option<Refusal>,
        memory: &'static mut Memory,
        slots: Slots<Flash<'static>>,
    ) -> Self {
        let mut wire = Wire::new(plan, concat!("trainer-box-rig ", env!("CARGO_PKG_VERSION")));
        if let Some(why) = refusal {
            wire.refused(why.message().as_str());
        }
        Self { plan, wire, black_box: BlackBox::new(memory, plan, fingerprint(&plan.plan())), slots }
    }

    /// Takes what the box did in a step.
    pub(crate) fn step(
        &mut self,
        now: Instant,
        trainer_box: &TrainerBox<'p, AXES, MOST_CHANNELS, MOST_CHANNELS>,
        said: &Step<AXES, MOST_CHANNELS>,
        entries: &[Entry],
        desk: Desk,
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
            Some(Request::Read) => match self.slots.load(&mut [0; FILE_BYTES]) {
                Ok(file) => self.wire.file(file),
                Err(_) => self.wire.refused("read: the flash has not kept the stored file: write it again"),
            },
            Some(Request::Store(file)) => {
                let permit = permit::<AXES, MOST_CHANNELS, MOST_CHANNELS>(file, trainer_box.on_bench(), desk);
                let stored = permit.and_then(|permit| permit.store(&mut self.slots));
                let why = stored.map_err(|why| why.message());
                self.wire.stored(why.as_ref().copied().map_err(Message::as_str));
            }
        }
    }

    /// Stores a plan that the box has learnt, and says so.
    pub(crate) fn store(
        &mut self,
        plan: &Plan<AXES, MOST_CHANNELS, MOST_CHANNELS>,
        on_bench: bool,
        desk: Desk,
    ) -> Result<(), NotStored> {
        let mut room = [0; FILE_BYTES];
        let file = encode(plan, &mut room).map_err(NotStored::File)?;
        let permit = permit::<AXES, MOST_CHANNELS, MOST_CHANNELS>(file, on_bench, desk);
        let stored = permit.and_then(|permit| permit.store(&mut self.slots));
        let why = stored.map_err(|why| why.message());
        self.wire.learnt(file.len(), why.as_ref().copied().map_err(Message::as_str));
        stored
    }
}
