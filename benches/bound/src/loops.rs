//! The loops of a function: each has one block through which it is entered, its head.

use std::collections::{BTreeMap, BTreeSet};

use crate::flow::Flow;

/// A loop.
#[derive(Debug)]
pub(crate) struct Loop {
    pub(crate) head: u32,
    /// Its blocks that lead back to the head.
    pub(crate) tails: Vec<u32>,
    /// All its blocks, with the head.
    pub(crate) body: BTreeSet<u32>,
}

/// The loops of a function, inner ones first, and its blocks in an order in which each comes before those that follow
/// it, except from a tail to a head.
#[derive(Debug)]
pub(crate) struct Loops {
    pub(crate) all: Vec<Loop>,
    pub(crate) order: Vec<u32>,
    /// For each block, those that it can follow.
    pub(crate) before: BTreeMap<u32, Vec<u32>>,
    /// For each block, the blocks that are on every path to it: its dominators.
    pub(crate) leading: BTreeMap<u32, BTreeSet<u32>>,
}

/// Finds the loops. The error names a loop that can be entered in two places.
pub(crate) fn find(flow: &Flow) -> Result<Loops, String> {
    let order = order(flow);
    let place: BTreeMap<u32, usize> = order.iter().enumerate().map(|(place, at)| (*at, place)).collect();
    let mut before: BTreeMap<u32, Vec<u32>> = BTreeMap::new();
    for (at, block) in &flow.blocks {
        for next in &block.next {
            before.entry(*next).or_default().push(*at);
        }
    }
    let leading = leading(flow, &order, &before);
    let mut loops: BTreeMap<u32, Loop> = BTreeMap::new();
    for (tail, block) in &flow.blocks {
        for head in block.next.iter().filter(|head| place[*head] <= place[tail]) {
            if !leading[tail].contains(head) {
                return Err(format!("{} at {head:x}: a loop that can be entered in two places", flow.name));
            }
            let found =
                loops.entry(*head).or_insert(Loop { head: *head, tails: Vec::new(), body: BTreeSet::from([*head]) });
            found.tails.push(*tail);
            let mut open = vec![*tail];
            while let Some(at) = open.pop() {
                if found.body.insert(at) {
                    open.extend(before.get(&at).into_iter().flatten());
                }
            }
        }
    }
    let mut loops: Vec<Loop> = loops.into_values().collect();
    loops.sort_by_key(|found| found.body.len());
    Ok(Loops { all: loops, order, before, leading })
}

/// Reverse postorder.
fn order(flow: &Flow) -> Vec<u32> {
    let mut done = Vec::new();
    let mut seen = BTreeSet::from([flow.entry]);
    let mut open = vec![(flow.entry, 0)];
    while let Some((at, way)) = open.pop() {
        match flow.blocks[&at].next.get(way) {
            Some(next) => {
                open.push((at, way + 1));
                if seen.insert(*next) {
                    open.push((*next, 0));
                }
            }
            None => done.push(at),
        }
    }
    done.reverse();
    done
}

/// The dominators of each block.
fn leading(flow: &Flow, order: &[u32], before: &BTreeMap<u32, Vec<u32>>) -> BTreeMap<u32, BTreeSet<u32>> {
    let all: BTreeSet<u32> = order.iter().copied().collect();
    let mut leading: BTreeMap<u32, BTreeSet<u32>> = order.iter().map(|at| (*at, all.clone())).collect();
    leading.insert(flow.entry, BTreeSet::from([flow.entry]));
    let mut moved = true;
    while moved {
        moved = false;
        for at in order.iter().skip(1) {
            let mut common = before[at].iter().map(|from| &leading[from]);
            let first = common.next().cloned().unwrap_or_default();
            let mut found = common.fold(first, |common, of| common.intersection(of).copied().collect());
            found.insert(*at);
            if found != leading[at] {
                leading.insert(*at, found);
                moved = true;
            }
        }
    }
    leading
}
