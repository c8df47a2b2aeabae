//! The power is cut in every operation: the old file is there, or the new one.

use seeded::Random;
use trainer_box_store::{FILE_BYTES, NotWritten, Slots};

use super::flash::{BLOCK, Cut, Flash, Half, Off};
use super::plans::{file, numbered};

/// The file in a flash; panics where it cannot be read.
fn stored(flash: &Flash) -> Option<Vec<u8>> {
    let mut slots = Slots::new(flash.clone(), block());
    let mut room = [0; FILE_BYTES];
    slots.load(&mut room).expect("nothing is damaged").map(<[u8]>::to_vec)
}

fn block() -> u32 {
    u32::try_from(BLOCK).expect("small")
}

/// Stores a file, and returns the flash afterwards.
fn store(flash: Flash, file: &[u8]) -> (Result<(), NotWritten<Off>>, Flash) {
    let mut slots = Slots::new(flash, block());
    let result = slots.store(file);
    (result, slots.release())
}

/// A flash in which this many files were stored one after another.
fn with_files(files: u32) -> Flash {
    (0..files).fold(Flash::new(), |flash, number| {
        let (result, flash) = store(flash, &file(&numbered(number)));
        result.expect("it has power");
        flash.powered()
    })
}

/// Cuts the power in one operation, and says whether the new file is there. Panics where a third one is, or where no
/// other can be stored then.
fn cut(before: &Flash, cut: Cut) -> bool {
    let (old, new, next) = (stored(before), file(&numbered(1_000)), file(&numbered(2_000)));
    let said = format!("{cut:?}");
    let (result, flash) = store(Flash { cut: Some(cut), ..before.clone() }, &new);
    assert_eq!(result, Err(NotWritten::Flash(Off)), "{said}");
    let flash = flash.powered();
    let found = stored(&flash);
    let is_new = found.as_ref() == Some(&new);
    assert!(is_new || found == old, "neither the old file nor the new one: {said}");
    let (result, flash) = store(flash, &next);
    assert_eq!((result, stored(&flash)), (Ok(()), Some(next)), "{said}");
    is_new
}

/// Given a flash with no file, one, two or three, when the power is cut in any operation of storing another, after any
/// number of its bytes or with any of its bits done, then the old file is there or the new one, and a further one can be
/// stored. The new one is there only if the cut was in its header or in the copy of it.
#[test]
fn a_power_cut_leaves_the_old_file_or_the_new_one() {
    let mut random = Random::new(1);
    for files in 0..=3 {
        let before = with_files(files);
        let (result, whole) = store(before.clone(), &file(&numbered(1_000)));
        assert_eq!((result, stored(&whole)), (Ok(()), Some(file(&numbered(1_000)))));
        let operations = whole.operations;
        let pages = file(&numbered(1_000)).len().div_ceil(256);
        let erases = if files == 0 { 2 } else { 1 };
        assert_eq!(operations, erases + pages + 2, "an erase, the file, its header twice");
        let mut new = vec![0; operations];
        for (after, new) in new.iter_mut().enumerate() {
            let (length, step) = if after < erases { (BLOCK, 16) } else { (256, 1) };
            for done in (0..=length).step_by(step) {
                *new += u32::from(cut(&before, Cut { after, half: Half::First(done) }));
            }
            for _ in 0..300 {
                let half = Half::Bits(Random::new(random.next()));
                *new += u32::from(cut(&before, Cut { after, half }));
            }
        }
        println!("after {files} files: the new one is there after so many cuts in each operation: {new:?}");
        let [earlier @ .., header, copy] = &new[..] else { panic!("few operations") };
        assert!(earlier.iter().all(|new| *new == 0) && *header > 0 && *copy == 257 + 300, "{new:?}");
    }
}

/// Given a box whose power is cut again and again while files are stored, when it is powered, then it always has the
/// file of before or the one that was being stored.
#[test]
fn a_long_history_of_power_cuts_never_makes_a_third_file() {
    let mut random = Random::new(2);
    let (mut flash, mut old) = (Flash::new(), None);
    let (mut cuts, mut news) = (0, 0);
    for number in 0..20_000 {
        let new = file(&numbered(number));
        if random.chance(0.8) {
            let half = if random.chance(0.5) {
                Half::First(random.below(BLOCK))
            } else {
                Half::Bits(Random::new(random.next()))
            };
            flash.cut = Some(Cut { after: random.below(8), half });
        }
        let (result, after) = store(flash, &new);
        flash = after.powered();
        let found = stored(&flash);
        if result.is_ok() {
            assert_eq!(found.as_ref(), Some(&new));
        } else {
            cuts += 1;
            news += u32::from(found.as_ref() == Some(&new));
            assert!(found.as_ref() == Some(&new) || found == old, "store {number}");
        }
        old = found;
    }
    println!("{cuts} cuts, after {news} of which the new file is there");
    assert!(cuts > 8_000 && news > 500);
}

/// Given a flash with a bit that cannot be written, when a file is stored, then it is refused where the bit matters,
/// and the file before it is still there; else it is stored.
#[test]
fn a_worn_flash_is_noticed_and_keeps_the_old_file() {
    let before = with_files(2);
    let (old, new) = (file(&numbered(1)), file(&numbered(1_000)));
    let mut worn = 0;
    // The second of two files is in the second slot.
    let newest = 2;
    for at in BLOCK..3 * BLOCK {
        let (result, flash) = store(Flash { stuck: Some(at), ..before.clone() }, &new);
        let flash = flash.powered();
        match result {
            Ok(()) => assert_eq!(stored(&flash).as_ref(), Some(&new)),
            Err(why) => {
                assert_eq!(why, NotWritten::Worn);
                worn += 1;
                // The header says that the file is complete; its copy comes after it.
                let kept = if at / BLOCK == newest { &new } else { &old };
                assert_eq!(stored(&flash).as_ref(), Some(kept), "byte {at}");
            }
        }
    }
    assert!(worn > 200, "{worn}");
}

/// Given a file that is too long, when it is stored, then it is refused and nothing is erased.
#[test]
fn a_file_that_is_too_long_is_not_stored() {
    let before = with_files(1);
    let (result, after) = store(before.clone(), &[0; FILE_BYTES + 1]);
    assert_eq!(result, Err(NotWritten::TooLong { bytes: FILE_BYTES + 1 }));
    assert_eq!(after.bytes, before.bytes);
    let (result, after) = store(before, &[7; FILE_BYTES]);
    assert_eq!((result, stored(&after)), (Ok(()), Some(vec![7; FILE_BYTES])));
}
