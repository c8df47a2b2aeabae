//! The tested box: the same as on a real board, with pins that the bench sets.

use handback::Instant;
use handback::hal::{Beeper, InstructorNow, Lamp, LessonSwitch};
use handback::ppm::{Edge, Level};
use heapless::Vec;
use trainer_box::{Desk, Notice, Outlet, TrainerBox};
use trainer_box_learn::{Ask, Pitch, Tutor};
use trainer_box_store::{NotStored, Permit, Refusal, Slots, permit};

use crate::command::{Command, Hand};
use crate::flash::Flash;
use crate::pins::{Broken, Duty, Input, Output};
use crate::plan::{AXES, BoxPlan, MOST_CHANNELS, PLAN, Start, WITHOUT_STUDENT};
use crate::report::{EDGES, Report, Stepped, Taken};
use crate::talk::{Memory, Talk};

/// A box. It starts at the first command that has an instant.
#[derive(Debug)]
pub struct Rig<'p> {
    plan: &'p BoxPlan,
    /// Why a stored plan was refused.
    refusal: Option<Refusal>,
    parts: Option<Parts<'p>>,
    /// The wire to a computer, where there is one.
    talk: Option<Talk<'p>>,
    #[cfg(feature = "broken")]
    breaks: crate::broken::Breaks,
}

#[derive(Debug)]
struct Parts<'p> {
    trainer_box: TrainerBox<'p, AXES, MOST_CHANNELS, MOST_CHANNELS>,
    notice: Notice,
    tutor: Tutor<AXES>,
    pitch: Pitch,
    outlet: Outlet<MOST_CHANNELS>,
    desk: Desk,
    /// The edge to which the timer is set.
    alarm: Option<Edge>,
    lamp: Output,
    beeper: Duty,
    failures: u32,
}

impl Default for Rig<'_> {
    /// A box in which no plan is stored.
    fn default() -> Self {
        Self::new(&Start::Nothing)
    }
}

impl<'p> Rig<'p> {
    /// A box that found this in its flash.
    pub fn new(start: &'p Start) -> Self {
        Self {
            plan: start.plan(&PLAN, &WITHOUT_STUDENT),
            refusal: start.refusal(),
            parts: None,
            talk: None,
            #[cfg(feature = "broken")]
            breaks: crate::broken::Breaks::default(),
        }
    }

    /// The same box with a wire to a computer, this memory for its black box, and these slots for a new plan.
    #[must_use]
    pub fn with_wire(mut self, memory: &'static mut Memory, slots: Slots<Flash<'static>>) -> Self {
        self.connect(memory, slots);
        self
    }

    /// Connects a wire, as [`with_wire`](Self::with_wire) does, without a copy of the box on the stack.
    #[inline(never)]
    pub fn connect(&mut self, memory: &'static mut Memory, slots: Slots<Flash<'static>>) {
        self.talk = Some(Talk::new(self.plan, self.refusal, memory, slots));
    }

    /// The plan by which it flies.
    pub const fn plan(&self) -> &'p BoxPlan {
        self.plan
    }

    /// Permits a file to be stored, only on the bench with the switch off.
    ///
    /// # Errors
    /// Where it is not to be stored.
    pub fn permit<'f>(&self, file: &'f [u8]) -> Result<Permit<'f>, NotStored> {
        let parts = self.parts.as_ref().ok_or(NotStored::NotOnBench)?;
        permit::<AXES, MOST_CHANNELS, MOST_CHANNELS>(file, parts.trainer_box.on_bench(), parts.desk)
    }

    /// What the box asks people for while it learns their sticks, and the pitch of the beeper.
    pub fn learns(&self) -> (Option<Ask>, Pitch) {
        let parts = self.parts.as_ref();
        (parts.and_then(|parts| parts.tutor.ask()), parts.map_or(Pitch::default(), |parts| parts.pitch))
    }

    /// Takes the flash out of a box with a wire, as it is when the power is cut.
    pub fn release(self) -> Option<Flash<'static>> {
        self.talk.map(|talk| talk.slots.release())
    }

    /// Whether a byte from the computer would be taken.
    pub fn wants_bytes(&self) -> bool {
        self.talk.as_ref().is_some_and(|talk| talk.wire.wants_bytes())
    }

    /// Takes a byte from the computer.
    pub fn receive(&mut self, byte: u8) {
        #[cfg(feature = "broken")]
        self.breaks.receive(byte);
        if let Some(talk) = &mut self.talk {
            let _ = talk.wire.receive(byte); // it is asked first whether it wants one
        }
    }

    /// Removes and returns the next byte for the computer.
    pub fn next_byte(&mut self) -> Option<u8> {
        let wire = &mut self.talk.as_mut()?.wire;
        let byte = *wire.pending().first()?;
        wire.sent(1);
        Some(byte)
    }

    /// Carries out a command, and returns the answer where there is one. The board itself carries
    /// out what resets it or cuts its power.
    pub fn obey(&mut self, command: Command) -> Option<Report> {
        match command {
            Command::Edge(side, edge) => {
                let parts = self.parts(edge.at);
                parts.trainer_box.edge(side, edge);
                parts.tutor.edge(side, edge);
                if let Some(talk) = &mut self.talk {
                    talk.wire.edge(side, edge);
                }
            }
            Command::Overrun(side) => {
                if let Some(parts) = &mut self.parts {
                    parts.trainer_box.overrun(side);
                    parts.tutor.overrun(side);
                }
                if let Some(talk) = &mut self.talk {
                    talk.wire.overrun(side);
                }
            }
            Command::Step(now, hand) => return Some(self.step(now, hand)),
            Command::Alarm(now) => {
                let edges = self.parts(now).alarm(now);
                return Some(Report { at: now, step: None, edges });
            }
            #[cfg(feature = "broken")]
            Command::Break(how) => self.breaks.begin(how),
            #[cfg(not(feature = "broken"))]
            Command::Break(_) => {}
            Command::Reset | Command::Hang | Command::PowerOff | Command::Cut(_) => {}
        }
        None
    }

    fn step(&mut self, now: Instant, hand: Hand) -> Report {
        #[cfg(feature = "broken")]
        let hand = self.breaks.hand(now, hand);
        let parts = self.parts(now);
        let edges = parts.alarm(now);
        let step = parts.step(now, hand);
        if let (Some(talk), Some(parts)) = (&mut self.talk, &mut self.parts) {
            talk.step(now, &parts.trainer_box, &step.said, &step.entries, parts.desk);
            if let Some(plan) = parts.tutor.request() {
                let stored = talk.store(plan, parts.trainer_box.on_bench(), parts.desk);
                parts.tutor.stored(stored.is_ok());
            }
        }
        let report = Report { at: now, step: Some(step), edges };
        #[cfg(feature = "broken")]
        let report = self.breaks.report(report);
        report
    }

    fn parts(&mut self, now: Instant) -> &mut Parts<'p> {
        self.parts.get_or_insert_with(|| Parts {
            trainer_box: TrainerBox::new(self.plan, now),
            notice: Notice::new(now, self.refusal.is_some()),
            tutor: Tutor::new(now),
            pitch: Pitch::default(),
            outlet: Outlet::new(self.plan),
            desk: Desk::default(),
            alarm: None,
            lamp: Output::default(),
            beeper: Duty::default(),
            failures: 0,
        })
    }
}

impl Parts<'_> {
    /// Runs the timer interrupts until now. Each sets the line and fetches the next edge.
    fn alarm(&mut self, now: Instant) -> Vec<Edge, EDGES> {
        let mut edges = Vec::new();
        let due = |edge: &mut Edge| now.as_ticks().wrapping_sub(edge.at.as_ticks()) < 1 << 31;
        while !edges.is_full()
            && let Some(edge) = self.alarm.take_if(due)
        {
            let _ = edges.push(edge); // there is room
            self.alarm = self.outlet.next_edge();
        }
        edges
    }

    /// Runs one turn of the loop.
    fn step(&mut self, now: Instant, hand: Hand) -> Stepped {
        self.desk = self.read(hand);
        let mut said = self.trainer_box.step(now, self.desk);
        self.pitch = self.tutor.step(now, self.desk, &mut self.trainer_box, &mut said);
        if let Some(first) = self.outlet.send(now, said.pulses.as_ref()) {
            self.alarm = Some(first);
        }
        let signs = if self.trainer_box.on_bench() {
            said.signs
        } else {
            self.notice.over(now, said.signs, self.trainer_box.first_fault())
        };
        let lamp = Lamp::new(&mut self.lamp, Level::High).set(signs.lamp);
        let beeper = Beeper::new(&mut self.beeper).set(signs.beeper);
        self.failures = self.failures.saturating_add(u32::from(lamp.is_err()) + u32::from(beeper.is_err()));
        let mut entries = Vec::new();
        while !entries.is_full()
            && let Some(entry) = self.trainer_box.next_entry()
        {
            let _ = entries.push(entry); // there is room
        }
        let fed = self.outlet.is_alive(now);
        let student_train = self.trainer_box.trains().1.copied();
        let taken = self.trainer_box.row().map(|row| Taken { begins: row.begins, check: row.check });
        Stepped {
            said,
            taken,
            student_train,
            lamp: self.lamp.0,
            beeper: self.beeper.0,
            fed,
            failures: self.failures,
            entries,
        }
    }

    /// Reads switch and button as they are wired: the switch connects to ground when it is on, the button disconnects
    /// from ground when it is pressed.
    fn read(&mut self, hand: Hand) -> Desk {
        let pin = |high, fails| Input(if fails { Err(Broken) } else { Ok(high) });
        let switch = LessonSwitch::new(pin(!hand.lesson_switch, hand.switch_fails), Level::Low).read();
        let button = InstructorNow::new(pin(hand.instructor_now, hand.button_fails), Level::High).read();
        let failed = u32::from(switch.failed.is_some()) + u32::from(button.failed.is_some());
        self.failures = self.failures.saturating_add(failed);
        Desk { lesson_switch: switch.on, instructor_now: button.on }
    }
}
