//! A change of pilot in an instructor's words.

use handback::{AxisSet, Cause, Deflection, Pilot, Waiting};

use super::{Entry, Latch};

/// A time as minutes, seconds and tenths, such as `01:23.4`, rounded to the nearest tenth.
pub(crate) fn clock(time_us: u64) -> String {
    let tenths = time_us.saturating_add(50_000) / 100_000;
    format!("{:02}:{:02}.{}", tenths / 600, tenths / 10 % 60, tenths % 10)
}

/// Whether the instructor took over in this change, if the student lost an axis in it. Where the instructor's signal was
/// lost, nobody did.
pub(crate) fn is_takeover(to: Pilot, cause: Cause) -> bool {
    to != Pilot::Nobody && cause != Cause::InstructorLost
}

/// The change as a sentence: what changed hands, whether it is latched, and the cause.
pub(crate) fn sentence(entry: &Entry, names: &[String], shared: AxisSet) -> String {
    let who = who(entry, names, shared);
    match (entry.cause, entry.latched) {
        (Cause::HandedBack, _) => who,
        (_, Latch::No) => format!("{who}: {}", why(entry, names)),
        (Cause::Stick(axis), Latch::By(by)) if by != axis => {
            format!("{who}: {}; {}", why(entry, names), kept_by(name(by, names)))
        }
        _ => format!("{who}, latched: {}", why(entry, names)),
    }
}

/// Which stick keeps a craft that another cause took.
pub(crate) fn kept_by(stick: &str) -> String {
    format!("kept (latched) by the {stick} stick")
}

/// The cause alone, for a mark in the picture.
pub(crate) fn short(entry: &Entry, names: &[String]) -> String {
    match entry.cause {
        Cause::Stick(axis) if entry.meant == Some(false) => format!("{}: not meant", name(axis, names)),
        Cause::Stick(axis) if entry.reason.is_empty() => format!("{} stick", name(axis, names)),
        Cause::Stick(axis) => format!("{}: {}", name(axis, names), entry.reason),
        _ => why(entry, names),
    }
}

/// A latch, and how it ends.
const LATCHED: &str = "the instructor keeps the craft (latched): turn the lesson switch off, then on";

/// What the student waits for, as a sentence.
pub(crate) fn wait(waiting: Waiting, names: &[String]) -> String {
    match waiting {
        Waiting::InstructorSignal => "the instructor's signal is lost".to_owned(),
        Waiting::Switch => "turn the lesson switch on".to_owned(),
        Waiting::SwitchOffFirst => "turn the lesson switch off, then on".to_owned(),
        Waiting::Settling { .. } => "the lesson switch must stay on for a moment".to_owned(),
        Waiting::Latch => LATCHED.to_owned(),
        Waiting::StudentLink { .. } => "the student's radio link must stay good".to_owned(),
        Waiting::Held(axis) => format!("the instructor holds the {}", name(axis, names)),
        Waiting::Dwell { .. } => "sticks at rest, control goes back".to_owned(),
        Waiting::Gate(axis) => format!("the two {} sticks are too far apart", name(axis, names)),
    }
}

/// What the student waited for, looked back at: whether it came is not said.
pub(crate) fn waited_for(waiting: Waiting, names: &[String]) -> String {
    match waiting {
        Waiting::InstructorSignal => "the instructor's signal".to_owned(),
        Waiting::Switch => "the lesson switch to be on".to_owned(),
        Waiting::SwitchOffFirst | Waiting::Latch => "the lesson switch to be turned off, then on".to_owned(),
        Waiting::Settling { .. } => "the lesson switch to stay on".to_owned(),
        Waiting::StudentLink { .. } => "the student's radio link to stay good".to_owned(),
        Waiting::Held(axis) => format!("the {} stick to come to rest", name(axis, names)),
        Waiting::Dwell { .. } => "the sticks to stay at rest".to_owned(),
        Waiting::Gate(axis) => format!("the two {} sticks to come together", name(axis, names)),
    }
}

/// The change without its cause.
fn who(entry: &Entry, names: &[String], shared: AxisSet) -> String {
    let (before, now) = (entry.from.student(), entry.to.student());
    match entry.to {
        Pilot::Nobody => "nobody flies, failsafe is put out".to_owned(),
        Pilot::Instructor if entry.from == Pilot::Nobody => "instructor flies again".to_owned(),
        Pilot::Instructor if !is_takeover(entry.to, entry.cause) => {
            "student loses the craft, instructor's last values are held".to_owned()
        }
        Pilot::Instructor => "taken over".to_owned(),
        Pilot::Student(_) if now.is_subset_of(before) => format!("{} taken over", listed(before.except(now), names)),
        Pilot::Student(_) if before.is_empty() && now == shared => "handed to the student".to_owned(),
        Pilot::Student(_) => format!("{} handed to the student", listed(now.except(before), names)),
    }
}

/// The cause.
fn why(entry: &Entry, names: &[String]) -> String {
    match entry.cause {
        Cause::LateStep => "the steps stopped for too long".to_owned(),
        Cause::InstructorLost => "instructor's signal lost".to_owned(),
        Cause::InstructorBack => "instructor's signal is back".to_owned(),
        Cause::InstructorNow => format!("instructor-now button{}", in_brackets(entry.reason)),
        Cause::BadFrame => "bad instructor's frame".to_owned(),
        Cause::SwitchOff => format!("lesson switch off{}", in_brackets(entry.reason)),
        Cause::LinkLost => "student's radio link lost".to_owned(),
        Cause::LinkFrozen => "student's radio link frozen".to_owned(),
        Cause::Stick(axis) => format!("{} stick{}", name(axis, names), stick_reason(entry)),
        Cause::Latch => "the takeover was too long or too far".to_owned(),
        Cause::HandedBack => "handed to the student".to_owned(),
    }
}

/// The reason for which a stick was moved, where it is known; otherwise the position of the stick.
fn stick_reason(entry: &Entry) -> String {
    let at = entry.stick.map_or(String::new(), |stick| format!("at {}", points(stick)));
    match entry.meant {
        Some(false) => format!(" (nobody meant it, {at})"),
        Some(true) if !entry.reason.is_empty() => in_brackets(entry.reason),
        Some(true) | None => format!(" {at}"),
    }
}

/// A deflection in signed points to a tenth.
fn points(stick: Deflection) -> String {
    format!("{:+.1} points", f64::from(stick.to_bits()) / 163.84)
}

fn in_brackets(reason: &str) -> String {
    if reason.is_empty() { String::new() } else { format!(" ({reason})") }
}

/// The names of these axes, such as `aileron, elevator and throttle`.
pub(crate) fn listed(axes: AxisSet, names: &[String]) -> String {
    let names: Vec<_> = axes.iter().map(|axis| name(axis, names)).collect();
    match names.as_slice() {
        [all_but_last @ .., last] if !all_but_last.is_empty() => format!("{} and {last}", all_but_last.join(", ")),
        other => other.concat(),
    }
}

fn name(axis: u8, names: &[String]) -> &str {
    names.get(usize::from(axis)).map_or("?", String::as_str)
}

#[cfg(test)]
mod tests {
    use super::*;

    const ALL: AxisSet = AxisSet::first(3);

    fn entry(from: Pilot, to: Pilot, cause: Cause) -> Entry {
        let stick = matches!(cause, Cause::Stick(_)).then(|| Deflection::from_points(-12));
        Entry { time_us: 0, from, to, cause, stick, reason: "", meant: None, latched: Latch::No }
    }

    fn said(entry: Entry) -> String {
        sentence(&entry, &["aileron", "elevator", "throttle"].map(String::from), ALL)
    }

    /// Given a takeover, when it is written, then it says why if that is known, and otherwise where the stick was.
    #[test]
    fn a_takeover_says_why_or_where_the_stick_was() {
        let taken = entry(Pilot::Student(ALL), Pilot::Instructor, Cause::Stick(0));
        assert_eq!(said(taken), "taken over: aileron stick at -12.0 points");
        let known = Entry { reason: "too much bank", meant: Some(true), ..taken };
        assert_eq!(said(known), "taken over: aileron stick (too much bank)");
        let noise = Entry { meant: Some(false), ..taken };
        assert_eq!(said(noise), "taken over: aileron stick (nobody meant it, at -12.0 points)");
    }

    /// Given a takeover that is latched, when it is written, then it says so, and by which stick, if another one took over.
    #[test]
    fn a_latch_is_told_with_the_stick_that_keeps_the_craft() {
        let taken = entry(Pilot::Student(ALL), Pilot::Instructor, Cause::Stick(0));
        for (latched, words) in [
            (Latch::Yes, "taken over, latched: aileron stick at -12.0 points"),
            (Latch::By(0), "taken over, latched: aileron stick at -12.0 points"),
            (Latch::By(2), "taken over: aileron stick at -12.0 points; kept (latched) by the throttle stick"),
        ] {
            assert_eq!(said(Entry { latched, ..taken }), words);
        }
    }

    #[test]
    fn parts_of_the_craft_are_named() {
        let two = Pilot::Student(AxisSet::of(&[0, 2]));
        let taken = entry(Pilot::Student(ALL), two, Cause::Stick(1));
        assert_eq!(said(taken), "elevator taken over: elevator stick at -12.0 points");
        let given = entry(Pilot::Instructor, two, Cause::HandedBack);
        assert_eq!(said(given), "aileron and throttle handed to the student");
    }

    #[test]
    fn nobody_and_back_are_said_plainly() {
        let gone = entry(Pilot::Instructor, Pilot::Nobody, Cause::InstructorLost);
        assert_eq!(said(gone), "nobody flies, failsafe is put out: instructor's signal lost");
        let back = entry(Pilot::Nobody, Pilot::Instructor, Cause::InstructorBack);
        assert_eq!(said(back), "instructor flies again: instructor's signal is back");
    }

    #[test]
    fn a_wait_that_is_over_does_not_say_that_control_went_back() {
        let left = handback::Duration::from_ticks(1);
        for (waiting, words) in [
            (Waiting::InstructorSignal, "the instructor's signal"),
            (Waiting::Switch, "the lesson switch to be on"),
            (Waiting::SwitchOffFirst, "the lesson switch to be turned off, then on"),
            (Waiting::Settling { left }, "the lesson switch to stay on"),
            (Waiting::Latch, "the lesson switch to be turned off, then on"),
            (Waiting::StudentLink { left }, "the student's radio link to stay good"),
            (Waiting::Held(1), "the elevator stick to come to rest"),
            (Waiting::Dwell { left }, "the sticks to stay at rest"),
            (Waiting::Gate(0), "the two aileron sticks to come together"),
        ] {
            assert_eq!(waited_for(waiting, &["aileron", "elevator"].map(String::from)), words);
        }
    }

    #[test]
    fn every_wait_is_told_by_its_own_words() {
        let left = handback::Duration::from_ticks(1);
        for (waiting, words) in [
            (Waiting::InstructorSignal, "the instructor's signal is lost"),
            (Waiting::Switch, "turn the lesson switch on"),
            (Waiting::SwitchOffFirst, "turn the lesson switch off, then on"),
            (Waiting::Settling { left }, "the lesson switch must stay on for a moment"),
            (Waiting::Latch, LATCHED),
            (Waiting::StudentLink { left }, "the student's radio link must stay good"),
            (Waiting::Held(1), "the instructor holds the elevator"),
            (Waiting::Dwell { left }, "sticks at rest, control goes back"),
            (Waiting::Gate(0), "the two aileron sticks are too far apart"),
        ] {
            assert_eq!(wait(waiting, &["aileron", "elevator"].map(String::from)), words);
        }
    }

    #[test]
    fn a_time_rounds_to_tenths_without_a_sixtieth_second() {
        assert_eq!(clock(59_960_000), "01:00.0");
        assert_eq!(clock(83_449_999), "01:23.4");
        assert_eq!(clock(6_000_000_000), "100:00.0");
    }

    #[test]
    fn every_cause_is_told_by_its_own_words() {
        let told = |cause: Cause| why(&entry(Pilot::Student(ALL), Pilot::Instructor, cause), &[]);
        let words = [
            (Cause::LateStep, "the steps stopped for too long"),
            (Cause::InstructorLost, "instructor's signal lost"),
            (Cause::InstructorBack, "instructor's signal is back"),
            (Cause::InstructorNow, "instructor-now button"),
            (Cause::BadFrame, "bad instructor's frame"),
            (Cause::SwitchOff, "lesson switch off"),
            (Cause::LinkLost, "student's radio link lost"),
            (Cause::LinkFrozen, "student's radio link frozen"),
            (Cause::Stick(0), "? stick at -12.0 points"),
            (Cause::Latch, "the takeover was too long or too far"),
            (Cause::HandedBack, "handed to the student"),
        ];
        for (cause, words) in words {
            assert_eq!(told(cause), words);
        }
    }

    #[test]
    fn what_a_hand_does_is_told_with_its_reason_where_one_is_known() {
        for cause in [Cause::SwitchOff, Cause::InstructorNow] {
            let known = Entry { reason: "time to land", ..entry(Pilot::Student(ALL), Pilot::Instructor, cause) };
            assert!(said(known).ends_with(" (time to land)"), "{}", said(known));
        }
        // A lost signal has no reason of the instructor.
        let lost = entry(Pilot::Student(ALL), Pilot::Instructor, Cause::LinkLost);
        assert_eq!(said(Entry { reason: "time to land", ..lost }), "taken over: student's radio link lost");
    }

    #[test]
    fn a_lost_signal_leaves_the_last_frame_and_nobody_the_failsafe() {
        let lost = |to: Pilot| said(entry(Pilot::Student(ALL), to, Cause::InstructorLost));
        let frozen = "student loses the craft, instructor's last values are held: instructor's signal lost";
        assert_eq!(lost(Pilot::Instructor), frozen);
        assert_eq!(lost(Pilot::Nobody), "nobody flies, failsafe is put out: instructor's signal lost");
        let button = entry(Pilot::Student(ALL), Pilot::Instructor, Cause::InstructorNow);
        assert_eq!(said(button), "taken over: instructor-now button");
    }

    #[test]
    fn the_student_flies_all_or_is_told_by_axis() {
        let given = |axes: AxisSet| said(entry(Pilot::Instructor, Pilot::Student(axes), Cause::HandedBack));
        assert_eq!(given(ALL), "handed to the student");
        assert_eq!(given(AxisSet::of(&[1])), "elevator handed to the student");
        // Only what changes hands is named.
        let (one, two) = (Pilot::Student(AxisSet::of(&[0])), Pilot::Student(AxisSet::of(&[0, 1])));
        assert_eq!(said(entry(one, two, Cause::HandedBack)), "elevator handed to the student");
        assert_eq!(said(entry(two, one, Cause::Latch)), "elevator taken over: the takeover was too long or too far");
    }
}
