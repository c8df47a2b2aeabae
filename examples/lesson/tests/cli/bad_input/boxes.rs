//! A box file that is wrong: the line, the key, the value and the mend.

use crate::desk::Desk;

/// The default box with one text replaced by another; without this the refusals below would show nothing.
fn changed(desk: &Desk, from: &str, to: &str) -> String {
    let text = desk.run_well(&["policy", "--box"]);
    assert!(text.contains(from), "{from}");
    text.replacen(from, to, 1)
}

#[allow(clippy::too_many_lines)] // one table
/// Given each slip in a box file, when it is checked, then the message names line, key, value and mend.
#[test]
fn a_wrong_box_is_told_with_line_key_value_and_mend() {
    let rudder = "student = { channel = 3 }\ncraft = { channel = 3 }";
    for (from, to, said) in [
        ("channels = 8 ", "channels = 3 ", "line 34, column 12 (channels): instructor: channels is 3: it must be 4"),
        ("channels = 8 ", "channels = 17 ", "(channels): instructor: channels is 17: it must be 4 to 16"),
        ("channels = 8 ", "channels = eight ", "\"eight\" is no number"),
        ("channels = 8 ", "chanels = 8 ", "(chanels): unknown key \"chanels\"; write channels"),
        (
            "channels = 8 ",
            "# ",
            "([instructor]): missing field `channels`; add channels, how many channels the train has",
        ),
        (
            "separators = \"high\" ",
            "separators = \"hi\" ",
            "unknown variant `hi`, expected `high` or `low`; write one that",
        ),
        (
            "jitter_us = 6 ",
            "jitter_us = 6.5 ",
            "(jitter_us): \"6.5\" is no time here; give a whole number of microseconds",
        ),
        ("jitter_us = 6 ", "jitter_ms = 6 ", "unknown key \"jitter_ms\"; write jitter_us"),
        ("jitter_us = 6 ", "engage_points = 6 ", "unknown key \"engage_points\"; it belongs below the [[axis]]"),
        ("widest_us = 500 ", "widest_us = 100 ", "(widest_us): instructor: widest is 100 us: it must be narrowest"),
        ("gap_us = 2500 ", "gap_us = 2000 ", "(gap_us): instructor: gap is 2000 us: it must be above longest, 2300"),
        (
            "silence_ms = 50 ",
            "silence_ms = 2 ",
            "(silence_ms): instructor: silence is 2 ms: it must be above gap, 2.5 ms",
        ),
        ("silence_ms = 50 ", "silence_ms = 0 ", "(silence_ms): instructor: silence is 0 ms: it must be"),
        ("longest_us = 2300 ", "longest_us = 9000 ", "\"9000\" is no width of a pulse; give 0 to 4000 microseconds"),
        ("frame_ms = 22.5 ", "channels = 9\nframe_ms = 40 ", "(channels): craft: channels is 9: it must be at most 8"),
        (
            "frame_ms = 22.5 ",
            "frame_ms = 20 ",
            "(frame_ms): craft: a frame is 20 ms: 8 channels at their longest, a separator",
        ),
        ("[craft] ", "[carft] ", "no table of a policy; write [craft] once"),
        (
            "rhythm_ms = [500, 100, 500]",
            "rhythm_ms = [500]",
            "(rhythm_ms): cues: taken: rhythm has 1 pulse: it must have 2",
        ),
        ("rhythm_ms = [500, 100, 500]", "rhythm_ms = 500", "\"500\" is no list of lengths; write pulse, gap, pulse in"),
        (
            "rhythm_ms = [500, 100, 500]",
            "rhythm_ms = [500, 0, 500]",
            "0 is no length of a pulse or a gap; give each pulse",
        ),
        ("every_ms = 0 }", "phrase = 3 }", "(phrase): the cue has phrase and no phrase_ms; add phrase_ms, how long"),
        (
            "every_ms = 0 }",
            "phrase_ms = 3 }",
            "(phrase_ms): the cue has phrase_ms and no phrase; add phrase, the number",
        ),
        ("every_ms = 5000 }", "every_ms = 5 }", "(every_ms): cues: nobody: every is 5 ms: it must be 0, or 3350 ms to"),
        ("rest_ms = 1050 ", "rest_ms = 10 ", "(rest_ms): cues: rest is 10 ms: it must be 1034 ms to 10000 ms"),
        (
            "low_us = 1000 ",
            "low_us = 1450 ",
            "(low_us): instructor: axis \"aileron\": low is 1450.00 us: it must be below",
        ),
        (
            "lowest_us = 750 ",
            "lowest_us = 1100 ",
            "(lowest_us): instructor: axis \"aileron\": lowest is 1100.00 us: it must",
        ),
        (
            "trim_points = 0 ",
            "trim_points = 40 ",
            "(trim_points): student: axis \"aileron\": trim is 40.00 points: it must be",
        ),
        (
            "rate_percent = 100 ",
            "rate_percent = 101 ",
            "(rate_percent): student: axis \"aileron\": rate is 101.00 points",
        ),
        (
            "rate_percent = 100 ",
            "rate_percent = 60% ",
            "(rate_percent): \"60%\" is no number; percent are meant: write 60",
        ),
        (
            "instructor = { channel = 1 }",
            "instructor = { channel = 0 }",
            "(channel): instructor: axis \"elevator\": number is 0",
        ),
        (
            "instructor = { channel = 1 }",
            "instructor = { channel = 8 }",
            "(channel): instructor: axis \"elevator\": number is 8",
        ),
        ("instructor = { channel = 1 }", "instructor = { chanel = 1 }", "unknown key \"chanel\"; write channel"),
        (
            "instructor = { channel = 1 }",
            "instructor = { }",
            "missing field `channel`; add channel, the number of the channel",
        ),
        ("instructor = { channel = 1 }", "instructor = 1", "\"1\" is not known here; write a table"),
        (
            "instructor = { channel = 1 }",
            "",
            "(name): instructor: axis \"elevator\" has no channel: the instructor must be",
        ),
        (
            "instructor = { channel = 1 }",
            "instructor = { channel = 1, rate_percent = 50 }",
            "(rate_percent): instructor: axis",
        ),
        (
            rudder,
            "craft = { channel = 3 }",
            "(name): student: axis \"rudder\" has no channel: give it one, or do not share",
        ),
        ("name = \"elevator\"", "name = \"the elevator of ours\"", "(name): names: axis"),
        ("name = \"elevator\"", "name = \"Aileron\"", "is the name of axis 0 too: give it another name"),
        ("dwell_ms = 300 ", "dwell = 300 ", "unknown key \"dwell\"; write dwell_ms"),
        ("settle_ms = 30 ", "settle_ms = 0 ", "(settle_ms): settle is 0"),
        (
            "kind = \"sprung\"\n\n[axis.instructor]",
            "rest = \"where-left\"\nrest_points = 0\nkind = \"sprung\"\n\n[axis.instructor]",
            "(rest): the axis has both rest and rest_points; remove one",
        ),
    ] {
        let desk = Desk::new();
        let text = changed(&desk, from, to);
        desk.put("box.toml", text);
        let run = desk.run(&["policy", "box.toml"]);
        run.is_refused_with(said);
        assert!(run.err.starts_with("error: box.toml, line "), "{}", run.err);
    }
}

/// Given a box without one of its trains, when it is checked, then the missing table is named.
#[test]
fn a_box_without_one_of_its_tables_is_told() {
    let desk = Desk::new();
    let text = desk.run_well(&["policy", "--box"]);
    let (before, rest) = text.split_once("[student]  ").unwrap();
    let (_, after) = rest.split_once("[craft]  ").unwrap();
    desk.put("box.toml", format!("{before}[craft]  {after}"));
    desk.run(&["policy", "box.toml"]).is_refused_with("the box has no table [student]; add it; `lesson policy --box`");
}

/// Given a box file that is wrong beside its policy, when any command reads it as its policy, then it is refused.
#[test]
fn every_command_checks_the_whole_box() {
    let desk = Desk::new();
    let text = changed(&desk, "frame_ms = 22.5 ", "frame_ms = 20 ");
    desk.put("box.toml", text).put("rest.csv", "time_s,us:aileron\n0,1500\n");
    let header = "time_us,lesson_switch,instructor_now,i:aileron,i:elevator,i:throttle,i:rudder,s:aileron,s:elevator,s:throttle,s:rudder";
    desk.put("trace.csv", format!("{header}\n0,0,0,,,,,,,,\n"));
    for words in [
        &["replay", "trace.csv", "--policy", "box.toml"][..],
        &["preflight", "trace.csv", "--policy", "box.toml"],
        &["preflight", "--policy", "box.toml"],
        &["cost", "--policy", "box.toml"],
        &["policy", "box.toml", "--c"],
    ] {
        desk.run(words).is_refused_with("(frame_ms): craft: a frame is 20 ms");
    }
}
