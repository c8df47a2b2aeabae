//! Simulated sticks, seeded: the recordings of this project's own box, and those of the tests.

use std::fmt::Write;

use seeded::Random;

/// Frames a second.
const RATE: u32 = 50;

/// The noise of a stick, in microseconds.
#[derive(Clone, Copy)]
pub(crate) enum Noise {
    /// White noise of this deviation.
    White(f64),
    /// Noise of this deviation whose correlation falls by a factor of e in this many frames.
    Slow(f64, f64),
}

/// One stick of a transmitter.
#[derive(Clone, Copy)]
pub(crate) struct Stick {
    pub(crate) name: &'static str,
    /// Where it rests, in microseconds.
    pub(crate) rest: f64,
    pub(crate) noise: Noise,
    /// How far its rest moves while it warms up, in microseconds.
    pub(crate) warms: f64,
    /// Whether it has a spring, and how far off its rest friction leaves it, in microseconds.
    pub(crate) spring: Option<f64>,
}

/// The transmitter of the page: a good aileron, a noisy elevator, a throttle without a spring, and a rudder whose
/// potentiometer is worn.
pub(crate) const BOX: [Stick; 4] = [
    Stick { name: "aileron", rest: 1507.0, noise: Noise::White(1.2), warms: 0.0, spring: Some(1.5) },
    Stick { name: "elevator", rest: 1489.0, noise: Noise::White(1.9), warms: 0.0, spring: Some(2.0) },
    Stick { name: "throttle", rest: 1322.0, noise: Noise::White(1.4), warms: 1.0, spring: None },
    Stick { name: "rudder", rest: 1502.0, noise: Noise::Slow(1.25, 3.0), warms: 0.0, spring: Some(2.0) },
];

/// A rest recording: these sticks for `frames` frames with hands off.
pub(crate) fn rest(seed: u64, sticks: &[Stick], frames: u32) -> String {
    let mut shivers = sticks.iter().zip(seed..).map(|(stick, seed)| Shiver::new(seed, stick.noise)).collect::<Vec<_>>();
    table(sticks, frames, |frame, axis| {
        let stick = &sticks[axis];
        let warmth = 1.0 - libm::exp(-f64::from(frame) / f64::from(60 * RATE));
        stick.rest + stick.warms * warmth + shivers[axis].next()
    })
}

/// The same sticks swept from end to end ten times, then let go from either end, twice.
pub(crate) fn sweeps(seed: u64, sticks: &[Stick]) -> String {
    const SWEEP: u32 = RATE * 6 / 10;
    const SWEEPS: u32 = 10;
    const HELD: u32 = RATE;
    const LET_GO: u32 = 3 * RATE;
    let mut shivers = sticks.iter().zip(seed..).map(|(stick, seed)| Shiver::new(seed, stick.noise)).collect::<Vec<_>>();
    let frames = SWEEPS * SWEEP + 4 * (HELD + LET_GO);
    table(sticks, frames, |frame, axis| {
        let stick = &sticks[axis];
        let end = |up: bool| if up { 1960.0 } else { 1040.0 };
        let at = if frame < SWEEPS * SWEEP {
            // A hand is slow at the ends and fast in the middle.
            let way = f64::from(frame % SWEEP) / f64::from(SWEEP);
            let eased = 0.5 - 0.5 * libm::cos(std::f64::consts::PI * way);
            let up = (frame / SWEEP).is_multiple_of(2);
            end(!up) + (end(up) - end(!up)) * eased
        } else {
            let since = (frame - SWEEPS * SWEEP) % (HELD + LET_GO);
            let up = (frame - SWEEPS * SWEEP) / (HELD + LET_GO) % 2 == 1;
            match stick.spring {
                Some(off) if since >= HELD => {
                    let home = stick.rest + if up { off } else { -off };
                    home + (end(up) - home) * sprung_home(f64::from(since - HELD) / f64::from(RATE))
                }
                _ => end(up),
            }
        };
        at + shivers[axis].next()
    })
}

/// The distance of a released spring from its rest: a damped oscillation that overshoots by a tenth.
fn sprung_home(seconds: f64) -> f64 {
    let (swing, damping) = (30.0, 0.6);
    let slower = swing * f64::sqrt(1.0 - damping * damping);
    let turned = slower * seconds;
    libm::exp(-damping * swing * seconds) * (libm::cos(turned) + damping * swing / slower * libm::sin(turned))
}

/// A table of pulse widths in whole microseconds, as the timer of a receiver gives them.
fn table(sticks: &[Stick], frames: u32, mut at: impl FnMut(u32, usize) -> f64) -> String {
    let mut text = "time_s".to_owned();
    for stick in sticks {
        write!(text, ",us:{}", stick.name).unwrap();
    }
    for frame in 0..frames {
        let hundredths = frame * 100 / RATE;
        write!(text, "\n{}.{:02}", hundredths / 100, hundredths % 100).unwrap();
        for axis in 0..sticks.len() {
            write!(text, ",{:.0}", at(frame, axis)).unwrap();
        }
    }
    text + "\n"
}

/// The noise of one stick.
struct Shiver {
    noise: Noise,
    random: Random,
    last: f64,
}

impl Shiver {
    fn new(seed: u64, noise: Noise) -> Self {
        Self { noise, random: Random::new(seed.wrapping_mul(0xD1B5_4A32_D192_ED03)), last: 0.0 }
    }

    fn next(&mut self) -> f64 {
        // The committed recordings have only the first number of each pair.
        let [fresh, _] = self.random.normal_pair();
        match self.noise {
            Noise::White(deviation) => fresh * deviation,
            Noise::Slow(deviation, frames) => {
                let keep = libm::exp(-1.0 / frames);
                self.last = self.last * keep + fresh * f64::sqrt(1.0 - keep * keep);
                self.last * deviation
            }
        }
    }
}
