//! The kinds of faults, and their counts.

use std::fmt;

/// A kind of fault.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fault {
    InstructorCableOut,
    StudentCableOut,
    HalfFrame,
    LostEdges,
    DoubledEdge,
    Glitch,
    MovedEdge,
    WrongCount,
    WrongPolarity,
    OutOfRange,
    Overrun,
    SwitchBounce,
    SwitchPinFails,
    ButtonPinFails,
    LoopIsLate,
    LoopHangs,
    ResetByItself,
    ResetByButton,
    ResetByWatchdog,
}

impl Fault {
    pub const ALL: [Self; 19] = [
        Self::InstructorCableOut,
        Self::StudentCableOut,
        Self::HalfFrame,
        Self::LostEdges,
        Self::DoubledEdge,
        Self::Glitch,
        Self::MovedEdge,
        Self::WrongCount,
        Self::WrongPolarity,
        Self::OutOfRange,
        Self::Overrun,
        Self::SwitchBounce,
        Self::SwitchPinFails,
        Self::ButtonPinFails,
        Self::LoopIsLate,
        Self::LoopHangs,
        Self::ResetByItself,
        Self::ResetByButton,
        Self::ResetByWatchdog,
    ];

    const fn words(self) -> &'static str {
        match self {
            Self::InstructorCableOut => "instructor's cable out, 10 ms to 1.6 s",
            Self::StudentCableOut => "student's cable out, 10 ms to 0.6 s",
            Self::HalfFrame => "half a frame",
            Self::LostEdges => "1 to 3 edges lost",
            Self::DoubledEdge => "an edge told twice",
            Self::Glitch => "a glitch of 1 to 190 us",
            Self::MovedEdge => "an edge moved by up to 40 us",
            Self::WrongCount => "a channel too few or too many",
            Self::WrongPolarity => "line upside down, 2 to 12 frames",
            Self::OutOfRange => "a channel out of range, 1 to 9 frames",
            Self::Overrun => "edges lost and told of",
            Self::SwitchBounce => "the lesson switch bounces",
            Self::SwitchPinFails => "the switch's pin cannot be read",
            Self::ButtonPinFails => "the button's pin cannot be read",
            Self::LoopIsLate => "loop and timer are late, 30 to 400 ms",
            Self::LoopHangs => "the loop hangs, the timer goes on",
            Self::ResetByItself => "reset: the processor's own request",
            Self::ResetByButton => "reset: the board's button",
            Self::ResetByWatchdog => "reset: a hang, ended by the watchdog",
        }
    }
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.words())
    }
}

/// The count of each kind, and the last few faults for a message.
#[derive(Debug, Default)]
pub struct Faults {
    counts: [u32; Fault::ALL.len()],
    last: Vec<(u64, Fault)>,
}

impl Faults {
    pub fn note(&mut self, at: u64, fault: Fault) {
        self.counts[fault as usize] += 1;
        self.last.push((at, fault));
        if self.last.len() > 4 {
            self.last.remove(0);
        }
    }

    pub fn of(&self, fault: Fault) -> u32 {
        self.counts[fault as usize]
    }

    pub fn all(&self) -> u32 {
        self.counts.iter().sum()
    }

    /// The last few faults, each with the time since it began.
    pub fn lately(&self, now: u64) -> String {
        let ago = |&(at, fault): &(u64, Fault)| format!("{fault} ({} ms ago)", now.saturating_sub(at) / 1_000);
        self.last.iter().rev().map(ago).collect::<Vec<_>>().join("; ")
    }
}
