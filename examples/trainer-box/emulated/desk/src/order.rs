//! The orders of the person at the desk, one a line, and what is wrong with a line that is none.

use trainer_box::Side;

/// The axes, in the order of the box.
pub(crate) const AXES: [&str; 4] = ["aileron", "elevator", "throttle", "rudder"];

/// The words for the negative end, the centre and the positive end of each axis.
const PLACES: [[&str; 3]; 4] =
    [["left", "centre", "right"], ["down", "centre", "up"], ["low", "half", "full"], ["left", "centre", "right"]];

pub(crate) const HELP: &str = "\
instructor on | off            the transmitter; also student on | off
instructor aileron right       a stick: left, centre, right, or points from -100 to 100
instructor elevator up         down, centre, up, or points
instructor throttle low        low, half, full, or points
instructor rudder left         left, centre, right, or points
instructor sticks up-right     all sticks: up-right, down-left, let-go, middle, sweep
instructor reverse aileron     from now on this stick goes the other way
switch on | off                the lesson switch
button press | hold | release  the instructor-now button
power on | off                 the power of the box
power cut 2                    the power goes off in the middle of an erase or a write of the flash, after two of them
wait 2                         seconds until the next order
pause                          the time of the desk stands still until the next order
lesson 10000 7                 two people fly 10,000 frames with faults, in the order of seed 7 (default 1)
look                           what everything is now
help | quit";

/// One order.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Order {
    Of(Side, Deed),
    Switch(bool),
    Button(Button),
    Power(bool),
    Cut(u8),
    /// Microseconds.
    Wait(u64),
    Pause,
    Lesson {
        frames: u64,
        seed: u64,
    },
    Look,
    Help,
    Quit,
}

/// What is done with a transmitter. Places are in tenths of a point.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Deed {
    On(bool),
    Stick { axis: usize, to: i64 },
    All(All),
    Reverse(usize),
}

/// What is done with all sticks at once.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum All {
    UpRight,
    DownLeft,
    /// Springs bring the sticks back; the throttle stays.
    LetGo,
    /// As let go, with the throttle half way.
    Middle,
    Sweep,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Button {
    /// Pressed for 0.3 s.
    Press,
    Hold,
    Release,
}

impl Order {
    /// The order in this line; `None` for an empty line or a comment. An error says what is wrong and what to write.
    pub(crate) fn of(line: &str) -> Result<Option<Self>, String> {
        let line = line.split('#').next().unwrap_or_default();
        let words = line.split_whitespace().collect::<Vec<_>>();
        let order = match words[..] {
            [] => return Ok(None),
            ["instructor", ref rest @ ..] => Self::Of(Side::Instructor, deed("instructor", rest)?),
            ["student", ref rest @ ..] => Self::Of(Side::Student, deed("student", rest)?),
            ["switch", word] => Self::Switch(on_off("switch", word)?),
            ["button", word] => Self::Button(match word {
                "press" => Button::Press,
                "hold" => Button::Hold,
                "release" => Button::Release,
                _ => return Err(format!("button: {word:?} is no way to use it: write press, hold or release")),
            }),
            ["power", "cut", number] => Self::Cut(whole("power cut", number, 0, 200)?),
            ["power", word] => Self::Power(on_off("power", word)?),
            ["wait", seconds] => Self::Wait(micros(seconds)?),
            ["lesson", frames] => Self::Lesson { frames: whole("lesson", frames, 1, 1_000_000)?, seed: 1 },
            ["lesson", frames, seed] => Self::Lesson {
                frames: whole("lesson", frames, 1, 1_000_000)?,
                seed: whole("lesson, seed", seed, 0, 1_000_000)?,
            },
            ["pause"] => Self::Pause,
            ["look"] => Self::Look,
            ["help"] => Self::Help,
            ["quit"] => Self::Quit,
            [word @ ("switch" | "power" | "button" | "wait" | "lesson"), ..] => {
                return Err(format!("{word}: {} words follow it: `help` shows the right form", words.len() - 1));
            }
            [word, ..] => return Err(format!("{word:?} is no order: `help` shows all")),
        };
        Ok(Some(order))
    }
}

fn deed(who: &str, words: &[&str]) -> Result<Deed, String> {
    match *words {
        [word @ ("on" | "off")] => Ok(Deed::On(word == "on")),
        ["sticks", how] => Ok(Deed::All(match how {
            "up-right" => All::UpRight,
            "down-left" => All::DownLeft,
            "let-go" => All::LetGo,
            "middle" => All::Middle,
            "sweep" => All::Sweep,
            _ => {
                return Err(format!(
                    "{who} sticks: {how:?} is no movement: write up-right, down-left, let-go, middle or sweep"
                ));
            }
        })),
        ["reverse", name] => Ok(Deed::Reverse(axis(who, name)?)),
        [name, place] => {
            let axis = axis(who, name)?;
            let word = PLACES[axis].iter().zip([-1_000, 0, 1_000]).find(|(word, _)| **word == place);
            let to = word.map(|(_, to)| to).or_else(|| points(place)).ok_or_else(|| {
                format!(
                    "{who} {name}: {place:?} is no place: write {}, or points from -100 to 100",
                    PLACES[axis].join(", ")
                )
            })?;
            Ok(Deed::Stick { axis, to })
        }
        _ => Err(format!(
            "{who}: write on, off, a stick and its place ({who} aileron right), sticks and a movement, or reverse and a stick"
        )),
    }
}

fn axis(who: &str, name: &str) -> Result<usize, String> {
    let axis = AXES.iter().position(|axis| *axis == name);
    axis.ok_or_else(|| format!("{who}: {name:?} is no stick: write {} or sticks", AXES.join(", ")))
}

fn points(text: &str) -> Option<i64> {
    text.parse::<i64>().ok().filter(|points| (-100..=100).contains(points)).map(|points| points * 10)
}

fn on_off(what: &str, word: &str) -> Result<bool, String> {
    match word {
        "on" => Ok(true),
        "off" => Ok(false),
        _ => Err(format!("{what}: {word:?} is no state: write {what} on or {what} off")),
    }
}

fn whole<T: TryFrom<u64>>(what: &str, text: &str, least: u64, most: u64) -> Result<T, String> {
    let number = text.parse::<u64>().ok().filter(|number| (least..=most).contains(number));
    let number = number.and_then(|number| T::try_from(number).ok());
    number.ok_or_else(|| format!("{what}: {text:?} does not fit: write a whole number from {least} to {most}"))
}

fn micros(text: &str) -> Result<u64, String> {
    let seconds = text.parse::<f64>().ok().filter(|seconds| (0.0..=3_600.0).contains(seconds));
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // within an hour
    let micros = seconds.map(|seconds| (seconds * 1e6) as u64);
    micros.ok_or_else(|| format!("wait: {text:?} does not fit: write seconds from 0 to 3600, such as 0.5"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_order_of_the_help_is_one() {
        let lines =
            ["student off", "student sticks sweep", "button hold", "power cut 2", "wait 0.5", "lesson 10", "look"];
        let shown = HELP.lines().filter(|line| !line.contains(" | ")).map(|line| line.split("  ").next().unwrap_or(""));
        for line in shown.chain(lines) {
            assert!(matches!(Order::of(line), Ok(Some(_))), "{line}: {:?}", Order::of(line));
        }
        assert_eq!(Order::of("  # a comment"), Ok(None));
        assert_eq!(
            Order::of("student throttle -30"),
            Ok(Some(Order::Of(Side::Student, Deed::Stick { axis: 2, to: -300 })))
        );
    }

    #[test]
    fn a_line_that_is_no_order_is_told_the_remedy() {
        for (line, said) in [
            ("fly", "\"fly\" is no order: `help` shows all"),
            ("switch", "switch: 0 words follow it: `help` shows the right form"),
            ("switch up", "switch: \"up\" is no state: write switch on or switch off"),
            ("button twice", "button: \"twice\" is no way to use it: write press, hold or release"),
            ("power cut 201", "power cut: \"201\" does not fit: write a whole number from 0 to 200"),
            ("wait long", "wait: \"long\" does not fit: write seconds from 0 to 3600, such as 0.5"),
            ("wait NaN", "wait: \"NaN\" does not fit"),
            ("lesson 0", "lesson: \"0\" does not fit: write a whole number from 1 to 1000000"),
            ("student", "student: write on, off, a stick and its place (student aileron right)"),
            ("student flaps up", "student: \"flaps\" is no stick: write aileron, elevator, throttle, rudder or sticks"),
            ("student throttle up", "student throttle: \"up\" is no place: write low, half, full, or points"),
            ("student rudder 101", "student rudder: \"101\" is no place: write left, centre, right, or points"),
            ("student sticks about", "student sticks: \"about\" is no movement: write up-right,"),
        ] {
            let told = Order::of(line).unwrap_err();
            assert!(told.starts_with(said), "{told}");
        }
    }
}
