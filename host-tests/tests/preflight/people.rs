//! Two people at a bench: they hear what is asked for, and after a moment they do it.

use handback::preflight::{Action, End, Side};
use handback_host_tests::Random;

use crate::transmitter::Transmitter;

/// What they do to switch and button, and when, in seconds from now.
#[derive(Clone, Debug, Default)]
pub(crate) struct Desk {
    pub(crate) switch: bool,
    pub(crate) button: bool,
    /// What is still to be done: after so many seconds this.
    plan: Vec<(f64, Deed)>,
}

#[derive(Clone, Copy, Debug)]
enum Deed {
    Switch(bool),
    Button(bool),
    Student(bool),
    /// A stick of this side to this place at this speed.
    Stick(Side, usize, f64, f64),
}

impl Desk {
    /// A step is asked for.
    pub(crate) fn hear<const N: usize>(
        &mut self,
        step: Action,
        engages: &[f64; N],
        student: &Transmitter<N>,
        instructor: &Transmitter<N>,
        random: &mut Random,
    ) {
        let at = random.between(0.15, 0.6);
        let later = at + random.between(0.2, 0.5);
        let mut plan = Vec::new();
        let back = |side: Side, axis: u8| {
            let stick = &if side == Side::Student { student } else { instructor }.sticks[usize::from(axis)];
            if stick.unsprung { stick.rest } else { 0.0 }
        };
        match step {
            Action::Move { side, axis, end } => {
                let speed =
                    if side == Side::Student { random.between(150.0, 500.0) } else { random.between(60.0, 200.0) };
                let end = if end == End::Positive { 100.0 } else { -100.0 };
                plan.push((at, Deed::Stick(side, axis.into(), end, speed)));
            }
            Action::Return { side, axis } => {
                plan.push((at, Deed::Stick(side, axis.into(), back(side, axis), random.between(100.0, 800.0))));
            }
            Action::HandBack { axis } => {
                let back = back(Side::Instructor, axis);
                plan.push((at, Deed::Stick(Side::Instructor, axis.into(), back, random.between(100.0, 800.0))));
            }
            Action::TakeOver { axis } => {
                let rest = back(Side::Instructor, axis);
                // Enough for a stick whose throw is short and whose centre is off the other way.
                let nudge = 2.0 * engages[usize::from(axis)] + 8.0 + random.between(0.0, 10.0);
                let to = if rest > 0.0 { rest - nudge } else { rest + nudge };
                plan.push((at, Deed::Stick(Side::Instructor, axis.into(), to, random.between(40.0, 120.0))));
            }
            Action::HandOver => plan.push((at, Deed::Switch(true))),
            Action::Again { .. } => plan.extend([(at, Deed::Switch(false)), (later, Deed::Switch(true))]),
            Action::Finish => plan.push((at, Deed::Switch(false))),
            Action::LinkOff => plan.push((at, Deed::Student(false))),
            Action::LinkOn => plan.push((at, Deed::Student(true))),
            Action::Press => plan.extend([(at, Deed::Button(true)), (later, Deed::Button(false))]),
            Action::Start | Action::Done => {}
        }
        // Contacts bounce.
        let bounces = plan.iter().filter_map(|&(at, deed)| match deed {
            Deed::Switch(on) => Some([(at + 0.004, Deed::Switch(!on)), (at + 0.009, Deed::Switch(on))]),
            _ => None,
        });
        let bounces: Vec<_> = bounces.flatten().collect();
        plan.extend(bounces);
        plan.sort_by(|a, b| a.0.total_cmp(&b.0));
        self.plan = plan;
    }

    /// Time goes by.
    pub(crate) fn pass<const N: usize>(
        &mut self,
        seconds: f64,
        student: &mut Transmitter<N>,
        instructor: &mut Transmitter<N>,
    ) {
        for (at, _) in &mut self.plan {
            *at -= seconds;
        }
        while let Some(&(at, deed)) = self.plan.first()
            && at <= 0.0
        {
            self.plan.remove(0);
            match deed {
                Deed::Switch(on) => self.switch = on,
                Deed::Button(on) => self.button = on,
                Deed::Student(on) => student.on = on,
                Deed::Stick(side, axis, to, speed) => {
                    let stick = &mut if side == Side::Student { &mut *student } else { &mut *instructor }.sticks[axis];
                    (stick.target, stick.speed) = (to, speed);
                }
            }
        }
    }
}
