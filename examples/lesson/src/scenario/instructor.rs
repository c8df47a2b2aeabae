//! The instructor: watches, takes over past a limit, flies the model level and up, and lets go again.
//!
//! This file is the procedure: what leads to what. How the hands fly is in `rescue`.

use handback::{Cause, Frame, Outcome, Pilot, Waiting};
use seeded::Random;

use super::airplane::View;
use super::eyes::Eyes;
use super::limits::Limits;
use super::rescue::Hands;
use super::stick::Stick;
use super::{THROTTLE_STICK, frame};

/// Somebody who can fly, and teaches it.
#[derive(Clone, Debug)]
pub(super) struct Instructor {
    eyes: Eyes<View>,
    hands: Hands,
    limits: Limits,
    duty: Duty,
    switch: bool,
    button_s: f64,
    /// Seconds until the next talk, for which the instructor takes the craft with the switch.
    talk_in: f64,
    /// Seconds until the next small help.
    touch_in: f64,
    /// Seconds until the next rescue begins with the button instead of a stick.
    button_in: f64,
    /// How long the student has had the craft without a break.
    flown_s: f64,
    /// How long the student has been without the craft though the instructor's hands are off.
    idle_s: f64,
    rng: Random,
    dt: f64,
}

/// Why the instructor flies, and how.
#[derive(Clone, Copy, Debug)]
struct Call {
    reason: &'static str,
    /// The height at which the student passed the limit.
    mistake_height: Option<f64>,
    by_button: bool,
    /// Only a touch; else the model is flown level and up.
    touch: bool,
    /// The least that it takes, in seconds.
    lasts_s: f64,
}

impl Call {
    fn new(reason: &'static str, lasts_s: f64) -> Self {
        Self { reason, mistake_height: None, by_button: false, touch: false, lasts_s }
    }
}

/// What the instructor is about.
#[derive(Clone, Copy, Debug)]
enum Duty {
    /// Hands off, eyes on the model.
    Watch,
    /// Has seen it; the hands have not moved yet.
    React { left_s: f64, call: Call },
    /// Gives one firm push, and lets go of the stick where it is.
    Touch { left_s: f64, call: Call },
    /// Flies; for so long already, and so long level.
    Fly { call: Call, flown_s: f64, steady_s: f64 },
    /// Flies on with the switch off for a moment, so that the box clears a latch or has seen it off first.
    Clear { call: Call, left_s: f64 },
    /// Flies on with the switch on, until nothing but the hands on the sticks keeps the student waiting.
    Offer { call: Call, offered_s: f64 },
}

/// What the instructor does in a step.
pub(super) struct Act {
    pub(super) frame: Frame<4>,
    pub(super) lesson_switch: bool,
    pub(super) instructor_now: bool,
    /// Whether a hand is on a stick, and why, and where the mistake was.
    pub(super) meant: bool,
    pub(super) reason: &'static str,
    pub(super) mistake_height: Option<f64>,
}

impl Instructor {
    pub(super) fn new(view: View, sticks: [Stick; 4], parked: f64, mut rng: Random, dt: f64) -> Self {
        let start = Call::new("gains height first", rng.between(4.0, 8.0));
        Self {
            eyes: Eyes::new(view, dt),
            limits: Limits::of(&mut rng),
            hands: Hands::new(sticks, parked, &mut rng),
            duty: Duty::Fly { call: start, flown_s: 0.0, steady_s: 0.0 },
            switch: false,
            button_s: 0.0,
            talk_in: rng.between(70.0, 130.0),
            touch_in: rng.between(15.0, 25.0),
            button_in: rng.between(30.0, 200.0),
            flown_s: 0.0,
            idle_s: 0.0,
            rng,
            dt,
        }
    }

    /// One frame later: what the instructor does, given the model and what the box says.
    pub(super) fn step(&mut self, view: View, last: Option<&Outcome<4>>) -> Act {
        self.eyes.look(view);
        self.talk_in -= self.dt;
        self.touch_in -= self.dt;
        self.button_in -= self.dt;
        self.button_s -= self.dt;
        self.duty = self.go_on(view, last);
        let call = match self.duty {
            Duty::Watch | Duty::React { .. } => None,
            Duty::Touch { call, .. } | Duty::Fly { call, .. } | Duty::Clear { call, .. } | Duty::Offer { call, .. } => {
                Some(call)
            }
        };
        match self.duty {
            Duty::Watch | Duty::React { .. } => self.hands.let_go(),
            Duty::Touch { .. } => {}
            Duty::Fly { .. } | Duty::Clear { .. } | Duty::Offer { .. } => {
                self.hands.fly(&self.eyes.ago(self.hands.late_s()), self.dt, &mut self.rng);
            }
        }
        Act {
            frame: frame(self.hands.sticks()),
            lesson_switch: self.switch,
            instructor_now: self.button_s > 0.0,
            meant: call.is_some(),
            reason: call.map_or("", |call| call.reason),
            mistake_height: call.and_then(|call| call.mistake_height),
        }
    }

    /// The duty after this one.
    fn go_on(&mut self, view: View, last: Option<&Outcome<4>>) -> Duty {
        let steady = self.hands.has_recovered(&view);
        let waiting = last.and_then(|outcome| outcome.waiting);
        match self.duty {
            Duty::Watch => self.watch(view, last),
            Duty::React { left_s, call } if left_s > 0.0 => Duty::React { left_s: left_s - self.dt, call },
            Duty::React { call, .. } => self.take(view, call),
            Duty::Touch { left_s, call } if left_s > 0.0 => Duty::Touch { left_s: left_s - self.dt, call },
            Duty::Touch { .. } => Duty::Watch,
            Duty::Fly { call, flown_s, steady_s } => {
                let (flown_s, steady_s) = (flown_s + self.dt, if steady { steady_s + self.dt } else { 0.0 });
                if flown_s < call.lasts_s || steady_s < 0.2 {
                    return Duty::Fly { call, flown_s, steady_s };
                }
                self.finish(call, waiting)
            }
            Duty::Clear { call, left_s } if left_s > 0.0 => Duty::Clear { call, left_s: left_s - self.dt },
            Duty::Clear { call, .. } => {
                self.switch = true;
                Duty::Offer { call, offered_s: 0.0 }
            }
            Duty::Offer { call, offered_s } => {
                let throttle_at_rest = last.is_none_or(|outcome| !outcome.held.meets(THROTTLE_STICK));
                match waiting {
                    _ if offered_s < 0.3 || !steady => {}
                    Some(Waiting::Latch | Waiting::SwitchOffFirst | Waiting::Switch) => {
                        return self.finish(call, waiting);
                    }
                    Some(Waiting::StudentLink { .. } | Waiting::InstructorSignal) => {}
                    _ if throttle_at_rest => return Duty::Watch,
                    _ => {}
                }
                Duty::Offer { call, offered_s: offered_s + self.dt }
            }
        }
    }

    /// Eyes on the model and on the box.
    fn watch(&mut self, view: View, last: Option<&Outcome<4>>) -> Duty {
        let flies = last.is_some_and(|outcome| !outcome.pilot.student().is_empty());
        (self.flown_s, self.idle_s) = if flies { (self.flown_s + self.dt, 0.0) } else { (0.0, self.idle_s + self.dt) };
        let taken = last.and_then(|outcome| outcome.event).filter(|event| event.to.student().is_empty());
        let reason = match taken.map(|event| event.cause) {
            Some(Cause::LinkLost | Cause::LinkFrozen) => Some("student link lost"),
            Some(Cause::InstructorLost | Cause::InstructorBack | Cause::BadFrame | Cause::LateStep) => {
                Some("own signal lost")
            }
            _ => None,
        };
        let silent = last.is_some_and(|outcome| outcome.pilot == Pilot::Instructor) && self.idle_s > 1.5;
        let reason = reason.or(silent.then_some("student is without the craft"));
        if let Some(reason) = reason {
            let lasts_s = self.rng.between(1.5, 3.0);
            return self.react(Call::new(reason, lasts_s));
        }
        if !flies {
            return Duty::Watch;
        }
        if let Some(reason) = self.limits.passed(&view) {
            let by_button = self.button_in <= 0.0;
            if by_button {
                self.button_in = self.rng.between(200.0, 400.0);
            }
            let (mistake_height, lasts_s) = (Some(view.height), self.rng.between(1.5, 3.0));
            return self.react(Call { mistake_height, by_button, ..Call::new(reason, lasts_s) });
        }
        if self.talk_in <= 0.0 && self.flown_s > 5.0 {
            self.talk_in = self.rng.between(100.0, 200.0);
            self.switch = false;
            let lasts_s = self.rng.between(5.0, 12.0);
            return self.react(Call::new("talks it over", lasts_s));
        }
        if self.touch_in <= 0.0 && self.flown_s > 3.0 && (view.bank.abs() > 0.35 || view.climb_angle.abs() > 0.2) {
            self.touch_in = self.rng.between(6.0, 14.0);
            let lasts_s = self.rng.between(0.2, 0.4);
            return self.react(Call { touch: true, ..Call::new("helps with a touch", lasts_s) });
        }
        Duty::Watch
    }

    /// From seeing to moving takes a person 0.3 to 0.5 s.
    fn react(&mut self, call: Call) -> Duty {
        let left_s = (0.38 + 0.05 * self.rng.normal()).clamp(0.3, 0.5);
        Duty::React { left_s, call }
    }

    /// The hands move now. With the button the sticks follow a moment later.
    fn take(&mut self, view: View, call: Call) -> Duty {
        self.idle_s = 0.0;
        if call.by_button {
            self.button_s = 0.3;
            return Duty::React { left_s: 0.25, call: Call { by_button: false, ..call } };
        }
        if call.touch {
            self.hands.touch(&view, &mut self.rng);
            return Duty::Touch { left_s: call.lasts_s, call };
        }
        self.hands.take(&view, &mut self.rng);
        Duty::Fly { call, flown_s: 0.0, steady_s: 0.0 }
    }

    /// The model is level: what the box waits for says what is left to do.
    fn finish(&mut self, call: Call, waiting: Option<Waiting>) -> Duty {
        match waiting {
            Some(Waiting::Latch | Waiting::SwitchOffFirst) => {
                self.switch = false;
                Duty::Clear { call, left_s: self.rng.between(0.4, 0.9) }
            }
            _ if self.switch => Duty::Offer { call, offered_s: 0.0 },
            _ => {
                self.switch = true;
                Duty::Offer { call, offered_s: 0.0 }
            }
        }
    }
}
