//! A recorded lesson, flown under four policies.
//!
//! `recorded.bin` holds 29 s of a simulated lesson at 50 frames a second, packed by the native runner (see the README).
//! In it, the switch is turned off and on, a stick takes over, a link is lost, and the craft is handed back after each.
//!
//! A row begins with a byte of flags. For each side that sent a frame, a byte follows whose bit `a` says that axis `a`
//! changed; then the change of each of these axes, in microseconds of pulse width, as one signed byte. -128 says that
//! the new value itself follows in two bytes, least significant first.

use handback::{AxisRule, AxisSet, CheckedPolicy, Deflection, Duration, Engine, Frame, Inputs, Latches, Policy, Scope};

use crate::flight::{Flight, Take};
use crate::log::Log;

/// The number of policies that the lesson is flown under: flights 1 to 4.
pub const POLICIES: u32 = 4;

/// Time between two rows, in microseconds.
pub const PACE: u32 = 20_000;

/// Flags of a row: an instructor's frame came, a student's frame came, lesson switch on, *instructor now*.
pub const FLAGS: [u8; 4] = [1, 2, 4, 8];

/// The change that marks that the value itself follows.
pub const ESCAPE: i8 = i8::MIN;

/// The lesson as it was packed.
pub const LESSON: &[u8] = include_bytes!("recorded.bin");

/// The sticks of one side: aileron, elevator, throttle, rudder, in microseconds of pulse width from 1500.
pub type Sticks = [i16; 4];

/// One row of the lesson.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Row {
    /// The instructor's sticks, if a frame came.
    pub instructor: Option<Sticks>,
    /// The student's sticks, if a frame came.
    pub student: Option<Sticks>,
    /// Whether the lesson switch is seen on.
    pub switch: bool,
    /// Whether the instructor asks for the craft.
    pub now: bool,
}

/// Unpacks a lesson, row by row.
#[derive(Clone, Debug)]
pub struct Rows<'a> {
    bytes: &'a [u8],
    instructor: Sticks,
    student: Sticks,
}

/// The rows of a packed lesson. A row that is not complete is left out.
pub fn rows(packed: &[u8]) -> Rows<'_> {
    Rows { bytes: packed, instructor: [0; 4], student: [0; 4] }
}

impl Iterator for Rows<'_> {
    type Item = Row;

    fn next(&mut self) -> Option<Row> {
        let flags = byte(&mut self.bytes)?;
        let [instructor, student, switch, now] = FLAGS.map(|flag| flags & flag != 0);
        if instructor {
            change(&mut self.bytes, &mut self.instructor)?;
        }
        if student {
            change(&mut self.bytes, &mut self.student)?;
        }
        let (instructor, student) = (instructor.then_some(self.instructor), student.then_some(self.student));
        Some(Row { instructor, student, switch, now })
    }
}

fn byte(bytes: &mut &[u8]) -> Option<u8> {
    let (first, rest) = bytes.split_first()?;
    *bytes = rest;
    Some(*first)
}

/// Updates the sticks of one side.
fn change(bytes: &mut &[u8], sticks: &mut Sticks) -> Option<()> {
    let changed = byte(bytes)?;
    for (axis, stick) in sticks.iter_mut().enumerate() {
        if changed >> axis & 1 == 0 {
            continue;
        }
        *stick = match byte(bytes)?.cast_signed() {
            ESCAPE => i16::from_le_bytes([byte(bytes)?, byte(bytes)?]),
            change => stick.saturating_add(change.into()),
        };
    }
    Some(())
}

/// Flies the lesson under one of the policies, from 1.
pub(crate) fn fly(number: u32, log: &mut Log<'_>) {
    let Ok(policy) = policy(number).check() else { return };
    let mut engine = Engine::new(&policy);
    fly_by(&policy, log, &mut |now, inputs| engine.step(now, inputs));
}

/// Flies the lesson under this policy.
pub fn fly_by(policy: &CheckedPolicy<4>, log: &mut Log<'_>, take: &mut Take<'_, 4>) {
    let mut flight = Flight::new(policy, 0, take);
    for (n, row) in rows(LESSON).enumerate() {
        let (instructor, student) = (row.instructor.map(frame), row.student.map(frame));
        let inputs = Inputs {
            instructor: instructor.as_ref(),
            student: student.as_ref(),
            lesson_switch: row.switch,
            instructor_now: row.now,
        };
        flight.step(if n == 0 { 0 } else { PACE }, inputs, log);
    }
}

/// A microsecond is a fifth of a point.
fn frame(sticks: Sticks) -> Frame<4> {
    Frame::new(sticks.map(|us| Deflection::from_centipoints(20 * i32::from(us))))
}

/// Policy 1 is the one that the lesson was recorded with. 2 is axis by axis, 3 slow and gated, 4 latching.
pub fn policy(number: u32) -> Policy<4> {
    let sprung = |rest| {
        let mut rule = AxisRule::sprung();
        rule.rest = handback::Rest::At(Deflection::from_centipoints(rest));
        rule
    };
    let throttle = AxisRule::unsprung(Deflection::from_points(-100));
    let mut policy = Policy::new([sprung(170), sprung(45), throttle, sprung(-117)]);
    match number {
        1 => {}
        2 => policy.scope = Scope::Axis,
        3 => {
            policy.dwell = Duration::from_millis(1_000);
            policy.fade = Duration::from_millis(700);
            policy.axes[0].confirm = 2;
            policy.axes[1].window = Some(Deflection::from_points(5));
        }
        _ => {
            policy.shared = AxisSet::of(&[0, 1, 3]);
            policy.latches =
                Latches { lasted: Some(Duration::from_millis(500)), beyond: Some(Deflection::from_points(20)) };
        }
    }
    policy
}
