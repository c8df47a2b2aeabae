//! The computer at the other end of the wire: it reads all that the box sends, and sends what it is told to.

use std::io::{Read, Write};
use std::os::unix::net::UnixStream;
use std::sync::mpsc::{Sender, channel};
use std::sync::{Arc, Mutex};
use std::thread::spawn;

use trainer_box_bench::Wrong;

/// A computer on the wire. Reading and writing have threads of their own: the box takes bytes when it likes.
#[derive(Debug)]
pub(crate) struct Computer {
    text: Arc<Mutex<Vec<u8>>>,
    to: Sender<Vec<u8>>,
    /// The bytes that the box's serial line has taken.
    sent: Arc<Mutex<u64>>,
}

impl Computer {
    pub(crate) fn new(stream: UnixStream) -> Result<Self, Wrong> {
        stream.set_read_timeout(None)?;
        let (text, sent) = (Arc::new(Mutex::new(Vec::new())), Arc::new(Mutex::new(0)));
        let (mut from, heard) = (stream.try_clone()?, Arc::clone(&text));
        spawn(move || {
            let mut bytes = [0; 4_096];
            while let Ok(count @ 1..) = from.read(&mut bytes) {
                heard.lock().expect("no thread panics").extend(&bytes[..count]);
            }
        });
        let (to, orders) = channel::<Vec<u8>>();
        let (mut stream, taken) = (stream, Arc::clone(&sent));
        spawn(move || {
            for bytes in orders {
                if stream.write_all(&bytes).is_err() {
                    return;
                }
                *taken.lock().expect("no thread panics") += u64::try_from(bytes.len()).expect("small");
            }
        });
        Ok(Self { text, to, sent })
    }

    pub(crate) fn send(&self, bytes: &[u8]) {
        let _ = self.to.send(bytes.to_vec()); // a box that is gone is noticed on its other line
    }

    pub(crate) fn sent(&self) -> u64 {
        *self.sent.lock().expect("no thread panics")
    }

    /// All that the box has sent so far; whatever else it is, it must be plain text.
    pub(crate) fn text(&self) -> Result<String, Wrong> {
        let bytes = self.text.lock().expect("no thread panics").clone();
        match String::from_utf8(bytes) {
            Ok(text) if text.is_ascii() => Ok(text),
            _ => Err(Wrong::new("the box sent something else than plain text over its wire".into())),
        }
    }
}
