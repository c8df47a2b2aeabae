//! A simulated bench: two transmitters with sticks that move as fast as a hand. Units are points and seconds.

use handback::preflight::{Action, Side};
use handback::{CheckedPolicy, Deflection, Frame, Rest};
use seeded::Random;

use super::people::People;
use crate::row::Row;

/// Time from row to row, in microseconds: 50 rows a second.
const STEP_US: u64 = 20_000;
const DT: f64 = 0.02;
/// The time after which people give up waiting for the check to begin, in microseconds.
const BEGINS_BY_US: u64 = 10_000_000;
/// The peak of the noise, in points.
const NOISE: f64 = 0.3;
/// A rest this far out or further, in points, is that of a stick that stays where it is left.
const PARKED: f64 = 50.0;
/// Random number streams; a lesson uses others.
const STREAMS: [u64; 2] = [101, 102];

/// One stick: its position, and the conversion to a reading.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Stick {
    pub(crate) at: f64,
    /// The place to which a hand moves it; `speed` is in points per second.
    pub(crate) target: f64,
    pub(crate) speed: f64,
    /// Its place when no step needs it.
    pub(crate) home: f64,
    /// The reading of its axis with the stick in the middle.
    centre: f64,
    /// A movement that is more than enough for a takeover.
    pub(crate) nudge: f64,
    pub(crate) axis: usize,
    pub(crate) reversed: bool,
    pub(crate) off: f64,
    pub(crate) throw: f64,
    pub(crate) dead: bool,
}

/// The sticks of one side.
#[derive(Clone, Debug)]
pub(crate) struct Transmitter<const N: usize> {
    pub(crate) sticks: [Stick; N],
    pub(crate) on: bool,
    /// Its receiver repeats the last frame while the transmitter is off.
    pub(crate) repeats: bool,
    last: Option<Frame<N>>,
}

/// The bench and the people at it.
#[derive(Clone, Debug)]
pub(crate) struct Bench<const N: usize> {
    student: Transmitter<N>,
    instructor: Transmitter<N>,
    people: People,
    noise: Random,
    time_us: u64,
}

impl<const N: usize> Bench<N> {
    pub(crate) fn new(policy: &CheckedPolicy<N>, seed: u64) -> Self {
        let sticks = policy.policy().axes.map(|rule| {
            let rest = match rule.rest {
                Rest::At(rest) => points(rest),
                Rest::WhereLeft { .. } => points(rule.failsafe),
            };
            let stays = rest.abs() >= PARKED || matches!(rule.rest, Rest::WhereLeft { .. });
            let (home, centre) = if stays { (rest, 0.0) } else { (0.0, rest) };
            let nudge = 2.0 * points(rule.engage) + 8.0;
            Stick {
                at: home,
                target: home,
                speed: 0.0,
                home,
                centre,
                nudge,
                axis: 0,
                reversed: false,
                off: 0.0,
                throw: 1.0,
                dead: false,
            }
        });
        let mut numbers = 0..;
        let sticks = sticks.map(|stick| Stick { axis: numbers.next().unwrap_or_default(), ..stick });
        let transmitter = Transmitter { sticks, on: true, repeats: false, last: None };
        Self {
            student: transmitter.clone(),
            instructor: transmitter,
            people: People::new(Random::stream(seed, STREAMS[0])),
            noise: Random::stream(seed, STREAMS[1]),
            time_us: 0,
        }
    }

    pub(crate) fn transmitter(&mut self, side: Side) -> &mut Transmitter<N> {
        match side {
            Side::Student => &mut self.student,
            Side::Instructor => &mut self.instructor,
        }
    }

    /// Tells the people which step begins.
    pub(crate) fn hear(&mut self, step: Action) {
        let homes = self.instructor.sticks.map(|stick| (stick.home, stick.nudge));
        self.people.hear(step, &homes);
    }

    /// The next row; `None` when the check is over, or where it does not begin.
    pub(crate) fn next(&mut self, asked: Action) -> Option<Row<N>> {
        if asked == Action::Done || (asked == Action::Start && self.time_us > BEGINS_BY_US) {
            return None;
        }
        for deed in self.people.pass(DT) {
            deed.stick(&mut self.student, &mut self.instructor);
        }
        let row = Row {
            time_us: self.time_us,
            instructor: self.instructor.pass(&mut self.noise),
            student: self.student.pass(&mut self.noise),
            lesson_switch: self.people.switch,
            instructor_now: self.people.button,
        };
        self.time_us += STEP_US;
        Some(row)
    }
}

impl<const N: usize> Transmitter<N> {
    /// Moves the sticks for one row, and returns the frame of the receiver; `None` while the transmitter is off, unless
    /// the receiver repeats.
    fn pass(&mut self, noise: &mut Random) -> Option<Frame<N>> {
        let mut axes = [Deflection::CENTRE; N];
        for stick in &mut self.sticks {
            let way = stick.speed * DT;
            stick.at += (stick.target - stick.at).clamp(-way, way);
            let turned = if stick.reversed { -stick.at } else { stick.at };
            let value = if stick.dead { stick.home } else { turned * stick.throw + stick.off };
            let value = stick.centre + value + noise.between(-NOISE, NOISE);
            #[allow(clippy::cast_possible_truncation)] // rounded; it saturates
            let centipoints = (value * 100.0).round() as i32;
            axes[stick.axis] = Deflection::from_centipoints(centipoints);
        }
        if self.on {
            self.last = Some(Frame::new(axes));
        }
        self.last.filter(|_| self.on || self.repeats)
    }
}

fn points(deflection: Deflection) -> f64 {
    f64::from(deflection.to_bits()) * 100.0 / f64::from(Deflection::FULL.to_bits())
}
