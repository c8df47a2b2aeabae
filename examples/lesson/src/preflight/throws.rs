//! The intended throw of the student's sticks, written on the command line as `axis:percent` of full travel.

use std::collections::HashSet;
use std::path::Path;

use handback::Deflection;

use crate::error::{Fault, quoted};
use crate::number;

/// The smallest throw, in percent. A stick with less cannot be told from one that does not move.
const LEAST: f64 = 30.0;

/// The throws of all axes; full travel where none is given. `names` are the names of the axes.
pub(crate) fn read<const N: usize>(words: &[String], names: &[String]) -> Result<[Deflection; N], Fault> {
    let mut seen = HashSet::new();
    let mut throws = [Deflection::FULL; N];
    for text in words {
        let refuse = |found: &str, remedy: &str| {
            Fault::new(Path::new("--student-throw"), format!("{} {found}", quoted(text.as_bytes())), remedy)
        };
        let Some((name, percent)) = text.split_once(':') else {
            return Err(refuse("names no axis and its throw", "write AXIS:PERCENT"));
        };
        let Some(axis) = names.iter().position(|known| known == name) else {
            let found = format!("names {}, which is no axis", quoted(name.as_bytes()));
            return Err(refuse(&found, &format!("name one of {}", names.join(", "))));
        };
        if !seen.insert(axis) {
            return Err(refuse("names an axis that is named before", "give each axis one throw"));
        }
        let percent = number::option(percent, LEAST..=100.0, &number::PERCENT).map_err(|remedy| {
            let found = format!("has {} where percent of full travel belong", quoted(percent.as_bytes()));
            refuse(&found, &remedy)
        })?;
        #[allow(clippy::cast_possible_truncation)] // at most 16384
        let bits = (percent * 163.84).round() as i16;
        throws[axis] = Deflection::from_bits(bits);
    }
    Ok(throws)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names() -> Vec<String> {
        ["roll", "yaw"].map(str::to_owned).to_vec()
    }

    #[test]
    fn a_throw_is_an_axis_and_percent_and_the_others_are_full() {
        let read = |words: &[&str]| read::<2>(&words.iter().map(|&word| word.to_owned()).collect::<Vec<_>>(), &names());
        assert_eq!(read(&[]).unwrap(), [Deflection::FULL; 2]);
        assert_eq!(read(&["yaw:60"]).unwrap(), [Deflection::FULL, Deflection::from_points(60)]);
        let twice = read(&["yaw:60", "roll:60", "yaw:70"]).unwrap_err().to_string();
        assert!(twice.contains("\"yaw:70\" names an axis that is named before; give each axis one throw"), "{twice}");
        for (text, said) in [
            ("yaw", "--student-throw: \"yaw\" names no axis and its throw; write AXIS:PERCENT"),
            ("pitch:60", "names \"pitch\", which is no axis; name one of roll, yaw"),
            ("yaw:", "has \"\" where percent of full travel belong; give a number of percent from 30 to 100"),
            ("yaw:101", "give a number of percent from 30 to 100"),
            ("yaw:60%", "give a number of percent from 30 to 100; percent are meant: write 60"),
            ("yaw:NaN", "has \"NaN\" where percent"),
        ] {
            let told = read(&[text]).unwrap_err().to_string();
            assert!(told.contains(said), "{told}");
        }
    }
}
