//! What people are asked for, what they did wrong, and why a sequence ends without a plan.

use handback::AxisSet;
use handback::calibrate::{Prompt, Refusal};
use trainer_box::{PlanError, Side};

/// What people are asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Ask {
    /// Both transmitters on: their trains are looked for.
    Trains,
    /// All sticks of this transmitter in the middle, and still.
    Middle {
        /// Whose transmitter.
        side: Side,
    },
    /// This stick alone to the right or up, and held there.
    Alone {
        /// Whose transmitter.
        side: Side,
        /// The axis of the stick.
        axis: u8,
    },
    /// This stick back to the middle: its channel is known.
    Back {
        /// Whose transmitter.
        side: Side,
        /// The axis of the stick.
        axis: u8,
        /// Its channel, counted from 0.
        channel: u8,
    },
    /// All sticks of this transmitter together.
    All {
        /// Whose transmitter.
        side: Side,
        /// The movement.
        prompt: Prompt,
    },
    /// Nothing: the new plan is there.
    Done,
    /// Nothing: there is no plan.
    Ended(End),
}

/// A wrong movement. The same is asked again.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Wrong {
    /// Two channels moved while one stick was asked for.
    Together {
        /// The channels, counted from 0.
        channels: [u8; 2],
    },
    /// The stick of another axis moved, whose channel is known.
    Taken {
        /// The channel, counted from 0.
        channel: u8,
        /// The axis that has it.
        by: u8,
    },
    /// A stick is held at the wrong end.
    WrongWay {
        /// The axis.
        axis: u8,
    },
    /// A stick was touched while hands were to be off: the rest begins again.
    Touched,
}

/// Why there is no plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum End {
    /// It was ended from outside.
    Stopped,
    /// A train stopped for a second.
    LinkLost {
        /// Whose train.
        side: Side,
    },
    /// A train has another level or number of channels than before.
    OtherTrain {
        /// Whose train.
        side: Side,
    },
    /// The sticks were not in the middle and still for two minutes.
    NotStill {
        /// Whose sticks.
        side: Side,
    },
    /// No channel moved for two minutes.
    NotMoved {
        /// Whose stick.
        side: Side,
        /// The axis that was asked for.
        axis: u8,
    },
    /// The stick did not come back to the middle for two minutes.
    NotBack {
        /// Whose stick.
        side: Side,
        /// Its channel.
        channel: u8,
    },
    /// A movement of all sticks was not done for two minutes.
    NotDone {
        /// Whose sticks.
        side: Side,
        /// The movement.
        prompt: Prompt,
        /// The axes that have not done it.
        missing: AxisSet,
    },
    /// The instructor's sticks give no thresholds.
    Refused(Refusal),
    /// The new plan does not pass its check.
    Plan(PlanError),
}

/// The result of a frame.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[must_use = "people must be told"]
pub struct Step {
    /// What people are asked for now.
    pub ask: Ask,
    /// Whether this is asked for the first time, or again after a wrong movement.
    pub begun: bool,
    /// What people did wrong in this frame.
    pub wrong: Option<Wrong>,
}
