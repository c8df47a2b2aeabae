//! The drill: a mistake, the reaction, the takeover, and the next one.

use super::super::*;
use super::people::Able;
use super::{hand_over, live, steady};

/// How long the instructor of this test takes to move a stick, in frames.
const REACTION: u64 = 12;

/// One round: the student has the craft, makes a mistake, and the instructor takes it after some frames. Gives the
/// seconds from the hand-back to the mistake, and what was measured.
fn round(live: &mut Live, able: &mut Able, from_s: f64) -> (f64, Mistake, Taken) {
    let rest = steady(live);
    let mut state = live.step(&rest).unwrap();
    let mut before = state.craft;
    while state.mistake.is_none() {
        before = state.craft;
        state = live.step(&rest).unwrap();
        assert!(state.time_s < from_s + 12.0 && state.flies == "student", "{state:?}");
    }
    assert!(before.bank.abs() < 9.0 && before.pitch.abs() < 7.0, "it begins from steady flight: {before:?}");
    let mistake = state.mistake.unwrap();
    assert!((mistake.began_s - state.time_s).abs() < 1e-9, "it is told in its first frame");
    for _ in 1..REACTION {
        state = live.step(&rest).unwrap();
    }
    // One push that nobody could overlook, and the craft is flown on.
    let mistake = state.mistake.unwrap_or(mistake);
    let mut sticks = able.sticks(&state.craft);
    sticks[1] = if sticks[1] < 0.0 { sticks[1].min(-10.0) } else { sticks[1].max(10.0) };
    let push = Input { instructor: Some(sticks), ..rest };
    for _ in 0..5 {
        state = live.step(&push).unwrap();
        if let Some(taken) = state.taken {
            assert_eq!((state.flies, state.events[0].cause), ("instructor", "stick"));
            return (mistake.began_s - from_s, mistake, taken);
        }
    }
    panic!("no takeover was told: {state:?}");
}

/// Flies until the craft can go back, and lets go; when the student has it again.
fn recover(live: &mut Live, able: &mut Able, craft: &CraftState) -> f64 {
    let (mut craft, rest) = (*craft, steady(live));
    for _ in 0..1500 {
        let held = !able.has_recovered(&craft);
        let sticks = if held { Some(able.sticks(&craft)) } else { rest.instructor.clone() };
        let state = live.step(&Input { instructor: sticks, ..rest.clone() }).unwrap();
        if state.waits.as_ref().is_some_and(|waits| waits.for_what == "latch") {
            live.step(&Input { switch: false, ..rest.clone() }).unwrap();
            return hand_over(live).time_s;
        }
        if state.flies == "student" {
            return state.time_s;
        }
        craft = state.craft;
        assert!(!craft.crashed, "{craft:?}");
    }
    panic!("not recovered: {craft:?}");
}

/// Given the drill with every craft, when the instructor pushes a stick 12 frames into each mistake, then a mistake
/// begins 4 to 10 s after each hand-back, and the measured time is the 240 ms that it took.
#[test]
fn each_hand_back_brings_one_mistake_and_its_answer_is_timed() {
    let mut waits = Vec::new();
    for (craft, seed) in [Craft::Aeroplane, Craft::Helicopter, Craft::Many].into_iter().flat_map(|c| [(c, 1), (c, 2)]) {
        let mut live = live(craft, seed, Student::Drill);
        let mut able = Able::new(&live, craft);
        let mut from_s = hand_over(&mut live).time_s;
        for turn in 0..3 {
            let (after_s, _, taken) = round(&mut live, &mut able, from_s);
            assert!((4.0..=10.0).contains(&after_s), "{craft:?} {seed} {turn}: after {after_s} s");
            assert!((taken.after_mistake_ms - 240.0).abs() < 1e-6 && taken.from_stick_ms.abs() < 1e-6, "{taken:?}");
            waits.push(after_s);
            let state = live.step(&steady(&live)).unwrap();
            assert!(state.taken.is_none() && state.mistake.is_none(), "told once: {state:?}");
            from_s = recover(&mut live, &mut able, &state.craft);
        }
    }
    let (least, most) =
        (waits.iter().copied().fold(f64::INFINITY, f64::min), waits.iter().copied().fold(0.0, f64::max));
    assert!(most - least > 2.0, "the moments hardly differ: {least} to {most} s");
}

/// Given a policy that confirms in 3 frames, when a stick takes the craft, then 40 ms are the engine's.
#[test]
fn what_confirm_takes_is_told_apart_from_the_person() {
    let mut live = live(Craft::Aeroplane, 3, Student::Drill);
    for axis in ["aileron", "elevator", "rudder"] {
        live.set("confirm", Some(axis), "3").unwrap();
    }
    let mut able = Able::new(&live, Craft::Aeroplane);
    let from_s = hand_over(&mut live).time_s;
    let (_, _, taken) = round(&mut live, &mut able, from_s);
    assert!((taken.from_stick_ms - 40.0).abs() < 1e-6, "{taken:?}");
    assert!((taken.after_mistake_ms - 280.0).abs() < 1e-6, "{taken:?}");
}

/// Given a drill that nobody answers, when the mistake goes on, then a limit is passed later than it began, and a
/// takeover counts from both.
#[test]
fn an_unanswered_mistake_passes_a_limit_and_both_times_are_told() {
    for craft in [Craft::Aeroplane, Craft::Helicopter] {
        let mut live = live(craft, 5, Student::Drill);
        hand_over(&mut live);
        let rest = steady(&live);
        let began_s = loop {
            let state = live.step(&rest).unwrap();
            assert!(state.time_s < 30.0, "no limit was passed");
            if let Some(Mistake { began_s, past_limit_s: Some(past_s), words }) = state.mistake {
                assert!(past_s > began_s && (past_s - state.time_s).abs() < 1e-9);
                assert!(words.starts_with("too") || words.starts_with("sinks"), "the limit, not the slip: {words}");
                break began_s;
            }
        };
        let mut push = rest;
        push.instructor = push.instructor.map(|mut sticks| {
            sticks[0] = 40.0;
            sticks
        });
        let state = live.step(&push).unwrap();
        let Taken { after_mistake_ms, .. } = state.taken.unwrap();
        assert!((after_mistake_ms - (state.time_s - began_s) * 1e3).abs() < 1e-6);
    }
}

#[test]
fn the_switch_takes_the_craft_without_a_reaction_by_stick() {
    let mut live = live(Craft::Aeroplane, 5, Student::Drill);
    hand_over(&mut live);
    let rest = steady(&live);
    while live.step(&rest).unwrap().mistake.is_none() {}
    let state = live.step(&Input { switch: false, ..rest }).unwrap();
    assert_eq!((state.flies, state.taken, state.mistake), ("instructor", None, None));
}

/// Given a policy in which a stick takes its own axis, when two sticks answer one mistake, then it is timed once.
#[test]
fn a_mistake_is_timed_once_where_a_stick_takes_one_axis() {
    let mut live = live(Craft::Aeroplane, 5, Student::Drill);
    live.set("scope", None, "axis").unwrap();
    hand_over(&mut live);
    let mut input = steady(&live);
    while live.step(&input).unwrap().mistake.is_none() {}
    let mut push = |axis: usize| {
        input.instructor.as_mut().unwrap()[axis] = 30.0;
        live.step(&input).unwrap()
    };
    let (first, second) = (push(0), push(1));
    assert!(first.taken.is_some() && first.flies == "student" && first.mistake.is_some(), "{first:?}");
    assert!(second.events[0].cause == "stick" && second.taken.is_none(), "{second:?}");
}
