//! Recordings that nobody in this project made (`host-tests/data/README.md` names their sources).

use std::fs;
use std::path::Path;

use super::{HERE, says, tune, value};
use crate::desk::Desk;

/// Columns of a recording, each as the text of its cells.
fn columns(file: &str, names: &[&str]) -> Vec<Vec<String>> {
    let text = fs::read_to_string(Path::new(HERE).join("../../host-tests/data").join(file)).unwrap();
    let mut lines = text.lines().map(|line| line.split(',').collect::<Vec<_>>());
    let titles = lines.next().unwrap();
    let places = names.iter().map(|name| titles.iter().position(|title| title == name).unwrap()).collect::<Vec<_>>();
    lines.map(|line| places.iter().map(|&place| line[place].to_owned()).collect()).collect()
}

/// A rest recording of these columns, under other names.
fn recording(header: &str, rows: &[Vec<String>]) -> String {
    let rows = rows.iter().map(|row| row.join(",")).collect::<Vec<_>>();
    format!("{header}\n{}\n", rows.join("\n"))
}

/// Given 208 s of recorded channels at 4.2 Hz, when they are tuned, then the throttle was moved, and the others need
/// more frames of `confirm`. Their noise is white and within a step or two of the readings, so that 704 frames are
/// enough to know its size; but it jumps, for a frame or two, further than this noise ever does. At that rate
/// `confirm` costs a quarter of a second a frame, and the timeout of the policy would lose the signal: a hint says so.
#[test]
fn recorded_channels_that_jump_need_more_frames() {
    let rows = columns("fixedwing_channels_4hz.csv", &["time_s", "us1", "us2", "us3", "us4"]);
    let (_, run) = tune(&recording("time_s,us:aileron,us:elevator,us:throttle,us:rudder", &rows));
    assert_eq!(run.code, Some(1));
    says(&run, "dropped frames                70   the longest gap 3502 ms");
    says(&run, "HINT: timeout_ms is 150 and late_step_ms 250, and frames come 240 ms apart");
    says(&run, "throttle: moved\n");
    says(&run, "No policy written to tuned.toml: see what would help with throttle.");

    let rows = columns("fixedwing_channels_4hz.csv", &["time_s", "us1", "us2", "us4"]);
    let (desk, run) = tune(&recording("time_s,us:aileron,us:elevator,us:rudder", &rows));
    assert_eq!(run.code, Some(0));
    says(
        &run,
        "elevator: no rate\n  its readings jump, for fewer than 2 frames in a row: confirm filters these jumps out",
    );
    says(&run, "with which the engine counted 1 takeover");
    says(&run, "confirm adds                  480 ms");
    let policy = desk.read("tuned.toml");
    let confirms = policy.lines().filter(|line| line.starts_with("confirm")).collect::<Vec<_>>();
    assert_eq!(confirms, ["confirm = 3", "confirm = 2", "confirm = 3"]);
    // The first rest in the file is the aileron's: the mean of the 704 counted frames, in points of 5 us.
    let counted: f64 = rows[64..64 + 704].iter().map(|row| row[1].parse::<f64>().unwrap()).sum();
    let rest = (counted / 704.0 - 1500.0) / 5.0;
    assert!((value(&policy, "rest_points") - rest).abs() < 0.02, "{policy}, not {rest}");
}

/// The longest stretch of a thumbstick near its centre that moved by at most 2 points from sample to sample.
fn longest_rest(rows: &[Vec<String>]) -> Vec<Vec<String>> {
    let x = |row: &Vec<String>| row[1].parse::<f64>().unwrap();
    let rests = rows.split(|row| x(row).abs() > 20.0).flat_map(|near| near.chunk_by(|a, b| (x(a) - x(b)).abs() <= 2.0));
    rests.max_by_key(|rest| rest.len()).unwrap().to_vec()
}

/// Given the rests of recorded thumbsticks, which are short, when they are tuned, then only the quiet one is long
/// enough.
#[test]
fn only_the_quiet_recorded_thumbstick_rests_long_enough() {
    for (file, verdict) in
        [("thumbstick_a.csv", "too short"), ("thumbstick_b.csv", "no rate"), ("thumbstick_c.csv", "too short")]
    {
        let rows = columns(file, &["time_s", "raw_x"]);
        let desk = Desk::new();
        desk.put("rest.csv", recording("time_s,points:x", &longest_rest(&rows)));
        desk.put("sweep.csv", recording("time_s,points:x", &rows));
        let run = desk.run(&["tune", "rest.csv", "--sweep", "sweep.csv"]);
        says(&run, &format!("x: {verdict}\n"));
        assert_eq!(run.code, Some(i32::from(verdict != "no rate")), "{file}");
        if verdict == "no rate" {
            // In a game a thumb pauses in the middle: these are not the sweeps that are needed, and a hint says so.
            assert!(value(&desk.read("tuned.toml"), "dwell_ms") > 800.0);
            says(&run, "HINT: the dwell is long because a stick paused in its middle");
        }
    }
}
