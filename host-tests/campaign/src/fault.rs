//! The catalogue of faults.

use crate::hazard::Hazard;

/// One kind of fault. `Student...` and `Instructor...` name the side whose frames it changes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Fault {
    StudentSilent,
    StudentBursts,
    StudentStuck,
    StudentJumps,
    StudentFrozen,
    StudentBad,
    StudentSwapped,
    InstructorSilent,
    InstructorBursts,
    InstructorGone,
    InstructorStuck,
    InstructorJumps,
    InstructorFrozen,
    InstructorBad,
    InstructorSwapped,
    InstructorNoise,
    SwitchBounces,
    SwitchStuckOn,
    SwitchOnAtPowerUp,
    ButtonStuck,
    ClockJumps,
    ClockWraps,
    LateSteps,
    Reset,
}

/// A fault, its text, and what makes the output safe.
#[derive(Debug)]
pub(crate) struct Entry {
    pub(crate) fault: Fault,
    pub(crate) name: &'static str,
    pub(crate) what: &'static str,
    /// What the engine notices of it. [`Hazard::Stick`] where the engine cannot see it: the stick is the remedy.
    pub(crate) hazard: Hazard,
}

pub(crate) const CATALOGUE: [Entry; 24] = [
    entry(Fault::StudentSilent, "student: drop-out", "no frame comes", Hazard::Link),
    entry(Fault::StudentBursts, "student: bursts", "gaps of random length between a few frames", Hazard::Link),
    entry(Fault::StudentStuck, "student: stuck value", "one axis keeps its value", Hazard::Stick),
    entry(Fault::StudentJumps, "student: jumping value", "one axis has a random value in each frame", Hazard::Stick),
    entry(Fault::StudentFrozen, "student: frozen link", "the same frame comes again and again", Hazard::Frozen),
    entry(Fault::StudentBad, "student: bad frames", "a shared axis is beyond `plausible`", Hazard::Link),
    entry(Fault::StudentSwapped, "student: swapped channels", "two axes change places", Hazard::Stick),
    entry(Fault::InstructorSilent, "instructor: drop-out", "no frame comes", Hazard::Instructor),
    entry(
        Fault::InstructorBursts,
        "instructor: bursts",
        "gaps of random length between a few frames",
        Hazard::Instructor,
    ),
    entry(
        Fault::InstructorGone,
        "instructor: lost for long",
        "no frame comes for longer than `failsafe_after`",
        Hazard::Nobody,
    ),
    entry(Fault::InstructorStuck, "instructor: stuck value", "one axis keeps its value", Hazard::Stick),
    entry(
        Fault::InstructorJumps,
        "instructor: jumping value",
        "one axis has a random value in each frame",
        Hazard::Stick,
    ),
    entry(Fault::InstructorFrozen, "instructor: frozen link", "the same frame comes again and again", Hazard::Off),
    entry(Fault::InstructorBad, "instructor: bad frames", "an axis is beyond `plausible`", Hazard::Bad),
    entry(Fault::InstructorSwapped, "instructor: swapped channels", "two axes change places", Hazard::Stick),
    entry(Fault::InstructorNoise, "instructor: noise", "every stick jitters beyond `engage`", Hazard::Stick),
    entry(Fault::SwitchBounces, "switch: bounces", "the switch is seen on and off at random", Hazard::Off),
    entry(Fault::SwitchStuckOn, "switch: stuck on", "the switch is seen on whatever its position", Hazard::Stick),
    entry(Fault::SwitchOnAtPowerUp, "switch: on at power-up", "the switch is on from the first step", Hazard::OffFirst),
    entry(Fault::ButtonStuck, "button: stuck", "*instructor now* is asked for in every step", Hazard::Button),
    entry(Fault::ClockJumps, "clock: jump", "the clock jumps once, forwards or backwards", Hazard::Late),
    entry(Fault::ClockWraps, "clock: wrap", "the 32-bit clock wraps, which changes nothing", Hazard::Stick),
    entry(Fault::LateSteps, "clock: late steps", "steps come at and after `late_step`", Hazard::Late),
    entry(Fault::Reset, "reset", "the engine starts again in the middle of the lesson", Hazard::OffFirst),
];

const fn entry(fault: Fault, name: &'static str, what: &'static str, hazard: Hazard) -> Entry {
    Entry { fault, name, what, hazard }
}

impl Fault {
    pub(crate) fn entry(self) -> &'static Entry {
        CATALOGUE.iter().find(|entry| entry.fault == self).expect("every fault is in the catalogue")
    }
}

/// A fault, and when it lasts: from `begin` to before `end`, in microseconds since the lesson began.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Window {
    pub(crate) fault: Fault,
    pub(crate) begin: u64,
    pub(crate) end: u64,
}

impl Window {
    pub(crate) const fn contains(&self, t: u64) -> bool {
        self.begin <= t && t < self.end
    }
}
