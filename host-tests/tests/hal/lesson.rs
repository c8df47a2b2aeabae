//! A lesson on pins: who flies when a pin fails.

use embedded_hal_mock::eh1::digital::{Mock, State, Transaction};
use handback::hal::{InstructorNow, LessonSwitch};
use handback::ppm::Level;
use handback::{Cause, CheckedPolicy, Engine, Event, Frame, Inputs, Instant, Outcome, Pilot};
use handback_host_tests::sprung;

use crate::broken;

/// One step of 20 ms, with these readings of the switch (closed to ground is on) and the button (open is pressed).
type Step = (Transaction, Transaction);

fn fly(steps: &[Step]) -> (Vec<Outcome<4>>, Vec<Event>) {
    let policy: CheckedPolicy<4> = sprung().check().expect("a good policy");
    let mut engine = Engine::new(&policy);
    let (switches, buttons): (Vec<_>, Vec<_>) = steps.iter().cloned().unzip();
    let mut switch = LessonSwitch::new(Mock::new(&switches), Level::Low);
    let mut button = InstructorNow::new(Mock::new(&buttons), Level::High);
    let frame = Some(&Frame::CENTRE);
    let outcomes: Vec<Outcome<4>> = (0..u32::try_from(steps.len()).expect("a short lesson"))
        .map(|n| {
            let [lesson_switch, instructor_now] = [switch.read().on, button.read().on];
            let inputs = Inputs { instructor: frame, student: frame, lesson_switch, instructor_now };
            engine.step(Instant::from_ticks(20_000 * n), inputs)
        })
        .collect();
    switch.into_pin().done();
    button.into_pin().done();
    let events = outcomes.iter().filter_map(|outcome| outcome.event).collect();
    (outcomes, events)
}

fn at_rest(switch: State) -> Step {
    (Transaction::get(switch), Transaction::get(State::Low))
}

/// A lesson of 250 steps in which the student flies from the seventieth step on and step 100 is `strange`.
fn lesson(strange: Step) -> (Vec<Outcome<4>>, Vec<Event>) {
    let mut steps = vec![at_rest(State::High); 20];
    steps.resize(250, at_rest(State::Low));
    steps[100] = strange;
    let (outcomes, events) = fly(&steps);
    assert!(matches!(outcomes[99].pilot, Pilot::Student(_)));
    (outcomes, events)
}

/// Given a student flying, when the switch's pin fails once, then the instructor has the craft in that step.
/// Rules: S3
#[test]
fn a_switch_whose_pin_fails_is_off() {
    let (outcomes, events) = lesson((Transaction::get(State::Low).with_error(broken()), Transaction::get(State::Low)));
    assert_eq!(outcomes[100].pilot, Pilot::Instructor);
    assert_eq!(events[1].cause, Cause::SwitchOff);
}

/// Given a student flying, when the button's pin fails once, then the instructor has the craft and keeps it.
/// Rules: T7
#[test]
fn a_button_whose_pin_fails_is_pressed() {
    let (outcomes, events) = lesson((Transaction::get(State::Low), Transaction::get(State::Low).with_error(broken())));
    assert!(outcomes[100..].iter().all(|outcome| outcome.pilot == Pilot::Instructor));
    assert_eq!((events.len(), events[1].cause), (2, Cause::InstructorNow));
}

/// Given wires that break, when the levels are those that the documentation names, then the switch is off and the
/// button pressed.
/// Rules: S3, T7
#[test]
fn a_broken_wire_leaves_the_craft_with_the_instructor() {
    // A pull-up makes a broken wire high.
    for (broken_wire, cause) in [
        ((Transaction::get(State::High), Transaction::get(State::Low)), Cause::SwitchOff),
        ((Transaction::get(State::Low), Transaction::get(State::High)), Cause::InstructorNow),
    ] {
        let (outcomes, events) = lesson(broken_wire);
        assert_eq!((outcomes[100].pilot, events[1].cause), (Pilot::Instructor, cause));
    }
}
