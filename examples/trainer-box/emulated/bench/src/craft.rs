//! Judges the output to the craft: the pulses must be the sticks of the pilot, and the edges must be a valid train.

use std::collections::VecDeque;

use handback::ppm::{Edge, Level};
use handback::{AxisSet, Pilot};
use trainer_box::DEAD_MAN;
use trainer_box_rig::Stepped;
use trainer_box_rig::plan::{AS_WRITTEN, CHANNELS};

use crate::received::{Recent, us};

/// The sprung axes; the instructor's channels have the same numbers.
const SPRUNG: [u8; 3] = [0, 1, 3];

/// Judges the output to the craft.
#[derive(Debug)]
pub(crate) struct Craft {
    has: AxisSet,
    /// The time since which the student has had exactly these axes, in microseconds.
    since: u64,
    train: Train,
}

impl Craft {
    pub(crate) fn new() -> Self {
        Self { has: AxisSet::EMPTY, since: 0, train: Train::default() }
    }

    /// Judges the pulses of a step; what is wrong, in words. They are those of the engine's last step, at `flown`.
    pub(crate) fn judge(
        &mut self,
        now: u64,
        flown: u64,
        [instructor, student]: [&Recent; 2],
        step: &Stepped,
    ) -> Result<(), String> {
        let has = step.said.outcome.pilot.student();
        if has != self.has {
            (self.has, self.since) = (has, flown);
        }
        self.train.told(now, step)?;
        let Some(pulses) = step.said.pulses else { return Ok(()) };
        if step.said.outcome.pilot == Pilot::Nobody {
            return Err("pulses, though nobody flies (I2)".into());
        }
        let sent = pulses.map(|pulse| f64::from(pulse.to_bits()) / 16.0);
        let carried = SPRUNG.iter().filter(|&&axis| !has.contains(axis)).map(|&axis| usize::from(axis));
        for channel in carried.chain(4..CHANNELS) {
            if !instructor.can_be(sent[channel], |widths| us(widths[channel])) {
                return Err(format!(
                    "channel {channel} is the instructor's and sends {} us, which is none of the instructor's {instructor:?}",
                    sent[channel]
                ));
            }
        }
        if flown - self.since > u64::from(AS_WRITTEN.policy.fade.as_ticks()) {
            for axis in has.iter() {
                let is = sent[usize::from(axis)];
                if !student.can_be(is, |widths| as_student(axis, widths)) {
                    return Err(format!(
                        "axis {axis} is the student's and sends {is} us, which is none of the student's {student:?}"
                    ));
                }
            }
        }
        Ok(())
    }

    /// Judges the edges sent so far.
    pub(crate) fn edges(&mut self, unwrap: impl Fn(u32) -> u64, edges: &[Edge]) -> Result<(), String> {
        edges.iter().try_for_each(|edge| self.train.edge(unwrap(edge.at.as_ticks()), edge.level))
    }
}

/// What the craft is to be sent of the student's frame, computed from the plan: order, direction, centre, rate.
fn as_student(axis: u8, widths: &[u64]) -> f64 {
    let at = |channel: usize| us(widths[channel]);
    let deflection = match axis {
        0 => (at(1) - 1_500.0) / 500.0,
        1 if at(2) < 1_480.0 => -(at(2) - 1_480.0) / 480.0,
        1 => -(at(2) - 1_480.0) / 520.0,
        2 => (at(0) - 1_500.0) / 500.0,
        _ => (at(3) - 1_500.0) / 500.0 * 0.6,
    };
    1_500.0 + 500.0 * deflection
}

/// Judges the train to the craft: every frame must have 22.5 ms and eight channels, and all its pulses must be those of
/// one step.
#[derive(Debug, Default)]
struct Train {
    last: Option<(u64, Level)>,
    /// The times at which the separators of this frame begin.
    starts: Vec<u64>,
    /// The pulses of the last steps, with their times.
    said: VecDeque<(u64, [u64; CHANNELS])>,
    last_step: u64,
    /// The time since which all steps have had pulses, without a long gap between steps.
    due_since: u64,
    /// The time since which there must be no pulses.
    stopped: Option<u64>,
    /// Whether a train had to end since the last frame began, by a step without pulses or for lack of steps. The next
    /// train then starts at any time.
    ended: bool,
    good: u32,
}

impl Train {
    const FRAME: u64 = 22_500;
    const GAP: u64 = 3_000;

    fn told(&mut self, now: u64, step: &Stepped) -> Result<(), String> {
        if !step.fed {
            return Err("the watchdog is not fed".into());
        }
        if step.said.pulses.is_none() || now > self.last_step + Self::FRAME {
            self.due_since = now;
        }
        if now - self.due_since.max(self.last.map_or(0, |(at, _)| at)) > 2 * Self::FRAME {
            return Err("the craft is to be sent pulses, and no edge goes out".into());
        }
        self.ended |= now > self.last_step + dead_man() || step.said.pulses.is_none();
        self.last_step = now;
        match step.said.pulses {
            Some(pulses) => {
                self.stopped = None;
                self.said.push_back((now, std::array::from_fn(|channel| u64::from(pulses[channel].to_micros()))));
            }
            None => self.stopped = self.stopped.or(Some(now)),
        }
        // The last pulses before a hang stay valid until the next ones are older than the longest frame.
        while self.said.get(1).is_some_and(|(at, _)| at + 80_000 < now) {
            self.said.pop_front();
        }
        Ok(())
    }

    fn edge(&mut self, at: u64, level: Level) -> Result<(), String> {
        let before = self.last.replace((at, level));
        if before.is_some_and(|(_, last)| last == level) {
            return Err("the craft's line changes to the level that it has".into());
        }
        let since = before.map(|(last, _)| at - last);
        if level == Level::Low {
            return if since == Some(300) { Ok(()) } else { Err(format!("a separator of {since:?} us")) };
        }
        if self.starts.len() == CHANNELS + 1 || self.starts.is_empty() {
            return self.begins(at, since.unwrap_or(Self::GAP));
        }
        self.starts.push(at);
        if self.starts.len() == CHANNELS + 1 { self.ends() } else { Ok(()) }
    }

    fn begins(&mut self, at: u64, rested: u64) -> Result<(), String> {
        if let Some(&last) = self.starts.first()
            && at - last != Self::FRAME
            && !self.ended
        {
            return Err(format!("a frame of {} us", at - last));
        }
        if rested < Self::GAP {
            return Err(format!("a gap of {rested} us"));
        }
        (self.starts, self.ended) = (vec![at], false);
        if self.stopped.is_some_and(|since| at > since + Self::FRAME) {
            return Err("a frame begins though nobody flies (I2)".into());
        }
        if at > self.last_step + dead_man() + Self::FRAME {
            return Err("a frame begins though the loop hangs".into());
        }
        Ok(())
    }

    fn ends(&mut self) -> Result<(), String> {
        let widths: Vec<u64> = self.starts.windows(2).map(|pair| pair[1] - pair[0]).collect();
        if self.said.iter().any(|(_, said)| *said == *widths) {
            self.good += 1;
            return Ok(());
        }
        Err(format!("a frame of {widths:?} us, which no step said"))
    }
}

/// `DEAD_MAN` in microseconds.
fn dead_man() -> u64 {
    u64::from(DEAD_MAN.as_ticks())
}

impl Craft {
    /// Number of complete frames sent to the craft.
    pub(crate) const fn frames(&self) -> u32 {
        self.train.good
    }
}
