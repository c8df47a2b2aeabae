//! What a box file holds beside the policy: channels, pulse trains and cues, and the table of their fields.

use handback::cue::{Cue, CueRule, CueRules};
use handback::ppm::{DecoderSetup, EncoderSetup, Level};
use handback::{Channel, Channels, Micros, Policy};
use trainer_box::{AxisName, Plan};

use super::fields::{Field, Kind, field};

/// The most channels of a train.
pub(crate) const MOST_CHANNELS: usize = 16;

/// The channels of one side.
pub(crate) type Sticks<const N: usize> = Channels<Micros, N, MOST_CHANNELS>;

/// A side of the box.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Side {
    Instructor,
    Student,
    Craft,
}

impl Side {
    pub(crate) const ALL: [Self; 3] = [Self::Instructor, Self::Student, Self::Craft];

    /// Its key in an `[[axis]]`, and the name of its table.
    pub(crate) const fn key(self) -> &'static str {
        match self {
            Self::Instructor => "instructor",
            Self::Student => "student",
            Self::Craft => "craft",
        }
    }
}

/// A whole box: its policy, the names of its axes, and the rest.
pub(crate) type BoxPlan<const N: usize> = Plan<N, MOST_CHANNELS, MOST_CHANNELS>;

/// A box with this policy and these names, without channels, and with the defaults of the library.
pub(crate) fn bare_box<const N: usize>(policy: Policy<N>, names: &[String]) -> BoxPlan<N> {
    let mut plan = Plan {
        names: [AxisName::new(""); N],
        policy,
        instructor: Channels { axes: [None; N] },
        student: Channels { axes: [None; N] },
        craft: Channels { axes: [None; N] },
        instructor_train: DecoderSetup::new(Level::High),
        student_train: DecoderSetup::new(Level::High),
        craft_train: EncoderSetup::new(Level::High),
        cues: CueRules::new(),
    };
    plan.names.iter_mut().zip(names).for_each(|(to, name)| *to = AxisName::new(name));
    plan
}

/// The channels of one side.
pub(crate) fn sticks_of<const N: usize>(plan: &mut BoxPlan<N>, side: Side) -> &mut Sticks<N> {
    match side {
        Side::Instructor => &mut plan.instructor,
        Side::Student => &mut plan.student,
        Side::Craft => &mut plan.craft,
    }
}

/// The fields of a train that comes in.
pub(crate) const TRAIN_IN: [Field<DecoderSetup>; 9] = [
    field("channels", "channels", "", Kind::MaybeCount(|setup| &mut setup.channels)),
    field("separators", "separators", "", Kind::Level(|setup| &mut setup.separators)),
    field("jitter", "jitter_us", "", Kind::Micros(|setup| &mut setup.jitter)),
    field("narrowest", "narrowest_us", "", Kind::Micros(|setup| &mut setup.narrowest)),
    field("widest", "widest_us", "", Kind::Micros(|setup| &mut setup.widest)),
    field("shortest", "shortest_us", "", Kind::Pulse(|setup| &mut setup.shortest)),
    field("longest", "longest_us", "", Kind::Pulse(|setup| &mut setup.longest)),
    field("gap", "gap_us", "", Kind::Micros(|setup| &mut setup.gap)),
    field("silence", "silence_ms", "", Kind::Time(|setup| &mut setup.silence)),
];

/// The fields of the train to the craft.
pub(crate) const TRAIN_OUT: [Field<EncoderSetup>; 7] = [
    field("channels", "channels", "", Kind::MaybeCount(|setup| &mut setup.channels)),
    field("separators", "separators", "", Kind::Level(|setup| &mut setup.separators)),
    field("frame_length", "frame_ms", "", Kind::Time(|setup| &mut setup.frame_length)),
    field("separator", "separator_us", "", Kind::Micros(|setup| &mut setup.separator)),
    field("shortest", "shortest_us", "", Kind::Pulse(|setup| &mut setup.shortest)),
    field("longest", "longest_us", "", Kind::Pulse(|setup| &mut setup.longest)),
    field("gap", "gap_us", "", Kind::Micros(|setup| &mut setup.gap)),
];

/// The fields of the channel of an axis.
pub(crate) const CHANNEL: [Field<Channel<Micros>>; 11] = [
    field("number", "channel", "", Kind::Number(|channel| &mut channel.number)),
    field("reversed", "reversed", "", Kind::Flag(|channel| &mut channel.reversed)),
    field("low", "low_us", "", Kind::Pulse(|channel| &mut channel.low)),
    field("centre", "centre_us", "", Kind::Pulse(|channel| &mut channel.centre)),
    field("high", "high_us", "", Kind::Pulse(|channel| &mut channel.high)),
    field("lowest", "lowest_us", "", Kind::Pulse(|channel| &mut channel.lowest)),
    field("highest", "highest_us", "", Kind::Pulse(|channel| &mut channel.highest)),
    field("trim", "trim_points", "", Kind::Points(|channel| &mut channel.trim)),
    field("rate", "rate_percent", "", Kind::Percent(|channel| &mut channel.rate)),
    field("limit_below", "limit_below_points", "", Kind::MaybePoints(|channel| &mut channel.limit_below)),
    field("limit_above", "limit_above_points", "", Kind::MaybePoints(|channel| &mut channel.limit_above)),
];

/// The fields of all cues together.
pub(crate) const CUES: [Field<CueRules>; 1] = [field("rest", "rest_ms", "", Kind::Time(|rules| &mut rules.rest))];

/// The fields of one cue.
pub(crate) const CUE: [Field<CueRule>; 6] = [
    field("rhythm", "rhythm_ms", "", Kind::Rhythm(|rule| &mut rule.rhythm)),
    field("lamp", "lamp", "", Kind::Flag(|rule| &mut rule.lamp)),
    field("beeper", "beeper", "", Kind::Flag(|rule| &mut rule.beeper)),
    field("vibration", "vibration", "", Kind::Flag(|rule| &mut rule.vibration)),
    field("phrase", "phrase", "", Kind::Phrase(|rule| &mut rule.phrase)),
    field("every", "every_ms", "", Kind::Time(|rule| &mut rule.every)),
];

/// The rule of a cue, to be set.
pub(crate) fn rule_of(rules: &mut CueRules, cue: Cue) -> &mut CueRule {
    match cue {
        Cue::Taken => &mut rules.taken,
        Cue::Lost => &mut rules.lost,
        Cue::Nobody => &mut rules.nobody,
        Cue::HandedBack => &mut rules.handed_back,
        Cue::Both => &mut rules.both,
        Cue::Offer => &mut rules.offer,
    }
}
