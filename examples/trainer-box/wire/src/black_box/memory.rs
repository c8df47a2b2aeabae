//! The memory of the black box: plain numbers, so that they mean something after a reset too.

use outcome_digest::Crc32;

/// What the memory must begin with: `HBLB`, and the version of the form.
const MARK: u32 = 0x4842_4C01;

/// The memory: two pieces of `LEAD` bytes for the time before a lesson, and `BODY` bytes for the lesson.
///
/// A lesson stays where it is while the time before the next one is recorded into the other lead. Where the processor
/// keeps its RAM over a reset, put the memory where the start-up code does not clear it. Every content is allowed:
/// [`BlackBox::new`](super::BlackBox::new) keeps a lesson only if all its check values are right.
#[derive(Clone, Debug)]
#[repr(C)]
pub struct BlackBoxMemory<const LEAD: usize, const BODY: usize> {
    /// The lesson that is kept, twice: where the processor is reset while one is written, the other one stands.
    pub(super) kept: [Kept; 2],
    pub(super) leads: [[u8; LEAD]; 2],
    pub(super) body: [u8; BODY],
}

/// What is kept of a lesson, and where it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[repr(C)]
pub(super) struct Kept {
    mark: u32,
    /// A number of the plan: the same widths mean other sticks under another plan.
    plan: u32,
    /// Counts the changes; the newer one of two stands.
    newer: u32,
    /// The number of the lead, and the bits in it and in the body.
    pub(super) lead: u32,
    pub(super) lead_bits: u32,
    pub(super) body_bits: u32,
    pub(super) rows: u32,
    /// The check value of the last row.
    pub(super) check: u32,
    /// Whether the lesson was longer than the memory.
    pub(super) full: u32,
    /// The CRC-32 of the bits of both pieces.
    packed: u32,
    /// The CRC-32 of the numbers above.
    sum: u32,
}

/// The check value of the packed bytes, which goes on with every row.
#[derive(Clone, Debug)]
pub(super) struct Sum {
    crc: Crc32,
    /// The bytes that are in it, of both pieces.
    bytes: [u32; 2],
}

impl Sum {
    pub(super) const fn new() -> Self {
        Self { crc: Crc32::new(), bytes: [0; 2] }
    }

    /// Adds what is complete of this piece.
    pub(super) fn add(&mut self, piece: usize, memory: &[u8], bits: u32) {
        let Some(done) = self.bytes.get_mut(piece) else { return };
        let whole = bits >> 3;
        let range = usize::try_from(*done).ok().zip(usize::try_from(whole).ok());
        if let Some(bytes) = range.and_then(|(from, to)| memory.get(from..to)) {
            self.crc.add(bytes);
        }
        *done = whole;
    }

    /// The check value of whole bytes and of the bits after them, in both pieces: each with its number of bits.
    fn value(&self, pieces: [(&[u8], u32); 2]) -> u32 {
        let mut crc = self.crc;
        for (memory, bits) in pieces {
            let last = usize::try_from(bits >> 3).ok().and_then(|place| memory.get(place)).copied().unwrap_or_default();
            // The lowest bits are the written ones.
            crc.add(&[last & !(u8::MAX << (bits & 7))]);
        }
        crc.value()
    }
}

impl Kept {
    /// No lesson.
    pub(super) const fn nothing(plan: u32) -> Self {
        Self {
            mark: MARK,
            plan,
            newer: 0,
            lead: 0,
            lead_bits: 0,
            body_bits: 0,
            rows: 0,
            check: 0,
            full: 0,
            packed: 0,
            sum: 0,
        }
    }

    fn sum(&self) -> u32 {
        let Self { mark, plan, newer, lead, lead_bits, body_bits, rows, check, full, packed, sum: _ } = *self;
        let mut crc = Crc32::new();
        for number in [mark, plan, newer, lead, lead_bits, body_bits, rows, check, full, packed] {
            crc.add(&number.to_le_bytes());
        }
        crc.value()
    }
}

impl<const LEAD: usize, const BODY: usize> BlackBoxMemory<LEAD, BODY> {
    /// Empty memory.
    pub const fn new() -> Self {
        Self { kept: [Kept::nothing(0); 2], leads: [[0; LEAD]; 2], body: [0; BODY] }
    }

    /// The lesson that is kept; `None` where there is none, or not one of this plan, or not whole.
    pub(super) fn kept(&self, plan: u32) -> Option<Kept> {
        let [one, other] = self.kept;
        let pair = if one.newer.wrapping_sub(other.newer) < 1 << 31 { [one, other] } else { [other, one] };
        pair.into_iter().find(|kept| kept.rows > 0 && self.is_whole(kept, plan))
    }

    fn is_whole(&self, kept: &Kept, plan: u32) -> bool {
        if (kept.mark, kept.plan, kept.sum) != (MARK, plan, kept.sum()) {
            return false;
        }
        let Some(lead) = self.lead(kept.lead) else { return false };
        let fits =
            |bits: u32, memory: &[u8]| usize::try_from(bits.div_ceil(8)).is_ok_and(|bytes| bytes <= memory.len());
        if !fits(kept.lead_bits, lead) || !fits(kept.body_bits, &self.body) {
            return false;
        }
        let mut sum = Sum::new();
        sum.add(0, lead, kept.lead_bits);
        sum.add(1, &self.body, kept.body_bits);
        sum.value([(lead, kept.lead_bits), (&self.body, kept.body_bits)]) == kept.packed
    }

    pub(super) fn lead(&self, number: u32) -> Option<&[u8; LEAD]> {
        self.leads.get(usize::try_from(number).ok()?)
    }

    /// Keeps this from now on: the older one of the two is replaced.
    pub(super) fn keep(&mut self, mut kept: Kept, sum: &Sum) {
        let [one, other] = &self.kept;
        let (older, newest) =
            if one.newer.wrapping_sub(other.newer) < 1 << 31 { (1, one.newer) } else { (0, other.newer) };
        kept.newer = newest.wrapping_add(1);
        let lead = self.lead(kept.lead).map_or(&[][..], |lead| &lead[..]);
        kept.packed = sum.value([(lead, kept.lead_bits), (&self.body, kept.body_bits)]);
        kept.sum = kept.sum();
        if let Some(place) = self.kept.get_mut(older) {
            *place = kept;
        }
    }
}

impl<const LEAD: usize, const BODY: usize> Default for BlackBoxMemory<LEAD, BODY> {
    fn default() -> Self {
        Self::new()
    }
}
