//! A pilot with two sticks who does as the guide says, and sticks that do as sticks do.

use handback::calibrate::{Calibration, CalibrationProgress, Prompt};
use handback::{AxisSet, Micros, Pulse};

use crate::gimbal::{Colour, Gimbal, pulse};

/// Sticks: aileron, elevator, throttle (no spring) and rudder.
pub(crate) const SPRUNG: AxisSet = AxisSet::of(&[0, 1, 3]);

/// One axis of the sticks, in microseconds.
pub(crate) struct Stick {
    /// Where up, or right, is; where it rests, and the other end.
    pub(crate) top: f64,
    pub(crate) rest: f64,
    pub(crate) bottom: f64,
    /// How far past its centre it swings when it is let go, and how far from it it stays.
    pub(crate) swings: f64,
    pub(crate) stays: f64,
    /// Frames of a sweep from end to end.
    pub(crate) sweep: u32,
    pub(crate) noise: Gimbal,
    /// The corner that it was in last.
    corner: f64,
}

impl Stick {
    pub(crate) fn new(seed: u64, [top, rest, bottom]: [f64; 3]) -> Self {
        let noise = Gimbal::new(seed, Colour::White, 0.2, (0.0, 1.0));
        Self { top, rest, bottom, swings: 0.0, stays: 0.0, sweep: 25, noise, corner: rest }
    }

    /// Where it is in this step, so many frames after its beginning.
    fn moved(&mut self, step: Prompt, frame: u32, sprung: bool) -> f64 {
        match step {
            Prompt::HandsOff => self.rest,
            Prompt::TopRight => {
                self.corner = self.top;
                between(self.rest, self.top, frame, 10)
            }
            Prompt::BottomLeft => {
                self.corner = self.bottom;
                between(if sprung { self.rest } else { self.top }, self.bottom, frame, 10)
            }
            // Home in five frames, five frames on the other side, and there.
            Prompt::LetGo if sprung => match frame {
                0..=5 => between(self.corner, self.rest, frame, 5),
                6..=10 => self.rest + self.swings * (self.rest - self.corner).signum(),
                _ => self.rest + self.stays,
            },
            Prompt::LetGo | Prompt::Done => self.corner,
            Prompt::Stir => swept([self.bottom, self.top], frame, self.sweep),
        }
    }
}

/// From end to end and back, again and again.
pub(crate) fn swept([from, to]: [f64; 2], frame: u32, sweep: u32) -> f64 {
    let (way, back) = (frame % sweep, frame / sweep % 2 == 1);
    between(from, to, if back { sweep - way } else { way }, sweep)
}

/// On the way, and then there.
fn between(from: f64, to: f64, frame: u32, frames: u32) -> f64 {
    from + (to - from) * f64::from(frame.min(frames)) / f64::from(frames)
}

/// The pulse of so many microseconds and so many points of noise.
fn noisy(micros: f64, points: f64) -> Pulse {
    pulse((micros - 1500.0) / 5.0 + points)
}

/// Flies the sticks through the guide; what each frame said. Anything may be done to the readings on the way.
pub(crate) fn guided<const N: usize>(
    calibration: &mut Calibration<Micros, N>,
    sticks: &mut [Stick; N],
    sprung: AxisSet,
    frames: u32,
    mut disturb: impl FnMut(u32, Prompt, &mut [Pulse; N]),
) -> Vec<CalibrationProgress> {
    let (mut step, mut since) = (calibration.step(), 0);
    (0..frames)
        .map(|n| {
            let mut readings = [Pulse::MIN; N];
            for ((axis, stick), reading) in (0..).zip(sticks.iter_mut()).zip(&mut readings) {
                let at = stick.moved(step, since, sprung.contains(axis));
                *reading = noisy(at, stick.noise.points());
            }
            disturb(n, step, &mut readings);
            let progress = calibration.take(&readings);
            since = if progress.step == step { since + 1 } else { 0 };
            step = progress.step;
            progress
        })
        .collect()
}
