//! Rows in few bits: what a row has beyond the row before.

use handback::Instant;
use trainer_box::Desk;

use super::bits::Bits;
use super::model::{Errors, Stick};

/// The check value is kept in every row whose number divided by this leaves this less one.
const CHECKED: u32 = 64;

/// The step of the box's loop, in microseconds: times between rows are about multiples of it.
const TURN: u32 = 1_000;

/// The largest number of turns between two rows that is not written out.
const TURNS: u32 = 31;

/// A row as it is packed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Packed<const N: usize> {
    pub(super) at: Instant,
    pub(super) desk: Desk,
    /// The widths of the axes' channels in microseconds, of the instructor and of the student; an axis without a
    /// channel has any width.
    pub(super) sides: [Option<[u16; N]>; 2],
    /// The check value; after reading, only where it was kept.
    pub(super) check: Option<u32>,
}

impl<const N: usize> Packed<N> {
    /// What a reader passes.
    pub(super) const NONE: Self = Self {
        at: Instant::from_ticks(0),
        desk: Desk { lesson_switch: false, instructor_now: false },
        sides: [None; 2],
        check: None,
    };

    /// Which sides sent a frame: 1 the instructor, 2 the student.
    fn frames(&self) -> usize {
        usize::from(self.sides[0].is_some()) | usize::from(self.sides[1].is_some()) << 1
    }
}

/// The state of writer and reader, which is the same after the same rows.
#[derive(Clone, Debug)]
pub(super) struct Packer<const N: usize> {
    rows: u32,
    last: Instant,
    desk: Desk,
    /// The frames of the last row.
    frames: usize,
    /// For the frames of the last row and of this one: the turns between them when it was last so.
    turns: [[u8; 4]; 4],
    /// The errors of guessed turns, and of times that are no multiples of a turn.
    errors: [Errors; 2],
    sticks: [[Stick; N]; 2],
}

impl<const N: usize> Packer<N> {
    pub(super) const fn new() -> Self {
        Self {
            rows: 0,
            last: Instant::from_ticks(0),
            desk: Desk { lesson_switch: false, instructor_now: false },
            frames: 0,
            turns: [[10; 4]; 4],
            errors: [Errors::new(); 2],
            sticks: [[Stick::new(); N]; 2],
        }
    }

    /// Passes a row. `has` says which axes have a channel, by side. `None` where there is no room or no further row; the
    /// packer must not be used any more then.
    pub(super) fn pass(&mut self, bits: &mut impl Bits, row: &Packed<N>, has: &[[bool; N]; 2]) -> Option<Packed<N>> {
        let (frames, desk) = self.kind(bits, row)?;
        let at = self.time(bits, row.at, frames)?;
        let mut passed = Packed { at, desk, ..Packed::NONE };
        for (side, out) in passed.sides.iter_mut().enumerate() {
            if frames >> side & 1 == 1 {
                let widths = row.sides.get(side).copied().flatten().unwrap_or([0; N]);
                *out = Some(self.frame(bits, side, widths, has)?);
            }
        }
        if self.rows % CHECKED == CHECKED.wrapping_sub(1) {
            passed.check = Some(bits.pass(row.check.unwrap_or_default(), 32)?);
        }
        self.rows = self.rows.wrapping_add(1);
        (self.last, self.desk, self.frames) = (at, desk, frames);
        Some(passed)
    }

    /// Two bits where one side or none sent a frame and the desk did not change; three for both sides, seven for the
    /// rest.
    fn kind(&self, bits: &mut impl Bits, row: &Packed<N>) -> Option<(usize, Desk)> {
        let (frames, same) = (row.frames(), row.desk == self.desk);
        let one = same && (frames == 1 || frames == 2);
        if bits.pass(u32::from(!one), 1)? == 0 {
            return Some((if bits.pass(u32::from(frames == 2), 1)? == 0 { 1 } else { 2 }, self.desk));
        }
        if bits.pass(u32::from(!(same && frames == 0)), 1)? == 0 {
            return Some((0, self.desk));
        }
        if bits.pass(u32::from(!same), 1)? == 0 {
            return Some((3, self.desk));
        }
        let frames = bits.pass(u32::try_from(frames).ok()?, 2)?;
        let lesson_switch = bits.pass(u32::from(row.desk.lesson_switch), 1)? == 1;
        let instructor_now = bits.pass(u32::from(row.desk.instructor_now), 1)? == 1;
        Some((usize::try_from(frames).ok()?, Desk { lesson_switch, instructor_now }))
    }

    /// The time since the row before: whole turns, guessed, and what is left of a turn.
    fn time(&mut self, bits: &mut impl Bits, at: Instant, frames: usize) -> Option<Instant> {
        let dt = at.as_ticks().wrapping_sub(self.last.as_ticks());
        let turns = (dt.saturating_add(TURN / 2) / TURN).min(TURNS);
        let known = self.turns.get_mut(self.frames)?.get_mut(frames)?;
        let [of_turns, of_rest] = &mut self.errors;
        let turns = of_turns.pass(bits, turns.cast_signed(), (*known).into(), 5)?.cast_unsigned();
        if turns >= TURNS {
            let dt = bits.pass(dt, 32)?;
            return Some(Instant::from_ticks(self.last.as_ticks().wrapping_add(dt)));
        }
        *known = u8::try_from(turns).ok()?;
        let whole = turns.wrapping_mul(TURN);
        let rest = of_rest.pass(bits, dt.wrapping_sub(whole).cast_signed(), 0, 32)?;
        Some(Instant::from_ticks(self.last.as_ticks().wrapping_add(whole).wrapping_add(rest.cast_unsigned())))
    }

    fn frame(&mut self, bits: &mut impl Bits, side: usize, widths: [u16; N], has: &[[bool; N]; 2]) -> Option<[u16; N]> {
        let mut passed = [0; N];
        let sticks = self.sticks.get_mut(side)?.iter_mut().zip(has.get(side)?);
        for (((stick, &has), width), out) in sticks.zip(widths).zip(&mut passed) {
            if has {
                *out = stick.pass(bits, width)?;
            }
        }
        Some(passed)
    }
}
