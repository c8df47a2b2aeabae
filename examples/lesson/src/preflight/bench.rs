//! A simulated bench: two transmitters with sticks that move as fast as a hand does. In points and seconds.

use handback::preflight::{Action, Side};
use handback::{CheckedPolicy, Deflection, Frame, Rest};

use super::people::People;
use crate::row::Row;
use crate::scenario::rng::Rng;

/// From row to row: 50 a second.
const STEP_US: u64 = 20_000;
const DT: f64 = 0.02;
/// How long people wait for a check that does not begin.
const BEGINS_BY_US: u64 = 10_000_000;
/// The peak of the noise.
const NOISE: f64 = 0.3;
/// A rest further out than this is that of a stick without a spring.
const PARKED: f64 = 50.0;
/// Streams of chance, apart from those of a lesson.
const STREAMS: [u64; 2] = [101, 102];

/// One stick: where it is, and how it becomes a number.
#[derive(Clone, Copy, Debug)]
pub(super) struct Stick {
    pub(super) at: f64,
    /// Where the hand is moving it, at so many points a second.
    pub(super) target: f64,
    pub(super) speed: f64,
    /// Where it stays when nobody asks for it, as a stick.
    pub(super) home: f64,
    /// What its axis reads with the stick in the middle.
    centre: f64,
    /// A takeover, with something over.
    pub(super) nudge: f64,
    pub(super) axis: usize,
    pub(super) reversed: bool,
    pub(super) off: f64,
    pub(super) throw: f64,
    pub(super) dead: bool,
}

/// The sticks of one side.
#[derive(Clone, Debug)]
pub(super) struct Transmitter<const N: usize> {
    pub(super) sticks: [Stick; N],
    pub(super) on: bool,
}

/// The bench and whoever stands at it.
#[derive(Clone, Debug)]
pub(super) struct Bench<const N: usize> {
    student: Transmitter<N>,
    instructor: Transmitter<N>,
    people: People,
    noise: Rng,
    time_us: u64,
}

impl<const N: usize> Bench<N> {
    pub(super) fn new(policy: &CheckedPolicy<N>, seed: u64) -> Self {
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
        let transmitter = Transmitter { sticks, on: true };
        Self {
            student: transmitter.clone(),
            instructor: transmitter,
            people: People::new(Rng::new(seed, STREAMS[0])),
            noise: Rng::new(seed, STREAMS[1]),
            time_us: 0,
        }
    }

    pub(super) fn transmitter(&mut self, side: Side) -> &mut Transmitter<N> {
        match side {
            Side::Student => &mut self.student,
            Side::Instructor => &mut self.instructor,
        }
    }

    /// A step begins: people hear it.
    pub(super) fn hear(&mut self, step: Action) {
        let homes = self.instructor.sticks.map(|stick| (stick.home, stick.nudge));
        self.people.hear(step, &homes);
    }

    /// The next row; `None` once the check is through, or does not begin.
    pub(super) fn next(&mut self, asked: Action) -> Option<Row<N>> {
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
    /// Time goes by, and a frame goes out.
    fn pass(&mut self, noise: &mut Rng) -> Option<Frame<N>> {
        let mut axes = [Deflection::CENTRE; N];
        for stick in &mut self.sticks {
            let way = stick.speed * DT;
            stick.at += (stick.target - stick.at).clamp(-way, way);
            let turned = if stick.reversed { -stick.at } else { stick.at };
            let value = if stick.dead { stick.home } else { turned * stick.throw + stick.off };
            let value = stick.centre + value + noise.between(-NOISE, NOISE);
            #[allow(clippy::cast_possible_truncation)] // rounded; what is out of range saturates
            let centipoints = (value * 100.0).round() as i32;
            axes[stick.axis] = Deflection::from_centipoints(centipoints);
        }
        self.on.then_some(Frame::new(axes))
    }
}

fn points(deflection: Deflection) -> f64 {
    f64::from(deflection.to_bits()) * 100.0 / f64::from(Deflection::FULL.to_bits())
}
