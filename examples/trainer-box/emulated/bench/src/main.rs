//! The bench simulates two transmitters, two people and every fault for the trainer box on an emulated board. It
//! compares every answer with the same box on the host, bit for bit, and independently with the contract.
#![forbid(unsafe_code)]

mod computer;
mod craft;
mod debrief;
mod preflight;
#[path = "../../../wire/tests/reading/mod.rs"]
mod reading;
mod received;
mod run;
mod witness;

use std::path::PathBuf;
use std::process::ExitCode;

use trainer_box_bench::Wrong;
use trainer_box_bench::fault::Fault;

use crate::preflight::{Bench, preflight};
use crate::run::{Asked, OnWire, Run};

const USAGE: &str = "usage: trainer-box-bench IMAGE [--seed N] [--frames N] [--break N] [--witness-alone] [--preflight] \
     [--trace | --hostile]";

fn main() -> ExitCode {
    let Some((image, asked)) = words() else {
        eprintln!("{USAGE}");
        return ExitCode::from(2);
    };
    match fly(&image, asked) {
        Ok(()) => ExitCode::SUCCESS,
        Err(wrong) => {
            eprintln!("{wrong}");
            ExitCode::FAILURE
        }
    }
}

/// Parses the command line; `None` where it is invalid.
fn words() -> Option<(PathBuf, Asked)> {
    let mut words = std::env::args().skip(1);
    let image = PathBuf::from(words.next()?);
    let mut asked = Asked { seed: 1, frames: 10_000, breaks: 0, compare: true, wire: OnWire::Silent, preflight: false };
    while let Some(word) = words.next() {
        match word.as_str() {
            "--seed" => asked.seed = words.next()?.parse().ok()?,
            "--frames" => asked.frames = words.next()?.parse().ok()?,
            "--break" => asked.breaks = words.next()?.parse().ok()?,
            "--preflight" => asked.preflight = true,
            "--trace" => asked.wire = OnWire::Trace,
            "--hostile" => asked.wire = OnWire::Hostile,
            "--witness-alone" => asked.compare = false,
            _ => return None,
        }
    }
    Some((image, asked))
}

fn fly(image: &std::path::Path, asked: Asked) -> Result<(), Wrong> {
    if asked.preflight {
        preflight(image, asked.seed, Bench::Sound)?;
        return preflight(image, asked.seed, Bench::Crooked);
    }
    let mut run = Run::new(asked, image)?;
    run.fly()?;
    print(&run, asked);
    enough(&run, asked)
}

fn print(run: &Run, asked: Asked) {
    let figures = &run.figures;
    println!("{:>8}  faults", run.lesson.faults.all());
    for fault in Fault::ALL {
        println!("{:>8}    {fault}", run.lesson.faults.of(fault));
    }
    let share = |steps: u64| 100 * steps / figures.steps.max(1);
    println!(
        "seed {}: {} frames, {} steps, {} answer bytes compared, {} frames to the craft",
        asked.seed, run.lesson.frames, figures.steps, figures.bytes, figures.crafts_frames
    );
    println!(
        "the student flew in {} % of the steps, nobody in {} %; handed back {} times",
        share(figures.student_steps),
        share(figures.nobody_steps),
        figures.hand_backs
    );
    println!("changes by cause, in the order of the contract: {:?}; cues: {:?}", figures.events, figures.cues);
}

/// Refuses a lesson of full length that tests too little.
fn enough(run: &Run, asked: Asked) -> Result<(), Wrong> {
    if asked.frames < 10_000 {
        return Ok(());
    }
    if run.lesson.faults.all() < 1_000 {
        return Err(Wrong::new(format!("only {} faults: a lesson is to have 1000", run.lesson.faults.all())));
    }
    if let Some(rare) = Fault::ALL.into_iter().find(|&fault| run.lesson.faults.of(fault) < 3) {
        return Err(Wrong::new(format!("{rare}: fewer than three times")));
    }
    if run.figures.student_steps * 7 < run.figures.steps {
        return Err(Wrong::new("the student flew in less than a seventh of the steps".into()));
    }
    Ok(())
}
