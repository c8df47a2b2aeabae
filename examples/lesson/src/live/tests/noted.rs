//! What is told of waits and of what happens besides a change of who flies.

use super::super::*;
use super::{hand_over, live, steady};

/// So many steps with the same input; the last state.
fn fly(live: &mut Live, input: &Input, steps: usize) -> State {
    (0..steps).map(|_| live.step(input).unwrap()).last().unwrap()
}

/// What was told in so many steps with the same input: changes and notes, in their order.
fn told(live: &mut Live, input: &Input, steps: usize) -> Vec<String> {
    let mut told = Vec::new();
    for _ in 0..steps {
        let state = live.step(input).unwrap();
        told.extend(state.events.into_iter().map(|change| change.words));
        told.extend(state.notes.into_iter().map(|note| note.words));
    }
    told
}

fn sticks(live: &Live, points: [f64; 4]) -> Input {
    Input { instructor: Some(points.to_vec()), ..steady(live) }
}

fn waits(state: &State) -> &str {
    state.waits.as_ref().map_or("", |waits| waits.words.as_str())
}

/// Given a frozen link, when the engine may not take standing values for a loss, then only their time is told; when it
/// may, then new values are asked for before the switch.
#[test]
fn a_frozen_link_is_told_before_the_switch() {
    for (after, flies) in [("", "student"), ("500", "instructor")] {
        let mut live = live(Craft::Aeroplane, 2, Student::Beginner);
        live.set("frozen_after_ms", None, after).unwrap();
        let before = hand_over(&mut live).student_still_s;
        assert!(before < 0.2, "a beginner's hands are never still: {before} s");
        let frozen = Input { link: Link::Frozen, ..steady(&live) };
        let state = fly(&mut live, &frozen, 40);
        assert!((state.student_still_s - before - 0.8).abs() < 0.001, "{}", state.student_still_s);
        assert_eq!((state.flies, state.frozen_after_s), (flies, after.parse::<f64>().ok().map(|ms| ms / 1000.0)));
        if state.flies == "instructor" {
            let words =
                "the student's radio link is frozen, no new values come; then: turn the lesson switch off, then on";
            assert_eq!(waits(&state), words);
            fly(&mut live, &Input { switch: false, ..frozen.clone() }, 10);
            assert_eq!(waits(&fly(&mut live, &frozen, 10)), "the student's radio link is frozen, no new values come");
        }
    }
}

/// Given a stick that stays a little off its rest, when it takes the craft, then after a second its distance and a mend are
/// told; a hand that holds a stick is told as one.
#[test]
fn a_stick_that_rests_beside_its_rest_is_told_from_a_hand() {
    let mut live = live(Craft::Aeroplane, 2, Student::Beginner);
    hand_over(&mut live);
    let (moved, rests) = (sticks(&live, [4.0, 0.0, -20.0, 0.0]), sticks(&live, [1.4, 0.0, -20.0, 0.0]));
    assert_eq!(waits(&live.step(&moved).unwrap()), "the instructor holds the aileron");
    assert_eq!(waits(&fly(&mut live, &rests, 20)), "the instructor holds the aileron");
    let words = "the aileron stick stays 1.4 points off its rest; let go means within 1";
    assert_eq!(waits(&fly(&mut live, &rests, 300)), words);
    assert_eq!(waits(&fly(&mut live, &moved, 300)), "the instructor holds the aileron");
    let two = sticks(&live, [30.0, 0.0, -20.0, 30.0]);
    assert_eq!(waits(&fly(&mut live, &two, 2)), "the instructor holds the aileron and rudder");
}

/// Given a worn stick that rattles about its threshold and is let go by chance, when a second is over, then the wait never
/// changes until the student has the craft or a hand moves a stick.
#[test]
fn the_wait_for_a_stick_that_rattles_stands_still() {
    let mut live = live(Craft::Aeroplane, 2, Student::Beginner);
    hand_over(&mut live);
    let worn = Input { noise: 0.35, ..sticks(&live, [1.8, 0.0, -20.0, 0.0]) };
    let mut kinds = std::collections::BTreeSet::new();
    let state = fly(&mut live, &worn, 100);
    assert_eq!(state.flies, "instructor");
    for _ in 0..1500 {
        // By chance the student has the craft for a moment.
        let Some(waits) = live.step(&worn).unwrap().waits else { continue };
        kinds.insert(waits.for_what);
        assert!(waits.words.starts_with("the aileron stick stays 1.") || waits.words.contains("stays 2."), "{waits:?}");
        assert!((waits.stays_at.unwrap() - 1.8).abs() < 0.3 && waits.left_s.is_none(), "{waits:?}");
    }
    assert!(kinds.contains("held") && kinds.contains("dwell"), "the rattle never crossed: {kinds:?}");
    let elevator = Input { instructor: Some(vec![1.8, 20.0, -20.0, 0.0]), ..worn.clone() };
    assert!(waits(&live.step(&elevator).unwrap()).contains("elevator"));
    let moved = Input { instructor: Some(vec![6.0, 0.0, -20.0, 0.0]), ..worn };
    assert_eq!(waits(&live.step(&moved).unwrap()), "the instructor holds the aileron");
}

/// Given noise that rattles every stick about its rest, when a second is over, then one stick is told of, how far it was seen
/// and within what it counts as let go; a hand is told at once.
#[test]
fn sticks_that_rattle_about_their_rest_are_told_steadily() {
    for noise in [1.3, 2.0] {
        let mut live = live(Craft::Aeroplane, 2, Student::Beginner);
        hand_over(&mut live);
        let rattles = Input { noise, ..steady(&live) };
        fly(&mut live, &rattles, 150);
        let mut words: Vec<String> = Vec::new();
        for _ in 0..1500 {
            let Some(waits) = live.step(&rattles).unwrap().waits else { continue };
            assert!((waits.stays_at, waits.left_s) == (None, None), "{waits:?}");
            words.push(waits.words);
        }
        words.dedup();
        let [starts, ends] = ["the aileron stick rattles up to ", " points off its rest; let go means within 1"];
        assert!(words.iter().all(|words| words.starts_with(starts) && words.ends_with(ends)), "{noise}: {words:?}");
        assert!(words.len() <= 4, "{noise}: {words:?}");
        let hand = Input { noise, ..sticks(&live, [30.0, 0.0, -20.0, 0.0]) };
        assert!(waits(&live.step(&hand).unwrap()).starts_with("the instructor holds"));
    }
}

/// Given a hand that steers to and fro about the rest, when it lets go, then no rattle is told.
#[test]
fn a_hand_about_the_rest_is_no_rattle() {
    let mut live = live(Craft::Aeroplane, 2, Student::Beginner);
    hand_over(&mut live);
    for n in 0..300 {
        let at = if n % 120 < 100 { 3.5 * (f64::from(n) * 0.12).sin() } else { 0.0 };
        let steers = sticks(&live, [at, 0.0, -20.0, 0.0]);
        let Some(waits) = live.step(&steers).unwrap().waits else { continue };
        assert!(!waits.words.contains("rattles"), "{n}: {waits:?}");
    }
}

/// Given a lost instructor's signal, when nobody flies yet, then the time until then runs down; then the failsafe is told.
#[test]
fn the_time_until_the_failsafe_is_told_and_what_it_is() {
    let mut live = live(Craft::Aeroplane, 2, Student::Beginner);
    hand_over(&mut live);
    let lost = Input { instructor: None, ..steady(&live) };
    let mut left = Vec::new();
    let ended = loop {
        let state = live.step(&lost).unwrap();
        if state.flies == "nobody" {
            break state;
        }
        assert_eq!(state.failsafe, None);
        left.extend(state.waits.map(|waits| waits.left_s.unwrap()));
    };
    assert!(left.is_sorted_by(|one, two| one > two) && left[0] < 0.9 && *left.last().unwrap() == 0.0, "{left:?}");
    assert_eq!((ended.waits.unwrap().left_s, ended.failsafe.unwrap().as_str()), (None, "throttle -100, the others 0"));
}

/// Given a throttle that differs by less than anybody sees, when the aileron takes the craft, then it is told neither while
/// it stays nor at its end.
#[test]
fn a_pickup_that_nobody_sees_is_not_told() {
    let mut live = live(Craft::Aeroplane, 2, Student::Person);
    let student = Some(vec![0.0, 0.0, -18.0, 0.0]);
    let [off, on] = [false, true].map(|switch| Input { switch, student: student.clone(), ..steady(&live) });
    fly(&mut live, &off, 10);
    assert_eq!(fly(&mut live, &on, 150).flies, "student");
    let taken = Input { student, ..sticks(&live, [30.0, 0.0, -20.0, 0.0]) };
    let state = live.step(&taken).unwrap();
    assert_eq!((state.pickup[2], state.picks_up), (true, None));
    assert_eq!(told(&mut live, &taken, 110), [""; 0]);
}

/// Given an output a little below its centre, when it waits for the instructor's stick, then its place is no minus zero.
#[test]
fn an_output_near_its_centre_stays_at_zero() {
    let mut live = live(Craft::Aeroplane, 2, Student::Person);
    let student = Some(vec![0.0, 0.0, -0.3, 0.0]);
    let [off, on] = [false, true].map(|switch| Input { switch, student: student.clone(), ..steady(&live) });
    fly(&mut live, &off, 10);
    assert_eq!(fly(&mut live, &on, 150).flies, "student");
    let taken = Input { student, ..sticks(&live, [30.0, 0.0, -20.0, 0.0]) };
    let words = live.step(&taken).unwrap().picks_up.unwrap().words;
    assert_eq!(words, "throttle stays at +0 until the instructor's stick meets it");
}

/// Given two sticks that move in one step, when the throttle keeps the craft, then change and wait name the same stick.
#[test]
fn a_latch_names_the_stick_that_keeps_the_craft() {
    let mut live = live(Craft::Aeroplane, 2, Student::Beginner);
    hand_over(&mut live);
    let state = live.step(&sticks(&live, [30.0, 0.0, 10.0, 0.0])).unwrap();
    assert_eq!(
        state.events[0].words,
        "taken over: aileron stick at +30.0 points; kept (latched) by the throttle stick"
    );
    assert!(waits(&state).starts_with("the throttle stick keeps the craft (latched)"));
}

/// Given a lost instructor's signal and nobody who flies, when the switch is turned off and on meanwhile, then the wait says
/// what is left of that; the button says that it changes nothing.
#[test]
fn a_lost_instructors_signal_says_what_comes_after_it() {
    let mut live = live(Craft::Aeroplane, 2, Student::Beginner);
    hand_over(&mut live);
    let lost = Input { instructor: None, ..steady(&live) };
    let event = "student loses the craft, instructor's last values are held, latched: instructor's signal lost";
    assert_eq!(told(&mut live, &lost, 10), [event]);
    let button = Input { button: true, ..lost.clone() };
    let vain = "instructor-now button: changes nothing without the instructor's signal";
    assert_eq!(told(&mut live, &button, 5), [vain]);
    let is_lost = "the instructor's signal is lost";
    assert_eq!(waits(&live.step(&lost).unwrap()), is_lost, "until nobody flies, only a time is told");
    assert_eq!(fly(&mut live, &lost, 50).flies, "nobody");
    for (switch, then) in [
        (true, "; then: turn the lesson switch off, then on"),
        (false, "; then: turn the lesson switch on"),
        (true, ""),
    ] {
        let state = fly(&mut live, &Input { switch, ..lost.clone() }, 10);
        assert_eq!(waits(&state), format!("{is_lost}{then}"));
    }
    let on = steady(&live);
    assert_eq!(fly(&mut live, &on, 120).flies, "student");
}

/// Given a student's throttle far from the instructor's, when the student flies, then the jump at *instructor now* is told,
/// and it is what the button does.
#[test]
fn the_jump_of_the_button_is_told_before() {
    let mut live = live(Craft::Aeroplane, 2, Student::Person);
    let student = Some(vec![25.0, 0.0, 15.0, 0.0]);
    let [off, on] = [false, true].map(|switch| Input { switch, student: student.clone(), ..steady(&live) });
    assert_eq!(fly(&mut live, &off, 10).now_jumps, None);
    let state = fly(&mut live, &on, 150);
    assert_eq!(state.now_jumps.unwrap(), "throttle jumps 35");
    let after = live.step(&Input { button: true, ..on }).unwrap();
    assert!((state.sticks.output[2] - after.sticks.output[2] - 35.0).abs() < 0.3);
}

/// Given each scope, when the throttle takes the craft, then change and wait say that it is latched and why; where it may
/// be let go, they say how.
#[test]
fn a_takeover_by_the_throttle_says_that_it_stays_and_why() {
    for (scope, taken, keeps) in
        [("craft", "taken over, latched", "the craft"), ("axis", "whole craft taken over, latched", "the whole craft")]
    {
        let mut live = live(Craft::Aeroplane, 2, Student::Beginner);
        live.set("scope", None, scope).unwrap();
        hand_over(&mut live);
        let moved = sticks(&live, [0.0, 0.0, 10.0, 0.0]);
        let state = live.step(&moved).unwrap();
        assert_eq!(state.events[0].words, format!("{taken}: throttle stick at +10.0 points"));
        let why = "as it has no spring: turn the lesson switch off, then on";
        assert_eq!(waits(&state), format!("the throttle stick keeps {keeps} (latched), {why}"));
        assert_eq!(state.notes, []);
    }
    let mut live = live(Craft::Aeroplane, 2, Student::Beginner);
    live.set("keep", Some("throttle"), "false").unwrap();
    hand_over(&mut live);
    let moved = sticks(&live, [0.0, 0.0, 10.0, 0.0]);
    let state = live.step(&moved).unwrap();
    assert_eq!(state.events[0].words, "taken over: throttle stick at +10.0 points");
    assert_eq!(waits(&state), "the throttle stick counts as let go once it is still for 0.5 s");
}

/// Given a throttle that differs between the sides, when the aileron takes the craft, then the output that stays is told
/// with its time, and how that ends.
#[test]
fn a_pickup_is_told_while_it_lasts_and_at_its_end() {
    for meets in [false, true] {
        let mut live = live(Craft::Aeroplane, 2, Student::Person);
        let student = Some(vec![0.0, 0.0, 20.0, 0.0]);
        let input = |points| Input { student: student.clone(), ..points };
        let off = input(Input { switch: false, ..steady(&live) });
        let on = input(steady(&live));
        fly(&mut live, &off, 10);
        assert_eq!(fly(&mut live, &on, 150).flies, "student");
        let taken = input(sticks(&live, [30.0, 0.0, -20.0, 0.0]));
        let state = live.step(&taken).unwrap();
        let Waits { words, left_s, axis, .. } = state.picks_up.unwrap();
        assert_eq!(words, "throttle stays at +20 until the instructor's stick meets it");
        assert_eq!((left_s, axis), (Some(2.0), Some(2)));
        if meets {
            let met = input(sticks(&live, [30.0, 0.0, 25.0, 0.0]));
            assert_eq!(told(&mut live, &met, 2).last().unwrap(), "throttle follows the instructor's stick");
        } else {
            let end = told(&mut live, &taken, 110);
            assert_eq!(end, ["throttle was not met in 2 s, and now goes to the instructor's stick"]);
        }
        assert_eq!(live.step(&taken).unwrap().picks_up, None);
    }
}

/// Given a student's stick that is far from the output, when control is to go back, then the way of the output is told, and
/// no more when it has gone back.
#[test]
fn the_largest_difference_of_the_sticks_is_told_before_control_goes_back() {
    for (fade, moves) in [("200", "moves about 30 points in 0.2 s"), ("0", "jumps about 30 points")] {
        let mut live = live(Craft::Aeroplane, 2, Student::Person);
        live.set("fade_ms", None, fade).unwrap();
        let student = Some(vec![12.0, 0.0, 11.0, 0.0]);
        let [off, on] = [false, true].map(|switch| Input { switch, student: student.clone(), ..steady(&live) });
        fly(&mut live, &off, 10);
        assert_eq!(fly(&mut live, &on, 45).moves.unwrap(), format!("hand back: throttle {moves}; match sticks first"));
        let state = fly(&mut live, &on, 50);
        assert_eq!((state.flies, state.moves), ("student", None));
    }
}

/// Given a match window, when the two sticks are too far apart for it, then both distances are told.
#[test]
fn a_closed_gate_tells_how_far_the_sticks_are_apart() {
    let mut live = live(Craft::Aeroplane, 2, Student::Person);
    live.set("window_points", Some("throttle"), "20").unwrap();
    let student = Some(vec![0.0, 0.0, 30.0, 0.0]);
    let [off, on] = [false, true].map(|switch| Input { switch, student: student.clone(), ..steady(&live) });
    fly(&mut live, &off, 10);
    let words = "the two throttle sticks are 50 points apart, and may be 20 at most";
    assert_eq!(waits(&fly(&mut live, &on, 100)), words);
}

/// Given the switch, the button, a changed setting and the ground, when they change who flies or do not, then the list
/// of what happened has each of them once.
#[test]
fn what_happens_without_a_change_is_told_once() {
    let mut live = live(Craft::Aeroplane, 2, Student::Beginner);
    let (on, off) = (steady(&live), Input { switch: false, ..steady(&live) });
    assert!(told(&mut live, &off, 10).is_empty());
    assert_eq!(told(&mut live, &on, 120), ["lesson switch on", "handed to the student"]);
    assert_eq!(told(&mut live, &off, 10), ["taken over: lesson switch off"]);
    assert_eq!(told(&mut live, &on, 120), ["lesson switch on", "handed to the student"]);
    let button = Input { button: true, ..on.clone() };
    assert_eq!(told(&mut live, &button, 2), ["taken over, latched: instructor-now button"]);
    assert_eq!(told(&mut live, &off, 10), ["lesson switch off"]);
    assert_eq!(told(&mut live, &button, 2), ["lesson switch on"]);
    assert_eq!(told(&mut live, &button, 10), ["latched: instructor-now button"]);
    assert_eq!(told(&mut live, &off, 10), ["lesson switch off"]);
    assert_eq!(told(&mut live, &on, 120), ["lesson switch on", "handed to the student"]);
    live.set("dwell_ms", None, "400").unwrap();
    assert_eq!(told(&mut live, &on, 10), ["taken over: a setting was changed"]);
    live.set("dwell_ms", None, "300").unwrap();
    assert!(told(&mut live, &on, 10).is_empty(), "the instructor flew already");
    let cut = Input { link: Link::Cut, ..on.clone() };
    assert!(told(&mut live, &cut, 20).is_empty(), "the link of the new engine was never good");
    let down = Input { instructor: Some(vec![0.0, -60.0, -100.0, 0.0]), ..on };
    assert_eq!(told(&mut live, &down, 500), ["the craft hit the ground"]);
}

/// Given a scope of one axis, when a stick takes its own axis, then the change is the instructor's gain though the student
/// flies on.
#[test]
fn a_part_of_the_craft_that_is_taken_is_the_instructors_gain() {
    let mut live = live(Craft::Aeroplane, 2, Student::Beginner);
    live.set("scope", None, "axis").unwrap();
    assert_eq!(hand_over(&mut live).events[0].gains, "student");
    let moved = sticks(&live, [30.0, 0.0, -20.0, 0.0]);
    let Change { to, gains, words, .. } = live.step(&moved).unwrap().events.remove(0);
    assert_eq!((to, gains), ("student", "instructor"));
    assert_eq!(words, "aileron taken over: aileron stick at +30.0 points");
}
