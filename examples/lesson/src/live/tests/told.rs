//! What a step tells of sticks, signals, cues and the ground.

use super::super::*;
use super::{hand_over, live, steady};

const ALL: [Craft; 3] = [Craft::Aeroplane, Craft::Helicopter, Craft::Many];

#[test]
fn a_stick_takes_the_craft_at_once_with_sound_light_and_words() {
    for craft in ALL {
        let mut live = live(craft, 1, Student::Person);
        let mut input = steady(&live);
        input.student = input.instructor.clone();
        for frame in 0..120 {
            input.switch = frame > 10;
            live.step(&input).unwrap();
        }
        if let Some(sticks) = &mut input.instructor {
            sticks[1] = -20.0;
        }
        let state = live.step(&input).unwrap();
        let name = live.axes()[1].name.clone();
        assert_eq!(state.events.len(), 1);
        let Change { from, to, cause, words, axis, .. } = &state.events[0];
        assert_eq!((*from, *to, *cause, *axis), ("student", "instructor", "stick", Some(1)));
        assert_eq!(*words, format!("taken over: {name} stick at -20.0 points"));
        assert!(state.sound && state.lamp && state.held[1] && !state.held[0], "{state:?}");
        assert!((state.sticks.output[1] + 20.0).abs() < 0.2 && (state.jump - 20.0).abs() < 0.2);
        let waits = state.waits.unwrap();
        assert_eq!(
            (waits.for_what, waits.words, waits.axis),
            ("held", format!("the instructor holds the {name}"), Some(1))
        );
        assert!(live.step(&input).unwrap().events.is_empty(), "a change is told once");
    }
}

/// Given a student who flies, when the link is cut, then the craft is the instructor's after the timeout; when it is
/// frozen, then the last frame flies on, and nothing can tell.
#[test]
fn a_cut_link_is_seen_and_a_frozen_link_is_not() {
    for (link, flies) in [(Link::Cut, "instructor"), (Link::Frozen, "student")] {
        let mut live = live(Craft::Helicopter, 2, Student::Beginner);
        let before = hand_over(&mut live);
        // Past the fade, so that the output is the student's stick.
        let before = (0..30).map(|_| live.step(&steady(&live)).unwrap()).last().unwrap_or(before);
        let mut states = Vec::new();
        for _ in 0..20 {
            states.push(live.step(&Input { link, ..steady(&live) }).unwrap());
        }
        let last = states.last().unwrap();
        assert_eq!(last.flies, flies);
        if link == Link::Frozen {
            assert!(states.iter().all(|state| state.sticks.output == before.sticks.student), "{last:?}");
        } else {
            let change = states.iter().find_map(|state| state.events.first()).unwrap();
            assert_eq!(
                (change.cause, change.words.as_str()),
                ("link-lost", "taken over, latched: student's radio link lost")
            );
        }
    }
}

/// Given a cut link, when the student waits, then the missing link is told first and no time runs down.
#[test]
fn no_time_runs_down_while_no_frame_of_the_student_comes() {
    let mut live = live(Craft::Aeroplane, 2, Student::Beginner);
    assert_eq!(hand_over(&mut live).events[0].words, "handed to the student");
    let input = |link, switch| Input { switch, link, ..steady(&live) };
    let [cut, off, on] = [input(Link::Cut, true), input(Link::Cut, false), input(Link::Good, true)];
    let mut told = Vec::new();
    for (input, frames) in [(&cut, 20), (&off, 10), (&cut, 20), (&on, 10)] {
        let state = (0..frames).map(|_| live.step(input).unwrap()).last().unwrap();
        assert_eq!(state.no_signal, NoSignal { instructor: false, student: input.link == Link::Cut });
        told.push(state.waits.map(|waits| (waits.words, waits.left_s)));
    }
    assert!(
        matches!(&told[3], Some((words, Some(left))) if words.contains("must stay good") && *left < 1.0),
        "{told:?}"
    );
    let none = |words: &str| Some((format!("no values come from the student{words}"), None));
    let then = ["; then: turn the lesson switch off, then on", "; then: turn the lesson switch on", ""];
    assert_eq!(told[..3], then.map(none));
}

/// Given a takeover by the button, when it latches, then the words say whose button it was and how it ends.
#[test]
fn a_takeover_by_the_button_tells_why_it_stays() {
    let mut live = live(Craft::Aeroplane, 2, Student::Beginner);
    hand_over(&mut live);
    let state = live.step(&Input { button: true, ..steady(&live) }).unwrap();
    assert!(state.kept_by_button);
    let waits = state.waits.unwrap();
    assert!(
        waits.words.starts_with("the instructor's button keeps the craft (latched)") && waits.for_what == "latch",
        "{waits:?}"
    );
}

#[test]
fn without_the_instructors_signal_nobody_flies_and_failsafe_is_put_out() {
    let mut live = live(Craft::Aeroplane, 2, Student::Beginner);
    hand_over(&mut live);
    let lost = Input { instructor: None, ..steady(&live) };
    let state = (0..70).map(|_| live.step(&lost).unwrap()).last().unwrap();
    assert_eq!(
        (state.flies, state.waits.unwrap().words.as_str()),
        ("nobody", "the instructor's signal is lost; then: turn the lesson switch off, then on")
    );
    assert_eq!(state.sticks.output, [0.0, 0.0, -100.0, 0.0]);
}

/// Given noise of 0.3 points, when the instructor's sticks are read, then their deviation is that, and a step of the
/// converter more: 0.2 points / sqrt(12).
#[test]
fn the_noise_has_the_deviation_that_was_asked_for() {
    let mut live = live(Craft::Many, 3, Student::Beginner);
    let input = Input { noise: 0.3, ..steady(&live) };
    let mut squares = (0.0, 0.0);
    for _ in 0..2000 {
        for stick in live.step(&input).unwrap().sticks.instructor.iter().skip(3) {
            squares = (squares.0 + stick * stick, squares.1 + 1.0);
        }
    }
    let deviation = f64::sqrt(squares.0 / squares.1);
    let expected = f64::sqrt(0.3 * 0.3 + 0.04 / 12.0);
    // 26000 draws: the deviation is known to 0.45 %; four times that.
    assert!((deviation / expected - 1.0).abs() < 0.018, "{deviation}, not {expected}");
}

/// Given noise that often passes the threshold, when both fly the same sticks, then the plain threshold changes far
/// more often than the engine, and the reference agrees all along.
#[test]
fn the_plain_threshold_flickers_where_the_engine_does_not() {
    let mut live = live(Craft::Aeroplane, 4, Student::Beginner);
    hand_over(&mut live);
    let state = (0..1500).map(|_| live.step(&Input { noise: 1.2, ..steady(&live) }).unwrap()).last().unwrap();
    assert!(state.agrees && state.plain.changes > 3 * state.changes, "{} and {}", state.plain.changes, state.changes);
}

#[test]
fn a_rest_where_left_is_known_once_the_student_flies() {
    let mut live = live(Craft::Aeroplane, 4, Student::Beginner);
    let first = live.step(&steady(&live)).unwrap();
    assert_eq!(first.sticks.rest, [Some(0.0), Some(0.0), None, Some(0.0)]);
    let state = hand_over(&mut live);
    assert!((state.sticks.rest[2].unwrap() + 20.0).abs() < 0.1, "{state:?}");
    assert_eq!((state.sticks.engage[2], state.sticks.release[0]), (8.0, 1.0));
}

/// Given any settle, when the switch is turned on in the step after it was first told to be seen off first, then the
/// engine heeds it; turned on a step earlier, it does not.
#[test]
fn the_switch_is_told_seen_off_first_when_the_engine_says_so() {
    for settle in ["1", "30", "700"] {
        for early in [false, true] {
            let mut live = live(Craft::Aeroplane, 1, Student::Beginner);
            live.set("settle_ms", None, settle).unwrap();
            let off = Input { switch: false, ..steady(&live) };
            let told = (0..100).position(|_| live.step(&off).unwrap().seen_off_first).unwrap();
            live.set("settle_ms", None, settle).unwrap();
            let frames = told + usize::from(!early);
            for _ in 0..frames {
                live.step(&off).unwrap();
            }
            let state = live.step(&steady(&live)).unwrap();
            let waits = state.waits.unwrap().for_what;
            assert_eq!((waits == "switch-off-first", state.seen_off_first), (early, !early), "{settle}: {waits}");
        }
    }
}

/// Given each scope, when a stick is held, then it is told what it keeps from the student; with the switch off a held
/// stick keeps nothing.
#[test]
fn a_held_stick_tells_what_it_keeps_from_the_student() {
    for (scope, keeps) in [("craft", "craft"), ("axis", "axis")] {
        let mut live = live(Craft::Aeroplane, 1, Student::Beginner);
        live.set("scope", None, scope).unwrap();
        hand_over(&mut live);
        let mut input = steady(&live);
        input.instructor = Some(vec![30.0, 0.0, -20.0, 0.0]);
        assert_eq!(live.step(&input).unwrap().holds, [keeps, "", "", ""]);
        input.switch = false;
        let state = live.step(&input).unwrap();
        assert_eq!((state.held[0], state.holds[0]), (true, ""));
    }
    // An axis that the student may not fly takes everything (T5).
    let mut live = live(Craft::Aeroplane, 1, Student::Beginner);
    live.set("scope", None, "axis").unwrap();
    live.set("shared", Some("rudder"), "false").unwrap();
    hand_over(&mut live);
    let input = Input { instructor: Some(vec![0.0, 0.0, -20.0, 30.0]), ..steady(&live) };
    assert_eq!(live.step(&input).unwrap().holds, ["", "", "", "craft"]);
}

/// Given a craft that is flown into the ground, when it is there, then it says that it crashed and flies no more; a
/// helicopter that is set down gently stands.
#[test]
fn a_hard_touchdown_is_a_crash_and_a_soft_one_is_none() {
    for (craft, down) in [(Craft::Aeroplane, [0.0, -60.0, -100.0, 0.0]), (Craft::Helicopter, [0.0, 0.0, -80.0, 0.0])] {
        let mut live = live(craft, 1, Student::Beginner);
        let input = Input { instructor: Some(down.to_vec()), ..Input::default() };
        let state = (0..500).map(|_| live.step(&input).unwrap()).last().unwrap();
        assert!(
            state.craft.crashed && state.craft.on_ground && state.mistake.is_none(),
            "{craft:?}: {:?}",
            state.craft
        );
        let up = Input { instructor: Some(vec![0.0, 50.0, 100.0, 0.0]), ..Input::default() };
        let still = (0..100).map(|_| live.step(&up).unwrap()).last().unwrap();
        assert!(still.craft.crashed && still.craft == state.craft, "{:?}", still.craft);
    }
    let mut live = live(Craft::Helicopter, 1, Student::Beginner);
    let mut state = live.step(&steady(&live)).unwrap();
    for _ in 0..1500 {
        let CraftState { bank, pitch, sink, .. } = state.craft;
        let sticks = vec![-1.5 * bank, -1.5 * pitch, 30.0 * (sink - 0.8), 0.0];
        state = live.step(&Input { instructor: Some(sticks), ..Input::default() }).unwrap();
    }
    assert!(state.craft.on_ground && !state.craft.crashed, "{:?}", state.craft);
}

#[test]
fn a_step_that_cannot_be_flown_says_what_to_give() {
    let mut live = live(Craft::Helicopter, 1, Student::Person);
    let good = steady(&live);
    for (input, message) in [
        (
            Input { instructor: Some(vec![0.0; 3]), ..good.clone() },
            "step: instructor has 3 sticks; give 4 numbers, one for each axis",
        ),
        (
            Input { student: Some(vec![0.0, 0.0, f64::NAN, 0.0]), ..good.clone() },
            "step: student, collective: NaN is no number of points; give -100 to 100",
        ),
        (Input { noise: -1.0, ..good.clone() }, "step: noise is -1 points; give 0 to 100"),
    ] {
        assert_eq!(live.step(&input).unwrap_err().to_string(), message);
    }
    assert!(live.save().is_err(), "nothing was flown");
    let far = Input { instructor: Some(vec![1e9, -1e9, 0.0, 0.0]), ..good };
    let ends = live.step(&far).unwrap().sticks.instructor;
    assert_eq!(ends[..2], [100.0, -100.0]);
}
