//! What is said: where, what was seen against what was expected, and the remedy.

use handback::preflight::{Action, End, Finding, Obstacle, Side};
use handback::{Cause, Deflection, Waiting};
use handback_host_tests::{ms, points};

/// Given the longest numbers, when a finding is printed, then it has room. A sentence that was cut off would end
/// without the remedy.
#[test]
fn the_longest_findings_are_printed_in_full() {
    let (side, axis, far) = (Side::Instructor, 15, Deflection::MIN);
    let findings = [
        Finding::DoesNotMove { side, axis },
        Finding::Swapped { side, axis, with: 14 },
        Finding::Reversed { side, axis },
        Finding::CentreOff { side, axis, by: far },
        Finding::ThrowShort { side, axis, end: End::Positive, seen: Deflection::MAX, expected: Deflection::MAX },
        Finding::ThrottleUp { side, axis, by: far },
        Finding::NotHandedOver { waiting: Some(Waiting::Latch) },
        Finding::NotHandedOver { waiting: None },
        Finding::NotSeen { step: Action::Move { side, axis, end: End::Negative } },
        Finding::NotSeen { step: Action::Return { side, axis } },
        Finding::SignalLost { side },
        Finding::LinkRepeats,
    ];
    for finding in findings {
        let text = finding.to_string();
        let remedy = text.rsplit_once(": ").map(|(_, remedy)| remedy.to_owned()).unwrap_or_default();
        let whole = ["right", "channel", "read", "batteries", "rate", "centre", "switch", "frozen_after"];
        assert!(text.len() < 176 && whole.iter().any(|end| remedy.ends_with(end)), "{text:?} ({})", text.len());
    }
    for obstacle in [
        Obstacle::NoSignal { side },
        Obstacle::ThrottleUp { side, axis, by: far },
        Obstacle::StickAway { side, axis, by: far },
        Obstacle::SwitchOn,
        Obstacle::ButtonPressed,
        Obstacle::NotStill,
    ] {
        assert!(obstacle.to_string().len() < 176, "{obstacle}");
    }
}
/// Given a finding, when it is printed, then it says what was seen and what was expected.
#[test]
fn a_finding_says_what_was_seen_and_what_was_expected() {
    let told = [
        (
            Finding::ThrowShort {
                side: Side::Student,
                axis: 3,
                end: End::Negative,
                seen: points(80),
                expected: points(100),
            },
            "student: axis 3 goes 80.00 points to its negative end, not 100.00 points: set its ends or rate",
        ),
        (
            Finding::NotHandedOver { waiting: Some(Waiting::Held(1)) },
            "the student did not get the craft; what is missing: axis 1 let go: \
             put that right",
        ),
    ];
    for (finding, text) in told {
        assert_eq!(finding.to_string(), text);
    }
}

/// Given each action, when it is asked for, then the words say who does what, and its side is the one that is asked.
#[test]
fn each_action_says_who_does_what() {
    let (student, instructor) = (Some(Side::Student), Some(Side::Instructor));
    let told: [(Action, Option<Side>, &str); 12] = [
        (Action::Start, None, "both: throttle safe, hands off all other sticks, lesson switch off"),
        (
            Action::Move { side: Side::Student, axis: 0, end: End::Positive },
            student,
            "student: axis 0 to its positive end (up or right), and hold it there",
        ),
        (
            Action::Move { side: Side::Instructor, axis: 2, end: End::Negative },
            instructor,
            "instructor: axis 2 to its negative end (down or left), and hold it there",
        ),
        (
            Action::Return { side: Side::Student, axis: 1 },
            student,
            "student: axis 1 back: let it go; if it has no spring, to its safe place, and hands off",
        ),
        (Action::HandOver, instructor, "instructor: lesson switch on"),
        (Action::TakeOver { axis: 3 }, instructor, "instructor: move axis 3 a little and keep it there"),
        (
            Action::HandBack { axis: 3 },
            instructor,
            "instructor: axis 3 back: let it go; if it has no spring, to its safe place, and hands off",
        ),
        (Action::Again { after: Cause::SwitchOff }, instructor, "instructor: lesson switch off, then on"),
        (Action::LinkOff, student, "student: transmitter off"),
        (Action::LinkOn, student, "student: transmitter on, throttle safe"),
        (Action::Press, instructor, "instructor: press the instructor-now button, and let it go"),
        (Action::Finish, instructor, "instructor: lesson switch off"),
    ];
    for (action, side, words) in told {
        assert_eq!((action.side(), action.to_string().as_str()), (side, words));
    }
    assert_eq!((Action::Done.side(), Action::Done.to_string().as_str()), (None, "the check is through"));
}

/// Given each thing that the engine can wait for, when the student does not get the craft, then the words name it.
#[test]
fn what_is_missing_for_the_hand_over_is_named() {
    let left = ms(20);
    for (waiting, words) in [
        (Some(Waiting::InstructorSignal), "the instructor's signal"),
        (Some(Waiting::Switch), "lesson switch on"),
        (Some(Waiting::Settling { left }), "lesson switch on"),
        (Some(Waiting::SwitchOffFirst), "lesson switch off, then on"),
        (Some(Waiting::Latch), "lesson switch off, since a takeover latched"),
        (Some(Waiting::StudentLink { left }), "the student link"),
        (Some(Waiting::Held(15)), "axis 15 let go"),
        (Some(Waiting::Gate(15)), "the sticks of axis 15 together"),
        (Some(Waiting::Dwell { left }), "the end of the dwell"),
        (None, "the end of the dwell"),
    ] {
        let said = Finding::NotHandedOver { waiting }.to_string();
        assert_eq!(said, format!("the student did not get the craft; what is missing: {words}: put that right"));
    }
}
