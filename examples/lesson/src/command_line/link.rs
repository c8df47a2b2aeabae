//! What a trainer box is asked over its port, and what it answers (`examples/trainer-box`, the wire).
//!
//! Where the port is a file, nothing is sent, and the file says what the box had said.

use std::time::{Duration, Instant};

use trainer_box_store::{FILE_BYTES, decode, encode};

use crate::command_line::port::{Came, Port};
use crate::error::{Fault, quoted};
use crate::policy::{BoxPlan, MOST_CHANNELS};

/// The axes of a box: its image is built for this many.
pub(crate) const AXES: usize = 4;

/// How long a box may take for an answer.
const PATIENCE: Duration = Duration::from_secs(5);
/// Between two lines of a file, for a box whose port has little room.
const PAUSE: Duration = Duration::from_millis(5);
/// How long a box may take to refuse a file before its first line.
const CONSIDERED: Duration = Duration::from_millis(200);
/// Bytes in a line of a file.
const IN_LINE: usize = 32;
const REFUSED: &str = "# refused: ";

/// A box that answers.
pub(crate) struct Link {
    port: Port,
}

/// The file that a box holds.
pub(crate) enum Held {
    File(Box<BoxPlan<AXES>>),
    /// It holds none, and flies the plan that it was built with; what it said.
    None(String),
}

impl Link {
    pub(crate) fn new(port: Port) -> Self {
        Self { port }
    }

    /// The next line, as text.
    fn line(&mut self) -> Result<Option<String>, Fault> {
        let since = Instant::now();
        loop {
            match self.port.next(Duration::from_millis(100))? {
                Came::Line(line) => return Ok(Some(String::from_utf8_lossy(&line).into_owned())),
                Came::End => return Ok(None),
                Came::Nothing if since.elapsed() > PATIENCE => {
                    let remedy = "check the cable and the port; a terminal program on the same port must be closed";
                    return Err(self.fault("does not answer", remedy));
                }
                Came::Nothing => {}
            }
        }
    }

    /// The first line that begins with one of these words; refusals too. Other lines are those of a trace that goes on.
    fn await_line(&mut self, begins: &[&str]) -> Result<String, Fault> {
        let since = Instant::now();
        while let Some(line) = self.line()? {
            if line.starts_with(REFUSED) || begins.iter().any(|begin| line.starts_with(begin)) {
                return Ok(line);
            }
            if self.port.answers() && since.elapsed() > PATIENCE {
                break;
            }
        }
        Err(self.fault("does not answer", "plug it in again; is it a trainer box?"))
    }

    /// Ends what the box sends, and forgets what it sent to a command before this one.
    fn hush(&mut self) -> Result<(), Fault> {
        if !self.port.answers() {
            return Ok(());
        }
        self.port.send("stop")?;
        while !self.await_line(&["# stopped"])?.starts_with("# stopped") {}
        Ok(())
    }

    /// Waits so long, and stops where the box refuses meanwhile.
    fn refuse_early(&mut self, wait: Duration) -> Result<(), Fault> {
        let since = Instant::now();
        while let Some(left) = wait.checked_sub(since.elapsed()) {
            match self.port.next(left)? {
                Came::Line(line) if line.starts_with(REFUSED.as_bytes()) => {
                    return Err(self.refused(&String::from_utf8_lossy(&line)));
                }
                Came::End => return Err(self.fault("went away", "plug it in again, and write the file again")),
                _ => {}
            }
        }
        Ok(())
    }

    fn fault(&self, found: &str, remedy: &str) -> Fault {
        Fault::new(self.port.path(), found, remedy)
    }

    fn refused(&self, line: &str) -> Fault {
        let why = line.strip_prefix(REFUSED).unwrap_or(line);
        Fault::told(self.port.path(), format!("the box refused: {why}"))
    }

    /// Reads the stored file, decoded and checked.
    pub(crate) fn read(&mut self) -> Result<Held, Fault> {
        self.hush()?;
        self.port.send("read")?;
        let line = self.await_line(&["# file "])?;
        if let Some(why) = line.strip_prefix(REFUSED) {
            return if why.contains("no file is stored") {
                Ok(Held::None(why.to_owned()))
            } else {
                Err(self.refused(&line))
            };
        }
        let Some(length) = line.strip_prefix("# file ").and_then(|number| number.parse::<usize>().ok()) else {
            return Err(self.fault(&format!("{} is no length of a file", quoted(line.as_bytes())), "try again"));
        };
        let mut bytes = Vec::new();
        loop {
            match self.line()? {
                Some(line) if line == "# end" => break,
                Some(line) if line.starts_with("= ") => {
                    let Some(more) = from_hex(&line[2..]) else {
                        let found = format!("{} is no pair of hexadecimal digits", quoted(line.as_bytes()));
                        return Err(self.fault(&found, "try again, with another cable"));
                    };
                    bytes.extend(more);
                }
                Some(_) => {}
                None => return Err(self.fault("the file has no end", "try again")),
            }
        }
        if bytes.len() != length {
            let found = format!("the file has {} bytes, and {length} were announced", bytes.len());
            return Err(self.fault(&found, "try again, with another cable"));
        }
        let refuse =
            |why: String| self.fault(&format!("the stored file is none: {why}"), "write one: `lesson box write`");
        let plan = decode::<AXES, MOST_CHANNELS, MOST_CHANNELS>(&bytes).map_err(|why| refuse(why.to_string()))?;
        plan.check().map_err(|why| refuse(why.to_string()))?;
        Ok(Held::File(Box::new(plan)))
    }

    /// Stores a file.
    pub(crate) fn write(&mut self, plan: &BoxPlan<AXES>) -> Result<(), Fault> {
        if !self.port.answers() {
            return Err(
                self.fault("is a file, not a box: nothing can be written to it", "give the serial port of the box")
            );
        }
        let mut room = [0; FILE_BYTES];
        let bytes = encode(plan, &mut room).map_err(|why| self.fault(&why.to_string(), ""))?.to_vec();
        self.port.send(&format!("write {}", bytes.len()))?;
        self.refuse_early(CONSIDERED)?;
        for part in bytes.chunks(IN_LINE) {
            let digits = part.iter().map(|byte| format!("{byte:02x}")).collect::<Vec<_>>().concat();
            self.port.send(&format!("= {digits}"))?;
            self.refuse_early(PAUSE)?;
        }
        self.port.send("end")?;
        let line = self.await_line(&["# stored "])?;
        if line.starts_with(REFUSED) {
            return Err(self.refused(&line));
        }
        match self.read()? {
            Held::File(read) if *read == *plan => Ok(()),
            _ => Err(self.fault("holds another file than was written", "write it again")),
        }
    }

    /// The last lesson, from its header on.
    pub(crate) fn lesson(&mut self) -> Result<Vec<String>, Fault> {
        self.hush()?;
        self.port.send("lesson")?;
        let line = self.await_line(&["# lesson ", "time_us,"])?;
        if line.starts_with(REFUSED) {
            return Err(self.refused(&line));
        }
        let mut lines = vec![line];
        while let Some(line) = self.line()? {
            if line == "# end" {
                return Ok(lines);
            }
            lines.push(line);
        }
        if self.port.answers() {
            return Err(self.fault("the lesson has no end: the box went away", "plug it in again; it keeps the lesson"));
        }
        Ok(lines)
    }
}

fn from_hex(digits: &str) -> Option<Vec<u8>> {
    let digits = digits.trim().as_bytes();
    let (pairs, rest) = digits.as_chunks::<2>();
    let byte = |pair: &[u8; 2]| u8::from_str_radix(std::str::from_utf8(pair).ok()?, 16).ok();
    if !rest.is_empty() || !digits.iter().all(u8::is_ascii_hexdigit) {
        return None;
    }
    pairs.iter().map(byte).collect()
}
