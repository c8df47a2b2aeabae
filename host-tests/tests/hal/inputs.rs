//! The lesson switch and the instructor-now button.

use embedded_hal_mock::eh1::digital::{Mock, State, Transaction};
use handback::hal::{InstructorNow, LessonSwitch, Seen};
use handback::ppm::Level;

use crate::{BOTH, broken};

fn state(level: Level) -> State {
    match level {
        Level::Low => State::Low,
        Level::High => State::High,
    }
}

/// Given a switch of either active level, when its pin is read at either level, then it is on where the two agree, and
/// the pin was read once for each reading.
#[test]
fn a_switch_is_on_while_its_pin_has_the_active_level() {
    for active in BOTH {
        let pin = Mock::new(&BOTH.map(|level| Transaction::get(state(level))));
        let mut switch = LessonSwitch::new(pin, active);
        for level in BOTH {
            assert_eq!(switch.read(), Seen { on: level == active, failed: None });
        }
        switch.into_pin().done();
    }
}

/// Given a button of either active level, when its pin is read at either level, then it is pressed where the two
/// agree.
#[test]
fn a_button_asks_while_its_pin_has_the_active_level() {
    for active in BOTH {
        let pin = Mock::new(&BOTH.map(|level| Transaction::get(state(level))));
        let mut button = InstructorNow::new(pin, active);
        for level in BOTH {
            assert_eq!(button.read(), Seen { on: level == active, failed: None });
        }
        button.into_pin().done();
    }
}

/// Given a pin that fails at either level, when it is read, then the switch is off, the button is pressed, and the
/// failure is reported; the next reading is that of the pin.
#[test]
fn a_failed_pin_is_reported_and_leaves_the_instructor_the_craft() {
    for active in BOTH {
        for level in BOTH {
            let fails = [Transaction::get(state(level)).with_error(broken()), Transaction::get(state(active))];
            let mut switch = LessonSwitch::new(Mock::new(&fails), active);
            assert_eq!(switch.read(), Seen { on: false, failed: Some(broken()) });
            assert_eq!(switch.read(), Seen { on: true, failed: None });
            switch.into_pin().done();

            let fails = [Transaction::get(state(level)).with_error(broken()), Transaction::get(state(active.other()))];
            let mut button = InstructorNow::new(Mock::new(&fails), active);
            assert_eq!(button.read(), Seen { on: true, failed: Some(broken()) });
            assert_eq!(button.read(), Seen { on: false, failed: None });
            button.into_pin().done();
        }
    }
}
