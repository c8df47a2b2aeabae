//! What waits to be sent.

use heapless::Deque;

/// A ring buffer of `B` bytes that takes whole lines only.
#[derive(Clone, Debug, Default)]
pub(crate) struct Ring<const B: usize>(Deque<u8, B>);

impl<const B: usize> Ring<B> {
    pub(crate) fn has_room(&self, bytes: usize) -> bool {
        B.saturating_sub(self.0.len()) >= bytes
    }

    /// Appends a whole line; says whether it had room.
    pub(crate) fn push(&mut self, line: &[u8]) -> bool {
        let fits = self.has_room(line.len());
        if fits {
            for &byte in line {
                let _ = self.0.push_back(byte); // there is room
            }
        }
        fits
    }

    /// The oldest bytes; empty where nothing waits.
    pub(crate) fn oldest(&self) -> &[u8] {
        self.0.as_slices().0
    }

    /// Removes this many of the oldest bytes.
    pub(crate) fn sent(&mut self, bytes: usize) {
        for _ in 0..bytes.min(self.0.len()) {
            self.0.pop_front();
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Given a ring that is nearly full, when a line does not fit, then no byte of it is taken, and the bytes come out
    /// in order.
    #[test]
    fn a_line_that_does_not_fit_is_dropped_whole() {
        let mut ring = Ring::<8>::default();
        assert!(ring.push(b"abc\n") && !ring.push(b"defgh\n") && ring.push(b"ij\n"));
        ring.sent(3);
        assert!(ring.push(b"k\n"));
        let mut all = heapless::Vec::<u8, 16>::new();
        while !ring.oldest().is_empty() {
            let _ = all.push(ring.oldest()[0]);
            ring.sent(1);
        }
        assert_eq!(all, b"\nij\nk\n");
        ring.sent(9);
    }
}
