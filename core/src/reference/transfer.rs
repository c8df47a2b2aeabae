//! The output of an axis while control of it changes: it waits to be picked up (T6), or fades (H4).

use super::axis::Axis;
use super::quantity::{micros, rounded, weight};
use super::wait::{Side, Wait};
use super::{Facts, Model};

impl<const N: usize> Model<N> {
    /// Decides how every axis moves, then what it outputs.
    pub(super) fn transfer(&mut self, facts: &Facts, t4: bool) {
        let Facts { dt, nobody, .. } = *facts;
        let fade = micros(self.policy.fade);
        self.fade_lasted += dt;
        self.end_fades(facts, t4, fade);

        let mut another_begins = false;
        let pickup_max = micros(self.policy.pickup_max);
        let waits_end = facts.instructor_was_lost || facts.instructor_now; // K1 loses the instructor too
        for axis in &mut self.axes {
            let timed_out = axis.pick_up(dt, waits_end, pickup_max);
            if timed_out || axis.joined() {
                axis.fades_from = Some(axis.output);
                another_begins = true;
            }
        }
        if another_begins {
            self.fade_lasted = 0.0;
            for axis in self.axes.iter_mut().filter(|axis| axis.fades_from.is_some()) {
                axis.fades_from = Some(axis.output);
            }
        }

        for axis in &mut self.axes {
            axis.settle_output(nobody, self.fade_lasted, fade);
        }
    }

    /// H4: ends the fades that are over, and those that are cut short.
    fn end_fades(&mut self, facts: &Facts, t4: bool, fade: f64) {
        let scope = self.policy.scope;
        let asked_before = core::mem::replace(&mut self.t4_asked, t4);
        let t4_begins = t4 && !asked_before;
        let all = self.fade_lasted >= fade || t4_begins || facts.instructor_was_lost || facts.instructor_now;
        let axes = self.axes;
        for axis in &mut self.axes {
            let taken = axes.iter().any(|taker| taker.became_held && taker.takes(axis, scope));
            if all || axis.left() || taken {
                axis.fades_from = None;
            }
        }
    }
}

impl Axis {
    /// T6: begins, continues or ends the wait. True where the wait ends in a fade.
    fn pick_up(&mut self, dt: f64, waits_end: bool, pickup_max: f64) -> bool {
        let (x, h) = (self.instructor, self.output);
        let distance = (x - h).abs();
        let begins = self.left() && self.picks_up;
        let wait = match self.wait {
            _ if begins => Wait { began_on: Side::of(x, h), nearest: distance, lasted: 0.0 },
            Some(wait) => Wait { nearest: wait.nearest.min(distance), lasted: wait.lasted + dt, ..wait },
            None => return false,
        };
        let met_or_passed = Side::of(x, h) == Side::Same || Side::of(x, h) != wait.began_on;
        let led_away = begins && self.held && !self.moved_towards(h);
        let moves_away = distance - wait.nearest > self.engage;
        let over = waits_end || met_or_passed || led_away || moves_away || self.students;
        let timed_out = !over && wait.lasted >= pickup_max;
        self.wait = if over || timed_out { None } else { Some(wait) };
        timed_out
    }

    /// T6: the stick moved from its rest towards h.
    fn moved_towards(&self, h: f64) -> bool {
        let x = self.instructor;
        self.rest.is_some_and(|rest| (x > rest && h > x) || (x < rest && h < x))
    }

    /// Sets the output of this step: the failsafe, the last output, the target, or a point on the way to the target.
    fn settle_output(&mut self, nobody: bool, fade_lasted: f64, fade: f64) {
        let target = if self.students { self.student } else { self.instructor };
        let on_the_way = |from: f64, share: f64| from + (target - from) * share;
        let (exact, ideal) = match (self.wait, self.fades_from) {
            _ if nobody => (self.failsafe, self.failsafe), // I2, H5
            (Some(_), _) => (self.output, self.output),
            (None, Some(from)) => {
                let share = if fade_lasted >= fade { 1.0 } else { fade_lasted / fade };
                (on_the_way(from, weight(fade_lasted, fade)), on_the_way(from, share))
            }
            (None, None) => (target, target),
        };
        self.output = rounded(exact);
        self.ideal = ideal;
    }
}
