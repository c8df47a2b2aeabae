//! The page that leads from a recording to a policy (`THRESHOLDS.md`): its commands are run, and must print what the
//! page shows.

use std::path::Path;
use std::process::Command;

use super::HERE;
use super::sticks::{BOX, rest, sweeps};
use crate::desk::{Desk, Run};

/// Given the simulated sticks of the page, when they are recorded, then the recordings are the committed ones.
///
/// `UPDATE_RECORDINGS=1` writes them.
#[test]
fn the_recordings_of_the_page_are_those_of_its_sticks() {
    for (name, made) in [("rest.csv", rest(41, &BOX, 6200)), ("sweep.csv", sweeps(97, &BOX))] {
        let path = Path::new(HERE).join("recordings").join(name);
        if std::env::var_os("UPDATE_RECORDINGS").is_some() {
            std::fs::write(&path, &made).unwrap();
        }
        assert!(std::fs::read_to_string(&path).unwrap() == made, "{name} is not what the sticks make");
    }
}

/// Runs a line of the page as a shell would, with the tool on its path.
#[cfg(unix)]
fn run(desk: &Desk, line: &str) -> Run {
    let tool = Path::new(env!("CARGO_BIN_EXE_lesson")).parent().unwrap();
    let path = std::env::join_paths(
        std::iter::once(tool.to_owned()).chain(std::env::split_paths(&std::env::var_os("PATH").unwrap())),
    );
    let mut shell = Command::new("sh");
    Run::of(shell.args(["-c", line]).env("PATH", path.unwrap()).current_dir(desk.path("")).output().unwrap())
}

/// Given every block of the page that is marked `console`, when its commands, the lines after `$`, are run, then they
/// print the lines that follow and draw its picture. Three dots alone on a line stand for lines that are left out.
#[cfg(unix)]
#[test]
fn the_commands_of_the_page_print_what_it_shows() {
    let page = std::fs::read_to_string(Path::new(HERE).join("THRESHOLDS.md")).unwrap();
    let desk = Desk::new();
    for name in ["rest.csv", "sweep.csv"] {
        desk.put(name, std::fs::read(Path::new(HERE).join("recordings").join(name)).unwrap());
    }
    let mut commands = 0;
    for block in page.split("```console\n").skip(1) {
        let block = block.split("```").next().unwrap();
        for example in block.split("$ ").skip(1) {
            let (line, expected) = example.split_once('\n').unwrap();
            let run = run(&desk, line);
            assert_eq!(run.err, "", "{line}");
            commands += 1;
            let mut printed = run.out.as_str();
            for (part, text) in expected.split("...\n").enumerate() {
                let at = printed.find(text).unwrap_or_else(|| panic!("{line}\nwanted:\n{text}\nprinted:\n{}", run.out));
                assert!(part > 0 || at == 0, "{line}\nwanted first:\n{text}\nprinted:\n{}", run.out);
                printed = &printed[at + text.len()..];
            }
            assert!(printed.is_empty() || expected.ends_with("...\n"), "{line}: prints more:\n{printed}");
            if commands == 1 {
                let drawn = std::fs::read_to_string(Path::new(HERE).join("tune.svg")).unwrap();
                assert!(drawn == desk.read("tune.svg"), "tune.svg is not what the page draws");
            }
        }
    }
    assert!(commands >= 4, "{commands}");
}
