//! What the crate says in words at run time, and its conversions: by table, since most of it is read by the compiler alone.

use handback::cue::{Cue, CueError, CueRules, Rhythm};
use handback::ppm::{DecoderSetup, Level, PpmError};
use handback::{
    AxisSet, Channel, ChannelError, Channels, Counts, Duration, Error, Latches, Message, Micros, Policy, PolicyError,
    Rest,
};
use handback_host_tests::{sprung, us};

/// Gives one field of a policy this duration.
type Change = fn(&mut Policy<2>, Duration);

/// Given the error of each set-up, when it is converted into the one error, then the text names the set-up, the place, the
/// value and the mend.
#[test]
fn the_one_error_names_the_set_up_and_what_is_wrong() {
    let mut policy = sprung::<4>();
    policy.axes[3].confirm = 0;
    let pulses = Channels::<_, 1, 8>::new([Channel::pulse(8)]);
    let counts = Channels::<_, 1, 8>::new([Channel::counts(9, [100, 2000, 4000], 4095)]);
    let mut train = DecoderSetup::new(Level::High);
    train.narrowest = us(0);
    let mut rules = CueRules::new();
    rules.both.rhythm = Rhythm::of([100]);
    let told: [(Error, &str); 5] = [
        (policy.check().expect_err("confirm").into(), "policy: axis 3: confirm is 0: it must be 1 or more"),
        (
            pulses.check().expect_err("channel").into(),
            "channels: axis 0: number is 8: there are only 8 channels, counted from 0",
        ),
        (
            counts.check().expect_err("channel").into(),
            "channels: axis 0: number is 9: there are only 8 channels, counted from 0",
        ),
        (train.check::<8>().expect_err("narrowest").into(), "PPM: narrowest is 0: a separator must have a width"),
        (
            rules.check().expect_err("one pulse").into(),
            "cues: both: rhythm has 1 pulse: it must have 2 or more, or none",
        ),
    ];
    for (why, text) in told {
        assert_eq!((why.message().as_str(), why.to_string().as_str()), (text, text));
    }
    // The kinds stay what they were.
    assert!(matches!(told[0].0, Error::Policy(PolicyError::Confirm { axis: 3 })));
    assert!(matches!(told[1].0, Error::Pulses(ChannelError::<Micros>::PastLast { .. })));
    assert!(matches!(told[2].0, Error::Counts(ChannelError::<Counts>::PastLast { .. })));
    assert!(matches!(told[3].0, Error::Ppm(PpmError::Zero { .. })));
    assert!(matches!(told[4].0, Error::Cues(CueError::SinglePulse { cue: Cue::Both })));
}

/// Given each duration of a policy beyond half the range of the clock, when the policy is checked, then the text names the
/// field, the value and what is accepted.
#[test]
fn a_duration_that_is_too_long_is_named_by_its_field() {
    let long = Duration::from_ticks((1 << 31) + 1);
    let fields: [(&str, Change); 11] = [
        ("settle", |policy, long| policy.settle = long),
        ("dwell", |policy, long| policy.dwell = long),
        ("fade", |policy, long| policy.fade = long),
        ("pickup_max", |policy, long| policy.pickup_max = long),
        ("timeout", |policy, long| policy.timeout = long),
        ("requalify", |policy, long| policy.requalify = long),
        ("frozen_after", |policy, long| policy.frozen_after = Some(long)),
        ("failsafe_after", |policy, long| policy.failsafe_after = long),
        ("late_step", |policy, long| policy.late_step = long),
        ("lasted", |policy, long| policy.latches = Latches { lasted: Some(long), beyond: None }),
        ("axis 1: still", |policy, long| policy.axes[1].rest = Rest::WhereLeft { still: long }),
    ];
    for (field, change) in fields {
        let mut policy = sprung();
        change(&mut policy, long);
        let why = policy.check().expect_err(field).to_string();
        assert_eq!(
            why,
            format!("{field} is 2147483649 us: it must be at most half the range of the clock, 2147483648 us")
        );
    }
}

/// Given a text that is longer than a message, when it is appended, then the rest is dropped; where that cuts a character,
/// the message says that it is too long.
#[test]
fn a_message_drops_what_does_not_fit() {
    assert_eq!(Message::default().as_str(), "");
    let full = Message::new().text(&"a".repeat(175)).text("bc");
    assert_eq!(full.as_str(), format!("{}b", "a".repeat(175)));
    assert_eq!((full.to_string(), format!("{full:?}")), (full.as_str().into(), format!("{:?}", full.as_str())));
    let cut = Message::new().text(&"a".repeat(175)).text("\u{e9}");
    assert_eq!(cut.as_str(), "an error is too long to be told");
    assert_eq!(Message::new().number(1_286_609_753).as_str(), "1286609753");
}

/// Given numbers of axes past 15, when they are put into a set, then they are left out.
#[test]
fn an_axis_past_15_is_in_no_set() {
    let set = AxisSet::of(&[0, 15, 16, 255]);
    assert_eq!((set.to_bits(), set.len()), (0x8001, 2));
    assert_eq!(set.with(16), set);
    assert_eq!(set.without(16), set);
    assert!(!set.contains(16));
}
