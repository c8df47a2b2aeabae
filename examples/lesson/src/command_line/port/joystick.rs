//! A joystick or gamepad of Linux: `/dev/input/js0` and others.
//!
//! The kernel reports a change of an axis as an event of 8 bytes: a time, the value, the kind (2 is an axis) and the
//! number of the axis (Linux kernel documentation, "Joystick API Documentation", from memory). Rows are made of them 50
//! times a second, as a transmitter makes frames: the last value of every axis, in counts.

use std::fs;
use std::io::{self, Read};
use std::path::{Path, PathBuf};
use std::sync::mpsc::{SyncSender, TryRecvError, sync_channel};
use std::thread;
use std::time::{Duration, Instant};

const ROW: Duration = Duration::from_millis(20);
const AXIS: u8 = 2;
/// Set in the events that tell the state at the start.
const INITIAL: u8 = 0x80;
/// The most axes: those of a frame.
const MOST: usize = 16;

/// Whether the name is that of a joystick.
pub(super) fn is_joystick(path: &Path) -> bool {
    let name = path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
    let number = name.strip_prefix("js").unwrap_or_default();
    !number.is_empty() && number.bytes().all(|byte| byte.is_ascii_digit())
}

/// The joysticks of this machine, with their names.
pub(crate) fn joysticks() -> Vec<(PathBuf, String)> {
    let entries = fs::read_dir("/dev/input").into_iter().flatten().flatten();
    let paths = entries.map(|entry| entry.path()).filter(|path| is_joystick(path));
    let named = paths.map(|path| {
        let file = path.file_name().unwrap_or_default();
        let name = fs::read_to_string(Path::new("/sys/class/input").join(file).join("device/name"));
        (path.clone(), name.unwrap_or_default().trim().to_owned())
    });
    named.collect()
}

/// Sends a header and rows until the events end, or until nobody takes them.
pub(super) fn send(mut events: impl Read + Send + 'static, to: &SyncSender<io::Result<Vec<u8>>>) {
    let (changes, seen) = sync_channel::<(usize, i16)>(1024);
    thread::spawn(move || {
        let mut event = [0; 8];
        while events.read_exact(&mut event).is_ok() {
            let [_, _, _, _, low, high, kind, axis] = event;
            let is_axis = kind & !INITIAL == AXIS && usize::from(axis) < MOST;
            if is_axis && changes.send((axis.into(), i16::from_le_bytes([low, high]))).is_err() {
                return;
            }
        }
    });
    let (began, mut values, mut rows) = (Instant::now(), Vec::<i16>::new(), 0_u32);
    loop {
        let ended = loop {
            match seen.try_recv() {
                Ok((axis, value)) => {
                    // The header is sent with the first row: until then axes are found.
                    if rows == 0 && axis >= values.len() {
                        values.resize(axis + 1, 0);
                    }
                    if let Some(place) = values.get_mut(axis) {
                        *place = value;
                    }
                }
                Err(TryRecvError::Empty) => break false,
                Err(TryRecvError::Disconnected) => break true,
            }
        };
        if !values.is_empty() {
            let mut lines = Vec::new();
            if rows == 0 {
                let names = (0..values.len()).map(|axis| format!(",counts:axis{axis}")).collect::<Vec<_>>().concat();
                lines.push(format!("time_us{names}"));
            }
            let cells = values.iter().map(|value| format!(",{value}")).collect::<Vec<_>>().concat();
            lines.push(format!("{}{cells}", began.elapsed().as_micros()));
            rows += 1;
            for line in lines {
                if to.send(Ok(line.into_bytes())).is_err() {
                    return;
                }
            }
        }
        if ended {
            return;
        }
        thread::sleep(ROW);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Given the events of two axes and of a button, when they are sent as rows, then the header names two axes and the
    /// last row has their last values.
    #[test]
    fn the_events_of_a_joystick_become_rows() {
        let event = |value: i16, kind: u8, number: u8| {
            let [low, high] = value.to_le_bytes();
            [1, 2, 3, 4, low, high, kind, number]
        };
        let events = [event(-5, 0x82, 0), event(0, 0x82, 1), event(1, 1, 7), event(32_767, 2, 1)].concat();
        let (to, lines) = sync_channel(100);
        send(io::Cursor::new(events), &to);
        drop(to);
        let lines = lines.iter().map(|line| String::from_utf8(line.unwrap()).unwrap()).collect::<Vec<_>>();
        assert_eq!(lines[0], "time_us,counts:axis0,counts:axis1");
        assert!(lines.last().unwrap().ends_with(",-5,32767"), "{lines:?}");
    }

    #[test]
    fn only_numbered_names_are_joysticks() {
        assert!(is_joystick(Path::new("/dev/input/js0")) && is_joystick(Path::new("js12")));
        assert!(!["/dev/input/js", "js0.csv", "-", "/dev/ttyS0"].iter().any(|path| is_joystick(Path::new(path))));
    }
}
