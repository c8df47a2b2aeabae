//! The student: flies straights and turns, acts on what was, does too much of it, and now and then something quite wrong.

use handback::Frame;
use seeded::Random;

use super::airplane::View;
use super::eyes::Eyes;
use super::habit::{Habit, Slips, Told};
use super::stick::Stick;
use super::{AILERON, ELEVATOR, RUDDER, THROTTLE, frame};

/// The height that the student was told to keep, in metres.
const HEIGHT: f64 = 50.0;
/// The throttle for level cruise, in points.
const CRUISE_THROTTLE: f64 = -20.0;
/// How fast a student's hand is, 1/s.
const HAND: f64 = 14.0;

/// Somebody who learns to fly.
#[derive(Clone, Debug)]
pub(crate) struct Student {
    eyes: Eyes<View>,
    sticks: [Stick; 4],
    leg: Leg,
    habit: Habit,
    slips: Slips<Slip>,
    /// What the hands aim at, in points from where each stick rests.
    aim: [f64; 4],
    correction_in: f64,
    throttle: f64,
    /// How much of the elevator that a turn needs this student gives.
    coordination: f64,
    told: Told,
    rng: Random,
    dt: f64,
}

/// What the student means to fly.
#[derive(Clone, Copy, Debug)]
enum Leg {
    Straight { left_s: f64 },
    Turn { bank: f64, from: f64 },
}

/// What a beginner does wrong.
#[derive(Clone, Copy, Debug)]
enum Slip {
    /// Rolls on into a steep bank.
    Overbanks(f64),
    /// Pulls as if more elevator were more height.
    Pulls,
    /// Pushes, startled.
    Pushes,
    /// Stops moving the hands, wherever they are.
    Freezes,
    /// Takes left for right, as one does with a model that comes towards one.
    Mirrors,
    /// Takes the power off and keeps the nose up.
    Throttles,
}

impl Slip {
    fn words(self) -> &'static str {
        match self {
            Self::Overbanks(_) => "rolls on into a steep bank",
            Self::Pulls => "pulls the nose up",
            Self::Pushes => "pushes the nose down",
            Self::Freezes => "holds the sticks still",
            Self::Mirrors => "takes left for right",
            Self::Throttles => "takes the power off",
        }
    }
}

impl Student {
    pub(crate) fn new(view: View, sticks: [Stick; 4], mut rng: Random, dt: f64) -> Self {
        Self {
            eyes: Eyes::new(view, dt),
            sticks,
            leg: Leg::Straight { left_s: rng.between(4.0, 8.0) },
            habit: Habit::ByChance,
            slips: Slips::first_in(rng.between(8.0, 16.0)),
            aim: [0.0, 0.0, CRUISE_THROTTLE, 0.0],
            correction_in: 0.0,
            throttle: CRUISE_THROTTLE,
            coordination: rng.between(0.5, 1.0),
            told: Told::NOT_FLYING,
            rng,
            dt,
        }
    }

    /// The same student with this habit.
    pub(crate) fn with(mut self, habit: Habit) -> Self {
        self.habit = habit;
        self
    }

    /// The mistake that the hands are making, in words.
    pub(crate) fn mistake(&self) -> Option<&'static str> {
        self.slips.acting().map(Slip::words)
    }

    /// One frame later: the student's sticks, given the model and whether the student has any of it.
    pub(crate) fn step(&mut self, view: View, flies: bool) -> Frame<4> {
        self.eyes.look(view);
        self.listen(flies);
        self.end_drilled(flies);
        if self.told.flying {
            self.plan(view);
            if flies || self.habit == Habit::ByChance {
                self.err();
            }
            self.correction_in -= self.dt;
            if self.correction_in <= 0.0 {
                self.correction_in = self.rng.between(0.2, 0.4);
                self.correct();
            }
        }
        frame(&mut self.sticks)
    }

    /// 'I have' and 'you have' take a moment to sink in.
    fn listen(&mut self, flies: bool) {
        let Some(flies) = self.told.listen(flies, &mut self.rng, self.dt) else { return };
        self.slips.end();
        self.leg = Leg::Straight { left_s: self.rng.between(2.0, 5.0) };
        if flies {
            self.slips.next_in(self.habit.first_slip_in(&mut self.rng));
            return;
        }
        for axis in [AILERON, ELEVATOR, RUDDER] {
            self.sticks[axis].let_go();
        }
        self.throttle = CRUISE_THROTTLE + self.rng.between(-6.0, 6.0);
        self.sticks[THROTTLE].steer(self.throttle, HAND);
    }

    /// In the drill a mistake ends with the takeover, however late the student notices that.
    fn end_drilled(&mut self, flies: bool) {
        if self.habit == Habit::Drill && !flies && self.slips.acting().is_some() {
            self.slips.end();
            self.slips.next_in(self.habit.first_slip_in(&mut self.rng));
            self.correction_in = 0.0;
        }
    }

    /// Straights and turns of a quarter or more, one after the other; in the drill straight on.
    fn plan(&mut self, view: View) {
        if self.habit == Habit::Drill {
            return;
        }
        match &mut self.leg {
            Leg::Straight { left_s } => {
                *left_s -= self.dt;
                if *left_s <= 0.0 {
                    let bank = self.rng.sign() * self.rng.between(0.35, 0.6);
                    self.leg = Leg::Turn { bank, from: view.heading };
                }
            }
            Leg::Turn { from, .. } => {
                if (view.heading - *from).abs() > 1.4 {
                    self.leg = Leg::Straight { left_s: self.rng.between(4.0, 9.0) };
                }
            }
        }
    }

    /// Chooses a slip when one is to begin.
    fn err(&mut self) {
        if self.habit == Habit::Drill && !is_steady(&self.eyes.ago(0.0)) {
            self.slips.put_off(self.dt);
        }
        if !self.slips.is_due(&mut self.rng, self.dt) {
            return;
        }
        let to_turn = match self.leg {
            Leg::Turn { bank, .. } => bank.signum(),
            Leg::Straight { .. } => self.rng.sign(),
        };
        if self.habit == Habit::Drill {
            let slip = if self.rng.chance(0.7) { Slip::Overbanks(to_turn) } else { Slip::Pushes };
            self.slips.begin(slip, f64::INFINITY);
            self.correction_in = 0.0;
            return;
        }
        let (slip, lasts_s) = match self.rng.unit() {
            x if x < 0.26 => (Slip::Overbanks(to_turn), self.rng.between(2.0, 4.0)),
            x if x < 0.44 => (Slip::Pulls, self.rng.between(1.2, 2.2)),
            x if x < 0.60 => (Slip::Pushes, self.rng.between(1.0, 2.0)),
            x if x < 0.72 => (Slip::Freezes, self.rng.between(2.0, 4.0)),
            x if x < 0.86 => (Slip::Mirrors, self.rng.between(2.0, 4.0)),
            _ => (Slip::Throttles, self.rng.between(6.0, 9.0)),
        };
        self.slips.begin(slip, lasts_s);
    }

    /// A correction: what was seen 0.3 to 0.5 s ago, answered too strongly, and kept until the next one.
    fn correct(&mut self) {
        let late = self.rng.between(0.3, 0.5);
        let seen = self.eyes.ago(late);
        let zeal = self.habit.zeal(&mut self.rng);
        let bank = match self.leg {
            Leg::Straight { .. } => 0.0,
            Leg::Turn { bank, .. } => bank,
        };
        let climb = (0.016 * (HEIGHT - seen.height)).clamp(-0.12, 0.12);
        let turning = 50.0 * self.coordination * (1.0 / libm::cos(seen.bank).max(0.6) - 1.0);
        let mut aim = [
            zeal * 48.0 * (bank - seen.bank) + 11.0 * bank,
            zeal * 70.0 * (climb - seen.climb_angle) + turning,
            self.throttle + (0.8 * (HEIGHT - seen.height)).clamp(-15.0, 25.0),
            0.0,
        ];
        match self.slips.act() {
            Some(Slip::Overbanks(side)) => aim = [side * 45.0, 0.0, aim[THROTTLE], 0.0],
            Some(Slip::Pulls) => aim[ELEVATOR] = 75.0,
            Some(Slip::Pushes) => aim[ELEVATOR] = -45.0,
            Some(Slip::Freezes) => aim = self.aim,
            Some(Slip::Mirrors) => aim[AILERON] = -aim[AILERON],
            Some(Slip::Throttles) => aim = [aim[AILERON], aim[ELEVATOR] + 15.0, -95.0, 0.0],
            None => {}
        }
        for axis in [AILERON, ELEVATOR] {
            aim[axis] = (aim[axis] + 2.0 * self.rng.normal()).clamp(-90.0, 90.0);
            self.sticks[axis].steer(aim[axis], HAND);
        }
        // A beginner moves the throttle in coarse steps, if at all.
        if (aim[THROTTLE] - self.aim[THROTTLE]).abs() > 8.0 {
            self.sticks[THROTTLE].steer(aim[THROTTLE], HAND);
        } else {
            aim[THROTTLE] = self.aim[THROTTLE];
        }
        self.aim = aim;
    }
}

/// Whether nobody would call it a mistake: banked by less than 8 degrees, the path within 5 of level. Own choice, no
/// source.
fn is_steady(view: &View) -> bool {
    view.bank.abs() < 0.14 && view.climb_angle.abs() < 0.09
}
