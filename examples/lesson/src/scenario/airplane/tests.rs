//! The model against mechanics.

use super::*;

const DT: f64 = 0.02;

fn calm() -> Airplane {
    Airplane::cruising(100.0, 0.0, Random::stream(0, 0), DT)
}

fn energy(airplane: &Airplane) -> f64 {
    GRAVITY * airplane.height + 0.5 * airplane.speed * airplane.speed
}

/// Holds climb angle and bank, as an able pilot does.
fn hold(airplane: &mut Airplane, bank: f64, throttle: f64, seconds: f64) {
    let mut time = 0.0;
    let mut elevator = 0.0;
    while time < seconds {
        let aileron = 1.5 * (bank - airplane.bank) + 0.11 * bank;
        elevator = f64::clamp(elevator - 1.0 * airplane.climb_angle * DT, -1.0, 1.0);
        airplane.fly([aileron, elevator - 1.5 * airplane.climb_angle, throttle, 0.0], DT);
        time += DT;
    }
}

#[test]
fn without_power_energy_never_grows() {
    let mut airplane = calm();
    airplane.power = 0.0;
    let mut last = energy(&airplane);
    for step in 0..1500 {
        // Pulls, pushes and rolls to a stall and a dive: no stick adds energy.
        let phase = f64::from(step) * DT;
        airplane.fly([libm::sin(phase), 0.6 * libm::sin(0.7 * phase), -1.0, 0.0], DT);
        if airplane.height <= 0.0 {
            break;
        }
        let now = energy(&airplane);
        // A step of 20 ms integrates to within a few parts in ten thousand of the energy at hand.
        assert!(now <= last + 2e-4 * last, "step {step}: {now} J/kg after {last}");
        last = now;
    }
    assert!(last < energy(&calm()) - 300.0, "it hardly lost any: {last} J/kg");
}

#[test]
fn with_hands_off_at_cruising_power_it_stays_level_and_fast() {
    let mut airplane = calm();
    for _ in 0..1500 {
        airplane.fly([0.0, 0.0, -0.2, 0.0], DT);
    }
    assert!((airplane.height - 100.0).abs() < 10.0, "{} m", airplane.height);
    assert!((airplane.speed - CRUISE).abs() < 1.5, "{} m/s", airplane.speed);
}

/// Steady level turn: rate = g tan(bank) / speed (standard flight mechanics, for instance FAA-H-8083-25C,
/// Pilot's Handbook of Aeronautical Knowledge, chapter 5; edition letter from memory).
#[test]
fn a_steady_turn_turns_as_fast_as_its_bank_and_speed_say() {
    let bank = 0.6;
    let mut airplane = calm();
    hold(&mut airplane, bank, 0.0, 20.0);
    let (heading, speed) = (airplane.heading, airplane.speed);
    hold(&mut airplane, bank, 0.0, 5.0);
    let (turned, expected) = ((airplane.heading - heading) / 5.0, GRAVITY * libm::tan(airplane.bank) / speed);
    assert!((turned / expected - 1.0).abs() < 0.03, "{turned} rad/s, not {expected}");
}

/// Given an airplane that is left alone after a dip, when it exchanges height and speed, then the period is
/// Lanchester's, sqrt(2) pi v / g (1908), 5.9 s at 13 m/s.
#[test]
fn left_alone_it_swings_with_the_period_of_a_phugoid() {
    let mut airplane = calm();
    airplane.climb_angle = -0.1;
    let mut crossings = Vec::new();
    let mut last = airplane.climb_angle;
    for step in 0..1500 {
        airplane.fly([0.0, 0.0, -0.2, 0.0], DT);
        if last < 0.0 && airplane.climb_angle >= 0.0 {
            crossings.push(f64::from(step) * DT);
        }
        last = airplane.climb_angle;
    }
    let period = crossings[1] - crossings[0];
    let expected = core::f64::consts::SQRT_2 * PI * CRUISE / GRAVITY;
    assert!((period / expected - 1.0).abs() < 0.1, "{period} s, not {expected}");
}

#[test]
fn pulled_to_a_stall_it_sinks_though_the_elevator_says_up() {
    let mut airplane = calm();
    let (mut lowest_speed, mut most_sink) = (f64::INFINITY, 0.0_f64);
    for _ in 0..250 {
        airplane.fly([0.0, 1.0, -1.0, 0.0], DT);
        lowest_speed = lowest_speed.min(airplane.speed);
        most_sink = most_sink.max(airplane.view().sink());
    }
    // Lift grows with the square of the speed: the speed at which the greatest lift carries the weight.
    let stall = CRUISE * libm::sqrt(LIFT_TRIMMED / LIFT_AT_STALL);
    assert!(lowest_speed < stall, "{lowest_speed} m/s is no stall, which is at {stall}");
    assert!(most_sink > 2.0, "sinks {most_sink} m/s");
}

#[test]
fn on_the_ground_it_stops_sinking_and_says_so() {
    let mut airplane = calm();
    for _ in 0..2000 {
        airplane.fly([0.0, -0.5, -1.0, 0.0], DT);
    }
    assert!(airplane.view().height.abs() < f64::EPSILON);
    assert!(airplane.view().sink() <= 0.0);
}
