//! The stack of a program: the frames on the deepest chain of calls.

use std::collections::BTreeMap;

use crate::flow::Flow;
use crate::listing::{Image, Kind};
use crate::path::Graph;

/// The most bytes that a call of the root can take. The error names an instruction whose effect on the stack pointer is
/// not known.
pub(crate) fn deepest(image: &Image, graph: &Graph<'_>) -> Result<u32, String> {
    let mut of = BTreeMap::new();
    let mut last = 0;
    for flow in graph.functions() {
        last = frame(image, flow, &of)?;
        of.insert(flow.entry, last);
    }
    Ok(last)
}

/// The deepest point of one function, with what it calls.
fn frame(image: &Image, flow: &Flow, of: &BTreeMap<u32, u32>) -> Result<u32, String> {
    let mut entered = BTreeMap::from([(flow.entry, 0_u32)]);
    let mut open = vec![flow.entry];
    let mut deepest = 0;
    while let Some(at) = open.pop() {
        let (block, mut depth) = (&flow.blocks[&at], entered[&at]);
        for at in &block.instructions {
            let instruction = &image[&flow.entry].instructions[at];
            let refuse = |why| format!("{} at {at:x}: {why}: {}", flow.name, instruction.text);
            depth = change(&instruction.text)
                .and_then(|change| depth.checked_add_signed(change))
                .ok_or_else(|| refuse("no known effect on the stack pointer"))?;
            deepest = deepest.max(depth);
            if let Kind::Calls(to) | Kind::Jumps(to) = instruction.kind {
                deepest = deepest.max(depth + of.get(&to).copied().unwrap_or(0));
            }
        }
        for next in &block.next {
            match entered.get(next) {
                None => {
                    entered.insert(*next, depth);
                    open.push(*next);
                }
                Some(before) if *before == depth => {}
                Some(_) => return Err(format!("{} at {next:x}: two depths of the stack meet", flow.name)),
            }
        }
    }
    Ok(deepest)
}

/// The number of bytes that an instruction takes from the stack; negative where it gives some back.
fn change(text: &str) -> Option<i32> {
    let (mnemonic, operands) = text.split_once(' ').unwrap_or((text, ""));
    let bytes = || operands.rsplit_once('#').and_then(|(_, bytes)| bytes.parse::<i32>().ok());
    match mnemonic {
        "push" => registers(operands).map(|count| 4 * count),
        "pop" => registers(operands).map(|count| -4 * count),
        "sub" if operands.starts_with("sp, ") => bytes(),
        "add" if operands.starts_with("sp, ") => bytes().map(|bytes| -bytes),
        "mov" if operands.starts_with("sp,") => None,
        _ => Some(0),
    }
}

/// The number of registers in a list such as `{r4, r5, lr}`.
fn registers(list: &str) -> Option<i32> {
    let list = list.strip_prefix('{')?.strip_suffix('}')?;
    if list.contains('-') { None } else { i32::try_from(list.split(',').count()).ok() }
}
