//! The plan of the tested box, which is as irregular as a real one may be. The student's transmitter has fewer
//! channels, another order, another polarity, a reversed elevator with another centre, and a smaller rudder throw. A voice
//! module says the cues, and handing back has a rhythm of six short pulses.

use handback::cue::{CueRules, Rhythm};
use handback::ppm::{DecoderSetup, EncoderSetup, Level};
use handback::{AxisRule, Channel, Channels, Deflection, Duration, Micros, Policy, Pulse};
use trainer_box::{AxisName, CheckedPlan, Plan};

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
pub const AS_WRITTEN: Plan<AXES, CHANNELS, STUDENT_CHANNELS> = {
    let (stick, throttle) = (AxisRule::sprung(), AxisRule::unsprung(Deflection::from_points(-100)));
    let mut plan = Plan {
        names: AxisName::all(["aileron", "elevator", "throttle", "rudder"]),
        policy: Policy::new([stick, stick, throttle, stick]),
        instructor: Channels::pulses(),
        student: Channels::new(STUDENT),
        craft: Channels::pulses(),
        instructor_train: DecoderSetup::new(Level::High),
        student_train: DecoderSetup::new(Level::Low),
        craft_train: EncoderSetup::new(Level::High),
        cues: CueRules::new(),
    };
    plan.policy.axes[THROTTLE as usize].keep = false;
    plan.instructor_train.jitter = JITTER;
    plan.student_train.jitter = JITTER;
    plan.cues = plan.cues.spoken(1, Duration::from_millis(1_500));
    // The dwell is shorter than an offer, which would also sound like six short pulses.
    (plan.cues.offer.phrase, plan.cues.offer.rhythm) = (None, Rhythm::SILENT);
    plan.cues.handed_back.rhythm = Rhythm::of([80, 80, 80, 80, 80, 80, 80, 80, 80, 80, 80]);
    plan
};

/// The student's channels.
const STUDENT: [Channel<Micros>; AXES] = {
    let mut axes = [Channel::pulse(1), Channel::pulse(2), Channel::pulse(0), Channel::pulse(3)];
    axes[1].reversed = true;
    axes[1].centre = Pulse::from_micros(1_480);
    axes[3].rate = Deflection::from_points(60);
    axes
};

/// The same, checked.
pub static PLAN: CheckedPlan<AXES, CHANNELS, STUDENT_CHANNELS> = handback::checked!(AS_WRITTEN);
