//! Puts the faults between people and engine.

use handback::{Deflection, Frame, Policy};
use seeded::Random;

use crate::AXES;
use crate::fault::{Fault, Window};
use crate::people::deflection;

/// What arrives at the engine in one step.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Arrives {
    pub(crate) instructor: Option<Frame<AXES>>,
    pub(crate) student: Option<Frame<AXES>>,
    pub(crate) switch: bool,
    pub(crate) button: bool,
}

/// A fault with what it keeps from step to step.
#[derive(Debug)]
pub(crate) struct Injector {
    pub(crate) window: Window,
    axes: [usize; 2],
    begun: bool,
    /// The frame in which a value got stuck, or which is repeated.
    kept: Option<Frame<AXES>>,
    /// Until when a gap of a burst lasts.
    gap: u64,
}

impl Injector {
    pub(crate) fn new(window: Window, policy: &Policy<AXES>, random: &mut Random) -> Self {
        let shared: Vec<usize> = policy.shared.iter().map(usize::from).collect();
        let first = if shared.is_empty() { 0 } else { random.one_of(&shared) };
        let axes = [first, (first + 1 + random.below(AXES - 1)) % AXES];
        Self { window, axes, begun: false, kept: None, gap: 0 }
    }

    /// The time to the next step, where it comes late: `late_step` or more.
    pub(crate) fn delay(&self, t: u64, policy: &Policy<AXES>, random: &mut Random) -> Option<u64> {
        if self.window.fault != Fault::LateSteps || !self.window.contains(t) || random.chance(0.7) {
            return None;
        }
        Some(u64::from(policy.late_step.as_ticks()) + random.one_of(&[0, 1, 1_000, 30_000, 300_000]))
    }

    /// How far the clock jumps in this step.
    pub(crate) fn jump(&mut self, t: u64, policy: &Policy<AXES>, random: &mut Random) -> u32 {
        if self.window.fault != Fault::ClockJumps || !self.begins(t) {
            return 0;
        }
        let late = policy.late_step.as_ticks();
        let back = |random: &mut Random| 0u32.wrapping_sub(u32::try_from(random.time(1, 3_000_000)).expect("small"));
        match random.below(4) {
            0 => back(random),
            1 => late,
            2 => u32::try_from(random.time(0, u32::MAX.into())).expect("within the range"),
            _ => late.wrapping_add(u32::try_from(random.time(1, 60_000_000)).expect("small")),
        }
    }

    /// Whether the engine starts again before this step.
    pub(crate) fn resets(&mut self, t: u64) -> bool {
        self.window.fault == Fault::Reset && self.begins(t)
    }

    fn begins(&mut self, t: u64) -> bool {
        let begins = !self.begun && t >= self.window.begin;
        self.begun |= begins;
        begins
    }

    /// Changes what arrives.
    pub(crate) fn change(&mut self, t: u64, policy: &Policy<AXES>, arrives: &mut Arrives, random: &mut Random) {
        if !self.window.contains(t) {
            return;
        }
        let side = match self.window.fault {
            Fault::SwitchBounces => {
                arrives.switch = random.chance(0.6);
                return;
            }
            Fault::SwitchStuckOn | Fault::SwitchOnAtPowerUp => {
                arrives.switch = true;
                return;
            }
            Fault::ButtonStuck => {
                arrives.button = true;
                return;
            }
            Fault::ClockJumps | Fault::ClockWraps | Fault::LateSteps | Fault::Reset => return,
            Fault::StudentSilent
            | Fault::StudentBursts
            | Fault::StudentStuck
            | Fault::StudentJumps
            | Fault::StudentFrozen
            | Fault::StudentBad
            | Fault::StudentSwapped => &mut arrives.student,
            _ => &mut arrives.instructor,
        };
        let Some(frame) = side else { return };
        let [a, b] = self.axes;
        match self.window.fault {
            Fault::StudentSilent | Fault::InstructorSilent | Fault::InstructorGone => *side = None,
            Fault::StudentBursts | Fault::InstructorBursts => {
                if t < self.gap {
                    *side = None;
                } else if random.chance(0.3) {
                    let about = u64::from(policy.timeout.as_ticks()).min(500_000);
                    self.gap = t + random.one_of(&[about / 2, about, about + 20_000, 2 * about]);
                }
            }
            Fault::StudentStuck | Fault::InstructorStuck => {
                let kept = *self.kept.get_or_insert(*frame);
                frame.axes_mut()[a] = kept.axes()[a];
            }
            Fault::StudentFrozen | Fault::InstructorFrozen => *frame = *self.kept.get_or_insert(*frame),
            Fault::StudentJumps | Fault::InstructorJumps => {
                frame.axes_mut()[a] = deflection(i32::try_from(random.within(-16_384, 16_384)).expect("small"));
            }
            Fault::StudentBad | Fault::InstructorBad => {
                if random.chance(0.9) {
                    let off = i32::from(policy.plausible.to_bits()) + random.one_of(&[0, 1, 1, 4_000]);
                    frame.axes_mut()[a] = random.one_of(&[deflection(off), deflection(-off), Deflection::OUT_OF_RANGE]);
                }
            }
            Fault::StudentSwapped | Fault::InstructorSwapped => frame.axes_mut().swap(a, b),
            _ => {
                for (x, rule) in frame.axes_mut().iter_mut().zip(&policy.axes) {
                    #[allow(clippy::cast_possible_truncation)] // of deflections
                    let noise = (random.normal() * f64::from(rule.engage.to_bits())) as i32;
                    *x = deflection(i32::from(x.to_bits()) + noise);
                }
            }
        }
    }
}
