//! The tables of a box: channels, pulse trains and cues, and where in the file an error of them is.

use std::ops::Range;

use handback::cue::{Cue, CueError};
use handback::ppm::PpmError;
use handback::{Channel, ChannelError, Micros, Policy};
use trainer_box::{Part, PlanError};

use super::Document;
use super::entries::Entries;
use super::refusal;
use super::source::Source;
use super::value;
use crate::error::{Fault, quoted};
use crate::policy::fields::key_in;
use crate::policy::wiring::{BoxPlan, CHANNEL, CUE, CUES, Side, TRAIN_IN, TRAIN_OUT, bare_box, rule_of, sticks_of};

const EVERY_KEY: &str = "`lesson policy --box` prints a file with every key";

/// The tables of a box that are not in an axis.
#[derive(Default)]
pub(super) struct BoxTables {
    pub(super) instructor: Option<Entries>,
    pub(super) student: Option<Entries>,
    pub(super) craft: Option<Entries>,
    pub(super) cues: Option<Entries>,
    /// The table of each cue, in the order of [`Cue::ALL`].
    pub(super) each: [Option<Entries>; 6],
}

impl BoxTables {
    fn train(&self, side: Side) -> Option<&Entries> {
        match side {
            Side::Instructor => self.instructor.as_ref(),
            Side::Student => self.student.as_ref(),
            Side::Craft => self.craft.as_ref(),
        }
    }

    fn cue(&self, cue: Cue) -> Option<&Entries> {
        self.each.get(usize::from(cue.index())).and_then(Option::as_ref)
    }
}

impl Document {
    /// Where the first table of a box is; `None` where the file is a policy alone.
    pub(super) fn first_of_box(&self) -> Option<Range<usize>> {
        let BoxTables { instructor, student, craft, cues, each } = &self.boxed;
        let of_axes = self.axes.iter().flat_map(|axis| &axis.sides);
        let all = [instructor, student, craft, cues].into_iter().chain(each).chain(of_axes).flatten();
        all.map(|entries| entries.place().clone()).min_by_key(|place| place.start)
    }

    /// Reads the tables of the box, of which `first` is the first, around this policy.
    pub(super) fn plan<const N: usize>(
        &self,
        source: &Source,
        first: &Range<usize>,
        policy: Policy<N>,
    ) -> Result<BoxPlan<N>, Fault> {
        let names = self.axes.iter().map(|axis| axis.name.get_ref().clone()).collect::<Vec<_>>();
        let mut plan = bare_box(policy, &names);
        for side in Side::ALL {
            let Some(entries) = self.boxed.train(side) else {
                let found = format!("the box has no table [{}]", side.key());
                return Err(source.fault("", first, found, format!("add it; {EVERY_KEY}")));
            };
            needed(
                source,
                entries,
                "separators",
                "the level of the short pulses between channels, \"high\" or \"low\"",
            )?;
            if side != Side::Craft {
                needed(source, entries, "channels", "how many channels the train has")?;
            }
            match side {
                Side::Instructor => entries.apply(source, &TRAIN_IN, &mut plan.instructor_train)?,
                Side::Student => entries.apply(source, &TRAIN_IN, &mut plan.student_train)?,
                Side::Craft => entries.apply(source, &TRAIN_OUT, &mut plan.craft_train)?,
            }
        }
        // The channels without an axis come from the instructor.
        plan.craft_train.channels = plan.craft_train.channels.or(plan.instructor_train.channels);
        for (number, axis) in self.axes.iter().enumerate() {
            for (entries, side) in axis.sides.iter().zip(Side::ALL) {
                if let (Some(entries), Some(to)) = (entries, sticks_of(&mut plan, side).axes.get_mut(number)) {
                    *to = Some(channel(source, entries)?);
                }
            }
        }
        if let Some(entries) = &self.boxed.cues {
            entries.apply(source, &CUES, &mut plan.cues)?;
        }
        for (cue, entries) in Cue::ALL.into_iter().zip(&self.boxed.each) {
            if let Some(entries) = entries {
                entries.apply(source, &CUE, rule_of(&mut plan.cues, cue))?;
            }
        }
        Ok(plan)
    }

    /// Puts a refusal of the box at the key it is about, or at the nearest one that is written.
    pub(super) fn complain_of_box(&self, source: &Source, first: &Range<usize>, why: &PlanError) -> Fault {
        let told = refusal::of_box(why, |axis| self.axis_name(axis));
        let (key, place) = match why {
            PlanError::Channels(part, why) => self.place_in_axis(*part, *why),
            PlanError::Train(part, why) => self.place_in_train(side_of(*part), why),
            PlanError::Cues(why) => self.place_in_cues(why),
            PlanError::InstructorReduced { axis } => {
                let keys = ["rate_percent", "limit_below_points", "limit_above_points"];
                let entries = self.side(Part::Instructor, *axis);
                let written = entries.and_then(|entries| keys.into_iter().find(|key| entries.get(key).is_some()));
                written.and_then(|key| Some((key, entries?.place_or_table(key))))
            }
            PlanError::NoSuchChannel { part, axis, .. } => {
                self.side(*part, *axis).map(|entries| ("channel", entries.place_or_table("channel")))
            }
            PlanError::CraftChannels { .. } => {
                self.boxed.craft.as_ref().map(|entries| ("channels", entries.place_or_table("channels")))
            }
            PlanError::Name { axis, .. }
            | PlanError::InstructorChannel { axis }
            | PlanError::SharedChannel { axis, .. } => {
                self.axes.get(usize::from(*axis)).map(|axis| ("name", axis.name.span()))
            }
            PlanError::Policy(_) => None,
        }
        .unwrap_or(("", first.clone()));
        source.told(key, &place, told)
    }

    fn axis_name(&self, axis: u8) -> String {
        self.axes.get(usize::from(axis)).map_or(format!("{axis}"), |axis| quoted(axis.name.get_ref().as_bytes()))
    }

    fn side(&self, part: Part, axis: u8) -> Option<&Entries> {
        let place = Side::ALL.into_iter().position(|side| side == side_of(part))?;
        self.axes.get(usize::from(axis))?.sides.get(place)?.as_ref()
    }

    fn place_in_axis(&self, part: Part, why: ChannelError<Micros>) -> Option<(&'static str, Range<usize>)> {
        let key = key_in(&CHANNEL, why.field())?;
        Some((key, self.side(part, why.axis()?)?.place_or_table(key)))
    }

    fn place_in_train(&self, side: Side, why: &PpmError) -> Option<(&'static str, Range<usize>)> {
        let field = why.field().name();
        let key = if side == Side::Craft { key_in(&TRAIN_OUT, field) } else { key_in(&TRAIN_IN, field) };
        Some((key?, self.boxed.train(side)?.place_or_table(key?)))
    }

    fn place_in_cues(&self, why: &CueError) -> Option<(&'static str, Range<usize>)> {
        let Some(cue) = why.cue() else {
            let key = key_in(&CUES, why.field())?;
            return Some((key, self.boxed.cues.as_ref()?.place_or_table(key)));
        };
        let key = key_in(&CUE, why.field())?;
        Some((key, self.boxed.cue(cue).or(self.boxed.cues.as_ref())?.place_or_table(key)))
    }
}

/// The channel of one side of an axis, not yet checked.
fn channel(source: &Source, entries: &Entries) -> Result<Channel<Micros>, Fault> {
    needed(source, entries, "channel", "the number of the channel, counted from 0")?;
    let number = entries.get("channel").map_or(Ok(0), |value| value::count(source, "channel", value))?;
    let mut channel = Channel::pulse(number);
    entries.apply(source, &CHANNEL, &mut channel)?;
    Ok(channel)
}

/// Refuses a table without a key that has no default.
fn needed(source: &Source, entries: &Entries, key: &str, what: &str) -> Result<(), Fault> {
    if entries.get(key).is_some() {
        return Ok(());
    }
    let place = entries.place();
    Err(source.fault(source.key_at(place), place, format!("missing field `{key}`"), format!("add {key}, {what}")))
}

fn side_of(part: Part) -> Side {
    match part {
        Part::Instructor => Side::Instructor,
        Part::Student => Side::Student,
        Part::Craft => Side::Craft,
    }
}
