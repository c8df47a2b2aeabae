//! Cuts what comes into lines.

use std::io::{self, Read};
use std::sync::mpsc::SyncSender;

/// A longer line is cut there: nothing that is awaited has one.
const LONGEST: usize = 4096;

/// Sends the lines of this source until it ends, or until nobody takes them.
pub(super) fn send(mut source: impl Read, to: &SyncSender<io::Result<Vec<u8>>>) {
    let (mut buffer, mut line) = ([0; 1024], Vec::new());
    loop {
        match source.read(&mut buffer) {
            Ok(0) => break,
            Ok(count) => {
                for &byte in &buffer[..count] {
                    let is_end = byte == b'\n';
                    if !is_end {
                        line.push(byte);
                    }
                    if is_end || line.len() > LONGEST {
                        let mut whole = std::mem::take(&mut line);
                        if whole.last() == Some(&b'\r') {
                            whole.pop();
                        }
                        if to.send(Ok(whole)).is_err() {
                            return;
                        }
                    }
                }
            }
            Err(why) => match why.kind() {
                // A serial line on which nothing came.
                io::ErrorKind::TimedOut | io::ErrorKind::Interrupted | io::ErrorKind::WouldBlock => {}
                // The other end of a serial line went away: what came before stands.
                io::ErrorKind::BrokenPipe => break,
                _ if why.raw_os_error() == Some(EIO) => break,
                _ => {
                    let _ = to.send(Err(why)); // the last one
                    return;
                }
            },
        }
    }
    // The last line of a file may have no end; half a line of a cable that was pulled is no line, but cannot be told
    // from it: whoever reads rows refuses it.
    if !line.is_empty() {
        let _ = to.send(Ok(line));
    }
}

/// What a terminal says whose other end is closed, on Linux.
const EIO: i32 = 5;
