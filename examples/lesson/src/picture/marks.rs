//! The marks of the changes: lines through all panels, and short causes above the strip where there is room for them.

use super::Plot;
use super::canvas::{Area, Canvas, Drawn, Lettering};
use super::palette::{HAND_BACK, INK, TAKEOVER};
use super::scale::seconds;
use crate::tally::Tally;
use crate::timeline::{Entry, short};

/// Rows of causes above the strip.
const ROWS: usize = 5;
const ROW: f64 = 14.0;
/// How high the causes are.
pub(super) const HEIGHT: f64 = ROW * 5.0 + 4.0;
/// A lesson of more takeovers than this has no line for each.
const MOST_LINES: usize = 80;

/// A cause that found its place.
struct Placed {
    x: f64,
    words: String,
    row: usize,
    left: f64,
    right: f64,
}

/// The changes worth a line: takeovers, hand backs, and whatever left nobody flying.
pub(super) struct Marks {
    /// Time and words of what took the craft.
    taken: Vec<(f64, String)>,
    handed: Vec<f64>,
    /// Whether there are more changes than were kept.
    partial: bool,
}

impl Marks {
    pub(super) fn of<const N: usize>(tally: &Tally<N>) -> Self {
        let timeline = &tally.timeline;
        let entries: Vec<&Entry> = timeline.first().iter().chain(timeline.last()).collect();
        let gave = |entry: &&Entry| !entry.to.student().except(entry.from.student()).is_empty();
        let (handed, taken): (Vec<&Entry>, Vec<&Entry>) = entries.into_iter().partition(gave);
        Self {
            taken: taken.into_iter().map(|entry| (seconds(entry.time_us), short(entry, tally.names()))).collect(),
            handed: handed.into_iter().map(|entry| seconds(entry.time_us)).collect(),
            partial: !timeline.is_whole(),
        }
    }

    /// Whether every change has its line.
    pub(super) fn has_lines(&self) -> bool {
        !self.partial && self.taken.len() <= MOST_LINES
    }

    /// Draws the lines from the strip down, before anything else.
    pub(super) fn draw_lines(&self, canvas: &Canvas<'_>, plot: &Plot, top: f64, bottom: f64) -> Drawn {
        if !self.has_lines() {
            return Ok(());
        }
        for at in self.handed.iter().map(|&at_s| plot.time.place(at_s)) {
            canvas.line([(at, top), (at, bottom)], HAND_BACK)?;
        }
        for at in self.taken.iter().map(|&(at_s, _)| plot.time.place(at_s)) {
            canvas.line([(at, top), (at, bottom)], TAKEOVER)?;
        }
        Ok(())
    }

    /// Writes as many causes above `bottom` as find room, and tells how many did not.
    pub(super) fn draw_words(&self, canvas: &Canvas<'_>, plot: &Plot, bottom: f64) -> Result<usize, Box<dyn std::error::Error>> {
        let how = Lettering::new(11.0, INK);
        let placed = self.place(plot, how);
        for mark in &placed {
            #[allow(clippy::cast_precision_loss)] // a handful of rows
            let y = bottom - 4.0 - ROW * (mark.row as f64 + 0.5);
            canvas.line([(mark.x, y - ROW / 2.0 + 2.0), (mark.x, bottom)], TAKEOVER)?;
            canvas.words((mark.left, y), &mark.words, how)?;
        }
        Ok(self.taken.len() - placed.len())
    }

    /// From the right to the left, each cause in the lowest row where it crosses no other and no other's line.
    fn place(&self, plot: &Plot, how: Lettering) -> Vec<Placed> {
        let mut placed: Vec<Placed> = Vec::new();
        for (at_s, words) in self.taken.iter().rev() {
            let x = plot.time.place(*at_s);
            let width = how.width_of(words) + 6.0;
            let left = if x + 4.0 + width <= plot.right { x + 4.0 } else { x - 4.0 - width };
            if left < plot.left - 80.0 {
                continue;
            }
            let right = left + width;
            let free = |row: usize| {
                placed.iter().all(|other| {
                    let apart = other.left > right || other.right < left;
                    let lines_apart = (other.x - x).abs() > 3.0;
                    let under_its_line = (left..=right).contains(&other.x) && other.row >= row;
                    let through_its_words = (other.left - 2.0..=other.right).contains(&x) && other.row <= row;
                    lines_apart && (apart || other.row != row) && !under_its_line && !through_its_words
                })
            };
            if let Some(row) = (0..ROWS).find(|&row| free(row)) {
                placed.push(Placed { x, words: words.clone(), row, left, right });
            }
        }
        placed
    }
}

/// On a lesson too crowded for lines: a tick for every column with a takeover.
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

    #[test]
    fn on_a_crowded_lesson_no_cause_is_written_over_another_or_across_a_line() {
        let time = Scale { from: 0.0, to: 600.0, at: 150.0, until: 1250.0 };
        let plot = Plot { left: 150.0, right: 1250.0, time };
        let taken = (0..70).map(|n| (f64::from(n) * 8.5, "elevator: about to stall".to_owned())).collect();
        let marks = Marks { taken, handed: Vec::new(), partial: false };
        let placed = marks.place(&plot, Lettering::new(11.0, INK));
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
