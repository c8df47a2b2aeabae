//! Simulated lessons with faults, watched by the monitor.
//!
//! `campaign [LESSONS] [--seed S] [--pairs] [--stop] [--only N] [--check FILE]`

mod fault;
mod hazard;
mod injector;
mod lesson;
mod people;
mod plan;
mod policies;
mod table;
mod tally;

use std::process::ExitCode;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Instant;
use std::{env, fs, panic, thread};

use lesson::Wrong;
use plan::Plan;
use tally::{Flown, Tally};

/// The axes of every lesson.
const AXES: usize = 4;

const USAGE: &str = "usage: campaign [LESSONS] [--seed S] [--pairs] [--stop] [--only N] [--check FILE]
  LESSONS       how many lessons to fly; default 100000
  --seed S      draw other lessons; default 1
  --pairs       print the table of pairs too
  --stop        stop at the first lesson in which something is wrong
  --only N      fly lesson N alone
  --check FILE  fail unless FILE holds the printed tables";

/// What the command line asks for.
#[derive(Debug, Default)]
struct Asked {
    lessons: u64,
    seed: u64,
    pairs: bool,
    stop: bool,
    only: Option<u64>,
    check: Option<String>,
}

fn main() -> ExitCode {
    let asked = match asked(env::args().skip(1)) {
        Ok(asked) => asked,
        Err(why) => {
            eprintln!("{why}\n{USAGE}");
            return ExitCode::from(2);
        }
    };
    let began = Instant::now();
    let numbers = asked.only.map_or(0..asked.lessons, |only| only..only + 1);
    let tally = fly_all(asked.seed, numbers, asked.stop);
    let took = began.elapsed().as_secs_f64();

    let mut tables = format!("{}\n{}", table::catalogue(), table::singles(&tally));
    if asked.pairs {
        tables = format!("{tables}\n{}", table::pairs(&tally));
    }
    println!("{tables}");
    let covered = tally.rows.iter().filter(|row| row.lessons > 0).count() - 1;
    println!("{} lessons, {} steps, {covered} of {} faults and pairs", tally.lessons, tally.steps, plan::ROWS - 1);
    #[allow(clippy::cast_precision_loss)] // for people
    let pace = tally.lessons as f64 / took;
    eprintln!("{pace:.0} lessons a second, {took:.1} s");
    for (number, wrong) in tally.wrong.iter().take(10) {
        println!("lesson {number}, step {}, {} us: {}", wrong.step, wrong.t, wrong.text());
    }
    println!("{} lessons with a violation", tally.wrong.len());
    if !tally.wrong.is_empty() {
        return ExitCode::FAILURE;
    }
    match asked.check.map(|file| holds(&file, &tables)) {
        Some(Err(why)) => {
            eprintln!("{why}");
            ExitCode::FAILURE
        }
        _ => ExitCode::SUCCESS,
    }
}

fn asked(mut words: impl Iterator<Item = String>) -> Result<Asked, String> {
    let mut asked = Asked { lessons: 100_000, seed: 1, ..Asked::default() };
    let number = |text: &str| text.parse().map_err(|_| format!("{text:?} is not a number"));
    while let Some(word) = words.next() {
        let mut value = || words.next().ok_or(format!("{word} needs a value"));
        match word.as_str() {
            "--seed" => asked.seed = number(&value()?)?,
            "--only" => asked.only = Some(number(&value()?)?),
            "--check" => asked.check = Some(value()?),
            "--pairs" => asked.pairs = true,
            "--stop" => asked.stop = true,
            _ => asked.lessons = number(&word)?,
        }
    }
    if asked.lessons == 0 {
        return Err("0 lessons show nothing: give 1 or more".into());
    }
    Ok(asked)
}

/// Flies these lessons, on every core.
fn fly_all(seed: u64, numbers: std::ops::Range<u64>, stop: bool) -> Tally {
    let threads = thread::available_parallelism().map_or(1, usize::from);
    let stopped = AtomicBool::new(false);
    let fly = |first: usize| {
        let mut tally = Tally::new();
        for number in numbers.clone().skip(first).step_by(threads) {
            if stopped.load(Ordering::Relaxed) {
                break;
            }
            let flown = fly_one(Plan::new(seed, number));
            stopped.fetch_or(stop && flown.wrong.is_some(), Ordering::Relaxed);
            tally.add(number, flown);
        }
        tally
    };
    let mut all = Tally::new();
    thread::scope(|scope| {
        let fly = &fly;
        let threads: Vec<_> = (0..threads).map(|first| scope.spawn(move || fly(first))).collect();
        for thread in threads {
            all.merge(thread.join().expect("a thread that panicked has said why"));
        }
    });
    all
}

/// Flies one lesson; a panic is a violation of N1, and its message is on standard error.
fn fly_one(plan: Plan) -> Flown {
    let mut panicked = Flown::new(plan.row, plan.is_default);
    panicked.wrong = Some(Wrong { step: 0, t: 0, monitor: Some("(N1) expected no panic".into()), watch: None });
    panic::catch_unwind(|| lesson::fly(plan)).unwrap_or(panicked)
}

/// Whether every line of the tables stands in the file.
fn holds(file: &str, tables: &str) -> Result<(), String> {
    let text = fs::read_to_string(file).map_err(|why| format!("{file}: {why}"))?;
    let missing: Vec<&str> = tables.lines().filter(|line| !text.lines().any(|other| other == *line)).collect();
    if missing.is_empty() { Ok(()) } else { Err(format!("{file} lacks these lines:\n{}", missing.join("\n"))) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use fault::Fault;

    /// Given every fault alone and every pair of faults, when their lessons are flown, then neither the monitor nor the
    /// deadlines find a violation.
    #[test]
    fn no_fault_and_no_pair_breaks_a_rule() {
        // In debug each fault alone is flown 22 times or more, each pair twice; in release ten times as often.
        let lessons = if cfg!(debug_assertions) { 1_104 } else { 11_040 };
        let tally = fly_all(1, 0..lessons, false);
        assert!(tally.rows.iter().all(|row| row.lessons >= 2));
        assert_eq!(tally.wrong.first().map(|(number, wrong)| (number, wrong.text())), None);
    }

    /// Given lessons in which the clock wraps, when the same lessons are flown without a wrap, then they are the same.
    #[test]
    fn a_wrap_of_the_clock_changes_nothing() {
        let mut wrapped = 0;
        for number in 0..2_000 {
            let plan = || Plan::new(2, number);
            if plan().windows.iter().any(|window| window.fault == Fault::ClockWraps) {
                assert_eq!(lesson::fly(plan()), lesson::fly(Plan { start: 0, ..plan() }), "lesson {number}");
                wrapped += 1;
            }
        }
        assert!(wrapped > 100, "{wrapped}");
    }
}
