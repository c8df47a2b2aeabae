//! A policy as a TOML file that reads back as the same policy: for a lesson that is to be flown again as it was.

use std::fmt::{self, Display};

use handback::cue::Cue;
use handback::{Duration, Policy, Pulse, Rest, Transfer};

use super::fields::{AXIS, Choice, Field, Kind, LATCHES, PHRASE_LASTS, STILL, WHERE_LEFT, whole};
use super::wiring::{BoxPlan, CHANNEL, CUE, CUES, Side, TRAIN_IN, TRAIN_OUT, rule_of, sticks_of};
use crate::caution;
use crate::trace::Points;

/// A policy and the names of its axes, and the box around it where there is one.
pub(crate) struct TomlPolicy<'a, const N: usize> {
    pub(crate) policy: &'a Policy<N>,
    pub(crate) names: &'a [String],
    pub(crate) around: Option<&'a BoxPlan<N>>,
}

impl<const N: usize> Display for TomlPolicy<'_, N> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (mut policy, mut around) = (*self.policy, self.around.copied());
        let (what, option) = if around.is_some() { ("box", " --box") } else { ("lesson", "") };
        writeln!(f, "# The policy of a {what}. `lesson policy{option}` prints one in which every key is explained.")?;
        writeln!(f, "{}", caution::comments("#"))?;
        write_fields(f, &whole(), &mut policy)?;
        writeln!(f, "\n[latches]")?;
        write_fields(f, &LATCHES, &mut policy.latches)?;
        if let Some(plan) = &mut around {
            write_trains(f, plan)?;
        }
        for ((axis, mut rule), name) in (0_u8..).zip(policy.axes).zip(self.names) {
            writeln!(f, "\n[[axis]]")?;
            // A name may hold whatever a header may: the library quotes it.
            writeln!(f, "name = {}", toml::Value::String(name.clone()))?;
            // Every key is written, so that the kind only tells the reader what the stick is like.
            let kind = if rule.transfer == Transfer::Snap { "sprung" } else { "unsprung" };
            writeln!(f, "kind = \"{kind}\"")?;
            write_fields(f, &AXIS, &mut rule)?;
            for field in whole() {
                if let Kind::Axes(at) = field.kind {
                    writeln!(f, "{} = {}", field.key, at(&mut policy).contains(axis))?;
                }
            }
            let Some(plan) = &mut around else { continue };
            for side in Side::ALL {
                if let Some(Some(channel)) = sticks_of(plan, side).axes.get_mut(usize::from(axis)) {
                    writeln!(f, "\n[axis.{}]", side.key())?;
                    write_fields(f, &CHANNEL, channel)?;
                }
            }
        }
        Ok(())
    }
}

/// Writes the tables of a box that are not those of an axis.
fn write_trains<const N: usize>(f: &mut fmt::Formatter<'_>, plan: &mut BoxPlan<N>) -> fmt::Result {
    for (side, train) in [(Side::Instructor, &mut plan.instructor_train), (Side::Student, &mut plan.student_train)] {
        writeln!(f, "\n[{}]", side.key())?;
        write_fields(f, &TRAIN_IN, train)?;
    }
    writeln!(f, "\n[{}]", Side::Craft.key())?;
    write_fields(f, &TRAIN_OUT, &mut plan.craft_train)?;
    writeln!(f, "\n[cues]")?;
    write_fields(f, &CUES, &mut plan.cues)?;
    for cue in Cue::ALL {
        writeln!(f, "\n[cues.{}]", cue.name())?;
        write_fields(f, &CUE, rule_of(&mut plan.cues, cue))?;
    }
    Ok(())
}

/// Writes a line for each field of `it` but sets of axes, which are flags of each axis, and what is none.
fn write_fields<T>(f: &mut fmt::Formatter<'_>, fields: &[Field<T>], it: &mut T) -> fmt::Result {
    for Field { key, kind, .. } in fields {
        match kind {
            Kind::Points(at) | Kind::Percent(at) => writeln!(f, "{key} = {}", Points(*at(it)))?,
            Kind::MaybePoints(at) => at(it).map_or(Ok(()), |value| writeln!(f, "{key} = {}", Points(value)))?,
            Kind::Time(at) => writeln!(f, "{key} = {}", Millis(*at(it)))?,
            Kind::MaybeTime(at) => at(it).map_or(Ok(()), |value| writeln!(f, "{key} = {}", Millis(value)))?,
            Kind::Count(at) | Kind::Number(at) => writeln!(f, "{key} = {}", at(it))?,
            Kind::Flag(at) => writeln!(f, "{key} = {}", at(it))?,
            Kind::Scope(at) => writeln!(f, "{key} = \"{}\"", at(it).word())?,
            Kind::Transfer(at) => writeln!(f, "{key} = \"{}\"", at(it).word())?,
            Kind::Rest(at) => match *at(it) {
                Rest::At(rest) => writeln!(f, "{key} = {}", Points(rest))?,
                Rest::WhereLeft { still } => {
                    writeln!(f, "{} = \"{}\"\n{} = {}", WHERE_LEFT.0, WHERE_LEFT.1, STILL.1, Millis(still))?;
                }
            },
            Kind::Axes(_) => {}
            Kind::Micros(at) => writeln!(f, "{key} = {}", at(it).as_ticks())?,
            Kind::Pulse(at) => writeln!(f, "{key} = {}", Width(*at(it)))?,
            Kind::MaybeCount(at) => at(it).map_or(Ok(()), |count| writeln!(f, "{key} = {count}"))?,
            Kind::Level(at) => writeln!(f, "{key} = \"{}\"", at(it).word())?,
            Kind::Rhythm(at) => writeln!(f, "{key} = {:?}", at(it).lengths())?,
            Kind::Phrase(at) => {
                if let Some(phrase) = at(it) {
                    writeln!(f, "{key} = {}\n{} = {}", phrase.slot, PHRASE_LASTS.1, Millis(phrase.lasts))?;
                }
            }
        }
    }
    Ok(())
}

/// Microseconds as milliseconds, to the last one.
pub(crate) struct Millis(pub(crate) Duration);

impl Display for Millis {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let us = self.0.as_ticks();
        let text = format!("{}.{:03}", us / 1_000, us % 1_000);
        f.write_str(text.trim_end_matches('0').trim_end_matches('.'))
    }
}

/// The width of a pulse in microseconds, to the last sixteenth.
pub(crate) struct Width(pub(crate) Pulse);

impl Display for Width {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        // An f64 holds every sixteenth exactly, and prints no more digits than it needs.
        write!(f, "{}", f64::from(self.0.to_bits()) / 16.0)
    }
}

#[cfg(test)]
mod tests {
    use std::path::Path;

    use handback::{AxisRule, AxisSet, Deflection, Scope};
    use proptest::prelude::*;

    use super::*;
    use crate::policy::PolicyFile;

    fn policy() -> impl Strategy<Value = Policy<3>> {
        let duration = || prop_oneof![0..3_000_000_u32, Just(1), Just(1 << 31)].prop_map(Duration::from_ticks);
        let bits = |range: std::ops::RangeInclusive<i16>| range.prop_map(Deflection::from_bits);
        let rest = prop_oneof![
            bits(-16_384..=16_384).prop_map(Rest::At),
            duration().prop_map(|still| Rest::WhereLeft { still })
        ];
        let transfer = prop_oneof![Just(Transfer::Snap), Just(Transfer::Pickup)];
        let window = proptest::option::of(bits(0..=i16::MAX));
        let rule = (bits(2..=16_383), 1_u8.., rest, transfer, any::<bool>(), window, bits(-16_384..=16_384)).prop_map(
            |(engage, confirm, rest, transfer, keep, window, failsafe)| {
                let mut rule = AxisRule::unsprung(failsafe);
                (rule.engage, rule.release) = (engage, Deflection::from_bits(engage.to_bits() - 2));
                (rule.confirm, rule.rest, rule.transfer) = (confirm, rest, transfer);
                (rule.keep, rule.window) = (keep, window);
                rule
            },
        );
        let times = proptest::array::uniform6(duration());
        let frozen_after = proptest::option::of(duration());
        let latches = (proptest::option::of(duration()), proptest::option::of(bits(0..=16_383)));
        let scope = prop_oneof![Just(Scope::Craft), Just(Scope::Axis)];
        let whole = (1_u16..8, 0_u16..8, scope, bits(16_384..=i16::MAX), any::<bool>());
        (proptest::array::uniform3(rule), times, frozen_after, latches, whole).prop_map(
            |(axes, times, frozen_after, latches, whole)| {
                let [settle, dwell, fade, pickup_max, requalify, late_step] = times;
                let (watched, shared, scope, plausible, off_first_after_loss) = whole;
                let not_zero = |time: Duration| time.max(Duration::from_ticks(1));
                let mut policy = Policy::new(axes);
                policy.watched = AxisSet::from_bits(watched);
                policy.shared = AxisSet::from_bits(shared) & policy.watched;
                (policy.scope, policy.plausible, policy.off_first_after_loss) =
                    (scope, plausible, off_first_after_loss);
                (policy.settle, policy.dwell, policy.fade) = (not_zero(settle), dwell, fade);
                (policy.pickup_max, policy.requalify, policy.late_step) = (pickup_max, requalify, not_zero(late_step));
                policy.frozen_after = frozen_after.map(not_zero);
                (policy.latches.lasted, policy.latches.beyond) = latches;
                policy
            },
        )
    }

    proptest! {
        #[test]
        fn a_policy_that_was_written_reads_back_bit_for_bit(policy in policy()) {
            let names = ["aileron", "a \"quoted\" one", "#3"].map(str::to_owned);
            let text = TomlPolicy { policy: &policy, names: &names, around: None }.to_string();
            let file = PolicyFile::parse(Path::new("p.toml"), text.clone());
            let read = file.and_then(|file| file.check::<3>()).map_err(|why| TestCaseError::fail(format!("{why}\n{text}")))?;
            prop_assert_eq!(read.policy(), &policy, "{}", text);
        }
    }

    /// Given the default box with fields of every kind changed, when it is written and read, then it is the same box.
    #[test]
    fn a_box_that_was_written_reads_back_bit_for_bit() {
        let file = PolicyFile::parse(Path::new("b.toml"), crate::policy::default_box()).unwrap();
        let mut plan = file.plan::<4>().unwrap().unwrap();
        plan.instructor_train.separators = handback::ppm::Level::Low;
        plan.instructor_train.jitter = Duration::from_ticks(7);
        plan.student_train.channels = Some(5);
        plan.student_train.silence = Duration::from_ticks(60_001);
        plan.craft_train.frame_length = Duration::from_ticks(30_000);
        plan.cues.taken.phrase = Some(handback::cue::Phrase { slot: 0, lasts: Duration::from_millis(1500) });
        plan.cues.both.every = Duration::from_ticks(4_000_001);
        plan.cues.rest = Duration::from_ticks(1_600_000);
        plan.student.axes[1] = None;
        plan.policy.shared = AxisSet::of(&[0, 2, 3]);
        let channel = plan.student.axes[0].as_mut().unwrap();
        (channel.number, channel.reversed, channel.centre) = (4, true, Pulse::from_bits(24_003));
        (channel.rate, channel.limit_above) = (Deflection::from_points(60), Some(Deflection::from_bits(5)));
        channel.trim = Deflection::from_bits(-77);
        plan.check().unwrap();

        let names = file.names();
        let text = TomlPolicy { policy: &plan.policy, names: &names, around: Some(&plan) }.to_string();
        let read = PolicyFile::parse(Path::new("b.toml"), text.clone()).unwrap().plan::<4>();
        assert_eq!(read.unwrap_or_else(|why| panic!("{why}\n{text}")), Some(plan), "{text}");
    }
}
