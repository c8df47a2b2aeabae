//! The plan of the tested box, which is as irregular as a real one may be. The student's transmitter has fewer
//! channels, another order, another polarity, a reversed elevator with another centre, and a smaller rudder throw.

use handback::cue::CueRules;
use handback::ppm::{DecoderSetup, EncoderSetup, Level};
use handback::{AxisRule, Channel, Channels, Deflection, Duration, Policy, Pulse};
use trainer_box::{CheckedPlan, Plan};

/// Aileron, elevator, throttle, rudder.
pub const AXES: usize = 4;
/// Channels of the instructor's train and of the craft's.
pub const CHANNELS: usize = 8;
/// Channels of the student's train.
pub const STUDENT_CHANNELS: usize = 6;

/// The axis of the throttle.
pub const THROTTLE: u8 = 2;

/// A separator shows an edge that moved by more than this. It is less than the 10 us by which a sprung stick takes
/// over.
const JITTER: Duration = Duration::from_micros(6);

/// The plan for which the bench writes its lessons.
pub const AS_WRITTEN: Plan<AXES, CHANNELS, STUDENT_CHANNELS> = Plan {
    policy: Policy::new([
        AxisRule::sprung(),
        AxisRule::sprung(),
        AxisRule { keep: false, ..AxisRule::unsprung(Deflection::from_points(-100)) },
        AxisRule::sprung(),
    ]),
    instructor: Channels::pulses(),
    student: Channels::new([
        Channel::pulse(1),
        Channel { reversed: true, centre: Pulse::from_micros(1_480), ..Channel::pulse(2) },
        Channel::pulse(0),
        Channel { rate: Deflection::from_points(60), ..Channel::pulse(3) },
    ]),
    craft: Channels::pulses(),
    instructor_train: DecoderSetup { jitter: JITTER, ..DecoderSetup::new(Level::High) },
    student_train: DecoderSetup { jitter: JITTER, ..DecoderSetup::new(Level::Low) },
    craft_train: EncoderSetup::new(Level::High),
    cues: CueRules::new(),
};

/// The same, checked.
pub static PLAN: CheckedPlan<AXES, CHANNELS, STUDENT_CHANNELS> = handback::checked!(AS_WRITTEN);
