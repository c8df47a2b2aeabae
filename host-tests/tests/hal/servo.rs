//! The servo: pulses to duties, and what is refused.

use std::cell::Cell;
use std::convert::Infallible;

use embedded_hal::pwm::{ErrorType, SetDutyCycle};
use embedded_hal_mock::eh1::MockError;
use embedded_hal_mock::eh1::pwm::{Mock, Transaction};
use handback::hal::{Servo, ServoError};
use handback::{Duration, Pulse};
use handback_host_tests::us;

use crate::broken;

/// An output that takes every duty and keeps the last one, for sweeps too long to be scripted.
struct Kept<'c> {
    max: u16,
    duty: &'c Cell<u16>,
}

impl ErrorType for Kept<'_> {
    type Error = Infallible;
}

impl SetDutyCycle for Kept<'_> {
    fn max_duty_cycle(&self) -> u16 {
        self.max
    }

    fn set_duty_cycle(&mut self, duty: u16) -> Result<(), Infallible> {
        assert!(duty <= self.max, "the caller is to keep to the largest duty");
        self.duty.set(duty);
        Ok(())
    }
}

fn servo(max: u16, period: Duration, duties: &[u16]) -> Servo<Mock> {
    let each = duties.iter().flat_map(|&duty| [Transaction::max_duty_cycle(max), Transaction::set_duty_cycle(duty)]);
    let expected: Vec<Transaction> = [Transaction::max_duty_cycle(max)].into_iter().chain(each).collect();
    Servo::new(Mock::new(&expected), period).expect("a good period and output")
}

/// Given a duty of a microsecond a step, when pulses are set, then they are the nearest step, halves up.
#[test]
fn a_pulse_is_the_nearest_step_of_the_duty_and_halves_go_up() {
    // Common practice, no source: 1000, 1500 and 2000 us every 20 ms.
    let mut even = servo(20_000, us(20_000), &[1_000, 1_500, 2_000, 1_500, 1_501, 1_501, 0]);
    for pulse in [1_000, 1_500, 2_000].map(Pulse::from_micros) {
        assert_eq!(even.set(pulse), Ok(()));
    }
    for sixteenths in [24_007, 24_008, 24_009, 0] {
        assert_eq!(even.set(Pulse::from_bits(sixteenths)), Ok(()));
    }
    even.into_output().done();
}

/// Given outputs of every kind, when any pulse is set, then its duty is the one that wider arithmetic rounds to.
#[test]
fn every_pulse_is_rounded_as_wider_arithmetic_rounds_it() {
    let duty = Cell::new(0);
    for (max, period) in [(255, 2_500), (20_000, 20_000), (19_999, 22_500), (u16::MAX, 2_500), (u16::MAX, 100_000)] {
        let mut servo = Servo::new(Kept { max, duty: &duty }, us(period)).expect("a good period and output");
        let sixteenths = u64::from(period) * 16;
        for bits in 0..=u16::MAX {
            let done = servo.set(Pulse::from_bits(bits));
            if u64::from(bits) >= sixteenths {
                assert!(matches!(done, Err(ServoError::TooLong { .. })), "{bits}");
                continue;
            }
            // floor(x + 1/2), recomputed in 64 bits.
            let expected = (2 * u64::from(bits) * u64::from(max) + sixteenths) / (2 * sixteenths);
            assert_eq!((done, u64::from(duty.get())), (Ok(()), expected), "{bits} of {max} in {period} us");
        }
    }
}

/// Given a period that no servo has, or too coarse a duty, when a servo is built, then it is refused by name.
#[test]
fn what_would_not_move_a_servo_is_refused() {
    let build = |max: u16, period: u32| {
        let mut output = Mock::new(&[Transaction::max_duty_cycle(max)]);
        let refused = Servo::new(&mut output, us(period)).err();
        if matches!(refused, Some(ServoError::Period { .. })) {
            let _ = output.max_duty_cycle(); // it was not asked yet
        }
        output.done();
        refused
    };
    for period in [0, 1, 2_499, 100_001, (1 << 28) + 20_000, u32::MAX] {
        assert_eq!(build(u16::MAX, period), Some(ServoError::Period { period: us(period) }));
    }
    assert_eq!(build(250, 2_500), None);
    assert_eq!(build(249, 2_500), Some(ServoError::Coarse { max_duty: 249, needed: 250 }));
    assert_eq!(build(10_000, 100_000), None);
    assert_eq!(build(9_999, 100_000), Some(ServoError::Coarse { max_duty: 9_999, needed: 10_000 }));
    assert_eq!(build(2_000, 20_001), Some(ServoError::Coarse { max_duty: 2_000, needed: 2_001 }));
    assert_eq!(build(0, 20_000), Some(ServoError::Coarse { max_duty: 0, needed: 2_000 }));
}

/// Given a pulse that does not end within the period, when it is set, then it is refused and the output is left alone.
#[test]
fn a_pulse_as_long_as_the_period_is_refused() {
    let mut servo = servo(2_500, us(2_500), &[2_499]);
    let period = us(2_500);
    for pulse in [Pulse::from_micros(2_500), Pulse::MAX] {
        assert_eq!(servo.set(pulse), Err(ServoError::TooLong { pulse, period }));
    }
    assert_eq!(servo.set(Pulse::from_micros(2_499)), Ok(()));
    servo.into_output().done();
}

/// Given an output that fails, when a servo is set or stopped, then that is told, and the next call tries again.
#[test]
fn an_output_that_fails_is_told() {
    let max = || Transaction::max_duty_cycle(20_000);
    let output = Mock::new(&[
        max(),
        max(),
        Transaction::set_duty_cycle(1_500).with_error(broken()),
        Transaction::set_duty_cycle(0).with_error(broken()),
        Transaction::set_duty_cycle(0),
    ]);
    let mut servo = Servo::new(output, us(20_000)).expect("a good period and output");
    assert_eq!(servo.set(Pulse::from_micros(1_500)), Err(ServoError::Output(broken())));
    assert_eq!(servo.stop(), Err(ServoError::Output(broken())));
    assert_eq!(servo.stop(), Ok(()), "no more pulses: a duty of 0");
    servo.into_output().done();
}

/// Given every error, when it is told, then it names field, value and mend.
#[test]
fn every_error_names_field_value_and_mend() {
    let (pulse, period) = (Pulse::from_bits(40_001), us(2_500));
    let texts: [(ServoError<MockError>, &str); 4] = [
        (ServoError::Period { period: us(7) }, "period is 7 us: it must be 2500 us to 100000 us"),
        (
            ServoError::Coarse { max_duty: 255, needed: 2_000 },
            "max_duty is 255: it must be 2000 or more for steps of 10 us",
        ),
        (ServoError::TooLong { pulse, period }, "pulse is 2500.06 us: it must be below period, 2500 us"),
        (ServoError::Output(broken()), "output failed: Io(NotConnected): check its set-up and wiring"),
    ];
    for (error, text) in texts {
        assert_eq!(error.to_string(), text);
    }
}
