//! A fault of a bench, written on the command line as `kind:axis`, with a further value for some kinds, or as `repeats`.

use std::path::Path;

use handback::preflight::Side;

use super::bench::Bench;
use crate::error::{Fault, quoted};
use crate::number::{self, PERCENT, POINTS, Unit};

/// A fault of one transmitter; sticks are given by their numbers.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct BenchFault {
    side: Side,
    kind: Kind,
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum Kind {
    Reversed(usize),
    Swapped(usize, usize),
    /// An axis, and the offset of its centre in points.
    Centre(usize, f64),
    /// An axis, and the throw of its stick in percent.
    Throw(usize, f64),
    Dead(usize),
    /// The receiver repeats the last frame while the transmitter is off.
    Repeats,
}

const FORMS: &str = "write reversed:AXIS, swapped:AXIS:AXIS, centre:AXIS:POINTS, throw:AXIS:PERCENT, dead:AXIS or \
                     repeats, with instructor: before it for the instructor's transmitter";

impl BenchFault {
    /// Parses a fault. `names` are the names of the axes.
    pub(crate) fn read(text: &str, names: &[String]) -> Result<Self, Fault> {
        let place = Path::new("--fault");
        let refuse =
            |found: &str, remedy: &str| Fault::new(place, format!("{} {found}", quoted(text.as_bytes())), remedy);
        let axis = |name: &str| {
            let number = names.iter().position(|known| known == name);
            number.ok_or_else(|| {
                let found = format!("names {}, which is no axis", quoted(name.as_bytes()));
                refuse(&found, &format!("name one of {}", names.join(", ")))
            })
        };
        let number = |value: &str, least: f64, most: f64, unit: &Unit| {
            number::option(value, least..=most, unit).map_err(|remedy| {
                let found = format!("has {} where a number belongs", quoted(value.as_bytes()));
                refuse(&found, &remedy)
            })
        };
        let (side, rest) = match text.split_once(':') {
            Some(("instructor", rest)) => (Side::Instructor, rest),
            Some(("student", rest)) => (Side::Student, rest),
            _ => (Side::Student, text),
        };
        let kind = match *rest.split(':').collect::<Vec<_>>() {
            ["reversed", name] => Kind::Reversed(axis(name)?),
            ["repeats"] => Kind::Repeats,
            ["dead", name] => Kind::Dead(axis(name)?),
            ["swapped", one, other] if one == other => return Err(refuse("swaps an axis with itself", "name two")),
            ["swapped", one, other] => Kind::Swapped(axis(one)?, axis(other)?),
            ["centre", name, points] => Kind::Centre(axis(name)?, number(points, -50.0, 50.0, &POINTS)?),
            ["throw", name, percent] => Kind::Throw(axis(name)?, number(percent, 0.0, 125.0, &PERCENT)?),
            _ => return Err(refuse("is no fault", FORMS)),
        };
        Ok(Self { side, kind })
    }

    pub(crate) fn inject<const N: usize>(self, bench: &mut Bench<N>) {
        let transmitter = bench.transmitter(self.side);
        let sticks = &mut transmitter.sticks;
        match self.kind {
            Kind::Reversed(axis) => sticks[axis].reversed ^= true,
            Kind::Swapped(a, b) => (sticks[a].axis, sticks[b].axis) = (sticks[b].axis, sticks[a].axis),
            Kind::Centre(axis, points) => sticks[axis].off += points,
            Kind::Throw(axis, percent) => sticks[axis].throw *= percent / 100.0,
            Kind::Dead(axis) => sticks[axis].dead = true,
            Kind::Repeats => transmitter.repeats = true,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names() -> Vec<String> {
        ["roll", "yaw"].map(str::to_owned).to_vec()
    }

    #[test]
    fn a_fault_is_a_kind_an_axis_and_what_the_kind_wants() {
        let student = |kind| BenchFault { side: Side::Student, kind };
        for (text, fault) in [
            ("reversed:yaw", student(Kind::Reversed(1))),
            ("student:swapped:yaw:roll", student(Kind::Swapped(1, 0))),
            ("centre:roll:-5", student(Kind::Centre(0, -5.0))),
            ("instructor:throw:yaw:80", BenchFault { side: Side::Instructor, kind: Kind::Throw(1, 80.0) }),
            ("dead:roll", student(Kind::Dead(0))),
            ("repeats", student(Kind::Repeats)),
        ] {
            assert_eq!(BenchFault::read(text, &names()).unwrap(), fault, "{text}");
        }
    }

    #[test]
    fn what_is_no_fault_is_refused_with_its_value_and_the_remedy() {
        for (text, said) in [
            ("", "--fault: \"\" is no fault; write reversed:AXIS"),
            ("reversed", "is no fault"),
            ("reversed:roll:1", "is no fault"),
            ("bent:roll", "is no fault"),
            ("reversed:pitch", "names \"pitch\", which is no axis; name one of roll, yaw"),
            ("centre:roll:x", "has \"x\" where a number belongs; give a number of points from -50 to 50"),
            ("centre:roll:NaN", "has \"NaN\" where a number belongs"),
            ("throw:roll:130", "give a number of percent from 0 to 125"),
            (
                "throw:roll:80%",
                "has \"80%\" where a number belongs; give a number of percent from 0 to 125; percent are meant: write 80",
            ),
            ("centre:roll:+5", "give a number of points from -50 to 50; no plus sign: write 5"),
            ("swapped:roll:roll", "swaps an axis with itself; name two"),
        ] {
            let told = BenchFault::read(text, &names()).unwrap_err().to_string();
            assert!(told.contains(said), "{told}");
        }
    }
}
