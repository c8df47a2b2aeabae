//! A pilot with two sticks who follows the guide, and how the sticks move.

use handback::calibrate::{Calibration, CalibrationProgress, Prompt};
use handback::{AxisSet, Micros, Pulse};

use crate::gimbal::{Colour, Gimbal, pulse};

/// Sticks: aileron, elevator, throttle (no spring) and rudder.
pub(crate) const SPRUNG: AxisSet = AxisSet::of(&[0, 1, 3]);

/// One axis of the sticks, in microseconds.
pub(crate) struct Stick {
    /// The end that is up or right, the rest, and the other end.
    pub(crate) top: f64,
    pub(crate) rest: f64,
    pub(crate) bottom: f64,
    /// The overshoot past its centre when it is let go, and the offset at which it comes to rest.
    pub(crate) swings: f64,
    pub(crate) stays: f64,
    /// Frames of a sweep from end to end.
    pub(crate) sweep: u32,
    pub(crate) noise: Gimbal,
    /// The last corner that it was moved to.
    corner: f64,
}

impl Stick {
    pub(crate) fn new(seed: u64, [top, rest, bottom]: [f64; 3]) -> Self {
        let noise = Gimbal::new(seed, Colour::White, 0.2, (0.0, 1.0));
        Self { top, rest, bottom, swings: 0.0, stays: 0.0, sweep: 25, noise, corner: rest }
    }

    /// Its position in this step, `frame` frames after the step began.
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
            // Back at the centre in five frames, five frames on the other side, then at rest.
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

/// A sweep from end to end and back, repeated.
pub(crate) fn swept([from, to]: [f64; 2], frame: u32, sweep: u32) -> f64 {
    let (way, back) = (frame % sweep, frame / sweep % 2 == 1);
    between(from, to, if back { sweep - way } else { way }, sweep)
}

/// A move that takes `frames` frames and then stays at its end.
fn between(from: f64, to: f64, frame: u32, frames: u32) -> f64 {
    from + (to - from) * f64::from(frame.min(frames)) / f64::from(frames)
}

/// The pulse of a position in microseconds with noise in points.
fn noisy(micros: f64, points: f64) -> Pulse {
    pulse((micros - 1500.0) / 5.0 + points)
}

/// Moves the sticks through the guide and returns the progress of each frame. `disturb` may change the readings.
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
