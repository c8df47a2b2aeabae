//! Breadth first through all states of one scope, with every input in each.

use std::collections::HashSet;
use std::hash::{BuildHasherDefault, Hasher};

use handback::{AxisSet, CheckedPolicy, Outcome};

use crate::node::{Input, Node};
use crate::path::Path;
use crate::promise::{self, Bounds};
use crate::reached::Reached;
use crate::scope::Scope;

/// What a search did and found.
#[derive(Clone, Debug)]
pub struct Found<const N: usize> {
    /// States, the one before the first step included.
    pub states: usize,
    /// Steps judged, those of the promises not included.
    pub transitions: u64,
    /// Steps of the promises.
    pub promised: u64,
    /// The longest of the shortest ways to a state.
    pub depth: usize,
    /// What happened in the transitions.
    pub reached: Reached,
    /// The longest that anything promised took.
    pub bounds: Bounds,
    /// The first thing that was found, in a state that no shorter way leads to.
    pub path: Option<Path<N>>,
    /// Whether the search stopped at `most` states before it had seen all.
    pub cut: bool,
}

/// What is kept of a state after its search: the state that it was reached from, and by which input.
struct Origin {
    from: u32,
    input: u16,
}

/// Goes through all states of this scope; gives up after `most` of them.
///
/// # Panics
/// If there are more than 2^32 states or 2^16 inputs.
pub fn search<const N: usize>(scope: &Scope<N>, policy: &CheckedPolicy<N>, most: usize) -> Found<N> {
    let mut search = Search::new(scope, policy);
    let mut level = vec![(0, Node::new(policy))];
    while !level.is_empty() && search.found.path.is_none() && !search.found.cut {
        let mut next = Vec::new();
        for (index, node) in &level {
            if search.expand(*index, node, &mut next).is_err() {
                break;
            }
            search.found.cut = search.origins.len() > most;
            if search.found.cut {
                break;
            }
        }
        search.found.depth += 1;
        level = next;
    }
    search.found.states = search.origins.len();
    search.found
}

struct Search<'a, const N: usize> {
    scope: &'a Scope<N>,
    policy: &'a CheckedPolicy<N>,
    seen: HashSet<u128, BuildHasherDefault<Plain>>,
    origins: Vec<Origin>,
    found: Found<N>,
}

/// Something was found; the search is over.
struct Stop;

impl<'a, const N: usize> Search<'a, N> {
    fn new(scope: &'a Scope<N>, policy: &'a CheckedPolicy<N>) -> Self {
        let found = Found {
            states: 0,
            transitions: 0,
            promised: 0,
            depth: 0,
            reached: Reached::default(),
            bounds: Bounds::default(),
            path: None,
            cut: false,
        };
        let seen = HashSet::from_iter([Node::new(policy).fingerprint()]);
        Self { scope, policy, seen, origins: vec![Origin { from: 0, input: 0 }], found }
    }

    /// Takes every input in this state, and tries every promise.
    fn expand<'p>(&mut self, index: u32, node: &Node<'p, N>, next: &mut Vec<(u32, Node<'p, N>)>) -> Result<(), Stop> {
        for (number, input) in self.scope.inputs.iter().enumerate() {
            let mut after = node.clone();
            let (outcome, verdict) = after.step(input);
            self.found.transitions += 1;
            self.found.reached.note(&outcome);
            if let Err(broken) = verdict {
                return self.stop(index, &[*input], "every rule", broken.to_string());
            }
            if let Err(why) = self.at_once(node, input, &outcome) {
                return self.stop(index, &[*input], why, format!("{:?}", outcome.pilot));
            }
            if self.seen.insert(after.fingerprint()) {
                let number = u16::try_from(number).expect("fewer than 2^16 inputs");
                let state = u32::try_from(self.origins.len()).expect("fewer than 2^32 states");
                self.origins.push(Origin { from: index, input: number });
                next.push((state, after));
            }
        }
        let mut trial = promise::Trial::new(self.policy, node, &mut self.found.bounds);
        if let Err(broken) = trial.all() {
            let inputs = trial.inputs();
            return self.stop(index, &inputs, broken.check, broken.why);
        }
        self.found.promised += trial.steps();
        Ok(())
    }

    /// What must hold in the very step, told without the monitor.
    fn at_once(&self, node: &Node<'_, N>, input: &Input<N>, outcome: &Outcome<N>) -> Result<(), &'static str> {
        let student = outcome.pilot.student();
        let late = input.dt > self.policy.policy().late_step.as_ticks() && !node.is_new();
        if !input.switch && student != AxisSet::EMPTY {
            return Err("switch off: the student has nothing in that step");
        }
        if input.now && (student != AxisSet::EMPTY || outcome.pickup != AxisSet::EMPTY) {
            return Err("instructor now: the student has nothing and nothing waits in that step");
        }
        if late && student != AxisSet::EMPTY {
            return Err("a late step: the student has nothing in that step");
        }
        if student.meets(outcome.held) {
            return Err("a held axis is never the student's");
        }
        Ok(())
    }

    /// Keeps the way to this state and on by these inputs.
    fn stop(&mut self, index: u32, last: &[Input<N>], check: &'static str, why: String) -> Result<(), Stop> {
        let (mut way, mut at) = (Vec::new(), index);
        while at != 0 {
            let origin = &self.origins[at as usize];
            way.push(self.scope.inputs[usize::from(origin.input)]);
            at = origin.from;
        }
        way.reverse();
        way.extend(last);
        self.found.path = Some(Path::new(self.policy, &way, check, why));
        Err(Stop)
    }
}

/// A fingerprint is as good as random; half of it is its hash.
#[derive(Debug, Default)]
struct Plain(u64);

impl Hasher for Plain {
    fn finish(&self) -> u64 {
        self.0
    }

    fn write(&mut self, _: &[u8]) {}

    fn write_u128(&mut self, i: u128) {
        #[allow(clippy::cast_possible_truncation)] // half of it
        let half = i as u64;
        self.0 = half;
    }
}
