//! The bound: the longest path, made shorter by what excludes what.

use crate::facts::Weights;
use crate::flow::Program;
use crate::path::{Bounds, Costs, Graph};

/// A price is counted in parts of an instruction.
const PARTS: i64 = 64;

/// How many prices are tried for every exclusion.
const TRIES: i64 = 400;

/// The longest path without exclusions, and with them: numbers of instructions.
///
/// An exclusion says that the weights on a path sum up to no more than the number of axes. With any price above 0 for a
/// unit of weight, the longest path under "instructions - price * weight" is, plus "price * axes", no shorter than the
/// longest path that keeps the exclusion. So every price gives a bound; the lowest of those tried counts.
pub(crate) fn bound(
    program: &Program,
    graph: &Graph<'_>,
    bounds: &Bounds,
    exclusions: &[Weights],
    axes: u32,
) -> (i64, i64) {
    let blocks = || program.values().flat_map(|flow| &flow.blocks);
    let plain: Costs =
        blocks().map(|(at, block)| (*at, PARTS * block.instructions.len().cast_signed() as i64)).collect();
    let mut prices = vec![0; exclusions.len()];
    let mut least: Option<(i64, Vec<i64>)> = None;
    let mut first = 0;
    for attempt in 0..TRIES {
        let mut costs = plain.clone();
        for (of, price) in exclusions.iter().zip(&prices) {
            for (at, weight) in &of.weights {
                *costs.entry(*at).or_default() -= price * i64::from(*weight);
            }
        }
        let path = graph.longest(bounds, &costs);
        let length = path.cost + prices.iter().sum::<i64>() * i64::from(axes);
        if attempt == 0 {
            first = length;
        }
        if least.as_ref().is_none_or(|(least, _)| length < *least) {
            least = Some((length, prices.clone()));
        }
        // A price rises where the path breaks its exclusion, and falls where the path leaves room.
        for (of, price) in exclusions.iter().zip(&mut prices) {
            let sum: i64 = of
                .weights
                .iter()
                .map(|(at, weight)| i64::from(path.blocks.get(at).copied().unwrap_or(0) * weight))
                .sum();
            let step = 20 * PARTS / (10 + attempt) + 1;
            *price = (*price + step * (sum - i64::from(axes)) / i64::from(axes)).max(0);
        }
    }
    (first / PARTS, least.map_or(first, |(least, _)| least) / PARTS)
}
