//! The commands `box` and `debrief`, against a stand-in for a box.

use crate::boxed::sent_of;
use crate::desk::Desk;
use crate::stand_in::{StandIn, State};

fn default_box() -> String {
    Desk::new().run_well(&["policy", "--box"])
}

/// Given a box without a file, when one is written, then all of it is told, stored, and read back as the same; written
/// again, nothing is sent.
#[test]
fn a_file_is_written_and_read_back_as_the_same() {
    let (desk, stand_in) = (Desk::new(), StandIn::new(State::default()));
    let port = stand_in.port.as_str();
    desk.put("box.toml", default_box());
    let run = desk.run(&["box", "read", port]);
    assert!(run.code == Some(2) && run.err.contains("the box refused: read: no file is stored"), "{run:?}");

    let out = desk.run_well(&["box", "write", port, "box.toml", "--yes"]);
    assert!(out.contains("  instructor, channels: - -> 8\n"), "{out}");
    assert!(out.contains("Stored, and read back the same."), "{out}");
    assert_eq!(desk.run_well(&["box", "check", port, "box.toml"]), "The box holds this file.\n");
    assert_eq!(desk.run_well(&["box", "check", port]), "The box holds a file that passes its check.\n");
    desk.run_well(&["box", "read", port, "read.toml"]);
    desk.run_well(&["policy", "read.toml"]);
    let out = desk.run_well(&["box", "write", port, "read.toml"]);
    assert_eq!(out, "The box holds this file already: nothing is written.\n");
    assert_eq!(stand_in.state().heard.iter().filter(|line| line.starts_with("write")).count(), 1);
}

/// Given a box with another file, when one is written, then the differences are told first, and nothing is written
/// where nobody agrees.
#[test]
fn the_differences_are_told_before_anything_is_written() {
    let (desk, stand_in) = (Desk::new(), StandIn::new(State::default()));
    let port = stand_in.port.as_str();
    desk.put("box.toml", default_box()).run_well(&["box", "write", port, "box.toml", "--yes"]);
    let other = default_box()
        .replace("rate_percent = 100 ", "rate_percent = 60 ")
        .replace("dwell_ms = 300 ", "dwell_ms = 400 ");
    desk.put("other.toml", other);
    let stored = stand_in.state().stored.clone();
    let mut command = desk.command(&["box", "write", port, "other.toml"]);
    let run = crate::desk::Run::of(command.stdin(std::process::Stdio::null()).output().unwrap());
    let told =
        "2 differences, the box's value first:\n  dwell_ms: 300 -> 400\n  aileron, student, rate_percent: 100 -> 60\n";
    assert_eq!((run.code, run.out.replace("axis 0", "aileron").as_str()), (Some(2), told), "{run:?}");
    assert!(run.err.contains("nobody is there to agree; look at the differences, then add --yes"), "{run:?}");
    assert_eq!(stand_in.state().stored, stored);
    let run = desk.run(&["box", "check", port, "other.toml"]);
    assert_eq!(run.code, Some(1), "{run:?}");
    assert!(run.out.starts_with("The box holds another file: 2 differences"), "{run:?}");
}

/// Given a box that refuses to store, or goes away in the middle, when a file is written, then it is told, and the box
/// holds the file of before; written again later, it is stored.
#[test]
fn a_box_that_refuses_or_goes_away_keeps_its_file() {
    let (desk, stand_in) =
        (Desk::new(), StandIn::new(State { refuses: Some("the box is not on the bench"), ..State::default() }));
    let port = stand_in.port.as_str();
    let words = ["box", "write", port, "box.toml", "--yes"];
    let run = desk.put("box.toml", default_box()).run(&words);
    assert_eq!(run.code, Some(2), "{run:?}");
    assert!(run.err.contains("the box refused: write: the box is not on the bench"), "{run:?}");
    // Nothing of the file was sent after the refusal.
    assert!(stand_in.state().heard.iter().all(|line| !line.starts_with('=')), "{:?}", stand_in.state().heard);
    (stand_in.state().refuses, stand_in.state().dies_after) = (None, None);
    stand_in.state().heard.clear();
    stand_in.state().dies_after = Some(5);
    let run = desk.run(&words);
    assert_eq!(run.code, Some(2), "{run:?}");
    assert!(run.err.contains("does not answer"), "{run:?}");
    assert_eq!(stand_in.state().stored, None);
    (stand_in.state().deaf, stand_in.state().dies_after) = (false, None);
    desk.run_well(&words);
    assert!(stand_in.state().stored.is_some());
}

/// Given a stored file with a bit that flipped, or a file that is no box for a box, when it is read or written, then it
/// is refused, and nothing is written.
#[test]
fn a_damaged_or_unfit_file_is_refused() {
    let (desk, stand_in) = (Desk::new(), StandIn::new(State::default()));
    let port = stand_in.port.as_str();
    desk.put("box.toml", default_box()).run_well(&["box", "write", port, "box.toml", "--yes"]);
    stand_in.state().stored.as_mut().unwrap()[20] ^= 1;
    let run = desk.run(&["box", "read", port, "read.toml"]);
    assert!(run.code == Some(2) && run.err.contains("the stored file is none: "), "{run:?}");
    let policy = desk.run_well(&["policy"]);
    desk.put("policy.toml", policy).put("two.toml", include_str!("boxed/box.toml"));
    desk.run(&["box", "write", port, "policy.toml"]).is_refused_with("policy.toml: is a policy alone; add channels");
    desk.run(&["box", "write", port, "two.toml"]).is_refused_with("two.toml: has 2 axes, and the box 4");
    desk.run(&["box", "write", port]).is_refused_with("no file is named; name the box file");
    assert!(!desk.files().contains(&"read.toml".to_owned()));
}

/// Given a box with a file and a lesson, when it is debriefed, then one command fetches both, and box and computer took
/// the same decisions.
#[test]
fn a_debrief_goes_from_the_port_to_the_picture() {
    let names = ["aileron", "elevator", "throttle", "rudder"];
    let text = default_box().replace("dwell_ms = 300 ", "dwell_ms = 500 ");
    let lesson = sent_of::<4>(&names, &text, 900);
    let (desk, stand_in) = (Desk::new(), StandIn::new(State { lesson: lesson.clone(), ..State::default() }));
    let port = stand_in.port.as_str();
    desk.put("box.toml", &text).run_well(&["box", "write", port, "box.toml", "--yes"]);
    let out = desk.run_well(&["debrief", port]);
    assert!(out.contains("Check: this replay took the same 900 decisions as the box\n"), "{out}");
    assert_eq!(desk.files(), ["box.toml", "debrief.csv", "debrief.svg", "debrief.toml"]);
    assert!(crate::desk::is_svg(&desk.path("debrief.svg")));
    // The same from a file with what the box had sent, and with the default box instead.
    desk.put("said.txt", format!("# lesson 900 rows\n{}\n# end\n", lesson.join("\n")));
    let out = desk.run_well(&["debrief", "said.txt", "--policy", "box.toml"]);
    assert!(out.contains("took the same 900 decisions as the box\n"), "{out}");
    let cut = "The memory of the box was full before the lesson ended";
    assert!(!out.contains(cut), "{out}");
    let full = "# lesson 900 rows; the memory was full before the lesson ended";
    desk.put("said.txt", format!("{full}\n{}\n# end\n", lesson.join("\n")));
    assert!(desk.run_well(&["debrief", "said.txt", "--policy", "box.toml"]).starts_with(cut));
    desk.put("other.toml", default_box());
    let run = desk.run(&["debrief", port, "--policy", "other.toml"]);
    assert!(run.code == Some(1) && run.out.contains("then the box decided otherwise in line "), "{run:?}");

    stand_in.state().lesson.clear();
    let run = Desk::new().run(&["debrief", port]);
    assert!(run.code == Some(2) && run.err.contains("the box refused: lesson: none is kept"), "{run:?}");
}
