//! A plan as a file: what comes out is what went in, or an error.

use seeded::Random;
use trainer_box::{AxisName, NameFault, PlanError};
use trainer_box_store::{FILE_BYTES, FileError, VERSION, decode, encode};

use super::plans::{BoxPlan, any, file, plan};

fn read(bytes: &[u8]) -> Result<BoxPlan, FileError> {
    decode(bytes)
}

/// The same bytes with a right check value.
fn sealed(mut bytes: Vec<u8>) -> Vec<u8> {
    let mut crc = outcome_digest::Crc32::new();
    crc.add(&bytes);
    bytes.extend(crc.value().to_le_bytes());
    bytes
}

/// Given plans with any values, when they are written and read, then they are the same.
#[test]
fn a_plan_comes_out_as_it_went_in() {
    assert_eq!(read(&file(&plan())), Ok(plan()));
    let mut random = Random::new(1);
    let mut longest = 0;
    for _ in 0..20_000 {
        let plan = any(&mut random);
        let file = file(&plan);
        assert_eq!(read(&file), Ok(plan));
        longest = longest.max(file.len());
    }
    println!("the default plan: {} bytes; the longest of 20,000 others: {longest} bytes", file(&plan()).len());
    assert!(longest <= FILE_BYTES);
}

/// Given a stored plan, when one bit of it is wrong, wherever it is, then no plan comes out.
#[test]
fn a_file_with_any_bit_flipped_is_refused() {
    let good = file(&plan());
    for bit in 0..good.len() * 8 {
        let mut bad = good.clone();
        bad[bit / 8] ^= 1 << (bit % 8);
        assert!(read(&bad).is_err(), "bit {bit}");
    }
}

/// Given a stored plan, when it is cut anywhere or added to, then no plan comes out.
#[test]
fn a_file_that_is_cut_or_longer_is_refused() {
    let good = file(&plan());
    for length in 0..good.len() {
        assert!(matches!(read(&good[..length]), Err(FileError::Length { bytes, .. }) if bytes == length));
    }
    for byte in 0..=u8::MAX {
        let longer = [&good[..], &[byte]].concat();
        assert_eq!(read(&longer), Err(FileError::Length { bytes: longer.len(), needed: good.len() }));
    }
}

/// Given 100,000 random byte strings, some of which begin as a file does, when they are read, then no plan comes out.
#[test]
fn random_bytes_are_no_plan() {
    let mut random = Random::new(2);
    let head = file(&plan())[..6].to_vec();
    let mut by_check = 0;
    for number in 0..100_000 {
        let mut bytes: Vec<u8> = (0..random.below(700)).map(|_| random.next().to_le_bytes()[3]).collect();
        if number % 2 == 0 && bytes.len() >= 12 {
            bytes[..6].copy_from_slice(&head);
            let length = u16::try_from(bytes.len() - 12).expect("short");
            bytes[6..8].copy_from_slice(&length.to_le_bytes());
            by_check += 1;
            assert_eq!(read(&bytes), Err(FileError::Check));
        } else {
            assert!(read(&bytes).is_err());
        }
    }
    assert!(by_check > 40_000);
}

/// Given bytes with a right check value around a damaged plan, when they are read, then they are no plan, or a plan
/// that is written and read the same; checking it does not panic.
#[test]
fn a_right_check_value_makes_no_plan() {
    let mut random = Random::new(3);
    let good = file(&plan());
    let (mut plans, mut passed) = (0, 0);
    for _ in 0..100_000 {
        let mut bad = good[..good.len() - 4].to_vec();
        for _ in 0..=random.below(3) {
            let at = 8 + random.below(bad.len() - 8);
            bad[at] = random.next().to_le_bytes()[3];
        }
        match read(&sealed(bad)) {
            Ok(plan) => {
                plans += 1;
                passed += u32::from(plan.check().is_ok());
                assert_eq!(read(&file(&plan)), Ok(plan));
            }
            Err(why) => assert_eq!(why, FileError::Content),
        }
    }
    println!("{plans} of 100,000 damaged plans with a right check value are plans, {passed} pass the check");
    assert!(plans > 1_000 && plans < 100_000, "else little was shown: {plans}");
}

/// Given each error, when it is printed, then it says what is wrong, with its value and the remedy.
#[test]
fn every_error_says_what_is_wrong_and_what_to_do() {
    let good = file(&plan());
    let with = |at: usize, byte: u8| {
        let mut bad = good.clone();
        bad[at] = byte;
        read(&bad).expect_err("it is bad").to_string()
    };
    let remedy = "write it again, with the tool that came with the box";
    assert_eq!(with(0, b'T'), "the file does not begin with tbox: it is no plan of a trainer box");
    assert_eq!(with(4, 9), format!("the file has version 9 of the format, and this box reads version 2: {remedy}"));
    assert_eq!(with(5, 6), "the file is for 6 axes, and this box has 4: write a file for this box");
    assert_eq!(
        with(6, 0),
        format!(
            "the file has {} bytes instead of {}: it was cut or added to; write it again",
            good.len(),
            12 + (good.len() - 12) / 256 * 256
        )
    );
    assert_eq!(with(20, 0), "the check value of the file is wrong: it was changed after it was made; write it again");
    let no_plan = sealed([&good[..good.len() - 5], &[0xFF]].concat());
    assert_eq!(read(&no_plan), Err(FileError::Content));
    assert_eq!(FileError::Content.to_string(), "the file has a right check value, but is no plan: write it again");
    for bytes in [0, 7, 8, 11, good.len() - 1] {
        assert_eq!(encode(&plan(), &mut vec![0; bytes]), Err(FileError::Room { bytes }));
    }
    assert_eq!(encode(&plan(), &mut vec![0; good.len()]), Ok(&good[..]));
    assert_eq!(FileError::Room { bytes: 9 }.to_string(), "the plan does not fit into 9 bytes");
}

/// Given a plan that does not pass its check, when it is read from its file, then the check refuses it there too: the
/// file is not trusted because it is whole.
#[test]
fn a_plan_from_a_file_is_checked_as_any_other() {
    let mut wrong = plan();
    for long in ["a name that is too long", "sixteen letters!", "fourteen bytes\u{e9}"] {
        wrong.names[1] = AxisName::new(long);
        let again = read(&file(&wrong)).expect("a file");
        assert_eq!(again, wrong);
        let why = again.check().expect_err("a long name");
        assert!(matches!(why, PlanError::Name { axis: 1, fault: NameFault::TooLong, .. }), "{why}");
    }
}

/// Given the format of this version, when a plan gets another field, then this test fails: raise `VERSION` with it, so
/// that a box refuses the files of before by name.
#[test]
fn the_format_of_a_version_does_not_change() {
    let file = file(&plan());
    // Without the check value at its end: with it, the check value of any whole file is the same.
    let (content, _) = file.split_last_chunk::<4>().expect("a check value");
    let mut crc = outcome_digest::Crc32::new();
    crc.add(content);
    assert_eq!((VERSION, file.len(), crc.value()), (2, 556, 246_984_952));
}
