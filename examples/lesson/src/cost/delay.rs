//! How long it takes until the craft is the instructor's, part by part.

/// Everything between what the instructor sees and the servo that moves. Times in seconds, none below 0.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Delay {
    /// From what the instructor sees to the stick that passes its threshold.
    pub(crate) reaction_s: f64,
    /// From one frame of the instructor's to the next.
    pub(crate) frame_s: f64,
    /// Frames in a row beyond the threshold, 1 or more (T1).
    pub(crate) confirm: u8,
    /// Whatever takes the same time always: radio links, the box, the servo.
    pub(crate) link_s: f64,
    /// From one frame of the train that goes out to the next; 0 where none is waited for.
    pub(crate) output_frame_s: f64,
}

/// A time that depends on where in a frame the stick moves.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Wait {
    pub(crate) mean_s: f64,
    pub(crate) worst_s: f64,
}

/// What the electronics wait for, in the order in which it happens.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Part {
    /// The stick has moved just after a frame was taken, at worst.
    NextFrame,
    /// Each frame above the first that `confirm` asks for.
    Confirm,
    Link,
    /// The output was decided just after a frame went out, at worst.
    OutputFrame,
}

impl Part {
    pub(crate) const ALL: [Self; 4] = [Self::NextFrame, Self::Confirm, Self::Link, Self::OutputFrame];
}

impl Wait {
    /// The same always.
    fn fixed(s: f64) -> Self {
        Self { mean_s: s, worst_s: s }
    }

    /// For the next of what comes every `s`.
    fn for_next(s: f64) -> Self {
        Self { mean_s: s / 2.0, worst_s: s }
    }

    fn and(self, other: Self) -> Self {
        Self { mean_s: self.mean_s + other.mean_s, worst_s: self.worst_s + other.worst_s }
    }
}

impl Delay {
    pub(crate) fn part(&self, part: Part) -> Wait {
        match part {
            Part::NextFrame => Wait::for_next(self.frame_s),
            Part::Confirm => Wait::fixed(f64::from(self.confirm.saturating_sub(1)) * self.frame_s),
            Part::Link => Wait::fixed(self.link_s),
            Part::OutputFrame => Wait::for_next(self.output_frame_s),
        }
    }

    /// All that is not human.
    pub(crate) fn electronics(&self) -> Wait {
        Part::ALL.into_iter().map(|part| self.part(part)).fold(Wait::default(), Wait::and)
    }

    pub(crate) fn whole(&self) -> Wait {
        Wait::fixed(self.reaction_s).and(self.electronics())
    }
}

/// Whose reaction it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "command-line", derive(clap::ValueEnum))]
pub(crate) enum Reaction {
    /// 400 ms: an instructor who watches, thumbs on the sticks (common practice, no source)
    Watching,
    /// 1000 ms: as 14 CFR 27.143(e) and 29.143(e) have a pilot act after a failure of the engine in cruise, or the normal
    /// pilot reaction, if longer
    Rotorcraft,
    /// 2500 ms: as AASHTO's design of roads has a driver brake
    Road,
}

impl Reaction {
    pub(crate) const ALL: [Self; 3] = [Self::Watching, Self::Rotorcraft, Self::Road];

    pub(crate) fn seconds(self) -> f64 {
        match self {
            // The middle of 0.3 to 0.5 s, which the simulated instructor takes: common practice, no source.
            Self::Watching => 0.4,
            // 14 CFR 27.143(e), 29.143(e) (amendments 27-44, 29-51: numbers from memory): corrective action no earlier than
            // 1 s, or normal pilot reaction, if longer.
            Self::Rotorcraft => 1.0,
            // AASHTO, A Policy on Geometric Design of Highways and Streets (2018, from memory): brake reaction.
            Self::Road => 2.5,
        }
    }

    /// Whose reaction it is, for somebody who knows neither rule.
    pub(crate) fn plain(self) -> &'static str {
        match self {
            Self::Watching => "an instructor who watches, thumbs on the sticks",
            Self::Rotorcraft => {
                "a helicopter's pilot after an engine failure in cruise, the least that the rules allow for"
            }
            Self::Road => "a car's driver before braking, the time that roads are built for",
        }
    }

    /// Where the figure comes from.
    pub(crate) fn source(self) -> &'static str {
        match self {
            Self::Watching => "common practice, no source",
            Self::Rotorcraft => "14 CFR 27.143(e) and 29.143(e), from memory",
            Self::Road => "AASHTO, A Policy on Geometric Design of Highways and Streets, from memory",
        }
    }

    /// A few words for a table.
    pub(crate) fn words(self) -> &'static str {
        match self {
            Self::Watching => "watching, thumbs on the sticks",
            Self::Rotorcraft => "rotorcraft, 14 CFR 27.143(e)",
            Self::Road => "road, AASHTO brake reaction",
        }
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn delay() -> impl Strategy<Value = Delay> {
        (0.0..3.0, 0.001..0.2, 1_u8.., 0.0..1.0, 0.0..0.1).prop_map(
            |(reaction_s, frame_s, confirm, link_s, output_frame_s)| Delay {
                reaction_s,
                frame_s,
                confirm,
                link_s,
                output_frame_s,
            },
        )
    }

    #[test]
    fn the_parts_add_up() {
        // Given 20 ms frames in and 22.5 ms out, when three are to confirm, then 0 to 20, 40, 25 and 0 to 22.5 ms
        let delay = Delay { reaction_s: 0.4, frame_s: 0.02, confirm: 3, link_s: 0.025, output_frame_s: 0.0225 };
        let Wait { mean_s, worst_s } = delay.electronics();
        assert!((mean_s - 0.086_25).abs() < 1e-12 && (worst_s - 0.107_5).abs() < 1e-12, "{mean_s} {worst_s}");
        assert!((delay.whole().worst_s - 0.507_5).abs() < 1e-12);
    }

    /// Given a stick that may move at any moment of a frame, when its wait is simulated frame by frame, without the
    /// formula, then mean and worst wait are those of the formula.
    #[test]
    fn the_wait_for_frames_is_that_of_a_simulation() {
        const FRAME_US: u32 = 1000;
        for confirm in 1..=4_u8 {
            let waits = (1..=FRAME_US).map(|moved_us| {
                let beyond = (0..).map(|frame| frame * FRAME_US).filter(|&at_us| at_us >= moved_us);
                f64::from(beyond.take(usize::from(confirm)).last().unwrap() - moved_us) / 1e6
            });
            let waits: Vec<f64> = waits.collect();
            let delay = Delay { reaction_s: 0.0, frame_s: 1e-3, confirm, link_s: 0.0, output_frame_s: 0.0 };
            let Wait { mean_s, worst_s } = delay.whole();
            let within = 1e-6; // the grid of this simulation
            assert!((waits.iter().sum::<f64>() / f64::from(FRAME_US) - mean_s).abs() < within, "{confirm}");
            assert!((waits.iter().copied().fold(0.0, f64::max) - worst_s).abs() < 2.0 * within, "{confirm}");
        }
    }

    proptest! {
        #[test]
        fn more_to_confirm_is_never_less_and_one_more_is_one_frame(delay in delay()) {
            let more = Delay { confirm: delay.confirm.saturating_add(1), ..delay };
            let added = more.whole().worst_s - delay.whole().worst_s;
            let frames = f64::from(more.confirm - delay.confirm);
            prop_assert!((added - frames * delay.frame_s).abs() < 1e-9);
            prop_assert!(more.whole().mean_s >= delay.whole().mean_s);
            prop_assert!(delay.whole().worst_s >= delay.whole().mean_s);
        }
    }
}
