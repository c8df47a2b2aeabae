//! Coverage: where the device claims a rate, the true rate of the stick is at most that, for recordings of every kind
//! of noise.

use std::collections::BTreeMap;
use std::{env, fs};

use handback::calibrate::{AxisAdvice, Basis, Doubt, Learnt, LearntAxis, Refusal, RestMeter, RestNoise, Target};
use handback::{AxisSet, Channels, Micros};
use handback_host_tests::rest_noise::{FRAME_S, Kind, Stick};
use handback_host_tests::{Random, ms};

use crate::gimbal::{pulse, resting, whole};

/// The target: one takeover by noise in this time, in seconds.
const APART_S: f64 = 360_000.0;

/// The number of recordings whose table is committed in `THRESHOLDS.md`.
const COMMITTED: u64 = 200;

/// Recordings of each kind; `HANDBACK_RECORDINGS` sets another number.
fn recordings() -> u64 {
    env::var("HANDBACK_RECORDINGS").map_or(20, |count| count.parse().expect("HANDBACK_RECORDINGS is a count"))
}

/// A stick at rest, recorded.
struct Recording {
    readings: Vec<u16>,
    axis: LearntAxis<Micros>,
    /// One of the readings that its steps allow, in points.
    phase: f64,
}

impl Recording {
    /// A recording of 2 to 10 minutes.
    fn any(kind: Kind, seed: u64) -> Self {
        Self::of(kind, seed, Random::new(seed ^ 0x1E57).between(120.0, 600.0))
    }

    fn of(kind: Kind, seed: u64, seconds: f64) -> Self {
        let mut stick = Stick::new(kind, seed);
        let mut meter = RestMeter::new();
        let frames = usize::from(whole(seconds / FRAME_S));
        let readings = (0..frames).map(|_| pulse(stick.next()).to_bits()).collect::<Vec<_>>();
        for &reading in &readings {
            meter.take(reading);
        }
        // As if the stick had been swept: the step is known even where the reading of the rest never changes.
        let step = if kind.step > 0.0 { pulse(kind.step).to_bits() - 24_000 } else { 1 };
        let axis = LearntAxis { step, ..resting(&meter) };
        Self { readings, axis, phase: in_points(pulse(stick.phase).to_bits()) }
    }

    /// The greatest distance from the rest that `confirm` counted frames in a row all reached, in points.
    fn furthest(&self, confirm: u8) -> f64 {
        let counted = &self.readings[64..64 + self.axis.noise.frames as usize];
        let far = counted.iter().map(|reading| reading.abs_diff(self.axis.centre.to_bits())).collect::<Vec<_>>();
        let row = far.windows(confirm.into()).map(|row| row.iter().copied().min().expect("a frame")).max();
        in_points(24_000 + row.expect("a row"))
    }
}

fn in_points(reading: u16) -> f64 {
    (f64::from(reading) - 24_000.0) / 80.0
}

/// The results of the recordings of one kind.
#[derive(Default)]
struct Tally {
    claimed: u32,
    held: u32,
    margins: u32,
    refused: u32,
    /// Doubts and refusals by name.
    why: BTreeMap<String, u32>,
}

impl Tally {
    fn count(&mut self, kind: &Kind, recording: &Recording) {
        let target = Target::new(ms(20));
        let advice =
            Learnt { axes: [recording.axis] }.recommend(&Channels::<_, 1, 1>::pulses(), AxisSet::first(1), &target);
        let why = match advice.map(|advice| advice.axes[0].expect("watched")) {
            Ok(AxisAdvice { basis: Basis::Rate, engage, confirm, .. }) => {
                let engage = f64::from(engage.to_bits()) / 163.84;
                let rate = kind.per_frame(in_points(recording.axis.centre.to_bits()), recording.phase, engage, confirm);
                self.claimed += 1;
                self.held += u32::from(rate <= FRAME_S / APART_S);
                return;
            }
            Ok(AxisAdvice { basis: Basis::Margin(doubt), engage, confirm, .. }) => {
                let (engage, row) = (f64::from(engage.to_bits()) / 163.84, recording.furthest(confirm));
                assert!(engage >= 2.0 * row, "{}: {engage} for rows of {row}", kind.name);
                self.margins += 1;
                reason(doubt).to_owned()
            }
            Err(refusal) => {
                self.refused += 1;
                match refusal {
                    Refusal::RestTooShort { .. } => "too short".to_owned(),
                    Refusal::Moved { .. } => "moved".to_owned(),
                    Refusal::TooNoisy { .. } => "too noisy".to_owned(),
                    other => panic!("{}: {other}", kind.name),
                }
            }
        };
        *self.why.entry(why).or_default() += 1;
    }
}

/// Why no rate is claimed, as in the table.
fn reason(doubt: Doubt) -> &'static str {
    match doubt {
        Doubt::NeverChanged => "never changed",
        Doubt::Coarse => "below the step",
        Doubt::Brief => "under two minutes",
        Doubt::Wanders => "wanders",
        Doubt::Jumps => "jumps",
        Doubt::Tails => "not normal",
        other => panic!("{other:?} is new"),
    }
}

/// Given recordings of every kind of noise, 2 to 10 minutes long, when thresholds are recommended from each, then at
/// least 93 % of the claimed rates hold by the true rate of the kind. White noise gets a claim.
#[test]
fn claimed_rates_are_held_in_93_percent_of_any_kind() {
    let recordings = recordings();
    println!("| noise | rate claimed | of these it holds | a margin | refused | reasons |");
    println!("|---|---|---|---|---|---|");
    let page = fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/../examples/lesson/THRESHOLDS.md"));
    let page = page.expect("the page on thresholds");
    let mut failed = Vec::new();
    let kinds = Kind::ALL.into_iter().chain([Kind::NEARLY_NORMAL, Kind::RARE_OUTLIERS]);
    for (number, kind) in (1..).zip(kinds) {
        let mut tally = Tally::default();
        for seed in 0..recordings {
            tally.count(&kind, &Recording::any(kind, number * 1_000_000 + seed));
        }
        let Tally { claimed, held, margins, refused, why } = tally;
        let why = why.iter().map(|(word, count)| format!("{word} {count}")).collect::<Vec<_>>().join(", ");
        let line = format!("| {} | {claimed} of {recordings} | {held} | {margins} | {refused} | {why} |", kind.name);
        println!("{line}");
        let enough = !["white", "forgets in 0.05 s"].contains(&kind.name) || u64::from(claimed) * 10 > recordings * 9;
        // The device claims the target itself, for normal noise; the page says what that is worth for other noise.
        let normal = ![Kind::NEARLY_NORMAL.name, Kind::RARE_OUTLIERS.name].contains(&kind.name);
        if normal && (claimed - held) * 100 > claimed * 7 || !enough {
            failed.push(format!("{}: {claimed} claimed, {held} held", kind.name));
        }
        if recordings == COMMITTED && !page.contains(&line) {
            failed.push(format!("{}: THRESHOLDS.md has another row", kind.name));
        }
    }
    assert!(failed.is_empty(), "{failed:#?}");
}

/// What the device claims for a rest, for the usual target.
fn basis(axis: LearntAxis<Micros>) -> Result<Basis, Refusal> {
    let advice =
        Learnt { axes: [axis] }.recommend(&Channels::<_, 1, 1>::pulses(), AxisSet::first(1), &Target::new(ms(20)));
    advice.map(|advice| advice.axes[0].expect("watched").basis)
}

/// Given two minutes of white noise with normal or heavy tails, when only the counts of far frames are known, then
/// more than 99 % of the heavy tails are found, and at most 0.5 % of the normal ones are taken for heavy.
#[test]
fn heavy_tails_are_told_from_normal_ones_by_counts_alone() {
    let told = |name: &str, of: u64| {
        let kind = *Kind::ALL.iter().find(|kind| kind.name == name).expect("a kind");
        let tails = (0..of).filter(|seed| {
            let axis = Recording::of(kind, 77_000_000 + seed, 121.28).axis;
            let near = [axis.noise.centre - 60, axis.noise.centre + 60];
            let noise = RestNoise { rows: [60; 3], low: near[0], high: near[1], ..axis.noise };
            assert_eq!(noise.frames, 6000 / 64 * 64);
            basis(LearntAxis { noise, ..axis }) == Ok(Basis::Margin(Doubt::Tails))
        });
        tails.count()
    };
    let (normal, quantised, laplace) = (told("white", 2000), told("steps of 0.5", 2000), told("Laplace", 1000));
    println!("of 2000 normal rests {normal} look heavy, of 2000 in steps {quantised}; of 1000 heavy ones {laplace}");
    assert!(normal <= 10 && quantised <= 10 && laplace > 990, "{normal} {quantised} {laplace}");
}
