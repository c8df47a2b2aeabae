//! Your decisions: change this file and nothing else. An impossible value does not compile, and the compiler prints the
//! remedy. A wrong count, level, order or direction does compile; the first power-up finds it.
//!
//! Axes are counted from 0: here aileron, elevator, throttle, rudder. Channels are counted from 0, too: the first
//! channel of a train is channel 0.
//!
//! CAUTION: what is computed is no promise. First set and test the receiver's failsafe, range check,
//! propellers off on the bench, craft held down, bystanders clear, instructor present. The radio's
//! manual, the band's rules, local rules, club rules and your instructor's word come first.

use handback::cue::{CueRule, CueRules};
use handback::ppm::{DecoderSetup, EncoderSetup, Level};
use handback::{AxisRule, Channel, Channels, Deflection, Duration, Policy};
use trainer_box::{CheckedPlan, Plan};

/// Number of axes that are watched or shared.
pub(crate) const AXES: usize = 4;
/// Number of channels that the instructor's transmitter sends, and that the craft gets. With a wrong number, the box
/// drops every frame.
pub(crate) const CHANNELS: usize = 8;
/// Number of channels that the student's transmitter sends.
pub(crate) const STUDENT_CHANNELS: usize = 8;

/// The engine's throttle while nobody flies. This box sends no pulses then, so the failsafe in the receiver decides
/// what the motor does. During the check of the bench the craft gets this value.
const THROTTLE_OFF: Deflection = Deflection::from_points(-100);

/// A frame whose separators differ by more than this is disturbed and is dropped. It is less than the 10 us at which a
/// stick takes the craft. So a disturbance does not take the craft where the stick rests within 3 us of its `centre`.
const JITTER: Duration = Duration::from_micros(6);

const AS_WRITTEN: Plan<AXES, CHANNELS, STUDENT_CHANNELS> = Plan {
    // Who may fly which axes. `..Policy::new(...)` sets the default of every field that is not named.
    policy: Policy {
        dwell: Duration::from_millis(300), // after hands have been off for this long, the student has the craft again
        ..Policy::new([
            AxisRule::sprung(),               // 0: aileron
            AxisRule::sprung(),               // 1: elevator
            AxisRule::unsprung(THROTTLE_OFF), // 2: throttle
            AxisRule::sprung(),               // 3: rudder
        ])
    },

    // The channel of each axis in the instructor's train, and where its stick rests and ends, in microseconds.
    // `Channel::pulse(n)` is channel n with 1000, 1500, 2000.
    instructor: Channels::new([Channel::pulse(0), Channel::pulse(1), Channel::pulse(2), Channel::pulse(3)]),

    // The same for the student's train. For a beginner you can make a throw smaller (not that of the throttle). You can
    // also reverse a stick, or give the centre where it rests: Channel { rate: Deflection::from_points(60), reversed:
    // true, ..Channel::pulse(0) } Channel { centre: Pulse::from_micros(1_492), ..Channel::pulse(1) } // and `Pulse` to
    // the `use` above
    student: Channels::new([Channel::pulse(0), Channel::pulse(1), Channel::pulse(2), Channel::pulse(3)]),

    // The channels of the craft have the order of the instructor's transmitter.
    craft: Channels::new([Channel::pulse(0), Channel::pulse(1), Channel::pulse(2), Channel::pulse(3)]),

    // The level of the short pulses between the channels: `High` where the line is low at rest. With the wrong level
    // the log has `Polarity`. With the wrong level of the instructor's train nobody flies; with that of the student's
    // train the student never gets the craft.
    instructor_train: DecoderSetup { jitter: JITTER, ..DecoderSetup::new(Level::High) },
    student_train: DecoderSetup { jitter: JITTER, ..DecoderSetup::new(Level::High) },
    craft_train: EncoderSetup::new(Level::High),

    // The cues that you hear: the rhythms of the project. The cue for 'nobody flies' is repeated every five seconds.
    cues: CueRules { nobody: CueRule { every: Duration::from_secs(5), ..CueRules::new().nobody }, ..CueRules::new() },
};

/// The same, checked while it is compiled.
pub(crate) static PLAN: CheckedPlan<AXES, CHANNELS, STUDENT_CHANNELS> = handback::checked!(AS_WRITTEN);
