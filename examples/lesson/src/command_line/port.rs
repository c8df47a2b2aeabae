//! A port: where lines of text come from, and, where something answers there, go to.
//!
//! | port | read as | written |
//! |---|---|---|
//! | `-` | standard input | no |
//! | a file or a pipe | its lines, to the end | no |
//! | a terminal device, such as `/dev/ttyACM0` or `COM3` | a serial line, 115,200 baud, 8 bits | yes |
//! | `/dev/input/js0` and others, on Linux | a joystick, 50 rows a second ([`joystick`]) | no |
//!
//! A thread reads, so that whoever waits for a line can stop waiting.

mod joystick;
mod lines;

use std::fs::{self, File};
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, RecvTimeoutError, sync_channel};
use std::thread;
use std::time::Duration;

pub(crate) use joystick::joysticks;

use crate::error::Fault;

/// A USB serial line has no rate; this one is for boards with a real UART.
const BAUD: u32 = 115_200;
/// How long one read of a serial line may wait.
const PATIENCE: Duration = Duration::from_millis(50);
/// Lines that may wait for whoever reads them.
const WAITING: usize = 4096;

/// A port being read.
pub(crate) struct Port {
    path: PathBuf,
    lines: Receiver<io::Result<Vec<u8>>>,
    writer: Option<Box<dyn Write + Send>>,
}

/// What came from a port.
#[derive(Debug, PartialEq, Eq)]
pub(crate) enum Came {
    /// A line, without its end.
    Line(Vec<u8>),
    /// Nothing in the time that was given.
    Nothing,
    /// Nothing will come any more.
    End,
}

impl Port {
    /// Opens a port.
    pub(crate) fn open(path: &Path) -> Result<Self, Fault> {
        let refuse = |why: &io::Error| {
            let fault = Fault::unread(path, why);
            if why.kind() == io::ErrorKind::NotFound {
                let remedy = "plug the box in, or choose a port from `lesson record --list`";
                return Fault::new(path, "is no port", remedy);
            }
            fault
        };
        if path == Path::new("-") {
            return Ok(Self::reading(path, io::stdin(), None));
        }
        if joystick::is_joystick(path) {
            let events = File::open(path).map_err(|why| refuse(&why))?;
            let (to, lines) = sync_channel(WAITING);
            thread::spawn(move || joystick::send(events, &to));
            return Ok(Self { path: path.to_owned(), lines, writer: None });
        }
        let is_plain = fs::metadata(path).is_ok_and(|there| there.is_file() || is_fifo(&there));
        if !is_plain {
            let name = path.to_string_lossy();
            let opened = serialport::new(name, BAUD).timeout(PATIENCE).open();
            match opened.and_then(|port| Ok((port.try_clone()?, port))) {
                Ok((reader, writer)) => return Ok(Self::reading(path, reader, Some(Box::new(writer)))),
                Err(why) => return Err(refuse(&why.into())),
            }
        }
        let file = File::open(path).map_err(|why| refuse(&why))?;
        Ok(Self::reading(path, file, None))
    }

    fn reading(path: &Path, source: impl Read + Send + 'static, writer: Option<Box<dyn Write + Send>>) -> Self {
        let (to, lines) = sync_channel(WAITING);
        thread::spawn(move || lines::send(source, &to));
        Self { path: path.to_owned(), lines, writer }
    }

    pub(crate) fn path(&self) -> &Path {
        &self.path
    }

    /// Whether something answers there; a file says what it says.
    pub(crate) fn answers(&self) -> bool {
        self.writer.is_some()
    }

    /// Sends a line, where something answers.
    pub(crate) fn send(&mut self, line: &str) -> Result<(), Fault> {
        let Some(writer) = &mut self.writer else { return Ok(()) };
        let sent =
            writer.write_all(line.as_bytes()).and_then(|()| writer.write_all(b"\n")).and_then(|()| writer.flush());
        sent.map_err(|why| {
            Fault::new(&self.path, format!("takes nothing: {why}"), "check the cable, and plug it in again")
        })
    }

    /// The next line, if one comes in this time.
    pub(crate) fn next(&mut self, wait: Duration) -> Result<Came, Fault> {
        match self.lines.recv_timeout(wait) {
            Ok(Ok(line)) => Ok(Came::Line(line)),
            Ok(Err(why)) => Err(Fault::unread(&self.path, &why)),
            Err(RecvTimeoutError::Timeout) => Ok(Came::Nothing),
            Err(RecvTimeoutError::Disconnected) => Ok(Came::End),
        }
    }
}

/// What a box was asked to send goes on for ever; the next program on this port should not have to read it.
impl Drop for Port {
    fn drop(&mut self) {
        // A port that takes nothing any more has ended too.
        let _ = self.send("stop");
    }
}

#[cfg(unix)]
fn is_fifo(there: &fs::Metadata) -> bool {
    std::os::unix::fs::FileTypeExt::is_fifo(&there.file_type())
}

#[cfg(not(unix))]
fn is_fifo(_there: &fs::Metadata) -> bool {
    false
}
