//! What the box says to a computer and takes from it, and its black box.
//!
//! Compiled, and not run on a board. The emulated board runs the same wire and black box.

use handback::ppm::Edge;
use handback::{Instant, Message};
use rp2040_hal::fugit::MicrosDurationU32;
use rtic::Mutex;
use trainer_box::{Desk, Entry, Plan, Side, Step};
use trainer_box_store::{FILE_BYTES, NotStored, Refusal, Slots, encode, fingerprint};
use trainer_box_wire::{BlackBox, Request, Wire};

use crate::craft::Craft;
use crate::flash::Flash;
use crate::kept::{BODY, LEAD, Memory};
use crate::policy::{AXES, CHANNELS};
use crate::port::{Bus, Port};
use crate::stored::{self, Box, BoxPlan, Waits};

/// Room for what waits to be sent, in bytes: about a third of a second of a trace.
const OUT: usize = 4_096;

/// What the box says to the command `version`.
const VERSION: &str = concat!("trainer-box-rp2040 ", env!("CARGO_PKG_VERSION"));

/// The wire of this board.
pub(crate) type BoxWire = Wire<'static, AXES, CHANNELS, CHANNELS, OUT>;

/// Port, wire and black box.
pub(crate) struct Talk {
    plan: &'static BoxPlan,
    port: Port,
    wire: BoxWire,
    black_box: BlackBox<'static, AXES, LEAD, BODY>,
    slots: Slots<Flash>,
}

impl Talk {
    /// `refusal` says why the stored plan is not in force, where it is not.
    pub(crate) fn new(
        plan: &'static BoxPlan,
        refusal: Option<Refusal>,
        bus: &'static Bus,
        memory: &'static mut Memory,
        slots: Slots<Flash>,
    ) -> Self {
        let mut wire = Wire::new(plan, VERSION);
        if let Some(why) = refusal {
            wire.refused(why.message().as_str());
        }
        Self {
            plan,
            port: Port::new(bus),
            wire,
            black_box: BlackBox::new(memory, plan, fingerprint(&plan.plan())),
            slots,
        }
    }

    /// Takes an edge, as the box does.
    pub(crate) fn edge(&mut self, side: Side, edge: Edge) {
        self.wire.edge(side, edge);
    }

    /// Takes note that edges of this transmitter were lost.
    pub(crate) fn overrun(&mut self, side: Side) {
        self.wire.overrun(side);
    }

    /// Takes what the box did in a step.
    pub(crate) fn step(&mut self, now: Instant, trainer_box: &Box, step: &Step<AXES, CHANNELS>) {
        if let Some(row) = trainer_box.row() {
            self.black_box.note(self.plan, row);
        }
        self.wire.step(now, trainer_box, step, &self.black_box);
    }

    /// Says an entry of the log.
    pub(crate) fn entry(&mut self, entry: &Entry) {
        self.wire.entry(entry);
    }

    /// Passes a few bytes each way.
    pub(crate) fn turn(&mut self) {
        self.port.turn(&mut self.wire);
    }

    /// Does what the computer asked for. Only storing a file takes time, and it is refused except on the bench with the
    /// switch off.
    pub(crate) fn answer<C: Mutex<T = Craft>>(&mut self, desk: Desk, waits: Waits<'_, C>, longest: MicrosDurationU32) {
        match self.wire.request() {
            None => {}
            Some(Request::Read) => self.read(),
            Some(Request::Store(file)) => {
                let stored = stored::store(&mut self.slots, file, desk, waits, longest);
                let why = stored.map_err(|why| why.message());
                self.wire.stored(why.as_ref().copied().map_err(Message::as_str));
            }
        }
    }

    /// Stores a plan that the box has learnt, and says whether it is stored.
    pub(crate) fn learnt<C: Mutex<T = Craft>>(
        &mut self,
        plan: &Plan<AXES, CHANNELS, CHANNELS>,
        desk: Desk,
        waits: Waits<'_, C>,
        longest: MicrosDurationU32,
    ) -> bool {
        let mut room = [0; FILE_BYTES];
        let file = encode(plan, &mut room).map_err(NotStored::File);
        let stored = file.and_then(|file| {
            stored::store(&mut self.slots, file, desk, waits, longest)?;
            Ok(file.len())
        });
        let why = stored.map_err(|why| why.message());
        let length = why.as_ref().copied().unwrap_or(0);
        self.wire.learnt(length, why.as_ref().map(|_| ()).map_err(Message::as_str));
        why.is_ok()
    }

    fn read(&mut self) {
        match self.slots.load(&mut [0; FILE_BYTES]) {
            Ok(file) => self.wire.file(file),
            Err(_) => self.wire.refused("read: the flash has not kept the stored file: write it again"),
        }
    }
}
