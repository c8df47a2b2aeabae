//! The two people. The student flies; the instructor takes over now and then, and works the lesson switch.

use handback::{AxisSet, Deflection, Frame, Outcome, Policy, Rest, Waiting};
use seeded::Random;

use crate::AXES;

/// How far a stick moves in a second, in units: from end to end in 0.16 s.
const SPEED: u64 = 200_000;

/// A pair of hands on sticks that move towards where they are wanted.
#[derive(Clone, Debug)]
struct Sticks {
    at: [i32; AXES],
    to: [i32; AXES],
}

impl Sticks {
    const fn new(at: [i32; AXES]) -> Self {
        Self { at, to: at }
    }

    fn move_on(&mut self, dt: u64) {
        let way = i32::try_from(SPEED * dt.min(1_000_000) / 1_000_000).expect("small");
        for (at, to) in self.at.iter_mut().zip(self.to) {
            *at += (to - *at).clamp(-way, way);
        }
    }

    /// The sticks, each with up to this much noise.
    fn frame(&self, noise: [i32; AXES], random: &mut Random) -> Frame<AXES> {
        let mut frame = Frame::CENTRE;
        for ((axis, at), noise) in frame.axes_mut().iter_mut().zip(self.at).zip(noise) {
            *axis = deflection(at + noisy(noise, random));
        }
        frame
    }
}

fn noisy(noise: i32, random: &mut Random) -> i32 {
    if noise == 0 { 0 } else { i32::try_from(random.within(-i64::from(noise), noise.into())).expect("small") }
}

/// The deflection of this many units, saturated.
pub(crate) fn deflection(units: i32) -> Deflection {
    Deflection::from_bits(i16::try_from(units.clamp(i16::MIN.into(), i16::MAX.into())).expect("clamped"))
}

fn units(deflection: Deflection) -> i32 {
    deflection.to_bits().into()
}

/// Flies: each stick goes to a new place about once a second. Rests now and then, and matches sticks at a closed gate.
#[derive(Debug)]
pub(crate) struct Student {
    sticks: Sticks,
    rests_until: u64,
    noise: i32,
}

impl Student {
    pub(crate) fn new(random: &mut Random) -> Self {
        Self { sticks: Sticks::new([0; AXES]), rests_until: 0, noise: random.one_of(&[0, 0, 3, 20]) }
    }

    pub(crate) fn step(&mut self, now: u64, dt: u64, told: Option<&Outcome<AXES>>, random: &mut Random) -> Frame<AXES> {
        if now < self.rests_until {
            return self.sticks.frame([0; AXES], random);
        }
        if happens(dt, 8_000_000, random) {
            self.rests_until = now + random.time(200_000, 1_500_000);
        }
        for axis in 0..AXES {
            if happens(dt, 1_000_000, random) {
                self.sticks.to[axis] = to_units(random.between(-16_384.0, 16_384.0));
            }
        }
        if let Some((Waiting::Gate(axis), outcome)) = told.and_then(|told| Some((told.waiting?, told))) {
            self.sticks.to[usize::from(axis)] = units(outcome.stick.axes()[usize::from(axis)]);
        }
        self.sticks.move_on(dt);
        self.sticks.frame([self.noise; AXES], random)
    }
}

/// What the instructor does in one step.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Hands {
    pub(crate) sticks: Frame<AXES>,
    pub(crate) switch: bool,
    pub(crate) button: bool,
    /// The instructor leaves sticks, switch and button alone.
    pub(crate) idle: bool,
    /// The instructor has just had a stick beyond `plausible`.
    pub(crate) slams: bool,
}

/// Takes over now and then, and some time after a fault began; turns the switch off and on.
#[derive(Debug)]
pub(crate) struct Instructor {
    sticks: Sticks,
    noise: [i32; AXES],
    /// When faults are noticed, the last one first.
    notices: Vec<u64>,
    takes_until: Option<u64>,
    /// When the switch is turned on again.
    on_at: u64,
    button_until: u64,
    /// Since when the switch must be off to go on.
    off_wanted: Option<u64>,
    moved_at: u64,
    /// Until when a slam shows.
    slams_until: u64,
}

impl Instructor {
    pub(crate) fn new(policy: &Policy<AXES>, begins: impl Iterator<Item = u64>, random: &mut Random) -> Self {
        let rests = policy.axes.map(|rule| if let Rest::At(rest) = rule.rest { units(rest) } else { -6_000 });
        let quiet = random.chance(0.5);
        let noise = policy.axes.map(|rule| if quiet { 0 } else { units(rule.release) / 2 });
        let mut notices: Vec<u64> = begins.map(|at| at + random.time(100_000, 1_200_000)).collect();
        notices.retain(|_| random.chance(0.6));
        notices.sort_unstable_by(|a, b| b.cmp(a));
        Self {
            sticks: Sticks::new(rests),
            noise,
            notices,
            takes_until: None,
            on_at: 1_000_000,
            button_until: 0,
            off_wanted: None,
            moved_at: 0,
            slams_until: 0,
        }
    }

    pub(crate) fn step(
        &mut self,
        now: u64,
        dt: u64,
        policy: &Policy<AXES>,
        told: Option<&Outcome<AXES>>,
        random: &mut Random,
    ) -> Hands {
        self.work_switch(now, dt, policy, told, random);
        match self.takes_until {
            Some(until) if now >= until => self.let_go(policy, random),
            Some(_) => {
                // Leads a waiting output to the stick.
                if let Some(outcome) = told.filter(|_| happens(dt, 400_000, random)) {
                    for axis in outcome.pickup.iter().map(usize::from) {
                        self.sticks.to[axis] = units(outcome.output.axes()[axis]) + random.one_of(&[-300, 0, 300]);
                    }
                }
            }
            None => {
                let noticed = self.notices.pop_if(|at| *at <= now).is_some();
                if noticed || happens(dt, 7_000_000, random) {
                    self.take(now, noticed, policy, told, random);
                }
            }
        }
        self.sticks.move_on(dt);
        let moves = self.takes_until.is_some() || self.sticks.at != self.sticks.to;
        let (switch, button) = (now >= self.on_at, now < self.button_until);
        if moves || !switch || button {
            self.moved_at = now;
        }
        if self.sticks.at.iter().any(|at| at.abs() > units(policy.plausible)) {
            self.slams_until = now + 200_000;
        }
        let settled = u64::from(policy.settle.as_ticks()).min(1_000_000) + 2 * dt;
        Hands {
            sticks: self.sticks.frame(self.noise, random),
            switch,
            button,
            idle: now > self.moved_at + settled,
            slams: now < self.slams_until,
        }
    }

    fn work_switch(
        &mut self,
        now: u64,
        dt: u64,
        policy: &Policy<AXES>,
        told: Option<&Outcome<AXES>>,
        random: &mut Random,
    ) {
        if now < self.on_at {
            return;
        }
        let settle = u64::from(policy.settle.as_ticks()).min(1_000_000);
        let waiting = told.and_then(|told| told.waiting);
        let wanted = matches!(waiting, Some(Waiting::Latch | Waiting::SwitchOffFirst));
        self.off_wanted = wanted.then(|| self.off_wanted.unwrap_or(now + random.time(300_000, 1_500_000)));
        if self.off_wanted.is_some_and(|at| now >= at) {
            (self.on_at, self.off_wanted) = (now + settle + random.one_of(&[0, 20_000, 40_000, 200_000]), None);
        } else if happens(dt, 12_000_000, random) {
            self.on_at = now + random.one_of(&[10_000, settle, settle + 20_000, 400_000]);
        }
        if happens(dt, 30_000_000, random) {
            self.button_until = now + random.time(50_000, 300_000);
        }
    }

    /// Moves one stick: firmly after a fault, else anywhere about the thresholds.
    fn take(
        &mut self,
        now: u64,
        firmly: bool,
        policy: &Policy<AXES>,
        told: Option<&Outcome<AXES>>,
        random: &mut Random,
    ) {
        let watched = policy.watched | AxisSet::of(&[random.one_of(&[0, 1, 2, 3])]);
        let all: Vec<u8> = if firmly { policy.watched.iter().collect() } else { watched.iter().collect() };
        let axis = usize::from(random.one_of(&all));
        let (rule, side) = (&policy.axes[axis], random.one_of(&[-1, 1]));
        let from = if let Rest::At(rest) = rule.rest { units(rest) } else { self.sticks.at[axis] };
        let firm = units(rule.engage) + to_units(random.between(800.0, 8_000.0));
        let beyond = policy.latches.beyond.map_or(firm, units);
        let off = random.one_of(&[0, 1]);
        let aim = if firmly { 0 } else { random.below(8) };
        self.sticks.to[axis] = match aim {
            1 | 2 => from + side * (units(rule.engage) + off),
            3 => from + side * (beyond + off),
            4 => side * 31_000,
            5 => told.map_or(0, |told| units(told.output.axes()[axis])),
            6 => side * (units(policy.plausible) + off),
            // Away from the nearer end.
            _ => from + if from > 0 { -firm } else { firm },
        };
        self.takes_until = Some(now + random.time(60_000, 1_500_000));
    }

    /// Puts every stick at its rest or beside it; an unsprung stick stays where it is.
    fn let_go(&mut self, policy: &Policy<AXES>, random: &mut Random) {
        self.takes_until = None;
        for (axis, rule) in policy.axes.iter().enumerate() {
            self.sticks.to[axis] = match rule.rest {
                Rest::At(rest) => {
                    let release = units(rule.release);
                    units(rest) + random.one_of(&[0, 0, 0, 0, 0, 0, release, -release, release + 1])
                }
                // A stick that was out of its range comes back into it.
                Rest::WhereLeft { .. } => self.sticks.at[axis].clamp(-16_384, 16_384),
            };
        }
    }
}

/// Whether something happens in this time that happens once in `mean` microseconds.
fn happens(dt: u64, mean: u32, random: &mut Random) -> bool {
    #[allow(clippy::cast_precision_loss)] // times of a lesson
    random.chance(dt as f64 / f64::from(mean))
}

#[allow(clippy::cast_possible_truncation)] // a stick
fn to_units(x: f64) -> i32 {
    x as i32
}
