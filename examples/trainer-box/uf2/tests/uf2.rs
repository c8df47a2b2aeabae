//! Linked images that are made here, and what becomes of them.

use std::fs;
use std::process::{Command, Output};

use trainer_box_uf2::{Refusal, boot_check, from_elf};

const FLASH: u32 = 0x1000_0000;

/// An image with these segments: address, bytes in the file, bytes in memory.
fn elf(segments: &[(u32, &[u8], u32)]) -> Vec<u8> {
    let count = u16::try_from(segments.len()).unwrap();
    let mut file = b"\x7fELF\x01\x01\x01".to_vec();
    file.resize(16, 0);
    for half in [2_u16, 40] {
        file.extend(half.to_le_bytes()); // executable, Arm
    }
    for word in [1_u32, FLASH, 52, 0, 0] {
        file.extend(word.to_le_bytes()); // version, entry, tables, flags
    }
    for half in [52_u16, 32, count, 40, 0, 0] {
        file.extend(half.to_le_bytes());
    }
    let mut offset = 52 + 32 * u32::from(count);
    for &(address, bytes, in_memory) in segments {
        let length = u32::try_from(bytes.len()).unwrap();
        // The virtual address is elsewhere, as that of variables is.
        for word in [1, offset, 0x2000_0000, address, length, in_memory, 6, 4] {
            file.extend(word.to_le_bytes());
        }
        offset += length;
    }
    file.extend(segments.iter().flat_map(|(_, bytes, _)| *bytes));
    file
}

/// Boot code with its check value.
fn boot() -> [u8; 256] {
    let mut page = std::array::from_fn(|n| u8::try_from(n * 7 % 251).unwrap());
    let check = boot_check(&page[..252]);
    page[252..].copy_from_slice(&check.to_le_bytes());
    page
}

fn word(block: &[u8], number: usize) -> u32 {
    u32::from_le_bytes(block[number * 4..][..4].try_into().unwrap())
}

/// Given an image of two pages, when it is converted, then each block has the published layout. Source: the specification
/// "USB Flashing Format (UF2)", 'File format', and its list of family ids (from memory).
#[test]
fn each_block_has_the_published_layout() {
    let file = from_elf(&elf(&[(FLASH, &boot(), 256), (FLASH + 256, &[0xab; 256], 256)])).unwrap();
    let blocks: Vec<&[u8]> = file.chunks(512).collect();
    assert_eq!((file.len() % 512, blocks.len()), (0, 16)); // a sector of 4 KiB
    for (number, block) in (0..).zip(&blocks) {
        assert_eq!(&block[..8], b"UF2\nWQ]\x9e", "both magic numbers at the start");
        assert_eq!(&block[508..], [0x30, 0x6f, 0xb1, 0x0a], "the magic number at the end");
        assert_eq!(word(block, 2), 0x0000_2000, "the flag of a family id");
        assert_eq!(word(block, 3), FLASH + 256 * number, "the address");
        assert_eq!([4, 5, 6].map(|at| word(block, at)), [256, number, 16], "bytes, number, blocks");
        assert_eq!(word(block, 7), 0xe48b_ff56, "the family id of the RP2040");
        assert!(block[32 + 256..508].iter().all(|&byte| byte == 0));
    }
    assert_eq!(blocks[0][32..][..256], boot());
    assert_eq!(blocks[1][32..][..256], [0xab; 256]);
    assert_eq!(blocks[2][32..][..256], [0xff; 256]);
}

/// Given segments in any order, with a gap and one without bytes, when they are converted, then each byte is at its
/// address, and the rest is as in erased flash.
#[test]
fn each_byte_of_a_segment_is_at_its_address() {
    let (code, data) = ((0..5_000_u32).map(|n| (n % 255) as u8).collect::<Vec<_>>(), [1, 2, 3]);
    let after = FLASH + 256 + 5_000 + 13;
    let image = elf(&[(after, &data, 3), (0x2000_0000, &[], 900), (FLASH + 256, &code, 5_000), (FLASH, &boot(), 256)]);
    let file = from_elf(&image).unwrap();
    let flat: Vec<u8> = file.chunks(512).flat_map(|block| &block[32..][..256]).copied().collect();
    let mut expected = [&boot()[..], &code, &[0xff; 13], &data].concat();
    expected.resize(8_192, 0xff);
    assert_eq!(flat, expected);
}

/// Source: catalogue of CRC algorithms, CRC-32/MPEG-2, check value (from memory).
#[test]
fn the_check_value_is_that_of_the_catalogue() {
    assert_eq!(boot_check(b"123456789"), 0x0376_e6e7);
}

#[test]
fn an_image_that_could_not_start_is_refused() {
    let boot = boot();
    let mut wrong = boot;
    wrong[17] ^= 4;
    let other = boot_check(&wrong[..252]);
    let found = boot_check(&boot[..252]);
    for (segments, why) in [
        (&[(FLASH, &wrong[..], 256)][..], Refusal::BootCode { found, computed: other }),
        (&[(FLASH, &boot[..255], 255)], Refusal::NoBootCode),
        (&[(FLASH + 256, &boot, 256)], Refusal::NoBootCode),
        (&[], Refusal::NoBootCode),
        (&[(FLASH, &boot, 256), (FLASH + 255, &[1], 1)], Refusal::Overlap(FLASH + 255)),
        (&[(FLASH, &boot, 256), (0x2000_0000, &[1], 1)], Refusal::NotInFlash(0x2000_0000)),
        (&[(0, &boot, 256)], Refusal::NotInFlash(0)),
        (&[(FLASH, &boot, 256), (0x101f_dfff, &[1, 2], 2)], Refusal::NotInFlash(0x101f_dfff)),
    ] {
        assert_eq!(from_elf(&elf(segments)), Err(why));
    }
    // The last byte below the stored plan is still the image's.
    assert!(from_elf(&elf(&[(FLASH, &boot, 256), (0x101f_dfff, &[1], 1)])).is_ok());
}

/// Given an image with any one byte changed, or cut anywhere, when it is converted, then there is no panic, and what is
/// cut is refused.
#[test]
fn a_damaged_image_is_no_panic() {
    let whole = elf(&[(FLASH, &boot(), 256), (FLASH + 256, &[7; 40], 40)]);
    for length in 0..whole.len() {
        assert!(from_elf(&whole[..length]).is_err(), "{length} bytes");
    }
    for (at, bits) in (0..whole.len()).flat_map(|at| [0x01, 0x80, 0xff].map(|bits| (at, bits))) {
        let mut damaged = whole.clone();
        damaged[at] ^= bits;
        drop(from_elf(&damaged));
    }
    for (at, byte) in [(0, b'F'), (4, 2), (5, 2), (18, 3)] {
        let mut other = whole.clone();
        other[at] = byte;
        assert_eq!(from_elf(&other), Err(Refusal::NotAnImage), "byte {at}");
    }
}

fn run(words: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_trainer-box-uf2")).args(words).output().unwrap()
}

/// Given input that is no image, or a place that cannot be written, when the tool runs, then it says so, with exit code
/// 2, and what was there before is untouched.
#[test]
fn bad_input_leaves_the_file_of_before() {
    let folder = std::env::temp_dir().join(format!("trainer-box-uf2-{}", std::process::id()));
    fs::create_dir_all(&folder).unwrap();
    let path = |name: &str| folder.join(name).into_os_string().into_string().unwrap();
    let (good, text, file, nowhere) = (path("good"), path("text"), path("box.uf2"), path("no/box.uf2"));
    fs::write(&good, elf(&[(FLASH, &boot(), 256)])).unwrap();
    fs::write(&text, "no image").unwrap();
    let ran = run(&[&good, &file]);
    assert!(ran.status.success() && ran.stderr.is_empty(), "{ran:?}");
    let before = fs::read(&file).unwrap();
    assert_eq!(before.len(), 16 * 512);
    for (words, said) in [
        (&[&*text, &*file][..], "text is not a linked image for an Arm processor: give the file that cargo built"),
        (&[&nowhere, &file], "no/box.uf2: cannot be read"),
        (&[&good, &nowhere], "no/box.uf2: cannot be written"),
        (&[&good], "give the linked image and the file to write"),
    ] {
        let ran = run(words);
        let err = String::from_utf8(ran.stderr).unwrap();
        assert_eq!(ran.status.code(), Some(2), "{err}");
        assert!(err.starts_with("error: ") && err.contains(said) && err.lines().count() == 1, "{err}");
    }
    assert_eq!(fs::read(&file).unwrap(), before);
    assert_eq!(fs::read_dir(&folder).unwrap().count(), 3, "nothing else is left");
    fs::remove_dir_all(folder).unwrap();
}
