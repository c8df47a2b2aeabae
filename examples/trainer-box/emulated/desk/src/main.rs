//! The emulated trainer box as a serial port, with two transmitters, a lesson switch and a button that obey words on
//! standard input. It says what lamp and beeper do.
#![forbid(unsafe_code)]

mod desk;
mod order;
mod pilot;
mod port;
mod signs;

use std::io::stdin;
use std::path::Path;
use std::process::ExitCode;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{Receiver, TryRecvError, channel};
use std::thread::{sleep, spawn};
use std::time::{Duration, Instant};

use trainer_box_bench::Wrong;
use trainer_box_bench::board::Board;

use crate::desk::Desk;
use crate::order::{HELP, Order};

const USAGE: &str = "usage: trainer-box-desk IMAGE [--fast]\n  IMAGE   the board, as `bash .ci/box` builds it: target/box/board\n  \
                     --fast  as fast as the emulator goes, not in real time";

fn main() -> ExitCode {
    let words = std::env::args().skip(1).collect::<Vec<_>>();
    let (image, fast) = match words.iter().map(String::as_str).collect::<Vec<_>>()[..] {
        [image] => (image, false),
        [image, "--fast"] => (image, true),
        _ => {
            eprintln!("{USAGE}");
            return ExitCode::from(2);
        }
    };
    if !Path::new(image).is_file() {
        eprintln!("{image}: is no file; build the board with `bash .ci/box`, then give target/box/board");
        return ExitCode::from(2);
    }
    match sit_down(Path::new(image), fast) {
        Ok(()) => ExitCode::SUCCESS,
        Err(wrong) => {
            eprintln!("{wrong}");
            ExitCode::FAILURE
        }
    }
}

/// Keeps the time of the desk that of this computer, unless it is to be fast.
struct Pace {
    began: Instant,
    fast: bool,
    end: Arc<AtomicBool>,
}

impl Pace {
    /// The time of the desk stood still, and is this.
    fn begin_again(&mut self, now: u64) {
        self.began = Instant::now().checked_sub(Duration::from_micros(now)).unwrap_or(self.began);
    }

    /// Waits until the desk may go on. Says whether it is to.
    fn keep(&self, now: u64) -> bool {
        if !self.fast {
            sleep(Duration::from_micros(now).saturating_sub(self.began.elapsed()));
        }
        !self.end.load(Ordering::Relaxed)
    }
}

fn sit_down(image: &Path, fast: bool) -> Result<(), Wrong> {
    let end = Arc::new(AtomicBool::new(false));
    let asked = Arc::clone(&end);
    ctrlc::set_handler(move || asked.store(true, Ordering::Relaxed))
        .map_err(|why| Wrong::new(format!("no handler for an interrupt: {why}")))?;
    let (board, wire) = Board::start(image)?;
    println!("port: {}", port::open(wire)?);
    println!("The transmitters are off, the throttles low, the lesson switch is off. `help` shows all orders.");
    let lines = read();
    let mut desk = Desk::new(board);
    let mut pace = Pace { began: Instant::now(), fast, end };
    let (mut until, mut paused) = (0, false);
    while pace.keep(desk.now) {
        if desk.now >= until {
            match lines.try_recv() {
                Ok(line) => match Order::of(&line) {
                    Ok(None) => {}
                    Ok(Some(Order::Quit)) => return Ok(()),
                    Ok(Some(Order::Help)) => println!("{HELP}"),
                    Ok(Some(order)) => {
                        desk.say(&format!("> {}", line.trim()));
                        if std::mem::replace(&mut paused, order == Order::Pause) {
                            pace.begin_again(desk.now);
                        }
                        match order {
                            Order::Wait(us) => until = desk.now + us,
                            Order::Lesson { frames, seed } => desk.lesson(frames, seed, |now| pace.keep(now))?,
                            order => desk.obey(order)?,
                        }
                        continue;
                    }
                    Err(why) => println!("{why}"),
                },
                Err(TryRecvError::Disconnected) => return Ok(()),
                Err(TryRecvError::Empty) => {}
            }
        }
        if !paused {
            desk.pass()?;
        }
        // Without a board nothing else takes time.
        if paused || !desk.is_on() {
            sleep(Duration::from_millis(5));
        }
    }
    Ok(())
}

/// The lines of standard input, until it ends.
fn read() -> Receiver<String> {
    let (to, lines) = channel();
    spawn(move || {
        for line in stdin().lines().map_while(Result::ok) {
            if to.send(line).is_err() {
                return;
            }
        }
    });
    lines
}
