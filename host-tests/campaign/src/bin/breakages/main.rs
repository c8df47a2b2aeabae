//! Breaks a copy of the engine, one change of the text at a time, and counts how many breakages the campaign finds.
//!
//! `breakages [COUNT] [--seed S] [--lessons L] [--list]`
//!
//! The copy is in `target/breakages`. Breakages that do not build are left out: COUNT others are flown. Exit code 1 if one is
//! not found that is not known to change nothing (`EQUIVALENT`).

mod operators;

use std::fs::{self, File};
use std::io;
use std::path::{Path, PathBuf};
use std::process::{Command, ExitCode, Stdio};
use std::thread::sleep;
use std::time::{Duration, Instant};

use operators::{Breakage, of_source};
use seeded::Random;

const USAGE: &str = "usage: breakages [COUNT] [--seed S] [--lessons L] [--list]
  COUNT        how many breakages to fly; default 100
  --seed S     draw others; default 1
  --lessons L  lessons for each of them; default 5520
  --list       print all places and changes, and fly none";

/// The stages of a step.
const ENGINE: &str = "core/src/engine";

/// What the copy needs.
const COPIED: [&str; 7] = [
    "Cargo.lock",
    "core/Cargo.toml",
    "core/README.md",
    "core/src",
    "examples/seeded",
    "host-tests/monitor",
    "host-tests/campaign",
];
const MEMBERS: &str = r#"members = ["core", "examples/seeded", "host-tests/monitor", "host-tests/campaign"]"#;

/// Breakages that change nothing that a step can show, as `key` writes them; `host-tests/FAULTS.md` says why.
const EQUIVALENT: &str = include_str!("equivalent.txt");

/// A run that takes longer has found an endless loop.
const LIMIT: Duration = Duration::from_mins(3);

/// What became of a breakage.
enum Fate {
    DoesNotBuild,
    /// The rules that the campaign names, or how else it shows.
    Found(String),
    NotFound,
}

fn main() -> ExitCode {
    match run() {
        Ok(unexplained) if unexplained > 0 => ExitCode::FAILURE,
        Ok(_) => ExitCode::SUCCESS,
        Err(why) => {
            eprintln!("{why}\n{USAGE}");
            ExitCode::from(2)
        }
    }
}

/// How many breakages are not found that should be.
fn run() -> Result<u64, String> {
    let (mut count, mut seed, mut lessons, mut list) = (100, 1, 5_520, false);
    let mut words = std::env::args().skip(1);
    let number = |text: Option<String>| {
        let text = text.unwrap_or_default();
        text.parse::<u64>().map_err(|_| format!("{text:?} is not a number"))
    };
    while let Some(word) = words.next() {
        match word.as_str() {
            "--seed" => seed = number(words.next())?,
            "--lessons" => lessons = number(words.next())?,
            "--list" => list = true,
            _ => count = number(Some(word))?,
        }
    }
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let mut all = breakages(&root).map_err(|why| why.to_string())?;
    if list {
        for breakage in &all {
            println!("{}", row(breakage));
        }
        println!("{} breakages", all.len());
        return Ok(0);
    }
    shuffle(&mut all, &mut Random::stream(seed, 0));
    let tree = Tree::new(&root).map_err(|why| why.to_string())?;
    if let Fate::Found(_) | Fate::DoesNotBuild = tree.fly(lessons).map_err(|why| why.to_string())? {
        return Err("the engine as it is does not pass the campaign".into());
    }
    println!("| | place | change | found by |\n|--:|---|---|---|");
    let (mut flown, mut found, mut unbuilt, mut unexplained) = (0, 0, 0, 0);
    for breakage in all {
        if flown == count {
            break;
        }
        let fate = tree.breaks(&breakage, lessons).map_err(|why| why.to_string())?;
        let by = match fate {
            Fate::DoesNotBuild => {
                unbuilt += 1;
                continue;
            }
            Fate::Found(by) => {
                found += 1;
                by
            }
            Fate::NotFound if EQUIVALENT.lines().any(|known| known == key(&breakage)) => "nothing to find".into(),
            Fate::NotFound => {
                unexplained += 1;
                "**not found**".into()
            }
        };
        flown += 1;
        println!("| {flown} | {} | {by} |", row(&breakage));
    }
    println!("\n{found} of {flown} breakages found, {unexplained} not; {unbuilt} others do not build");
    Ok(unexplained)
}

/// All breakages of the engine, in the order of the files and their lines.
fn breakages(root: &Path) -> io::Result<Vec<Breakage>> {
    let entries: io::Result<Vec<_>> = fs::read_dir(root.join(ENGINE))?.collect();
    let mut files: Vec<PathBuf> = entries?.iter().map(fs::DirEntry::path).collect();
    files.sort();
    let mut all = Vec::new();
    for file in files {
        let name = file.file_name().unwrap_or_default().to_string_lossy().into_owned();
        // The data is shared with the monitor, and no step calls what is for the search over all states.
        if !["outcome.rs", "states.rs"].contains(&name.as_str()) {
            all.extend(of_source(&name, &fs::read_to_string(&file)?));
        }
    }
    Ok(all)
}

/// Any order, by Fisher and Yates.
fn shuffle<T>(items: &mut [T], random: &mut Random) {
    for last in (1..items.len()).rev() {
        items.swap(last, random.below(last + 1));
    }
}

fn row(breakage: &Breakage) -> String {
    let text = |line: &str| format!("`{}`", line.trim().replace('|', "\\|"));
    let to = if breakage.to.is_empty() { "nothing".into() } else { text(&breakage.to) };
    format!("{}:{} | {} → {to}", breakage.file, breakage.line + 1, text(&breakage.from))
}

/// A breakage wherever its line is: the indentation tells lines of the same text apart.
fn key(breakage: &Breakage) -> String {
    let to = if breakage.to.is_empty() { "nothing" } else { breakage.to.trim() };
    format!("{}: {} → {to}", breakage.file, breakage.from)
}

/// A copy of the crates that the campaign needs, which can be broken.
struct Tree {
    at: PathBuf,
}

impl Tree {
    fn new(root: &Path) -> io::Result<Self> {
        let at = root.join("target/breakages");
        let _ = fs::remove_dir_all(at.join("tree"));
        for part in COPIED {
            copy(&root.join(part), &at.join("tree").join(part))?;
        }
        let manifest = fs::read_to_string(root.join("Cargo.toml"))?;
        let mut kept = vec!["[workspace]", "resolver = \"3\"", MEMBERS, "", "[workspace.package]"];
        kept.extend(manifest.lines().skip_while(|line| *line != "[workspace.package]").skip(1));
        let kept: Vec<&str> = kept.into_iter().filter(|line| !line.starts_with("outcome-digest")).collect();
        fs::write(at.join("tree/Cargo.toml"), kept.join("\n"))?;
        Ok(Self { at })
    }

    /// Breaks the copy, flies the campaign, and mends the copy.
    fn breaks(&self, breakage: &Breakage, lessons: u64) -> io::Result<Fate> {
        let path = self.at.join("tree").join(ENGINE).join(&breakage.file);
        let whole = fs::read_to_string(&path)?;
        let lines = whole.lines().enumerate();
        let broken: Vec<&str> =
            lines.map(|(n, line)| if n == breakage.line { breakage.to.as_str() } else { line }).collect();
        fs::write(&path, broken.join("\n") + "\n")?;
        let fate = self.fly(lessons);
        fs::write(&path, whole)?;
        fate
    }

    fn fly(&self, lessons: u64) -> io::Result<Fate> {
        // Every build takes seconds: few optimisations, and what did not change is kept.
        let built = Command::new("cargo")
            .args(["build", "--quiet", "--offline", "-p", "handback-campaign", "--bin", "campaign"])
            .current_dir(self.at.join("tree"))
            .env("CARGO_TARGET_DIR", self.at.join("target"))
            .envs([("CARGO_PROFILE_DEV_OPT_LEVEL", "1"), ("CARGO_PROFILE_DEV_DEBUG", "false")])
            .env("CARGO_INCREMENTAL", "1")
            .stderr(Stdio::null())
            .status()?;
        if !built.success() {
            return Ok(Fate::DoesNotBuild);
        }
        let says = self.at.join("says");
        let mut campaign = Command::new(self.at.join("target/debug/campaign"))
            .args([&lessons.to_string(), "--stop"])
            .stdout(File::create(&says)?)
            .stderr(Stdio::null())
            .spawn()?;
        let began = Instant::now();
        loop {
            if let Some(status) = campaign.try_wait()? {
                let by = || fs::read_to_string(&says).map(|text| named(&text));
                return if status.success() { Ok(Fate::NotFound) } else { by().map(Fate::Found) };
            }
            if began.elapsed() > LIMIT {
                campaign.kill()?;
                campaign.wait()?;
                return Ok(Fate::Found("no end".into()));
            }
            sleep(Duration::from_millis(20));
        }
    }
}

/// The rules that the first line about a lesson names.
fn named(text: &str) -> String {
    let line = text.lines().find(|line| line.starts_with("lesson ")).unwrap_or_default();
    let lists = line.split('(').skip(1).filter_map(|rest| rest.split_once(") expected")).map(|(rules, _)| rules);
    let mut rules: Vec<&str> = lists.flat_map(|list| list.split(", ")).collect();
    rules.dedup();
    if line.contains("too late") {
        rules.push("deadline");
    }
    if line.contains("no panic") { "panic (N1)".into() } else { rules.join(", ") }
}

fn copy(from: &Path, to: &Path) -> io::Result<()> {
    if !from.is_dir() {
        fs::create_dir_all(to.parent().unwrap_or(to))?;
        return fs::copy(from, to).map(drop);
    }
    for entry in fs::read_dir(from)? {
        let name = entry?.file_name();
        if name != "target" {
            copy(&from.join(&name), &to.join(&name))?;
        }
    }
    Ok(())
}
