//! The command `record`: from a file, from standard input, and from a pseudo terminal that answers as a box does.

use std::io::{Read, Write};
use std::process::{Child, Stdio};
use std::time::Duration;

use serialport::{SerialPort, TTYPort};

use crate::desk::{Desk, Run};

/// A rest of this many rows: a stick that shivers by up to 3 us, and a switch. Seeded, so that each run is the same.
fn rest(rows: u32) -> String {
    let mut random = seeded::Random::stream(3, 9);
    let mut text = "time_us,us:roll,us:gear\n".to_owned();
    for n in 0..rows {
        let line = format!("{},{},1000\n", n * 20_000, (1500.0 + 2.0 * random.normal()).round());
        text.push_str(&line);
    }
    text
}

/// Given more rows than are needed, when they are recorded, then the recording ends by itself and `tune` claims a rate
/// from it.
#[test]
fn a_recording_ends_when_tune_needs_no_more() {
    let desk = Desk::new();
    desk.put("given.csv", rest(9_000));
    let out = desk.run_well(&["record", "given.csv", "rest.csv"]);
    assert!(out.contains("Written: rest.csv (5,599 frames in 112 s)"), "{out}");
    let recorded = desk.read("rest.csv");
    assert!(rest(9_000).starts_with(&recorded) && recorded.ends_with('\n'));

    let sticks = recorded.lines().map(|line| line.rsplit_once(',').unwrap().0).collect::<Vec<_>>().join("\n");
    let tuned = desk.put("roll.csv", sticks).run_well(&["tune", "roll.csv"]);
    assert!(tuned.contains("expected of noise"), "{tuned}");
    assert!(!desk.read("tuned.toml").contains("no rate is claimed"), "{}", desk.read("tuned.toml"));
}

/// Given fewer rows than are needed, when they are recorded, then they are kept, and the exit code is 1.
#[test]
fn too_few_rows_are_kept_and_told() {
    let desk = Desk::new();
    let run = piped(&desk, &rest(1_000));
    assert_eq!((run.code, run.err.as_str()), (Some(1), ""), "{run:?}");
    assert!(run.out.contains("The port ended before it was enough"), "{}", run.out);
    assert_eq!(desk.read("rest.csv"), rest(1_000));
}

/// Given a stick that is moved and half a line, when they are recorded, then the rest begins again after the movement,
/// and the half line is not kept.
#[test]
fn a_moved_stick_begins_the_rest_again() {
    let desk = Desk::new();
    let text = rest(400).replace("\n4000000,", "\n4000000,1700,1000\n40000");
    let run = piped(&desk, &text);
    assert!(run.err.contains("roll moved: the rest begins again"), "{run:?}");
    let kept = desk.read("rest.csv");
    assert!(kept.starts_with("time_us,us:roll,us:gear\n4020000,"), "{}", &kept[..80]);
    assert!(run.out.contains("1 line could not be read"), "{}", run.out);
}

/// Given a port that is no port, gives nothing, or refuses, when it is recorded, then that is told and nothing written.
#[test]
fn a_port_without_rows_is_refused() {
    let desk = Desk::new();
    for (text, said) in [
        ("", "given.csv: gave no row; give rows of sticks: a header line, then one for every frame"),
        ("1,2,3\n", "gave no row"),
        ("# refused: unknown command \"raw\"\n", "given.csv: refused: unknown command \"raw\""),
        ("time_us,speed\n", "\"speed\" is no column of a rest recording"),
    ] {
        let run = desk.put("given.csv", text).run(&["record", "given.csv"]);
        assert_eq!(run.code, Some(2), "{run:?}");
        assert!(run.err.contains(said), "{run:?}");
    }
    let run = desk.run(&["record", "no-port"]);
    assert!(
        run.code == Some(2) && run.err.contains("no-port: is no port; plug the box in, or choose a port"),
        "{run:?}"
    );
    assert_eq!(desk.files(), ["given.csv"]);
    assert_eq!(desk.run(&["record", "--list"]).code, Some(0));
}

fn piped(desk: &Desk, text: &str) -> Run {
    let mut child = spawn(desk, "-", Stdio::piped());
    child.stdin.take().unwrap().write_all(text.as_bytes()).unwrap();
    Run::of(child.wait_with_output().unwrap())
}

fn spawn(desk: &Desk, port: &str, stdin: Stdio) -> Child {
    let mut command = desk.command(&["record", port, "rest.csv"]);
    command.stdin(stdin).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap()
}

/// Given a serial port on which a box is asked for its raw trace, when the recording is interrupted, then all whole
/// rows are kept, and the box is told to stop.
#[cfg(unix)]
#[test]
fn interrupted_it_keeps_all_whole_rows() {
    let (mut master, slave) = TTYPort::pair().unwrap();
    let desk = Desk::new();
    let child = spawn(&desk, &slave.name().unwrap(), Stdio::null());
    master.set_timeout(Duration::from_secs(20)).unwrap();
    let mut asked = [0; 4];
    master.read_exact(&mut asked).unwrap();
    assert_eq!(&asked, b"raw\n");
    let header = "time_us,lesson_switch,instructor_now,us:i0,us:i1,us:i2,us:i3,us:i4,us:i5,us:i6,us:i7\n";
    let mut text = format!("500,1500\n# train instructor high 8\n{header}");
    for n in 0..200 {
        let line = format!("{},0,0,{},1500,1500,1500,1500,1500,1500,1500\n", n * 20_000, 1500 + n % 3);
        text.push_str(&line);
    }
    for part in (text + "4000000,0,0,15").as_bytes().chunks(500) {
        master.write_all(part).unwrap();
        std::thread::sleep(Duration::from_millis(5));
    }
    std::thread::sleep(Duration::from_millis(500));
    // The shell's own command: the number of a signal is no part of the standard library.
    let killed = std::process::Command::new("kill").args(["-INT", &child.id().to_string()]).status().unwrap();
    assert!(killed.success());
    let run = Run::of(child.wait_with_output().unwrap());
    assert_eq!(run.code, Some(1), "{run:?}");
    assert!(run.out.contains("Interrupted: all whole rows are kept"), "{run:?}");
    let kept = desk.read("rest.csv");
    assert_eq!((kept.lines().count(), kept.starts_with(header)), (201, true), "{kept}");
    let mut told = [0; 5];
    master.read_exact(&mut told).unwrap();
    assert_eq!(&told, b"stop\n");
    drop(slave);
}
