//! The lesson after a step, as a page gets it. The fields are those of the namesake in [`lesson::live`], where they are
//! explained.

use lesson::live;
use serde::Serialize;

/// The lesson after a step.
#[derive(Debug, Serialize)]
pub struct State {
    time_s: f64,
    flies: &'static str,
    shares: Vec<bool>,
    held: Vec<bool>,
    pickup: Vec<bool>,
    waits: Option<Waits>,
    sticks: Sticks,
    sound: bool,
    lamp: bool,
    events: Vec<Change>,
    plain: Plain,
    changes: u64,
    jump: f64,
    plain_jump: f64,
    agrees: bool,
    craft: CraftState,
    mistake: Option<Mistake>,
    taken: Option<Taken>,
}

/// What the student waits for.
#[derive(Debug, Serialize)]
pub struct Waits {
    #[serde(rename = "for")]
    for_what: &'static str,
    words: String,
    left_s: Option<f64>,
    axis: Option<u8>,
}

/// Sticks, outputs and thresholds, in points.
#[derive(Debug, Serialize)]
pub struct Sticks {
    instructor: Vec<f64>,
    student: Vec<f64>,
    output: Vec<f64>,
    rest: Vec<Option<f64>>,
    engage: Vec<f64>,
    release: Vec<f64>,
}

/// A change of who flies.
#[derive(Debug, Serialize)]
pub struct Change {
    time_s: f64,
    from: &'static str,
    to: &'static str,
    cause: &'static str,
    words: String,
    axis: Option<u8>,
}

/// What the plain threshold makes of the same inputs.
#[derive(Debug, Serialize)]
pub struct Plain {
    flies: &'static str,
    output: Vec<f64>,
    changes: u64,
}

/// The craft in the air, in metres and degrees.
#[derive(Debug, Serialize)]
pub struct CraftState {
    x: f64,
    y: f64,
    height: f64,
    bank: f64,
    pitch: f64,
    heading: f64,
    speed: f64,
    sink: f64,
    on_ground: bool,
    crashed: bool,
}

/// A mistake of the student.
#[derive(Debug, Serialize)]
pub struct Mistake {
    began_s: f64,
    past_limit_s: Option<f64>,
    words: &'static str,
}

/// How fast a mistake was answered with a stick.
#[derive(Debug, Serialize)]
pub struct Taken {
    after_mistake_ms: f64,
    after_limit_ms: Option<f64>,
    from_stick_ms: f64,
}

impl From<live::State> for State {
    fn from(it: live::State) -> Self {
        let live::State {
            time_s,
            flies,
            shares,
            held,
            pickup,
            waits,
            sticks,
            sound,
            lamp,
            events,
            plain,
            changes,
            jump,
            plain_jump,
            agrees,
            craft,
            mistake,
            taken,
        } = it;
        let waits = waits.map(Waits::from);
        let sticks = sticks.into();
        let events = events.into_iter().map(Change::from).collect();
        let plain = plain.into();
        let craft = craft.into();
        let mistake = mistake.map(Mistake::from);
        let taken = taken.map(Taken::from);
        Self {
            time_s,
            flies,
            shares,
            held,
            pickup,
            waits,
            sticks,
            sound,
            lamp,
            events,
            plain,
            changes,
            jump,
            plain_jump,
            agrees,
            craft,
            mistake,
            taken,
        }
    }
}

impl From<live::Waits> for Waits {
    fn from(it: live::Waits) -> Self {
        let live::Waits { for_what, words, left_s, axis } = it;
        Self { for_what, words, left_s, axis }
    }
}

impl From<live::Sticks> for Sticks {
    fn from(it: live::Sticks) -> Self {
        let live::Sticks { instructor, student, output, rest, engage, release } = it;
        Self { instructor, student, output, rest, engage, release }
    }
}

impl From<live::Change> for Change {
    fn from(it: live::Change) -> Self {
        let live::Change { time_s, from, to, cause, words, axis } = it;
        Self { time_s, from, to, cause, words, axis }
    }
}

impl From<live::Plain> for Plain {
    fn from(it: live::Plain) -> Self {
        let live::Plain { flies, output, changes } = it;
        Self { flies, output, changes }
    }
}

impl From<live::CraftState> for CraftState {
    fn from(it: live::CraftState) -> Self {
        let live::CraftState { x, y, height, bank, pitch, heading, speed, sink, on_ground, crashed } = it;
        Self { x, y, height, bank, pitch, heading, speed, sink, on_ground, crashed }
    }
}

impl From<live::Mistake> for Mistake {
    fn from(it: live::Mistake) -> Self {
        let live::Mistake { began_s, past_limit_s, words } = it;
        Self { began_s, past_limit_s, words }
    }
}

impl From<live::Taken> for Taken {
    fn from(it: live::Taken) -> Self {
        let live::Taken { after_mistake_ms, after_limit_ms, from_stick_ms } = it;
        Self { after_mistake_ms, after_limit_ms, from_stick_ms }
    }
}
