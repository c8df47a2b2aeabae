//! What a step tells.

/// The lesson after a step. Points are hundredths of full travel; lists have one entry for each axis, axis 0 first.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct State {
    /// Seconds since the lesson began.
    pub time_s: f64,
    /// Who flies: `nobody`, `instructor` or `student` (any axis).
    pub flies: &'static str,
    /// The axes that the student flies.
    pub shares: Vec<bool>,
    /// The axes that the instructor holds.
    pub held: Vec<bool>,
    /// What each stick keeps from the student: `craft`, `axis` (only its own), or nothing, because it is not held or
    /// because the instructor would fly without it too.
    pub holds: Vec<&'static str>,
    /// The axes that keep their last output until the instructor's stick picks them up.
    pub pickup: Vec<bool>,
    /// What the student's axes wait for first.
    pub waits: Option<Waits>,
    /// The axes that keep their last output, as a sentence, and the time left until they go to the instructor's sticks.
    pub picks_up: Option<Waits>,
    /// What the failsafe puts out, in words and points, while nobody flies.
    pub failsafe: Option<String>,
    /// How far the output will move when control goes back, as a sentence, if the sticks are far apart.
    pub moves: Option<String>,
    /// How far the output of an axis that is to be picked up would jump at *instructor now*, as a sentence, if it is far.
    pub now_jumps: Option<String>,
    /// For how long the values that came from the student have been the same, in seconds.
    pub student_still_s: f64,
    /// After how long the engine takes that for a frozen link, in seconds; `None`: never.
    pub frozen_after_s: Option<f64>,
    /// Whether the lesson switch would count as seen off first (S2), if it were on and the instructor's signal came in the
    /// next step.
    pub seen_off_first: bool,
    /// Whether a latch keeps the craft because the instructor's button asked for it.
    pub kept_by_button: bool,
    /// From whom no good frame came in this step.
    pub no_signal: NoSignal,
    /// Where every stick is.
    pub sticks: Sticks,
    /// Whether the beeper sounds now.
    pub sound: bool,
    /// Whether the lamp of the cues is lit now.
    pub lamp: bool,
    /// The changes of who flies in this step; at most one.
    pub events: Vec<Change>,
    /// What else happened in this step.
    pub notes: Vec<Note>,
    /// The plain threshold, which is given the same inputs.
    pub plain: Plain,
    /// How often the engine changed who flies since the lesson began.
    pub changes: u64,
    /// The largest jump of the engine's output in the step of its last change, in points.
    pub jump: f64,
    /// The same of the plain threshold.
    pub plain_jump: f64,
    /// Whether the float reference decided and put out the same in every step since the lesson began.
    pub agrees: bool,
    /// The craft, before it flies this step's output.
    pub craft: CraftState,
    /// The student's mistake.
    pub mistake: Option<Mistake>,
    /// The takeover in this step, if a stick took the craft from a student who was making a mistake.
    pub taken: Option<Taken>,
}

/// What the student waits for.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Waits {
    /// The word of the table of decisions, such as `dwell`.
    #[cfg_attr(feature = "serde", serde(rename = "for"))]
    pub for_what: &'static str,
    /// A sentence.
    pub words: String,
    /// The time left, where it is known; without the instructor's signal, until nobody flies.
    pub left_s: Option<f64>,
    /// The axis, where one is waited for.
    pub axis: Option<u8>,
    /// Where the stick of this axis stays, in points, if no hand holds it there.
    pub stays_at: Option<f64>,
}

/// From whom no good frame came.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct NoSignal {
    /// From the instructor.
    pub instructor: bool,
    /// From the student.
    pub student: bool,
}

/// Sticks, outputs and thresholds, in points.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Sticks {
    /// The instructor's last frame, noise included.
    pub instructor: Vec<f64>,
    /// The student's last frame.
    pub student: Vec<f64>,
    /// What goes to the craft.
    pub output: Vec<f64>,
    /// Where each stick of the instructor rests; `None` while that is not known.
    pub rest: Vec<Option<f64>>,
    /// How far from its rest a stick takes the craft.
    pub engage: Vec<f64>,
    /// How near to its rest it is free again.
    pub release: Vec<f64>,
}

/// A change of who flies.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Change {
    /// Seconds since the lesson began.
    pub time_s: f64,
    /// Who flew.
    pub from: &'static str,
    /// Who flies.
    pub to: &'static str,
    /// Who flies more than before; where the instructor takes some axes, it is the instructor.
    pub gains: &'static str,
    /// The word of the table of decisions, such as `stick`; `setting` where a changed setting began a new engine.
    pub cause: &'static str,
    /// A sentence.
    pub words: String,
    /// The axis of a stick.
    pub axis: Option<u8>,
}

/// What happened without a change of who flies.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Note {
    /// Seconds since the lesson began.
    pub time_s: f64,
    /// A sentence.
    pub words: String,
}

/// What the plain threshold makes of the same inputs.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Plain {
    /// Who would fly.
    pub flies: &'static str,
    /// The axes that the student would fly.
    pub shares: Vec<bool>,
    /// What would go to the craft, in points.
    pub output: Vec<f64>,
    /// How often it changed who flies since the lesson began.
    pub changes: u64,
}

/// The craft in the air. Angles in degrees: right side down, nose up and nose right are positive.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct CraftState {
    /// Metres to the east of where it began.
    pub x: f64,
    /// Metres to the north of where it began.
    pub y: f64,
    /// Metres above ground.
    pub height: f64,
    /// Degrees.
    pub bank: f64,
    /// Degrees; of an aeroplane the angle of its path.
    pub pitch: f64,
    /// Degrees from north, 0 to 360.
    pub heading: f64,
    /// Metres per second: of an aeroplane along its path, of a helicopter over ground.
    pub speed: f64,
    /// Metres per second, down positive.
    pub sink: f64,
    /// Whether it stands on the ground.
    pub on_ground: bool,
    /// Whether it hit the ground too hard; it flies no more.
    pub crashed: bool,
}

/// A mistake of the student, while the student flies.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Mistake {
    /// When the hands began it. Where no hand of a simulated student did: when the limit was passed.
    pub began_s: f64,
    /// When a limit of the instructor was passed, if it was.
    pub past_limit_s: Option<f64>,
    /// The limit; before it is passed, what the hands do.
    pub words: &'static str,
}

/// How fast a mistake was answered with a stick.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Taken {
    /// From the first frame of the mistake to the takeover.
    pub after_mistake_ms: f64,
    /// From the first frame with the stick beyond its threshold to the takeover: what `confirm` takes.
    pub from_stick_ms: f64,
}
