//! What is said: where, what was seen against what was expected, and the remedy.

use handback::preflight::{Action, End, Finding, Obstacle, Side};
use handback::{Deflection, Waiting};
use handback_host_tests::points;

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
