//! How the instructor's hands fly: wings level first, then the nose, then height, with the throttle if need be.
//!
//! A person steers in separate corrections, some a second, each kept until the next.

use seeded::Random;

use super::airplane::View;
use super::stick::Stick;
use super::{AILERON, ELEVATOR, RUDDER, THROTTLE};

/// The height to go back to, in metres.
const HEIGHT: f64 = 48.0;
/// The elevator that keeps the craft while there is nothing to correct: the instructor knows that the student gets it
/// back when the sticks are at their rests, and holds one off until that is meant. Without this, the craft can go back under
/// hesitating hands.
const KEPT: f64 = 5.0;

/// The instructor's hands on the sticks.
#[derive(Clone, Debug)]
pub(super) struct Hands {
    sticks: [Stick; 4],
    /// Where the throttle is parked, in points.
    parked: f64,
    /// How fast the hands are, 1/s.
    speed: f64,
    /// How old what they act on is, in seconds.
    late_s: f64,
    /// How strongly they answer.
    zeal: f64,
    power: Power,
    with_rudder: bool,
    correction_in: f64,
    /// Whether the last correction was a stab that the hand may ease.
    stabbed: bool,
    flown_s: f64,
}

/// What the left hand does with the throttle.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Power {
    /// Leaves it where it is parked.
    Parked,
    /// Pushes it, until the model is fast and high.
    Pushed,
    /// Has pulled it back to where it was parked.
    Back,
}

impl Hands {
    pub(super) fn new(sticks: [Stick; 4], parked: f64, rng: &mut Random) -> Self {
        Self {
            sticks,
            parked,
            speed: rng.between(24.0, 34.0),
            late_s: rng.between(0.12, 0.2),
            zeal: rng.between(1.3, 1.8),
            power: Power::Parked,
            with_rudder: false,
            correction_in: 0.0,
            stabbed: false,
            flown_s: 0.0,
        }
    }

    /// How old what the hands act on is, in seconds.
    pub(super) fn late_s(&self) -> f64 {
        self.late_s
    }

    pub(super) fn sticks(&mut self) -> &mut [Stick; 4] {
        &mut self.sticks
    }

    /// Takes hold. A model that is low or slow gets power as well; rudder is a matter of taste.
    pub(super) fn take(&mut self, view: &View, rng: &mut Random) {
        let weak = view.height < 34.0 || (view.speed < 9.5 && rng.chance(0.5));
        self.power = if weak { Power::Pushed } else { Power::Parked };
        self.with_rudder = view.bank.abs() > 0.8 && rng.chance(0.4);
        self.correction_in = 0.0;
        self.flown_s = 0.0;
    }

    /// Lets go of everything.
    pub(super) fn let_go(&mut self) {
        self.sticks.iter_mut().for_each(Stick::let_go);
    }

    /// Whether the model is level, fast and high enough to be handed back.
    pub(super) fn has_recovered(&self, view: &View) -> bool {
        let high = view.height > HEIGHT - 8.0 || (self.flown_s > 9.0 && view.height > 36.0);
        let level = view.bank.abs() < 0.17 && view.climb_angle.abs() < 0.2;
        high && level && view.speed > 10.0 && self.power != Power::Pushed
    }

    /// A touch: one firm push against the bank, or against the climb where that is the worse, and nothing else.
    pub(super) fn touch(&mut self, seen: &View, rng: &mut Random) {
        let firm = rng.between(30.0, 60.0);
        if seen.bank.abs() > 1.5 * seen.climb_angle.abs() {
            self.steer_right_hand(-seen.bank.signum() * firm, rng.normal());
        } else {
            self.steer_right_hand(rng.normal(), -seen.climb_angle.signum() * 0.7 * firm);
        }
    }

    /// One frame of flying on what was seen. After a stab the hand often eases to centre for a look, and goes on.
    pub(super) fn fly(&mut self, seen: &View, dt: f64, rng: &mut Random) {
        self.flown_s += dt;
        self.correction_in -= dt;
        if self.correction_in > 0.0 {
            return;
        }
        if self.stabbed && rng.chance(0.6) {
            self.stabbed = false;
            self.correction_in = rng.between(0.14, 0.22);
            self.steer_right_hand(0.5 * rng.normal(), 0.5 * rng.normal());
        } else {
            self.correction_in = rng.between(0.12, 0.26);
            self.right_hand(seen, rng);
        }
        self.left_hand(seen);
    }

    /// Aileron and elevator share a gimbal: a thumb that rolls hard leaves the elevator about where it was.
    fn right_hand(&mut self, seen: &View, rng: &mut Random) {
        let aileron = self.zeal * 60.0 * -seen.bank - 9.0 * seen.roll_rate + 2.5 * rng.normal();
        let climb = if seen.speed < 9.5 { -0.08 } else { (0.02 * (HEIGHT - seen.height)).clamp(-0.1, 0.16) };
        let mut elevator = self.zeal * 80.0 * (climb - seen.climb_angle) + 1.5 * rng.normal();
        if seen.bank.abs() > 0.6 {
            elevator = 0.02 * aileron;
        }
        if elevator.abs() < 3.0 && aileron.abs() < 4.0 {
            elevator = KEPT;
        }
        self.stabbed = aileron.abs().max(elevator.abs()) > 12.0;
        self.steer_right_hand(aileron, elevator);
        if self.with_rudder && seen.bank.abs() > 0.3 {
            self.sticks[RUDDER].steer(0.3 * aileron, self.speed);
        } else {
            self.sticks[RUDDER].let_go();
        }
    }

    fn steer_right_hand(&mut self, aileron: f64, elevator: f64) {
        self.sticks[AILERON].steer(aileron.clamp(-85.0, 85.0), self.speed);
        self.sticks[ELEVATOR].steer(elevator.clamp(-60.0, 70.0), self.speed);
    }

    /// Power while the model is low or slow, and then back to where the throttle was parked.
    fn left_hand(&mut self, seen: &View) {
        let in_need = seen.height < 36.0 || seen.speed < 9.5;
        let recovered = seen.height > HEIGHT - 8.0 && seen.speed > 11.0;
        self.power = match self.power {
            Power::Parked if in_need && self.flown_s > 4.0 => Power::Pushed,
            Power::Pushed if recovered && self.flown_s > 1.0 => Power::Back,
            as_it_is => as_it_is,
        };
        match self.power {
            Power::Parked => {}
            Power::Pushed => self.sticks[THROTTLE].steer(60.0, self.speed),
            Power::Back => self.sticks[THROTTLE].steer(self.parked, self.speed),
        }
    }
}
