//! The size of an engine in memory on this machine; the pointer to the policy is half as wide on a microcontroller.

use std::mem::{align_of, size_of};

use handback::preflight::{Finding, Preflight};
use handback::{CheckedPolicy, Deflection, Engine, Frame, Outcome};

/// Given engines of 4, 8 and 16 axes, when the size of their state is measured, then it is within the documented
/// figure and grows only with the axes.
/// Rules: N1
#[test]
fn the_engine_is_as_large_as_is_said() {
    let (four, eight, sixteen) = (size_of::<Engine<4>>(), size_of::<Engine<8>>(), size_of::<Engine<16>>());
    println!("engine: {four} bytes for 4 axes, {eight} for 8, {sixteen} for 16");
    assert!(four <= 144, "4 axes: {four} bytes");
    assert_eq!(eight - four, 4 * 20, "one more axis: three frames, its stick and its way out");
    assert_eq!(sixteen - eight, 8 * 20);
}

/// Given the quantities, when their size is measured, then they are no wider than the numbers that they hold.
#[test]
fn quantities_cost_nothing_beside_their_numbers() {
    assert_eq!((size_of::<Deflection>(), align_of::<Deflection>()), (2, 2));
    assert_eq!(size_of::<Frame<16>>(), 32);
    println!("outcome of 4 axes: {} bytes; policy: {}", size_of::<Outcome<4>>(), size_of::<CheckedPolicy<4>>());
}

/// Given a preflight, when the size of its state is measured, then a small board has room for it beside the engine:
/// most of it is for findings.
/// Rules: N1
#[test]
fn the_preflight_is_as_large_as_is_said() {
    let [four, eight] = [size_of::<Preflight<4, &CheckedPolicy<4>>>(), size_of::<Preflight<8, &CheckedPolicy<8>>>()];
    let finding = size_of::<Finding>();
    println!("preflight: {four} bytes for 4 axes, {eight} for 8; a finding: {finding}");
    assert!(four <= 800 && finding <= 12, "{four}, {finding}");
    assert_eq!(eight - four, 4 * 32, "one more axis: what its two sticks did");
}
