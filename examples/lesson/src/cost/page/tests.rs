//! The table has the numbers of the formulas, and fits its page.

use super::*;

pub(crate) fn question() -> Question {
    Question {
        delay: Delay { reaction_s: 0.4, frame_s: 0.02, confirm: 2, link_s: 0.02, output_frame_s: 0.0 },
        reaction: Some(Reaction::Watching),
        speeds: vec![10.0, 20.0],
        dives: vec![0.0, 30.0],
        banks: vec![0.0, 60.0, 90.0],
    }
}

fn printed(question: &Question) -> String {
    let mut out = Vec::new();
    print(&mut out, question).unwrap();
    String::from_utf8(out).unwrap()
}

/// The numbers of the line that begins with `label`, in the section that begins with `section`.
fn cells(printed: &str, section: &str, label: &str) -> Vec<f64> {
    let section = printed.split("\n\n").find(|part| part.trim_start().starts_with(section)).expect(section);
    let line = section.lines().find(|line| line.trim_start().starts_with(label)).expect(label);
    let numbers = line.split_at(LABEL + 2).1.split_whitespace();
    numbers.map(|number| number.trim_start_matches('~').parse().unwrap()).collect()
}

#[track_caller]
fn are(found: &[f64], expected: &[f64], within: f64) {
    assert_eq!(found.len(), expected.len(), "{found:?} {expected:?}");
    for (found, expected) in found.iter().zip(expected) {
        assert!((found - expected).abs() <= within + 1e-9, "{found} {expected}");
    }
}

/// Computed here from the delay of 460 ms, not by the code under test. Free fall: standard gravity, 9.80665 m/s^2 (3rd
/// CGPM, 1901).
#[test]
fn the_table_is_what_the_formulas_give_by_hand() {
    let printed = printed(&question());
    let fall = |after_s: f64| 9.806_65 * after_s * after_s / 2.0;
    are(&cells(&printed, "The delay", "confirm 2: 1 more frame"), &[20.0, 20.0], 0.0);
    are(&cells(&printed, "The delay", "electronics, together"), &[50.0, 60.0], 0.0);
    are(&cells(&printed, "The delay", "human and electronics"), &[450.0, 460.0], 0.0);

    let level = |label| cells(&printed, "Height lost in level flight, metres", label);
    let by_bank = |metres: f64| [0.0, metres / 2.0, metres, metres];
    are(&level("human alone"), &by_bank(fall(0.4)), 0.005);
    are(&level("electronics add"), &by_bank(fall(0.46) - fall(0.4)), 0.005);
    are(&level("human and electronics"), &by_bank(fall(0.46)), 0.005);
    are(&level("one more frame"), &by_bank(fall(0.48) - fall(0.46)), 0.0005);

    // In a dive of 30 degrees the sink is half of the speed, and 3/4 of the height that the bank loses is left.
    let dive = cells(&printed, "Height lost, dive 30 degrees", "human and electronics, 20 m/s");
    are(&dive, &[4.6, 4.6 + 0.375 * fall(0.46), 4.6 + 0.75 * fall(0.46), 4.6 + fall(0.46)], 0.005);

    are(&cells(&printed, "Distance", "human and electronics"), &[4.6, 9.2], 0.005);
    are(&cells(&printed, "Distance", "one more frame"), &[0.2, 0.4], 0.0005);
    let late = cells(&printed, "Height lost in level flight, by reaction", "1000 ms: rotorcraft");
    are(&late, &by_bank(fall(1.06)), 0.005);
}

#[test]
fn where_the_formula_bends_with_the_path_the_page_says_so() {
    assert!(!printed(&question()).contains("~ at") && !printed(&question()).contains(" ~1"));
    let mut late = question();
    late.delay.reaction_s = 2.5;
    let printed = printed(&late);
    assert!(printed.contains("  ~ at 20 m/s and slower, in the steepest bank\n"), "{printed}");
    let rough = printed.lines().find(|line| line.starts_with("  human and electronics, 10 m/s")).unwrap();
    assert_eq!(rough.matches('~').count(), 2, "{rough}: no bank and no lift bend no lift");
}

#[test]
fn the_page_is_a_hundred_columns_wide_at_most() {
    let mut wide = question();
    wide.speeds = vec![1.0, 111.111, 222.222, 288.888, 299.999, 300.0];
    wide.dives = vec![0.001, 33.333, 66.666, 89.999];
    wide.banks = vec![0.001, 33.333, 111.111, 155.555, 179.999];
    wide.delay = Delay { reaction_s: 4.0, frame_s: 0.2, confirm: 255, link_s: 4.2, output_frame_s: 0.8 };
    wide.reaction = None;
    for question in [question(), wide] {
        for line in printed(&question).lines() {
            assert!(line.chars().count() <= 100, "{line}");
        }
    }
}
