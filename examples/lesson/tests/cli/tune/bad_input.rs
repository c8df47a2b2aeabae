//! Bad recordings: exit code 2, one line that says where it is and what to do, and nothing half written.

use crate::desk::Desk;

/// Rows of two axes, 20 ms apart, with some of them replaced.
fn recording(rows: u32, replaced: &[(u32, &str)]) -> String {
    let rows = (0..rows).map(|row| {
        let other = replaced.iter().find(|(number, _)| *number == row).map(|(_, text)| (*text).to_owned());
        other.unwrap_or_else(|| format!("{},1500.5,{}", row * 20_000, 1498 + row % 3))
    });
    let rows = rows.collect::<Vec<_>>().join("\n");
    format!("time_us,us:roll,us:pitch\n{rows}\n")
}

#[track_caller]
fn refused(rest: &str, words: &[&str], said: &str) {
    let desk = Desk::new();
    desk.put("rest.csv", rest).put("tuned.toml", "before").put("tune.svg", "before");
    let before = desk.files();
    desk.run(&[&["tune", "rest.csv"], words].concat()).is_refused_with(said);
    assert_eq!(
        (desk.files(), desk.read("tuned.toml"), desk.read("tune.svg")),
        (before, "before".into(), "before".into())
    );
}

#[test]
fn a_good_recording_is_not_refused() {
    let desk = Desk::new();
    desk.put("rest.csv", recording(600, &[(3, ",,"), (4, "80000,,")]));
    let run = desk.run(&["tune", "rest.csv", "--step", "0.1"]);
    assert_eq!(run.code, Some(0), "{run:?}");
}

#[test]
fn a_cell_that_is_wrong_is_named_by_line_column_and_value() {
    for (row, said) in [
        ("20000,abc,1500", "rest.csv, line 3, column 2 (us:roll): \"abc\" is no pulse width; write microseconds"),
        ("20000,NaN,1500", "line 3, column 2 (us:roll): \"NaN\" is no pulse width"),
        ("20000,1500,1e3", "line 3, column 3 (us:pitch): \"1e3\" is no pulse width; no exponent: write 1000"),
        ("20000,1500,+1500", "line 3, column 3 (us:pitch): \"+1500\" is no pulse width; no plus sign: write 1500"),
        ("20000,1500,1500us", "\"1500us\" is no pulse width; microseconds are meant: write 1500"),
        ("2e4,1500,1500", "line 3, column 1 (time_us): \"2e4\" is no time in microseconds; no exponent: write 20000"),
        ("20000,0,1500", "line 3, column 2 (us:roll): \"0\" is no pulse of a stick; keep to 500 to 2500 microseconds"),
        (
            "20000,,1500",
            "line 3, column 2 (us:roll): \"\" is empty, but the cells of other axes are not; fill the cells",
        ),
        ("20000,1500", "line 3: the line has 2 cells, the header 3; give every column a cell"),
        ("20000,1,500,1500", "line 3: the line has 4 cells, the header 3"),
        ("20000,\"1500\",1500", "is no pulse width; quotes are not understood"),
        ("1.5,1500,1500", "line 3, column 1 (time_us): \"1.5\" is no time in microseconds; write a whole number"),
        ("-1,1500,1500", "line 3, column 1 (time_us): \"-1\" is no time in microseconds"),
        (",1500,1500", "line 3, column 1 (time_us): \"\" is no time in microseconds"),
        ("90000,1500,1500", "line 4, column 1 (time_us): \"40000\" is before the row above; sort the rows by time"),
    ] {
        refused(&recording(600, &[(1, row)]), &[], said);
    }
    refused("time_s,points:a\n0.0000001,1\n", &[], "line 2, column 1 (time_s): \"0.0000001\" is no time in seconds");
    refused("time_s,points:a\n0,200\n", &[], "line 2, column 2 (points:a): \"200\" is out of range; keep to -200 to");
}

#[test]
fn a_rest_is_no_recording_of_sweeps_of_itself() {
    let said = "rest.csv: is the rest recording too; give a recording of sweeps as --sweep";
    refused(&recording(600, &[]), &["--sweep", "./rest.csv"], said);
}

#[test]
fn a_recording_that_is_none_as_a_whole_is_refused() {
    refused("", &[], "rest.csv: is empty; give a rest recording");
    refused("time_us,us:roll\n", &[], "rest.csv: has 0 frames, fewer than the 192 that are needed; record for");
    refused(&recording(191, &[]), &[], "rest.csv: has 191 frames, fewer than the 192 that are needed");
    refused(
        "time_us,roll\n0,1\n",
        &[],
        "line 1, column 2 (roll): \"roll\" is no column of a rest recording; remove it",
    );
    let seconds = recording(600, &[]).replace("time_us", "time_s");
    refused(&seconds, &[], "has a frame every 20000.000000 s (median); give 1 to 1000 frames a second; check the unit");
    let mixed = recording(300, &[])
        + &(0..300).map(|n| format!("{},1500,1500\n", 6_000_000 + n * 5000)).collect::<Vec<_>>().concat();
    refused(&mixed, &[], "mixes frame rates: 5.0 ms from frame to frame here, 20.0 ms there; record at one rate");
    let counts = recording(600, &[]).replace("us:roll", "counts:roll");
    refused(
        &counts,
        &[],
        "column counts:roll is in counts of a converter, and their full travel is not given; add --full-travel",
    );
    refused(&recording(600, &[]), &["--full-travel", "1900"], "and --full-travel is given; leave --full-travel out");
    refused(&recording(600, &[]), &["--write", "rest.csv"], "rest.csv: is read or written by the same command already");
    refused(&recording(600, &[]), &["--write", "tune.svg"], "tune.svg: is read or written by the same command already");
    refused(
        &recording(600, &[]),
        &["--write", "none/t.toml"],
        "none/t.toml: cannot be written: no such file or directory",
    );
    refused(&recording(600, &[]), &["--sweep", "none.csv"], "none.csv: cannot be read: no such file or directory");
    let desk = Desk::new();
    desk.run(&["tune", "none.csv"])
        .is_refused_with("none.csv: cannot be read: no such file or directory; check the path");
    for words in [
        &["tune"][..],
        &["tune", "rest.csv", "--hours-apart", "0"],
        &["tune", "rest.csv", "--hours-apart", "NaN"],
        &["tune", "rest.csv", "--full-travel", "-5"],
    ] {
        assert_eq!(desk.run(words).code, Some(2), "{words:?}");
    }
}

#[test]
fn sweeps_and_a_policy_that_do_not_fit_the_rest_are_refused() {
    let desk = Desk::new();
    desk.put("rest.csv", recording(600, &[]));
    let tune = |sweep: &str| {
        desk.put("sweep.csv", sweep);
        desk.run(&["tune", "rest.csv", "--sweep", "sweep.csv"])
    };
    tune(&recording(600, &[]).replace("us:roll", "us:yaw"))
        .is_refused_with("sweep.csv: has no axis \"roll\", which rest.csv has; record the same sticks");
    tune(&recording(600, &[]).replace("us:roll", "counts:roll"))
        .is_refused_with("sweep.csv: has axis \"roll\" in another unit than rest.csv; record both in the same units");
    tune(&recording(99, &[])).is_refused_with("sweep.csv: has 99 frames, fewer than the 100 that are needed");
    let fast = (0..600).map(|n| format!("{},1500,1500\n", n * 5000)).collect::<Vec<_>>().concat();
    tune(&format!("time_us,us:roll,us:pitch\n{fast}"))
        .is_refused_with("sweep.csv: has a frame every 5.0 ms, and rest.csv every 20.0 ms; record both at the rate");
    desk.put("p.toml", "[[axis]]\nname = \"roll\"\nkind = \"sprung\"\n");
    desk.run(&["tune", "rest.csv", "--policy", "p.toml"])
        .is_refused_with("p.toml: has no axis \"pitch\", which rest.csv has; add a table [[axis]] for it");
    assert_eq!(desk.files(), ["p.toml", "rest.csv", "sweep.csv"]);
}
