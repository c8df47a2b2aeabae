//! The bound: the longest path, made shorter by what excludes what.

use std::collections::BTreeSet;

use crate::facts::{Rivals, Weights};
use crate::flow::Program;
use crate::path::{Bounds, Costs, Graph, Path};

/// A price is counted in parts of an instruction.
const PARTS: i64 = 64;

/// How many prices are tried for every exclusion.
const TRIES: i64 = 400;

/// What a search needs to know.
pub(crate) struct Search<'a> {
    pub(crate) program: &'a Program,
    pub(crate) graph: &'a Graph<'a>,
    pub(crate) bounds: &'a Bounds,
    pub(crate) exclusions: &'a [Weights],
    pub(crate) rivals: &'a [Rivals],
    pub(crate) axes: u32,
}

/// The paths that take none of the closed blocks: none is longer than `length`.
struct Part {
    closed: BTreeSet<u32>,
    /// In parts of an instruction.
    length: i64,
    /// The longest path at the prices that gave this length. It may break exclusions and rivals.
    path: Path,
}

impl Search<'_> {
    /// The longest path without exclusions and rivals: a number of instructions.
    pub(crate) fn plain(&self) -> i64 {
        self.graph.longest(self.bounds, &self.costs(), &BTreeSet::new()).map_or(0, |path| path.cost) / PARTS
    }

    /// The longest path with them: a number of instructions.
    ///
    /// Where the longest path takes both of two rivals, every path that is possible leaves out one of them: the search goes
    /// on with the one closed and with the other closed. The longest part that needs no further division is the bound.
    pub(crate) fn bound(&self) -> i64 {
        let mut parts: Vec<Part> = self.part(BTreeSet::new()).into_iter().collect();
        while let Some(longest) = (0..parts.len()).max_by_key(|index| parts[*index].length) {
            let part = parts.swap_remove(longest);
            let taken = |blocks: &BTreeSet<u32>| blocks.iter().any(|at| part.path.blocks.contains_key(at));
            let Some(rivals) = self.rivals.iter().find(|of| of.blocks.iter().all(taken)) else {
                return part.length / PARTS;
            };
            parts.extend(rivals.blocks.iter().filter_map(|blocks| self.part(&part.closed | blocks)));
        }
        0
    }

    /// What each block costs.
    fn costs(&self) -> Costs {
        let blocks = self.program.values().flat_map(|flow| &flow.blocks);
        blocks.map(|(at, block)| (*at, PARTS * block.instructions.len().cast_signed() as i64)).collect()
    }

    /// The paths that take none of these blocks, if there is one.
    ///
    /// An exclusion says that the weights on a path sum up to no more than the number of axes. With any price above 0 for a
    /// unit of weight, the longest path under "instructions - price * weight" is, plus "price * axes", no shorter than the
    /// longest path that keeps the exclusion. So every price gives a bound; the lowest of those tried counts.
    fn part(&self, closed: BTreeSet<u32>) -> Option<Part> {
        let plain = self.costs();
        let axes = i64::from(self.axes);
        let mut prices = vec![0; self.exclusions.len()];
        let mut least: Option<(i64, Path)> = None;
        for attempt in 0..TRIES {
            let mut costs = plain.clone();
            for (of, price) in self.exclusions.iter().zip(&prices) {
                for (at, weight) in &of.weights {
                    *costs.entry(*at).or_default() -= price * i64::from(*weight);
                }
            }
            let path = self.graph.longest(self.bounds, &costs, &closed)?;
            let length = path.cost + prices.iter().sum::<i64>() * axes;
            // A price rises where the path breaks its exclusion, and falls where the path leaves room.
            let mut moved = false;
            for (of, price) in self.exclusions.iter().zip(&mut prices) {
                let sum: i64 = of
                    .weights
                    .iter()
                    .map(|(at, weight)| i64::from(path.blocks.get(at).copied().unwrap_or(0) * weight))
                    .sum();
                let step = 20 * PARTS / (10 + attempt) + 1;
                let now = (*price + step * (sum - axes) / axes).max(0);
                moved |= now != *price;
                *price = now;
            }
            if least.as_ref().is_none_or(|(least, _)| length < *least) {
                least = Some((length, path));
            }
            if !moved {
                break;
            }
        }
        least.map(|(length, path)| Part { closed, length, path })
    }
}
