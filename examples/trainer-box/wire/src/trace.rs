//! Rows and headers as text.

use handback::{Frame, Pulse};
use trainer_box::{AxisName, Desk, Format, MOST_CHANNELS, Side};

use crate::clock::Clock;
use crate::text::Line;
use crate::words::side;

/// The columns of every row.
const FIXED: &str = "time_us,lesson_switch,instructor_now";

/// The header of a trace.
pub(crate) fn header<const N: usize>(names: &[AxisName; N]) -> Line {
    let mut line = Line::new();
    line.text(FIXED);
    for column in [",i:", ",s:"] {
        for name in names {
            line.text(column);
            line.text(name.as_str());
        }
    }
    line.text(",check");
    line
}

/// A row of a trace.
pub(crate) fn row<const N: usize>(clock: &Clock, desk: Desk, frames: [Option<&Frame<N>>; 2], check: u32) -> Line {
    let mut line = begun(clock, desk);
    for frame in frames {
        match frame {
            Some(frame) => {
                for &at in frame.axes() {
                    line.byte(b',');
                    line.points(at);
                }
            }
            None => (0..N).for_each(|_| line.byte(b',')),
        }
    }
    line.byte(b',');
    line.hex_word(check);
    line
}

/// The level of the separators and the number of channels of a train.
pub(crate) fn train(of: Side, format: Format) -> Line {
    let mut line = Line::new();
    line.text("# train ");
    line.text(side(of));
    line.text(if format.separators == handback::ppm::Level::High { " high " } else { " low " });
    line.number(format.channels.into());
    line
}

/// The header of the raw form.
pub(crate) fn raw_header(formats: [Option<Format>; 2]) -> Line {
    let mut line = Line::new();
    line.text(FIXED);
    for (column, format) in [",us:i", ",us:s"].into_iter().zip(formats) {
        for channel in 0..format.map_or(0, |format| format.channels) {
            line.text(column);
            line.number(channel.into());
        }
    }
    line
}

/// A row of the raw form: widths in microseconds.
pub(crate) fn raw_row(
    clock: &Clock,
    desk: Desk,
    formats: [Option<Format>; 2],
    trains: [Option<[Pulse; MOST_CHANNELS]>; 2],
) -> Line {
    let mut line = begun(clock, desk);
    for (format, train) in formats.into_iter().zip(trains) {
        for channel in 0..format.map_or(0, |format| format.channels) {
            line.byte(b',');
            if let Some(width) = train.as_ref().and_then(|train| train.get(usize::from(channel))) {
                line.number(width.to_micros().into());
            }
        }
    }
    line
}

fn begun(clock: &Clock, desk: Desk) -> Line {
    let mut line = Line::new();
    clock.write(&mut line);
    for on in [desk.lesson_switch, desk.instructor_now] {
        line.text(if on { ",1" } else { ",0" });
    }
    line
}
