//! Plans to store: the default one, random ones, and the one with the longest file.

use handback::cue::{Cue, CueRule, CueRules};
use handback::ppm::{DecoderSetup, EncoderSetup, Level};
use handback::{AxisRule, AxisSet, Channel, Channels, Deflection, Duration, Micros, Policy, Pulse, Rest, Transfer};
use seeded::Random;
use trainer_box::{AxisName, Plan};
use trainer_box_store::{FILE_BYTES, encode};

pub(crate) type BoxPlan = Plan<4, 16, 16>;

/// A plan that passes its check.
pub(crate) fn plan() -> BoxPlan {
    let stick = AxisRule::sprung();
    let mut plan = Plan {
        names: AxisName::all(["aileron", "elevator", "throttle", "rudder"]),
        policy: Policy::new([stick, stick, AxisRule::unsprung(Deflection::from_points(-100)), stick]),
        instructor: Channels::pulses(),
        student: Channels::pulses(),
        craft: Channels::pulses(),
        instructor_train: DecoderSetup::new(Level::High),
        student_train: DecoderSetup::new(Level::Low),
        craft_train: EncoderSetup::new(Level::High),
        cues: CueRules::new(),
    };
    plan.instructor_train.channels = Some(8);
    plan.student_train.channels = Some(6);
    plan.craft_train.channels = Some(8);
    plan
}

/// Another plan for every number, which passes its check too.
pub(crate) fn numbered(number: u32) -> BoxPlan {
    let mut plan = plan();
    plan.policy.dwell = Duration::from_ticks(300_000 + number);
    plan
}

/// The file of a plan.
pub(crate) fn file(plan: &BoxPlan) -> Vec<u8> {
    encode(plan, &mut [0; FILE_BYTES]).expect("it fits").to_vec()
}

fn channel(random: &mut Random) -> Option<Channel<Micros>> {
    if random.chance(0.2) {
        return None;
    }
    let mut channel = Channel::pulse(random.below(16).try_into().expect("small"));
    channel.reversed = random.chance(0.5);
    for reading in [&mut channel.low, &mut channel.centre, &mut channel.high, &mut channel.lowest, &mut channel.highest]
    {
        *reading = Pulse::from_bits(bits(random));
    }
    (channel.trim, channel.rate) = (deflection(random), deflection(random));
    channel.limit_below = random.chance(0.5).then(|| deflection(random));
    channel.limit_above = random.chance(0.5).then(|| deflection(random));
    Some(channel)
}

fn bits(random: &mut Random) -> u16 {
    (random.next() >> 48).try_into().expect("16 bits")
}

fn deflection(random: &mut Random) -> Deflection {
    Deflection::from_bits(bits(random).cast_signed())
}

/// Any time, more often a short one.
fn time(random: &mut Random) -> Duration {
    let shift = random.below(32);
    Duration::from_ticks(u32::try_from(random.next() >> 32).expect("32 bits") >> shift)
}

fn level(random: &mut Random) -> Level {
    Level::from(random.chance(0.5))
}

/// A plan with any values, which need not pass a check.
pub(crate) fn any(random: &mut Random) -> BoxPlan {
    let mut plan = plan();
    let name: String =
        (0..random.below(16)).map(|_| char::from(b' ' + u8::try_from(random.below(95)).unwrap())).collect();
    plan.names[random.below(4)] = AxisName::new(&name);
    for axes in [&mut plan.instructor.axes, &mut plan.student.axes, &mut plan.craft.axes] {
        for axis in axes {
            *axis = channel(random);
        }
    }
    for rule in &mut plan.policy.axes {
        (rule.engage, rule.release, rule.failsafe) = (deflection(random), deflection(random), deflection(random));
        rule.confirm = u8::try_from(random.below(256)).expect("a byte");
        rule.window = random.chance(0.5).then(|| deflection(random));
        rule.transfer = if random.chance(0.5) { Transfer::Pickup } else { Transfer::Snap };
        if random.chance(0.3) {
            rule.rest = Rest::WhereLeft { still: time(random) };
        }
    }
    (plan.policy.shared, plan.policy.watched) = (AxisSet::from_bits(bits(random)), AxisSet::from_bits(bits(random)));
    (plan.policy.dwell, plan.policy.fade) = (time(random), time(random));
    for train in [&mut plan.instructor_train, &mut plan.student_train] {
        train.separators = level(random);
        train.channels = random.chance(0.5).then(|| u8::try_from(random.below(256)).expect("a byte"));
        (train.jitter, train.gap, train.silence) = (time(random), time(random), time(random));
    }
    plan.craft_train.separators = level(random);
    plan.craft_train.frame_length = time(random);
    plan.cues.rest = time(random);
    plan.cues.taken = CueRule::of(Cue::ALL[random.below(Cue::ALL.len())].rhythm());
    plan.cues.lost.every = time(random);
    plan
}
