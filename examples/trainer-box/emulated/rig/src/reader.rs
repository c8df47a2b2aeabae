//! Values, as they come over the wire; `None` where they are none.

use handback::ppm::Fault;
use handback::{AxisSet, Cause, Deflection, Duration, Event, Frame, Instant, Link, Outcome, Pilot, Pulse};
use handback::{Reception, Waiting, cue};
use trainer_box::{Entry, Side, What};

use crate::plan::AXES;

/// Reads values one after another.
pub(crate) struct Reader<'a>(pub(crate) &'a [u8]);

impl Reader<'_> {
    pub(crate) fn bytes<const K: usize>(&mut self) -> Option<[u8; K]> {
        let (bytes, rest) = self.0.split_first_chunk()?;
        self.0 = rest;
        Some(*bytes)
    }

    pub(crate) fn u8(&mut self) -> Option<u8> {
        self.bytes().map(|[byte]| byte)
    }

    pub(crate) fn bool(&mut self) -> Option<bool> {
        match self.u8()? {
            0 => Some(false),
            1 => Some(true),
            _ => None,
        }
    }

    pub(crate) fn u16(&mut self) -> Option<u16> {
        self.bytes().map(u16::from_le_bytes)
    }

    pub(crate) fn u32(&mut self) -> Option<u32> {
        self.bytes().map(u32::from_le_bytes)
    }

    pub(crate) fn instant(&mut self) -> Option<Instant> {
        self.u32().map(Instant::from_ticks)
    }

    pub(crate) fn set(&mut self) -> Option<AxisSet> {
        self.u16().map(AxisSet::from_bits)
    }

    pub(crate) fn side(&mut self) -> Option<Side> {
        Some(if self.bool()? { Side::Student } else { Side::Instructor })
    }

    pub(crate) fn frame(&mut self) -> Option<Frame<AXES>> {
        let mut frame = Frame::CENTRE;
        for at in frame.axes_mut() {
            *at = Deflection::from_bits(self.u16()?.cast_signed());
        }
        Some(frame)
    }

    pub(crate) fn train<const M: usize>(&mut self) -> Option<[Pulse; M]> {
        let mut train = [Pulse::MIN; M];
        for pulse in &mut train {
            *pulse = Pulse::from_bits(self.u16()?);
        }
        Some(train)
    }

    pub(crate) fn pilot(&mut self) -> Option<Pilot> {
        let (kind, axes) = (self.u8()?, self.set()?);
        match kind {
            0 => Some(Pilot::Nobody),
            1 => Some(Pilot::Instructor),
            2 => Some(Pilot::Student(axes)),
            _ => None,
        }
    }

    pub(crate) fn event(&mut self) -> Option<Event> {
        let (at, from, to) = (self.instant()?, self.pilot()?, self.pilot()?);
        Some(Event { at, from, to, cause: self.cause()? })
    }

    pub(crate) fn cause(&mut self) -> Option<Cause> {
        let (kind, axis) = (self.u8()?, self.u8()?);
        Some(match kind {
            0 => Cause::LateStep,
            1 => Cause::InstructorLost,
            2 => Cause::InstructorBack,
            3 => Cause::InstructorNow,
            4 => Cause::BadFrame,
            5 => Cause::SwitchOff,
            6 => Cause::LinkLost,
            7 => Cause::LinkFrozen,
            8 => Cause::Stick(axis),
            9 => Cause::Latch,
            10 => Cause::HandedBack,
            _ => return None,
        })
    }

    pub(crate) fn waiting(&mut self) -> Option<Waiting> {
        let (kind, value) = (self.u8()?, self.u32()?);
        let (left, axis) = (Duration::from_ticks(value), u8::try_from(value).unwrap_or(u8::MAX));
        Some(match kind {
            1 => Waiting::InstructorSignal,
            2 => Waiting::Switch,
            3 => Waiting::SwitchOffFirst,
            4 => Waiting::Settling { left },
            5 => Waiting::Latch,
            6 => Waiting::StudentLink { left },
            7 => Waiting::Held(axis),
            8 => Waiting::Dwell { left },
            9 => Waiting::Gate(axis),
            _ => return None,
        })
    }

    pub(crate) fn reception(&mut self) -> Option<Reception> {
        [Reception::Nothing, Reception::Good, Reception::Bad].get(usize::from(self.u8()?)).copied()
    }

    pub(crate) fn outcome(&mut self) -> Option<Outcome<AXES>> {
        Some(Outcome {
            at: self.instant()?,
            output: self.frame()?,
            pilot: self.pilot()?,
            event: if self.bool()? { Some(self.event()?) } else { None },
            waiting: if self.bool()? { Some(self.waiting()?) } else { None },
            held: self.set()?,
            pickup: self.set()?,
            stick: self.frame()?,
            instructor: self.reception()?,
            student: self.reception()?,
            instructor_lost: self.bool()?,
            link: *[Link::Lost, Link::Qualifying, Link::Good].get(usize::from(self.u8()?))?,
            late_step: self.bool()?,
        })
    }

    pub(crate) fn signs(&mut self) -> Option<cue::Signs> {
        Some(cue::Signs {
            lamp: self.bool()?,
            beeper: self.bool()?,
            vibration: self.bool()?,
            student_flies: self.bool()?,
            begun: match self.u8()? {
                u8::MAX => None,
                place => Some(*cue::Cue::ALL.get(usize::from(place))?),
            },
            voice: match self.u16()?.to_le_bytes() {
                [0, 0] => None,
                [1, 0] => Some(cue::Voice::Stop),
                [slot, 1] => Some(cue::Voice::Say(slot)),
                _ => return None,
            },
        })
    }

    pub(crate) fn entry(&mut self) -> Option<Entry> {
        let at = self.instant()?;
        let what = match self.u8()? {
            0 => What::Started,
            1 => What::Changed(self.event()?),
            2 => What::TrainBegins,
            3 => What::TrainStops,
            4 => What::Dropped {
                side: self.side()?,
                fault: *Fault::ALL.get(usize::from(self.u8()?))?,
                times: self.u32()?,
            },
            5 => What::OutOfRange { side: self.side()?, times: self.u32()? },
            6 => What::Missing(self.u32()?),
            7 => What::CheckBegins,
            8 => What::Asks(self.step()?),
            9 => What::Refuses(self.obstacle()?),
            10 => What::Found(self.finding()?),
            11 => What::CheckEnds { passed: self.bool()? },
            _ => return None,
        };
        Some(Entry { at, what })
    }
}
