//! Files that are written: their names, what they replace, and what a killed run leaves.

use std::fs;
#[cfg(unix)]
use std::process::Child;
use std::thread::sleep;
use std::time::{Duration, Instant};

use crate::desk::Desk;

/// Readings of one axis at rest, quiet enough for thresholds.
fn rest() -> String {
    let rows = (0..6000).map(|row| format!("{},{}", row * 20_000, 1499 + row % 3)).collect::<Vec<_>>();
    format!("time_us,us:roll\n{}\n", rows.join("\n"))
}

const OUTPUTS: [&[&str]; 9] = [
    &["fly", "--minutes", "0.1", "--picture"],
    &["fly", "--minutes", "0.1", "--record"],
    &["fly", "--minutes", "0.1", "--record-policy"],
    &["fly", "--minutes", "0.1", "--decisions"],
    &["replay", "trace.csv", "--decisions"],
    &["preflight", "--record"],
    &["tune", "rest.csv", "--write"],
    &["tune", "rest.csv", "--picture"],
    &["cost", "--picture"],
];

#[test]
fn a_dash_or_a_folder_is_refused_alike_by_every_output() {
    let desk = Desk::new();
    desk.put("rest.csv", rest()).put_trace(&["0,0,0,1,2,3,4"]);
    fs::create_dir(desk.path("folder")).unwrap();
    let before = desk.files();
    for words in OUTPUTS {
        for (name, said) in [
            (
                "-",
                "-: names no file; the report goes to standard output: name a file, or write ./- for one of this name\n",
            ),
            ("new/", "new/: cannot be written: names a folder; name a file in it\n"),
            ("folder/", "folder/: cannot be written: names a folder; name a file in it\n"),
            ("folder/.", "folder/.: cannot be written: names a folder; name a file in it\n"),
            ("..", "..: cannot be written: names a folder; name a file in it\n"),
            ("folder", "folder: cannot be written: is a directory; name a file in it\n"),
        ] {
            desk.run(&[words, &[name]].concat()).is_refused_with(said);
        }
    }
    assert_eq!(desk.files(), before);
    desk.run_well(&["cost", "--picture", "./-"]);
    assert!(desk.files().contains(&"-".to_owned()));
}

/// Given a policy that a run wrote, when another run writes there, then it is replaced only if nobody has edited it.
#[test]
fn a_policy_that_was_edited_is_kept() {
    for words in
        [&["tune", "rest.csv", "--write", "p.toml"][..], &["fly", "--minutes", "0.1", "--record-policy", "p.toml"]]
    {
        let desk = Desk::new();
        desk.put("rest.csv", rest());
        desk.run_well(words);
        let written = desk.read("p.toml");
        assert!(written.starts_with("# lesson wrote this file, digest "), "{written}");
        desk.run_well(&["policy", "p.toml"]);
        // As the run left it.
        desk.run_well(words);
        assert_eq!(desk.read("p.toml"), written);
        // Edited in any way; or never written by the tool.
        let default = desk.run_well(&["policy"]);
        for edited in [written.replace("dwell_ms = 300", "dwell_ms = 400"), format!("{written}# ours\n"), default] {
            assert_ne!(edited, written);
            desk.put("p.toml", &edited);
            let before = desk.files();
            desk.run(words).is_refused_with(
                "p.toml: was edited, or is no policy that lesson wrote: it is kept; name another file, or add --overwrite",
            );
            assert_eq!((desk.read("p.toml"), desk.files()), (edited, before));
        }
        desk.run_well(&[words, &["--overwrite"]].concat());
        assert_eq!(desk.read("p.toml"), written);
        // An empty file has nothing to lose, and a device keeps nothing.
        desk.put("p.toml", "").run_well(words);
        assert_eq!(desk.read("p.toml"), written);
    }
}

fn parts(desk: &Desk) -> Vec<String> {
    desk.files().into_iter().filter(|name| name.starts_with(".lesson-")).collect()
}

/// A run that goes on until it is killed, at the latest when the test ends.
#[cfg(unix)]
struct Running(Child);

#[cfg(unix)]
impl Drop for Running {
    fn drop(&mut self) {
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

/// Given a run that is killed and one that goes on, when a third writes into the same folder, then the parts of the
/// first are removed and those of the second are not.
#[cfg(unix)]
#[test]
fn what_a_kill_left_is_removed_by_the_next_run() {
    let desk = Desk::new();
    let start = |name: &str| {
        let count = parts(&desk).len();
        let words = ["fly", "--minutes", "100000", "--picture", name];
        let run = Running(desk.command(&words).spawn().unwrap());
        let begun = Instant::now();
        while parts(&desk).len() == count {
            assert!(begun.elapsed() < Duration::from_mins(1), "no part within a minute");
            sleep(Duration::from_millis(10));
        }
        run
    };
    let killed = start("killed.svg");
    let left = parts(&desk);
    let running = start("running.svg");
    let held = parts(&desk).into_iter().filter(|part| !left.contains(part)).collect::<Vec<_>>();
    assert_eq!((left.len(), held.len()), (1, 1));
    drop(killed);
    assert_eq!(parts(&desk).len(), 2, "a kill cannot be caught");

    desk.run_well(&["cost", "--picture", "cost.svg"]);
    assert_eq!(parts(&desk), held);
    drop(running);
    desk.run_well(&["cost", "--picture", "cost.svg"]);
    assert_eq!(desk.files(), ["cost.svg"]);
}
