//! The bare decision in C (`decision.c`): dead band, hysteresis, dwell, switch, copy, and no other rule.

use core::mem::MaybeUninit;

use handback::{CheckedPolicy, Frame, Inputs, Rest};

use crate::counter::Counted;
use crate::scene::rest;

/// The axes of the largest frame.
const AXES: usize = 16;

/// The rule of an axis, as `decision.c` has it.
#[repr(C)]
#[derive(Clone, Copy, Debug, Default)]
struct Rule {
    rest: i16,
    engage: i16,
    release: i16,
}

/// The state of the decision, as `decision.c` has it.
#[repr(C)]
#[derive(Debug)]
pub struct Decision {
    rules: *const Rule,
    dwell: u32,
    last: u32,
    ready_for: u32,
    held: u16,
    student_flies: bool,
}

/// The inputs of a step, as `decision.c` has them.
#[repr(C)]
#[derive(Debug)]
pub struct Given {
    instructor: *const i16,
    student: *const i16,
    output: *mut i16,
    lesson_switch: bool,
}

/// The sticks of one side, or the output.
type Sticks = [i16; AXES];

#[allow(improper_ctypes, reason = "nothing may be uninitialised: it is C's `void`")]
unsafe extern "C" {
    fn decide_4(decision: &mut Decision, now: u32, given: &Given) -> MaybeUninit<()>;
    fn decide_8(decision: &mut Decision, now: u32, given: &Given) -> MaybeUninit<()>;
    fn decide_16(decision: &mut Decision, now: u32, given: &Given) -> MaybeUninit<()>;
}

/// The function for this number of axes.
pub const fn decide(axes: usize) -> Counted<Decision, Given, ()> {
    match axes {
        4 => decide_4,
        8 => decide_8,
        _ => decide_16,
    }
}

/// The state of the C code, and the data that it points to.
#[derive(Debug)]
pub struct Bare {
    rules: [Rule; AXES],
    instructor: Sticks,
    student: Sticks,
    output: Sticks,
    dwell: u32,
    last: u32,
    ready_for: u32,
    held: u16,
    student_flies: bool,
}

impl Bare {
    /// With the parts of a policy that the C code has; sticks without a fixed rest are as in the scenes.
    pub fn new<const N: usize>(policy: &CheckedPolicy<N>) -> Self {
        let mut rules = [Rule::default(); AXES];
        for (axis, (rule, of)) in rules.iter_mut().zip(&policy.policy().axes).enumerate() {
            let rest = if let Rest::At(rest) = of.rest { rest } else { rest(axis) };
            *rule = Rule { rest: rest.to_bits(), engage: of.engage.to_bits(), release: of.release.to_bits() };
        }
        let dwell = policy.policy().dwell.as_ticks();
        Self {
            rules,
            instructor: [0; AXES],
            student: [0; AXES],
            output: [0; AXES],
            dwell,
            last: 0,
            ready_for: 0,
            held: 0,
            student_flies: false,
        }
    }

    /// Whether the student flies.
    pub const fn student_flies(&self) -> bool {
        self.student_flies
    }

    /// One step, taken by `call`.
    pub fn step<const N: usize, C>(
        &mut self,
        inputs: &Inputs<'_, N>,
        call: impl FnOnce(&mut Decision, &Given) -> C,
    ) -> C {
        // The C code takes a frame in every step: where none came, the last one stands in.
        see(&mut self.instructor, inputs.instructor);
        see(&mut self.student, inputs.student);
        let mut decision = Decision {
            rules: self.rules.as_ptr(),
            dwell: self.dwell,
            last: self.last,
            ready_for: self.ready_for,
            held: self.held,
            student_flies: self.student_flies,
        };
        let given = Given {
            instructor: self.instructor.as_ptr(),
            student: self.student.as_ptr(),
            output: self.output.as_mut_ptr(),
            lesson_switch: inputs.lesson_switch,
        };
        let cost = call(&mut decision, &given);
        self.last = decision.last;
        self.ready_for = decision.ready_for;
        self.held = decision.held;
        self.student_flies = decision.student_flies;
        cost
    }
}

fn see<const N: usize>(seen: &mut Sticks, frame: Option<&Frame<N>>) {
    if let Some(frame) = frame {
        seen.iter_mut().zip(frame.axes()).for_each(|(seen, axis)| *seen = axis.to_bits());
    }
}
