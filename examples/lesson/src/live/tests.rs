//! Live lessons, flown by scripted people.

mod drill;
mod noted;
mod people;
mod replayed;
mod settled;
mod told;

use super::*;

/// A lesson of this craft with the default policy.
fn live(craft: Craft, seed: u64, student: Student) -> Live {
    Live::begin(&Plan { craft, seed, student, policy: None }).unwrap()
}

/// The instructor's sticks of steady flight, lesson switch on.
fn steady(live: &Live) -> Input {
    let sticks = live.axes().iter().map(|axis| axis.steady).collect();
    Input { instructor: Some(sticks), switch: true, ..Input::default() }
}

/// Flies with the switch off and then on, until the student has the craft.
fn hand_over(live: &mut Live) -> State {
    let on = steady(live);
    let off = Input { switch: false, ..on.clone() };
    (0..10).for_each(|_| drop(live.step(&off).unwrap()));
    for _ in 0..200 {
        let state = live.step(&on).unwrap();
        if state.flies == "student" {
            return state;
        }
    }
    panic!("nothing was handed over in 4 s");
}
