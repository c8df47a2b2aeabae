//! The command `debrief`: the last lesson of a box, from its port to the picture.

use std::io::{self, Write};
use std::path::Path;

use super::box_file::text;
use super::replay;
use crate::command_line::cli::{DebriefWords, Replay};
use crate::command_line::finish::Verdict;
use crate::command_line::link::{Held, Link};
use crate::command_line::output::Outputs;
use crate::command_line::port::Port;
use crate::error::Fault;

/// Where the file of the box goes.
const BOX_FILE: &str = "debrief.toml";

pub(crate) fn debrief(words: &DebriefWords) -> Result<Verdict, Fault> {
    let inputs = [Some(words.port.as_path()), words.policy.as_deref()];
    let mut outputs = Outputs::beside(&inputs.into_iter().flatten().collect::<Vec<_>>());
    let trace = outputs.create(&words.trace)?;
    let port = Port::open(&words.port)?;
    let asks = port.answers() && words.policy.is_none();
    let mut link = Link::new(port);
    let mut written = Vec::new();
    let mut policy = words.policy.clone();
    if asks && let Held::File(plan) = link.read()? {
        let path = Path::new(BOX_FILE);
        written.push(outputs.create_policy(path, words.overwrite)?.whole_policy(&text(&plan))?);
        policy = Some(path.to_owned());
    }
    let lines = link.lesson()?;
    if lines.iter().any(|line| line.starts_with("# lesson ") && line.contains("the memory was full")) {
        print_cut().map_err(|why| Fault::stdout(&why))?;
    }
    written.push(trace.whole(&(lines.join("\n") + "\n"))?);
    written.iter_mut().try_for_each(crate::command_line::output::Output::complete)?;
    written.into_iter().try_for_each(crate::command_line::output::Output::commit)?;
    replay::replay(&Replay {
        trace: words.trace.clone(),
        policy,
        picture: words.picture.clone(),
        decisions: words.decisions.clone(),
        page: words.page.clone(),
    })
}

fn print_cut() -> io::Result<()> {
    let mut out = io::stdout().lock();
    writeln!(out, "The memory of the box was full before the lesson ended: what came later is not in this report.\n")?;
    out.flush()
}
