//! The commands from the bench to the box. Each has six bytes: a letter, flags and an instant.

use handback::Instant;
use handback::ppm::{Edge, Level};
use trainer_box::Side;

/// The length of a command, in bytes.
pub const COMMAND_BYTES: usize = 6;

/// One command.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Command {
    /// An edge on the line of a transmitter. No answer.
    Edge(Side, Edge),
    /// Edges of a transmitter were lost. No answer.
    Overrun(Side),
    /// A turn of the loop: a step. Answered by a [`Report`](crate::Report).
    Step(Instant, Hand),
    /// The loop hangs, and only the timer interrupt runs, up to this instant. Answered by a report of its edges.
    Alarm(Instant),
    /// A reset by the processor's own request. Answered by [`READY`](crate::READY) after the reset.
    Reset,
    /// A hang until the watchdog resets the board. Answered by [`READY`](crate::READY) after the reset.
    Hang,
    /// A deliberate error of this kind from now on. Only a box with the feature `broken` has it. No answer.
    Break(u8),
    /// The power is off from now on, until [`POWER_ON`](crate::POWER_ON). Answered by [`OFF`](crate::OFF).
    PowerOff,
    /// The power goes off in the middle of an erase or a write of the flash, after this number of them. Then
    /// [`OFF`](crate::OFF) is sent instead of the answer to the step.
    Cut(u8),
}

/// The pins of the instructor's switch and button: their readings, and whether reading them fails.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Hand {
    /// Whether the lesson switch is on.
    pub lesson_switch: bool,
    /// Whether the instructor-now button is pressed.
    pub instructor_now: bool,
    /// Whether reading the pin of the switch fails.
    pub switch_fails: bool,
    /// Whether reading the pin of the button fails.
    pub button_fails: bool,
}

impl Hand {
    fn bits(self) -> u8 {
        u8::from(self.lesson_switch)
            | u8::from(self.instructor_now) << 1
            | u8::from(self.switch_fails) << 2
            | u8::from(self.button_fails) << 3
    }

    const fn from_bits(bits: u8) -> Self {
        Self {
            lesson_switch: bits & 1 != 0,
            instructor_now: bits & 2 != 0,
            switch_fails: bits & 4 != 0,
            button_fails: bits & 8 != 0,
        }
    }
}

impl Command {
    /// The bytes on the wire.
    pub fn to_bytes(self) -> [u8; COMMAND_BYTES] {
        let (letter, flags, number) = match self {
            Self::Edge(side, edge) => {
                (b'e', of_side(side) | u8::from(edge.level == Level::High) << 1, edge.at.as_ticks())
            }
            Self::Overrun(side) => (b'o', of_side(side), 0),
            Self::Step(now, hand) => (b's', hand.bits(), now.as_ticks()),
            Self::Alarm(now) => (b'a', 0, now.as_ticks()),
            Self::Reset => (b'r', 0, 0),
            Self::Hang => (b'h', 0, 0),
            Self::Break(how) => (b'b', how, 0),
            Self::PowerOff => (b'p', 0, 0),
            Self::Cut(after) => (b'c', after, 0),
        };
        let [a, b, c, d] = number.to_le_bytes();
        [letter, flags, a, b, c, d]
    }

    /// The command in these bytes from the wire; `None` where they are no command.
    pub fn from_bytes([letter, flags, a, b, c, d]: [u8; COMMAND_BYTES]) -> Option<Self> {
        let at = Instant::from_ticks(u32::from_le_bytes([a, b, c, d]));
        let side = if flags & 1 == 0 { Side::Instructor } else { Side::Student };
        Some(match letter {
            b'e' => Self::Edge(side, Edge { at, level: Level::from(flags & 2 != 0) }),
            b'o' => Self::Overrun(side),
            b's' => Self::Step(at, Hand::from_bits(flags)),
            b'a' => Self::Alarm(at),
            b'r' => Self::Reset,
            b'h' => Self::Hang,
            b'b' => Self::Break(flags),
            b'p' => Self::PowerOff,
            b'c' => Self::Cut(flags),
            _ => return None,
        })
    }
}

fn of_side(side: Side) -> u8 {
    u8::from(side == Side::Student)
}

#[cfg(test)]
mod tests {
    use handback::Instant;
    use handback::ppm::{Edge, Level};
    use trainer_box::Side;

    use super::{Command, Hand};

    #[test]
    fn every_command_comes_out_of_the_wire_as_it_went_in() {
        let at = Instant::from_ticks(0xFEDC_BA98);
        let mut commands = [Command::Reset, Command::Hang, Command::Break(3), Command::Alarm(at)].to_vec();
        commands.extend([Command::PowerOff, Command::Cut(200)]);
        for side in [Side::Instructor, Side::Student] {
            commands.push(Command::Overrun(side));
            commands.extend([Level::Low, Level::High].map(|level| Command::Edge(side, Edge { at, level })));
        }
        commands.extend((0..16).map(|bits| Command::Step(at, Hand::from_bits(bits))));
        for command in commands {
            assert_eq!(Command::from_bytes(command.to_bytes()), Some(command));
        }
        assert_eq!(Command::from_bytes(*b"?12345"), None);
    }

    extern crate std;
}
