//! A transmitter: sticks that move as fast as a hand does, and what goes wrong between a stick and its axis. In points.

use handback::preflight::{Finding, Side};
use handback::{Deflection, Frame};
use handback_host_tests::Random;

/// One axis of a transmitter: the stick that a hand moves, and how it becomes a number.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Stick {
    /// Where the stick is, -100 to 100, and where the hand is moving it, at so many points a second.
    pub(crate) at: f64,
    pub(crate) target: f64,
    pub(crate) speed: f64,
    /// Where it rests, and where the policy has that.
    pub(crate) rest: f64,
    pub(crate) unsprung: bool,
    /// The axis that it moves.
    pub(crate) axis: usize,
    pub(crate) reversed: bool,
    /// How far its centre is off.
    pub(crate) off: f64,
    /// Its throw to either end, of 1.
    pub(crate) throw: [f64; 2],
    /// A stick whose channel is not read.
    pub(crate) dead: bool,
}

#[derive(Clone, Debug)]
pub(crate) struct Transmitter<const N: usize> {
    pub(crate) sticks: [Stick; N],
    pub(crate) on: bool,
    /// Peak of the noise.
    pub(crate) noise: f64,
    /// Its receiver repeats the last frame while the transmitter is off.
    pub(crate) repeats: bool,
    pub(crate) last: Option<Frame<N>>,
}

impl<const N: usize> Transmitter<N> {
    /// Time goes by.
    pub(crate) fn pass(&mut self, seconds: f64) {
        for stick in &mut self.sticks {
            let way = stick.speed * seconds;
            stick.at += (stick.target - stick.at).clamp(-way, way);
        }
    }

    /// What comes from its receiver.
    pub(crate) fn receive(&mut self, random: &mut Random) -> Option<Frame<N>> {
        if self.on {
            self.last = Some(self.frame(random));
        }
        self.last.filter(|_| self.on || self.repeats)
    }

    pub(crate) fn frame(&self, random: &mut Random) -> Frame<N> {
        let mut axes = [Deflection::CENTRE; N];
        for stick in &self.sticks {
            let throw = stick.throw[usize::from(stick.at < 0.0)];
            let turned = if stick.reversed { -1.0 } else { 1.0 } * throw * stick.at;
            let centre = if stick.unsprung { 0.0 } else { stick.rest };
            let value = if stick.dead { centre } else { centre + turned + stick.off };
            #[allow(clippy::cast_possible_truncation)] // rounded, and within the range of a stick
            let centipoints = ((value + random.between(-self.noise, self.noise)) * 100.0).round() as i32;
            axes[stick.axis] = Deflection::from_centipoints(centipoints);
        }
        Frame::new(axes)
    }
}

/// A fault between a stick and its axis.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Fault {
    Reversed(Side, usize),
    Swapped(Side, usize, usize),
    Centre(Side, usize, f64),
    Throw(Side, usize, f64),
    Dead(Side, usize),
}

impl Fault {
    pub(crate) fn inject<const N: usize>(self, student: &mut Transmitter<N>, instructor: &mut Transmitter<N>) {
        let side = match self {
            Self::Reversed(side, _)
            | Self::Swapped(side, ..)
            | Self::Centre(side, ..)
            | Self::Throw(side, ..)
            | Self::Dead(side, _) => side,
        };
        let sticks = &mut if side == Side::Student { student } else { instructor }.sticks;
        match self {
            Self::Reversed(_, axis) => sticks[axis].reversed = true,
            Self::Swapped(_, a, b) => (sticks[a].axis, sticks[b].axis) = (sticks[b].axis, sticks[a].axis),
            Self::Centre(_, axis, off) => sticks[axis].off = off,
            Self::Throw(_, axis, throw) => sticks[axis].throw = [throw; 2],
            Self::Dead(_, axis) => sticks[axis].dead = true,
        }
    }

    /// Whether this is what the finding names.
    pub(crate) fn is_named_by(self, finding: &Finding) -> bool {
        let number = |axis: u8, fault: usize| usize::from(axis) == fault;
        match (self, *finding) {
            (Self::Reversed(side, stick), Finding::Reversed { side: on, axis })
            | (Self::Dead(side, stick), Finding::DoesNotMove { side: on, axis }) => side == on && number(axis, stick),
            (Self::Swapped(side, a, b), Finding::Swapped { side: on, axis, with }) => {
                side == on && (number(axis, a) && number(with, b) || number(axis, b) && number(with, a))
            }
            (Self::Centre(side, stick, off), Finding::CentreOff { side: on, axis, by }) => {
                side == on && number(axis, stick) && (in_points(by) - off).abs() < 1.0
            }
            (Self::Throw(side, stick, throw), Finding::ThrowShort { side: on, axis, seen, .. }) => {
                side == on && number(axis, stick) && (in_points(seen) - 100.0 * throw).abs() < 3.0
            }
            _ => false,
        }
    }
}

pub(crate) fn in_points(deflection: Deflection) -> f64 {
    f64::from(deflection.to_bits()) / 163.84
}
