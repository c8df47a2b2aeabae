//! The longest path through a program: what one call of its root can take at most.

use std::collections::{BTreeMap, BTreeSet};

use crate::flow::{Flow, Program};
use crate::loops::{self, Loop, Loops};

/// How often the head of each loop is reached at most each time the loop is entered, by the address of the head.
pub(crate) type Bounds = BTreeMap<u32, u32>;

/// What each block costs, by its address, without what it calls.
pub(crate) type Costs = BTreeMap<u32, i64>;

/// A program whose loops are known.
#[derive(Debug)]
pub(crate) struct Graph<'p> {
    program: &'p Program,
    /// The functions, each behind those that it calls.
    order: Vec<u32>,
    loops: BTreeMap<u32, Loops>,
}

/// A path.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Path {
    pub(crate) cost: i64,
    /// How often it takes each block.
    pub(crate) blocks: BTreeMap<u32, u32>,
}

impl Path {
    fn add(&mut self, other: &Self, times: u32) {
        self.cost += i64::from(times) * other.cost;
        if times > 0 {
            for (at, count) in &other.blocks {
                *self.blocks.entry(*at).or_default() += times * count;
            }
        }
    }
}

impl<'p> Graph<'p> {
    /// The error names a recursion, or a loop without a head.
    pub(crate) fn new(program: &'p Program, root: u32) -> Result<Self, String> {
        let mut order = Vec::new();
        visit(program, root, &mut Vec::new(), &mut order)?;
        let loops = program.iter().map(|(at, flow)| Ok((*at, loops::find(flow)?))).collect::<Result<_, String>>()?;
        Ok(Self { program, order, loops })
    }

    /// All loops, each with its function.
    pub(crate) fn loops(&self) -> impl Iterator<Item = (&'p Flow, &Loop)> {
        self.loops.iter().flat_map(|(at, found)| found.all.iter().map(|of| (&self.program[at], of)))
    }

    /// Those of these blocks that no other one of them is on every path to.
    pub(crate) fn first(&self, blocks: &[u32]) -> Vec<u32> {
        let leading = |at: &u32| self.loops.values().find_map(|of| of.leading.get(at));
        let led = |at: &u32| blocks.iter().any(|other| other != at && leading(at).is_some_and(|of| of.contains(other)));
        blocks.iter().copied().filter(|at| !led(at)).collect()
    }

    /// The functions, each behind those that it calls.
    pub(crate) fn functions(&self) -> impl Iterator<Item = &'p Flow> {
        self.order.iter().map(|at| &self.program[at])
    }

    /// The most expensive path that takes none of the closed blocks, if there is one.
    pub(crate) fn longest(&self, bounds: &Bounds, costs: &Costs, closed: &BTreeSet<u32>) -> Option<Path> {
        let mut of: BTreeMap<u32, Path> = BTreeMap::new();
        for at in &self.order {
            let walk = Walk { flow: &self.program[at], loops: &self.loops[at], bounds, costs, closed, of: &of };
            if let Some(path) = walk.longest() {
                of.insert(*at, path);
            }
        }
        self.order.last().and_then(|root| of.remove(root))
    }
}

/// Puts a function behind those that it calls. `open` are the calls that lead to it.
fn visit(program: &Program, at: u32, open: &mut Vec<u32>, order: &mut Vec<u32>) -> Result<(), String> {
    if open.contains(&at) {
        return Err(format!("a recursion: {} calls itself", program[&at].name));
    }
    if order.contains(&at) {
        return Ok(());
    }
    open.push(at);
    for to in program[&at].blocks.values().flat_map(|block| &block.calls) {
        visit(program, *to, open, order)?;
    }
    open.pop();
    order.push(at);
    Ok(())
}

/// The search in one function.
struct Walk<'a> {
    flow: &'a Flow,
    loops: &'a Loops,
    bounds: &'a Bounds,
    costs: &'a Costs,
    closed: &'a BTreeSet<u32>,
    /// The longest paths of the functions that it calls.
    of: &'a BTreeMap<u32, Path>,
}

/// The search between the head of a loop and its tails, or in the whole function.
struct Region<'a> {
    from: u32,
    within: Option<&'a Loop>,
    /// The longest way once around each inner loop.
    rounds: &'a BTreeMap<u32, Path>,
}

impl Walk<'_> {
    fn longest(&self) -> Option<Path> {
        let mut rounds: BTreeMap<u32, Path> = BTreeMap::new();
        for found in &self.loops.all {
            if let Some(round) = self.search(&Region { from: found.head, within: Some(found), rounds: &rounds }) {
                rounds.insert(found.head, round);
            }
        }
        self.search(&Region { from: self.flow.entry, within: None, rounds: &rounds })
    }

    /// The longest path from the beginning of a region to its end, if the closed blocks leave one.
    fn search(&self, region: &Region<'_>) -> Option<Path> {
        let mut reached: BTreeMap<u32, (i64, Option<u32>)> = BTreeMap::new();
        let inside = |at: &&u32| region.within.is_none_or(|of| of.body.contains(*at));
        // A loop of no rounds is not entered.
        let entered = |at: &&u32| self.bounds.get(at) != Some(&0);
        let calls_end = |at: &u32| self.flow.blocks[at].calls.iter().all(|to| self.of.contains_key(to));
        let open = |at: &&u32| !self.closed.contains(*at) && calls_end(at);
        for at in self.loops.order.iter().filter(inside).filter(entered).filter(open) {
            let way = if *at == region.from {
                Some((0, None))
            } else {
                // A block behind this one leads back to it, and is not reached yet.
                let before = self.loops.before.get(at).into_iter().flatten();
                before.filter_map(|way| Some((reached.get(way)?.0, Some(*way)))).max()
            };
            if let Some((cost, way)) = way {
                reached.insert(*at, (cost + self.cost(*at, region), way));
            }
        }
        let ends = |at: &u32| match region.within {
            Some(of) => of.tails.contains(at),
            None => self.flow.blocks[at].next.is_empty(),
        };
        let last = reached.iter().filter(|(at, _)| ends(at)).max_by_key(|(_, (cost, _))| *cost).map(|(at, _)| *at)?;
        let (mut next, mut path) = (Some(last), Path::default());
        while let Some(at) = next {
            path.add(&Path { cost: self.costs[&at], blocks: BTreeMap::from([(at, 1)]) }, 1);
            self.parts(at, region).for_each(|(part, times)| path.add(part, times));
            next = reached[&at].1;
        }
        Some(path)
    }

    fn cost(&self, at: u32, region: &Region<'_>) -> i64 {
        self.costs[&at] + self.parts(at, region).map(|(part, times)| i64::from(times) * part.cost).sum::<i64>()
    }

    /// What a block calls, and as the head of an inner loop all rounds but the last.
    fn parts<'s>(&'s self, at: u32, region: &'s Region<'_>) -> impl Iterator<Item = (&'s Path, u32)> {
        let calls = self.flow.blocks[&at].calls.iter().filter_map(|to| Some((self.of.get(to)?, 1)));
        let times = self.bounds.get(&at).map_or(0, |bound| bound.saturating_sub(1));
        let round = region.rounds.get(&at).filter(|round| round.cost > 0);
        calls.chain(round.map(|round| (round, times)))
    }
}
