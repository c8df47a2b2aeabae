//! What becomes of a line that arrived.

use trainer_box::Ear;

use super::{Asked, Sends, Wire, refused};
use crate::black_box::BlackBox;
use crate::command::{Command, KNOWN, Refusal, quote};
use crate::file::{BadDigits, LONGEST_FILE, Receiving};
use crate::lesson::Lesson;
use crate::text::Line;

impl<'p, const N: usize, const M: usize, const S: usize, const OUT: usize> Wire<'p, N, M, S, OUT> {
    pub(super) fn obey<const LEAD: usize, const BODY: usize>(
        &mut self,
        line: &[u8],
        black_box: &BlackBox<'_, N, LEAD, BODY>,
    ) {
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
