//! The command `tune`: from sticks at rest to a policy, or to what would help.

mod bad_input;
mod claims;
mod device;
mod page;
mod recorded;
mod sticks;

use sticks::{BOX, Noise, Stick, rest, sweeps};

use crate::desk::{Desk, Run};

/// The folder of the tool.
const HERE: &str = env!("CARGO_MANIFEST_DIR");

/// A stick with a spring that does not warm up.
const fn stick(name: &'static str, noise: Noise) -> Stick {
    Stick { name, rest: 1500.0, noise, warms: 0.0, spring: Some(0.0) }
}

/// A recording of one stick, of this many minutes.
fn minutes_of(minutes: f64, noise: Noise) -> String {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // some thousands
    rest(7, &[stick("aileron", noise)], (minutes * 3000.0) as u32)
}

/// Tunes this recording.
fn tune(recording: &str) -> (Desk, Run) {
    let desk = Desk::new();
    let run = desk.put("rest.csv", recording).run(&["tune", "rest.csv"]);
    assert!(run.err.is_empty(), "{run:?}");
    assert!(run.out.lines().all(|line| line.chars().count() <= 100 && !line.ends_with("...")), "{}", run.out);
    assert_eq!(run.out.matches("CAUTION").count(), 1, "{}", run.out);
    (desk, run)
}

#[track_caller]
fn says(run: &Run, words: &str) {
    // Line breaks do not matter.
    let whole = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(whole(&run.out).contains(&whole(words)), "wanted: {words}\n{}", run.out);
}

/// The value of a key of a policy.
#[track_caller]
fn value(policy: &str, key: &str) -> f64 {
    let line = policy.lines().find_map(|line| line.strip_prefix(key)?.strip_prefix(" = "));
    line.unwrap_or_else(|| panic!("no {key} in {policy}")).parse().unwrap()
}

/// Given a stick whose readings never change, when it is tuned, then a recording of 5 s is too short, and one of 5 min
/// gets thresholds without a rate.
#[test]
fn an_ideal_stick_claims_no_rate() {
    let (desk, run) = tune(&minutes_of(5.0 / 60.0, Noise::White(0.0)));
    assert_eq!(run.code, Some(1));
    says(&run, "aileron: too short\n");
    says(&run, "its readings never changed");
    says(&run, "so short a recording does not show that the stick is quiet");
    says(&run, "No policy written to tuned.toml: see what would help with aileron.");
    assert_eq!(desk.files(), ["rest.csv", "tune.svg"]);

    let (desk, run) = tune(&minutes_of(5.0, Noise::White(0.0)));
    assert_eq!(run.code, Some(0));
    says(&run, "aileron: no rate\n");
    says(&run, "NO RATE: its readings never changed, so the recording does not show its noise");
    says(&run, "engage_points 1   release_points 0.5   confirm 1");
    assert_eq!(desk.files(), ["rest.csv", "tune.svg", "tuned.toml"]);
}

/// Given two minutes of white noise and of slow noise, equally large, when they are tuned, then the white noise is
/// quiet and the recording of the slow noise is too short.
#[test]
fn slow_noise_needs_a_longer_rest_than_white_noise() {
    let (_, run) = tune(&minutes_of(2.0, Noise::White(1.0)));
    assert_eq!(run.code, Some(0));
    says(&run, "white: frames are independent, so confirm helps much");
    let (_, run) = tune(&minutes_of(2.0, Noise::Slow(1.0, 100.0)));
    assert_eq!(run.code, Some(1));
    says(&run, "aileron: too short\n");
    says(&run, "its noise is slow");
    says(&run, "slow: frames are strongly correlated, so confirm helps little");
}

#[test]
fn a_hand_on_the_stick_is_said_with_its_time_and_way() {
    let still = minutes_of(3.0, Noise::White(1.0));
    let touched = still.lines().enumerate().map(|(line, text)| {
        // From second 80 on, for one second, by 8 points.
        match text.split_once(',') {
            Some((time, us)) if (4001..4051).contains(&line) => {
                format!("{time},{}\n", us.parse::<f64>().unwrap() + 40.0)
            }
            _ => format!("{text}\n"),
        }
    });
    let (_, run) = tune(&touched.collect::<String>());
    assert_eq!(run.code, Some(1));
    says(&run, "aileron: moved\n  80.0 s after the beginning it was 8.");
}

/// Given a stick that rests far from its centre, when it is tuned, then it is refused until its name or the policy
/// says whether a spring brings it there; said in the policy, there is only a hint.
#[test]
fn a_stick_parked_off_centre_needs_a_word_on_its_spring() {
    let parked = |name| {
        let desk = Desk::new();
        let stick = Stick { rest: 1100.0, ..stick(name, Noise::White(1.0)) };
        let run = desk.put("rest.csv", rest(7, &[stick], 6200)).run(&["tune", "rest.csv"]);
        (desk, run)
    };
    let (desk, run) = parked("motor");
    run.is_refused_with("rest.csv: has \"motor\" at rest at -80.0");
    assert_eq!(desk.files(), ["rest.csv"]);
    assert_eq!(parked("throttle").1.code, Some(0));
    // If the policy says it, there is only a hint.
    let policy = "[[axis]]\nname = \"motor\"\nkind = \"sprung\"\n";
    let run = desk.put("said.toml", policy).run(&["tune", "rest.csv", "--policy", "said.toml"]);
    assert_eq!(run.code, Some(0));
    says(&run, "HINT: it counts as sprung, but it rests too far from the centre for a spring.");
}

/// Given a stick that warms up, when it is tuned, then a hint says to let it warm up first.
#[test]
fn a_stick_that_warms_up_is_to_be_recorded_warm() {
    let warming = |warms| tune(&rest(7, &[Stick { warms, ..stick("aileron", Noise::White(1.0)) }], 9000)).1;
    says(&warming(10.0), "its rest wanders more slowly than the recording shows: let it warm up");
    assert!(!warming(0.0).out.contains("warm up"));
}

#[test]
fn a_rest_of_seconds_is_hinted_to_show_no_drift() {
    let (_, run) = tune(&minutes_of(0.25, Noise::White(1.0)));
    says(&run, "HINT: a rest of less than two minutes does not show slow wander or rare jumps");
    says(&run, "drift not known: fewer than twice 512 frames");
    assert!(!tune(&minutes_of(2.0, Noise::White(1.0))).1.out.contains("less than two minutes"));
}

/// Given a stick that is too noisy, when it is tuned, then no policy is written and the old one stays.
#[test]
fn a_stick_that_is_too_noisy_keeps_the_old_policy() {
    let desk = Desk::new();
    desk.put("rest.csv", minutes_of(3.0, Noise::White(1.0))).run_well(&["tune", "rest.csv"]);
    let before = desk.read("tuned.toml");
    let run = desk.put("rest.csv", minutes_of(3.0, Noise::White(15.0))).run(&["tune", "rest.csv"]);
    assert_eq!(run.code, Some(1));
    says(&run, "aileron: too noisy\n  engage would be 8.");
    says(&run, "more than 8.00 points is too much: average several readings");
    assert_eq!(desk.read("tuned.toml"), before);
    // It is too noisy only for this target.
    assert_eq!(desk.run(&["tune", "rest.csv", "--hours-apart", "1"]).code, Some(0));
}

/// Given a stick that jumps for two frames, when it is tuned, then `confirm` is 3; a stick that jumps for longer is
/// refused as moved.
#[test]
fn jumps_of_two_frames_need_confirm_3_longer_ones_fail() {
    let jumping = |frames: usize| {
        let still = minutes_of(2.0, Noise::White(0.8));
        let lines = still.lines().enumerate().map(|(line, text)| match text.split_once(',') {
            Some((time, _)) if line > 0 && line % 1500 < frames => format!("{time},1490\n"),
            _ => format!("{text}\n"),
        });
        lines.collect::<String>()
    };
    let (desk, run) = tune(&jumping(2));
    assert_eq!(run.code, Some(0), "{}", run.out);
    says(&run, "its readings jump");
    assert_eq!(value(&desk.read("tuned.toml"), "confirm").to_bits(), 3.0_f64.to_bits());
    let (_, run) = tune(&jumping(4));
    assert_eq!(run.code, Some(1));
    says(&run, "aileron: moved\n");
}

#[test]
fn sweeps_make_the_dwell_and_without_them_it_stays() {
    let desk = Desk::new();
    desk.put("rest.csv", rest(41, &BOX, 6200)).put("sweep.csv", sweeps(97, &BOX));
    let out = desk.run_well(&["tune", "rest.csv"]);
    assert!(out.contains("dwell_ms                      300   unchanged: no sweeps were recorded"), "{out}");
    assert!(out.contains("HINT: record sweeps from end to end, and let the sticks go: --sweep SWEEP.csv"), "{out}");
    let without = desk.read("tuned.toml");
    desk.run_well(&["tune", "rest.csv", "--sweep", "sweep.csv"]);
    let with = desk.read("tuned.toml");
    assert_eq!(value(&without, "dwell_ms").to_bits(), 300.0_f64.to_bits());
    // 0.6 s from end to end: within 3 points of the centre for one frame, and two more; then the overshoot of the
    // spring.
    assert!((100.0..250.0).contains(&value(&with, "dwell_ms")), "{with}");
    // The offset at which the spring leaves the stick is in the threshold.
    assert!(value(&with, "engage_points") > value(&without, "engage_points") + 0.2);
}

#[test]
fn a_dwell_is_not_made_shorter_for_a_stick_that_was_not_swept() {
    let desk = Desk::new();
    let sticks = [stick("roll", Noise::White(1.0)), stick("pitch", Noise::White(1.0))];
    let swept = sweeps(97, &sticks);
    let lines = swept.lines().map(|line| match line.rsplit_once(',') {
        Some((_, "us:pitch")) => format!("{line}\n"),
        Some((others, _)) => format!("{others},1500\n"),
        None => unreachable!("{line}"),
    });
    desk.put("rest.csv", rest(3, &sticks, 3200)).put("sweep.csv", lines.collect::<String>());
    let out = desk.run_well(&["tune", "rest.csv", "--sweep", "sweep.csv"]);
    assert!(out.contains("  pitch\n    swept                       not far enough: sweep it from end to end"), "{out}");
    assert!(out.contains("dwell_ms                      300   unchanged: not every sprung stick was swept"), "{out}");
    desk.put("sweep.csv", swept);
    desk.run_well(&["tune", "rest.csv", "--sweep", "sweep.csv"]);
    assert!(value(&desk.read("tuned.toml"), "dwell_ms") < 250.0);
}

/// Given a policy with settings of its own, when thresholds are tuned for it, then the written policy keeps the other
/// settings and passes its check.
#[test]
fn the_written_policy_keeps_what_was_not_tuned() {
    let desk = Desk::new();
    let base = "scope = \"axis\"\nfade_ms = 123\n[[axis]]\nname = \"wheel\"\nkind = \"sprung\"\nfailsafe_points = 7\n\
                [[axis]]\nname = \"flap\"\nkind = \"unsprung\"\nfailsafe_points = -20\nstill_ms = 250\n\
                [[axis]]\nname = \"gear\"\nkind = \"sprung\"\nengage_points = 33\nwatched = false\nshared = false\n";
    let sticks = ["flap", "gear", "wheel"].map(|name| stick(name, Noise::White(1.5)));
    desk.put("base.toml", base).put("rest.csv", rest(3, &sticks, 6200));
    let out = desk.run_well(&["tune", "rest.csv", "--policy", "base.toml", "--write", "mine.toml"]);
    assert!(out.contains("gear: not watched") && out.contains("for each of 2 axes          one in 200 hours"), "{out}");
    let mine = desk.read("mine.toml");
    assert!(mine.contains("scope = \"axis\"") && mine.contains("fade_ms = 123") && mine.contains("still_ms = 250"));
    assert!(mine.contains("failsafe_points = 7\n") && mine.contains("engage_points = 33"), "{mine}");
    let ok = desk.run_well(&["policy", "mine.toml"]);
    assert_eq!(ok, "mine.toml: ok, 3 axes: flap, gear, wheel\n");
}

/// Given a recording, when its picture is drawn twice, then it is valid XML, has its words, and is the same both
/// times.
#[test]
fn the_picture_has_its_words_and_is_the_same_in_every_run() {
    let desk = Desk::new();
    desk.put("rest.csv", rest(41, &BOX, 6200));
    desk.run_well(&["tune", "rest.csv", "--picture", "a.svg"]);
    desk.run_well(&["tune", "rest.csv", "--picture", "b.svg"]);
    let picture = desk.read("a.svg");
    assert!(picture == desk.read("b.svg"));
    let document = roxmltree::Document::parse(&picture).unwrap();
    let words = document.descendants().filter_map(|node| node.text()).map(str::trim).collect::<Vec<_>>();
    for said in [
        "Thresholds from sticks at rest, rest.csv",
        "elevator: quiet",
        "Frames by distance from the rest, points",
        "Noise power by frequency, points\u{b2} per Hz",
        "Takeovers by noise against engage, points",
        "Wait of a takeover, ms",
        "target: 1 in 400 h",
        "confirm 2",
    ] {
        assert!(words.contains(&said), "{said}: {words:?}");
    }
    assert!(words.iter().any(|words| words.starts_with("CAUTION")));
}

/// Given sixteen axes in counts, when they are tuned, then each is tuned about its own centre.
#[test]
fn sixteen_axes_of_counts_have_each_their_own_centre() {
    let columns = (0..16).map(|axis| format!(",counts:channel {axis}")).collect::<Vec<_>>().concat();
    let rows = (0..1200_u32).map(|row| {
        let cells = (0..16_u32)
            .map(|axis| format!(",{}", 2000 + axis + (row * (axis + 7) % 11) % 3))
            .collect::<Vec<_>>()
            .concat();
        format!("{}{cells}\n", row * 10_000)
    });
    let desk = Desk::new();
    desk.put("rest.csv", format!("time_us{columns}\n{}", rows.collect::<String>()));
    let out = desk.run_well(&["tune", "rest.csv", "--full-travel", "1900"]);
    assert_eq!(out.matches(": no rate\n").count(), 16, "{out}");
    assert!(out.contains("counts, the centre of its channel"), "{out}");
    assert_eq!(desk.read("tuned.toml").matches("rest_points = 0\n").count(), 16);
}

/// Given a trace of resting sticks, when it is tuned, then it is a rest recording, and frames that did not come are
/// counted.
#[test]
fn a_trace_can_be_tuned_and_its_missing_frames_count() {
    let rows = (0..3000_u32).map(|row| {
        let noise = f64::from(row * 7 % 11) / 10.0;
        let instructor = if row % 100 == 50 { ",".to_owned() } else { format!("{noise:.2},7.5") };
        format!("{},1,0,{instructor},{}\n", row * 20_000, if row % 3 == 0 { "1,2" } else { "," })
    });
    let header = "time_us,lesson_switch,instructor_now,i:roll,i:throttle,s:roll,s:throttle\n";
    let desk = Desk::new();
    desk.put("rest.csv", header.to_owned() + &rows.collect::<String>());
    let run = desk.run(&["tune", "rest.csv", "--step", "0.1"]);
    assert_eq!(run.code, Some(0), "{run:?}");
    says(&run, "dropped frames                30   the longest gap 40 ms");
    let policy = desk.read("tuned.toml");
    assert!(policy.contains("name = \"throttle\"\nkind = \"unsprung\"\nengage_points = 2\n"), "{policy}");
}

/// A student's stick that goes up and down, and stays where it is in rows of so many frames; 50 frames a second.
fn student(frames: u32, row: u32) -> String {
    let rows = (0..frames).map(|frame| format!("{},{}\n", frame * 20_000, 1400 + (frame / row) % 200));
    "time_us,us:aileron\n".to_owned() + &rows.collect::<String>()
}

/// Given recordings of the student with known rows of identical frames, when they are tuned, then `frozen_after_ms` is twice
/// the longest of them, and the false alarms are bounded by the length of the recordings alone.
#[test]
fn frozen_after_comes_from_the_longest_row_of_identical_frames() {
    let desk = Desk::new();
    let rest = minutes_of(5.0, Noise::White(0.3));
    let desk = desk.put("rest.csv", rest).put("flown.csv", student(6000, 5)).put("off.csv", student(6000, 40));
    let words = ["tune", "rest.csv", "--student-flown", "flown.csv", "--student-rest", "off.csv"];
    let run = desk.run(&words);
    assert_eq!(run.code, Some(0), "{run:?}");
    says(&run, "without a change, flown 0.10 s 5 frames in 2:00");
    says(&run, "without a change, hands off 0.80 s 40 frames in 2:00");
    says(&run, "frozen_after_ms 1600 twice");
    says(&run, "false alarms, hands off none with 95 % confidence at most 90 an hour");
    let near = |one: f64, other: f64| (one - other).abs() < 1e-9;
    assert!(near(value(&desk.read("tuned.toml"), "frozen_after_ms"), 1600.0));

    let too_still = desk.put("off.csv", student(6000, 200)).put("rest.csv", minutes_of(5.0, Noise::White(0.3)));
    let run = too_still.run(&[&words[..], &["--overwrite"]].concat());
    says(&run, "frozen_after_ms none recommended TOO STILL");
    assert!(!too_still.read("tuned.toml").contains("frozen_after_ms"));
    let one = too_still.run(&["tune", "rest.csv", "--student-flown", "flown.csv"]);
    assert_eq!(one.code, Some(2), "{one:?}");
}
