//! The stored plan of a trainer box, and the flash around it.

#[path = "../../../examples/trainer-box/store/tests/store/flash.rs"]
#[allow(dead_code)]
mod flash;

use handback::cue::CueRules;
use handback::ppm::{DecoderSetup, Edge, EncoderSetup, Level};
use handback::{AxisRule, Channels, Instant, Policy};
use seeded::Random;
use trainer_box::{AxisName, CheckedPlan, Desk, Plan, Side, TrainerBox};
use trainer_box_store::{AtStart, FILE_BYTES, Slots, VERSION, at_start, decode, encode, permit};

use self::flash::{BLOCK, Cut, Flash, Half};
use crate::bytes::Bytes;

const AXES: usize = 4;
const ROOM: usize = 16;

type BoxPlan = Plan<AXES, ROOM, ROOM>;

/// What must hold: nothing panics; what is read reads back as it is after it was written; a plan that passes its check
/// flies; a flash of any content gives a plan or a reason, and takes another file.
pub fn run(bytes: &[u8]) {
    let mut bytes = Bytes::new(bytes);
    match bytes.below(3) {
        0 => read(bytes.rest()),
        1 => read(&framed(bytes.rest())),
        _ => any_flash(bytes),
    }
}

/// A file with this content and with a check value that is in order.
fn framed(content: &[u8]) -> Vec<u8> {
    let length = u16::try_from(content.len()).unwrap_or(u16::MAX).to_le_bytes();
    let mut file = [b"tbox".as_slice(), &[VERSION, 4], &length, content].concat();
    let mut crc = crc32(&file).to_le_bytes().to_vec();
    file.append(&mut crc);
    file
}

/// CRC-32 of IEEE 802.3, bit by bit.
fn crc32(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(u32::MAX, |crc, &byte| {
        (0..8).fold(crc ^ u32::from(byte), |crc, _| if crc & 1 == 1 { crc >> 1 ^ 0xEDB8_8320 } else { crc >> 1 })
    })
}

fn read(file: &[u8]) {
    let allowed = permit::<AXES, ROOM, ROOM>(file, true, Desk::default());
    let plan = match decode::<AXES, ROOM, ROOM>(file) {
        Ok(plan) => plan,
        Err(why) => {
            assert!(allowed.is_err() && !why.to_string().is_empty());
            return;
        }
    };
    if let Ok(again) = encode(&plan, &mut [0; FILE_BYTES]) {
        assert_eq!(decode::<AXES, ROOM, ROOM>(again), Ok(plan), "what was written reads back");
    }
    match plan.check() {
        Ok(checked) => {
            assert!(allowed.is_ok());
            fly(&checked, file);
        }
        Err(why) => assert!(allowed.is_err() && !why.to_string().is_empty()),
    }
}

/// Half a second of a box with this plan, with edges from the bytes of its file.
fn fly(plan: &CheckedPlan<AXES, ROOM, ROOM>, bytes: &[u8]) {
    let mut flown = TrainerBox::new(plan, Instant::from_ticks(0));
    let mut bytes = bytes.iter().cycle();
    let mut desk = Desk::default();
    for ms in 1..=500 {
        let now = ms * 1_000;
        for side in [Side::Instructor, Side::Student] {
            let byte = *bytes.next().unwrap_or(&0);
            let at = Instant::from_ticks(now - 1_000 + u32::from(byte) * 3);
            flown.edge(side, Edge { at, level: Level::from(byte & 1 == 1) });
        }
        desk.lesson_switch = ms > 100;
        let _ = flown.step(Instant::from_ticks(now), desk);
        while flown.next_entry().is_some() {}
    }
}

/// A plan that passes its check.
fn good() -> BoxPlan {
    Plan {
        names: AxisName::all(["aileron", "elevator", "throttle", "rudder"]),
        policy: Policy::new([AxisRule::sprung(); AXES]),
        instructor: Channels::pulses(),
        student: Channels::pulses(),
        craft: Channels::pulses(),
        instructor_train: with_eight(DecoderSetup::new(Level::High)),
        student_train: with_eight(DecoderSetup::new(Level::Low)),
        craft_train: {
            let mut setup = EncoderSetup::new(Level::High);
            setup.channels = Some(8);
            setup
        },
        cues: CueRules::new(),
    }
}

fn with_eight(mut setup: DecoderSetup) -> DecoderSetup {
    setup.channels = Some(8);
    setup
}

/// A flash with arbitrary bytes over a stored file or over nothing, and a power cut while another file is stored.
fn any_flash(mut bytes: Bytes<'_>) {
    let mut slots = Slots::new(Flash::new(), 4_096);
    let mut room = [0; FILE_BYTES];
    let file = encode(&good(), &mut room).expect("it fits").to_vec();
    for _ in 0..bytes.below(4) {
        slots.store(&file).expect("it has power");
    }
    let mut flash = slots.release();
    for _ in 0..bytes.below(8) {
        let at = BLOCK + usize::from(bytes.two()) % (2 * BLOCK);
        flash.bytes[at] = bytes.byte();
    }
    let cut = bytes.flag().then(|| Cut {
        after: bytes.below(8).into(),
        half: if bytes.flag() { Half::First(bytes.two().into()) } else { Half::Bits(Random::new(bytes.four().into())) },
    });
    let written = bytes.rest();
    for (to, from) in flash.bytes[BLOCK..].iter_mut().zip(written) {
        *to = *from;
    }
    let mut slots = Slots::new(flash, 4_096);
    tell(&at_start(&mut slots));
    let mut other = good();
    other.policy.dwell = handback::Duration::from_ticks(1);
    let other = encode(&other, &mut room).expect("it fits").to_vec();
    let mut flash = slots.release();
    flash.operations = 0;
    flash.cut = cut;
    let mut slots = Slots::new(flash, 4_096);
    let stored = slots.store(&other);
    let mut slots = Slots::new(slots.release().powered(), 4_096);
    let start = at_start::<AXES, ROOM, ROOM, _>(&mut slots);
    tell(&start);
    if stored.is_ok() {
        assert!(matches!(start, AtStart::Plan(plan) if plan.plan().policy.dwell.as_ticks() == 1), "it is stored");
    }
}

fn tell(start: &AtStart<AXES, ROOM, ROOM>) {
    if let Some(why) = start.refusal() {
        assert!(!why.to_string().is_empty());
    }
}
