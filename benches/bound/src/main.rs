//! A bound for the instructions and the stack of a step, from the linked image for a Cortex-M0. See
//! `benches/price/README.md`; the command is `bash .ci/bound`.
//!
//! ```text
//! step-bound ranges IMAGE AXES                 the addresses of the step, for the emulator's log
//! step-bound bound IMAGE AXES PROFILE FACTS    the bound; the emulator's log is the standard input
//! ```

mod bound;
mod facts;
mod flow;
mod listing;
mod loops;
mod path;
mod place;
mod replay;
mod stack;
#[cfg(test)]
mod tests;

use std::fs::read_to_string;
use std::process::{Command, ExitCode};

use crate::bound::Search;
use crate::listing::Image;
use crate::path::Graph;

fn main() -> ExitCode {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let done = match words[..] {
        ["ranges", image, axes] => ranges(image, axes),
        ["bound", image, axes, profile, facts] => bound(image, axes, profile, facts),
        _ => Err("usage: step-bound ranges IMAGE AXES, or step-bound bound IMAGE AXES PROFILE FACTS".to_owned()),
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            println!("{error}");
            ExitCode::FAILURE
        }
    }
}

/// The image, and the address of the function that is measured.
fn load(path: &str, axes: &str) -> Result<(Image, u32), String> {
    let listing = Command::new("arm-none-eabi-objdump")
        .args(["-d", "-C", "-z", "--no-show-raw-insn", path])
        .output()
        .map_err(|error| format!("arm-none-eabi-objdump: {error}"))?;
    let image = listing::read(&String::from_utf8_lossy(&listing.stdout));
    let name = format!("price::measure::engine::<{axes}>");
    let root = image.iter().find(|(_, function)| function.name == name).map(|(at, _)| *at);
    Ok((image, root.ok_or_else(|| format!("{path} has no function {name}"))?))
}

/// Prints `0x1ebb4+0x5d2,...`: every function of the step.
fn ranges(path: &str, axes: &str) -> Result<(), String> {
    let (image, root) = load(path, axes)?;
    let program = flow::program(&image, root)?;
    let range = |entry: &u32| {
        let end = image[entry].instructions.values().last().map_or(*entry, |last| last.after);
        format!("{entry:#x}+{:#x}", end - entry)
    };
    println!("{}", program.keys().map(range).collect::<Vec<_>>().join(","));
    Ok(())
}

fn bound(path: &str, axes: &str, profile: &str, facts: &str) -> Result<(), String> {
    let (image, root) = load(path, axes)?;
    let axes: u32 = axes.parse().map_err(|_| format!("{axes} is no number of axes"))?;
    let program = flow::program(&image, root)?;
    let graph = Graph::new(&program, root)?;
    let instructions = program.values().flat_map(|flow| flow.blocks.values()).flat_map(|block| &block.instructions);
    let places = place::places(path, instructions.copied())?;
    let in_file = |error| format!("{facts}: {error}");
    let known = facts::read(&read_to_string(facts).map_err(|error| format!("{facts}: {error}"))?).map_err(in_file)?;
    let (bounds, names) = known.bounds(&graph, &places, profile, axes).map_err(in_file)?;
    let exclusions = known.exclusions(&image, &program, &graph, &places, axes).map_err(in_file)?;
    let rivals = known.rivals(&image, &program, &places).map_err(in_file)?;
    let stack = stack::deepest(&image, &graph)?;
    let search =
        Search { program: &program, graph: &graph, bounds: &bounds, exclusions: &exclusions, rivals: &rivals, axes };
    let (plain, bound) = (search.plain(), search.bound());
    let seen = replay::replay(std::io::stdin().lock(), &image, &program, &graph, &exclusions, &rivals, root)?;
    let mut wrong = Vec::new();
    for (head, bound) in &bounds {
        let seen = seen.rounds.get(head).copied().unwrap_or(0);
        if seen > *bound {
            wrong.push(format!(
                "the loop {} at {head:x}: {seen} rounds were executed, the bound is {bound}",
                names[head]
            ));
        }
    }
    for (of, sum) in exclusions.iter().zip(&seen.sums) {
        if *sum > axes {
            wrong.push(format!("the exclusion in line {}: a step with {sum}, more than {axes}", of.line));
        }
    }
    for (of, [one, other, both]) in rivals.iter().zip(&seen.rivals) {
        let [this, that] = &of.names;
        if *both {
            wrong.push(format!("a step executes both rivals: {this}, and {that}"));
        }
        for (name, _) in [(this, one), (that, other)].iter().filter(|(_, ever)| !**ever) {
            wrong.push(format!("no step executes {name}, so that nothing could refute that it is a rival"));
        }
    }
    // The committed figures leave out the return.
    println!("plain {}\nbound {}\nbound-stack {stack}", plain - 1, bound - 1);
    println!("replayed {}\nreplayed-worst {}", seen.steps, seen.worst.saturating_sub(1));
    if i64::from(seen.worst) > bound {
        wrong.push(format!("a step of {} instructions is above the bound", seen.worst - 1));
    }
    if wrong.is_empty() { Ok(()) } else { Err(wrong.join("\n")) }
}
