//! What an engine costs in memory on this machine; a microcontroller's pointer to the policy is half as wide.

use std::mem::{align_of, size_of};

use handback::preflight::{Finding, Preflight};
use handback::{CheckedPolicy, Deflection, Engine, Frame, Outcome};

/// Given engines of 4, 8 and 16 axes, when their state is measured, then it is within its figure and grows with the axes
/// alone.
///
/// Rules: N1
#[test]
fn the_engine_is_as_large_as_is_said() {
    let (four, eight, sixteen) = (size_of::<Engine<'_, 4>>(), size_of::<Engine<'_, 8>>(), size_of::<Engine<'_, 16>>());
    println!("engine: {four} bytes for 4 axes, {eight} for 8, {sixteen} for 16");
    assert!(four <= 144, "4 axes: {four} bytes");
    assert_eq!(eight - four, 4 * 20, "one more axis: three frames, its stick and its way out");
    assert_eq!(sixteen - eight, 8 * 20);
}

/// Given the quantities, when they are measured, then they are no wider than the numbers that they hold.
#[test]
fn quantities_cost_nothing_beside_their_numbers() {
    assert_eq!((size_of::<Deflection>(), align_of::<Deflection>()), (2, 2));
    assert_eq!(size_of::<Frame<16>>(), 32);
    println!("outcome of 4 axes: {} bytes; policy: {}", size_of::<Outcome<4>>(), size_of::<CheckedPolicy<4>>());
}

/// Given a preflight, when its state is measured, then it is what a small board has beside the engine: most of it is room
/// for findings.
///
/// Rules: N1
#[test]
fn the_rehearsal_is_as_large_as_is_said() {
    let [four, eight] = [size_of::<Preflight<'_, 4>>(), size_of::<Preflight<'_, 8>>()];
    let finding = size_of::<Finding>();
    println!("preflight: {four} bytes for 4 axes, {eight} for 8; a finding: {finding}");
    assert!(four <= 800 && finding <= 12, "{four}, {finding}");
    assert_eq!(eight - four, 4 * 32, "one more axis: what its two sticks did");
}
