//! The messages of the check of the bench on the wire: the number of the message, then every field that any of them
//! has.

use handback::preflight::{Action, End, Finding, Obstacle, Side};
use handback::{Cause, Deflection, Waiting};

use crate::reader::Reader;
use crate::writer::Writer;

/// The fields of all messages; a field that a message does not have keeps a fixed value.
#[derive(Clone, Copy, Debug)]
struct Fields {
    word: u8,
    side: Side,
    axis: u8,
    other: u8,
    end: End,
    seen: Deflection,
    expected: Deflection,
    cause: Cause,
    waiting: Option<Waiting>,
}

impl Fields {
    const fn word(word: u8) -> Self {
        Self {
            word,
            side: Side::Student,
            axis: 0,
            other: 0,
            end: End::Positive,
            seen: Deflection::CENTRE,
            expected: Deflection::CENTRE,
            cause: Cause::LateStep,
            waiting: None,
        }
    }

    fn of_step(step: Action) -> Self {
        let word = Self::word;
        match step {
            Action::Start => word(0),
            Action::Move { side, axis, end } => Self { side, axis, end, ..word(1) },
            Action::Return { side, axis } => Self { side, axis, ..word(2) },
            Action::HandOver => word(3),
            Action::TakeOver { axis } => Self { axis, ..word(4) },
            Action::HandBack { axis } => Self { axis, ..word(5) },
            Action::Again { after } => Self { cause: after, ..word(6) },
            Action::LinkOff => word(7),
            Action::LinkOn => word(8),
            Action::Press => word(9),
            Action::Finish => word(10),
            Action::Done => word(11),
        }
    }

    fn step(self) -> Option<Action> {
        let Self { side, axis, end, cause: after, .. } = self;
        Some(match self.word {
            0 => Action::Start,
            1 => Action::Move { side, axis, end },
            2 => Action::Return { side, axis },
            3 => Action::HandOver,
            4 => Action::TakeOver { axis },
            5 => Action::HandBack { axis },
            6 => Action::Again { after },
            7 => Action::LinkOff,
            8 => Action::LinkOn,
            9 => Action::Press,
            10 => Action::Finish,
            11 => Action::Done,
            _ => return None,
        })
    }

    fn of_obstacle(obstacle: Obstacle) -> Self {
        let word = Self::word;
        match obstacle {
            Obstacle::NoSignal { side } => Self { side, ..word(0) },
            Obstacle::ThrottleUp { side, axis, by } => Self { side, axis, seen: by, ..word(1) },
            Obstacle::StickAway { side, axis, by } => Self { side, axis, seen: by, ..word(2) },
            Obstacle::SwitchOn => word(3),
            Obstacle::ButtonPressed => word(4),
            Obstacle::NotStill => word(5),
        }
    }

    fn obstacle(self) -> Option<Obstacle> {
        let Self { side, axis, seen: by, .. } = self;
        Some(match self.word {
            0 => Obstacle::NoSignal { side },
            1 => Obstacle::ThrottleUp { side, axis, by },
            2 => Obstacle::StickAway { side, axis, by },
            3 => Obstacle::SwitchOn,
            4 => Obstacle::ButtonPressed,
            5 => Obstacle::NotStill,
            _ => return None,
        })
    }

    /// Numbers from 32 on are steps that were not seen.
    fn of_finding(finding: Finding) -> Self {
        let word = Self::word;
        match finding {
            Finding::DoesNotMove { side, axis } => Self { side, axis, ..word(0) },
            Finding::Swapped { side, axis, with } => Self { side, axis, other: with, ..word(1) },
            Finding::Reversed { side, axis } => Self { side, axis, ..word(2) },
            Finding::CentreOff { side, axis, by } => Self { side, axis, seen: by, ..word(3) },
            Finding::ThrowShort { side, axis, end, seen, expected } => {
                Self { side, axis, end, seen, expected, ..word(4) }
            }
            Finding::ThrottleUp { side, axis, by } => Self { side, axis, seen: by, ..word(5) },
            Finding::NotHandedOver { waiting } => Self { waiting, ..word(6) },
            Finding::SignalLost { side } => Self { side, ..word(7) },
            Finding::LinkRepeats => word(8),
            Finding::NotSeen { step } => {
                let step = Self::of_step(step);
                Self { word: step.word | 32, ..step }
            }
        }
    }

    fn finding(self) -> Option<Finding> {
        let Self { side, axis, other, end, seen, expected, waiting, .. } = self;
        Some(match self.word {
            0 => Finding::DoesNotMove { side, axis },
            1 => Finding::Swapped { side, axis, with: other },
            2 => Finding::Reversed { side, axis },
            3 => Finding::CentreOff { side, axis, by: seen },
            4 => Finding::ThrowShort { side, axis, end, seen, expected },
            5 => Finding::ThrottleUp { side, axis, by: seen },
            6 => Finding::NotHandedOver { waiting },
            7 => Finding::SignalLost { side },
            8 => Finding::LinkRepeats,
            word @ 32.. => Finding::NotSeen { step: Self { word: word & !32, ..self }.step()? },
            _ => return None,
        })
    }
}

impl Writer {
    pub(crate) fn step(&mut self, step: Action) {
        self.fields(Fields::of_step(step));
    }

    pub(crate) fn obstacle(&mut self, obstacle: Obstacle) {
        self.fields(Fields::of_obstacle(obstacle));
    }

    pub(crate) fn finding(&mut self, finding: Finding) {
        self.fields(Fields::of_finding(finding));
    }

    fn fields(&mut self, fields: Fields) {
        self.u8(fields.word);
        self.bool(fields.side == Side::Student);
        for byte in [fields.axis, fields.other] {
            self.u8(byte);
        }
        self.bool(fields.end == End::Positive);
        for at in [fields.seen, fields.expected] {
            self.u16(at.to_bits().cast_unsigned());
        }
        self.cause(fields.cause);
        self.bool(fields.waiting.is_some());
        if let Some(waiting) = fields.waiting {
            self.waiting(waiting);
        }
    }
}

impl Reader<'_> {
    pub(crate) fn step(&mut self) -> Option<Action> {
        self.fields()?.step()
    }

    pub(crate) fn obstacle(&mut self) -> Option<Obstacle> {
        self.fields()?.obstacle()
    }

    pub(crate) fn finding(&mut self) -> Option<Finding> {
        self.fields()?.finding()
    }

    fn fields(&mut self) -> Option<Fields> {
        Some(Fields {
            word: self.u8()?,
            side: if self.bool()? { Side::Student } else { Side::Instructor },
            axis: self.u8()?,
            other: self.u8()?,
            end: if self.bool()? { End::Positive } else { End::Negative },
            seen: Deflection::from_bits(self.u16()?.cast_signed()),
            expected: Deflection::from_bits(self.u16()?.cast_signed()),
            cause: self.cause()?,
            waiting: if self.bool()? { Some(self.waiting()?) } else { None },
        })
    }
}

#[cfg(test)]
mod tests {
    use heapless::Vec;

    use super::*;

    /// Given every message with distinct field values, when it is written and read, then it is the same.
    #[test]
    fn every_word_comes_back_as_it_went() {
        let fields = Fields {
            axis: 3,
            other: 2,
            end: End::Negative,
            seen: Deflection::from_points(-7),
            expected: Deflection::from_points(9),
            cause: Cause::Stick(2),
            waiting: Some(Waiting::Gate(1)),
            side: Side::Instructor,
            word: 0,
        };
        let sent = |write: &dyn Fn(&mut Writer)| {
            let mut to = Writer(Vec::new());
            write(&mut to);
            to.0
        };
        for word in 0..=43 {
            let fields = Fields { word, ..fields };
            if let Some(step) = fields.step() {
                assert_eq!(Reader(&sent(&|to| to.step(step))).step(), Some(step));
            }
            if let Some(obstacle) = fields.obstacle() {
                assert_eq!(Reader(&sent(&|to| to.obstacle(obstacle))).obstacle(), Some(obstacle));
            }
            if let Some(finding) = fields.finding() {
                assert_eq!(Reader(&sent(&|to| to.finding(finding))).finding(), Some(finding));
            }
        }
    }
}
