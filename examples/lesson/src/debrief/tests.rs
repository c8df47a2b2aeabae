use std::fmt::Write;

use super::*;
use crate::look::{Look, Looked, Now};

/// A lesson of one axis at 50 frames a second; `at` gives the switch, the instructor's stick and the student's.
fn lesson(steps: u64, at: impl Fn(u64) -> (u8, &'static str, &'static str)) -> Debrief {
    looked(steps, at).lesson.unwrap()
}

fn looked(steps: u64, at: impl Fn(u64) -> (u8, &'static str, &'static str)) -> Looked {
    let mut trace = "time_us,lesson_switch,instructor_now,i:a,s:a\n".to_owned();
    for n in 0..steps {
        let (switch, instructor, student) = at(n);
        writeln!(trace, "{},{switch},0,{instructor},{student}", n * 20_000).unwrap();
    }
    let mut look = Look::begin("t.csv", trace.into(), None).unwrap();
    match look.go_on(usize::MAX).unwrap() {
        Now::Done(looked) => *looked,
        Now::Going(_) => panic!("all rows were asked for"),
    }
}

/// Given a takeover by the stick and a hand back, when the lesson is looked back at, then cause, times, distance and
/// waits are those of the engine.
#[test]
fn a_takeover_has_its_cause_its_distance_and_its_waits() {
    let debrief = lesson(400, |n| match n {
        200..250 => (1, "20", "-15"),
        _ => (u8::from(n > 4), "0", "-15"),
    });
    let [taken] = debrief.losses() else { panic!("{:?}", debrief.losses()) };
    assert_eq!((taken.at_s.to_bits(), taken.axis, taken.taken), (4.0_f64.to_bits(), Some(0), true));
    assert!(matches!(taken.off[..], [off] if (off + 35.0).abs() < 0.01), "{taken:?}");
    assert_eq!(taken.words, "taken over: a stick at +20.0 points");
    let back_s = taken.back_s.unwrap();
    let waited = taken.waited.iter().map(|waited| waited.s).sum::<f64>();
    assert!((waited - (back_s - taken.at_s)).abs() < 1e-9, "{taken:?}");
    let words = taken.waited.iter().map(|waited| waited.words.as_str()).collect::<Vec<_>>();
    assert_eq!(words, ["the a stick to come to rest", "the sticks to stay at rest"]);
    let flies = debrief.turns().iter().map(|turn| turn.flies).collect::<Vec<_>>();
    assert_eq!(flies, [Flies::Instructor, Flies::Student, Flies::Instructor, Flies::Student]);
    assert!(debrief.turns().windows(2).all(|pair| pair[0].to_s.to_bits() == pair[1].from_s.to_bits()));
}

/// Given an instructor's signal that is lost, when the lesson is looked back at, then the student's loss has a row with its
/// cause, and is no takeover; and time and share are those of the summary.
#[test]
fn a_lost_signal_is_no_takeover_and_figures_are_those_of_the_summary() {
    let Looked { lesson, summary, .. } = looked(300, |n| (u8::from(n > 4), if n > 200 { "" } else { "0" }, "0"));
    let debrief = lesson.unwrap();
    let [lost] = debrief.losses() else { panic!("{:?}", debrief.losses()) };
    assert!(!lost.taken && lost.words.contains("instructor's signal lost"), "{lost:?}");
    let said = ["No takeover.", "The student lost the craft 1 time without a takeover: 1 by instructor's signal lost."];
    assert_eq!(summary[1..3], said);
    let ends = format!(" of {} ({} %).", crate::timeline::clock(debrief.lasted_us()), debrief.student_percent());
    assert!(summary[0].ends_with(&ends) && debrief.student_percent() > 0, "{summary:?}: {ends}");
}

/// Given a takeover by the stick, when the button is pressed in it, then the wait for the switch names the button.
#[test]
fn a_button_that_keeps_the_craft_is_named_in_the_wait() {
    let mut trace = "time_us,lesson_switch,instructor_now,i:a,s:a\n".to_owned();
    for n in 0..400 {
        let (switch, button) = (u8::from(n > 4), u8::from((220..225).contains(&n)));
        let stick = if (200..250).contains(&n) { 20 } else { 0 };
        writeln!(trace, "{},{switch},{button},{stick},-15", n * 20_000).unwrap();
    }
    let mut look = Look::begin("t.csv", trace.into(), None).unwrap();
    let Now::Done(looked) = look.go_on(usize::MAX).unwrap() else { panic!("all rows were asked for") };
    let debrief = looked.lesson.unwrap();
    let [taken] = debrief.losses() else { panic!("{:?}", debrief.losses()) };
    let words = taken.waited.iter().map(|waited| waited.words.as_str()).collect::<Vec<_>>();
    let off_first = "the lesson switch to be turned off, then on (latched: instructor-now button)";
    assert_eq!(words, ["the a stick to come to rest", off_first]);
}

/// Given a cut link during which the lesson switch is turned off, when the lesson is looked back at, then the wait for the
/// switch says for how long the link was waited for too.
#[test]
fn a_cut_link_is_not_hidden_by_the_switch() {
    let debrief = lesson(600, |n| {
        let (is_cut, is_off) = ((200..300).contains(&n), (250..400).contains(&n));
        (u8::from(n > 4 && !is_off), "0", if is_cut { "" } else { "0" })
    });
    let [lost] = debrief.losses() else { panic!("{:?}", debrief.losses()) };
    let waited = lost.waited.iter().map(|waited| (waited.words.as_str(), (waited.s * 100.0).round()));
    let [off_first, both, switch, ..] = waited.collect::<Vec<_>>()[..] else { panic!("{lost:?}") };
    assert_eq!(off_first, ("the student's radio link, and the lesson switch to be turned off, then on", 86.0));
    // The link is cut until the sixth second, and must stay good for one more.
    assert_eq!(both, ("the student's radio link, and the lesson switch to be on", 200.0));
    assert_eq!(switch, ("the lesson switch to be on", 100.0));
}

/// Given two axes that are taken one after the other, when both come back, then both takeovers have an end.
#[test]
fn each_takeover_ends_when_its_own_axis_comes_back() {
    let mut trace = "time_us,lesson_switch,instructor_now,i:a,i:b,s:a,s:b\n".to_owned();
    for n in 0..600 {
        let (a, b) = (if (200..300).contains(&n) { 20 } else { 0 }, if (250..350).contains(&n) { 20 } else { 0 });
        writeln!(trace, "{},{},0,{a},{b},0,0", n * 20_000, u8::from(n > 4)).unwrap();
    }
    let axis = |name| format!("[[axis]]\nname = \"{name}\"\nkind = \"sprung\"\n");
    let policy = format!("scope = \"axis\"\n{}{}", axis("a"), axis("b"));
    let mut look = Look::begin("t.csv", trace.into(), Some(("p.toml", policy.as_bytes()))).unwrap();
    let Now::Done(looked) = look.go_on(usize::MAX).unwrap() else { panic!("all rows were asked for") };
    let debrief = looked.lesson.unwrap();
    let backs = debrief.losses().iter().map(|taken| (taken.axis, taken.back_s.is_some())).collect::<Vec<_>>();
    assert_eq!(backs, [(Some(0), true), (Some(1), true)], "{:?}", debrief.losses());
}

/// Given a lesson in which the student flies after a second, and one in which the switch stays off, when they are looked
/// back at, then the waits until it first flew fill that time.
#[test]
fn waits_before_the_first_flight_are_kept() {
    let debrief = lesson(400, |n| (u8::from(n > 50), if n > 300 { "20" } else { "0" }, "0"));
    let flew_s = debrief.turns().iter().find(|turn| turn.flies == Flies::Student).unwrap().from_s;
    let waited = debrief.first_waited().iter().map(|waited| waited.s).sum::<f64>();
    assert!((waited - flew_s).abs() < 1e-9, "{debrief:?}");
    assert_eq!(debrief.first_waited()[0].words, "the lesson switch to be on");
    let never = lesson(100, |_| (0, "0", "0"));
    let [Waited { words, s }] = never.first_waited() else { panic!("{:?}", never.first_waited()) };
    assert_eq!(words, "the lesson switch to be on");
    assert!((s - 1.98).abs() < 1e-9, "{s}");
}

#[test]
fn a_column_holds_the_extremes_and_where_nothing_came_nothing() {
    let debrief = lesson(100, |n| match n {
        40..60 => (0, "", "7"),
        _ => (0, if n % 2 == 0 { "1" } else { "-1" }, ""),
    });
    let curves = debrief.curves(0.0, 2.0, 5);
    let [axis] = curves.axes.as_slice() else { panic!("one axis") };
    let near = |span: Option<(f64, f64)>| span.map(|(low, high)| ((low * 10.0).round(), (high * 10.0).round()));
    let [instructor, student] = [&axis.instructor, &axis.student].map(|side| side.iter().copied().map(near));
    let both = Some((-10.0, 10.0));
    assert_eq!(instructor.collect::<Vec<_>>(), [both, both, None, both, both]);
    assert_eq!(student.collect::<Vec<_>>(), [None, None, Some((70.0, 70.0)), None, None]);
    // Narrower than a step: the output stands until the next one.
    let narrow = debrief.curves(0.1, 0.12, 4);
    assert!(narrow.axes[0].output.iter().all(Option::is_some), "{narrow:?}");
    assert!(narrow.flies.iter().all(Option::is_some), "{narrow:?}");
    let outside = debrief.curves(5.0, 6.0, 2);
    assert_eq!(outside.flies, [None, None]);
}

/// Given sticks of which one is moved in one step, or none at all, when the lesson is looked back at, then that is told.
#[test]
fn an_axis_that_one_side_moved_once_has_moved() {
    for (at, stick, moved) in [(300, "1", true), (300, "0", false), (0, "1", true)] {
        let debrief = lesson(400, |n| (0, "0", if n == at { stick } else { "0" }));
        assert_eq!(debrief.moved(), [moved], "{stick} in step {at}");
    }
}
