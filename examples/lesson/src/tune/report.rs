//! The report of `tune`: plain text, at most 100 columns.

use std::io::{self, Write};
use std::path::{Path, PathBuf};

use handback::Policy;

use super::Tuning;
use super::doubt::BRIEF_S;
use super::frozen::{Frozen, Stillness};
use super::help::help;
use super::hum::Hum;
use super::study::{Study, Thresholds, in_points};
use super::sweep::SWEEPS;
use super::tuned::Tuned;
use super::words::{bandwidth, lasted, rate, strayed, two_digits, wrapped};
use crate::caution::CAUTION;
use crate::count::{counted, thousands};
use crate::report::{COLUMNS, Page};
use crate::trace::Points;

/// Everything that is reported.
pub(crate) struct Report<'a, const N: usize> {
    pub(crate) tuning: &'a Tuning,
    /// The policy that was started from.
    pub(crate) policy: &'a Policy<N>,
    pub(crate) tuned: Option<&'a Tuned<N>>,
    /// Whether sweeps were recorded.
    pub(crate) swept: bool,
    /// The student's recordings, where there are any.
    pub(crate) frozen: Option<Frozen>,
}

impl<const N: usize> Report<'_, N> {
    /// Prints it, with the places of the files that were written; `policy` is where the policy would be.
    pub(crate) fn print(&self, out: &mut impl Write, places: &[PathBuf], policy: &Path) -> io::Result<()> {
        let mut page = Page { out };
        self.recording(&mut page)?;
        for study in &self.tuning.axes {
            axis(&mut page, study, self.tuning)?;
        }
        self.dwell(&mut page)?;
        if let Some(frozen) = self.frozen {
            student_link(&mut page, frozen)?;
        }
        page.line("")?;
        for place in places {
            // A path is not wrapped, whatever its length.
            writeln!(page.out, "Written: {}", place.display())?;
        }
        if self.tuned.is_none() {
            let failed = self.tuning.axes.iter().filter(|study| study.thresholds().is_none() && study.is_watched());
            let names = failed.map(|study| study.name.as_str()).collect::<Vec<_>>().join(", ");
            page.paragraph(&format!("No policy written to {}: see what would help with {names}.", policy.display()))?;
        }
        CAUTION.iter().try_for_each(|line| page.line(line))
    }

    fn recording<W: Write>(&self, page: &mut Page<'_, W>) -> io::Result<()> {
        let Tuning { title, lasted_s, frames, pace, hours_apart, watched, .. } = self.tuning;
        page.line(&format!("Sticks at rest: {title}"))?;
        let every = pace.frame_s * 1000.0;
        let frames_a_second = two_digits(1.0 / pace.frame_s);
        page.row("recorded", &format!("{}   {}", lasted(*lasted_s), counted(*frames as u64, "frame")))?;
        page.row("from frame to frame", &format!("{every:.1} ms (median)   {frames_a_second} a second"))?;
        page.row(
            "jitter",
            &format!("{:.1} ms: 19 of 20 intervals are within this of the median", pace.jitter_s * 1000.0),
        )?;
        let gaps = if pace.dropped == 0 {
            "none".to_owned()
        } else {
            format!("{}   the longest gap {:.0} ms", thousands(pace.dropped), pace.longest_s * 1000.0)
        };
        page.row("dropped frames", &gaps)?;
        page.row("target for false takeovers", &format!("at most one in {hours_apart} hours"))?;
        if *watched > 1 {
            let each = two_digits(self.tuning.hours_of_each());
            page.row(&format!("  for each of {watched} axes"), &format!("one in {each} hours"))?;
        }
        if *lasted_s < BRIEF_S {
            page.paragraph(
                "HINT: a rest of less than two minutes does not show slow wander or rare jumps: use these thresholds \
                 only for a trial on the bench",
            )?;
        }
        let frame_ms = pace.frame_s * 1000.0;
        let [timeout, late_step] =
            [self.policy.timeout, self.policy.late_step].map(|time| f64::from(time.as_ticks()) / 1000.0);
        if timeout.min(late_step) < 2.0 * frame_ms {
            page.paragraph(&format!(
                "HINT: timeout_ms is {timeout} and late_step_ms {late_step}, and frames come {frame_ms:.0} ms apart: a lesson at \
                 this pace would lose the signal with the first frame that is late. Record at the pace of a lesson."
            ))?;
        }
        Ok(())
    }

    fn dwell<W: Write>(&self, page: &mut Page<'_, W>) -> io::Result<()> {
        page.heading("Dwell")?;
        let was = f64::from(self.policy.dwell.as_ticks()) / 1000.0;
        if !self.swept {
            page.row("dwell_ms", &format!("{was}   unchanged: no sweeps were recorded"))?;
            return page.paragraph(
                "HINT: record sweeps from end to end, and let the sticks go: --sweep SWEEP.csv. Without sweeps the \
                 thresholds do not allow for the place where a spring leaves its stick. A stick that comes to rest \
                 beyond release stays held",
            );
        }
        for study in self.tuning.axes.iter().filter(|study| study.is_watched()) {
            sweeps(page, study)?;
        }
        match self.tuned {
            Some(tuned) if tuned.dwell_tuned => {
                let now = f64::from(tuned.policy.dwell.as_ticks()) / 1000.0;
                page.row("dwell_ms", &format!("{now}   the policy had {was}"))?;
                if now > LONG_DWELL_MS {
                    page.paragraph(
                        "HINT: the dwell is long because a stick paused in its middle, or a hand brought it back: \
                         record the sweeps again without a pause, and let the stick go",
                    )?;
                }
                Ok(())
            }
            Some(_) => page.row("dwell_ms", &format!("{was}   unchanged: not every sprung stick was swept")),
            None => page.row("dwell_ms", "not calculated: it needs the thresholds of all watched axes"),
        }
    }
}

/// Prints how long the student's frames stayed the same, and the limit.
fn student_link<W: Write>(page: &mut Page<'_, W>, frozen: Frozen) -> io::Result<()> {
    page.heading("Student link")?;
    let sides = [("flown", frozen.flown), ("hands off", frozen.rest)];
    for (name, still) in sides {
        let Stillness { lasted_s, frames, longest_s } = still;
        let recorded = format!("{longest_s:.2} s   {} in {}", counted(frames as u64, "frame"), lasted(lasted_s));
        page.row(&format!("without a change, {name}"), &recorded)?;
    }
    let Some(limit) = frozen.recommended() else {
        page.row("frozen_after_ms", "none recommended")?;
        return page.paragraph(
            "TOO STILL: this transmitter sends identical frames for too long while its sticks rest, so a receiver that \
             repeats its last frame cannot be told from a student who rests. Set the receiver's failsafe so that its \
             pulses stop, and see it in the preflight check",
        );
    };
    page.row(
        "frozen_after_ms",
        &format!("{}   twice the longest time without a change, or more", limit.as_ticks() / 1000),
    )?;
    for (name, still) in sides {
        let most = two_digits(still.per_hour());
        page.row(&format!("false alarms, {name}"), &format!("none   with 95 % confidence at most {most} an hour"))?;
    }
    page.paragraph(
        "The bounds hold for a student who moves as in these recordings. Only longer recordings make them smaller",
    )
}

/// Springs and sweeps are faster than this, in milliseconds.
const LONG_DWELL_MS: f64 = 800.0;

fn axis<W: Write>(page: &mut Page<'_, W>, study: &Study, tuning: &Tuning) -> io::Result<()> {
    let rest = &study.rest;
    page.heading(&format!("{}: {}", study.name, study.word()))?;
    if let Some(help) = help(study, tuning) {
        page.paragraph(&help)?;
    }
    match study.centre_counts {
        Some(counts) => page.row("rest", &format!("at {counts:.1} counts, the centre of its channel"))?,
        None => page.row("rest", &format!("{:+.2} points", rest.mean))?,
    }
    if study.is_sprung_far_out() {
        page.paragraph(
            "HINT: it counts as sprung, but it rests too far from the centre for a spring. If it stays where it is \
             left, write kind = \"unsprung\" in a policy and give that as --policy: a throttle with a fixed rest \
             takes the craft wherever else it is parked",
        )?;
    }
    let peaks = rest.high - rest.low;
    page.row("noise", &format!("{:.3} points (rms)   {peaks:.2} peak to peak", rest.deviation))?;
    let step = match study.reading.step {
        Some(step) => format!("{step:.3} points"),
        None => "not known".to_owned(),
    };
    page.row("quantisation step", &step)?;
    let drift = if rest.shows_drift() {
        format!("{:.2} points at most, of means over 512 frames", rest.drift)
    } else {
        "not known: fewer than twice 512 frames".to_owned()
    };
    page.row("drift", &drift)?;
    let (colour, meaning) = bandwidth(rest);
    // Where it wanders, only the noise besides has this bandwidth, so frames are not independent.
    let meaning = if rest.wander.is_some() { ", besides its wander".to_owned() } else { format!(": {meaning}") };
    page.row("bandwidth", &format!("{colour}{meaning}"))?;
    if let Some(Hum { hz, share }) = study.hum {
        let (half, share) = (two_digits(0.5 / tuning.pace.frame_s), 100.0 * share);
        page.row("hum", &format!("at {hz:.1} Hz (aliased if above {half} Hz)   {share:.0} % of the variance"))?;
    }
    let [one, two, _] = rest.correlation;
    let alike = if rest.step == 0.0 {
        "not known: never changed".to_owned()
    } else {
        format!("{one:+.2} of frames one apart   {two:+.2} two apart")
    };
    page.row("correlation", &alike)?;
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // at most the frames
    let independent = study.independent() as u64;
    let frames = thousands(rest.frames as u64);
    page.row("effective sample size", &format!("{} of {frames} counted", counted(independent, "independent frame")))?;
    match study.thresholds() {
        Some(thresholds) => chosen(page, study, thresholds, tuning),
        None => Ok(()),
    }
}

/// Prints the thresholds and the evidence for them.
fn chosen<W: Write>(page: &mut Page<'_, W>, study: &Study, thresholds: Thresholds, tuning: &Tuning) -> io::Result<()> {
    let Thresholds { engage, release, confirm, counted: taken, .. } = thresholds;
    let said = format!("engage_points {}   release_points {}   confirm {confirm}", Points(engage), Points(release));
    page.row("RECOMMENDED", &said)?;
    let frame_ms = tuning.pace.frame_s * 1000.0;
    let added = f64::from(confirm - 1) * frame_ms;
    let [mean, worst] = [f64::from(confirm) - 0.5, f64::from(confirm)].map(|frames| frames * frame_ms);
    page.row(
        "confirm adds",
        &format!("{added:.0} ms   a takeover waits {mean:.0} ms on average, {worst:.0} at worst"),
    )?;
    let offset = study.offset();
    match &thresholds.doubt {
        None => {
            let rates = study.per_hour(in_points(engage), confirm);
            let left = if offset >= 0.005 {
                format!("   with drift and spring {offset:.2} points off")
            } else {
                String::new()
            };
            page.row("expected of noise", &format!("{}{left}", rate(rates.expected)))?;
            let doubt = rates.doubt();
            let if_normal = if doubt.is_empty() { ", if the noise is normal" } else { doubt };
            page.row("  with 95 % confidence", &format!("at most {}{if_normal}", rate(rates.most)))?;
        }
        Some(doubt) => {
            page.row("expected of noise", "no rate is claimed: engage is a margin")?;
            let strayed = strayed(confirm);
            page.paragraph(&format!("NO RATE: {doubt}. Thresholds are at least twice as far as the stick {strayed}"))?;
        }
    }
    page.row("counted in the recording", &format!("{taken} in {}", lasted(tuning.lasted_s)))
}

/// Prints the properties of the sweeps of an axis.
fn sweeps<W: Write>(page: &mut Page<'_, W>, study: &Study) -> io::Result<()> {
    let Some(swept) = &study.swept else { return Ok(()) };
    page.line(&format!("  {}", study.name))?;
    if !swept.is_swept() {
        let help = "not far enough: sweep it from end to end, through its rest";
        return page.row("  swept", help);
    }
    let few = if swept.sweeps < SWEEPS { format!("   HINT: record {SWEEPS} or more") } else { String::new() };
    let ends =
        format!("from {:+.0} to {:+.0} points   {}{few}", swept.low, swept.high, counted(swept.sweeps as u64, "sweep"));
    page.row("  swept", &ends)?;
    let ms = |frames: usize| f64::from(u32::try_from(frames).unwrap_or(u32::MAX)) * swept.frame_s * 1000.0;
    if let Some(thresholds) = study.thresholds()
        && let Some(busy) = swept.busy(in_points(thresholds.engage), in_points(thresholds.release), thresholds.confirm)
    {
        page.row("  needs a dwell of", &format!("{:.0} ms", ms(busy)))?;
    }
    if study.sprung {
        let times = counted(swept.releases as u64, "time");
        page.row("  let go", &format!("{times}   up to {:.2} points off its rest", swept.scatter))?;
        let (past, ring) = (swept.overshoot, ms(swept.ring));
        page.row("    swung", &format!("up to {past:.2} points past it, and {ring:.0} ms until still"))?;
    }
    Ok(())
}

impl<W: Write> Page<'_, W> {
    /// Prints indented text, wrapped to the width of the page.
    fn paragraph(&mut self, text: &str) -> io::Result<()> {
        wrapped(text, COLUMNS - 2).iter().try_for_each(|line| self.line(&format!("  {line}")))
    }
}
