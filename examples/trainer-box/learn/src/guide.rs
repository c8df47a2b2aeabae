//! All sticks of one transmitter move together: the guide of the library, and a guard that each moves the right way.

use handback::calibrate::{Calibration, CalibrationProgress, Learnt, Prompt};
use handback::{AxisSet, Micros, Pulse};

use crate::alone::STIRRED;
use crate::step::Wrong;

/// Frames for which a stick is at the wrong end before this is told. Own choice, as are the others here.
const HELD: u8 = 15;

/// Frames in a row for which a stick is away before it counts as touched: noise alone reaches fewer.
const AWAY: u8 = 3;

/// Frames for which all sticks are back after one was touched, before the rest begins again.
const CALM: u8 = 25;

/// Frames after which the rest begins again wherever the sticks are.
const NEVER_BACK: u16 = 250;

/// The guide of one transmitter.
#[derive(Clone, Debug)]
pub(crate) struct Guide<const N: usize> {
    calibration: Calibration<Micros, N>,
    /// The axes whose pulse becomes wider towards up or right, as the stick showed when it moved alone.
    wider: AxisSet,
    sprung: AxisSet,
    rest_frames: u32,
    /// The readings with hands off: the first of a stick with a spring, the last of another.
    rest: [Pulse; N],
    /// Frames in a row in which a stick with a spring was away from its rest.
    away: u8,
    /// Frames since a stick was touched, and the last of them in which all were back; `None` while hands are off.
    touched: Option<(u16, u8)>,
    /// The axes that were in the middle or at the right end in this step: a stick without a spring still stands at the
    /// other end when a step begins.
    left: AxisSet,
    /// The number of frames in a row in which an axis was at the wrong end.
    held: [u8; N],
    /// Whether a frame has come.
    begun: bool,
}

impl<const N: usize> Guide<N> {
    pub(crate) fn new(sprung: AxisSet, rest_frames: u32, wider: AxisSet) -> Self {
        Self {
            calibration: Calibration::new(sprung, rest_frames),
            wider,
            sprung,
            rest_frames,
            rest: [Pulse::MIN; N],
            away: 0,
            touched: None,
            left: AxisSet::EMPTY,
            held: [0; N],
            begun: false,
        }
    }

    pub(crate) const fn prompt(&self) -> Prompt {
        self.calibration.step()
    }

    pub(crate) fn learnt(&self) -> Option<Learnt<Micros, N>> {
        self.calibration.learnt()
    }

    /// Takes a frame: the axes that have not done the step, and what was wrong. A frame in which a stick is on the
    /// wrong side of its rest is not learnt.
    pub(crate) fn take(&mut self, readings: &[Pulse; N]) -> (AxisSet, Option<Wrong>) {
        let prompt = self.prompt();
        if prompt == Prompt::HandsOff {
            let was_touched = self.touched.is_some();
            if !self.hands_off(readings) {
                return (AxisSet::first(N), (!was_touched).then_some(Wrong::Touched));
            }
        }
        let (right, wrong) = match prompt {
            Prompt::TopRight => self.ways(readings, self.wider),
            Prompt::BottomLeft => self.ways(readings, AxisSet::first(N).except(self.wider)),
            _ => (true, None),
        };
        if !right {
            return (AxisSet::first(N), wrong);
        }
        let CalibrationProgress { step, begun, missing } = self.calibration.take(readings);
        if step != prompt {
            (self.left, self.held) = (self.sprung, [0; N]);
        }
        let touched = self.begun && begun && step == prompt;
        if touched {
            self.touched = Some((0, 0));
        }
        self.begun = true;
        (missing, touched.then_some(Wrong::Touched))
    }

    /// Whether no hand is on a stick. After one was touched, the rest begins again when all sticks are back.
    fn hands_off(&mut self, readings: &[Pulse; N]) -> bool {
        let mut near = true;
        for (axis, (at, rest)) in (0..).zip(readings.iter().zip(&mut self.rest)) {
            if !self.begun || !self.sprung.contains(axis) {
                *rest = *at;
            }
            near &= at.to_bits().abs_diff(rest.to_bits()) < STIRRED;
        }
        self.away = if near { 0 } else { self.away.saturating_add(1) };
        if self.away >= AWAY && self.touched.is_none() {
            self.touched = Some((0, 0));
        }
        let Some((frames, calm)) = &mut self.touched else { return true };
        *frames = frames.saturating_add(1);
        *calm = if near { calm.saturating_add(1) } else { 0 };
        if *calm >= CALM || *frames >= NEVER_BACK {
            *self = Self::new(self.sprung, self.rest_frames, self.wider);
            self.rest = *readings;
        }
        false
    }

    /// Whether no stick is at the wrong end, and the stick that is held there. The pulses of the axes in `wider` are to
    /// become wider.
    fn ways(&mut self, readings: &[Pulse; N], wider: AxisSet) -> (bool, Option<Wrong>) {
        let (mut right, mut wrong) = (true, None);
        for (axis, ((at, rest), held)) in (0..).zip(readings.iter().zip(&self.rest).zip(&mut self.held)) {
            let is_wider = at > rest;
            if at.to_bits().abs_diff(rest.to_bits()) < STIRRED || is_wider == wider.contains(axis) {
                (self.left, *held) = (self.left.with(axis), 0);
                continue;
            }
            right = false;
            if self.left.contains(axis) {
                *held = held.saturating_add(1);
                if *held == HELD {
                    wrong = Some(Wrong::WrongWay { axis });
                }
            }
        }
        (right, wrong)
    }
}
