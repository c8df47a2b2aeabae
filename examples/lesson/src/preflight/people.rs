//! Two people who hear each step and carry it out after a moment.

use handback::preflight::{Action, End, Side};
use seeded::Random;

use super::bench::Transmitter;

/// Both people, with the instructor's switch and button.
#[derive(Clone, Debug)]
pub(crate) struct People {
    pub(crate) switch: bool,
    pub(crate) button: bool,
    /// The remaining actions, each with the seconds until it.
    plan: Vec<(f64, Deed)>,
    rng: Random,
}

/// An action of a hand.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Deed {
    Switch(bool),
    Button(bool),
    /// Turns the student's transmitter on or off.
    Link(bool),
    /// Moves a stick of one side: axis, place in points, and speed in points per second.
    Stick(Side, usize, f64, f64),
}

impl Deed {
    /// Carries out an action on a transmitter.
    pub(crate) fn stick<const N: usize>(self, student: &mut Transmitter<N>, instructor: &mut Transmitter<N>) {
        match self {
            Self::Link(on) => student.on = on,
            Self::Stick(side, axis, target, speed) => {
                let transmitter = if side == Side::Student { student } else { instructor };
                (transmitter.sticks[axis].target, transmitter.sticks[axis].speed) = (target, speed);
            }
            Self::Switch(_) | Self::Button(_) => {}
        }
    }
}

impl People {
    pub(crate) fn new(rng: Random) -> Self {
        Self { switch: false, button: false, plan: Vec::new(), rng }
    }

    /// Plans the actions of a step. `homes` holds the place of each stick and the distance that a takeover moves it.
    pub(crate) fn hear(&mut self, step: Action, homes: &[(f64, f64)]) {
        let at = self.rng.between(0.2, 0.6);
        let later = at + self.rng.between(0.2, 0.5);
        let (student, slow, back) =
            (self.rng.between(150.0, 500.0), self.rng.between(60.0, 200.0), self.rng.between(100.0, 800.0));
        let home = |axis: u8| homes[usize::from(axis)];
        self.plan = match step {
            Action::Move { side, axis, end } => {
                let end = if end == End::Positive { 100.0 } else { -100.0 };
                let speed = if side == Side::Student { student } else { slow };
                vec![(at, Deed::Stick(side, axis.into(), end, speed))]
            }
            Action::Return { side, axis } => vec![(at, Deed::Stick(side, axis.into(), home(axis).0, back))],
            Action::HandBack { axis } => vec![(at, Deed::Stick(Side::Instructor, axis.into(), home(axis).0, back))],
            Action::TakeOver { axis } => {
                let (home, nudge) = home(axis);
                let to = if home > 0.0 { home - nudge } else { home + nudge };
                vec![(at, Deed::Stick(Side::Instructor, axis.into(), to, slow))]
            }
            Action::HandOver => vec![(at, Deed::Switch(true))],
            Action::Again { .. } => vec![(at, Deed::Switch(false)), (later, Deed::Switch(true))],
            Action::Finish => vec![(at, Deed::Switch(false))],
            Action::LinkOff => vec![(at, Deed::Link(false))],
            Action::LinkOn => vec![(at, Deed::Link(true))],
            Action::Press => vec![(at, Deed::Button(true)), (later, Deed::Button(false))],
            Action::Start | Action::Done => Vec::new(),
        };
    }

    /// Lets time pass, and returns the actions that are due.
    pub(crate) fn pass(&mut self, seconds: f64) -> Vec<Deed> {
        for (at, _) in &mut self.plan {
            *at -= seconds;
        }
        let due: Vec<_> = self.plan.extract_if(.., |(at, _)| *at <= 0.0).map(|(_, deed)| deed).collect();
        for deed in &due {
            match *deed {
                Deed::Switch(on) => self.switch = on,
                Deed::Button(pressed) => self.button = pressed,
                Deed::Link(_) | Deed::Stick(..) => {}
            }
        }
        due
    }
}
