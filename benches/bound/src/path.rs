//! The longest path through a program: the most instructions that one call of its root can take.

use std::collections::{BTreeMap, BTreeSet};

use crate::flow::{Flow, Program};
use crate::loops::{self, Loop, Loops};

/// How often the head of each loop is reached at most each time the loop is entered, by the address of the head.
pub type Bounds = BTreeMap<u32, u32>;

/// A program whose loops are known.
#[derive(Debug)]
pub struct Graph<'p> {
    program: &'p Program,
    /// The functions, each behind those that it calls.
    order: Vec<u32>,
    loops: BTreeMap<u32, Loops>,
}

/// A path.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Path {
    pub instructions: u32,
    /// How often it takes each block.
    pub blocks: BTreeMap<u32, u32>,
}

impl Path {
    fn add(&mut self, other: &Self, times: u32) {
        self.instructions += times * other.instructions;
        for (at, count) in &other.blocks {
            *self.blocks.entry(*at).or_default() += times * count;
        }
    }
}

impl<'p> Graph<'p> {
    /// The error names a recursion, or a loop without a head.
    pub fn new(program: &'p Program, root: u32) -> Result<Self, String> {
        let mut order = Vec::new();
        visit(program, root, &mut Vec::new(), &mut order)?;
        let loops = program.iter().map(|(at, flow)| Ok((*at, loops::find(flow)?))).collect::<Result<_, String>>()?;
        Ok(Self { program, order, loops })
    }

    /// All loops, each with its function.
    pub fn loops(&self) -> impl Iterator<Item = (&'p Flow, &Loop)> {
        self.loops.iter().flat_map(|(at, found)| found.loops.iter().map(|of| (&self.program[at], of)))
    }

    /// The functions, each behind those that it calls.
    pub fn functions(&self) -> impl Iterator<Item = &'p Flow> {
        self.order.iter().map(|at| &self.program[at])
    }

    /// The longest path that takes none of these blocks; `None` if every path takes one.
    pub fn longest(&self, bounds: &Bounds, without: &BTreeSet<u32>) -> Option<Path> {
        let mut of: BTreeMap<u32, Option<Path>> = BTreeMap::new();
        for at in &self.order {
            let path = Walk { flow: &self.program[at], loops: &self.loops[at], bounds, without, of: &of }.longest();
            of.insert(*at, path);
        }
        of.remove(self.order.last()?).flatten()
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
    without: &'a BTreeSet<u32>,
    /// The longest paths of the functions that it calls.
    of: &'a BTreeMap<u32, Option<Path>>,
}

impl Walk<'_> {
    fn longest(&self) -> Option<Path> {
        // The longest way once around each loop; inner loops come first.
        let mut rounds: BTreeMap<u32, Path> = BTreeMap::new();
        for found in &self.loops.loops {
            let round = self.region(found.head, Some(&found.body), &rounds, &|at| found.tails.contains(&at));
            rounds.insert(found.head, round.unwrap_or_default());
        }
        self.region(self.flow.entry, None, &rounds, &|at| self.flow.blocks[&at].next.is_empty())
    }

    /// The longest path from a block to a last one, within these blocks, with all rounds of the loops between.
    fn region(
        &self,
        from: u32,
        within: Option<&BTreeSet<u32>>,
        rounds: &BTreeMap<u32, Path>,
        is_last: &dyn Fn(u32) -> bool,
    ) -> Option<Path> {
        let mut reached: BTreeMap<u32, (u32, Option<u32>)> = BTreeMap::new();
        for at in &self.loops.order {
            if within.is_some_and(|blocks| !blocks.contains(at)) {
                continue;
            }
            let way = if *at == from {
                Some((0, None))
            } else {
                // A block behind this one leads back to it, and is not reached yet.
                let before = self.loops.before.get(at).into_iter().flatten();
                before.filter_map(|way| Some((reached.get(way)?.0, Some(*way)))).max()
            };
            if let (Some((length, way)), Some(own)) = (way, self.block(*at, from, rounds)) {
                reached.insert(*at, (length + own.instructions, way));
            }
        }
        let last = reached.iter().filter(|(at, _)| is_last(**at)).max_by_key(|(_, (length, _))| *length)?;
        let mut path = Path::default();
        let mut next = Some(*last.0);
        while let Some(at) = next {
            path.add(&self.block(at, from, rounds)?, 1);
            next = reached[&at].1;
        }
        Some(path)
    }

    /// A block with what it calls, and as the head of a loop with all rounds but the last.
    fn block(&self, at: u32, from: u32, rounds: &BTreeMap<u32, Path>) -> Option<Path> {
        if self.without.contains(&at) {
            return None;
        }
        let block = &self.flow.blocks[&at];
        let length = u32::try_from(block.instructions.len()).unwrap_or(u32::MAX);
        let mut path = Path { instructions: length, blocks: BTreeMap::from([(at, 1)]) };
        for to in &block.calls {
            path.add(self.of[to].as_ref()?, 1);
        }
        if let Some(round) = rounds.get(&at) && (at != from || at == self.flow.entry) {
            path.add(round, self.bounds.get(&at).map_or(0, |bound| bound.saturating_sub(1)));
        }
        Some(path)
    }
}
