//! The command `record`: sticks at rest, and sweeps, from a port into files that `tune` reads.

use std::io::{self, IsTerminal, Write};
use std::path::Path;
use std::time::{Duration, Instant};

use crate::caution::CAUTION;
use crate::command_line::cli::RecordWords;
use crate::command_line::finish::Verdict;
use crate::command_line::interrupt;
use crate::command_line::output::{Output, Outputs};
use crate::command_line::port::{Came, Port, joysticks};
use crate::count::counted;
use crate::destination::Destination;
use crate::error::Fault;
use crate::tune::live::{Live, Progress, Took};

/// How long a port may say nothing.
const SILENCE: Duration = Duration::from_secs(5);
const COUNT_DOWN: u64 = 3;
/// Rows from one look at the recording to the next.
const LOOK: usize = 100;
/// Sweeps of each stick, there and back counted apart.
const SWEEPS: usize = 10;
/// After the sweeps, for sticks that are let go from an end.
const LET_GO_S: f64 = 30.0;
/// The longest recording of sweeps.
const LONGEST_SWEEPS_S: f64 = 300.0;

const REST: &str = "Hands off, and off the table. The throttle stands half way.";
const SWEEP: &str =
    "Move every stick from end to end and back, ten times. Then hold each at an end, and let it go, four times.";

/// Why a recording ended.
#[derive(Clone, Copy, PartialEq, Eq)]
enum End {
    Enough,
    /// The time is over, and it is not enough.
    Late,
    /// The port ended.
    Port,
    Interrupted,
}

pub(crate) fn record(words: &RecordWords) -> Result<Verdict, Fault> {
    let (Some(path), false) = (&words.port, words.list) else { return list().map(|()| Verdict::Sound) };
    let mut outputs = Outputs::beside(&[path]);
    let rest = outputs.create(&words.rest)?;
    let sweep = words.sweep.as_deref().map(|path| outputs.create(path)).transpose()?;
    let mut port = Port::open(path)?;
    interrupt::be_gentle();
    say(&CAUTION.join("\n"))?;
    port.send("raw")?;

    say(REST)?;
    count_down(&mut port)?;
    let mut live = Live::default();
    let end = listen(&mut port, &mut live, words.minutes * 60.0, true)?;
    write(rest, &live)?;
    tell(&words.rest, &live, end)?;
    let mut is_sound = end == End::Enough;
    if let (Some(sweep), End::Enough) = (sweep, end) {
        say(SWEEP)?;
        live.begin_again();
        let end = listen(&mut port, &mut live, LONGEST_SWEEPS_S, false)?;
        write(sweep, &live)?;
        tell(words.sweep.as_deref().unwrap_or(Path::new("")), &live, end)?;
        is_sound = end == End::Enough;
    }
    Ok(if is_sound { Verdict::Sound } else { Verdict::Unsound })
}

/// Prints the ports of this machine.
fn list() -> Result<(), Fault> {
    let mut lines = Vec::new();
    for port in serialport::available_ports().unwrap_or_default() {
        lines.push(format!("{}  serial port", port.port_name));
    }
    for (path, name) in joysticks() {
        lines.push(format!("{}  joystick: {name}", path.display()));
    }
    if lines.is_empty() {
        lines.push("no serial port and no joystick: plug one in".to_owned());
    }
    say(&lines.join("\n"))
}

/// Gives time to take the hands off; what comes meanwhile is not kept. A file needs none.
fn count_down(port: &mut Port) -> Result<(), Fault> {
    if !port.answers() || !io::stderr().is_terminal() {
        return Ok(());
    }
    for left in (1..=COUNT_DOWN).rev() {
        eprint!("\r{left} ");
        std::thread::sleep(Duration::from_secs(1));
    }
    port.send("raw")
}

/// Listens until it is enough, or until nothing comes any more.
fn listen(port: &mut Port, rows: &mut Live, most_s: f64, at_rest: bool) -> Result<End, Fault> {
    let (mut heard, mut swept_s) = (Instant::now(), None);
    let end = loop {
        if interrupt::asked() {
            break End::Interrupted;
        }
        let line = match port.next(Duration::from_millis(100))? {
            Came::Line(line) => line,
            Came::Nothing if heard.elapsed() < SILENCE => continue,
            Came::Nothing if rows.rows() > 0 => break End::Port,
            Came::Nothing => return Err(silent(port)),
            Came::End => break End::Port,
        };
        heard = Instant::now();
        if let Some(why) = line.strip_prefix(b"# refused: ") {
            return Err(Fault::told(port.path(), format!("refused: {}", String::from_utf8_lossy(why))));
        }
        if rows.take(port.path(), &line)? != Took::Row {
            continue;
        }
        if at_rest && !rows.touched().is_empty() {
            let names = rows.touched().into_iter().map(|axis| rows.name(axis)).collect::<Vec<_>>();
            eprintln!("{} moved: the rest begins again", names.join(", "));
            rows.begin_again();
        }
        if rows.rows() % LOOK != LOOK - 1 {
            continue;
        }
        let lasted_s = rows.lasted_s();
        if at_rest {
            let Some(progress) = rows.progress() else { continue };
            show(&rest_line(rows, &progress));
            if rows.is_enough(&progress) {
                break End::Enough;
            }
        } else {
            let sweeps = rows.sweeps();
            let moved = sweeps.iter().copied().filter(|&count| count > 0);
            let least = moved.clone().min().unwrap_or(0);
            show(&format!(
                "{lasted_s:.0} s, {} swept, the fewest sweeps are {least} of {SWEEPS}",
                counted(moved.count() as u64, "stick")
            ));
            if least >= SWEEPS && lasted_s - *swept_s.get_or_insert(lasted_s) >= LET_GO_S {
                break End::Enough;
            }
        }
        if lasted_s >= most_s {
            break End::Late;
        }
    };
    if io::stderr().is_terminal() {
        eprintln!();
    }
    // The rows since the last look count too.
    let is_enough = at_rest && rows.progress().is_some_and(|progress| rows.is_enough(&progress));
    let end = if end == End::Port && is_enough { End::Enough } else { end };
    if rows.rows() == 0 {
        return Err(Fault::new(
            port.path(),
            "gave no row",
            "give rows of sticks: a header line, then one for every frame",
        ));
    }
    Ok(end)
}

fn silent(port: &Port) -> Fault {
    let found = format!("says nothing for {} s", SILENCE.as_secs());
    Fault::new(port.path(), found, "switch the transmitter on, check the cable, and choose the right port")
}

/// The live line of a rest: its time, and noise and independent frames of the stick that has fewest.
fn rest_line(live: &Live, progress: &[Progress]) -> String {
    let sticks = progress.iter().enumerate().filter(|(_, axis)| axis.changes);
    let slowest = sticks.min_by(|(_, one), (_, other)| one.independent.total_cmp(&other.independent));
    let time = format!("{:.0} s", live.lasted_s());
    match slowest {
        None => format!("{time}, no reading changed yet"),
        Some((axis, slowest)) => format!(
            "{time}, {}: noise {:.2} points, {:.0} independent frames of 256{}",
            live.name(axis),
            slowest.deviation,
            slowest.independent,
            if slowest.wanders { ", it still wanders" } else { "" }
        ),
    }
}

/// Shows a live line; where it would not be one line, only now and then.
fn show(line: &str) {
    if io::stderr().is_terminal() {
        eprint!("\r{line:<78}");
    }
}

fn write(mut output: Output, live: &Live) -> Result<(), Fault> {
    for line in live.lines() {
        output.write_all(line).and_then(|()| output.write_all(b"\n")).map_err(|why| output.fault(why))?;
    }
    output.complete()?;
    output.commit()
}

fn tell(path: &Path, live: &Live, end: End) -> Result<(), Fault> {
    let rows = counted(live.rows() as u64, "frame");
    let mut text = format!("Written: {} ({rows} in {:.0} s)", path.display(), live.lasted_s());
    if let Some(progress) = live.progress() {
        text = format!("{text}\n  {}", rest_line(live, &progress));
    }
    match end {
        End::Enough => {}
        End::Late => {
            text += "\n  The time is over: `tune` may claim no rate. Give more --minutes, or see what makes it wander.";
        }
        End::Port => text += "\n  The port ended before it was enough: `tune` may claim no rate.",
        End::Interrupted => text += "\n  Interrupted: all whole rows are kept; it is not enough yet.",
    }
    if live.unread() > 0 {
        text = format!(
            "{text}
  {} could not be read and are not in it",
            counted(live.unread(), "line")
        );
    }
    say(&text)
}

fn say(text: &str) -> Result<(), Fault> {
    let mut out = io::stdout().lock();
    writeln!(out, "{text}").and_then(|()| out.flush()).map_err(|why| Fault::stdout(&why))
}
