//! What is left of a lesson where the memory changed.

extern crate std;
use std::boxed::Box;
use std::vec::Vec;

use handback::cue::CueRules;
use handback::ppm::{DecoderSetup, EncoderSetup, Level};
use handback::{AxisRule, Channels, Instant, Policy};
use seeded::Random;
use trainer_box::{AxisName, Desk, Plan};

use super::reader::KeptRow;
use super::*;

type Small = BlackBoxMemory<512, 1_024>;

fn plan() -> CheckedPlan<2, 4, 4> {
    let plan = Plan {
        names: AxisName::all(["one", "two"]),
        policy: Policy::new([AxisRule::sprung(); 2]),
        instructor: Channels::pulses(),
        student: Channels::pulses(),
        craft: Channels::pulses(),
        instructor_train: DecoderSetup::new(Level::High),
        student_train: DecoderSetup::new(Level::High),
        craft_train: EncoderSetup::new(Level::High),
        cues: CueRules::new(),
    };
    plan.check().expect("in order")
}

/// The rows of a lesson of random sticks, times and presses; the switch goes on with row 20.
fn rows(plan: &CheckedPlan<2, 4, 4>, count: u32) -> Vec<Row<2, 4, 4>> {
    let mut random = Random::new(41);
    let mut now = u32::MAX - 100_000;
    let train = |random: &mut Random| {
        let widths = [0; 4].map(|_| Pulse::from_micros(u32::try_from(random.within(700, 2_300)).expect("small")));
        random.one_in(2).then_some(widths)
    };
    (0..count)
        .map(|number| {
            now = now.wrapping_add(random.one_of(&[0, 1, 999, 10_000, 2_000_000_000, 4_000_000_000]));
            let (instructor, student) = (train(&mut random), train(&mut random));
            Row {
                begins: number == 0,
                at: Instant::from_ticks(now),
                desk: Desk { lesson_switch: number >= 20, instructor_now: random.one_in(9) },
                instructor: instructor.map(|train| Received { train, frame: plan.instructor().frame(&train) }),
                student: student.map(|train| Received { train, frame: plan.student().frame(&train) }),
                check: u32::try_from(random.next() >> 32).expect("32 bits"),
            }
        })
        .collect()
}

fn lesson(black_box: &BlackBox<'_, 2, 512, 1_024>, plan: &CheckedPlan<2, 4, 4>) -> Vec<KeptRow<2>> {
    let reader = LessonReader::new(black_box);
    reader.map_or(Vec::new(), |mut reader| core::iter::from_fn(|| reader.next(black_box, plan)).collect())
}

/// Given rows of every kind, with every gap of time, when they are kept, then they are read as they were.
#[test]
fn every_kind_of_row_is_kept_bit_for_bit() {
    let plan = plan();
    let memory = &mut Small::new();
    let mut black_box = BlackBox::new(memory, &plan, 7);
    let rows = rows(&plan, 120);
    for row in &rows {
        black_box.note(&plan, row);
    }
    let kept = lesson(&black_box, &plan);
    assert_eq!(kept.len(), 120);
    for (number, (kept, row)) in kept.iter().zip(&rows).enumerate() {
        let frames = (row.instructor.map(|it| it.frame), row.student.map(|it| it.frame));
        assert_eq!((kept.at, kept.desk, (kept.instructor, kept.student)), (row.at, row.desk, frames));
        let check = [63, 119].contains(&number).then_some(row.check);
        assert_eq!(kept.check, check, "row {number}");
    }
}

/// Given a memory that lost one bit, any bit of it, or that was never written, when the box starts, then it has the
/// lesson as it was, or without its last row, or none: never another one.
#[test]
fn a_lost_bit_never_makes_another_lesson() {
    let plan = plan();
    let mut memory = Box::new(Small::new());
    let mut black_box = BlackBox::new(&mut memory, &plan, 7);
    for row in &rows(&plan, 60) {
        black_box.note(&plan, row);
    }
    let whole = lesson(&black_box, &plan);
    let (mut none, mut shorter) = (0, 0);
    let mut judge = |memory: &mut Small| {
        let black_box = BlackBox::new(memory, &plan, 7);
        let kept = lesson(&black_box, &plan);
        // The check value of the last row is kept in that row only.
        let same = kept
            .iter()
            .zip(&whole)
            .all(|(one, other)| KeptRow { check: None, ..*one } == KeptRow { check: None, ..*other });
        assert!(same, "another lesson");
        match kept.len() {
            60 => {}
            59 => shorter += 1,
            0 => none += 1,
            other => assert_eq!(other, 0, "rows"),
        }
    };
    for bit in 0..8 {
        for place in 0..512 {
            for lead in 0..2 {
                let mut lost = memory.clone();
                lost.leads[lead][place] ^= 1 << bit;
                judge(&mut lost);
            }
        }
        for place in 0..1_024 {
            let mut lost = memory.clone();
            lost.body[place] ^= 1 << bit;
            judge(&mut lost);
        }
    }
    for place in 0..2 {
        for bit in 0..32 {
            for change in [
                |kept: &mut Kept, bit: u32| kept.lead ^= 1 << bit,
                |kept: &mut Kept, bit: u32| kept.lead_bits ^= 1 << bit,
                |kept: &mut Kept, bit: u32| kept.body_bits ^= 1 << bit,
                |kept: &mut Kept, bit: u32| kept.rows ^= 1 << bit,
                |kept: &mut Kept, bit: u32| kept.check ^= 1 << bit,
            ] {
                let mut lost = memory.clone();
                change(&mut lost.kept[place], bit);
                judge(&mut lost);
            }
        }
    }
    assert!(none > 500 && shorter > 100, "{none} without a lesson, {shorter} without the last row");
}
