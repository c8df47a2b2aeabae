//! The wire of the box as a serial port of this computer: a pseudo terminal.

use std::io::{Read, Write};
use std::os::unix::net::UnixStream;
use std::thread::spawn;
use std::time::Duration;

use serialport::{SerialPort, TTYPort};
use trainer_box_bench::Wrong;

/// How long a read waits.
const LOOK: Duration = Duration::from_millis(50);
/// A program that takes nothing for this long is gone. What the box sends is dropped from then on, as with a cable that
/// is not plugged in.
const PATIENCE: Duration = Duration::from_secs(1);
const NO_PATIENCE: Duration = Duration::from_millis(1);

/// Opens the port, and passes bytes between it and the wire from now on. Returns its path.
pub(crate) fn open(wire: UnixStream) -> Result<String, Wrong> {
    let wrong = |why: serialport::Error| Wrong::new(format!("no pseudo terminal: {why}"));
    let (mut keys, slave) = TTYPort::pair().map_err(wrong)?;
    let path = slave.name().ok_or_else(|| Wrong::new("the pseudo terminal has no name".into()))?;
    let screen = keys.try_clone_native().map_err(wrong)?;
    keys.set_timeout(LOOK).map_err(wrong)?;
    wire.set_read_timeout(None)?;
    let to_box = wire.try_clone()?;
    spawn(move || to_the_box(keys, slave, to_box));
    spawn(move || from_the_box(wire, screen));
    Ok(path)
}

/// `_slave` stays open, so that the terminal outlives each program.
fn to_the_box(mut keys: TTYPort, _slave: TTYPort, mut wire: UnixStream) {
    let mut bytes = [0; 1_024];
    loop {
        // An error means that nothing came.
        if let Ok(count) = keys.read(&mut bytes)
            && wire.write_all(&bytes[..count]).is_err()
        {
            return;
        }
    }
}

fn from_the_box(mut wire: UnixStream, mut screen: TTYPort) {
    let mut bytes = [0; 4_096];
    let mut away = false;
    while let Ok(count @ 1..) = wire.read(&mut bytes) {
        let mut left = &bytes[..count];
        while !left.is_empty() {
            let _ = screen.set_timeout(if away { NO_PATIENCE } else { PATIENCE }); // any number passes
            let written = screen.write(left);
            away = written.is_err();
            left = written.map_or(&[], |written| &left[written..]);
        }
    }
}
