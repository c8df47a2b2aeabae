//! Recorded sticks (`data/README.md`): thresholds, dwell and rest with movements that others recorded.

use std::fs;
use std::path::Path;

use handback::{AxisRule, Cause, Deflection, Duration, Policy, Rest};
use handback_host_tests::{Lesson, lesson_with, ms, points, sprung, units, us, with};

/// One recording: the times, and the sticks of each sample.
struct Recording<const N: usize> {
    /// Microseconds since the sample before.
    dt: Vec<Duration>,
    sticks: Vec<[Deflection; N]>,
}

impl<const N: usize> Recording<N> {
    /// Reads these columns of a file. `centre` is a column's value at the centre, `full` its distance to full travel.
    fn read(file: &str, columns: [&str; N], centre: f64, full: f64) -> Self {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("data").join(file);
        let text = fs::read_to_string(&path).unwrap_or_else(|why| panic!("{}: {why}", path.display()));
        let mut lines = text.lines().map(|line| line.split(',').collect::<Vec<_>>());
        let head = lines.next().expect("a head line");
        let place = |name| head.iter().position(|&column| column == name).expect("the column is there");
        let (time, places) = (place("time_s"), columns.map(place));
        let (mut recording, mut last) = (Self { dt: Vec::new(), sticks: Vec::new() }, None);
        for line in lines {
            let value = |at: usize| line[at].parse::<f64>().unwrap_or_else(|why| panic!("{file}: {line:?}: {why}"));
            let now = value(time);
            recording.dt.push(micros(now - last.replace(now).unwrap_or(now)));
            recording.sticks.push(places.map(|at| deflection((value(at) - centre) / full)));
        }
        recording
    }

    fn samples(&self) -> impl Iterator<Item = (Duration, [Deflection; N])> {
        self.dt.iter().copied().zip(self.sticks.iter().copied())
    }

    /// The learnt rest of each stick: the median of its samples.
    fn medians(&self) -> [Deflection; N] {
        std::array::from_fn(|axis| {
            let mut values: Vec<Deflection> = self.sticks.iter().map(|sticks| sticks[axis]).collect();
            values.sort();
            values[values.len() / 2]
        })
    }
}

#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // recorded times and travels are small
fn micros(seconds: f64) -> Duration {
    us((seconds * 1e6).round() as u32)
}

#[allow(clippy::cast_possible_truncation)]
fn deflection(travel: f64) -> Deflection {
    units((travel * 16384.0).round().clamp(-32768.0, 32767.0) as i16)
}

/// The result of a replay.
#[derive(Debug, Default)]
struct Replay {
    takeovers: usize,
    handed_back: Vec<usize>,
    /// The share of the time in which the student had the craft, from 0 to 1.
    student_share: f64,
}

/// Replays the recording as the instructor's sticks, after a start that hands the craft to the student.
fn as_instructor<const N: usize>(recording: &Recording<N>, policy: Policy<N>) -> Replay {
    let rest = policy.axes.map(|rule| if let Rest::At(rest) = rule.rest { rest } else { Deflection::CENTRE });
    let mut lesson = lesson_with(policy).instructor_sticks(rest).student_flying();
    let (mut replay, mut student_time, mut time) = (Replay::default(), 0u64, 0u64);
    for (sample, (dt, sticks)) in recording.samples().enumerate() {
        lesson = lesson.instructor_sticks(sticks).step_of(dt);
        time += u64::from(dt.as_ticks());
        if !lesson.outcome().pilot.student().is_empty() {
            student_time += u64::from(dt.as_ticks());
        }
        match lesson.outcome().event.map(|event| event.cause) {
            Some(Cause::Stick(_)) => replay.takeovers += 1,
            Some(Cause::HandedBack) => replay.handed_back.push(sample),
            None => {}
            Some(other) => panic!("{other:?} in a replay of sticks alone"),
        }
    }
    #[allow(clippy::cast_precision_loss)] // minutes in microseconds
    let share = student_time as f64 / time as f64;
    replay.student_share = share;
    replay
}

/// The channels of the fixed-wing log whose sticks nobody touched (`us3`, the throttle, moves).
fn untouched() -> Recording<4> {
    Recording::read("fixedwing_channels_4hz.csv", ["us1", "us2", "us4", "us8"], 1500.0, 500.0)
}

/// Sprung sticks with these rests. The log comes at 4.2 Hz with a gap of 3.5 s: timeout 4 s, late step 5 s.
fn slow_log(rest: [Deflection; 4], confirm: u8) -> Policy<4> {
    let rules = rest.map(|rest| with!(AxisRule::sprung(), rest: Rest::At(rest), confirm: confirm));
    with!(Policy::new(rules), timeout: ms(4000), failsafe_after: ms(4000), late_step: ms(5000))
}

/// Given recorded sticks about their learnt rest, when they are replayed, then one outlier takes over. With `confirm` 2
/// it does not.
/// Rules: T1, R1
#[test]
fn confirm_2_ignores_the_one_outlier_of_recorded_sticks() {
    let log = untouched();
    let rest = log.medians();
    // One sample of channel 4 is 19 us, 3.8 points, off: with `confirm` 1 it takes over.
    let quick = as_instructor(&log, slow_log(rest, 1));
    assert_eq!(quick.takeovers, 1, "{quick:?}");
    assert!(quick.student_share >= 0.9, "{quick:?}");
    let confirmed = as_instructor(&log, slow_log(rest, 2));
    assert_eq!(confirmed.takeovers, 0, "{confirmed:?}");
    assert!(confirmed.student_share >= 0.9, "{confirmed:?}");
}

/// Given the same sticks, when their rest is set to the nominal centre, then the student hardly ever flies.
/// Rules: T1, R1
#[test]
fn with_the_nominal_centre_the_student_hardly_flies() {
    let log = untouched();
    let nominal = as_instructor(&log, slow_log([Deflection::CENTRE; 4], 2));
    // The first samples take the craft, and a stick stays further than `release` from 1500 us to the end.
    assert_eq!((nominal.takeovers, nominal.handed_back.len()), (1, 0), "{nominal:?}");
    assert!(nominal.student_share < 0.01, "{nominal:?}");
    // The number of samples beyond 2 points of the centre, and of the learnt rest, for comparison.
    let beyond = |rest: [Deflection; 4]| {
        let is_out = |sticks: &&[Deflection; 4]| {
            sticks
                .iter()
                .zip(rest)
                .any(|(at, rest)| at.to_bits().abs_diff(rest.to_bits()) > points(2).to_bits().unsigned_abs())
        };
        log.sticks.iter().filter(is_out).count()
    };
    assert_eq!((beyond([Deflection::CENTRE; 4]), beyond(log.medians())), (798, 1), "of 798 samples");
}

/// Given the same log as the student's, when the instructor's sticks rest, then every sample is output as it was
/// recorded.
/// Rules: L1, H4, H5
#[test]
fn every_recorded_sample_of_a_student_is_output() {
    let log = untouched();
    let mut lesson = lesson_with(slow_log([Deflection::CENTRE; 4], 1)).student_flying();
    for (dt, sticks) in log.samples() {
        lesson = lesson.student_sticks(sticks).step_of(dt).student_has_all();
        assert_eq!(lesson.outcome().output.axes(), &sticks);
    }
}

const THUMBSTICKS: [&str; 3] = ["thumbstick_a.csv", "thumbstick_b.csv", "thumbstick_c.csv"];

fn thumbstick(file: &str) -> Recording<1> {
    Recording::read(file, ["stick_x"], 0.0, 1.0)
}

/// A sprung axis at its learnt rest, with these thresholds and this dwell.
fn thumb(rest: Deflection, engage: Deflection, release: Deflection, dwell: Duration) -> Policy<1> {
    with!(Policy::new([with!(AxisRule::sprung(), rest: Rest::At(rest), engage: engage, release: release)]), dwell: dwell)
}

/// The sweeps of a recording: moves through the centre from 20 points on one side to 20 on the other without a sample
/// that stands still or goes back. Each runs from the first sample nearer than 20 points to the first that is not.
fn sweeps(recording: &Recording<1>) -> Vec<std::ops::Range<usize>> {
    let at = |sample: usize| i32::from(recording.sticks[sample][0].to_bits());
    let edge = i32::from(points(20).to_bits());
    let side = |at: i32| if at.abs() >= edge { at.signum() } else { 0 };
    let (mut sweeps, mut left) = (Vec::new(), None::<usize>);
    for sample in 1..recording.sticks.len() {
        if side(at(sample - 1)) != 0 {
            left = Some(sample);
        }
        if side(at(sample)) == 0 {
            continue;
        }
        let Some(start) = left.take() else { continue };
        let from = side(at(start - 1));
        let unbroken = (start..=sample).all(|s| (at(s) - at(s - 1)) * from < 0);
        if side(at(sample)) == -from && unbroken {
            sweeps.push(start..sample + 1);
        }
    }
    sweeps
}

/// The number of sweeps of all recordings in which the craft is handed back, and the number of all sweeps.
fn flickers(engage: Deflection, release: Deflection, dwell: Duration) -> (usize, usize) {
    let (mut flickers, mut all) = (0, 0);
    for file in THUMBSTICKS {
        let recording = thumbstick(file);
        let replay = as_instructor(&recording, thumb(recording.medians()[0], engage, release, dwell));
        assert!(replay.takeovers > 20, "{file}: the stick was moved: {}", replay.takeovers);
        let sweeps = sweeps(&recording);
        all += sweeps.len();
        flickers += sweeps.iter().filter(|sweep| replay.handed_back.iter().any(|at| sweep.contains(at))).count();
    }
    (flickers, all)
}

/// Given recorded thumbstick sweeps, when the dwell is the default, then none flickers. Without a dwell many do.
/// Rules: H1, T3
#[test]
fn no_recorded_sweep_flickers_with_the_default_dwell() {
    let default = sprung::<1>().dwell;
    for (engage, release) in [(points(2), points(1)), (points(8), points(4))] {
        let (with_dwell, all) = flickers(engage, release, default);
        assert!(all > 100, "there are sweeps: {all}");
        assert_eq!(with_dwell, 0, "of {all} sweeps, engage {engage}");
    }
    let (without, all) = flickers(points(8), points(4), ms(0));
    assert!(without > 0, "of {all} sweeps some hand over in the middle without a dwell");
}

/// Given recorded thumbsticks, when the craft goes back, then the stick has been near its rest for the whole dwell.
/// Rules: H1, T1, T3
#[test]
fn recorded_sticks_hand_back_only_after_a_dwell_near_rest() {
    let dwell = sprung::<1>().dwell;
    for file in THUMBSTICKS {
        let recording = thumbstick(file);
        let rest = recording.medians()[0];
        let replay = as_instructor(&recording, thumb(rest, points(8), points(4), dwell));
        assert!(replay.handed_back.len() > 20, "{file}: {}", replay.handed_back.len());
        for handed_back in replay.handed_back {
            let (mut sample, mut stayed) = (handed_back, 0);
            while stayed < dwell.as_ticks() {
                let off = recording.sticks[sample][0].to_bits().abs_diff(rest.to_bits());
                assert!(off <= points(8).to_bits().unsigned_abs(), "{file}: sample {sample} before {handed_back}");
                stayed += recording.dt[sample].as_ticks();
                sample -= 1;
            }
        }
    }
}

/// Given a recorded thumbstick as the student's, when the instructor's stick rests, then it is output. A move of the
/// instructor overrides it.
/// Rules: L1, T2, T5
#[test]
fn a_move_overrides_a_recorded_student() {
    for file in THUMBSTICKS {
        let recording = thumbstick(file);
        let policy = thumb(Deflection::CENTRE, points(2), points(1), sprung::<1>().dwell);
        let mut lesson: Lesson<1> = lesson_with(policy).student_flying();
        for (dt, sticks) in recording.samples() {
            lesson = lesson.student_sticks(sticks).step_of(dt).student_has_all().outputs(0, sticks[0]);
            let full_against = sticks[0].to_bits().abs() > points(90).to_bits();
            if full_against {
                let against = units(-sticks[0].to_bits().signum() * points(3).to_bits());
                let taken = lesson.clone().instructor(0, against).step();
                taken.because(Cause::Stick(0)).outputs(0, against);
            }
        }
    }
}
