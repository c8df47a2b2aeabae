//! The student of the helicopter: hovers over a spot, acts on what was, does too much of it, and makes mistakes.

use handback::Frame;
use seeded::Random;

use super::eyes::Eyes;
use super::frame;
use super::habit::{Habit, Slips, Told};
use super::helicopter::HoverView;
use super::stick::Stick;

/// The height that the student was told to keep, in metres.
pub(crate) const HEIGHT: f64 = 6.0;
const ROLL: usize = 0;
const PITCH: usize = 1;
const COLLECTIVE: usize = 2;
const YAW: usize = 3;
/// How fast a student's hand is, 1/s.
const HAND: f64 = 14.0;
/// How far the student leans the model towards the spot, in radians: for each metre from it, and each metre per second.
const LEAN: (f64, f64) = (0.02, 0.075);

/// Somebody who learns to hover.
#[derive(Clone, Debug)]
pub(crate) struct HoverStudent {
    eyes: Eyes<HoverView>,
    sticks: [Stick; 4],
    habit: Habit,
    slips: Slips<Slip>,
    correction_in: f64,
    told: Told,
    rng: Random,
    dt: f64,
}

/// What a beginner does wrong.
#[derive(Clone, Copy, Debug)]
enum Slip {
    /// Leans to a side and stays there.
    Drifts(f64),
    /// Pulls the collective.
    Climbs,
    /// Turns the nose towards himself, and then takes left for right.
    TurnsNoseIn(f64),
}

impl Slip {
    fn words(self) -> &'static str {
        match self {
            Self::Drifts(_) => "drifts away sideways",
            Self::Climbs => "pulls the collective",
            Self::TurnsNoseIn(_) => "turns the nose in and takes left for right",
        }
    }
}

impl HoverStudent {
    pub(crate) fn new(view: HoverView, sticks: [Stick; 4], habit: Habit, rng: Random, dt: f64) -> Self {
        Self {
            eyes: Eyes::new(view, dt),
            sticks,
            habit,
            slips: Slips::first_in(f64::INFINITY),
            correction_in: 0.0,
            told: Told::NOT_FLYING,
            rng,
            dt,
        }
    }

    /// The mistake that the hands are making, in words.
    pub(crate) fn mistake(&self) -> Option<&'static str> {
        self.slips.acting().map(Slip::words)
    }

    /// One frame later: the student's sticks, given the model and whether the student has any of it.
    pub(crate) fn step(&mut self, view: HoverView, flies: bool) -> Frame<4> {
        self.eyes.look(view);
        match self.told.listen(flies, &mut self.rng, self.dt) {
            Some(true) => {
                self.slips.end();
                self.slips.next_in(self.habit.first_slip_in(&mut self.rng));
            }
            Some(false) => self.let_go(),
            None => {}
        }
        self.end_drilled(flies);
        if self.told.flying {
            if flies || self.habit == Habit::ByChance {
                self.err();
            }
            self.correction_in -= self.dt;
            if self.correction_in <= 0.0 {
                self.correction_in = self.rng.between(0.15, 0.3);
                self.correct();
            }
        }
        frame(&mut self.sticks)
    }

    /// In the drill a mistake ends with the takeover, however late the student notices that.
    fn end_drilled(&mut self, flies: bool) {
        if self.habit == Habit::Drill && !flies && self.slips.acting().is_some() {
            self.slips.end();
            self.slips.next_in(self.habit.first_slip_in(&mut self.rng));
            self.correction_in = 0.0;
        }
    }

    fn let_go(&mut self) {
        self.slips.end();
        for axis in [ROLL, PITCH, YAW] {
            self.sticks[axis].let_go();
        }
        // The collective stays where a hand puts it: about the hover.
        self.sticks[COLLECTIVE].steer(self.rng.between(-5.0, 5.0), HAND);
    }

    /// Chooses a slip when one is to begin.
    fn err(&mut self) {
        if self.habit == Habit::Drill && !is_steady(&self.eyes.ago(0.0)) {
            self.slips.put_off(self.dt);
        }
        if !self.slips.is_due(&mut self.rng, self.dt) {
            return;
        }
        let side = self.rng.sign();
        let (slip, lasts_s) = match (self.habit, self.rng.unit()) {
            (Habit::Drill, x) => (if x < 0.7 { Slip::Drifts(side) } else { Slip::Climbs }, f64::INFINITY),
            (Habit::ByChance, x) if x < 0.4 => (Slip::Drifts(side), self.rng.between(0.8, 1.6)),
            (Habit::ByChance, x) if x < 0.65 => (Slip::Climbs, self.rng.between(1.5, 3.0)),
            (Habit::ByChance, _) => (Slip::TurnsNoseIn(side), self.rng.between(4.0, 7.0)),
        };
        self.slips.begin(slip, lasts_s);
        if self.habit == Habit::Drill {
            self.correction_in = 0.0;
        }
    }

    /// A correction: what was seen 0.2 to 0.35 s ago, answered too strongly, and kept until the next one.
    fn correct(&mut self) {
        let late = self.rng.between(0.2, 0.35);
        let seen = self.eyes.ago(late);
        let zeal = self.habit.zeal(&mut self.rng);
        let acting = self.slips.act();
        // Whoever takes left for right flies as if the tail were still towards him.
        let heading = if let Some(Slip::TurnsNoseIn(_)) = acting { 0.0 } else { seen.heading };
        let [bank, pitch] = leans(&seen, heading);
        let mut aim = [
            zeal * 55.0 * (bank - seen.bank),
            zeal * 55.0 * (pitch - seen.pitch),
            zeal * (8.0 * (HEIGHT - seen.height) - 14.0 * seen.climb),
            zeal * -40.0 * seen.heading,
        ];
        match acting {
            Some(Slip::Drifts(side)) => aim[ROLL] = 55.0 * side,
            Some(Slip::Climbs) => aim[COLLECTIVE] = 65.0,
            Some(Slip::TurnsNoseIn(side)) => {
                aim[YAW] = if side * seen.heading < 2.6 { 45.0 * side } else { 0.0 };
            }
            None => {}
        }
        for (stick, aim) in self.sticks.iter_mut().zip(aim) {
            stick.steer((aim + 1.5 * self.rng.normal()).clamp(-90.0, 90.0), HAND);
        }
    }
}

/// Bank and pitch towards the spot, of a model with this heading.
fn leans(seen: &HoverView, heading: f64) -> [f64; 2] {
    let (by_place, by_speed) = LEAN;
    let (sin, cos) = (libm::sin(heading), libm::cos(heading));
    let north = by_place * seen.north + by_speed * seen.to_north;
    let east = by_place * seen.east + by_speed * seen.to_east;
    let (ahead, right) = (north * cos + east * sin, east * cos - north * sin);
    [-right, ahead].map(|lean| lean.clamp(-0.3, 0.3))
}

/// Whether nobody would call it a mistake: tilted by less than 8 degrees, and rising or sinking slowly. Own choice, no
/// source.
fn is_steady(view: &HoverView) -> bool {
    view.bank.abs().max(view.pitch.abs()) < 0.14 && view.climb.abs() < 0.8
}

#[cfg(test)]
mod tests {
    use super::super::helicopter::Helicopter;
    use super::super::limits::HoverLimits;
    use super::*;
    use crate::scenario::fraction;

    const DT: f64 = 0.02;

    /// Flies for this long, or until a limit is passed: the time, the limit and the mistake.
    fn hover(seed: u64, habit: Habit, seconds: f64) -> (f64, Option<&'static str>, Option<&'static str>) {
        let mut helicopter = Helicopter::hovering(HEIGHT, 1.0, Random::stream(seed, 1), DT);
        let sticks = core::array::from_fn(|axis| {
            let [make, life] = [10, 20].map(|of| Random::stream(seed, of + axis as u64));
            if axis == COLLECTIVE { Stick::unsprung(make, life, 0.0, DT) } else { Stick::sprung(make, life, DT) }
        });
        let mut student = HoverStudent::new(helicopter.view(), sticks, habit, Random::stream(seed, 2), DT);
        let limits = HoverLimits::of(&mut Random::stream(seed, 3));
        let mut time = 0.0;
        while time < seconds {
            let frame = student.step(helicopter.view(), true);
            helicopter.fly(frame.axes().map(fraction), DT);
            time += DT;
            if let Some(limit) = limits.passed(&helicopter.view()) {
                return (time, Some(limit), student.mistake());
            }
        }
        (time, None, student.mistake())
    }

    #[test]
    fn in_the_drill_it_hovers_until_its_mistake_and_past_a_limit() {
        let mut limits = std::collections::BTreeSet::new();
        for seed in 0..60 {
            let (time, limit, mistake) = hover(seed, Habit::Drill, 20.0);
            assert!((4.5..14.0).contains(&time) && mistake.is_some(), "seed {seed}: {time} s, {limit:?}, {mistake:?}");
            limits.extend(limit);
        }
        assert!(limits.len() >= 2, "{limits:?}");
    }

    #[test]
    fn a_beginner_by_chance_passes_limits_by_every_slip() {
        let mut mistakes = std::collections::BTreeMap::<_, u32>::new();
        for seed in 0..200 {
            *mistakes.entry(hover(seed, Habit::ByChance, 60.0).2).or_default() += 1;
        }
        let all = [Slip::Drifts(1.0), Slip::Climbs, Slip::TurnsNoseIn(1.0)].map(|slip| Some(slip.words()));
        assert!(all.iter().all(|slip| mistakes.contains_key(slip)), "{mistakes:?}");
    }
}
