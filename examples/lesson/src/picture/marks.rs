//! The marks of changes of pilot: lines through all panels, and short causes above the strip where there is room.

use super::Plot;
use super::canvas::{Align, Area, Canvas, Drawn, Lettering, Pen};
use super::palette::{HAND_BACK, INK, TAKEOVER};
use crate::count::seconds;
use crate::tally::Tally;
use crate::timeline::{Entry, short};

/// Number of rows of causes above the strip.
const ROWS: usize = 5;
const ROW: f64 = 14.0;
const LETTERING: Lettering = Lettering::new(11.5, INK);
/// With more takeovers than this, there are no lines. With more than half of this, the lines are thin, and hand backs
/// have none.
const MOST_LINES: usize = 80;

/// A cause with its place.
struct Placed {
    /// The place of its line.
    x: f64,
    words: String,
    /// Its row, counted from below.
    row: usize,
    /// The extent of its words.
    left: f64,
    right: f64,
}

/// The marks of all changes.
pub(super) struct Marks {
    /// The places of all other changes: those in which the student gained no axis; in pixels.
    taken: Vec<f64>,
    /// The places of the hand backs, in pixels.
    handed: Vec<f64>,
    placed: Vec<Placed>,
    /// Number of causes without room for their words.
    pub(super) unsaid: u64,
    /// Whether some changes were not kept.
    partial: bool,
}

impl Marks {
    pub(super) fn of<const N: usize>(tally: &Tally<N>, plot: &Plot) -> Self {
        let timeline = &tally.timeline;
        let gave = |entry: &&Entry| !entry.to.student().except(entry.from.student()).is_empty();
        let (handed, taken): (Vec<&Entry>, Vec<&Entry>) =
            timeline.first().iter().chain(timeline.last()).partition(gave);
        let place = |entry: &&Entry| plot.time.place(seconds(entry.time_us));
        let causes: Vec<_> = taken.iter().map(|entry| (place(entry), short(entry, tally.names()))).collect();
        let placed = placed(&causes, plot);
        let changes = tally.takeovers.count.max(causes.len() as u64);
        Self {
            taken: taken.iter().map(place).collect(),
            handed: handed.iter().map(place).collect(),
            unsaid: changes - placed.len() as u64,
            placed,
            partial: !timeline.is_whole(),
        }
    }

    /// Height of the words, in pixels.
    #[allow(clippy::cast_precision_loss)] // a handful of rows
    pub(super) fn height(&self) -> f64 {
        let rows = self.placed.iter().map(|mark| mark.row + 1).max().unwrap_or(0);
        ROW * rows.max(2) as f64 + 4.0
    }

    /// Whether changes have lines.
    pub(super) fn has_lines(&self) -> bool {
        !self.partial && self.taken.len() <= MOST_LINES
    }

    /// Draws the lines through the panels. They come first, so that all else is on top of them.
    pub(super) fn draw_lines(&self, canvas: &Canvas<'_>, top: f64, bottom: f64) -> Drawn {
        if !self.has_lines() {
            return Ok(());
        }
        let crowded = self.taken.len() > MOST_LINES / 2;
        let pen = if crowded { Pen { weight: 0.5, opacity: 0.55, ..TAKEOVER } } else { TAKEOVER };
        for &x in self.handed.iter().filter(|_| !crowded) {
            canvas.line([(x, top), (x, bottom)], HAND_BACK)?;
        }
        self.taken.iter().try_for_each(|&x| canvas.line([(x, top), (x, bottom)], pen))
    }

    /// Draws the causes above `bottom`.
    pub(super) fn draw_words(&self, canvas: &Canvas<'_>, bottom: f64) -> Drawn {
        for mark in &self.placed {
            #[allow(clippy::cast_precision_loss)] // a handful of rows
            let y = bottom - 4.0 - ROW * (mark.row as f64 + 0.5);
            canvas.line([(mark.x, y - ROW / 2.0 + 2.0), (mark.x, bottom)], TAKEOVER)?;
            if mark.left > mark.x {
                canvas.words((mark.left, y), &mark.words, LETTERING)?;
            } else {
                canvas.words((mark.right, y), &mark.words, LETTERING.align(Align::Right))?;
            }
        }
        Ok(())
    }
}

/// Places the causes, the rarer ones first, from right to left. Each gets the lowest row in which its words and its
/// line cross no other words and no other line.
fn placed(causes: &[(f64, String)], plot: &Plot) -> Vec<Placed> {
    let mut placed: Vec<Placed> = Vec::new();
    let mut rarest_first: Vec<&(f64, String)> = causes.iter().rev().collect();
    rarest_first.sort_by_cached_key(|(_, words)| causes.iter().filter(|(_, other)| other == words).count());
    for (x, words) in rarest_first {
        let width = LETTERING.width_of(words) + 6.0;
        let left = if x + 4.0 + width <= plot.right { x + 4.0 } else { x - 4.0 - width };
        if left < plot.left {
            continue;
        }
        let right = left + width;
        let free = |row: usize| {
            placed.iter().all(|other| {
                let apart = other.left > right || other.right < left;
                let under_its_line = (left..=right).contains(&other.x) && other.row >= row;
                let through_its_words = (other.left..=other.right).contains(x) && other.row <= row;
                (other.x - x).abs() > 3.0 && (apart || other.row != row) && !under_its_line && !through_its_words
            })
        };
        if let Some(row) = (0..ROWS).find(|&row| free(row)) {
            placed.push(Placed { x: *x, words: words.clone(), row, left, right });
        }
    }
    placed
}

/// Draws a tick for every column with a takeover, for a lesson with too many takeovers for lines.
pub(super) fn draw_ticks(canvas: &Canvas<'_>, plot: &Plot, top: f64, times: impl Iterator<Item = f64>) -> Drawn {
    for at in times.map(|at_s| plot.time.place(at_s)) {
        let tick = Area { left: at - 0.5, right: at + 0.5, top, bottom: top + 5.0 };
        canvas.block(tick, INK)?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::picture::scale::Scale;

    /// Given a lesson with many takeovers, when their causes are placed, then none is written over another or across a
    /// line.
    #[test]
    fn no_cause_crosses_another_cause_or_a_line() {
        let time = Scale { from: 0.0, to: 600.0, at: 150.0, until: 1250.0 };
        let plot = Plot { left: 150.0, right: 1250.0, time };
        let causes: Vec<_> = (0..70).map(|n| (160.0 + f64::from(n) * 15.5, "elevator: too slow".to_owned())).collect();
        let placed = placed(&causes, &plot);
        assert!(placed.len() >= 20, "{}", placed.len());
        for (n, one) in placed.iter().enumerate() {
            for other in &placed[n + 1..] {
                let same_row = one.row == other.row;
                assert!(!same_row || one.right < other.left || other.right < one.left);
                for (words, line) in [(one, other), (other, one)] {
                    let crossed = (words.left..=words.right).contains(&line.x) && line.row >= words.row;
                    assert!(!crossed, "{} {} {}", words.x, line.x, words.row);
                }
            }
        }
    }
}
