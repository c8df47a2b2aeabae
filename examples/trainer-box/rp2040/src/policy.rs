//! What you decide: change this file and nothing else. A value that cannot be right does not compile, and the compiler
//! says what to mend; a wrong count, level, order or direction does, and the first power-up finds it.
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

/// How many axes the instructor and the student share or watch.
pub(crate) const AXES: usize = 4;
/// How many channels the instructor's transmitter sends, and the craft is sent. A wrong number: the box hears nothing.
pub(crate) const CHANNELS: usize = 8;
/// How many channels the student's transmitter sends.
pub(crate) const STUDENT_CHANNELS: usize = 8;

/// Where the engine puts the throttle when nobody flies. This box sends no pulses then: what the motor does is decided by
/// the failsafe that is set in the receiver. The engine wants a value all the same.
const THROTTLE_OFF: Deflection = Deflection::from_points(-100);

/// Separators of one frame that differ by more than this are a disturbed frame, which is dropped. It is less than the
/// 10 us at which a stick takes the craft, so that no disturbance does where the stick rests within 3 us of its `centre`.
const JITTER: Duration = Duration::from_micros(6);

const AS_WRITTEN: Plan<AXES, CHANNELS, STUDENT_CHANNELS> = Plan {
    // Who may fly what. `..Policy::new(...)` is the default of everything that is not named.
    policy: Policy {
        dwell: Duration::from_millis(300), // hands off for this long, then it is the student's again
        ..Policy::new([
            AxisRule::sprung(),               // 0: aileron
            AxisRule::sprung(),               // 1: elevator
            AxisRule::unsprung(THROTTLE_OFF), // 2: throttle
            AxisRule::sprung(),               // 3: rudder
        ])
    },

    // Which channel of the instructor's transmitter is which axis, and where its sticks rest and end, in microseconds.
    // `Channel::pulse(n)` is channel n with 1000, 1500, 2000.
    instructor: Channels::new([Channel::pulse(0), Channel::pulse(1), Channel::pulse(2), Channel::pulse(3)]),

    // The student's. For a beginner make the throws smaller (not the throttle's), turn a stick round, or give the place
    // where the stick rests:
    //     Channel { rate: Deflection::from_points(60), reversed: true, ..Channel::pulse(0) }
    //     Channel { centre: Pulse::from_micros(1_492), ..Channel::pulse(1) } // and `Pulse` to the `use` above
    student: Channels::new([Channel::pulse(0), Channel::pulse(1), Channel::pulse(2), Channel::pulse(3)]),

    // The craft gets the order that the instructor's transmitter has.
    craft: Channels::new([Channel::pulse(0), Channel::pulse(1), Channel::pulse(2), Channel::pulse(3)]),

    // The level of the short pulses between the channels: `High` where the line rests low. With the wrong one the log
    // says `Polarity`: of the instructor's train, nobody flies; of the student's, the student never gets the craft.
    instructor_train: DecoderSetup { jitter: JITTER, ..DecoderSetup::new(Level::High) },
    student_train: DecoderSetup { jitter: JITTER, ..DecoderSetup::new(Level::High) },
    craft_train: EncoderSetup::new(Level::High),

    // What you hear: the rhythms of the project. Where nobody flies, it is told again every five seconds.
    cues: CueRules { nobody: CueRule { every: Duration::from_secs(5), ..CueRules::new().nobody }, ..CueRules::new() },
};

/// The same, checked while it is compiled.
pub(crate) static PLAN: CheckedPlan<AXES, CHANNELS, STUDENT_CHANNELS> = handback::checked!(AS_WRITTEN);
