//! What is sent: messages, rows, and what waits for room. A row or a message without room is dropped whole and counted.

use handback::Instant;
use trainer_box::{Row, Side};

use super::{Sends, Wire, refused};
use crate::black_box::BlackBox;
use crate::text::Line;
use crate::trace;

impl<const N: usize, const M: usize, const S: usize, const OUT: usize> Wire<'_, N, M, S, OUT> {
    /// Sends a message, or counts it as lost.
    pub(super) fn say(&mut self, line: Line) {
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

    pub(super) fn trace_row(&mut self, row: &Row<N, M, S>) {
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

    pub(super) fn raw_row(&mut self, now: Instant) {
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
    pub(super) fn send_on<const LEAD: usize, const BODY: usize>(&mut self, black_box: &BlackBox<'_, N, LEAD, BODY>) {
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
}
