//! Who may fly, judged from what was sent and pressed, without the engine.
//!
//! The witness holds what the box says that it received to what was on the wires: frames, sticks, switch and button.
//! The contract's [`Monitor`] then judges what the box made of it. Of a disturbed frame the witness cannot know whether
//! the box could read it; then either is right. After three undisturbed frames in a row every frame must be received.
//!
//! Where the box begins a new recording, with a new engine, the witness holds it to that nobody can notice.

use handback::{CheckedChannels, Deflection, Frame, Inputs, Micros, Outcome, Pilot, Reception};
use handback_monitor::Monitor;
use trainer_box_rig::plan::{AS_WRITTEN, AXES, MOST_CHANNELS};
use trainer_box_rig::{Hand, Stepped, Taken};

use trainer_box_bench::lesson::instant;
use trainer_box_bench::line::Heard;

use crate::received::{Recent, Unread, us};

/// A frame that is out of range, whatever its sticks were.
const BAD: Frame<AXES> = Frame::new([Deflection::OUT_OF_RANGE; AXES]);

#[derive(Debug)]
pub(crate) struct Witness {
    instructor: Wire,
    student: Wire,
    students_channels: CheckedChannels<Micros, AXES, MOST_CHANNELS>,
    monitor: Monitor<AXES>,
    /// The outcome of the engine's last step.
    before: Option<Outcome<AXES>>,
}

/// What came over one transmitter's wire.
#[derive(Debug, Default)]
struct Wire {
    unread: Unread,
    recent: Recent,
}

/// What a step is judged by.
#[derive(Debug)]
pub(crate) struct Evidence<'a> {
    pub(crate) now: u64,
    pub(crate) hand: Hand,
    pub(crate) instructor: &'a [Heard],
    pub(crate) student: &'a [Heard],
}

impl Witness {
    /// A box that has just started (S1, S2): nothing from before counts.
    pub(crate) fn new() -> Self {
        Self {
            instructor: Wire::default(),
            student: Wire::default(),
            students_channels: AS_WRITTEN.student.check().expect("the plan was checked"),
            monitor: monitor(),
            before: None,
        }
    }

    /// What the instructor's and the student's last frames may be.
    pub(crate) const fn received(&self) -> [&Recent; 2] {
        [&self.instructor.recent, &self.student.recent]
    }

    /// Judges a step; what is wrong, in words.
    pub(crate) fn judge(&mut self, evidence: &Evidence<'_>, step: &Stepped) -> Result<(), String> {
        let (outcome, hand) = (&step.said.outcome, evidence.hand);
        // The instructor's sticks are the first channels; the student's train is as it was read.
        let sticks = outcome.stick.axes().map(|x| 1_500.0 + f64::from(x.to_bits()) * 500.0 / 16_384.0);
        let instructor = self.instructor.judge(evidence.now, evidence.instructor, outcome.instructor, &sticks);
        instructor.map_err(|why| format!("instructor: {why}"))?;
        let train = step.student_train.map(|train| train.map(|pulse| f64::from(pulse.to_bits()) / 16.0));
        let student = self.student.judge(evidence.now, evidence.student, outcome.student, train.iter().flatten());
        student.map_err(|why| format!("student: {why}"))?;
        if step.said.signs.student_flies == outcome.pilot.student().is_empty() {
            return Err("the lamp that says who flies is wrong".into());
        }
        let Some(taken) = step.taken else { return self.stands(outcome) };
        let student = step.student_train.map_or(BAD, |train| self.students_channels.frame(&train));
        let inputs = Inputs {
            instructor: frame(outcome.instructor, &outcome.stick),
            student: frame(outcome.student, &student),
            lesson_switch: hand.lesson_switch && !hand.switch_fails,
            instructor_now: hand.instructor_now || hand.button_fails,
        };
        self.begins(taken, &inputs, outcome)?;
        self.before = Some(*outcome);
        self.monitor.step(instant(evidence.now), &inputs, outcome).map_err(|broken| broken.to_string())
    }

    /// Judges a step in which the engine took none: its last outcome stands, and nothing is told twice.
    fn stands(&self, outcome: &Outcome<AXES>) -> Result<(), String> {
        let Some(before) = &self.before else { return Err("the engine took no first step".into()) };
        let stands = Outcome { event: None, instructor: Reception::Nothing, student: Reception::Nothing, ..*before };
        let stands = Outcome { late_step: false, ..stands };
        if stands == *outcome { Ok(()) } else { Err("the outcome changed, though the engine took no step".into()) }
    }

    /// Judges a new recording: the instructor flies before and after, with the switch off, and the sticks go out as they
    /// are.
    fn begins(&mut self, taken: Taken, inputs: &Inputs<'_, AXES>, outcome: &Outcome<AXES>) -> Result<(), String> {
        let (true, Some(before)) = (taken.begins, &self.before) else { return Ok(()) };
        let alone = before.pilot == Pilot::Instructor && outcome.pilot == Pilot::Instructor;
        if !alone || inputs.lesson_switch || inputs.instructor != Some(&outcome.output) || !before.pickup.is_empty() {
            return Err("a recording begins where people notice".into());
        }
        self.monitor = monitor();
        Ok(())
    }
}

fn monitor() -> Monitor<AXES> {
    Monitor::new(&AS_WRITTEN.policy.check().expect("the plan was checked"))
}

impl Wire {
    /// Judges what the box says that it received, and the widths of its sticks in microseconds.
    fn judge<'a>(
        &mut self,
        now: u64,
        heard: &[Heard],
        is: Reception,
        sticks: impl IntoIterator<Item = &'a f64>,
    ) -> Result<(), String> {
        self.unread.judge(now, heard, is)?;
        self.recent.hear(now, heard);
        if is != Reception::Good {
            return Ok(());
        }
        for (channel, stick) in sticks.into_iter().take(AXES).enumerate() {
            if !self.recent.can_be(*stick, |widths| us(widths[channel])) {
                return Err(format!("channel {channel} was read as {stick} us, which is none of {:?}", self.recent));
            }
        }
        Ok(())
    }
}

/// The frame that the engine was given, by what became of it.
fn frame(reception: Reception, good: &Frame<AXES>) -> Option<&Frame<AXES>> {
    match reception {
        Reception::Nothing => None,
        Reception::Good => Some(good),
        Reception::Bad => Some(&BAD),
    }
}
