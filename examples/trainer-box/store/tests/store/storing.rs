//! What a box does with its stored plan: at its start, and when it is given another.

use seeded::Random;
use trainer_box::{Desk, PlanError};
use trainer_box_store::{AtStart, FILE_BYTES, FileError, NotStored, Refusal, Slots};

use super::flash::{BLOCK, Cut, Flash, Half};
use super::plans::{BoxPlan, file, numbered, plan};

const OFF: Desk = Desk { lesson_switch: false, instructor_now: false };
const ON: Desk = Desk { lesson_switch: true, instructor_now: false };

fn slots() -> Slots<Flash> {
    Slots::new(Flash::new(), u32::try_from(BLOCK).expect("small"))
}

fn store(slots: &mut Slots<Flash>, file: &[u8], on_bench: bool, desk: Desk) -> Result<(), NotStored> {
    trainer_box_store::permit::<4, 16, 16>(file, on_bench, desk)?.store(slots)
}

fn at_start(slots: &mut Slots<Flash>) -> AtStart<4, 16, 16> {
    trainer_box_store::at_start(slots)
}

fn started_with(slots: &mut Slots<Flash>) -> Option<BoxPlan> {
    match at_start(slots) {
        AtStart::Plan(plan) => Some(plan.plan()),
        AtStart::Nothing => None,
        AtStart::Refused(why) => panic!("{why}"),
    }
}

/// A plan that does not pass its check: an axis on a channel that the student's train does not have.
fn wrong() -> BoxPlan {
    let mut wrong = plan();
    wrong.student.axes[0].as_mut().expect("it has one").number = 6;
    wrong
}

/// Given a new box, when a plan is stored on the bench with the switch off, then the box starts with it.
#[test]
fn a_stored_plan_is_the_plan_of_the_next_start() {
    let mut slots = slots();
    assert_eq!(started_with(&mut slots), None);
    let default = plan().check().expect("in order");
    let alone = plan().instructor_alone().check().expect("in order");
    assert_eq!(at_start(&mut slots).plan(&default, &alone).plan(), plan());
    for number in 0..5 {
        assert_eq!(store(&mut slots, &file(&numbered(number)), true, OFF), Ok(()));
        assert_eq!(started_with(&mut slots), Some(numbered(number)));
    }
}

/// Given a box that may be flying, or a switch that is on, or bytes that are no plan for it, when they are to be stored,
/// then nothing is erased or written.
#[test]
fn what_may_not_be_stored_leaves_the_flash_alone() {
    let mut slots = slots();
    assert_eq!(store(&mut slots, &file(&plan()), true, OFF), Ok(()));
    let operations = slots.clone().release().operations;
    let good = file(&numbered(1));
    let mut bad = good.clone();
    bad[40] ^= 1;
    let no_channel = PlanError::NoSuchChannel { part: trainer_box::Part::Student, axis: 0, number: 6, channels: 6 };
    for (file, on_bench, desk, why, says) in [
        (&good, false, OFF, NotStored::NotOnBench, "not stored: the box may be flying; power it on with"),
        (&good, false, ON, NotStored::NotOnBench, "instructor-now held for two seconds"),
        (&good, true, ON, NotStored::SwitchOn, "not stored: the lesson switch is on: turn it off"),
        (&bad, true, OFF, NotStored::File(FileError::Check), "not stored: the check value of the file is wrong"),
        (
            &file(&wrong()),
            true,
            OFF,
            NotStored::Plan(no_channel),
            "not stored: student: axis 0: number is 6: the train",
        ),
    ] {
        assert_eq!(store(&mut slots, file, on_bench, desk), Err(why));
        assert!(why.to_string().contains(says), "{why}");
        assert_eq!(slots.clone().release().operations, operations);
        assert_eq!(started_with(&mut slots), Some(plan()));
    }
}

/// Given a flash that loses its power, or a bit of the file, when the box starts, then it knows why there is no plan.
#[test]
fn a_stored_plan_that_does_not_pass_is_refused_at_the_start() {
    let mut slots = slots();
    assert_eq!(store(&mut slots, &file(&plan()), true, OFF), Ok(()));
    let mut flash = slots.clone().release();
    flash.bytes[BLOCK + 512 + 40] ^= 1;
    let [default, alone] = [plan(), plan().instructor_alone()].map(|plan| plan.check().expect("in order"));
    let refused = |slots: &mut Slots<Flash>| {
        let start = at_start(slots);
        assert_eq!(start.plan(&default, &alone).plan(), alone.plan());
        start.refusal().expect("it is refused")
    };
    let mut damaged = Slots::new(flash, u32::try_from(BLOCK).expect("small"));
    assert_eq!(refused(&mut damaged), Refusal::Damaged);
    assert_eq!(refused(&mut damaged).to_string(), "stored plan: the flash has not kept it: store it again");
    // A file that another version of the firmware stored, and one that it did not check.
    let mut other = file(&plan());
    other[4] = 1;
    slots.store(&other).expect("it has power");
    assert_eq!(refused(&mut slots), Refusal::File(FileError::Version { version: 1 }));
    slots.store(&file(&wrong())).expect("it has power");
    assert!(matches!(refused(&mut slots), Refusal::Plan(PlanError::NoSuchChannel { .. })));
    let mut off = slots.release();
    off.cut = Some(Cut { after: off.operations, half: Half::Bits(Random::new(1)) });
    let mut off = Slots::new(off, u32::try_from(BLOCK).expect("small"));
    assert_eq!(store(&mut off, &file(&plan()), true, OFF), Err(NotStored::Flash));
    assert_eq!(refused(&mut off), Refusal::Flash);
    assert!(file(&plan()).len() < FILE_BYTES);
}
