//! The flights on the host: their digest is the one that every target must give, and they reach what they are for.

use conformance::{Flip, Log, channels, fly, recorded};

/// Flights, steps and digest of a set in the committed list.
fn committed(set: &str) -> (u32, u32, u32) {
    let line = include_str!("../../digest.txt").lines().find_map(|line| line.strip_prefix(set));
    let figures: Vec<&str> = line.expect("the set is in the list").split_whitespace().collect();
    let [flights, steps, digest] = figures[..] else { panic!("a set is flights, steps and digest: {figures:?}") };
    let digest = u32::from_str_radix(digest.trim_start_matches("0x"), 16).expect("a digest");
    (flights.parse().expect("flights"), steps.parse().expect("steps"), digest)
}

/// Flies the quick set.
fn quick(log: &mut Log<'_>) {
    (0..committed("quick").0).for_each(|number| fly(number, log));
}

/// Given the flights of the quick set, when they are flown here, then every case is reached, and steps and digest are
/// those of every target.
/// Rules: N2
#[test]
fn the_flights_give_the_committed_digest() {
    let mut log = Log::new();
    quick(&mut log);
    log.coverage.for_each(|group, name, beside, count| assert!(count > 0, "{group} {name} {beside} was never reached"));
    let (_, steps, digest) = committed("quick");
    assert_eq!((log.steps, format!("{:#010x}", log.digest())), (steps, format!("{digest:#010x}")), "see the README");
}

/// Given the channels of the list, when they are read and written here, then readings and digest are those of every
/// target, and readings in range and out of range came.
/// Rules: N2
#[test]
fn the_channels_give_the_committed_digest() {
    let (count, readings, digest) = committed("channels");
    let read = channels::read(count);
    assert_eq!((read.readings, format!("{:#010x}", read.digest())), (readings, format!("{digest:#010x}")));
    assert!(read.out_of_range > 0 && read.out_of_range < readings);
}

/// Given one inverted bit of one step, when the same flights are flown, then the digest is another.
#[test]
fn one_bit_of_one_step_changes_the_digest() {
    let digest = |flip| {
        let mut log = Log::new().with_flip(flip);
        quick(&mut log);
        log.digest()
    };
    assert_ne!(digest(None), digest(Some(Flip { flight: 11, step: 3 })));
}

/// Given the random flights, when each is flown, then none is empty: their random policies pass the check.
#[test]
fn every_random_flight_has_steps() {
    for number in 5..committed("quick").0 {
        let mut log = Log::new();
        fly(number, &mut log);
        assert!(log.steps > 0, "flight {number} is empty");
    }
}

/// Given the recorded lesson, when it is unpacked and flown, then it is complete, and each of its policies flies every
/// row.
#[test]
fn the_recorded_lesson_is_flown_whole() {
    assert_eq!(recorded::rows(recorded::LESSON).count(), 1_450);
    assert!(recorded::LESSON.len() < 16 * 1024);
    let mut log = Log::new();
    (1..=4).for_each(|number| fly(number, &mut log));
    assert_eq!(log.steps, 4 * 1_450);
}

/// Given the flights of the quick set, when the float reference flies them beside the engine, then no step differs.
/// Rules: N3
#[cfg(feature = "reference")]
#[test]
fn the_reference_says_the_same() {
    let mut log = Log::new().comparing();
    quick(&mut log);
    assert_eq!(log.differing, 0);
}
