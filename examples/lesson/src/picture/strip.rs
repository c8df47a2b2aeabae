//! The strip on top: who has control, told by position first (three lanes), then by words and by pattern.

use plotters::style::text_anchor::HPos;

use super::Plot;
use super::canvas::{Area, Canvas, Drawn, Lettering};
use super::columns::Column;
use super::palette::{BORDER, INK, INSTRUCTOR, MIDDLE, NOBODY_HATCH, STUDENT, STUDENT_HATCH};

/// The lanes from above, in the order of [`Bucket::flown`](crate::tally::Bucket::flown).
const LANES: [&str; 3] = ["student flies", "instructor flies", "nobody flies"];
const LANE: f64 = 20.0;

/// How high the strip is.
pub(super) const HEIGHT: f64 = 3.0 * LANE;

/// Draws the strip with its top at `top`. A block is as high as its share of the time and of the shared axes.
pub(super) fn draw<const N: usize>(canvas: &Canvas<'_>, plot: &Plot, top: f64, columns: &[Column<N>]) -> Drawn {
    for (lane, name) in LANES.into_iter().enumerate() {
        #[allow(clippy::cast_precision_loss)] // three lanes
        let top = top + LANE * lane as f64;
        let area = Area { left: plot.left, right: plot.right, top, bottom: top + LANE };
        for (from_s, to_s, share) in blocks(columns, lane) {
            let bottom = area.bottom - 2.0;
            let top = bottom - (LANE - 4.0) * share;
            let block = Area { left: plot.time.place(from_s), right: plot.time.place(to_s), top, bottom };
            draw_block(canvas, lane, block)?;
        }
        canvas.line([(area.left, area.bottom), (area.right, area.bottom)], MIDDLE)?;
        let label = Lettering::new(12.0, INK).bold().align(HPos::Right);
        canvas.words((plot.left - 10.0, f64::midpoint(area.top, area.bottom)), name, label)?;
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

/// The blocks of one lane: from, to and the share of it that was flown, neighbours of the same share in one.
fn blocks<const N: usize>(columns: &[Column<N>], lane: usize) -> Vec<(f64, f64, f64)> {
    let mut blocks: Vec<(f64, f64, f64)> = Vec::new();
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
