//! A stand-in for a trainer box on a pseudo terminal: it answers the lines of the wire as a box does, from a script.

use std::io::{Read, Write};
use std::sync::{Arc, Mutex};
use std::thread;
use std::time::Duration;

use serialport::{SerialPort, TTYPort};

/// What the box holds, and how it behaves.
#[derive(Default)]
pub(crate) struct State {
    pub(crate) stored: Option<Vec<u8>>,
    /// Why it refuses to store.
    pub(crate) refuses: Option<&'static str>,
    /// It goes away after this many lines of a file that is written.
    pub(crate) dies_after: Option<usize>,
    /// The lines of its last lesson.
    pub(crate) lesson: Vec<String>,
    /// It answers nothing.
    pub(crate) deaf: bool,
    /// Every line that it was sent.
    pub(crate) heard: Vec<String>,
}

pub(crate) struct StandIn {
    pub(crate) port: String,
    pub(crate) state: Arc<Mutex<State>>,
    /// Kept open, so that the terminal outlives each command.
    _slave: TTYPort,
}

impl StandIn {
    pub(crate) fn new(state: State) -> Self {
        let (mut master, slave) = TTYPort::pair().unwrap();
        let (port, state) = (slave.name().unwrap(), Arc::new(Mutex::new(state)));
        master.set_timeout(Duration::from_millis(20)).unwrap();
        let shared = Arc::clone(&state);
        thread::spawn(move || {
            let (mut line, mut coming) = (String::new(), None);
            loop {
                let mut byte = [0];
                match master.read(&mut byte) {
                    Ok(1) if byte[0] == b'\n' => {
                        let answer = shared.lock().unwrap().answer(&std::mem::take(&mut line), &mut coming);
                        if master.write_all(answer.as_bytes()).is_err() {
                            return;
                        }
                    }
                    Ok(1) => line.push(byte[0].into()),
                    // Nothing came, or nobody has the port open now.
                    _ => thread::sleep(Duration::from_millis(1)),
                }
            }
        });
        Self { port, state, _slave: slave }
    }

    pub(crate) fn state(&self) -> std::sync::MutexGuard<'_, State> {
        self.state.lock().unwrap()
    }
}

impl State {
    fn answer(&mut self, line: &str, coming: &mut Option<(usize, Vec<u8>)>) -> String {
        self.heard.push(line.to_owned());
        if self.deaf {
            return String::new();
        }
        let (word, rest) = line.split_once(' ').unwrap_or((line, ""));
        match word {
            "read" => match &self.stored {
                None => "# refused: read: no file is stored: the box has the plan that it was built with\n".to_owned(),
                Some(bytes) => {
                    let hex = |part: &[u8]| part.iter().map(|byte| format!("{byte:02x}")).collect::<Vec<_>>().concat();
                    let lines = bytes.chunks(32).map(|part| format!("= {}\n", hex(part))).collect::<Vec<_>>().concat();
                    format!("# waiting switch\n# file {}\n{lines}# end\n", bytes.len())
                }
            },
            "stop" => "# stopped\n".to_owned(),
            "write" => {
                *coming = self.refuses.is_none().then(|| (rest.parse().unwrap(), Vec::new()));
                self.refuses.map_or(String::new(), |why| format!("# refused: write: {why}\n"))
            }
            "=" => {
                let lines = self.heard.iter().filter(|line| line.starts_with('=')).count();
                if self.dies_after.is_some_and(|most| lines >= most) {
                    (self.deaf, *coming) = (true, None);
                }
                let Some((_, bytes)) = coming else { return String::new() };
                bytes.extend((0..rest.len()).step_by(2).map(|at| u8::from_str_radix(&rest[at..at + 2], 16).unwrap()));
                String::new()
            }
            "end" => match coming.take() {
                Some((length, bytes)) if bytes.len() == length => {
                    self.stored = Some(bytes);
                    format!("# stored {length} bytes: in force from the next start\n")
                }
                _ => "# refused: no file is being written: send write BYTES first\n".to_owned(),
            },
            "lesson" if self.lesson.is_empty() => {
                "# refused: lesson: none is kept: turn the lesson switch on and fly one\n".to_owned()
            }
            "lesson" => format!("# lesson {} rows\n{}\n# end\n", self.lesson.len(), self.lesson.join("\n")),
            _ => format!("# refused: unknown command {line:?}\n"),
        }
    }
}
