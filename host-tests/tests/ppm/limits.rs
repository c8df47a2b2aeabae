//! Every reason for which a frame is dropped, on both sides of its limit.

use handback::Pulse;
use handback::ppm::{DecoderSetup, Fault, Level, Tally};
use handback_host_tests::with;

use super::wire::{BOTH, Widths, Wire, decoder, duration, heard, heard_at_edges, instant};

const CENTRED: Widths<4> = [1_500; 4];

/// A confirmed train of four channels, then `then`, then a good frame: the frames that a decoder yields, and its
/// tally.
fn heard_of(then: impl Fn(Wire) -> Wire, separators: Level) -> (Vec<Widths<4>>, Tally) {
    let wire = then(Wire::new(separators, 0).confirmed(4)).frame(&[1_600; 4]);
    let mut decoder = decoder::<4>(separators);
    let heard = heard(&mut decoder, &wire.edges);
    (heard, *decoder.tally())
}

/// Checks that `then` is dropped for this reason alone and costs nothing else, or, if good, comes out.
fn dropped(fault: Fault, good: bool, then: impl Fn(Wire) -> Wire + Copy) {
    for separators in BOTH {
        let (heard, tally) = heard_of(then, separators);
        assert_eq!(heard.len(), if good { 2 } else { 1 }, "{fault}: {heard:?}");
        assert_eq!(heard.last(), Some(&[1_600; 4]), "{fault}");
        assert_eq!(tally.of(fault), u32::from(!good), "{tally:?}");
        assert_eq!(tally.faults(), u32::from(!good), "{tally:?}");
    }
}

/// Given a frame with separators of the least or the greatest width, or one microsecond beyond, when it comes, then it
/// comes out only within the limits.
#[test]
fn a_separator_has_a_least_and_a_greatest_width() {
    for (width, fault, good) in [
        (199, Fault::Glitch, false),
        (200, Fault::Glitch, true),
        (500, Fault::WideSeparator, true),
        (501, Fault::WideSeparator, false),
    ] {
        // All have one width, so that none is uneven.
        let frame = |wire: Wire| {
            let channels = (0..4).fold(wire, |wire, _| wire.pulse(width).rest(1_500 - width));
            channels.pulse(width).rest(5_000)
        };
        dropped(fault, good, frame);
    }
}

/// Given a frame with one separator that differs from the others, when it differs by more than the jitter, then the
/// frame is dropped.
#[test]
fn the_separators_of_a_frame_are_even() {
    for (width, good) in [(279, false), (280, true), (320, true), (321, false)] {
        let frame = |wire: Wire| {
            let wire = wire.channel(1_500).pulse(width).rest(1_500 - width);
            wire.channel(1_500).channel(1_500).pulse(300).rest(5_000)
        };
        dropped(Fault::Uneven, good, frame);
    }
}

/// Given a frame with a channel at the least or the greatest width, or one microsecond beyond, when it comes, then it
/// comes out only within the limits.
#[test]
fn a_channel_has_a_least_and_a_greatest_width() {
    for (width, good) in [(699, false), (700, true), (2_300, true), (2_301, false)] {
        for place in 0..4 {
            let mut widths = CENTRED;
            widths[place] = width;
            dropped(Fault::Width, good, |wire| wire.frame(&widths));
        }
    }
}

/// Given a line that rests after a frame for the least gap, or a microsecond less, when the next frame comes, then
/// without a gap the two are one frame, which is too long.
#[test]
fn a_gap_has_a_least_length() {
    for (rest, frames) in [(2_499, 0), (2_500, 2)] {
        let wire = Wire::new(Level::High, 0).confirmed(4).channels(&CENTRED).pulse(300).rest(rest);
        let wire = wire.frame(&[1_600; 4]);
        let mut decoder = decoder::<4>(Level::High);
        assert_eq!(heard_at_edges(&mut decoder, &wire.edges).len(), frames / 2, "{rest} us of rest");
        assert_eq!(decoder.tally().of(Fault::Width), u32::from(frames == 0));
    }
}

/// Given a frame of more or fewer channels, when it comes, then it is dropped, and so is the next, whose number of
/// channels differs from it; the tally has the number of channels.
#[test]
fn a_frame_of_another_count_is_dropped() {
    for count in [1, 2, 3, 5, 6, 16] {
        let wire = Wire::new(Level::High, 0).confirmed(4).frame(&vec![1_000; count]);
        let mut decoder = decoder::<4>(Level::High);
        assert_eq!(heard(&mut decoder, &wire.edges), [[0; 4]; 0]);
        assert_eq!(usize::from(decoder.tally().channels), count);
        assert_eq!(decoder.tally().of(Fault::Count), 1);
        let wire = wire.frame(&CENTRED).frame(&[1_600; 4]);
        let mut decoder = self::decoder::<4>(Level::High);
        assert_eq!(heard(&mut decoder, &wire.edges), [[1_600; 4]], "{count} channels in between");
        assert_eq!((decoder.tally().of(Fault::Count), decoder.tally().channels), (2, 4));
    }
}

/// Given sixteen channels in a row, or more, when no gap comes, then from the seventeenth on the fault is a train
/// without gaps.
#[test]
fn a_train_without_gaps_is_told() {
    for (channels, faults) in [(16, 0), (17, 1), (33, 1), (34, 2), (170, 10)] {
        let wire = Wire::new(Level::High, 0).confirmed(4).channels(&vec![1_500; channels]).pulse(300);
        let mut decoder = decoder::<4>(Level::High);
        assert_eq!(heard_at_edges(&mut decoder, &wire.edges), [[0; 4]; 0]);
        assert_eq!(decoder.tally().of(Fault::NoGap), faults, "{channels} channels");
        // A train that never had a gap.
        let wire = Wire::new(Level::High, 0).channels(&vec![1_500; channels]).pulse(300);
        let mut decoder = self::decoder::<4>(Level::High);
        assert_eq!(heard_at_edges(&mut decoder, &wire.edges), [[0; 4]; 0]);
        assert_eq!(decoder.tally().of(Fault::NoGap), faults, "{channels} channels");
    }
    // Pulses that are no separators do not change this fault.
    let wire = (0..18).fold(Wire::new(Level::High, 0), |wire, _| wire.pulse(100).rest(1_400));
    let mut decoder = decoder::<4>(Level::High);
    assert_eq!(heard_at_edges(&mut decoder, &wire.edges), [[0; 4]; 0]);
    assert_eq!((decoder.tally().of(Fault::NoGap), decoder.tally().faults()), (1, 1));
}

/// Given a decoder that waits for its first gap, when edges are lost or pulses are no separators, then there is no
/// frame to drop, and nothing is counted.
#[test]
fn nothing_is_dropped_before_the_first_gap() {
    let wire = Wire::new(Level::High, 0).channel(1_500).pulse(50).rest(1_000).pulse(700).rest(200).channels(&CENTRED);
    let mut edges = wire.edges;
    edges.remove(5);
    let mut decoder = decoder::<4>(Level::High);
    assert_eq!(heard_at_edges(&mut decoder, &edges), [[0; 4]; 0]);
    assert_eq!(decoder.tally(), &Tally::default());
}

/// Given two edges in a row to the same level, when the second comes, then the frame is dropped at once.
#[test]
fn an_edge_that_is_missing_shows_at_the_next_one() {
    let mut wire = Wire::new(Level::High, 0).confirmed(4).channels(&CENTRED);
    let last = wire.edges.pop().expect("an edge");
    let mut decoder = decoder::<4>(Level::High);
    let _ = heard_at_edges(&mut decoder, &wire.edges);
    assert_eq!(decoder.tally().faults(), 0);
    decoder.edge(handback::ppm::Edge { level: Level::High, ..last });
    assert_eq!((decoder.tally().of(Fault::LostEdge), decoder.tally().faults()), (1, 1));
}

/// Given a decoder of the wrong polarity, when a train of any widths comes, then nothing comes out, and the fault is
/// the polarity, once per frame.
#[test]
fn the_wrong_polarity_is_told() {
    for separators in BOTH {
        for width in [700, 1_000, 1_500, 2_300] {
            let wire = (0..20).fold(Wire::new(separators.other(), 0), |wire, _| wire.frame(&[width; 4]));
            let mut decoder = decoder::<4>(separators);
            assert_eq!(heard(&mut decoder, &wire.edges), [[0; 4]; 0], "{width} us, {separators:?}");
            assert_eq!(decoder.tally().of(Fault::Polarity), 19, "between 20 frames");
            assert_eq!(decoder.tally().faults(), 19);
        }
    }
}

/// Given a line that rests as long as a train may be silent, or longer, when the next frame comes, then the longer
/// rest begins a new train.
#[test]
fn a_silence_ends_a_train() {
    for (rest, silent) in [(50_000, false), (50_001, true)] {
        let wire = Wire::new(Level::High, u32::MAX - 60_000).confirmed(4).channels(&CENTRED).pulse(300).rest(rest);
        let edges = wire.frame(&[1_600; 4]).frame(&[1_700; 4]).frame(&[1_800; 4]).edges;
        let mut decoder = decoder::<4>(Level::High);
        let heard = heard_at_edges(&mut decoder, &edges);
        // Of the new train the first frame ends in a gap, and the second confirms.
        let expected: &[Widths<4>] = if silent { &[] } else { &[CENTRED, [1_600; 4], [1_700; 4]] };
        assert_eq!(heard, expected);
        assert_eq!(decoder.tally().of(Fault::Silence), u32::from(silent));
        // The same without an edge: a poll finds it.
        let mut decoder = self::decoder::<4>(Level::High);
        let quiet = Wire::new(Level::High, 0).confirmed(4);
        let last = quiet.edges.last().expect("an edge").at.as_ticks();
        let _ = heard_at_edges(&mut decoder, &quiet.edges);
        assert!(decoder.poll(instant(last + 2_500)).is_none(), "the frame that confirms");
        assert_eq!(decoder.poll(instant(last + rest)), None);
        assert_eq!(decoder.tally().of(Fault::Silence), u32::from(silent));
        assert_eq!(decoder.poll(instant(last + rest + 1)), None);
        assert_eq!(decoder.tally().of(Fault::Silence), 1);
        assert_eq!(decoder.poll(instant(last + 4_000_000_000)), None);
        assert_eq!(decoder.tally().of(Fault::Silence), 1, "once");
    }
}

/// Given a clock that runs backwards by a microsecond or by up to half its range, when the next edge comes, then the
/// train counts as silent, and whole frames come out again afterwards.
#[test]
fn a_clock_that_runs_backwards_is_a_silence() {
    for back in [1, 1_000, 1 << 31] {
        let mut wire = Wire::new(Level::Low, 1_000).confirmed(4).channels(&CENTRED);
        let last = wire.edges.last().expect("an edge").at.as_ticks();
        wire.now = last.wrapping_sub(back);
        let edges = wire.pulse(300).rest(5_000).confirmed(4).frame(&[1_600; 4]).edges;
        let mut decoder = decoder::<4>(Level::Low);
        let mut heard = heard_at_edges(&mut decoder, &edges);
        let end = edges.last().expect("an edge").at.as_ticks().wrapping_add(3_000);
        heard.extend(decoder.poll(instant(end)).map(super::wire::widths));
        assert_eq!(heard, [CENTRED, [1_600; 4]], "{back} us back");
        assert_eq!(decoder.tally().of(Fault::Silence), 1, "{back} us back");
    }
}

/// Given an overrun between any two edges, when the train goes on, then the frame is dropped for that reason.
#[test]
fn an_overrun_drops_the_frame() {
    let wire = Wire::new(Level::High, 0).confirmed(4).frame(&CENTRED).frame(&[1_600; 4]).frame(&[1_700; 4]);
    for at in 21..=30 {
        let mut decoder = decoder::<4>(Level::High);
        let mut heard = heard_at_edges(&mut decoder, &wire.edges[..at]);
        decoder.overrun();
        heard.extend(heard_at_edges(&mut decoder, &wire.edges[at..]));
        // With an overrun at the last edge of the frame, the gap is not seen either.
        let expected: &[Widths<4>] = if at == 30 { &[] } else { &[[1_600; 4]] };
        assert_eq!(heard, expected, "overrun before edge {at}");
        assert_eq!((decoder.tally().of(Fault::Overrun), decoder.tally().faults()), (1, 1));
    }
}

/// Given a poll that found the gap, when an edge from before the end of that gap arrives, then its frame is dropped
/// for that reason.
#[test]
fn an_edge_older_than_the_poll_is_told() {
    let wire = Wire::new(Level::High, 0).confirmed(4).channels(&CENTRED).pulse(300);
    let mut decoder = decoder::<4>(Level::High);
    let _ = heard_at_edges(&mut decoder, &wire.edges);
    assert!(decoder.poll(instant(wire.now + 2_500)).is_some());
    for edge in wire.clone().rest(2_499).pulse(300).edges.iter().skip(wire.edges.len()) {
        decoder.edge(*edge);
    }
    assert_eq!((decoder.tally().of(Fault::LateEdge), decoder.tally().faults()), (1, 1));
}

/// Given a set-up with other limits, when frames come, then the decoder uses these limits.
#[test]
fn limits_are_the_setups() {
    let setup = with!(DecoderSetup::new(Level::High), narrowest: duration(90), widest: duration(110), jitter: duration(0), shortest: Pulse::from_micros(400), longest: Pulse::from_micros(600), gap: duration(601), silence: duration(10_000));
    let frame = |wire: Wire, width| {
        (0..4).fold(wire, |wire: Wire, _| wire.pulse(width).rest(500 - width)).pulse(width).rest(1_000)
    };
    let wire = [100, 100, 90, 110, 89, 100, 111, 100].into_iter().fold(Wire::new(Level::High, 0), frame);
    let mut decoder = setup.check::<4>().expect("a good setup");
    let _ = heard_at_edges(&mut decoder, &wire.edges);
    assert_eq!(decoder.setup(), &setup);
    assert_eq!(decoder.tally().good, 3, "{:?}", decoder.tally());
    assert_eq!((decoder.tally().of(Fault::Glitch), decoder.tally().of(Fault::WideSeparator)), (1, 1));
}

/// Given every fault of the list, when they are compared, then each has words and a counter of its own.
#[test]
fn every_fault_has_its_own_words() {
    let words: std::collections::BTreeSet<&str> = Fault::ALL.iter().map(|fault| fault.words()).collect();
    assert_eq!(words.len(), Fault::ALL.len());
    for (place, &fault) in Fault::ALL.iter().enumerate() {
        assert_eq!(fault as usize, place, "{fault}");
    }
}
