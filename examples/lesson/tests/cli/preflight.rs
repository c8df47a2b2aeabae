//! The check of a bench: simulated with and without faults, recorded and checked again.

use std::fmt::Write;

use crate::desk::{Desk, HEADER, Run};

/// A run that found something, or still waits: exit code 1, and the whole sheet.
#[track_caller]
fn not_passed(run: Run) -> String {
    assert_eq!((run.code, run.err.as_str()), (Some(1), ""), "{}", run.out);
    cautions_first(&run.out);
    run.out
}

/// Checks that the cautions come before the check begins.
#[track_caller]
fn cautions_first(out: &str) {
    let (caution, check) = out.split_once("\n\n").expect("a caution and a check");
    assert!(caution.starts_with("CAUTION") && caution.contains("propellers off"), "{out}");
    assert!(check.contains("bench session") && !check.contains("CAUTION"), "{out}");
}

/// The lines that say what to correct, as one.
fn findings(out: &str) -> String {
    let (_, rest) = out.split_once("end:\n").or_else(|| out.split_once("check again:\n")).expect("findings");
    let (told, _) = rest.split_once("\n\n").expect("an end");
    told.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn a_sound_bench_passes_and_its_record_passes_again() {
    let desk = Desk::new();
    let out = desk.run_well(&["preflight", "--record", "bench.csv"]);
    assert!(out.contains("PASSED: all 40 steps.") && out.contains("Written: bench.csv"), "{out}");
    assert!(out.contains("student: aileron to its positive end") && !out.contains("axis"), "{out}");
    cautions_first(&out);
    assert!(out.lines().all(|line| line.chars().count() <= 100), "{out}");
    assert_eq!(desk.files(), ["bench.csv"]);
    let again = desk.run_well(&["preflight", "bench.csv"]);
    let steps =
        |out: &str| out.lines().filter(|line| line.contains("  passed  ")).map(str::to_owned).collect::<Vec<_>>();
    assert_eq!((steps(&again).len(), steps(&again)), (40, steps(&out)));
    desk.put("policy.toml", desk.run_well(&["policy"]));
    assert_eq!(desk.run_well(&["preflight", "bench.csv", "--policy", "policy.toml"]), again);
}

/// Given a student's receiver that repeats its last frame, when the transmitter is off, then that is named; with
/// `frozen_after_ms` in the policy the bench passes.
#[test]
fn a_receiver_that_repeats_is_named_and_guarded_against() {
    let desk = Desk::new();
    let out = not_passed(desk.run(&["preflight", "--fault", "repeats"]));
    let said = "student: the link stays good, and its frames never change, with the transmitter off";
    assert!(findings(&out).contains(said), "{out}");
    let policy = desk.run_well(&["policy"]).replace("# frozen_after_ms", "frozen_after_ms");
    assert!(policy.contains("\nfrozen_after_ms = "), "{policy}");
    desk.put("guarded.toml", policy);
    let out = desk.run_well(&["preflight", "--fault", "repeats", "--policy", "guarded.toml"]);
    assert!(out.contains("PASSED"), "{out}");
}

#[test]
fn each_fault_is_named_in_the_session_and_in_its_record() {
    let desk = Desk::new();
    let faults = ["reversed:aileron", "swapped:aileron:rudder", "centre:elevator:5", "instructor:throw:rudder:80"];
    let mut words = vec!["preflight", "--seed", "7", "--record", "bench.csv"];
    words.extend(faults.iter().flat_map(|fault| ["--fault", fault]));
    let out = not_passed(desk.run(&words));
    let told = findings(&out);
    for said in [
        "student: aileron moves rudder instead of its own",
        "student: aileron goes the other way than is asked for",
        "student: elevator rests",
        "instructor: rudder goes 80.",
    ] {
        assert!(told.contains(said), "{said}: {told}");
    }
    // Short at both ends, and no other finding.
    assert_eq!(told.matches("student: ").count() + told.matches("instructor: ").count(), 5, "{told}");
    let again = not_passed(desk.run(&["preflight", "bench.csv"]));
    assert_eq!(findings(&again), told);
}

#[test]
fn a_throttle_that_is_up_is_refused_with_how_far() {
    let desk = Desk::new();
    let out = not_passed(desk.run(&["preflight", "--fault", "instructor:centre:throttle:40"]));
    assert!(out.contains("NOT FINISHED: 0 steps passed") && out.contains("waiting"), "{out}");
    let words = out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("instructor: throttle is 40.") && words.contains("from its safe place"), "{out}");
}

#[test]
fn a_record_that_ends_early_says_what_is_waited_for() {
    let desk = Desk::new();
    desk.run_well(&["preflight", "--record", "bench.csv"]);
    let whole = desk.read("bench.csv");
    let part = whole.lines().take(400).fold(String::new(), |mut part, line| {
        writeln!(part, "{line}").unwrap();
        part
    });
    let out = not_passed(desk.put("part.csv", part).run(&["preflight", "part.csv"]));
    assert!(out.contains("NOT FINISHED: 6 steps passed so far."), "{out}");
    assert!(
        out.contains("waiting    instructor: aileron back: let it go; if it has no spring, to its safe place"),
        "{out}"
    );
}

/// Given a policy other than the default, when the simulated bench is checked, then the steps are those of that
/// policy.
#[test]
fn the_simulated_check_follows_the_given_policy() {
    let desk = Desk::new();
    let policy = desk.run_well(&["policy"]).replace("off_first_after_loss = true", "off_first_after_loss = false");
    desk.put("policy.toml", policy);
    let out = desk.run_well(&["preflight", "--policy", "policy.toml", "--no-button"]);
    assert!(out.contains("PASSED: all 37 steps."), "{out}");
}

#[test]
fn a_beginners_rate_is_a_throw_that_is_short_until_it_is_meant() {
    let desk = Desk::new();
    let record = ["preflight", "--fault", "throw:rudder:60", "--record", "bench.csv"];
    assert!(not_passed(desk.run(&record)).contains("rudder goes 6"));
    not_passed(desk.run(&["preflight", "bench.csv"]));
    let meant = desk.run_well(&["preflight", "bench.csv", "--student-throw", "rudder:60"]);
    assert!(meant.contains("PASSED: all 40 steps."), "{meant}");
    desk.run(&["preflight", "bench.csv", "--student-throw", "rudder:6"])
        .is_refused_with("give a number of percent from 30 to 100");
}

#[test]
fn bad_input_is_refused_with_place_value_and_remedy() {
    let desk = Desk::new();
    desk.run(&["preflight", "--fault", "bent:aileron"]).is_refused_with("--fault: \"bent:aileron\" is no fault; write");
    desk.run(&["preflight", "--fault", "reversed:flap"]).is_refused_with(
        "\"reversed:flap\" names \"flap\", which is no axis; name one of aileron, elevator, throttle, rudder",
    );
    desk.run(&["preflight", "missing.csv"]).is_refused_with("missing.csv: cannot be read");
    desk.put("bad.csv", format!("{HEADER}\n0,0,0,0,-100,0,-100\n20000,0,0,x,-100,0,-100\n"));
    desk.run(&["preflight", "bad.csv"]).is_refused_with("bad.csv, line 3, column 4 (i:roll): \"x\"");
    let both = desk.run(&["preflight", "bad.csv", "--fault", "dead:roll"]);
    assert_eq!(both.code, Some(2), "{both:?}");
    assert_eq!(desk.files(), ["bad.csv"]);
}
