//! A reference decoder for tests: it has the whole recording and cuts it at the gaps.

use handback::ppm::{DecoderSetup, Edge};

use super::wire::{Widths, from_to};

/// The time between two edges; a negative one becomes larger than any limit.
fn us(from: Edge, to: Edge) -> u32 {
    from_to(from.at, to.at).cast_unsigned()
}

fn is_gap(setup: &DecoderSetup, rest: Edge, first: Edge) -> bool {
    let limits = setup.gap.as_ticks()..=setup.silence.as_ticks();
    rest.level != setup.separators && first.level == setup.separators && limits.contains(&us(rest, first))
}

/// The widths between the starts of separators, if everything from one gap to the next is within the limits; and the
/// difference between the widest and the narrowest separator.
fn frame(setup: &DecoderSetup, edges: &[Edge]) -> Option<(Vec<u16>, u32)> {
    let level = |index: usize| if index.is_multiple_of(2) { setup.separators } else { setup.separators.other() };
    let alternate = edges.iter().enumerate().all(|(index, edge): (usize, &Edge)| edge.level == level(index));
    if !alternate || !edges.len().is_multiple_of(2) {
        return None;
    }
    let separators: Vec<u32> = edges.chunks(2).map(|pulse| us(pulse[0], pulse[1])).collect();
    let band = setup.narrowest.as_ticks()..=setup.widest.as_ticks();
    let starts: Vec<Edge> = edges.iter().step_by(2).copied().collect();
    let widths: Option<Vec<u16>> = starts.windows(2).map(|two| us(two[0], two[1]).try_into().ok()).collect();
    let range = setup.shortest.to_micros()..=setup.longest.to_micros();
    let uneven = separators.iter().max()? - separators.iter().min()?;
    let good = separators.iter().all(|width| band.contains(width));
    widths
        .filter(|widths| good && widths.len() <= 16 && widths.iter().all(|width| range.contains(width)))
        .map(|widths| (widths, uneven))
}

/// The frames of a recording that end at the first edge of another frame.
pub(crate) fn frames<const N: usize>(setup: &DecoderSetup, edges: &[Edge]) -> Vec<Widths<N>> {
    let starts: Vec<usize> = (1..edges.len()).filter(|&at| is_gap(setup, edges[at - 1], edges[at])).collect();
    let mut good = Vec::new();
    let mut before = 0;
    for ends in starts.windows(2) {
        let part = &edges[ends[0]..ends[1]];
        if part.windows(2).any(|two| us(two[0], two[1]) > setup.silence.as_ticks()) {
            before = 0;
            continue;
        }
        let Some((widths, uneven)) = frame(setup, part) else { continue };
        let confirmed = before == N;
        before = widths.len();
        if let Ok(widths) = Widths::try_from(widths)
            && confirmed
            && uneven <= setup.jitter.as_ticks()
        {
            good.push(widths);
        }
    }
    good
}
