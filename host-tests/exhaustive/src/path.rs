//! A counterexample: the inputs from the start to the step that breaks something, each with its outcome.

use std::fmt;

use handback::{CheckedPolicy, Frame, Outcome};

use crate::node::{Input, Node};

/// The way from the start to what was found.
#[derive(Clone, Debug)]
pub struct Path<const N: usize> {
    /// The check that found it, and what it found.
    pub check: &'static str,
    /// What was expected, and what was seen instead.
    pub why: String,
    steps: Vec<(Input<N>, Outcome<N>)>,
}

impl<const N: usize> Path<N> {
    /// Takes the inputs once more, from the start.
    pub fn new(policy: &CheckedPolicy<N>, inputs: &[Input<N>], check: &'static str, why: String) -> Self {
        let mut node = Node::new(policy);
        let steps = inputs.iter().map(|input| (*input, node.step(input).0)).collect();
        Self { check, why, steps }
    }

    /// The number of steps.
    pub fn len(&self) -> usize {
        self.steps.len()
    }

    /// Whether there is no step.
    pub fn is_empty(&self) -> bool {
        self.steps.is_empty()
    }
}

impl<const N: usize> fmt::Display for Path<N> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(f, "{}: {}", self.check, self.why)?;
        for (number, (input, outcome)) in self.steps.iter().enumerate() {
            writeln!(f, "  {:>2}. {input}", number + 1)?;
            write!(f, "      -> {:?}, output {}", outcome.pilot, sticks(Some(&outcome.output)))?;
            write!(f, ", held {:?}, wait {:?}, link {:?}", outcome.held, outcome.pickup, outcome.link)?;
            if let Some(event) = outcome.event {
                write!(f, ", because {:?}", event.cause)?;
            }
            if let Some(waiting) = outcome.waiting {
                write!(f, ", waits for {waiting:?}")?;
            }
            writeln!(f)?;
        }
        Ok(())
    }
}

impl<const N: usize> fmt::Display for Input<N> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (instructor, student) = (sticks(self.instructor.as_ref()), sticks(self.student.as_ref()));
        let switch = if self.switch { "on" } else { "off" };
        write!(f, "+{} us: instructor {instructor}, student {student}, switch {switch}", self.dt)?;
        f.write_str(if self.now { ", instructor now" } else { "" })
    }
}

/// The sticks in units of 2^-14.
fn sticks<const N: usize>(frame: Option<&Frame<N>>) -> String {
    frame.map_or("silent".into(), |frame| format!("{:?}", frame.axes().map(handback::Deflection::to_bits)))
}
