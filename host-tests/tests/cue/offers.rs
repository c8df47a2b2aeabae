//! The offer: a handback is about to come.

use handback::cue::{Cue, CueRule, CueRules, Cues};
use handback::{Deflection, Instant, Policy};
use handback_host_tests::{Lesson, ms, points, sprung, with};

use crate::desk::{Desk, Told, checked, desk_with};

fn offering() -> CueRules {
    with!(CueRules::new(), offer: CueRule::of(Cue::Offer.rhythm()))
}

/// A dwell of four seconds, which leaves time for an offer.
fn slow() -> Policy<4> {
    with!(sprung(), dwell: ms(4_000))
}

fn slow_desk() -> Desk<4> {
    desk_with(slow(), &offering()).steps(80).change(Lesson::switch_on)
}

/// Given a long dwell, when the instructor lets go, then the offer is announced first, and the handback when it is
/// done.
/// Rules: A2
#[test]
fn an_offer_is_told_before_the_handing_back() {
    let lesson = slow_desk().steps(300);
    assert_eq!(lesson.cues_of_lesson(), [Cue::Offer, Cue::HandedBack]);
    let again = lesson.change(|lesson| lesson.roll(5)).steps(250).change(|lesson| lesson.roll(0)).steps(350);
    assert_eq!(again.cues_of_lesson()[2..], [Cue::Taken, Cue::Offer, Cue::HandedBack]);
}

/// Given the default rules, when the craft is handed back, then there is no offer.
#[test]
fn no_offer_is_made_by_default() {
    let lesson = desk_with(slow(), &CueRules::new()).steps(80).change(Lesson::switch_on).steps(300);
    assert_eq!(lesson.cues_of_lesson(), [Cue::HandedBack]);
}

/// Given an offer that is playing, when it is withdrawn, then it plays to its end, since a part of it could be
/// mistaken for a handback; an offer that has not begun is dropped.
/// Rules: A2
#[test]
fn an_offer_that_is_withdrawn_is_told_to_its_end_or_not_at_all() {
    let lesson = slow_desk().steps(20);
    assert_eq!(lesson.cues_of_lesson(), [Cue::Offer]);
    let withdrawn = lesson.change(|lesson| lesson.roll(5)).steps(100);
    let sounds = [vec![true], withdrawn.beeps()].concat();
    let rest_of_it = sounds.windows(2).filter(|pair| !pair[0] && pair[1]).count();
    assert!(rest_of_it >= 4, "{rest_of_it} more pulses of six");

    let taken = desk_with(slow(), &offering()).student_flying().change(|lesson| lesson.roll(5)).steps(10);
    let let_go = taken.change(|lesson| lesson.roll(0)).steps(20).change(|lesson| lesson.roll(5)).steps(200);
    assert_eq!(let_go.cues_of_lesson().last(), Some(&Cue::Taken), "let go and held again before the taking was told");
}

/// Given a change that waits to be announced, when an offer begins, then the change is announced first, and then the
/// offer.
#[test]
fn an_offer_comes_after_a_change_that_waits() {
    let mut cues = Cues::new(checked(&offering()));
    let mut told = Vec::new();
    for n in 0..600 {
        let now = match n {
            0 => Told::change(Cue::Nobody),
            10 => Told::change(Cue::Taken),
            1..10 => Told::change(Cue::Nobody).goes_on(),
            _ => Told::change(Cue::Offer),
        };
        told.extend(cues.step(&now.outcome(Instant::from_ticks(n * 20_000))).begun);
    }
    assert_eq!(told, [Cue::Nobody, Cue::Taken, Cue::Offer]);
}

/// Given a match window, when only the distance between the two sticks keeps the craft from the student, then that is
/// an offer, too.
/// Rules: H3, A2
#[test]
fn a_gate_that_is_waited_for_is_an_offer() {
    let mut policy = sprung::<2>();
    policy.axes[1].window = Some(points(5));
    let lesson = desk_with(policy, &offering()).change(|lesson| lesson.student(1, points(40))).steps(80);
    let gated = lesson.change(Lesson::switch_on).steps(200);
    assert_eq!(gated.cues_of_lesson(), [Cue::Offer]);
    let met = gated.change(|lesson| lesson.student(1, Deflection::CENTRE)).steps(30);
    assert_eq!(met.cues_of_lesson(), [Cue::Offer, Cue::HandedBack]);
}
