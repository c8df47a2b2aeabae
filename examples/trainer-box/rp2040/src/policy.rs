//! The default plan: the box flies by it where no plan is stored in its flash. An impossible value does not compile, and
//! the compiler prints the remedy. A wrong count, level, order or direction does compile; the first power-up finds it.
//!
//! Axes are counted from 0: here aileron, elevator, throttle, rudder. Channels are counted from 0, too: the first
//! channel of a train is channel 0.
//!
//! CAUTION: what is computed is no promise. First set and test the receiver's failsafe, range check,
//! propellers off on the bench, craft held down, bystanders clear, instructor present. The radio's
//! manual, the band's rules, local rules, club rules and your instructor's word come first.

use handback::cue::CueRules;
use handback::ppm::{DecoderSetup, EncoderSetup, Level};
use handback::{AxisRule, AxisSet, Channel, Channels, Deflection, Duration, Frame, Micros, Policy};
use trainer_box::{AxisName, CheckedPlan, Plan};

/// Number of axes that are watched or shared.
pub(crate) const AXES: usize = 4;
/// Room for the channels of each train: any transmitter that sends 4 to 16 channels fits. How many there are is a setting
/// of each train, `channels`.
pub(crate) const CHANNELS: usize = 16;

/// The engine's throttle while nobody flies. This box sends no pulses then, so the failsafe in the receiver decides
/// what the motor does. During the check of the bench the craft gets this value.
const THROTTLE_OFF: Deflection = Deflection::from_points(-100);

/// A frame whose separators differ by more than this is disturbed and is dropped. It is less than the 10 us at which a
/// stick takes the craft. So a disturbance does not take the craft where the stick rests within 3 us of its `centre`.
const JITTER: Duration = Duration::from_micros(6);

const AS_WRITTEN: Plan<AXES, CHANNELS, CHANNELS> = {
    let mut plan = Plan {
        // The names of the axes, for people.
        names: AxisName::all(["aileron", "elevator", "throttle", "rudder"]),

        // Who may fly which axes, with the default of every field. What differs is assigned below.
        policy: Policy::new([
            AxisRule::sprung(),               // aileron
            AxisRule::sprung(),               // elevator
            AxisRule::unsprung(THROTTLE_OFF), // throttle
            AxisRule::sprung(),               // rudder
        ]),

        // The channel of each axis in the train of the instructor, of the student, and of the craft. The craft's have
        // the order of the instructor's transmitter. `Channel::pulse(n)` is channel n with 1000, 1500, 2000 us.
        instructor: Channels::new([Channel::pulse(0), Channel::pulse(1), Channel::pulse(2), Channel::pulse(3)]),
        student: Channels::new(STUDENT).meeting(&INSTRUCTOR_RESTS, AxisSet::of(&[0, 1, 3])),
        craft: Channels::new([Channel::pulse(0), Channel::pulse(1), Channel::pulse(2), Channel::pulse(3)]),

        // The level of the short pulses between the channels: `High` where the line is low at rest. With the wrong
        // level the log has `Polarity`. With the wrong level of the instructor's train nobody flies; with that of the
        // student's train the student never gets the craft.
        instructor_train: DecoderSetup::new(Level::High),
        student_train: DecoderSetup::new(Level::High),
        craft_train: EncoderSetup::new(Level::High),

        // The cues that you hear: the rhythms of the project. With a voice module on GP16 to GP21 (what to record:
        // `Cue::wording`) write CueRules::new().spoken(0, Duration::from_millis(1_500)), and a dwell longer than that.
        cues: CueRules::new(),
    };
    plan.policy.dwell = Duration::from_millis(300);
    // How many channels each transmitter sends, and the craft gets. With a wrong number the log has `Count`, and the box
    // drops every frame. More than 8 channels to the craft need a longer `craft_train.frame_length`.
    plan.instructor_train.channels = Some(8);
    plan.student_train.channels = Some(8);
    plan.craft_train.channels = Some(8);
    plan.instructor_train.jitter = JITTER;
    plan.student_train.jitter = JITTER;
    plan.cues.nobody.every = Duration::from_secs(5); // 'nobody flies' is repeated every five seconds
    plan
};

/// Where the instructor's sticks rest, hands off: trimmed so that the craft flies level. The student's resting sticks
/// read the same, so that a handover does not lurch. The log shows the pulses (FIRMWARE.md); a point is 5 us
/// from 1500: for 1520 us write `Deflection::from_points(4)`.
const INSTRUCTOR_RESTS: Frame<AXES> =
    Frame::new([Deflection::CENTRE, Deflection::CENTRE, THROTTLE_OFF, Deflection::CENTRE]);

/// The student's channels. For a beginner a throw can be smaller (not that of the throttle), a stick reversed, or the
/// centre where it rests: assign it here, for example
/// `axes[0].rate = Deflection::from_points(60); axes[0].reversed = true; axes[1].centre = Pulse::from_micros(1_492);`
const STUDENT: [Channel<Micros>; AXES] = {
    let mut axes = [Channel::pulse(0), Channel::pulse(1), Channel::pulse(2), Channel::pulse(3)];
    axes[0].rate = Deflection::FULL; // all of the aileron's throw
    axes
};

/// The same, checked while it is compiled.
pub(crate) static DEFAULT: CheckedPlan<AXES, CHANNELS, CHANNELS> = handback::checked!(AS_WRITTEN);

/// The same without the student, for a box whose stored plan is refused.
pub(crate) static WITHOUT_STUDENT: CheckedPlan<AXES, CHANNELS, CHANNELS> =
    handback::checked!(AS_WRITTEN.instructor_alone());
