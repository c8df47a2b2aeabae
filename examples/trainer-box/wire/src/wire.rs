//! The wire: what is sent in each step of the box, and what becomes of the lines that arrive.

use core::mem::discriminant;

use handback::Instant;
use handback::ppm::Edge;
use trainer_box::{CheckedPlan, Desk, Entry, Row, Side, Step, TrainerBox};

use crate::black_box::BlackBox;
use crate::clock::Clock;
use crate::command::{Command, KNOWN, Refusal, quote};
use crate::file::{BadDigits, LONGEST_FILE, Receiving, Sending};
use crate::lesson::Lesson;
use crate::raw::Ear;
use crate::reader::{Arrived, LONGEST_COMMAND, Reader};
use crate::ring::Ring;
use crate::text::Line;
use crate::{trace, words};

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
        let line = match result {
            Ok(()) => {
                let mut line = Line::new();
                line.text("# stored ");
                line.number(u32::try_from(length).unwrap_or(u32::MAX));
                line.text(" bytes: in force from the next start");
                line
            }
            Err(why) => {
                let mut line = refused("write: nothing is stored: ");
                line.text(why);
                line
            }
        };
        self.say(line);
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

    /// Sends a message, or counts it as lost.
    fn say(&mut self, line: Line) {
        if self.lost > 0 {
            let mut before = Line::new();
            before.text("# lost ");
            before.number(self.lost);
            before.text(" messages");
            if !self.out.push(&before.end()) {
                self.lost = self.lost.saturating_add(1);
                return;
            }
            self.lost = 0;
        }
        if !self.out.push(&line.end()) {
            self.lost = self.lost.saturating_add(1);
        }
    }

    /// Sends lines that belong to a row, with the count of rows that had no room before; or counts one more.
    fn send_row(&mut self, before: Option<Line>, row: Line) -> bool {
        let mut missing = Line::new();
        missing.text("# missing ");
        missing.number(self.missing);
        missing.text(" rows");
        let missing = (self.missing > 0).then(|| missing.end());
        let (before, row) = (before.map(Line::end), row.end());
        let lines = [missing.as_deref(), before.as_deref(), Some(&row[..])];
        let bytes = lines.into_iter().flatten().fold(0, |sum: usize, line| sum.saturating_add(line.len()));
        if !self.out.has_room(bytes) {
            self.missing = self.missing.saturating_add(1);
            return false;
        }
        for line in lines.into_iter().flatten() {
            let _ = self.out.push(line); // there is room
        }
        self.missing = 0;
        true
    }

    fn trace_row(&mut self, row: &Row<N, M, S>) {
        let Sends::Trace { header: false, begun, cut } = &mut self.sends else { return };
        *begun |= row.begins;
        if !*begun {
            return;
        }
        if *cut && !row.begins {
            self.missing = self.missing.saturating_add(1);
            return;
        }
        let frames = [row.instructor.as_ref().map(|it| &it.frame), row.student.as_ref().map(|it| &it.frame)];
        let line = trace::row(&self.clock, row.desk, frames, row.check);
        let mut recording = Line::new();
        recording.text("# recording");
        let sent = self.send_row(row.begins.then_some(recording), line);
        if let (true, Sends::Trace { cut, .. }) = (row.begins, &mut self.sends) {
            *cut = !sent;
        }
    }

    fn raw_row(&mut self, now: Instant) {
        let Sends::Raw { ears, trains, header } = &mut self.sends else { return };
        let [instructor, student] = ears;
        let polled = [instructor.poll(now), student.poll(now)];
        for (marked, (changed, _)) in trains.iter_mut().zip(&polled) {
            *marked |= changed;
            *header |= changed;
        }
        let formats = [instructor.found(), student.found()];
        if *header {
            for (side, (marked, format)) in
                [Side::Instructor, Side::Student].into_iter().zip(trains.iter_mut().zip(formats))
            {
                let line = format.filter(|_| *marked).map(|format| trace::train(side, format).end());
                if line.is_none_or(|line| self.out.push(&line)) {
                    *marked = false;
                }
            }
            if *trains != [false; 2] || !self.out.push(&trace::raw_header(formats).end()) {
                return;
            }
            *header = false;
        }
        let trains = polled.map(|(_, train)| train);
        if trains != [None, None] {
            let line = trace::raw_row(&self.clock, self.desk, formats, trains);
            self.send_row(None, line);
        }
    }

    /// Sends the next line of what waits for room.
    fn send_on<const LEAD: usize, const BODY: usize>(&mut self, black_box: &BlackBox<'_, N, LEAD, BODY>) {
        match &mut self.sends {
            Sends::Trace { header, .. } if *header => {
                *header = !self.out.push(&trace::header(self.plan.names()).end());
            }
            Sends::File(file) => {
                let (line, last) = file.line();
                if self.out.push(&line.end()) {
                    file.go_on();
                    if last {
                        self.sends = Sends::Nothing;
                    }
                }
            }
            Sends::Lesson(lesson) => {
                if self.desk.lesson_switch {
                    self.sends = Sends::Nothing;
                    self.say(refused("lesson: the lesson switch went on: ask again when it is off"));
                } else if self.out.has_room(crate::text::LONGEST) {
                    let (line, last) = lesson.line(self.plan, black_box);
                    let _ = self.out.push(&line.end()); // there is room
                    if last {
                        self.sends = Sends::Nothing;
                    }
                }
            }
            Sends::Nothing | Sends::Trace { .. } | Sends::Raw { .. } => {}
        }
    }

    fn obey<const LEAD: usize, const BODY: usize>(&mut self, line: &[u8], black_box: &BlackBox<'_, N, LEAD, BODY>) {
        match Command::of(line) {
            Ok(Command::Version) => {
                let mut line = Line::new();
                line.text("# version ");
                line.text(self.version);
                self.say(line);
            }
            Ok(Command::Trace) => {
                self.begin(Sends::Trace { header: true, begun: false, cut: false });
                self.send_on(black_box);
            }
            Ok(Command::Raw) => {
                let ears = [Ear::new(), Ear::new()];
                self.begin(Sends::Raw { ears, trains: [false; 2], header: false });
            }
            Ok(Command::Stop) => {
                self.begin(Sends::Nothing);
                let mut line = Line::new();
                line.text("# stopped");
                self.say(line);
            }
            Ok(Command::Lesson) if self.desk.lesson_switch => {
                self.say(refused("lesson: the lesson switch is on: turn it off first"));
            }
            Ok(Command::Lesson) => match Lesson::new(self.plan.policy(), black_box) {
                Some(lesson) => self.begin(Sends::Lesson(lesson)),
                None if black_box.lost() > 0 => self.say(refused(
                    "lesson: the last lesson is not kept: its recording had begun too long before the switch went on",
                )),
                None => self.say(refused("lesson: none is kept: turn the lesson switch on and fly one")),
            },
            Ok(Command::Read) => {
                self.begin(Sends::Nothing);
                self.asked = Asked::Read;
            }
            Ok(Command::Write(length)) => self.write(length),
            Ok(Command::Bytes(digits)) => self.bytes(digits),
            Ok(Command::End) => self.end(),
            Err(refusal) => self.refuse(refusal),
        }
    }

    /// Ends what was being sent and received, and begins this.
    fn begin(&mut self, sends: Sends<'p, N>) {
        (self.sends, self.receiving, self.asked, self.missing) = (sends, None, Asked::Nothing, 0);
    }

    /// Why a file may not be stored now.
    const fn no_storing(&self) -> Option<&'static str> {
        if !self.on_bench {
            Some(
                "write: the box is not on the bench: switch both transmitters off, keep the lesson switch off, and hold \
                 the button for 2 s from the start of the box",
            )
        } else if self.desk.lesson_switch {
            Some("write: the lesson switch is on: turn it off first")
        } else {
            None
        }
    }

    fn write(&mut self, length: usize) {
        self.begin(Sends::Nothing);
        if let Some(why) = self.no_storing() {
            self.say(refused(why));
        } else if length == 0 || length > LONGEST_FILE {
            let mut line = refused("write: a file has 1 to ");
            line.number(u32::try_from(LONGEST_FILE).unwrap_or_default());
            line.text(" bytes, not ");
            line.number(u32::try_from(length).unwrap_or(u32::MAX));
            self.say(line);
        } else {
            self.receiving = Some(Receiving::new(length));
        }
    }

    fn bytes(&mut self, digits: &[u8]) {
        let Some(file) = &mut self.receiving else {
            self.say(refused("no file is being written: send write BYTES first"));
            return;
        };
        let Err(why) = file.take(digits) else { return };
        let (length, mut line) = (file.length, refused("write: "));
        match why {
            BadDigits::NoHex => {
                quote(&mut line, digits);
                line.text(" is not pairs of hexadecimal digits: send the file again");
            }
            BadDigits::TooMany => {
                line.text("more than ");
                line.number(u32::try_from(length).unwrap_or(u32::MAX));
                line.text(" bytes came: send the file again");
            }
        }
        self.receiving = None;
        self.say(line);
    }

    fn end(&mut self) {
        let Some(file) = &self.receiving else {
            self.say(refused("no file is being written: send write BYTES first"));
            return;
        };
        let (got, length) = (file.bytes.len(), file.length);
        let why = self.no_storing();
        if why.is_none() && file.is_complete() {
            self.asked = Asked::Store;
            return;
        }
        self.receiving = None;
        let mut line = refused(why.unwrap_or("write: the file ended after "));
        if why.is_none() {
            line.number(u32::try_from(got).unwrap_or(u32::MAX));
            line.text(" of ");
            line.number(u32::try_from(length).unwrap_or(u32::MAX));
            line.text(" bytes: send it again");
        }
        self.say(line);
    }

    fn refuse(&mut self, refusal: Refusal<'_>) {
        let line = match refusal {
            Refusal::Unknown(arrived) => {
                let mut line = refused("unknown command ");
                quote(&mut line, arrived);
                line.text(": send ");
                line.text(KNOWN);
                line
            }
            Refusal::Length(arrived) => {
                let mut line = refused("write: ");
                quote(&mut line, arrived);
                line.text(" is no number of bytes: send write 200, for example");
                line
            }
        };
        self.say(line);
    }
}

/// The beginning of a refusal.
fn refused(why: &str) -> Line {
    let mut line = Line::new();
    line.text("# refused: ");
    line.text(why);
    line
}
