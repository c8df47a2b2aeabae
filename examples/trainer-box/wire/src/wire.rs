//! The wire: what is sent in each step of the box, and what becomes of the lines that arrive.

mod obey;
mod send;

use core::mem::discriminant;

use handback::Instant;
use handback::ppm::Edge;
use trainer_box::{CheckedPlan, Desk, Ear, Entry, Side, Step, TrainerBox};

use crate::black_box::BlackBox;
use crate::clock::Clock;
use crate::file::{Receiving, Sending};
use crate::lesson::Lesson;
use crate::reader::{Arrived, LONGEST_COMMAND, Reader};
use crate::ring::Ring;
use crate::text::Line;
use crate::words;

/// What the firmware is asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Request<'a> {
    /// The stored file: answer with [`Wire::file`].
    Read,
    /// These bytes are to be checked and stored: answer with [`Wire::stored`].
    Store(&'a [u8]),
}

/// The wire of a box, with `OUT` bytes of room for what waits to be sent.
///
/// It is given what the box did, and never the box itself to change: no byte that arrives can reach the engine, the
/// desk or the decoders.
#[derive(Clone, Debug)]
pub struct Wire<'p, const N: usize, const M: usize, const S: usize, const OUT: usize> {
    plan: &'p CheckedPlan<N, M, S>,
    version: &'p str,
    reader: Reader,
    out: Ring<OUT>,
    clock: Clock,
    desk: Desk,
    on_bench: bool,
    sends: Sends<'p, N>,
    /// Rows and other lines that had no room since the last that was sent.
    missing: u32,
    lost: u32,
    /// What the student waits for, without the time that is left.
    waiting: Option<core::mem::Discriminant<handback::Waiting>>,
    receiving: Option<Receiving>,
    asked: Asked,
}

/// What is sent besides messages.
#[derive(Clone, Debug)]
#[allow(clippy::large_enum_variant)] // the room is needed while one of them is sent
enum Sends<'p, const N: usize> {
    Nothing,
    /// The header first, then the rows of every recording from the next on.
    /// Of a recording whose beginning had no room nothing can be replayed: its other rows are missing too.
    Trace {
        header: bool,
        begun: bool,
        cut: bool,
    },
    /// `header` says that lines before the next row are due: for the sides that are marked, and the header.
    Raw {
        ears: [Ear; 2],
        trains: [bool; 2],
        header: bool,
    },
    File(Sending),
    Lesson(Lesson<'p, N>),
}

/// A request that the firmware has not taken yet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Asked {
    Nothing,
    Read,
    Store,
}

impl<'p, const N: usize, const M: usize, const S: usize, const OUT: usize> Wire<'p, N, M, S, OUT> {
    /// A wire on which nothing was sent yet. `version` is one line of plain text.
    pub fn new(plan: &'p CheckedPlan<N, M, S>, version: &'p str) -> Self {
        Self {
            plan,
            version,
            reader: Reader::default(),
            out: Ring::default(),
            clock: Clock::default(),
            desk: Desk::default(),
            on_bench: false,
            sends: Sends::Nothing,
            missing: 0,
            lost: 0,
            waiting: None,
            receiving: None,
            asked: Asked::Nothing,
        }
    }

    /// Takes a byte that arrived; says whether it was taken. Give at most a few bytes in each step of the box, and keep
    /// those that are not taken.
    pub fn receive(&mut self, byte: u8) -> bool {
        self.reader.take(byte)
    }

    /// Whether a byte would be taken.
    pub const fn wants_bytes(&self) -> bool {
        !self.reader.is_full()
    }

    /// The oldest bytes that wait to be sent; empty where there are none.
    pub fn pending(&self) -> &[u8] {
        self.out.oldest()
    }

    /// This many of the pending bytes were sent.
    pub fn sent(&mut self, bytes: usize) {
        self.out.sent(bytes);
    }

    /// Takes an edge on the line of this transmitter, as the box does.
    pub fn edge(&mut self, side: Side, edge: Edge) {
        if let Some(ear) = self.ear(side) {
            ear.edge(edge);
        }
    }

    /// Takes note that edges of this transmitter were lost.
    pub fn overrun(&mut self, side: Side) {
        if let Some(ear) = self.ear(side) {
            ear.overrun();
        }
    }

    /// Says an entry of the box's log.
    pub fn entry(&mut self, entry: &Entry) {
        self.say(words::entry(&entry.what));
    }

    /// Says that something of the box is refused: what, and the remedy, in one line of plain text.
    pub fn refused(&mut self, why: &str) {
        self.say(refused(why));
    }

    /// Takes what the box did in a step, after the black box took it. At most one line that arrived is processed, and
    /// at most one row or line of a file is sent.
    pub fn step<const LEAD: usize, const BODY: usize>(
        &mut self,
        now: Instant,
        trainer_box: &TrainerBox<'_, N, M, S>,
        step: &Step<N, M>,
        black_box: &BlackBox<'_, N, LEAD, BODY>,
    ) {
        self.clock.pass(now);
        self.on_bench = trainer_box.on_bench();
        if let Some(row) = trainer_box.row() {
            self.desk = row.desk;
        }
        match self.reader.next() {
            Some(Arrived::Line(line)) => self.obey(&line, black_box),
            Some(Arrived::TooLong) => {
                let mut line = refused("a line is longer than ");
                line.number(u32::try_from(LONGEST_COMMAND).unwrap_or_default());
                line.text(" bytes: send shorter lines");
                self.say(line);
            }
            None => self.send_on(black_box),
        }
        if let Some(row) = trainer_box.row() {
            self.trace_row(row);
            let waiting = step.outcome.waiting;
            if waiting.as_ref().map(discriminant) != self.waiting {
                self.waiting = waiting.as_ref().map(discriminant);
                self.say(words::waiting(waiting));
            }
        }
        self.raw_row(now);
    }

    /// What the firmware is asked for, once.
    pub fn request(&mut self) -> Option<Request<'_>> {
        match core::mem::replace(&mut self.asked, Asked::Nothing) {
            Asked::Nothing => None,
            Asked::Read => Some(Request::Read),
            Asked::Store => self.receiving.as_ref().map(|file| Request::Store(&file.bytes)),
        }
    }

    /// The answer to [`Request::Read`]: the stored file, or `None` where none is stored.
    pub fn file(&mut self, bytes: Option<&[u8]>) {
        match bytes.map(Sending::of) {
            Some(Some(sending)) => self.sends = Sends::File(sending),
            Some(None) => self.say(refused("read: the stored file is too long to be sent")),
            None => self.say(refused("read: no file is stored: the box has the plan that it was built with")),
        }
    }

    /// The answer to [`Request::Store`]: whether the file is stored; otherwise why not, in one line of plain text.
    pub fn stored(&mut self, result: Result<(), &str>) {
        let length = self.receiving.take().map_or(0, |file| file.length);
        self.say(stored("write", length, result));
    }

    /// Says whether a plan that the box has learnt by itself is stored; otherwise why not, in one line of plain text.
    pub fn learnt(&mut self, length: usize, result: Result<(), &str>) {
        self.say(stored("learn", length, result));
    }

    const fn ear(&mut self, side: Side) -> Option<&mut Ear> {
        match &mut self.sends {
            Sends::Raw { ears: [instructor, student], .. } => match side {
                Side::Instructor => Some(instructor),
                Side::Student => Some(student),
            },
            _ => None,
        }
    }
}

/// The beginning of a refusal.
fn refused(why: &str) -> Line {
    let mut line = Line::new();
    line.text("# refused: ");
    line.text(why);
    line
}

fn stored(command: &str, length: usize, result: Result<(), &str>) -> Line {
    let mut line = Line::new();
    match result {
        Ok(()) => {
            line.text("# stored ");
            line.number(u32::try_from(length).unwrap_or(u32::MAX));
            line.text(" bytes: in force from the next start");
        }
        Err(why) => {
            line.text("# refused: ");
            line.text(command);
            line.text(": nothing is stored: ");
            line.text(why);
        }
    }
    line
}
