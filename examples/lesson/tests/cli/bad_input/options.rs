//! Words of the command line that are no command, and numbers out of range.

use crate::desk::Desk;

#[test]
fn words_that_are_no_command_are_refused() {
    let desk = Desk::new();
    for words in [
        &["flyy"][..],
        &["fly", "--minutes", "NaN"],
        &["fly", "--minutes", "0"],
        &["fly", "--minutes", "-1"],
        &["fly", "--minutes", "1e9"],
        &["fly", "--seed", "-1"],
        &["fly", "--sed", "1"],
        &["fly", "--picture"],
        &["fly", "--picture", ""],
        &["replay"],
        &["replay", "a", "b"],
        &["policy", "a", "b"],
    ] {
        let run = desk.run(words);
        assert_eq!((run.code, run.out.as_str()), (Some(2), ""), "{words:?}");
        assert_eq!(run.err.matches("error: ").count(), 1, "{}", run.err);
    }
    assert!(desk.files().is_empty());
}

/// Given a number that an option does not take, when it is refused, then the message has the range, and the number to
/// write if the form alone is wrong.
#[test]
fn every_number_of_the_command_line_says_its_range() {
    let desk = Desk::new();
    for (words, range) in [
        (&["fly", "--minutes"][..], "minutes from 0.1 to 100000"),
        (&["fly", "--seed"], "whole number from 0 to 18446744073709551615"),
        (&["preflight", "--seed"], "whole number from 0 to 18446744073709551615"),
        (&["tune", "r.csv", "--hours-apart"], "hours from 0.01 to 1000000"),
        (&["tune", "r.csv", "--full-travel"], "counts from 1 to 1000000000"),
        (&["cost", "--speed-m-per-s"], "metres a second from 1 to 300"),
        (&["cost", "--bank-deg"], "degrees from 0 to 180"),
        (&["cost", "--dive-deg"], "degrees from 0 to 90"),
        (&["cost", "--frame-ms"], "milliseconds from 0.5 to 1000"),
        (&["cost", "--confirm"], "number of frames from 1 to 255"),
        (&["cost", "--link-ms"], "milliseconds from 0 to 10000"),
        (&["cost", "--output-frame-ms"], "milliseconds from 0 to 1000"),
        (&["cost", "--reaction-ms"], "milliseconds from 0 to 60000"),
    ] {
        for (value, remedy) in [
            ("-1", ""),
            ("99999999999999999999", ""),
            ("NaN", ""),
            ("inf", ""),
            ("0x10", ""),
            ("", ""),
            ("+5", "; no plus sign: write 5"),
            ("1e1", "; no exponent: write 10"),
        ] {
            let option = words[words.len() - 1];
            let run = desk.run(&[words, &[value]].concat());
            assert_eq!((run.code, run.out.as_str()), (Some(2), ""), "{words:?} {value}: {run:?}");
            let said = format!("invalid value '{value}' for '{option} <");
            let empty = format!("a value is required for '{option} <");
            assert!(run.err.contains(&said) || value.is_empty() && run.err.contains(&empty), "{}", run.err);
            assert!(run.err.contains(&format!("{range}{remedy}\n")) || run.err.contains(&empty), "{}", run.err);
        }
    }
    for (words, said) in [
        (["preflight", "--fault", "centre:aileron:+5"], "points from -50 to 50; no plus sign: write 5"),
        (["preflight", "--fault", "throw:aileron:1e1"], "percent from 0 to 125; no exponent: write 10"),
        (["preflight", "--student-throw", "rudder:60%"], "percent from 30 to 100; percent are meant: write 60"),
    ] {
        desk.run(&words).is_refused_with(said);
    }
    assert!(desk.files().is_empty());
}
