//! What the student waits for, with what is known of sticks and signals; and which axes wait to be picked up.

use handback::{AxisSet, Deflection, Frame, Pilot, Rest, Scope, Transfer, Waiting};

use super::beside::points;
use super::memory::{Latched, is_frozen};
use super::rattle::Stays;
use super::state::Waits;
use super::telling::Told;
use crate::count::seconds;
use crate::decisions::waiting_word;
use crate::timeline::{listed, wait};

/// Sticks that are further apart than this are told of before control goes back, in points. Own choice, no source.
const APART: f64 = 10.0;
/// Distances that change all the time are rounded to this many points.
const ABOUT: f64 = 5.0;

impl<const N: usize> Told<'_, N> {
    pub(super) fn waits(&self, waiting: Waiting) -> Waits {
        let (for_what, _) = waiting_word(waiting);
        let words = self.wait(waiting);
        if let Some(missing) = self.missing(waiting) {
            // No time runs down without a link.
            let words = match waiting {
                Waiting::StudentLink { .. } | Waiting::Dwell { .. } | Waiting::Settling { .. } => missing.to_owned(),
                Waiting::Latch => format!("{missing}; then: turn the lesson switch off, then on"),
                _ => format!("{missing}; then: {words}"),
            };
            return Waits { for_what, words, left_s: None, axis: None, stays_at: None };
        }
        if matches!(waiting, Waiting::Held(_) | Waiting::Dwell { .. })
            && let Some(stays) = self.stays(for_what)
        {
            return stays;
        }
        let left = match waiting {
            Waiting::Settling { left } | Waiting::StudentLink { left } | Waiting::Dwell { left } => Some(left),
            _ => None,
        };
        let axis = match waiting {
            Waiting::Held(axis) | Waiting::Gate(axis) => Some(axis),
            _ => None,
        };
        let mut left_s = left.map(|left| seconds(left.as_ticks().into()));
        if waiting == Waiting::InstructorSignal && self.both.engine.pilot != Pilot::Nobody {
            left_s = Some(seconds(self.memory.nobody_left_us(self.time_us, self.policy.failsafe_after)));
        }
        Waits { for_what, words, left_s, axis, stays_at: None }
    }

    /// What the student's link does not bring.
    fn missing(&self, waiting: Waiting) -> Option<&'static str> {
        match waiting {
            Waiting::InstructorSignal => None,
            _ if self.no_signal().student => Some("no values come from the student"),
            // A new engine has not counted yet how long they stand still.
            _ if is_frozen(&self.both.engine) || self.is_still() => {
                Some("the student's radio link is frozen, no new values come")
            }
            _ => None,
        }
    }

    /// Whether the values from the student have been the same for longer than the policy lets them.
    fn is_still(&self) -> bool {
        let after = self.policy.frozen_after.map(|after| u64::from(after.as_ticks()));
        after.is_some_and(|after| self.memory.still_us(self.time_us) > after)
    }

    fn wait(&self, waiting: Waiting) -> String {
        match waiting {
            Waiting::Latch => match self.memory.latched {
                Some(Latched::Button) => {
                    "the instructor's button keeps the craft (latched): turn the lesson switch off, then on".to_owned()
                }
                Some(Latched::Stick(axis)) => self.latched_by(axis),
                Some(Latched::Length) => {
                    format!("the takeover was {} (latched): turn the lesson switch off, then on", self.too_long())
                }
                None => wait(waiting, self.names),
            },
            // Until nobody flies, a time is told in place of what comes then.
            Waiting::InstructorSignal if self.both.engine.pilot != Pilot::Nobody => wait(waiting, self.names),
            Waiting::InstructorSignal => {
                let then = match self.switched_on.waiting {
                    Some(Waiting::SwitchOffFirst) => wait(Waiting::SwitchOffFirst, self.names),
                    _ if !self.memory.switch => wait(Waiting::Switch, self.names),
                    _ => return wait(waiting, self.names),
                };
                format!("{}; then: {then}", wait(waiting, self.names))
            }
            Waiting::Held(_) => self.held(self.both.engine.held),
            Waiting::Gate(axis) => {
                let window = self.policy.axes.get(usize::from(axis)).and_then(|rule| rule.window).map_or(0.0, points);
                let (name, apart) = (self.name(axis), self.apart(axis, &self.both.engine.stick));
                format!("the two {name} sticks are {apart:.0} points apart, and may be {window} at most")
            }
            _ => wait(waiting, self.names),
        }
    }

    /// Why a takeover latched by itself, of what the policy has.
    pub(super) fn too_long(&self) -> &'static str {
        match (self.policy.latches.lasted, self.policy.latches.beyond) {
            (Some(_), None) => "too long",
            (None, Some(_)) => "too far",
            _ => "too long or too far",
        }
    }

    fn latched_by(&self, axis: u8) -> String {
        let craft = if self.policy.scope == Scope::Axis { "the whole craft" } else { "the craft" };
        let why = if self.rests_where_left(axis) { ", as it has no spring" } else { "" };
        format!("the {} stick keeps {craft} (latched){why}: turn the lesson switch off, then on", self.name(axis))
    }

    /// A stick that no hand moves and that is not let go either, if no hand holds another one.
    fn stays(&self, for_what: &'static str) -> Option<Waits> {
        let at = |axis: u8| {
            let rule = self.policy.axes.get(usize::from(axis))?;
            Some((axis, rule, self.memory.stays(axis, rule, self.time_us)?))
        };
        if self.both.engine.held.iter().any(|axis| at(axis).is_none()) {
            return None;
        }
        let (axis, rule, stays) = self.policy.watched.iter().find_map(at)?;
        let Rest::At(rest) = rule.rest else { return None };
        let (name, release) = (self.name(axis), points(rule.release));
        let (where_to, stays_at) = match stays {
            Stays::Off(off) => (format!("stays {:.1} points off its rest", off.abs()), Some(points(rest) + off)),
            // Upwards to whole points: these digits seldom change.
            Stays::About(most) => (format!("rattles up to {:.0} points off its rest", most.ceil()), None),
        };
        let words = format!("the {name} stick {where_to}; let go means within {release}");
        Some(Waits { for_what, words, left_s: None, axis: Some(axis), stays_at })
    }

    fn held(&self, held: AxisSet) -> String {
        match held.lowest().and_then(|axis| Some((axis, self.policy.axes.get(usize::from(axis))?.rest))) {
            Some((axis, Rest::WhereLeft { still })) if held.len() == 1 => {
                let still = seconds(still.as_ticks().into());
                format!("the {} stick counts as let go once it is still for {still} s", self.name(axis))
            }
            _ if held.len() > 3 => format!("the instructor holds {} sticks", held.len()),
            _ => format!("the instructor holds the {}", listed(held, self.names)),
        }
    }

    /// What the output of the farthest axis does when control goes back, if the student's stick is far from it.
    pub(super) fn moves(&self) -> Option<String> {
        let engine = &self.both.engine;
        let waiting = engine.waiting?;
        if waiting == Waiting::InstructorSignal || self.missing(waiting).is_some() {
            return None;
        }
        let joins = self.policy.shared.except(engine.pilot.student()).except(engine.held);
        let apart =
            joins.iter().map(|axis| (axis, self.apart(axis, &engine.output))).filter(|(_, apart)| *apart >= APART);
        let (axis, apart) = apart.max_by(|(_, one), (_, two)| one.total_cmp(two))?;
        let about = (apart / ABOUT).round() * ABOUT;
        let moves = match seconds(self.policy.fade.as_ticks().into()) {
            0.0 => format!("jumps about {about} points"),
            fade => format!("moves about {about} points in {fade} s"),
        };
        Some(format!("hand back: {} {moves}; match sticks first", self.name(axis)))
    }

    /// How far the farthest axis that a takeover by stick lets stay would jump at *instructor now* (T6.7).
    pub(super) fn now_jumps(&self) -> Option<String> {
        let engine = &self.both.engine;
        let stays = engine.pilot.student().iter().filter(|axis| {
            self.policy.axes.get(usize::from(*axis)).is_some_and(|rule| rule.transfer == Transfer::Pickup)
        });
        let apart = |axis: u8| {
            let at = |frame: &Frame<N>| frame.get(axis).map_or(0.0, points);
            (at(&engine.stick) - at(&engine.output)).abs()
        };
        let jumps = stays.chain(engine.pickup.iter()).map(|axis| (axis, apart(axis)));
        let (axis, apart) =
            jumps.filter(|(_, apart)| *apart > APART).max_by(|(_, one), (_, two)| one.total_cmp(two))?;
        Some(format!("{} jumps {}", self.name(axis), (apart / ABOUT).round() * ABOUT))
    }

    /// How far the student's stick is from this frame, in points.
    fn apart(&self, axis: u8, from: &Frame<N>) -> f64 {
        let [_, student] = self.sides;
        let at = |stick: Option<Deflection>| stick.map_or(0.0, points);
        (at(student.and_then(|frame| frame.get(axis))) - at(from.get(axis))).abs()
    }

    /// The axes that wait to be picked up.
    pub(super) fn picks_up(&self) -> Option<Waits> {
        let pickup = self.memory.picks_up();
        let left_us = self.memory.pickup_left_us(self.time_us, self.policy.pickup_max)?;
        let words = match pickup.lowest() {
            Some(axis) if pickup.len() == 1 => {
                // Never "-0".
                let at = self.both.engine.output.get(axis).map_or(0.0, points).round() + 0.0;
                format!("{} stays at {at:+.0} until the instructor's stick meets it", self.name(axis))
            }
            _ => format!("{} stay until the instructor's sticks meet them", listed(pickup, self.names)),
        };
        Some(Waits { for_what: "pickup", words, left_s: Some(seconds(left_us)), axis: pickup.lowest(), stays_at: None })
    }

    pub(super) fn rests_where_left(&self, axis: u8) -> bool {
        matches!(self.policy.axes.get(usize::from(axis)).map(|rule| rule.rest), Some(Rest::WhereLeft { .. }))
    }

    pub(super) fn name(&self, axis: u8) -> &str {
        self.names.get(usize::from(axis)).map_or("?", String::as_str)
    }
}
