//! The emulated board: a process with two serial lines.

use std::io::{Read, Write};
use std::os::unix::net::{UnixListener, UnixStream};
use std::path::{Path, PathBuf};
use std::process::{Child, Command as Process, Stdio};
use std::time::Duration;
use std::{env, fs, process};

use trainer_box_rig::{Command, OFF, POWER_ON, READY};

use crate::Wrong;

/// The longest time for an answer. It is long, since the machine of the emulator may be busy.
const PATIENCE: Duration = Duration::from_mins(1);

/// A message of the board.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Answer {
    /// It has started.
    Up,
    /// Its power went off.
    Off,
    /// The bytes of a [`Report`](trainer_box_rig::Report).
    Report(Vec<u8>),
}

/// A board that runs.
#[derive(Debug)]
pub struct Board {
    emulator: Child,
    serial: UnixStream,
    monitor: UnixStream,
    folder: PathBuf,
}

impl Board {
    /// Starts the emulator with this image, and waits until the box has started. Also returns the wire to a computer.
    ///
    /// # Errors
    /// Where the emulator does not start, or the box does not report its start.
    pub fn start(image: &Path) -> Result<(Self, UnixStream), Wrong> {
        let folder = env::temp_dir().join(format!("trainer-box-bench-{}", process::id()));
        fs::create_dir_all(&folder)?;
        let [serial, wire, monitor] = ["serial", "wire", "monitor"].map(|name| folder.join(name));
        let [at_serial, at_wire, at_monitor] =
            [UnixListener::bind(&serial)?, UnixListener::bind(&wire)?, UnixListener::bind(&monitor)?];
        let mut emulator = Process::new("qemu-system-arm")
            .args(["-M", "lm3s6965evb", "-display", "none", "-icount", "shift=10,align=off,sleep=off", "-kernel"])
            .arg(image)
            .arg("-serial")
            .arg(format!("unix:{}", serial.display()))
            .arg("-serial")
            .arg(format!("unix:{}", wire.display()))
            .arg("-monitor")
            .arg(format!("unix:{}", monitor.display()))
            .stdin(Stdio::null())
            .spawn()
            .map_err(|why| Wrong::new(format!("qemu-system-arm cannot be started: {why}")))?;
        let lines = (accept(&at_serial), accept(&at_wire), accept(&at_monitor));
        let (serial, wire, monitor) = match lines {
            (Ok(serial), Ok(wire), Ok(monitor)) => (serial, wire, monitor),
            (Err(why), ..) | (_, Err(why), _) | (.., Err(why)) => {
                let _ = emulator.kill();
                return Err(why);
            }
        };
        let mut board = Self { emulator, serial, monitor, folder };
        board.wait_until_up()?;
        Ok((board, wire))
    }

    /// Sends commands over the line of the bench.
    ///
    /// # Errors
    /// Where the emulator is gone.
    pub fn send(&mut self, commands: &[Command]) -> Result<(), Wrong> {
        let bytes: Vec<u8> = commands.iter().flat_map(|command| command.to_bytes()).collect();
        Ok(self.serial.write_all(&bytes)?)
    }

    /// The next message.
    ///
    /// # Errors
    /// Where none comes within a minute.
    pub fn answer(&mut self) -> Result<Answer, Wrong> {
        let mut length = [0; 2];
        self.read(&mut length)?;
        let mut answer = vec![0; usize::from(u16::from_le_bytes(length))];
        self.read(&mut answer)?;
        Ok(match answer {
            answer if answer == READY[2..] => Answer::Up,
            answer if answer == OFF[2..] => Answer::Off,
            answer => Answer::Report(answer),
        })
    }

    /// The next message, which must be the bytes of a report.
    ///
    /// # Errors
    /// Where it is another one, or none comes within a minute.
    pub fn report(&mut self) -> Result<Vec<u8>, Wrong> {
        match self.answer()? {
            Answer::Report(bytes) => Ok(bytes),
            other => Err(Wrong::new(format!("the box was to answer a step, and said {other:?}"))),
        }
    }

    /// Turns the power on, and waits until the box has started.
    ///
    /// # Errors
    /// Where the box does not report its start.
    pub fn turn_on(&mut self) -> Result<(), Wrong> {
        self.serial.write_all(&POWER_ON)?;
        self.wait_until_up()
    }

    /// Waits until the box reports its start, as it does after every reset.
    ///
    /// # Errors
    /// Where it says something else, or nothing.
    pub fn wait_until_up(&mut self) -> Result<(), Wrong> {
        let answer = self.answer()?;
        if answer == Answer::Up {
            return Ok(());
        }
        Err(Wrong::new(format!("the box was to say that it is up, and said {answer:?}")))
    }

    /// Presses the board's reset button.
    ///
    /// # Errors
    /// Where the emulator is gone.
    pub fn press_reset(&mut self) -> Result<(), Wrong> {
        Ok(self.monitor.write_all(b"system_reset\n")?)
    }

    fn read(&mut self, bytes: &mut [u8]) -> Result<(), Wrong> {
        self.serial.read_exact(bytes).map_err(|why| Wrong::new(format!("the board does not answer: {why}")))
    }
}

impl Drop for Board {
    fn drop(&mut self) {
        let _ = self.emulator.kill();
        let _ = self.emulator.wait();
        let _ = fs::remove_dir_all(&self.folder);
    }
}

/// The connection of the emulator to a line. It must come within 20 seconds.
fn accept(listener: &UnixListener) -> Result<UnixStream, Wrong> {
    listener.set_nonblocking(true)?;
    for _ in 0..1_000 {
        if let Ok((stream, _)) = listener.accept() {
            stream.set_nonblocking(false)?;
            stream.set_read_timeout(Some(PATIENCE))?;
            return Ok(stream);
        }
        std::thread::sleep(Duration::from_millis(20));
    }
    Err(Wrong::new("the emulator does not open its serial line".into()))
}
