//! What the C interface refuses, with which status and which text.
#![allow(clippy::unwrap_used)]

mod common;

use std::collections::BTreeSet;
use std::ffi::CStr;
use std::ptr::{null, null_mut};

use handback::Policy as EnginePolicy;
use handback_c::frame::Inputs;
use handback_c::interface::{
    handback_engine_align, handback_engine_size, handback_explain, handback_start, handback_status_text, handback_step,
};
use handback_c::policy::Policy;
use handback_c::status::Status;
use handback_c::text::TEXT_SIZE;

use common::{Memory, explain, nothing, sprung, step};

type Break = fn(&mut Policy);

/// One policy for each fault, and the status that names it.
const BROKEN: [(Status, Break); 24] = [
    (Status::OtherHeader, |policy| policy.size = 0),
    (Status::AxisCount, |policy| policy.axis_count = 0),
    (Status::AxisCount, |policy| policy.axis_count = 17),
    (Status::UnknownScope, |policy| policy.scope = 2),
    (Status::UnknownRest, |policy| policy.axes[3].rest_kind = 2),
    (Status::UnknownTransfer, |policy| policy.axes[3].transfer = u8::MAX),
    (Status::Engage, |policy| policy.axes[3].engage = 0),
    (Status::Release, |policy| policy.axes[3].release = 328),
    (Status::Confirm, |policy| policy.axes[3].confirm = 0),
    (Status::Rest, |policy| policy.axes[3].rest = 24_577),
    (Status::Window, |policy| (policy.axes[3].has_window, policy.axes[3].window) = (1, -1)),
    (Status::Failsafe, |policy| policy.axes[3].failsafe = -24_577),
    (Status::Plausible, |policy| policy.plausible = 16_383),
    (Status::NothingWatched, |policy| policy.watched = 0),
    (Status::WatchedPastLast, |policy| policy.watched |= 1 << 4),
    (Status::SharedPastLast, |policy| policy.shared |= 1 << 15),
    (Status::SharedUnwatched, |policy| (policy.scope, policy.watched) = (1, 0b111)),
    (Status::Beyond, |policy| (policy.has_beyond, policy.beyond) = (1, 24_576)),
    (Status::TooLong, |policy| policy.dwell = (1 << 31) + 1),
    (Status::Zero, |policy| policy.settle = 0),
    (Status::Zero, |policy| policy.timeout = 0),
    (Status::Zero, |policy| policy.late_step = 0),
    (Status::FailsafeBeforeTimeout, |policy| policy.failsafe_after = 149_999),
    // Of two faults the first is reported, in the order of the check of the engine.
    (Status::Plausible, |policy| (policy.plausible, policy.watched) = (0, u16::MAX)),
];

/// Given a policy with one fault, when an engine is started with it, then the status names the fault, there is no
/// engine, the memory holds none, and the text says what is wrong.
/// Rules: P1
#[test]
fn a_wrong_policy_is_refused_by_name_and_leaves_no_engine() {
    for (status, broken) in BROKEN {
        let memory = Memory::for_axes(4);
        let (_, before) = memory.start(&sprung(4));
        let mut policy = sprung(4);
        broken(&mut policy);
        assert_eq!(memory.start(&policy), (status, null_mut()));
        assert_eq!(step(before, &nothing(0)), Err(Status::NotStarted), "the engine before goes on after {status:?}");
        let (told, text) = explain(&policy, TEXT_SIZE);
        assert_eq!(told, status);
        assert!(text.len() > 20 && text.len() + 1 < TEXT_SIZE, "{text}");
    }
}

/// Given a policy that the check of the engine refuses, when it is explained, then the text is that of the engine.
/// Rules: P1
#[test]
fn the_words_are_those_of_the_engine() {
    let mut policy = sprung(4);
    policy.axes[3].release = 819;
    let mut in_rust = EnginePolicy::new([handback::AxisRule::sprung(); 4]);
    in_rust.axes[3].release = handback::Deflection::from_points(5);
    let words = in_rust.check().unwrap_err().message();
    assert_eq!(explain(&policy, TEXT_SIZE), (Status::Release, words.as_str().to_owned()));

    // Past the last axis of the policy, which is not the last one of the engine that would fly it.
    let mut policy = sprung(3);
    policy.watched = 0b1111;
    let mut in_rust = EnginePolicy::new([handback::AxisRule::sprung(); 3]);
    in_rust.watched = handback::AxisSet::from_bits(0b1111);
    let words = in_rust.check().unwrap_err().message();
    assert_eq!(explain(&policy, TEXT_SIZE), (Status::WatchedPastLast, words.as_str().to_owned()));
}

/// Given a fault that no policy in Rust can have, when it is explained, then axis, field, value and remedy are named.
#[test]
fn what_only_c_can_get_wrong_is_explained_too() {
    let mut policy = sprung(4);
    assert_eq!(explain(&policy, TEXT_SIZE), (Status::Ok, String::new()));
    policy.axes[2].transfer = 250;
    assert_eq!(explain(&policy, TEXT_SIZE).1, "axis 2: transfer is 250: transfer must be one of handback_transfer");
    policy.size = 1_234;
    assert!(explain(&policy, TEXT_SIZE).1.starts_with("size is 1234: "));
}

/// Given too little room for a text, when a policy is explained, then the text is cut off and still ends in a zero
/// byte.
#[test]
fn a_text_never_leaves_its_room() {
    let policy = Policy { size: 7, ..sprung(4) };
    assert_eq!(explain(&policy, 1).1, "");
    assert_eq!(explain(&policy, 10).1, "size is 7");
    let mut byte = 0x55;
    // SAFETY: the size given is 0.
    assert_eq!(unsafe { handback_explain(&raw const policy, &raw mut byte, 0) }, Status::TextTooSmall);
    assert_eq!(byte, 0x55);
    // SAFETY: null is refused.
    assert_eq!(unsafe { handback_explain(&raw const policy, null_mut(), 9) }, Status::Null);
    // SAFETY: null is refused.
    assert_eq!(unsafe { handback_explain(null(), &raw mut byte, 1) }, Status::Null);
    assert_eq!(byte, 0);
}

/// Given pointers that are null or not aligned, when an engine is to be started or stepped, then none is followed.
#[test]
fn no_null_and_no_misaligned_pointer_is_followed() {
    let memory = Memory::for_axes(4);
    let (size, policy, mut engine) = (memory.layout.size(), sprung(4), null_mut());
    let start = |memory: *mut u8, policy: *const Policy, engine| {
        // SAFETY: a wrong pointer is refused before it is followed.
        unsafe { handback_start(memory.cast(), size, policy, engine) }
    };
    let to = &raw mut engine;
    assert_eq!(start(null_mut(), &raw const policy, to), Status::Null);
    assert_eq!(start(memory.bytes, null(), to), Status::Null);
    assert_eq!(start(memory.bytes, &raw const policy, null_mut()), Status::Null);
    for off in 1..handback_engine_align() {
        assert_eq!(start(memory.bytes.wrapping_add(off), &raw const policy, to), Status::Misaligned);
    }
    assert_eq!(start(memory.bytes, (&raw const policy).wrapping_byte_add(2), to), Status::Misaligned);
    assert_eq!(start(memory.bytes, &raw const policy, to.wrapping_byte_add(1)), Status::Misaligned);

    let (_, engine) = memory.start(&policy);
    let (inputs, frame) = (nothing(0), handback_c::frame::Frame::default());
    let mut outcome = step(engine, &inputs).unwrap();
    let mut step = |engine, inputs: *const Inputs| {
        // SAFETY: as above.
        unsafe { handback_step(engine, inputs, &raw mut outcome) }
    };
    assert_eq!(step(null_mut(), &raw const inputs), Status::Null);
    assert_eq!(step(engine.wrapping_byte_add(1), &raw const inputs), Status::Misaligned);
    assert_eq!(step(engine, null()), Status::Null);
    assert_eq!(step(engine, (&raw const inputs).wrapping_byte_add(1)), Status::Misaligned);
    let off = (&raw const frame).wrapping_byte_add(1);
    assert_eq!(step(engine, &Inputs { instructor: off, ..inputs }), Status::Misaligned);
    assert_eq!(step(engine, &Inputs { student: off, ..inputs }), Status::Misaligned);
    assert_eq!(step(engine, &raw const inputs), Status::Ok, "what was refused did no harm");
    // SAFETY: as above.
    assert_eq!(unsafe { handback_step(engine, &raw const inputs, null_mut()) }, Status::Null);
}

/// Given memory that is a byte too small, when an engine is started, then it is refused; given just enough memory,
/// then it is started.
#[test]
fn memory_that_is_too_small_is_refused() {
    for count in (1..=16).filter(|count| handback_engine_size(*count) != 0) {
        for size in [1, 8, handback_engine_size(count) - 1] {
            assert_eq!(Memory::new(size).start(&sprung(count)), (Status::MemoryTooSmall, null_mut()), "{size} bytes");
        }
        assert_eq!(Memory::for_axes(count).start(&sprung(count)).0, Status::Ok);
    }
}

/// Given memory without an engine, or with a copy of one, when a step is taken, then it is refused.
#[test]
fn only_an_engine_where_it_was_started_can_step() {
    let (here, there) = (Memory::for_axes(4), Memory::for_axes(4));
    assert_eq!(step(here.bytes.cast(), &nothing(0)), Err(Status::NotStarted));
    let (_, engine) = here.start(&sprung(4));
    assert!(step(engine, &nothing(0)).is_ok());
    // SAFETY: both are of this size and do not overlap.
    unsafe { there.bytes.copy_from_nonoverlapping(here.bytes, here.layout.size()) };
    assert_eq!(step(there.bytes.cast(), &nothing(0)), Err(Status::Moved));
}

/// Given every number of a status, when its text is read, then each has a text of its own.
#[test]
fn every_status_has_words_of_its_own() {
    let text = |number| {
        // SAFETY: for any number it is a text that ends in a zero byte.
        unsafe { CStr::from_ptr(handback_status_text(number)) }.to_str().unwrap()
    };
    let last = Status::OtherRule as u8;
    let texts: BTreeSet<&str> = (0..=last).map(text).collect();
    assert_eq!(texts.len(), usize::from(last) + 1);
    assert!(!texts.contains("no such status"));
    assert_eq!((text(last + 1), text(u8::MAX)), ("no such status", "no such status"));
}
