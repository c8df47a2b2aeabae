//! When a frame comes out, and when it no longer does.

use handback::ppm::{Fault, Level};

use super::wire::{Widths, Wire, decoder, from_to, heard, heard_at, heard_at_edges, instant, widths};

const CENTRED: Widths<8> = [1_500; 8];

/// A confirmed train of eight channels in frames of 22.5 ms (common practice, no source), then one more frame; its
/// start.
fn train() -> (Wire, u32) {
    let frame = |wire: Wire| wire.channels(&CENTRED).pulse(300).rest(22_500 - 12_300);
    let wire = frame(frame(Wire::new(Level::High, u32::MAX - 50_000)));
    let start = wire.now;
    (frame(wire), start)
}

/// Given a frame of eight centred channels, when it is polled each microsecond, then it comes out 14.8 ms after its
/// start, 2.5 ms after its last separator, and once.
///
/// Frame and widths are common practice, no source.
#[test]
fn a_frame_comes_out_a_gap_after_its_last_separator() {
    let (wire, start) = train();
    let mut decoder = decoder::<8>(Level::High);
    assert_eq!(heard(&mut decoder, &wire.edges[..2 * 18]), [[0; 8]; 0]);
    for edge in &wire.edges[2 * 18..] {
        decoder.edge(*edge);
        assert_eq!(decoder.poll(edge.at), None);
    }
    let yielded: Vec<u32> =
        (12_300..22_500).filter(|us| decoder.poll(instant(start.wrapping_add(*us))).is_some()).collect();
    assert_eq!(yielded, [12_300 + 2_500]);
}

/// Given a frame, when the decoder is polled each millisecond, then the frame is at most one millisecond late.
#[test]
fn a_frame_is_late_by_no_more_than_a_poll() {
    let (wire, start) = train();
    let heard = heard_at(&mut decoder::<8>(Level::High), &wire.edges);
    let [(at, CENTRED)] = heard[..] else { panic!("{heard:?}") };
    let late = from_to(instant(start.wrapping_add(14_800)), at);
    assert!((0..1_000).contains(&late), "{late}");
}

/// Given no poll in the gap, when the next frame begins, then the frame can be read for `silence` at most.
#[test]
fn a_frame_that_waited_too_long_is_not_read() {
    for (wait, read) in [(0, true), (50_000, true), (50_001, false), (2_000_000_000, false)] {
        let (wire, _) = train();
        let begins = wire.now;
        let wire = wire.pulse(300);
        let mut decoder = decoder::<8>(Level::High);
        for edge in &wire.edges {
            decoder.edge(*edge);
        }
        let polled = decoder.poll(instant(begins.wrapping_add(wait)));
        assert_eq!(polled.map(widths), read.then_some(CENTRED), "{wait} us later");
        assert_eq!((decoder.tally().good, decoder.tally().unread), (1, u32::from(!read)));
    }
}

/// Given more than one frame between two polls, when the decoder is polled, then it yields only the newest.
#[test]
fn the_newest_of_several_frames_is_read() {
    let wire = train().0.frame(&[1_600; 8]).frame(&[1_700; 8]).pulse(300);
    let mut decoder = decoder::<8>(Level::High);
    for edge in &wire.edges {
        decoder.edge(*edge);
    }
    assert_eq!(decoder.poll(instant(wire.now)).map(widths), Some([1_700; 8]));
    assert_eq!(decoder.poll(instant(wire.now)), None);
    assert_eq!((decoder.tally().good, decoder.tally().unread), (3, 2));
}

/// Given a good frame that nobody read yet, when the next one is bad, then the good one can still be read.
#[test]
fn a_bad_frame_takes_no_good_one_with_it() {
    let wire = train().0.pulse(50);
    let mut decoder = decoder::<8>(Level::High);
    for edge in &wire.edges {
        decoder.edge(*edge);
    }
    assert_eq!(decoder.tally().of(Fault::Glitch), 1);
    assert_eq!(decoder.poll(instant(wire.now)).map(widths), Some(CENTRED));
}

/// Given a poll with a time before the last edges, when it comes, then no frame has come to rest and the train is not
/// silent, and a frame that was just completed is yielded.
#[test]
fn a_poll_that_is_older_than_an_edge_changes_nothing() {
    let (wire, _) = train();
    let wire = wire.pulse(300);
    for early in [1, 300, 2_500, 22_500, 49_000, 50_000] {
        let mut decoder = decoder::<8>(Level::High);
        let mut yielded = heard_at_edges(&mut decoder, &wire.edges[..3 * 18]);
        for edge in &wire.edges[3 * 18..] {
            decoder.edge(*edge);
        }
        yielded.extend(decoder.poll(instant(wire.now.wrapping_sub(early))).map(widths));
        assert_eq!(yielded, [CENTRED], "{early} us early");
        assert_eq!(decoder.tally().faults(), 0);
    }
}

/// Given a line that never changes its level, when it is polled over the whole range of the clock, then no frame comes
/// and no fault is counted.
#[test]
fn a_dead_line_yields_nothing() {
    let mut decoder = decoder::<8>(Level::High);
    for now in (0..=u32::MAX).step_by(10_000) {
        assert_eq!(decoder.poll(instant(now)), None);
    }
    assert_eq!(decoder.tally().faults(), 0);
}
