//! Lamp and beeper.

use embedded_hal_mock::eh1::digital::{Mock as Pin, State, Transaction as Set};
use embedded_hal_mock::eh1::pwm::{Mock as Pwm, Transaction as Duty};
use handback::hal::{Beeper, Lamp};
use handback::ppm::Level;

use crate::broken;

/// Given a lamp of either active level, when it is set, then the pin is written every time, also where nothing changes.
#[test]
fn a_lamp_is_lit_by_its_level_and_written_every_time() {
    for (lit, [dark, bright]) in [(Level::High, [State::Low, State::High]), (Level::Low, [State::High, State::Low])] {
        let mut lamp = Lamp::new(Pin::new(&[dark, bright, bright, dark].map(Set::set)), lit);
        for on in [false, true, true, false] {
            assert_eq!(lamp.set(on), Ok(()));
        }
        lamp.into_pin().done();
    }
}

/// Given a lamp whose pin fails, when it is set, then the failure is reported, and the next call tries again.
#[test]
fn a_lamp_that_fails_is_told() {
    let pin = Pin::new(&[Set::set(State::High).with_error(broken()), Set::set(State::High)]);
    let mut lamp = Lamp::new(pin, Level::High);
    assert_eq!(lamp.set(true), Err(broken()));
    assert_eq!(lamp.set(true), Ok(()));
    lamp.into_pin().done();
}

/// Given a beeper, when it sounds, then its output is on half of the time, or the percentage that was set, at most
/// 100.
#[test]
fn a_beeper_is_driven_half_of_the_time_or_as_it_is_told() {
    let max = Duty::max_duty_cycle;
    let expected = [max(1_000), Duty::set_duty_cycle(500), Duty::set_duty_cycle(0)];
    let mut beeper = Beeper::new(Pwm::new(&expected));
    assert_eq!((beeper.set(true), beeper.set(false)), (Ok(()), Ok(())));
    beeper.into_output().done();

    for (percent, duty) in [(0, 0), (1, 655), (100, u16::MAX), (101, u16::MAX), (255, u16::MAX)] {
        let mut motor = Beeper::new(Pwm::new(&[max(u16::MAX), Duty::set_duty_cycle(duty)])).with_percent(percent);
        assert_eq!(motor.set(true), Ok(()), "{percent}");
        motor.into_output().done();
    }
}

/// Given a beeper whose output fails, when it is set, then the failure is reported, and the next call tries again.
#[test]
fn a_beeper_that_fails_is_told() {
    let fails = |duty| Duty::set_duty_cycle(duty).with_error(broken());
    let output = Pwm::new(&[Duty::max_duty_cycle(10), fails(5), fails(0), Duty::set_duty_cycle(0)]);
    let mut beeper = Beeper::new(output);
    assert_eq!(beeper.set(true), Err(broken()));
    assert_eq!(beeper.set(false), Err(broken()));
    assert_eq!(beeper.set(false), Ok(()));
    beeper.into_output().done();
}
