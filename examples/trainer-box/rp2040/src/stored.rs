//! The stored plan: which plan the box starts with, and how it takes another. Compiled, and not run on a board.

use defmt::{info, warn};
use handback::Instant;
use rp2040_hal::fugit::MicrosDurationU32;
use rp2040_hal::{Timer, Watchdog};
use rtic::Mutex;
use trainer_box::{CheckedPlan, Desk, Side, TrainerBox};
use trainer_box_store::{AtStart, NotStored, Slots};

use crate::craft::Craft;
use crate::flash::{FIRST, Flash};
use crate::policy::{AXES, CHANNELS, DEFAULT, WITHOUT_STUDENT};

/// A checked plan of this box.
pub(crate) type BoxPlan = CheckedPlan<AXES, CHANNELS, CHANNELS>;

/// What the flash held at the start.
pub(crate) type Start = AtStart<AXES, CHANNELS, CHANNELS>;

/// The box of this board.
pub(crate) type Box = TrainerBox<'static, AXES, CHANNELS, CHANNELS>;

/// The time that the watchdog gives while the flash is erased and written.
const STORING: MicrosDurationU32 = MicrosDurationU32::secs(4);

/// The slots of the stored plan. Make them once.
pub(crate) const fn slots() -> Slots<Flash> {
    Slots::new(Flash, FIRST)
}

/// Reads the stored plan, and logs what became of it.
pub(crate) fn at_start(slots: &mut Slots<Flash>) -> Start {
    let start = trainer_box_store::at_start(slots);
    match &start {
        AtStart::Plan(_) => info!("the stored plan"),
        AtStart::Nothing => info!("no plan is stored: the default plan"),
        AtStart::Refused(why) => warn!("{=str}; the student gets nothing", why.message().as_str()),
    }
    start
}

/// The plan with which the box starts: the default where none is stored; the default without the student where one is
/// stored that does not pass.
pub(crate) const fn plan(start: &Start) -> &BoxPlan {
    start.plan(&DEFAULT, &WITHOUT_STUDENT)
}

/// What the loop owns that must wait while the flash is written.
pub(crate) struct Waits<'a, C> {
    pub(crate) trainer_box: &'a mut Box,
    pub(crate) craft: &'a mut C,
    pub(crate) watchdog: &'a mut Watchdog,
    pub(crate) clock: &'a Timer,
}

/// Stores the file of a plan for the next start, only on the bench with the switch off. The train to the craft ends
/// first, so the receiver's failsafe acts; then the box stands still for up to a second.
pub(crate) fn store<C: Mutex<T = Craft>>(
    slots: &mut Slots<Flash>,
    file: &[u8],
    desk: Desk,
    waits: Waits<'_, C>,
    longest: MicrosDurationU32,
) -> Result<(), NotStored> {
    let Waits { trainer_box, craft, watchdog, clock } = waits;
    let permit = trainer_box_store::permit::<AXES, CHANNELS, CHANNELS>(file, trainer_box.on_bench(), desk)?;
    watchdog.start(STORING);
    let rests = |craft: &mut Craft| {
        craft.send(Instant::from_ticks(clock.get_counter_low()), None);
        craft.rests()
    };
    // The train ends with its frame. Where it does not, the watchdog resets the box.
    while !craft.lock(rests) {}
    let stored = permit.store(slots);
    // Edges were lost meanwhile.
    for side in [Side::Instructor, Side::Student] {
        trainer_box.overrun(side);
    }
    watchdog.start(longest);
    stored
}
