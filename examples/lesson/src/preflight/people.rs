//! Two people who hear what is asked for, and after a moment do it.

use handback::preflight::{Action, End, Side};

use super::bench::Transmitter;
use crate::scenario::rng::Rng;

/// Both people, and what lies at the instructor's hand.
#[derive(Clone, Debug)]
pub(super) struct People {
    pub(super) switch: bool,
    pub(super) button: bool,
    /// What is still to be done, in so many seconds.
    plan: Vec<(f64, Deed)>,
    rng: Rng,
}

/// What a hand does.
#[derive(Clone, Copy, Debug)]
pub(super) enum Deed {
    Switch(bool),
    Button(bool),
    /// The student's transmitter on or off.
    Link(bool),
    /// A stick to this place, at so many points a second.
    Stick(Side, usize, f64, f64),
}

impl Deed {
    /// Does what is done to a transmitter.
    pub(super) fn stick<const N: usize>(self, student: &mut Transmitter<N>, instructor: &mut Transmitter<N>) {
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
    pub(super) fn new(rng: Rng) -> Self {
        Self { switch: false, button: false, plan: Vec::new(), rng }
    }

    /// A step is asked for. `homes` are where each stick stays, and how far a takeover moves it.
    pub(super) fn hear(&mut self, step: Action, homes: &[(f64, f64)]) {
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

    /// Time goes by; what is done now.
    pub(super) fn pass(&mut self, seconds: f64) -> Vec<Deed> {
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
