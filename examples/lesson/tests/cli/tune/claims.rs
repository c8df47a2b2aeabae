//! A rate is claimed only where the recording supports it, and the thresholds allow for how the box reads a pulse.

use seeded::Random;

use super::sticks::{Noise, Stick, rest};
use super::{minutes_of, says, stick, tune, value};
use crate::desk::{Desk, Run};

/// A table of one column, a row every 20 ms.
fn table(column: &str, frames: u32, at: impl Fn(u32) -> String) -> String {
    let rows = (0..frames).map(|n| format!("{},{}\n", n * 20_000, at(n)));
    format!("time_us,{column}\n{}", rows.collect::<String>())
}

/// Runs with these words after the recording.
fn with(recording: &str, words: &[&str]) -> (Desk, Run) {
    let desk = Desk::new();
    let run = desk.put("rest.csv", recording).run(&[&["tune", "rest.csv"], words].concat());
    (desk, run)
}

/// Given points that never change, when nobody gives their step, then nothing is recommended; with the step, the
/// threshold is two steps.
#[test]
fn a_reading_that_never_changes_needs_its_step() {
    let still = table("points:x", 3000, |_| "4".to_owned());
    let (desk, run) = with(&still, &[]);
    assert_eq!(run.code, Some(1));
    says(&run, "x: no step\n");
    says(&run, "their quantisation step is not known: record sweeps too (--sweep), or give the step (--step)");
    assert_eq!(desk.files(), ["rest.csv", "tune.svg"]);

    for (words, engage) in [(&["--step", "2"][..], 4.0), (&["--step", "2", "--clear-steps", "1"], 2.0)] {
        let (desk, run) = with(&still, words);
        assert_eq!(run.code, Some(0), "{run:?}");
        says(&run, "x: no rate\n");
        says(&run, "NO RATE: its readings never changed");
        assert!((value(&desk.read("tuned.toml"), "engage_points") - engage).abs() < 0.03);
        assert!(
            desk.read("tuned.toml").contains("# x: a margin, at least twice as far as it strayed; no rate is claimed.")
        );
    }

    // A sweep shows the step, too.
    let desk = Desk::new();
    let swept = table("points:x", 600, |n| f64::from(i32::try_from(n % 120).unwrap() * 3 - 180).to_string());
    desk.put("rest.csv", still).put("sweep.csv", swept);
    desk.run_well(&["tune", "rest.csv", "--sweep", "sweep.csv", "--write", "swept.toml"]);
    assert!((value(&desk.read("swept.toml"), "engage_points") - 6.0).abs() < 0.03);
}

/// Given noise that is smaller than the steps, not normal, or slower than the recording, when it is tuned, then no
/// rate is claimed.
#[test]
fn no_rate_is_claimed_where_the_noise_is_not_known() {
    let mut random = Random::new(9);
    let mut unit = move || random.unit();
    let coarse = table("points:x", 7000, |n| if n % 7 == 0 { "1" } else { "0" }.to_owned());
    let laplace: Vec<f64> = (0..7000).map(|_| 0.3 * (unit().max(1e-9) / unit().max(1e-9)).ln()).collect();
    let laplace = table("points:x", 7000, |n| format!("{:.4}", laplace[n as usize]));
    let wander =
        table("points:x", 7000, |n| format!("{:.3}", (f64::from(n) / 2500.0).sin() + f64::from(n * 7 % 11) / 20.0));
    for (recording, why) in [
        (coarse, "NO RATE: its noise is smaller than its quantisation step"),
        (laplace, "NO RATE: its"),
        (wander, "NO RATE: its rest wanders more slowly than the recording shows"),
    ] {
        let (_, run) = tune(&recording);
        assert_eq!(run.code, Some(0), "{run:?}");
        says(&run, why);
        says(&run, "expected of noise             no rate is claimed: engage is a margin");
        assert!(!run.out.contains("95 % confidence   "), "{}", run.out);
    }
}

/// Given white noise that wanders slowly, when it is tuned, then its frames are not called independent; given single
/// frames that jump, then the margin is twice as far as frames in a row strayed, and report and file say so.
#[test]
fn a_margin_says_what_it_is_a_multiple_of() {
    let mut random = Random::new(5);
    let white: Vec<f64> = (0..7000).map(|_| 0.2 * random.normal()).collect();
    let wander = table("points:x", 7000, |n| format!("{:.3}", white[n as usize] + (f64::from(n) / 2500.0).sin()));
    let (_, run) = with(&wander, &[]);
    says(&run, "bandwidth                     white, besides its wander\n");
    assert!(!run.out.contains("frames are independent"), "{}", run.out);

    let jumps =
        table("points:x", 7000, |n| format!("{:.3}", white[n as usize] + if n % 700 == 350 { 3.0 } else { 0.0 }));
    let (desk, run) = with(&jumps, &[]);
    let (policy, row) = (desk.read("tuned.toml"), "strayed for 3 frames in a row");
    assert!(value(&policy, "confirm") > 2.0 && value(&policy, "engage_points") < 3.0, "{policy}");
    assert!(run.out.split_whitespace().collect::<Vec<_>>().join(" ").contains(row), "{}", run.out);
    assert!(policy.contains(&format!("# x: a margin, at least twice as far as it {row}; no rate is claimed.")));
}

/// Given hum in white noise, when it is tuned, then its frequency is named and no rate is claimed; without hum, none
/// is named.
#[test]
fn hum_is_named_with_its_frequency() {
    let quiet = minutes_of(3.0, Noise::White(1.5));
    let humming = quiet.lines().enumerate().map(|(n, line)| match line.split_once(',') {
        Some((time, us)) if n > 0 => {
            let phase = std::f64::consts::TAU * 10.2 * 0.02 * f64::from(u32::try_from(n).unwrap());
            format!("{time},{:.0}\n", us.parse::<f64>().unwrap() + 2.5 * phase.sin())
        }
        _ => format!("{line}\n"),
    });
    let (_, run) = tune(&humming.collect::<String>());
    says(&run, "hum at 10.2 Hz (aliased if above 25 Hz)");
    says(&run, "NO RATE: much of its noise is hum");
    assert!(!tune(&quiet).1.out.contains("hum"));
}

/// Given a box whose trains have jitter, when sticks are tuned, then with `confirm` 1 the threshold adds the jitter to
/// the noise; with more frames it need not.
#[test]
fn the_jitter_of_the_box_is_in_the_threshold() {
    let quiet = minutes_of(3.0, Noise::White(0.8));
    let engage = |words: &[&str]| {
        let (desk, run) = with(&quiet, words);
        assert_eq!(run.code, Some(0), "{run:?}");
        let policy = desk.read("tuned.toml");
        (value(&policy, "engage_points"), value(&policy, "confirm"))
    };
    let (without, one) = engage(&[]);
    let (jittering, still_one) = engage(&["--jitter", "5"]);
    assert_eq!((one.to_bits(), still_one.to_bits()), (1.0_f64.to_bits(), 1.0_f64.to_bits()));
    assert!(without < 1.4 && (1.5..2.0).contains(&jittering), "{without} {jittering}");
    let (confirmed, two) = engage(&["--jitter", "20"]);
    assert!(two > 1.0 && confirmed < 2.0, "{confirmed} {two}");
}

/// Given the centre of the box's channel, when a stick is tuned, then its rest is given from there.
#[test]
fn a_rest_is_given_from_the_centre_of_the_channel() {
    let recording = rest(7, &[Stick { rest: 1520.0, ..stick("aileron", Noise::White(1.0)) }], 6200);
    let rest = |words: &[&str]| value(&with(&recording, words).0.read("tuned.toml"), "rest_points");
    assert!((rest(&[]) - 4.0).abs() < 0.05);
    assert!(rest(&["--centre", "aileron:1520"]).abs() < 0.05);
    with(&recording, &["--centre", "roll:1520"])
        .1
        .is_refused_with("rest.csv: has no axis \"roll\", and --centre names it");
    assert!(
        with(&recording, &["--centre", "aileron"]).1.err.contains("give an axis and microseconds from 1250 to 1750")
    );
}

/// Given two sticks that rest far out, when they are tuned, then both are named; given a stick in use for some
/// seconds, then its spring is no question.
#[test]
fn every_axis_that_rests_far_out_is_named() {
    let far = |name, at| Stick { rest: at, ..stick(name, Noise::White(1.0)) };
    let (_, run) = with(&rest(7, &[far("motor", 1100.0), far("flap", 1800.0)], 6200), &[]);
    run.is_refused_with("\"motor\" at rest at -80.0");
    run.is_refused_with("and \"flap\" at rest at +60.0");

    let used = table("points:y", 222, |n| format!("{:.2}", 60.0 + 30.0 * (f64::from(n) / 20.0).sin()));
    let (_, run) = with(&used, &[]);
    assert_eq!(run.code, Some(1), "{run:?}");
    says(&run, "y: too short\n");
}

/// Given counts of a throttle by another name, when a sweep shows where its middle is, then a throttle parked
/// elsewhere is refused until its spring is known; parked in its middle, it cannot be recognised.
#[test]
fn a_parked_throttle_in_counts_is_noticed_by_its_sweep() {
    let parked = |at: u32| {
        let desk = Desk::new();
        desk.put("rest.csv", table("counts:motor", 7000, |n| (at + n * 7 % 11).to_string()));
        desk.put("sweep.csv", table("counts:motor", 800, |n| (100 + (n * 37 % 3800)).to_string()));
        desk.run(&["tune", "rest.csv", "--sweep", "sweep.csv", "--full-travel", "1900"])
    };
    parked(600).is_refused_with("has \"motor\" at rest at -7");
    assert_ne!(parked(1995).code, Some(2));
}
