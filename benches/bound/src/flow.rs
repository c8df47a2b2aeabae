//! The blocks of a function: instructions that follow each other without a choice.

use std::collections::{BTreeMap, BTreeSet};

use crate::listing::{Function, Image, Kind};

/// The functions that can be called from one, by address.
pub(crate) type Program = BTreeMap<u32, Flow>;

/// A function as a graph of blocks.
#[derive(Debug)]
pub(crate) struct Flow {
    pub(crate) name: String,
    pub(crate) entry: u32,
    pub(crate) blocks: BTreeMap<u32, Block>,
}

/// Instructions of which all are executed, or none.
#[derive(Debug, Default)]
pub(crate) struct Block {
    /// Addresses of its instructions.
    pub(crate) instructions: Vec<u32>,
    /// Functions that it calls.
    pub(crate) calls: Vec<u32>,
    /// Blocks that can follow; none where the function returns.
    pub(crate) next: Vec<u32>,
}

/// The functions that `root` calls, directly or not. The error names the place that has no bound.
pub(crate) fn program(image: &Image, root: u32) -> Result<Program, String> {
    let mut program = Program::new();
    let mut open = vec![root];
    while let Some(at) = open.pop() {
        if program.contains_key(&at) {
            continue;
        }
        let function = image.get(&at).ok_or_else(|| format!("a call of {at:x}, where no function begins"))?;
        let flow = flow(at, function)?;
        open.extend(flow.blocks.values().flat_map(|block| &block.calls));
        program.insert(at, flow);
    }
    Ok(program)
}

fn flow(entry: u32, function: &Function) -> Result<Flow, String> {
    let code = &function.instructions;
    let mut leaders = BTreeSet::from([entry]);
    for instruction in code.values() {
        let (Kind::Jumps(to) | Kind::Branches(to)) = instruction.kind else { continue };
        if code.contains_key(&to) {
            leaders.insert(to);
        }
        if code.contains_key(&instruction.after) {
            leaders.insert(instruction.after);
        }
    }
    let mut blocks = BTreeMap::new();
    let mut open = vec![entry];
    while let Some(leader) = open.pop() {
        if blocks.contains_key(&leader) {
            continue;
        }
        let block = block(leader, function, &leaders)?;
        open.extend(&block.next);
        blocks.insert(leader, block);
    }
    Ok(Flow { name: function.name.clone(), entry, blocks })
}

fn block(leader: u32, function: &Function, leaders: &BTreeSet<u32>) -> Result<Block, String> {
    let mut block = Block::default();
    let mut at = leader;
    loop {
        let refuse = |why: &str| format!("{} at {at:x}: {why}", function.name);
        let instruction = function.instructions.get(&at).ok_or_else(|| refuse("no instruction"))?;
        block.instructions.push(at);
        let inside = |to: u32| function.instructions.contains_key(&to);
        match instruction.kind {
            Kind::Falls => {}
            Kind::Calls(to) => block.calls.push(to),
            Kind::Returns => return Ok(block),
            Kind::Jumps(to) if inside(to) => {
                block.next = vec![to];
                return Ok(block);
            }
            // The function that it ends with returns for it.
            Kind::Jumps(to) => {
                block.calls.push(to);
                return Ok(block);
            }
            Kind::Branches(to) if inside(to) => {
                block.next = vec![instruction.after, to];
                return Ok(block);
            }
            Kind::Branches(_) => return Err(refuse(&format!("a branch out of the function: {}", instruction.text))),
            Kind::Unknown => return Err(refuse(&format!("nothing says what follows: {}", instruction.text))),
        }
        at = instruction.after;
        if leaders.contains(&at) {
            block.next = vec![at];
            return Ok(block);
        }
    }
}
