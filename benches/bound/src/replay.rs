//! What the emulator executed, instruction by instruction, laid over the graph: it shows that the graph, the rounds and
//! the exclusions are not refuted by any of these steps.

use std::collections::BTreeMap;
use std::io::BufRead;

use crate::facts::{Rivals, Weights};
use crate::flow::Program;
use crate::listing::{Image, Instruction, Kind};
use crate::path::Graph;

/// What was seen.
#[derive(Debug, Default)]
pub(crate) struct Seen {
    pub(crate) steps: u32,
    /// The most instructions in one step.
    pub(crate) worst: u32,
    /// How often the head of each loop was reached at most each time the loop was entered.
    pub(crate) rounds: BTreeMap<u32, u32>,
    /// The largest sum of weights in one step, for each exclusion.
    pub(crate) sums: Vec<u32>,
    /// For each pair of rivals, whether a step executed the one, the other, and both.
    pub(crate) rivals: Vec<[bool; 3]>,
}

/// What a block is to the replay.
#[derive(Default)]
struct Mark {
    /// The loops that it is the head of, by their tails; and which exclusions it has weight in.
    tails: Option<Vec<u32>>,
    weights: Vec<(usize, u32)>,
    /// Which of which pair of rivals it belongs to.
    rivals: Vec<(usize, usize)>,
}

/// Where a function that called another one goes on.
struct Call {
    after: u32,
    block: u32,
}

/// Replays a log of `-singlestep -d exec,nochain`. The error names a way that the graph does not have.
pub(crate) fn replay(
    log: impl BufRead,
    image: &Image,
    program: &Program,
    graph: &Graph<'_>,
    exclusions: &[Weights],
    rivals: &[Rivals],
    root: u32,
) -> Result<Seen, String> {
    let mut seen = Seen { sums: vec![0; exclusions.len()], rivals: vec![[false; 3]; rivals.len()], ..Seen::default() };
    let marks = marks(program, graph, exclusions, rivals);
    let code: BTreeMap<u32, &Instruction> =
        program.keys().flat_map(|entry| &image[entry].instructions).map(|(at, of)| (*at, of)).collect();
    let code: std::collections::HashMap<u32, &Instruction> = code.into_iter().collect();

    let mut last: Option<(u32, &Instruction)> = None;
    let (mut calls, mut block, mut count) = (Vec::<Call>::new(), root, 0);
    let mut rounds: BTreeMap<u32, u32> = BTreeMap::new();
    let mut sums = vec![0; exclusions.len()];
    let mut executed = vec![[false; 2]; rivals.len()];
    let mut lines = log.split(b'\n');
    while let Some(line) = lines.next().transpose().map_err(|error| error.to_string())? {
        let Some(at) = address(&line) else { continue };
        let Some(of) = code.get(&at) else { continue };
        // Others call the compiler's routines too. An instruction that the emulator put off is logged twice.
        if last.is_none() && at != root || last.is_some_and(|(last, _)| last == at) {
            continue;
        }
        let expected = match last {
            None => true,
            Some((_, Instruction { kind: Kind::Falls, after, .. })) => at == *after,
            Some((_, Instruction { kind: Kind::Branches(to), after, .. })) => at == *to || at == *after,
            Some((_, Instruction { kind: Kind::Jumps(to), .. })) => at == *to,
            Some((_, Instruction { kind: Kind::Calls(to), after, .. })) => {
                calls.push(Call { after: *after, block });
                at == *to
            }
            Some((_, Instruction { kind: Kind::Returns, .. })) => match calls.pop() {
                Some(call) => {
                    block = call.block;
                    at == call.after
                }
                None => false,
            },
            Some((_, Instruction { kind: Kind::Unknown, .. })) => false,
        };
        if !expected {
            return Err(format!(
                "the emulator went from {:x?} to {at:x}, which the graph does not",
                last.map(|(at, _)| at)
            ));
        }
        if let Some(mark) = marks.get(&at) {
            if let Some(tails) = &mark.tails {
                let round = rounds.entry(at).or_default();
                *round = if tails.contains(&block) { *round + 1 } else { 1 };
                let most = seen.rounds.entry(at).or_default();
                *most = (*most).max(*round);
            }
            for (exclusion, weight) in &mark.weights {
                sums[*exclusion] += weight;
            }
            for (pair, which) in &mark.rivals {
                executed[*pair][*which] = true;
            }
            block = at;
        }
        count += 1;
        last = Some((at, of));
        if of.kind == Kind::Returns && calls.is_empty() {
            seen.steps += 1;
            seen.worst = seen.worst.max(count);
            for (most, sum) in seen.sums.iter_mut().zip(&mut sums) {
                *most = (*most).max(*sum);
                *sum = 0;
            }
            for (ever, [one, other]) in seen.rivals.iter_mut().zip(&mut executed) {
                let both = *one && *other;
                *ever = [ever[0] || *one, ever[1] || *other, ever[2] || both];
                (*one, *other) = (false, false);
            }
            (last, count) = (None, 0);
        }
    }
    Ok(seen)
}

fn marks(
    program: &Program,
    graph: &Graph<'_>,
    exclusions: &[Weights],
    rivals: &[Rivals],
) -> std::collections::HashMap<u32, Mark> {
    let mut marks: std::collections::HashMap<u32, Mark> =
        program.values().flat_map(|flow| flow.blocks.keys()).map(|at| (*at, Mark::default())).collect();
    for (_, of) in graph.loops() {
        marks.entry(of.head).or_default().tails = Some(of.tails.clone());
    }
    for (index, of) in exclusions.iter().enumerate() {
        for (at, weight) in &of.weights {
            marks.entry(*at).or_default().weights.push((index, *weight));
        }
    }
    for (pair, of) in rivals.iter().enumerate() {
        for (which, blocks) in of.blocks.iter().enumerate() {
            for at in blocks {
                marks.entry(*at).or_default().rivals.push((pair, which));
            }
        }
    }
    marks
}

/// The program counter of a line `Trace 0: 0x7fb5a40e8700 [00800400/0001ebb4/00000510/ff020201]`.
fn address(line: &[u8]) -> Option<u32> {
    let from = line.iter().position(|byte| *byte == b'/')? + 1;
    u32::from_str_radix(std::str::from_utf8(line.get(from..from + 8)?).ok()?, 16).ok()
}
