//! What a box sends, read by the commands: traces with check values and notes, and raw traces.

use std::fmt::Write;

use handback::{CheckedPolicy, Deflection, Engine, Frame, Inputs, Instant};
use outcome_digest::{Crc32, OutcomeBytes};

use crate::desk::{Desk, Run};

const BOX: &str = include_str!("boxed/box.toml");
const HEADER: &str = "time_us,lesson_switch,instructor_now,i:roll,i:pitch,s:roll,s:pitch,check";

/// The policy of the box file, by hand: two sprung axes with the defaults.
fn policy() -> CheckedPolicy<2> {
    handback::Policy::new([handback::AxisRule::sprung(); 2]).check().unwrap()
}

/// A lesson of this many rows as a box sends it: the student gets the craft, the instructor takes it now and then, and
/// a recording begins at each of these rows.
pub(crate) fn sent(rows: u32, begins: &[u32]) -> Vec<String> {
    let policy = policy();
    let (mut engine, mut check) = (Engine::new(&policy), Crc32::new());
    let mut lines = vec![HEADER.to_owned()];
    for n in 0..rows {
        if begins.contains(&n) {
            (engine, check) = (Engine::new(&policy), Crc32::new());
            lines.push("# recording".to_owned());
        }
        let points = |at: u32| i32::try_from(at).unwrap() * 100;
        let moved = if n % 300 > 250 { points(n % 50) } else { 0 };
        let frame = |at: i32| Frame::new([Deflection::from_centipoints(at), Deflection::CENTRE]);
        let (instructor, student) = (frame(moved), frame(points(n % 7)));
        let at = 5_000_000 + n * 20_000;
        let inputs = Inputs {
            instructor: Some(&instructor),
            student: (n % 2 == 0).then_some(&student),
            lesson_switch: n > 100,
            instructor_now: false,
        };
        let outcome = engine.step(Instant::from_ticks(at), inputs);
        OutcomeBytes::of(&outcome).digest(&mut check);
        let cells = |frame: Option<&Frame<2>>| match frame {
            Some(frame) => format!("{},0", (f64::from(frame.axes()[0].to_bits()) / 163.84 * 1e4).round() / 1e4),
            None => ",".to_owned(),
        };
        let (i, s) = (cells(inputs.instructor), cells(inputs.student));
        lines.push(format!("{at},{},0,{i},{s},{:08x}", u8::from(inputs.lesson_switch), check.value()));
    }
    lines
}

/// The same lesson for the axes and the policy of this box file, as one recording.
pub(crate) fn sent_of<const N: usize>(names: &[&str; N], dwell_500: &str, rows: u32) -> Vec<String> {
    assert!(dwell_500.contains("dwell_ms = 500 "));
    let throttle = handback::AxisRule::unsprung(Deflection::from_points(-100));
    let rules = names.map(|name| if name == "throttle" { throttle } else { handback::AxisRule::sprung() });
    let mut policy = handback::Policy::new(rules);
    policy.dwell = handback::Duration::from_millis(500);
    let policy = policy.check().unwrap();
    let (mut engine, mut check) = (Engine::new(&policy), Crc32::new());
    let columns = |side: &str| names.map(|name| format!(",{side}:{name}")).concat();
    let mut lines = vec![format!("time_us,lesson_switch,instructor_now{}{},check", columns("i"), columns("s"))];
    for n in 0..rows {
        let points = if n % 300 > 250 { n % 50 } else { 0 };
        let mut axes = [Deflection::CENTRE; N];
        axes[0] = Deflection::from_points(i16::try_from(points).unwrap());
        let (instructor, student) = (Frame::new(axes), Frame::new([Deflection::CENTRE; N]));
        let inputs = Inputs {
            instructor: Some(&instructor),
            student: Some(&student),
            lesson_switch: n > 100,
            instructor_now: false,
        };
        let outcome = engine.step(Instant::from_ticks(n * 20_000), inputs);
        OutcomeBytes::of(&outcome).digest(&mut check);
        let (rest, switch) = (",0".repeat(N - 1), u8::from(inputs.lesson_switch));
        lines.push(format!("{},{switch},0,{points}{rest},0{rest},{:08x}", n * 20_000, check.value()));
    }
    lines
}

fn replay(desk: &Desk, lines: &[String]) -> Run {
    desk.put("box.toml", BOX).put("sent.csv", lines.join("\n") + "\n");
    desk.run(&["replay", "sent.csv", "--policy", "box.toml"])
}

/// Given a lesson with notes between its rows and two recordings in it, when it is replayed, then box and computer took
/// the same decisions.
#[test]
fn the_same_decisions_are_told() {
    let mut lines = sent(900, &[0, 60]);
    lines.insert(0, "# version 1".to_owned());
    lines.insert(500, "# dropped student uneven 4".to_owned());
    let run = replay(&Desk::new(), &lines);
    assert_eq!((run.code, run.err.as_str()), (Some(0), ""), "{run:?}");
    assert!(run.out.contains("Check: this replay took the same 900 decisions as the box\n"), "{}", run.out);
    assert!(run.out.contains("student flew, times"), "{}", run.out);
    // Without its marks the second recording would be the first one going on.
    let whole = sent(900, &[60]);
    let unmarked = whole.into_iter().filter(|line| line != "# recording").collect::<Vec<_>>();
    assert!(replay(&Desk::new(), &unmarked).out.contains("the box decided otherwise in line "));
}

/// Given a row whose check value is another, when the lesson is replayed, then the line and its time are told, and the
/// exit code is 1.
#[test]
fn the_first_other_decision_is_told_by_line_and_time() {
    let mut lines = sent(900, &[0]);
    let wrong = lines[402].rsplit_once(',').unwrap().0.to_owned() + ",00000000";
    lines[402] = wrong;
    let run = replay(&Desk::new(), &lines);
    assert_eq!(run.code, Some(1), "{run:?}");
    let said =
        "Check: this replay took the same 400 decisions as the box; then the box decided otherwise in line 403, at";
    assert!(run.out.contains(said), "{}", run.out);
    // Another policy decides otherwise, too.
    let desk = Desk::new();
    desk.put("box.toml", BOX.replace("dwell_ms = 300", "dwell_ms = 900")).put("sent.csv", sent(900, &[0]).join("\n"));
    let run = desk.run(&["replay", "sent.csv", "--policy", "box.toml"]);
    assert_eq!(run.code, Some(1), "{run:?}");
    assert!(run.out.contains("Another policy than that of the box?"), "{}", run.out);
}

/// Given rows that are missing, when the lesson is replayed, then no decision after them is compared until a recording
/// begins, and that is told.
#[test]
fn decisions_after_missing_rows_are_not_compared() {
    let mut lines = sent(900, &[0]);
    lines.splice(300..312, ["# missing 12 rows".to_owned()]);
    let run = replay(&Desk::new(), &lines);
    assert_eq!(run.code, Some(0), "{run:?}");
    assert!(run.out.contains("took the same 298 decisions as the box\n"), "{}", run.out);
    assert!(run.out.contains("Before line 302 and after, 12 rows are missing"), "{}", run.out);
    assert!(run.out.contains("590 decisions after them cannot be compared"), "{}", run.out);

    let mut lines = sent(900, &[0, 60]);
    lines.splice(50..52, ["# missing 2 rows".to_owned()]);
    let run = replay(&Desk::new(), &lines);
    assert!(run.out.contains("took the same 888 decisions as the box\n"), "{}", run.out);
}

/// Given a note or a check value that says nothing, when the lesson is replayed, then it is refused with its place.
#[test]
fn a_note_or_a_check_value_that_says_nothing_is_refused() {
    for (row, said) in [
        ("# missing many rows", "sent.csv, line 4: does not say how many rows are missing; write # missing 12 rows"),
        ("5100000,0,0,0,0,,,xyz", "line 4, column 8 (check): \"xyz\" is no check value; give 8 hexadecimal digits"),
        ("5100000,0,0,0,0,,,123", "line 4, column 8 (check): \"123\" is no check value"),
    ] {
        let mut lines = sent(2, &[0]);
        lines[3] = row.to_owned();
        replay(&Desk::new(), &lines).is_refused_with(said);
    }
}

/// A raw trace of this many rows; the instructor's roll is on channel 1, reversed, and rests at 1520 us.
fn raw(rows: u32) -> String {
    let mut text = "time_us,lesson_switch,instructor_now,us:s0\n".replace(",us:s0", "");
    text.push_str("# train instructor high 8\n# train student low 5\n");
    text.push_str("time_us,lesson_switch,instructor_now,us:i0,us:i1,us:i2,us:i3,us:i4,us:i5,us:i6,us:i7,us:s0,us:s1,us:s2,us:s3,us:s4\n");
    for n in 0..rows {
        let shiver = n * 7 % 5;
        let student = if n % 2 == 0 { "1500,1500,1500,1500,1500" } else { ",,,," };
        writeln!(
            text,
            "{},1,0,{},{},1500,1500,1500,1500,1500,1500,{student}",
            n * 20_000,
            1498 + shiver,
            1518 + shiver
        )
        .unwrap();
    }
    text.split_once('\n').unwrap().1.to_owned()
}

/// Given a raw trace and the box file that says which channel is which axis, when commands read it, then they read
/// axes; without the file they refuse it.
#[test]
fn a_raw_trace_is_read_by_the_channels_of_the_box() {
    let desk = Desk::new();
    desk.put("box.toml", BOX).put("raw.csv", raw(900)).put("policy.toml", desk.run_well(&["policy"]));
    for words in [&["replay", "raw.csv"][..], &["preflight", "raw.csv"], &["tune", "raw.csv"]] {
        let said =
            "raw.csv: is a raw trace: it has channels, not axes; give the box file that says which channel is which";
        desk.run(words).is_refused_with(said);
        desk.run(&[words, &["--policy", "policy.toml"]].concat()).is_refused_with(said);
    }
    desk.run_well(&["replay", "raw.csv", "--policy", "box.toml", "--decisions", "d.csv"]);
    assert!(desk.read("d.csv").starts_with("time_us,flies,student,held,cause,waiting,roll,pitch\n"));
    let run = desk.run(&["preflight", "raw.csv", "--policy", "box.toml"]);
    assert_eq!((run.code, run.err.as_str()), (Some(1), ""), "{run:?}");
    desk.run_well(&["tune", "raw.csv", "--policy", "box.toml"]);
    let tuned = desk.read("tuned.toml");
    // The channel has its centre at 1520 us: the stick rests there.
    assert!(tuned.contains("rest_points = 0\n") || tuned.contains("rest_points = -0.0"), "{tuned}");
    assert!(tuned.contains("[axis.instructor]\nchannel = 1\nreversed = true\n"), "{tuned}");
}

#[test]
fn a_raw_trace_with_another_number_of_channels_is_refused() {
    for (from, to, said) in [
        (
            "channels = 8",
            "channels = 7",
            "raw.csv, line 3: the instructor's train has 8 channels, and the box file says 7",
        ),
        (
            "channels = 5",
            "channels = 4",
            "the student's train has 5 channels, and the box file says 4; write channels = 5",
        ),
    ] {
        let desk = Desk::new();
        desk.put("box.toml", BOX.replace(from, to)).put("raw.csv", raw(3));
        desk.run(&["replay", "raw.csv", "--policy", "box.toml"]).is_refused_with(said);
    }
    for (from, to, said) in [
        (
            "us:i7",
            "us:i8",
            "column 11 (us:i8): \"us:i8\" is not the next channel; number the channels of a side from 0",
        ),
        (
            "us:i7",
            "us:i7,us:i8,us:i9,us:i10,us:i11,us:i12,us:i13,us:i14,us:i15,us:i16",
            "column 20 (us:i16): \"us:i16\" is not the next channel; number the channels of a side from 0",
        ),
        ("us:i1", "us:x1", "column 5 (us:x1): \"us:x1\" is no column of a raw trace"),
        ("0,1,0,1498,", "0,1,0,abc,", "column 4 (us:i0): \"abc\" is no width of a channel"),
        ("0,1,0,1498,", "0,1,0,,", "column 4 (us:i0): \"\" is empty, but other channels of this train are not"),
    ] {
        let desk = Desk::new();
        desk.put("box.toml", BOX).put("raw.csv", raw(3).replacen(from, to, 1));
        desk.run(&["replay", "raw.csv", "--policy", "box.toml"]).is_refused_with(said);
    }
}
