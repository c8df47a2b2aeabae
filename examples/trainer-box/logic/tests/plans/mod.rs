//! The plan that tests begin with.

use handback::cue::CueRules;
use handback::ppm::{DecoderSetup, EncoderSetup, Level};
use handback::{AxisRule, Channels, Deflection, Policy};
use trainer_box::{AxisName, Plan};

/// A plan with room for `M` channels of each train, of which each has eight.
pub(crate) fn plan<const M: usize>() -> Plan<4, M, M> {
    let stick = AxisRule::sprung();
    let mut plan = Plan {
        names: AxisName::all(["aileron", "elevator", "throttle", "rudder"]),
        policy: Policy::new([stick, stick, AxisRule::unsprung(Deflection::from_points(-100)), stick]),
        instructor: Channels::pulses(),
        student: Channels::pulses(),
        craft: Channels::pulses(),
        instructor_train: DecoderSetup::new(Level::High),
        student_train: DecoderSetup::new(Level::High),
        craft_train: EncoderSetup::new(Level::High),
        cues: CueRules::new(),
    };
    plan.instructor_train.channels = Some(8);
    plan.student_train.channels = Some(8);
    plan.craft_train.channels = Some(8);
    plan
}
