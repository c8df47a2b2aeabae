//! The memory that a box needs to learn.

use trainer_box_learn::{Learning, Tutor};

/// Given a box of four axes, and one of eight, when its memory is measured, then it is at most this.
#[test]
fn the_memory_of_a_tutor_is_bounded() {
    let sizes = [size_of::<Learning<4>>(), size_of::<Tutor<4>>(), size_of::<Tutor<8>>()];
    println!("learning of 4 axes: {} bytes; tutor of 4 axes: {}, of 8: {}", sizes[0], sizes[1], sizes[2]);
    assert!(sizes[1] <= 4 * 1_024 && sizes[2] <= 6_400, "{sizes:?}");
}
