//! The strip at the top: who has control, shown first by position (three lanes), then by words and by pattern.

use handback::{AxisSet, Pilot};

use super::Plot;
use super::canvas::{Align, Area, Canvas, Drawn, Lettering};
use super::columns::Column;
use super::palette::{BORDER, INK, INSTRUCTOR, MIDDLE, NOBODY_HATCH, QUIET, STUDENT, STUDENT_HATCH};
use crate::count::seconds;
use crate::tally::Tally;

/// The lanes from top to bottom, in the order of [`Bucket::flown`](crate::tally::Bucket::flown).
const LANES: [&str; 3] = ["student flies", "instructor flies", "nobody flies"];
const LANE: f64 = 20.0;

/// Height of the strip, in pixels.
pub(super) const HEIGHT: f64 = 3.0 * LANE;

/// A stretch in one lane: its beginning and end in seconds, and the lane's share of the shared axes over that time.
type Block = (f64, f64, f64);

/// Draws the strip with its top at `top`.
pub(super) fn draw<const N: usize>(
    canvas: &Canvas<'_>,
    plot: &Plot,
    top: f64,
    tally: &Tally<N>,
    columns: &[Column<N>],
) -> Drawn {
    let exact = tally.timeline.is_whole();
    for (lane, name) in LANES.into_iter().enumerate() {
        #[allow(clippy::cast_precision_loss)] // three lanes
        let top = top + LANE * lane as f64;
        let area = Area { left: plot.left, right: plot.right, top, bottom: top + LANE };
        for (from_s, to_s, share) in if exact { turns(tally, lane, plot.time.to) } else { shares(columns, lane) } {
            let bottom = area.bottom - 2.0;
            let top = bottom - (LANE - 4.0) * share;
            let block = Area { left: plot.time.place(from_s), right: plot.time.place(to_s), top, bottom };
            draw_block(canvas, lane, block)?;
        }
        canvas.line([(area.left, area.bottom), (area.right, area.bottom)], MIDDLE)?;
        let label = Lettering::new(12.0, INK).bold().align(Align::Right);
        canvas.words((plot.left - 10.0, f64::midpoint(area.top, area.bottom)), name, label)?;
    }
    if !exact {
        let words = "a block is as high as its share of the time";
        let how = Lettering::new(11.5, QUIET).align(Align::Right);
        canvas.words((plot.right - 6.0, top + HEIGHT - LANE / 2.0), words, how)?;
    }
    canvas.border(Area { left: plot.left, right: plot.right, top, bottom: top + HEIGHT }, BORDER)
}

fn draw_block(canvas: &Canvas<'_>, lane: usize, block: Area) -> Drawn {
    let wide = block.width() > 3.0;
    match lane {
        0 => {
            canvas.block(block, STUDENT)?;
            if wide {
                canvas.hatch(block, 6.0, true, STUDENT_HATCH)?;
            }
        }
        1 => canvas.block(block, INSTRUCTOR)?,
        _ => {
            canvas.hatch(block, 5.0, true, NOBODY_HATCH)?;
            canvas.hatch(block, 5.0, false, NOBODY_HATCH)?;
            canvas.border(block, NOBODY_HATCH)?;
        }
    }
    Ok(())
}

/// The blocks of one lane where every change was kept. The height of a block is the share of the shared axes.
fn turns<const N: usize>(tally: &Tally<N>, lane: usize, end_s: f64) -> Vec<Block> {
    let timeline = &tally.timeline;
    let changes = || timeline.first().iter().chain(timeline.last());
    let begins = timeline.began.into_iter().chain(changes().map(|entry| (entry.time_us, entry.to)));
    let until = changes().map(|entry| seconds(entry.time_us)).chain([end_s]);
    let all = begins.zip(until).map(|((from_us, who), to_s)| {
        let share = share_of(who, tally.shared(), lane);
        (seconds(from_us), to_s, share)
    });
    all.filter(|&(_, _, share)| share > 0.0).collect()
}

/// The share of the shared axes that a lane has.
fn share_of(who: Pilot, shared: AxisSet, lane: usize) -> f64 {
    let student = f64::from(who.student().len()) / f64::from(shared.len().max(1));
    match (lane, who) {
        (0, _) => student,
        (1, Pilot::Instructor | Pilot::Student(_)) => 1.0 - student,
        (2, Pilot::Nobody) => 1.0,
        _ => 0.0,
    }
}

/// The blocks of one lane where some changes were not kept. The height of a block is the share of both time and shared
/// axes; neighbours of equal share are joined.
fn shares<const N: usize>(columns: &[Column<N>], lane: usize) -> Vec<Block> {
    let mut blocks: Vec<Block> = Vec::new();
    for column in columns {
        let all: u64 = column.bucket.flown.iter().sum();
        #[allow(clippy::cast_precision_loss)] // a share
        let share = if all == 0 { 0.0 } else { column.bucket.flown[lane] as f64 / all as f64 };
        match blocks.last_mut() {
            Some((_, to, before)) if (*before - share).abs() < 1e-6 => *to = column.to_s,
            _ => blocks.push((column.from_s, column.to_s, share)),
        }
    }
    blocks.retain(|&(_, _, share)| share > 0.0);
    blocks
}
