//! A policy, or a whole box, as Rust text, a module for firmware: checked again by the compiler there.
//!
//! Every field is assigned, so that a default that changes in the library does not change the policy. No field is in a
//! struct expression, so that a field that is added to the library does not break the text.

use std::fmt;

use handback::cue::{Cue, Phrase};
use handback::{AxisSet, Deflection, Duration, Policy, Pulse, Rest, Transfer};

use super::fields::{AXIS, Field, Kind, LATCHES, whole};
use super::print_toml::Width;
use super::wiring::{BoxPlan, CHANNEL, CUE, CUES, MOST_CHANNELS, Side, TRAIN_IN, TRAIN_OUT, rule_of, sticks_of};
use crate::caution;
use crate::trace::Points;

/// A policy, and the names of its axes for comments.
pub(crate) struct RustPolicy<'a, const N: usize> {
    pub(crate) policy: &'a Policy<N>,
    pub(crate) names: &'a [String],
    /// The box around the policy.
    pub(crate) around: Option<&'a BoxPlan<N>>,
}

impl<const N: usize> fmt::Display for RustPolicy<'_, N> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let caution = caution::comments("//");
        match self.around {
            None => write!(
                f,
                "\
// A takeover policy, printed by `lesson policy --rust`. Save it as a module of its own, such as policy.rs: it has its own
// `use`. The compiler checks it once more; that it passes its check does not make it right for a craft.
{caution}
use handback::{{AxisRule, AxisSet, CheckedPolicy, Deflection, Duration, Policy, Rest, Scope, Transfer}};

/// The policy, checked when it is compiled. Behind each field are the rules that it belongs to, of core/CONTRACT.md.
pub static POLICY: CheckedPolicy<{N}> = handback::checked!({{
"
            )?,
            Some(_) => write!(
                f,
                "\
// The plan of a trainer box, printed by `lesson policy --rust`. Save it as a module of its own, such as plan.rs: it has
// its own `use`. The compiler checks it once more; that it passes its check does not make it right for a craft.
{caution}
#[allow(unused_imports)]
use handback::cue::{{CueRules, Phrase, Rhythm}};
use handback::ppm::{{DecoderSetup, EncoderSetup, Level}};
use handback::{{AxisRule, AxisSet, Channel, Channels, Deflection, Duration, Policy, Pulse, Rest, Scope, Transfer}};
use trainer_box::{{AxisName, CheckedPlan, Plan}};

/// The plan, checked when it is compiled. Behind each field of the policy are the rules that it belongs to, of
/// core/CONTRACT.md.
pub static PLAN: CheckedPlan<{N}, {MOST_CHANNELS}, {MOST_CHANNELS}> = handback::checked!({{
"
            )?,
        }
        self.write_policy(f)?;
        match self.around {
            None => writeln!(f, "    policy")?,
            Some(plan) => write_plan(f, self.names, *plan)?,
        }
        writeln!(f, "}});")
    }
}

impl<const N: usize> RustPolicy<'_, N> {
    fn write_policy(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut policy = *self.policy;
        writeln!(f, "    let mut policy = Policy::new([")?;
        for (rule, name) in policy.axes.iter().zip(self.names) {
            match rule.transfer {
                Transfer::Snap => writeln!(f, "        AxisRule::sprung(), // {name}")?,
                Transfer::Pickup => {
                    writeln!(f, "        AxisRule::unsprung({}), // {name}", RustDeflection(rule.failsafe))?;
                }
            }
        }
        writeln!(f, "    ]);")?;
        assign_fields(f, "policy", &whole(), &mut policy)?;
        assign_fields(f, "policy.latches", &LATCHES, &mut policy.latches)?;
        for (number, (rule, name)) in policy.axes.iter_mut().zip(self.names).enumerate() {
            writeln!(f, "\n    // {number}: {name}")?;
            assign_fields(f, &format!("policy.axes[{number}]"), &AXIS, rule)?;
        }
        Ok(())
    }
}

/// Writes the rest of a box around `policy`.
fn write_plan<const N: usize>(f: &mut fmt::Formatter<'_>, names: &[String], mut plan: BoxPlan<N>) -> fmt::Result {
    write!(
        f,
        "
    let mut plan = Plan {{
        names: AxisName::all({names:?}),
        policy,
        instructor: Channels {{ axes: [None; {N}] }},
        student: Channels {{ axes: [None; {N}] }},
        craft: Channels {{ axes: [None; {N}] }},
        instructor_train: DecoderSetup::new(Level::High),
        student_train: DecoderSetup::new(Level::High),
        craft_train: EncoderSetup::new(Level::High),
        cues: CueRules::new(),
    }};
"
    )?;
    assign_fields(f, "plan.instructor_train", &TRAIN_IN, &mut plan.instructor_train)?;
    writeln!(f)?;
    assign_fields(f, "plan.student_train", &TRAIN_IN, &mut plan.student_train)?;
    writeln!(f)?;
    assign_fields(f, "plan.craft_train", &TRAIN_OUT, &mut plan.craft_train)?;
    writeln!(f)?;
    assign_fields(f, "plan.cues", &CUES, &mut plan.cues)?;
    for cue in Cue::ALL {
        assign_fields(f, &format!("plan.cues.{}", cue.name()), &CUE, rule_of(&mut plan.cues, cue))?;
    }
    for (number, name) in names.iter().enumerate() {
        for side in Side::ALL {
            let Some(Some(channel)) = sticks_of(&mut plan, side).axes.get_mut(number) else { continue };
            writeln!(f, "\n    // {number}: {name}, {}", side.key())?;
            writeln!(f, "    let mut channel = Channel::pulse({});", channel.number)?;
            assign_fields(f, "channel", &CHANNEL, channel)?;
            writeln!(f, "    plan.{}.axes[{number}] = Some(channel);", side.key())?;
        }
    }
    writeln!(f, "    plan")
}

/// Writes an assignment for each field of `it`, which `path` names.
fn assign_fields<T>(f: &mut fmt::Formatter<'_>, path: &str, fields: &[Field<T>], it: &mut T) -> fmt::Result {
    for Field { name, rules, kind, .. } in fields {
        write!(f, "    {path}.{name} = ")?;
        match kind {
            Kind::Points(at) | Kind::Percent(at) => write!(f, "{}", RustDeflection(*at(it)))?,
            Kind::MaybePoints(at) => write!(f, "{}", RustOption(at(it).map(RustDeflection)))?,
            Kind::Time(at) | Kind::Micros(at) => write!(f, "{}", RustDuration(*at(it)))?,
            Kind::MaybeTime(at) => write!(f, "{}", RustOption(at(it).map(RustDuration)))?,
            Kind::Count(at) | Kind::Number(at) => write!(f, "{}", at(it))?,
            Kind::Flag(at) => write!(f, "{}", at(it))?,
            Kind::Axes(at) => write!(f, "{}", RustSet(*at(it)))?,
            // The names of the variants are those of `Debug`.
            Kind::Scope(at) => write!(f, "Scope::{:?}", at(it))?,
            Kind::Transfer(at) => write!(f, "Transfer::{:?}", at(it))?,
            Kind::Rest(at) => match *at(it) {
                Rest::At(rest) => write!(f, "Rest::At({})", RustDeflection(rest))?,
                Rest::WhereLeft { still } => write!(f, "Rest::WhereLeft {{ still: {} }}", RustDuration(still))?,
            },
            Kind::Pulse(at) => write!(f, "{}", RustPulse(*at(it)))?,
            Kind::MaybeCount(at) => write!(f, "{}", RustOption(*at(it)))?,
            Kind::Level(at) => write!(f, "Level::{:?}", at(it))?,
            Kind::Rhythm(at) => write!(f, "Rhythm::of({:?})", at(it).lengths())?,
            Kind::Phrase(at) => write!(f, "{}", RustOption(at(it).map(RustPhrase)))?,
        }
        writeln!(f, ";{}{rules}", if rules.is_empty() { "" } else { " // " })?;
    }
    Ok(())
}

/// In points where that gives the very bits, else in bits, with the points for whoever reads them.
struct RustDeflection(Deflection);

impl fmt::Display for RustDeflection {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let bits = self.0.to_bits();
        #[allow(clippy::cast_possible_truncation)] // the range of a deflection is -20000 to 20000 hundredths
        let centipoints = (f64::from(bits) * 10_000.0 / 16_384.0).round() as i32;
        if Deflection::from_centipoints(centipoints) != self.0 {
            write!(f, "Deflection::from_bits({bits} /* {} points */)", Points(self.0))
        } else if centipoints % 100 == 0 {
            write!(f, "Deflection::from_points({})", centipoints / 100)
        } else {
            write!(f, "Deflection::from_centipoints({centipoints})")
        }
    }
}

struct RustDuration(Duration);

impl fmt::Display for RustDuration {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.0.as_ticks() {
            us if us % 1000 == 0 => write!(f, "Duration::from_millis({})", us / 1000),
            us => write!(f, "Duration::from_micros({us})"),
        }
    }
}

/// In whole microseconds where that gives the very bits, else in sixteenths.
struct RustPulse(Pulse);

impl fmt::Display for RustPulse {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (self.0, self.0.to_micros()) {
            (pulse, us) if Pulse::from_micros(us.into()) == pulse => write!(f, "Pulse::from_micros({us})"),
            (pulse, _) => write!(f, "Pulse::from_bits({} /* {} us */)", pulse.to_bits(), Width(pulse)),
        }
    }
}

struct RustPhrase(Phrase);

impl fmt::Display for RustPhrase {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Phrase {{ slot: {}, lasts: {} }}", self.0.slot, RustDuration(self.0.lasts))
    }
}

struct RustSet(AxisSet);

impl fmt::Display for RustSet {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.0.is_empty() {
            return f.write_str("AxisSet::EMPTY");
        }
        let axes = self.0.iter().map(|axis| axis.to_string()).collect::<Vec<_>>();
        write!(f, "AxisSet::of(&[{}])", axes.join(", "))
    }
}

struct RustOption<T>(Option<T>);

impl<T: fmt::Display> fmt::Display for RustOption<T> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.0 {
            Some(value) => write!(f, "Some({value})"),
            None => f.write_str("None"),
        }
    }
}
