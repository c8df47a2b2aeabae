//! The format of a train, found whatever it is.

use handback::ppm::{Encoder, EncoderSetup, Level};
use handback::{Instant, Pulse};
use trainer_box::{Ear, Format, MOST_CHANNELS};

/// Sends this many frames of a train into an ear; the formats that it found, and the trains that it read.
fn heard(ear: &mut Ear, format: Format, start: u32, frames: u32) -> (Vec<Format>, Vec<Vec<u16>>) {
    let mut setup = EncoderSetup::new(format.separators);
    setup.channels = Some(format.channels);
    setup.frame_length = handback::Duration::from_micros(42_000);
    let mut encoder: Encoder<MOST_CHANNELS> = setup.check().expect("in order");
    let mut channel = 0;
    let widths = [0; MOST_CHANNELS].map(|_| {
        channel += 17;
        Pulse::from_micros(1_000 + channel)
    });
    assert!(encoder.start(Instant::from_ticks(start), &widths).is_empty());
    let (mut found, mut trains) = (Vec::new(), Vec::new());
    let mut next = encoder.next_edge();
    for now in (start..start + frames * 42_000).step_by(1_000) {
        while let Some(edge) = next.filter(|edge| edge.at.as_ticks() <= now) {
            ear.edge(edge);
            next = encoder.next_edge();
        }
        let (changed, train) = ear.poll(Instant::from_ticks(now));
        if changed {
            found.extend(ear.found());
        }
        let count = usize::from(format.channels);
        trains.extend(train.map(|train| train[..count].iter().map(|width| width.to_micros()).collect::<Vec<_>>()));
    }
    (found, trains)
}

/// Given trains of every number of channels and of both levels on one line after another, when they come, then each
/// is found and read as it was sent, and nothing else is found.
#[test]
fn level_and_number_of_channels_are_found() {
    let mut ear = Ear::new();
    let mut start = 1_000;
    for separators in [Level::High, Level::Low] {
        for channels in 4..=16 {
            let format = Format { separators, channels };
            let (found, trains) = heard(&mut ear, format, start, 12);
            assert_eq!(found, [format]);
            assert!((5..12).contains(&trains.len()), "{}", trains.len());
            let sent: Vec<u16> = (1..=u16::from(channels)).map(|channel| 1_000 + channel * 17).collect();
            assert!(trains.iter().all(|train| *train == sent), "{trains:?}");
            start += 12 * 42_000 + 100_000;
        }
    }
}

/// Given a line without edges, when time passes, then nothing is found.
#[test]
fn a_silent_line_has_no_format() {
    let mut ear = Ear::new();
    for now in (0..1_000_000).step_by(1_000) {
        assert_eq!(ear.poll(Instant::from_ticks(now)), (false, None));
    }
    assert_eq!(ear.found(), None);
}
