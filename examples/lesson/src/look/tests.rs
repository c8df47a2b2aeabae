use std::fmt::Write;

use super::*;
use crate::live::{self, Craft, Live, Student};

/// Given a trace longer than a piece, when it is looked at, then the share of the file grows to the end, and a piece at a
/// time gives what all at once gives.
#[test]
fn a_long_trace_is_flown_in_pieces_to_the_same_end() {
    let mut trace = "time_us,lesson_switch,instructor_now,i:a,s:a\n".to_owned();
    for n in 0..500 {
        let (switch, stick) = (u8::from(n > 10), if n > 300 { 20 } else { 0 });
        writeln!(trace, "{},{switch},0,{stick},3", n * 20_000).unwrap();
    }
    let ends = |rows| {
        let (mut look, mut shares) = (Look::begin("t.csv", trace.clone().into(), None).unwrap(), vec![0.0]);
        loop {
            match look.go_on(rows).unwrap() {
                Now::Going(share) => shares.push(share),
                Now::Done(looked) => return (shares, looked),
            }
        }
    };
    let ((shares, pieces), (_, whole)) = (ends(64), ends(10_000));
    assert_eq!(shares.len(), 8);
    assert!(shares.is_sorted() && shares.iter().all(|share| (0.0..=1.0).contains(share)), "{shares:?}");
    let unchecked = "This recording has nothing to check against: with other settings than the lesson's, this may not be what \
                     happened.";
    assert_eq!(pieces.summary, ["The student flew 00:04.7 of 00:10.0 (47 %).", "1 takeover: 1 by stick.", unchecked]);
    assert_eq!(pieces.proof, Proof { checked: Some(unchecked.to_owned()), ..Proof::default() });
    assert_eq!((pieces.report, pieces.picture), (whole.report, whole.picture));
    assert_eq!(pieces.lesson.unwrap().losses(), whole.lesson.unwrap().losses());
}

/// Given words in a file that is called a policy, when it is looked at, then it is told what a policy needs, and no table.
#[test]
fn words_in_a_policy_file_are_refused_as_a_policy() {
    let told = |name| Look::begin(name, b"a dwell of 300 please\n".to_vec(), None).err().unwrap().to_string();
    assert!(told("mine.toml").contains("has no equals sign; write a key"), "{}", told("mine.toml"));
    assert!(told("mine.csv").contains("separate them with commas"), "{}", told("mine.csv"));
}

#[test]
fn a_recording_gives_the_policy_that_tune_would_write() {
    let rest = include_bytes!("../../recordings/rest.csv").to_vec();
    let mut look = Look::begin("rest.csv", rest, None).unwrap();
    let Now::Done(looked) = look.go_on(1).unwrap() else { panic!("a recording is studied at once") };
    let [aileron, .., rudder] = looked.sticks.as_slice() else { panic!("{:?}", looked.sticks) };
    assert_eq!((aileron.name.as_str(), rudder.name.as_str()), ("aileron", "rudder"));
    let thresholds = aileron.thresholds.as_ref().unwrap();
    assert!(thresholds.engage > thresholds.release && thresholds.release > 0.0, "{thresholds:?}");
    assert!(looked.summary.iter().all(|line| !line.contains("--")), "{:?}", looked.summary);
    assert!(looked.report.contains(&format!("confirm {}", thresholds.confirm)), "{}", looked.report);
    let [(name, text)] = looked.files.as_slice() else { panic!("{:?}", looked.files) };
    assert_eq!(name, "tuned.toml");
    let again = Look::begin(name, text.clone().into(), None).unwrap();
    assert_eq!(again.kind(), Kind::Policy);
    let axis = text.split("[[axis]]").nth(1).unwrap();
    assert!(axis.contains(&format!("engage_points = {}\n", rounded(thresholds.engage))), "{thresholds:?} {axis}");
}

/// To the decimals of the file.
fn rounded(points: f64) -> f64 {
    (points * 1e2).round() / 1e2
}

/// Given check values in all rows, in some, or one that is wrong, when the lesson is looked at, then it is told how far it is
/// what happened.
#[test]
fn check_values_tell_how_far_a_lesson_is_what_happened() -> Result<(), Fault> {
    let plan = live::Plan { craft: Craft::Aeroplane, seed: 1, student: Student::Beginner, policy: None };
    let mut live = Live::begin(&plan)?;
    let fly = |live: &mut Live| {
        let instructor = live.axes().iter().map(|axis| axis.steady).collect::<Vec<_>>();
        let input = live::Input { instructor: Some(instructor), switch: true, ..live::Input::default() };
        (0..200).try_for_each(|_| live.step(&input).map(drop))
    };
    fly(&mut live)?;
    let trace = live.save()?.trace;
    let proof = |text: String| -> Result<Proof, Fault> {
        match Look::begin("t.csv", text.into(), None)?.go_on(1000)? {
            Now::Done(looked) => Ok(looked.proof),
            Now::Going(_) => panic!("all rows were asked for"),
        }
    };
    let from_row = |first: usize, check: &str| {
        let rows = trace.lines().enumerate().map(|(at, row)| match row.rsplit_once(',') {
            Some((cells, _)) if at >= first => format!("{cells},{check}\n"),
            _ => format!("{row}\n"),
        });
        rows.collect::<String>()
    };
    let whole = proof(trace.clone())?;
    assert!(
        whole.checked.is_some_and(|words| words.starts_with("Checked from beginning to end"))
            && whole.doubts.is_empty()
    );
    let part = proof(from_row(101, ""))?.checked.unwrap_or_default();
    assert!(
        part.starts_with("Checked up to 00:02.0: until then") && part.ends_with("after can't all be checked."),
        "{part}"
    );
    let none = proof(from_row(1, ""))?.checked.unwrap_or_default();
    assert!(none.starts_with("This recording has nothing to check against"), "{none}");
    // A check value is of its own recording alone.
    live.set("dwell_ms", None, "300")?;
    fly(&mut live)?;
    let later = live.save()?.trace;
    let (_, later) = later.split_once('\n').unwrap_or_default();
    let two = proof(format!("{}# recording\n{later}", from_row(101, "")))?;
    assert_eq!((two.checked, two.differs_s), (Some(part), None));
    let wrong = proof(from_row(101, "00000000"))?;
    assert!(
        matches!(wrong.doubts.as_slice(), [words] if words.starts_with("From 00:02.0 on, this is not what happened"))
    );
    assert_eq!((wrong.checked, wrong.differs_s), (None, Some(2.0)));
    Ok(())
}

/// Given a stick that rests where the policy does not expect it, when nothing speaks against the policy, then its rest is
/// advised; when the lesson was flown under another, then that is told first, and no rest is advised.
#[test]
fn a_rest_is_advised_only_where_the_policy_may_be_that_of_the_lesson() {
    let summary = |check: &str| {
        let mut trace = "time_us,lesson_switch,instructor_now,i:a,s:a,page_check\n".to_owned();
        for n in 0..200 {
            writeln!(trace, "{},1,0,6,0,{check}", n * 20_000).unwrap();
        }
        match Look::begin("t.csv", trace.into(), None).unwrap().go_on(1000).unwrap() {
            Now::Done(looked) => looked.summary,
            Now::Going(_) => panic!("all rows were asked for"),
        }
    };
    let advised = |summary: &[String]| summary.iter().any(|words| words.contains("Set rest_points of a to 6.0"));
    let (unchecked, other) = (summary(""), summary("00000000"));
    assert!(advised(&unchecked) && unchecked[0].starts_with("The student flew"), "{unchecked:?}");
    assert!(!advised(&other) && other[0].starts_with("From 00:00.0 on, this is not what happened"), "{other:?}");
}
