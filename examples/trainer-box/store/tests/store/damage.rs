//! A flash that loses what was written: the file is there, or the box knows that it was.

use seeded::Random;
use trainer_box_store::{FILE_BYTES, Slots, Unreadable};

use super::flash::{BLOCK, Cut, Flash, Half, Off};
use super::plans::{file, numbered};

fn with_files(files: u32) -> Flash {
    let mut slots = Slots::new(Flash::new(), u32::try_from(BLOCK).expect("small"));
    for number in 0..files {
        slots.store(&file(&numbered(number))).expect("it has power");
    }
    slots.release()
}

fn load(flash: &Flash) -> Result<Option<Vec<u8>>, Unreadable<Off>> {
    let mut slots = Slots::new(flash.clone(), u32::try_from(BLOCK).expect("small"));
    slots.load(&mut [0; FILE_BYTES]).map(|file| file.map(<[u8]>::to_vec))
}

/// Given one file or several, when any one bit of both slots changes, then the newest file comes out or is reported as
/// damaged: never an older one, never none.
#[test]
fn a_bit_that_changes_makes_no_other_file() {
    for files in 1..=3 {
        let (mut flash, newest) = (with_files(files), file(&numbered(files - 1)));
        let mut damaged = 0;
        for bit in BLOCK * 8..3 * BLOCK * 8 {
            flash.bytes[bit / 8] ^= 1 << (bit % 8);
            match load(&flash) {
                Ok(found) => assert_eq!(found.as_ref(), Some(&newest), "bit {bit}"),
                Err(why) => {
                    assert_eq!(why, Unreadable::Damaged);
                    damaged += 1;
                }
            }
            flash.bytes[bit / 8] ^= 1 << (bit % 8);
        }
        assert_eq!(damaged, newest.len() * 8, "every bit of the file itself, and no other");
    }
}

/// Given one file or several, when the whole block of the newest changes, to any bytes, then the box knows that it was
/// there: the older file does not come out, and not none. When the other block changes, the newest comes out.
#[test]
fn a_block_that_is_lost_is_noticed() {
    let mut random = Random::new(1);
    for files in 1..=4_u32 {
        let newest = if files % 2 == 1 { 1 } else { 2 };
        for lost in [newest, 3 - newest] {
            for number in 0..200 {
                let mut flash = with_files(files);
                for byte in &mut flash.bytes[lost * BLOCK..(lost + 1) * BLOCK] {
                    *byte = match number {
                        0 => 0,
                        1 => 0xFF,
                        _ => random.next().to_le_bytes()[5],
                    };
                }
                let expected =
                    if lost == newest { Err(Unreadable::Damaged) } else { Ok(Some(file(&numbered(files - 1)))) };
                assert_eq!(load(&flash), expected, "{files} files, block {lost}");
            }
        }
    }
}

/// Given a page for the copy of a header in which any one byte has changed, when a file is stored, then no page is
/// written twice, the file comes out, and the box says that it is stored.
#[test]
fn a_page_that_is_not_blank_is_not_written() {
    for files in 1..=3_u32 {
        let newest = if files % 2 == 1 { BLOCK } else { 2 * BLOCK };
        for at in 0..256 {
            let mut flash = with_files(files);
            flash.bytes[newest + 256 + at] = 0;
            let mut slots = Slots::new(flash, u32::try_from(BLOCK).expect("small"));
            assert_eq!(slots.store(&file(&numbered(1_000))), Ok(()), "{files} files, byte {at}");
            assert_eq!(load(&slots.release()), Ok(Some(file(&numbered(1_000)))));
        }
    }
}

/// Given a newest file that is damaged in one bit or with its whole block, when another is stored and the power is cut in any operation, then the box still
/// knows of the damage, or has the new file.
#[test]
fn a_power_cut_while_damage_is_mended_hides_no_damage() {
    let mut random = Random::new(2);
    let new = file(&numbered(1_000));
    for (files, whole) in [(1, false), (2, false), (3, false), (1, true), (2, true), (3, true)] {
        let mut damaged = with_files(files);
        let newest = if files % 2 == 1 { BLOCK } else { 2 * BLOCK };
        damaged.bytes[newest + 600] ^= 1;
        if whole {
            damaged.bytes[newest..newest + BLOCK].fill(0);
        }
        damaged.operations = 0;
        let mut mended = 0;
        for _ in 0..2_000 {
            let cut = Cut { after: random.below(8), half: Half::Bits(Random::new(random.next())) };
            let mut slots =
                Slots::new(Flash { cut: Some(cut), ..damaged.clone() }, u32::try_from(BLOCK).expect("small"));
            let result = slots.store(&new);
            match load(&slots.release().powered()) {
                Ok(found) => {
                    assert_eq!(found.as_ref(), Some(&new));
                    mended += 1;
                }
                Err(why) => assert!(why == Unreadable::Damaged && result.is_err()),
            }
        }
        assert!((100..1_900).contains(&mended), "{mended}");
    }
}

/// Given blocks that another program used, when they are read, then no file comes out, and one can be stored.
#[test]
fn blocks_of_another_program_hold_no_file() {
    let mut random = Random::new(3);
    assert_eq!(load(&Flash::new()), Ok(None));
    for number in 0..3_000 {
        let mut flash = Flash::new();
        for block in 1..=2 {
            if number % 3 != block - 1 {
                for byte in &mut flash.bytes[block * BLOCK..(block + 1) * BLOCK] {
                    *byte = random.next().to_le_bytes()[5];
                }
            }
        }
        assert_eq!(load(&flash), Ok(None));
        let mut slots = Slots::new(flash, u32::try_from(BLOCK).expect("small"));
        slots.store(&file(&numbered(7))).expect("it has power");
        assert_eq!(load(&slots.release()), Ok(Some(file(&numbered(7)))));
    }
}
