//! What one lesson is: its policy, its faults and its pace, all drawn from seed and number.

use handback::Policy;
use seeded::Random;

use crate::AXES;
use crate::fault::{CATALOGUE, Fault, Window};
use crate::policies;

/// The rows of the table: no fault, each fault alone, and each pair.
pub(crate) const SINGLES: usize = 1 + CATALOGUE.len();
pub(crate) const PAIRS: usize = CATALOGUE.len() * (CATALOGUE.len() - 1) / 2;
pub(crate) const ROWS: usize = SINGLES + PAIRS;

/// A lesson to fly.
#[derive(Debug)]
pub(crate) struct Plan {
    pub(crate) row: usize,
    pub(crate) policy: Policy<AXES>,
    pub(crate) is_default: bool,
    pub(crate) windows: Vec<Window>,
    /// The clock in the first step, and the length of the lesson, in microseconds.
    pub(crate) start: u32,
    pub(crate) length: u64,
    /// The time from step to step, and how much it varies.
    pub(crate) pace: u64,
    pub(crate) jitter: u64,
    /// Each side's frames come in every step, or in every second or third one.
    pub(crate) every: [u64; 2],
    /// What remains of the lesson's random numbers.
    pub(crate) random: Random,
}

impl Plan {
    pub(crate) fn new(seed: u64, number: u64) -> Self {
        let mut random = Random::stream(seed, number);
        let row = row_of(number);
        let (policy, is_default) = policies::draw(&mut random);
        let pace = random.one_of(&[10_000, 20_000, 20_000, 22_500]);
        let jitter = if random.chance(0.5) { 0 } else { pace / 10 };
        let most = if policy.timeout.as_ticks() > 60_000 { 3 } else { 1 };
        let every = [random.one_of(&[1, 1, 2, 3]).min(most), random.one_of(&[1, 1, 2, 3]).min(most)];
        let length = random.time(20_000_000, 30_000_000);
        let windows = windows(faults_of(row), &policy, pace, &mut random);
        let wrap = windows.iter().find(|window| window.fault == Fault::ClockWraps);
        #[allow(clippy::cast_possible_truncation)] // a lesson is much shorter than the clock's range
        let start = match wrap {
            Some(window) => 0u32.wrapping_sub(window.begin as u32 + 1),
            None => random.one_of(&[0, 0, 1 << 31]),
        };
        Self { row, policy, is_default, windows, start, length, pace, jitter, every, random }
    }
}

/// The row of this lesson: every other lesson has one fault (or none), the others go through all pairs.
fn row_of(number: u64) -> usize {
    let nth = usize::try_from(number / 2).expect("fewer lessons");
    if number.is_multiple_of(2) { nth % SINGLES } else { SINGLES + nth % PAIRS }
}

/// The faults of a row.
pub(crate) fn faults_of(row: usize) -> Vec<Fault> {
    let fault = |n: usize| CATALOGUE[n].fault;
    if row < SINGLES {
        return row.checked_sub(1).map(fault).into_iter().collect();
    }
    let mut pairs = (0..CATALOGUE.len()).flat_map(|a| (a + 1..CATALOGUE.len()).map(move |b| [a, b]));
    pairs.nth(row - SINGLES).expect("a pair").map(fault).to_vec()
}

/// When the faults last. The second of a pair begins while the first lasts.
fn windows(faults: Vec<Fault>, policy: &Policy<AXES>, pace: u64, random: &mut Random) -> Vec<Window> {
    let at_power_up = faults.contains(&Fault::SwitchOnAtPowerUp);
    let mut begin = if at_power_up { random.time(0, 1_500_000) } else { random.time(4_000_000, 10_000_000) };
    let mut windows = Vec::new();
    for fault in faults {
        let edge = u64::from(random.one_of(&[policy.timeout, policy.failsafe_after, policy.settle]).as_ticks());
        let lasts = match fault {
            Fault::SwitchOnAtPowerUp => random.time(500_000, 3_000_000),
            Fault::InstructorGone => u64::from(policy.failsafe_after.as_ticks()) + random.time(pace, 1_000_000),
            Fault::Reset | Fault::ClockJumps | Fault::ClockWraps => 1_000_000,
            _ if random.chance(0.25) => edge + random.one_of(&[0, pace]),
            _ => random.time(pace, 4_000_000),
        };
        let begins = if fault == Fault::SwitchOnAtPowerUp { 0 } else { begin };
        let window = Window { fault, begin: begins, end: begins + lasts.clamp(pace, 6_000_000) };
        if fault != Fault::SwitchOnAtPowerUp {
            begin = random.time(window.begin, window.end - 1);
        }
        windows.push(window);
    }
    windows
}
