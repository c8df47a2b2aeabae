//! Packs some rows of a trace that the lesson tool recorded, as integers that every target can fly.

use std::fmt::Display;
use std::fs;

use conformance::recorded::{ESCAPE, FLAGS, PACE, Row, Sticks, rows};

const USAGE: &str = "usage: pack TRACE.csv FIRST-ROW ROWS PACKED.bin";
const HEADER: &str = "time_us,lesson_switch,instructor_now,\
    i:aileron,i:elevator,i:throttle,i:rudder,s:aileron,s:elevator,s:throttle,s:rudder";

/// `pack TRACE.csv FIRST-ROW ROWS PACKED.bin`.
pub(crate) fn pack_file(words: &[String]) -> Result<(), String> {
    let [trace, first, count, packed] = words else { return Err(USAGE.into()) };
    let number = |word: &String| word.parse::<usize>().map_err(|_| format!("'{word}' is no number of rows\n{USAGE}"));
    let (first, count) = (number(first)?, number(count)?);
    let text = fs::read_to_string(trace).map_err(|why| format!("{trace}: {why}"))?;
    let lesson = read(&text, first, count).map_err(|why| format!("{trace}: {why}"))?;
    let bytes = pack(&lesson);
    fs::write(packed, &bytes).map_err(|why| format!("{packed}: {why}"))?;
    println!("{packed}: {} rows in {} bytes", lesson.len(), bytes.len());
    Ok(())
}

fn read(text: &str, first: usize, count: usize) -> Result<Vec<Row>, String> {
    let mut lines = text.lines().zip(1..);
    match lines.next() {
        Some((HEADER, _)) => {}
        _ => return Err(format!("line 1: the columns must be {HEADER}")),
    }
    let mut last = None;
    let mut lesson = Vec::new();
    for (line, number) in lines.skip(first).take(count) {
        let wrong = |what: &dyn Display| format!("line {number}: {what}");
        let cells: Vec<&str> = line.split(',').collect();
        let [time, switch, now, sticks @ ..] = cells.as_slice() else {
            return Err(wrong(&"too few columns"));
        };
        let time: u32 = time.parse().map_err(|_| wrong(&format_args!("time_us is '{time}'")))?;
        if last.is_some_and(|last: u32| time.wrapping_sub(last) != PACE) {
            return Err(wrong(&format_args!("time_us is {time}: rows must be {PACE} us apart")));
        }
        last = Some(time);
        let (instructor, student) = sticks.split_at_checked(4).ok_or_else(|| wrong(&"too few columns"))?;
        lesson.push(Row {
            instructor: side(instructor).map_err(|why| wrong(&why))?,
            student: side(student).map_err(|why| wrong(&why))?,
            switch: *switch == "1",
            now: *now == "1",
        });
    }
    if lesson.len() == count { Ok(lesson) } else { Err(format!("there are only {} such rows", lesson.len())) }
}

/// The sticks of one side, in microseconds of pulse width.
fn side(cells: &[&str]) -> Result<Option<Sticks>, String> {
    if cells.iter().all(|cell| cell.is_empty()) {
        return Ok(None);
    }
    let mut sticks = [0; 4];
    if cells.len() != sticks.len() {
        return Err(format!("{} axes: a lesson of 4 is packed", cells.len()));
    }
    for (stick, cell) in sticks.iter_mut().zip(cells) {
        *stick =
            microseconds(cell).ok_or_else(|| format!("'{cell}' is not a whole microsecond, a fifth of a point"))?;
    }
    Ok(Some(sticks))
}

/// Converts points with at most one decimal, an even one, to whole microseconds.
fn microseconds(points: &str) -> Option<i16> {
    let (whole, tenth) = points.split_once('.').unwrap_or((points, "0"));
    let tenth = tenth.parse::<i16>().ok().filter(|tenth| tenth % 2 == 0 && *tenth < 10)?;
    let size = whole.trim_start_matches('-').parse::<i16>().ok()?.checked_mul(5)?.checked_add(tenth / 2)?;
    Some(if points.starts_with('-') { -size } else { size })
}

/// The rows as `conformance::recorded` reads them.
fn pack(lesson: &[Row]) -> Vec<u8> {
    let mut bytes = Vec::new();
    let (mut instructor, mut student) = ([0; 4], [0; 4]);
    for row in lesson {
        let set = [row.instructor.is_some(), row.student.is_some(), row.switch, row.now];
        bytes.push(FLAGS.iter().zip(set).filter(|(_, set)| *set).map(|(flag, _)| flag).sum());
        for (sticks, last) in [(row.instructor, &mut instructor), (row.student, &mut student)] {
            if let Some(sticks) = sticks {
                pack_side(sticks, last, &mut bytes);
            }
        }
    }
    assert!(rows(&bytes).eq(lesson.iter().copied()), "what was packed must read back");
    bytes
}

fn pack_side(sticks: Sticks, last: &mut Sticks, bytes: &mut Vec<u8>) {
    let changed = bytes.len();
    bytes.push(0);
    for (axis, (stick, last)) in sticks.iter().zip(last).enumerate() {
        if stick == last {
            continue;
        }
        bytes[changed] |= 1 << axis;
        match i8::try_from(stick.wrapping_sub(*last)) {
            Ok(change) if change != ESCAPE => bytes.push(change.cast_unsigned()),
            _ => {
                bytes.push(ESCAPE.cast_unsigned());
                bytes.extend(stick.to_le_bytes());
            }
        }
        *last = *stick;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Given a trace with a row without frames and a jump of a stick, when it is packed, then it unpacks to the same.
    #[test]
    fn a_packed_trace_unpacks_to_the_same_rows() {
        let text = format!(
            "{HEADER}\n0,0,0,1.2,2.4,-13.2,-1.2,,,,\n20000,1,0,,,,,,,,\n40000,1,1,0.2,2.4,99.8,-1,0,0,-100,0\n"
        );
        let lesson = read(&text, 0, 3).expect("a good trace");
        assert_eq!(lesson[0].instructor, Some([6, 12, -66, -6]));
        assert_eq!(lesson[1], Row { switch: true, ..Row::default() });
        assert_eq!(lesson[2].student, Some([0, 0, -500, 0]));
        assert!(rows(&pack(&lesson)).eq(lesson));
    }

    /// Given a trace with something that cannot be packed, when it is read, then the message names line and value.
    #[test]
    fn what_cannot_be_packed_is_named() {
        for (rows, why) in [
            ("0,0,0,1.3,0,0,0,,,,", "line 2: '1.3' is not a whole microsecond, a fifth of a point"),
            ("0,0,0,,,,,,,,\n1,0,0,,,,,,,,", "line 3: time_us is 1: rows must be 20000 us apart"),
            ("0,0", "line 2: too few columns"),
        ] {
            assert_eq!(read(&format!("{HEADER}\n{rows}\n"), 0, 2).expect_err(why), why);
        }
    }
}
