//! The command `tune`: thresholds from a recording of untouched sticks.
//!
//! The thresholds meet the same requirements as those of the device (`handback::calibrate`). The tool has the whole
//! recording, so its report and picture also show the evidence.

pub(crate) mod advice;
mod blocks;
mod columns;
pub(crate) mod counted;
pub(crate) mod doubt;
pub(crate) mod frozen;
pub(crate) mod help;
pub(crate) mod histogram;
mod hum;
pub(crate) mod live;
pub(crate) mod options;
pub(crate) mod pace;
pub(crate) mod rate;
pub(crate) mod recording;
pub(crate) mod report;
pub(crate) mod rest;
mod scale;
pub(crate) mod session;
pub(crate) mod spectrum;
pub(crate) mod study;
pub(crate) mod sweep;
#[cfg(test)]
mod tests;
pub(crate) mod tuned;
pub(crate) mod words;

use handback::{AxisRule, Duration, Policy, Rest};

use self::advice::{Reading, Target};
use self::columns::Unit;
use self::options::{Centre, Options};
use self::pace::Pace;
use self::recording::Recording;
use self::rest::AxisRest;
use self::scale::Scale;
use self::study::{Given, Study};
use self::sweep::Swept;
use crate::count::seconds;
use crate::error::Fault;
use crate::policy::BoxPlan;

/// Fewer frames than three blocks of 64 say nothing.
const LEAST_FRAMES: usize = 192;
/// A recording of sweeps may be as short as a few of them.
const LEAST_SWEPT: usize = 100;

/// The results for the whole recording and for each axis.
pub(crate) struct Tuning {
    /// The name of the file.
    pub(crate) title: String,
    pub(crate) lasted_s: f64,
    pub(crate) frames: usize,
    pub(crate) pace: Pace,
    pub(crate) hours_apart: f64,
    /// Number of watched axes.
    pub(crate) watched: usize,
    pub(crate) axes: Vec<Study>,
}

impl Tuning {
    /// Target of one axis, in hours of flying per false takeover: the common target times the number of watched axes.
    fn hours_of_each(&self) -> f64 {
        self.hours_apart * f64::from(u32::try_from(self.watched).unwrap_or(u32::MAX))
    }
}

/// The options with what the box says, where nobody else does: its jitter, and the centres of
/// its channels for columns of pulse widths.
fn with_box<const N: usize>(options: &Options, recording: &Recording, plan: &BoxPlan<N>) -> Options {
    let mut options = options.clone();
    options.jitter = options.jitter.or(Some(f64::from(plan.instructor_train.jitter.as_ticks())));
    for ((name, unit), channel) in recording.names.iter().zip(&recording.units).zip(&plan.instructor.axes) {
        let is_said = options.centre.iter().any(|centre| centre.axis == *name);
        if let (Unit::Micros, false, Some(channel)) = (unit, is_said, channel) {
            options.centre.push(Centre { axis: name.clone(), us: f64::from(channel.centre.to_bits()) / 16.0 });
        }
    }
    options
}

/// Everything that the recordings say.
fn study<const N: usize>(
    options: &Options,
    recording: &Recording,
    pace: Pace,
    sweep: Option<&(Recording, Pace)>,
    base: &Policy<N>,
) -> Tuning {
    let watched = base.watched.len() as usize;
    let device = handback::calibrate::Target::new(Duration::from_millis(20));
    let mut axes = Vec::new();
    for (axis, (number, rule)) in (0_u8..).zip(&base.axes).enumerate() {
        let sprung = matches!(rule.rest, Rest::At(_));
        let bounds = if sprung { device.sprung } else { device.unsprung };
        let [least, aim, most] = [bounds.least, bounds.aim, bounds.most].map(study::in_points);
        let target =
            Target { hours_apart: options.hours_apart, axes: watched, frame_s: pace.frame_s, least, aim, most };
        let scale = Scale::of(recording, axis, options);
        let points = scale.points(&recording.axes[axis]);
        let Some(rest) = AxisRest::measure(&points) else { continue };
        let swept_points = sweep.map(|(sweep, _)| scale.points(&sweep.axes[axis]));
        let swept = sweep
            .zip(swept_points.as_deref())
            .map(|((_, pace), points)| Swept::measure(points, &rest, sprung, pace.frame_s));
        let reading = Reading {
            step: options.step.or_else(|| scale.step(&points, swept_points.as_deref())),
            clear: options.clear_steps,
            jitter: match (recording.units[axis], recording.us_per_point) {
                (Unit::Micros, _) => options.jitter.unwrap_or(0.0) / scale.per_point,
                (Unit::Points, Some(us)) => options.jitter.unwrap_or(0.0) / us,
                _ => 0.0,
            },
        };
        let given = Given {
            name: &recording.names[axis],
            rule: *rule,
            watched: base.watched.contains(number),
            target,
            reading,
            swept,
            centre_counts: (recording.units[axis] == Unit::Counts).then_some(scale.zero),
        };
        axes.push(Study::of(given, recording, &points, rest));
    }
    Tuning {
        title: recording.path.file_name().unwrap_or_default().display().to_string(),
        lasted_s: recording.lasted_s(),
        frames: recording.time_us.len(),
        pace,
        hours_apart: options.hours_apart,
        watched,
        axes,
    }
}

/// A throttle by a name that is not known for one would be given a fixed rest, and take the craft wherever else it is
/// parked: where a stick rests far out, somebody must say that a spring brings it there. All such axes are named.
fn check_springs(recording: &Recording, tuning: &Tuning) -> Result<(), Fault> {
    let far = tuning.axes.iter().filter(|study| study.is_sprung_far_out());
    let far = far.map(|study| {
        let name = crate::error::quoted(study.name.as_bytes());
        format!("{name} at rest at {:+.2} points", study.off_middle())
    });
    let far = far.collect::<Vec<_>>();
    if far.is_empty() {
        return Ok(());
    }
    let found = format!("has {}, too far from the centre for a sprung stick", far.join(" and "));
    let remedy = "record it again if a hand moved it; otherwise set its kind in a policy to \"unsprung\" (a throttle) or \
                \"sprung\", and give that as --policy";
    Err(Fault::new(&recording.path, found, remedy))
}

/// Counts are no points until it is said how many are full travel.
fn check_travel(options: &Options, recording: &Recording) -> Result<(), Fault> {
    let counts = recording.units.iter().position(|&unit| unit == Unit::Counts);
    match (counts, options.full_travel) {
        (Some(axis), None) => {
            let found = format!(
                "column counts:{} is in counts of a converter, and their full travel is not given",
                recording.names[axis]
            );
            Err(Fault::new(&recording.path, found, "add --full-travel and the counts from the centre to an end"))
        }
        (None, Some(_)) => {
            let found = "has no column that begins with counts:, and --full-travel is given";
            Err(Fault::new(&recording.path, found, "leave --full-travel out"))
        }
        _ => Ok(()),
    }
}

/// A centre is that of an axis, and of pulses; each axis has one.
fn check_centres(options: &Options, recording: &Recording) -> Result<(), Fault> {
    for (n, centre) in options.centre.iter().enumerate() {
        let axis = recording.names.iter().position(|name| *name == centre.axis);
        let name = crate::error::quoted(centre.axis.as_bytes());
        let (found, remedy) = match axis {
            None => (format!("has no axis {name}, and --centre names it"), "name an axis of the recording"),
            Some(axis) if recording.units[axis] != Unit::Micros => {
                (format!("has no pulse widths of {name}, and --centre gives one"), "leave --centre out")
            }
            _ if options.centre[..n].iter().any(|other| other.axis == centre.axis) => {
                (format!("has one axis {name}, and --centre names it twice"), "give one centre")
            }
            Some(_) => continue,
        };
        return Err(Fault::new(&recording.path, found, remedy));
    }
    Ok(())
}

/// The recording of sweeps, of the same axes in the same units and at the same pace, in the order of the rest.
fn sweep_of(mut sweep: Recording, rest: &Recording, pace: &Pace) -> Result<(Recording, Pace), Fault> {
    let path = &sweep.path.clone();
    let rest_name = rest.path.display();
    let mut order = Vec::new();
    for (name, unit) in rest.names.iter().zip(&rest.units) {
        let Some(axis) = sweep.names.iter().position(|other| other == name) else {
            let found = format!("has no axis {}, which {rest_name} has", crate::error::quoted(name.as_bytes()));
            return Err(Fault::new(path, found, "record the same sticks"));
        };
        if sweep.units[axis] != *unit {
            let found = format!("has axis {} in another unit than {rest_name}", crate::error::quoted(name.as_bytes()));
            return Err(Fault::new(path, found, "record both in the same units"));
        }
        order.push(axis);
    }
    let swept = Pace::of(&sweep, LEAST_SWEPT)?;
    if !(0.8..=1.25).contains(&(swept.frame_s / pace.frame_s)) {
        let [here, there] = [swept.frame_s, pace.frame_s].map(|frame_s| frame_s * 1000.0);
        let found = format!("has a frame every {here:.1} ms, and {rest_name} every {there:.1} ms");
        return Err(Fault::new(path, found, "record both at the rate of the lesson"));
    }
    sweep.axes = order.into_iter().map(|axis| std::mem::take(&mut sweep.axes[axis])).collect();
    (sweep.names, sweep.units) = (rest.names.clone(), rest.units.clone());
    Ok((sweep, swept))
}

/// The rule of an axis with its recommended thresholds and its measured rest. An axis that is not watched keeps its
/// rule; `None` where there are no thresholds.
fn tuned_rule(rule: AxisRule, study: &Study) -> Option<AxisRule> {
    let thresholds = match &study.verdict {
        study::Verdict::NotWatched => return Some(rule),
        study::Verdict::Quiet(thresholds) => thresholds,
        _ => return None,
    };
    let mut rule = counted::with(rule, thresholds.engage, thresholds.release, thresholds.confirm);
    if let Rest::At(rest) = &mut rule.rest {
        *rest = counted::nearest(study.rest.mean);
    }
    Some(rule)
}
