//! Hardware counters of other widths and rates, against the same arithmetic in 128 bits.

use handback::Instant;
use handback::ppm::Counter;
use proptest::prelude::*;

use super::wire::instant;

/// Moves a counter by these steps, at most half a turn each, and compares each instant with the exact one.
fn walk<const BITS: u32, const SHIFT: u32>(start: u32, steps: &[i32]) {
    let start = u32::try_from(u64::from(start) % (1 << BITS)).expect("as wide as the counter");
    let mut counter = Counter::<BITS, SHIFT>::starting_at(start);
    let mut ticks = i128::from(start);
    for &step in steps {
        ticks += i128::from(step >> (32 - BITS));
        let shown = u32::try_from(ticks.rem_euclid(1 << BITS)).expect("as wide as the counter");
        let expected = u32::try_from((ticks >> SHIFT).rem_euclid(1 << 32)).expect("32 bits");
        let at = counter.at(shown);
        assert_eq!(at, instant(expected), "{BITS} bits, 2^{SHIFT} ticks, at {ticks}");
        let part = shown & ((1 << SHIFT) - 1);
        assert_eq!(counter.count_at(at) | part, shown, "{BITS} bits, 2^{SHIFT} ticks, at {ticks}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    /// Given a counter of any width and rate, when it is read with steps of up to half a turn forwards or backwards,
    /// then the instants are those of a clock that never wraps, as far as 32 bits show it.
    #[test]
    fn a_counter_is_the_clock_that_it_stands_for(start: u32, steps in prop::collection::vec(any::<i32>(), 1..200)) {
        walk::<8, 0>(start, &steps);
        walk::<16, 0>(start, &steps);
        walk::<16, 1>(start, &steps);
        walk::<16, 4>(start, &steps);
        walk::<24, 3>(start, &steps);
        walk::<31, 2>(start, &steps);
        walk::<32, 0>(start, &steps);
        walk::<32, 4>(start, &steps);
    }
}

/// Given a 16-bit timer at 2 MHz, when it is read each 10 ms for two hours, then it stays in step with the clock.
#[test]
fn a_sixteen_bit_timer_keeps_time_for_hours() {
    let mut counter = Counter::<16, 1>::starting_at(0);
    let mut now = Instant::from_ticks(0);
    for read in 1..=720_000_u64 {
        now = counter.at(u32::try_from(read * 20_000 % 65_536).expect("16 bits"));
    }
    assert_eq!(u64::from(now.as_ticks()), 7_200_000_000 % (1 << 32));
}

/// Given a capture that is read after a later reading, when it comes, then it is the earlier instant, and the next
/// reading is in step.
#[test]
fn a_capture_may_be_older_than_the_last_reading() {
    let mut counter = Counter::<16, 0>::starting_at(65_000);
    assert_eq!(counter.at(500), instant(66_036));
    assert_eq!(counter.at(65_500), instant(65_500));
    assert_eq!(counter.at(600), instant(66_136));
}
