//! Files of another kind, with old line ends, or with a column whose name is nearly right.

use super::GOOD;
use crate::desk::{Desk, HEADER};

#[test]
fn a_file_in_the_place_of_another_is_told_where_it_belongs() {
    let desk = Desk::new();
    let policy = desk.run_well(&["policy"]);
    let rest = "time_s,us:roll\n0,1500\n";
    let decisions = "time_us,flies,student,held,cause,waiting,roll\n0,instructor,,,,,0\n";
    desk.put("p.toml", policy).put("rest.csv", rest).put("d.csv", decisions).put_trace(&[GOOD]);
    desk.put("big.csv", format!("{HEADER}\n{}", format!("{GOOD}\n").repeat(100_000)));
    desk.put(
        "utf16.csv",
        HEADER.encode_utf16().flat_map(u16::to_le_bytes).fold(vec![0xff, 0xfe], |mut all, byte| {
            all.push(byte);
            all
        }),
    );
    desk.put("nomark.csv", HEADER.encode_utf16().flat_map(u16::to_le_bytes).collect::<Vec<_>>());
    desk.put("latin.csv", [HEADER.as_bytes(), b",i:h\xf6he,s:h\xf6he\n"].concat());
    desk.put("book.csv", b"PK\x03\x04\x14\0\x06\0").put("x.svg", "<svg width=\"3\"></svg>");
    let before = desk.files();
    for (words, said) in [
        (
            &["policy", "trace.csv"][..],
            "trace.csv: looks like a recording of a lesson, not like a policy; give it as `lesson replay TRACE`",
        ),
        (&["policy", "big.csv"], "big.csv: looks like a recording of a lesson, not like a policy"),
        (&["replay", "trace.csv", "--policy", "trace.csv"], "looks like a recording of a lesson, not like a policy"),
        (
            &["cost", "--policy", "rest.csv"],
            "looks like a recording of sticks, not like a policy; give it as `lesson tune",
        ),
        (
            &["preflight", "--policy", "d.csv"],
            "d.csv: looks like a file of decisions, not like a policy; no command reads",
        ),
        (
            &["replay", "p.toml"],
            "p.toml: looks like a policy, not like a recording of a lesson; give it as --policy FILE",
        ),
        (
            &["preflight", "p.toml"],
            "p.toml: looks like a policy, not like a recording of a lesson; give it as --policy FILE",
        ),
        (&["tune", "p.toml"], "p.toml: looks like a policy, not like a rest recording; give it as --policy FILE"),
        (
            &["replay", "rest.csv"],
            "rest.csv: looks like a recording of sticks, not like a recording of a lesson; give it as `lesson tune REST`",
        ),
        (&["tune", "d.csv"], "d.csv: looks like a file of decisions, not like a rest recording"),
        (&["replay", "x.svg"], "x.svg: looks like a picture, not like a recording of a lesson"),
        (
            &["replay", "utf16.csv"],
            "utf16.csv: looks like text in UTF-16, not like a recording of a lesson; save it in UTF-8",
        ),
        (&["policy", "utf16.csv"], "utf16.csv: looks like text in UTF-16, not like a policy; save it in UTF-8"),
        (&["policy", "nomark.csv"], "nomark.csv: looks like text in UTF-16, not like a policy; save it in UTF-8"),
        (&["replay", "latin.csv"], "latin.csv, line 1: the header is not in UTF-8; save the file in UTF-8"),
        (
            &["tune", "book.csv"],
            "looks like a workbook or an archive, not like a rest recording; export it as CSV first",
        ),
        (
            &["replay", "-"],
            "-: names no file; standard input is not read: name a file, or write ./- for one of this name",
        ),
        (&["policy", "-"], "-: names no file; standard input is not read"),
    ] {
        desk.run(words).is_refused_with(said);
    }
    assert_eq!(desk.files(), before);
}

#[test]
fn a_table_whose_lines_end_in_cr_alone_says_so() {
    let desk = Desk::new();
    desk.put("trace.csv", format!("{HEADER}\r{GOOD}\r"));
    desk.run(&["replay", "trace.csv"]).is_refused_with(
        "trace.csv, line 1: the header does not end; lines end in CR alone: save the file with LF or CR LF",
    );
    desk.put("trace.csv", format!("{HEADER}\r{}", format!("{GOOD}\r").repeat(1000)));
    desk.run(&["replay", "trace.csv"]).is_refused_with("line 1: is longer than 4096 bytes; lines end in CR alone");
    desk.put("rest.csv", "time_s,us:roll\r0,1500\r");
    desk.run(&["tune", "rest.csv"]).is_refused_with("rest.csv, line 1: the header does not end; lines end in CR alone");
}

#[test]
fn a_column_that_is_nearly_one_is_told_its_name() {
    let desk = Desk::new();
    desk.put("trace.csv", format!("{}\n{GOOD}\n", HEADER.replace("lesson_switch", "lesson_swich")));
    desk.run(&["replay", "trace.csv"]).is_refused_with(
        "(lesson_swich): \"lesson_swich\" is no column of a recording of a lesson; write lesson_switch\n",
    );
    desk.put("trace.csv", format!("# {HEADER}\n{GOOD}\n"));
    desk.run(&["replay", "trace.csv"])
        .is_refused_with("\"# time_us\" is no column of a recording of a lesson; write time_us\n");
    desk.put("trace.csv", "time_ms,us:roll\n");
    desk.run(&["tune", "trace.csv"]).is_refused_with("\"time_ms\" is no column of a rest recording; write time_us\n");
}
