//! The command `box`: the file of a box, to it and from it.

use std::io::{self, BufRead, IsTerminal, Write};
use std::path::Path;

use crate::command_line::cli::{BoxWhat, BoxWords};
use crate::command_line::finish::Verdict;
use crate::command_line::link::{AXES, Held, Link};
use crate::command_line::open;
use crate::command_line::output::Outputs;
use crate::command_line::port::Port;
use crate::count::counted;
use crate::error::Fault;
use crate::policy::{BoxPlan, TomlPolicy};

pub(crate) fn box_file(words: &BoxWords) -> Result<Verdict, Fault> {
    match words.what {
        BoxWhat::Read => read(words),
        BoxWhat::Write => write(words),
        BoxWhat::Check => check(words),
    }
}

fn read(words: &BoxWords) -> Result<Verdict, Fault> {
    let mut outputs = Outputs::beside(&[&words.port]);
    let output = words.file.as_deref().map(|path| outputs.create_policy(path, words.overwrite)).transpose()?;
    let plan = held(words)?;
    match output {
        Some(output) => {
            let mut output = output.whole_policy(&text(&plan))?;
            output.complete()?;
            output.commit()?;
            say(&format!("Written: {}", words.file.as_deref().unwrap_or(Path::new("")).display()))?;
        }
        None => say(text(&plan).trim_end())?,
    }
    Ok(Verdict::Sound)
}

/// Compares the file that a box holds with this one.
fn check(words: &BoxWords) -> Result<Verdict, Fault> {
    let file = words.file.as_deref().map(read_file).transpose()?;
    let plan = held(words)?;
    let Some(file) = file else {
        say("The box holds a file that passes its check.")?;
        return Ok(Verdict::Sound);
    };
    let differences = differences(Some(&plan), &file);
    if differences.is_empty() {
        say("The box holds this file.")?;
        return Ok(Verdict::Sound);
    }
    say(&format!(
        "The box holds another file: {}, the box's value first\n{}",
        counted(differences.len() as u64, "difference"),
        differences.join("\n")
    ))?;
    Ok(Verdict::Unsound)
}

fn write(words: &BoxWords) -> Result<Verdict, Fault> {
    let Some(path) = words.file.as_deref() else {
        return Err(Fault::new(
            Path::new("box write"),
            "no file is named",
            "name the box file: box write PORT box.toml",
        ));
    };
    let plan = read_file(path)?;
    let mut link = Link::new(Port::open(&words.port)?);
    let before = match link.read()? {
        Held::File(before) => Some(before),
        Held::None(why) => {
            say(&format!("Of the box: {why}"))?;
            None
        }
    };
    let differences = differences(before.as_deref(), &plan);
    if differences.is_empty() {
        say("The box holds this file already: nothing is written.")?;
        return Ok(Verdict::Sound);
    }
    say(&format!(
        "{}, the box's value first:\n{}",
        counted(differences.len() as u64, "difference"),
        differences.join("\n")
    ))?;
    if !words.yes && !agreed(path)? {
        say("Nothing is written.")?;
        return Ok(Verdict::Unsound);
    }
    link.write(&plan)?;
    say(
        "Stored, and read back the same. It is in force from the next start of the box. Then check the bench: propellers off.",
    )?;
    Ok(Verdict::Sound)
}

/// Whether the user agrees to the differences.
fn agreed(path: &Path) -> Result<bool, Fault> {
    if !io::stdin().is_terminal() {
        return Err(Fault::new(
            path,
            "is not written: nobody is there to agree",
            "look at the differences, then add --yes",
        ));
    }
    say("Write it? Type yes:")?;
    let mut answer = String::new();
    io::stdin().lock().read_line(&mut answer).map_err(|why| Fault::unread(Path::new("-"), &why))?;
    Ok(answer.trim().eq_ignore_ascii_case("yes"))
}

/// The file that the box holds.
fn held(words: &BoxWords) -> Result<Box<BoxPlan<AXES>>, Fault> {
    match Link::new(Port::open(&words.port)?).read()? {
        Held::File(plan) => Ok(plan),
        Held::None(why) => Err(Fault::told(&words.port, format!("the box refused: {why}"))),
    }
}

/// A box file for the box, checked.
fn read_file(path: &Path) -> Result<BoxPlan<AXES>, Fault> {
    let file = open::policy(path)?;
    if !file.is_box() {
        return Err(Fault::new(path, "is a policy alone", "add channels and trains: `lesson policy --box` shows them"));
    }
    let axes = file.names().len();
    if axes != AXES {
        let found = format!("has {}, and the box {AXES}", counted(axes as u64, "axis").replace("axiss", "axes"));
        return Err(Fault::new(
            path,
            found,
            "give it four; watched = false and shared = false leave one to the instructor",
        ));
    }
    file.plan::<AXES>()?.ok_or_else(|| Fault::new(path, "is a policy alone", "add channels and trains"))
}

/// The box file of a plan.
pub(crate) fn text(plan: &BoxPlan<AXES>) -> String {
    let names = plan.names.map(|name| name.as_str().to_owned());
    TomlPolicy { policy: &plan.policy, names: &names, around: Some(plan) }.to_string()
}

/// What differs, a line each: where, the value before, and the value now.
fn differences(before: Option<&BoxPlan<AXES>>, now: &BoxPlan<AXES>) -> Vec<String> {
    let (old, new) = (before.map(|plan| flat(&text(plan))).unwrap_or_default(), flat(&text(now)));
    let value =
        |of: &[(String, String)], key: &str| of.iter().find(|(other, _)| other == key).map(|(_, value)| value.clone());
    let gone = old.iter().filter(|(key, _)| value(&new, key).is_none());
    let changed = new.iter().filter(|(key, now)| value(&old, key).as_ref() != Some(now));
    let shown = |value: Option<String>| value.unwrap_or_else(|| "-".to_owned());
    let keys = changed.chain(gone).map(|(key, _)| key);
    keys.map(|key| format!("  {key}: {} -> {}", shown(value(&old, key)), shown(value(&new, key)))).collect()
}

/// Every key of a box file with the names of its tables and its axis, and its value.
fn flat(text: &str) -> Vec<(String, String)> {
    let (mut table, mut axis, mut number, mut all) = (String::new(), String::new(), 0, Vec::new());
    for line in text.lines().filter(|line| !line.starts_with('#')) {
        if line == "[[axis]]" {
            (table, axis) = (String::new(), format!("axis {number}"));
            number += 1;
        } else if let Some(name) = line.strip_prefix('[').and_then(|line| line.strip_suffix(']')) {
            name.trim_start_matches("axis.").clone_into(&mut table);
            axis = if name.starts_with("axis.") { axis } else { String::new() };
        } else if let Some((key, value)) = line.split_once(" = ") {
            let place = [axis.as_str(), table.as_str(), key].into_iter().filter(|part| !part.is_empty());
            all.push((place.collect::<Vec<_>>().join(", "), value.to_owned()));
        }
    }
    all
}

fn say(text: &str) -> Result<(), Fault> {
    let mut out = io::stdout().lock();
    writeln!(out, "{text}").and_then(|()| out.flush()).map_err(|why| Fault::stdout(&why))
}
