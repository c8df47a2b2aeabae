//! The events of the close-up, in sentences made from its rows.

use handback::{Deflection, Rest, Transfer, Waiting};

use super::super::canvas::shortened;
use super::super::scale::points;
use crate::tally::{Cut, Shot, Tally};

/// The moments of a takeover that are in the cut.
pub(super) struct Moments {
    /// Number of good instructor's frames out of the dead band before the takeover; 0 is the same frame.
    frames_late: usize,
    /// Whether the output was the instructor's stick in the frame of the takeover.
    followed: bool,
    /// The time from which the student waited for the dwell only, and what it waited for until then.
    let_go: Option<(u64, Option<Waiting>)>,
    /// The first step after the fade in which the output is the student's stick.
    faded_us: Option<u64>,
}

impl Moments {
    pub(super) fn of<const N: usize>(tally: &Tally<N>, cut: &Cut<N>) -> Self {
        let axis = usize::from(cut.axis);
        let policy = tally.policy();
        let engage = policy.axes[axis].engage.to_bits().unsigned_abs();
        let out = |shot: &Shot<N>| {
            let stick = shot.instructor.as_ref().map(|frame| frame.axes()[axis].to_bits());
            stick.map(|at| at.abs_diff(cut.rest_bits) > engage)
        };
        let taken = cut.shots.partition_point(|shot| shot.time_us < cut.taken_us);
        let earlier = cut.shots[..taken].iter().rev();
        let followed = cut
            .shots
            .get(taken)
            .is_some_and(|shot| shot.instructor.is_some_and(|frame| frame.axes()[axis] == shot.output.axes()[axis]));
        let faded_us = cut.handed_us.and_then(|handed_us| {
            let over_us = handed_us + u64::from(policy.fade.as_ticks());
            let is_students =
                |shot: &&Shot<N>| shot.student.is_some_and(|frame| frame.axes()[axis] == shot.output.axes()[axis]);
            let after = cut.shots.iter().filter(|shot| shot.time_us >= over_us);
            after.clone().find(is_students).map(|shot| shot.time_us)
        });
        Self {
            frames_late: earlier.filter_map(out).take_while(|out| *out).count(),
            followed,
            let_go: let_go(cut),
            faded_us,
        }
    }

    /// The time from which the student waited for the dwell only, in microseconds.
    pub(super) fn let_go_us(&self) -> Option<u64> {
        self.let_go.map(|(at_us, _)| at_us)
    }

    /// The moments with the numbers of their sentences.
    pub(super) fn numbered<const N: usize>(&self, cut: &Cut<N>) -> Vec<(u8, u64)> {
        let all = [Some(cut.taken_us), self.let_go_us(), cut.handed_us, self.faded_us];
        (1..).zip(all).filter_map(|(number, at)| Some((number, at?))).collect()
    }

    /// The numbered sentences of all moments.
    pub(super) fn sentences<const N: usize>(&self, tally: &Tally<N>, cut: &Cut<N>) -> Vec<(u8, String)> {
        let all = [
            Some(self.taken(tally, cut)),
            self.let_go.map(|(_, before)| let_go_words(tally, before)),
            cut.handed_us.map(|handed_us| self.handed(tally, handed_us)),
            self.faded_us.map(|_| "From here the craft gets the student's stick alone.".to_owned()),
        ];
        (1..).zip(all).filter_map(|(number, words)| Some((number, words?))).collect()
    }

    fn taken<const N: usize>(&self, tally: &Tally<N>, cut: &Cut<N>) -> String {
        let axis = usize::from(cut.axis);
        let rule = &tally.policy().axes[axis];
        let name = shortened(&tally.names()[axis]);
        let engage = in_points(rule.engage);
        let when = match self.frames_late {
            0 => "In that very frame".to_owned(),
            1 => "One frame later".to_owned(),
            frames => format!("{frames} frames later"),
        };
        let what = match rule.transfer {
            _ if self.followed => "the craft gets the instructor's stick, whatever the student does",
            Transfer::Pickup => "the instructor has the craft; this control waits for the stick",
            Transfer::Snap => "the instructor has the craft",
        };
        format!("The instructor's {name} stick leaves its dead band ({engage} either side of its rest). {when} {what}.")
    }

    fn handed<const N: usize>(&self, tally: &Tally<N>, handed_us: u64) -> String {
        let fade = tally.policy().fade.as_ticks() / 1000;
        let waited = self
            .let_go_us()
            .map_or(String::new(), |let_go_us| format!(" {} ms later", handed_us.saturating_sub(let_go_us) / 1000));
        let fades = if fade == 0 {
            "The craft gets the student's stick at once.".to_owned()
        } else {
            format!("Within {fade} ms the craft goes over to the student's stick.")
        };
        format!("The student has the craft back{waited}. {fades}")
    }
}

/// A deflection as text, such as `2 points`, with a tenth where it is not whole.
fn in_points(deflection: Deflection) -> String {
    let tenths = (points(deflection.to_bits()) * 10.0).round() / 10.0;
    format!("{tenths} {}", if (tenths - 1.0).abs() < 0.01 { "point" } else { "points" })
}

fn let_go_words<const N: usize>(tally: &Tally<N>, before: Option<Waiting>) -> String {
    let policy = tally.policy();
    let dwell = policy.dwell.as_ticks() / 1000;
    let what = match before {
        Some(Waiting::Held(axis)) => {
            let axis = usize::from(axis);
            let (name, rule) = (shortened(&tally.names()[axis]), &policy.axes[axis]);
            match rule.rest {
                Rest::At(_) => format!("The {name} stick is let go, within {} of its rest. ", in_points(rule.release)),
                Rest::WhereLeft { still } => {
                    format!("The {name} stick stayed in one place for {} ms. ", still.as_ticks() / 1000)
                }
            }
        }
        Some(Waiting::Switch | Waiting::SwitchOffFirst | Waiting::Settling { .. } | Waiting::Latch) => {
            "The lesson switch is on again. ".to_owned()
        }
        Some(Waiting::StudentLink { .. }) => "The student's radio link is good again. ".to_owned(),
        Some(Waiting::InstructorSignal) => "The instructor's signal is back. ".to_owned(),
        Some(Waiting::Dwell { .. } | Waiting::Gate(_)) | None => String::new(),
    };
    format!(
        "{what}The sticks must now stay at rest for {dwell} ms: a stick that only passes through its rest hands nothing back."
    )
}

/// The time of the first step of the unbroken dwell before the hand back, and the wait of the step before it.
fn let_go<const N: usize>(cut: &Cut<N>) -> Option<(u64, Option<Waiting>)> {
    let dwells = |shot: &&Shot<N>| matches!(shot.waiting, Some(Waiting::Dwell { .. }));
    let handed = cut.shots.partition_point(|shot| Some(shot.time_us) < cut.handed_us);
    cut.handed_us?;
    let dwelling = cut.shots[..handed].iter().rev().take_while(dwells).count();
    let first = handed - dwelling;
    let at_us = cut.shots.get(first).filter(|_| dwelling > 0)?.time_us;
    Some((at_us, first.checked_sub(1).and_then(|before| cut.shots[before].waiting)))
}
