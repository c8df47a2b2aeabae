//! The check of a set-up, and its errors.

use handback::ppm::{DecoderSetup, EncoderSetup, Field, Level, PpmError};
use handback::{Duration, Pulse};

use super::wire::duration;

/// A change of one field of a good set-up.
type Change<'a, S> = &'a dyn Fn(&mut S);

fn us(micros: u32) -> Pulse {
    Pulse::from_micros(micros)
}

fn decoder(change: impl Fn(&mut DecoderSetup)) -> Option<PpmError> {
    let mut setup = DecoderSetup::new(Level::High);
    change(&mut setup);
    setup.check::<8>().err()
}

fn encoder(change: impl Fn(&mut EncoderSetup)) -> Option<PpmError> {
    let mut setup = EncoderSetup::new(Level::High);
    change(&mut setup);
    setup.check::<8>().err()
}

/// Given a decoder's set-up with one field at its limit or beyond, when it is built, then beyond the limit it is
/// refused by name.
#[test]
fn a_decoder_refuses_what_cannot_be_told_apart() {
    assert_eq!(decoder(|_| ()), None);
    let refused: [(PpmError, Change<'_, DecoderSetup>); 8] = [
        (PpmError::Zero { field: Field::Narrowest }, &|s| s.narrowest = duration(0)),
        (PpmError::Widest { widest: duration(199), narrowest: duration(200) }, &|s| s.widest = duration(199)),
        (PpmError::Separator { field: Field::Widest, separator: duration(700), shortest: us(700) }, &|s| {
            s.widest = duration(700);
        }),
        (PpmError::Longest { longest: us(699), shortest: us(700) }, &|s| s.longest = us(699)),
        (PpmError::Gap { gap: duration(2_300), longest: us(2_300) }, &|s| s.gap = duration(2_300)),
        (PpmError::Silence { silence: duration(2_500), gap: duration(2_500) }, &|s| s.silence = duration(2_500)),
        (PpmError::Silence { silence: duration((1 << 31) + 1), gap: duration(2_500) }, &|s| {
            s.silence = duration((1 << 31) + 1);
        }),
        (PpmError::Gap { gap: duration(2_500), longest: Pulse::MAX }, &|s| s.longest = Pulse::MAX),
    ];
    for (why, change) in refused {
        assert_eq!(decoder(change), Some(why));
    }
    let taken: [Change<'_, DecoderSetup>; 7] = [
        &|s| s.narrowest = duration(1),
        &|s| s.widest = duration(200),
        &|s| s.widest = duration(699),
        &|s| s.longest = us(700),
        &|s| s.gap = duration(2_301),
        &|s| s.silence = duration(2_501),
        &|s| s.silence = duration(1 << 31),
    ];
    for change in taken {
        assert_eq!(decoder(change), None);
    }
}

/// Given an encoder's set-up with one field at its limit or beyond, when it is built, then beyond the limit it is
/// refused by name.
#[test]
fn an_encoder_refuses_what_does_not_fit() {
    assert_eq!(encoder(|_| ()), None);
    // 8 * 2250 + 300 + 3000
    let frame = |us| PpmError::FrameLength { frame_length: duration(us), channels: 8, needed: duration(21_300) };
    let endless = Duration::from_ticks(u32::MAX);
    let refused: [(PpmError, Change<'_, EncoderSetup>); 7] = [
        (PpmError::Zero { field: Field::Separator }, &|s| s.separator = duration(0)),
        (PpmError::Separator { field: Field::Separator, separator: duration(750), shortest: us(750) }, &|s| {
            s.separator = duration(750);
        }),
        (PpmError::Longest { longest: us(749), shortest: us(750) }, &|s| s.longest = us(749)),
        (PpmError::Gap { gap: duration(2_250), longest: us(2_250) }, &|s| s.gap = duration(2_250)),
        (frame(21_299), &|s| s.frame_length = duration(21_299)),
        (frame(0), &|s| s.frame_length = duration(0)),
        (PpmError::FrameLength { frame_length: endless, channels: 8, needed: endless }, &|s| {
            s.gap = endless;
            s.frame_length = endless;
        }),
    ];
    for (why, change) in refused {
        assert_eq!(encoder(change), Some(why));
    }
    let taken: [Change<'_, EncoderSetup>; 4] =
        [&|s| s.separator = duration(749), &|s| s.longest = us(750), &|s| s.gap = duration(2_251), &|s| {
            s.frame_length = duration(21_300);
        }];
    for change in taken {
        assert_eq!(encoder(change), None);
    }
}

/// Given a number of channels at its limit or beyond, when a decoder and an encoder are built, then beyond the limit it
/// is refused by name, and the frame must only be long enough for the channels of the train.
#[test]
fn a_train_has_four_channels_or_more_and_fits_the_room() {
    for room in [8, 16] {
        for set in [None, Some(0), Some(3), Some(4), Some(8), Some(9), Some(16), Some(17), Some(u8::MAX)] {
            let mut input = DecoderSetup::new(Level::High);
            let mut output = EncoderSetup::new(Level::High);
            (input.channels, output.channels) = (set, set);
            output.frame_length = duration(40_000);
            let (input, output) = if room == 8 {
                (input.check::<8>().map(|made| made.channels()), output.check::<8>().map(|made| made.channels()))
            } else {
                (input.check::<16>().map(|made| made.channels()), output.check::<16>().map(|made| made.channels()))
            };
            let channels = set.unwrap_or(room);
            let fits = (4..=room).contains(&channels);
            let expected = if fits { Ok(channels) } else { Err(PpmError::Channels { channels, room }) };
            assert_eq!((input, output), (expected, expected), "{set:?} in {room}");
        }
    }
    let mut output = EncoderSetup::new(Level::High);
    output.channels = Some(8);
    assert!(output.check::<16>().is_ok());
    output.channels = Some(9);
    let frame_length = output.frame_length;
    let why = PpmError::FrameLength { frame_length, channels: 9, needed: duration(23_550) };
    assert_eq!(output.check::<16>().err(), Some(why));
}

/// Given the default frame, when channels are added, then eight fit at their longest, and for nine the error says what
/// they need.
#[test]
fn eight_channels_fit_the_default_frame_and_nine_do_not() {
    assert!(EncoderSetup::new(Level::Low).check::<8>().is_ok());
    let why = EncoderSetup::new(Level::Low).check::<9>().expect_err("too long");
    assert_eq!(
        why.to_string(),
        "frame_length is 22500 us: 9 channels at their longest, a separator and the gap need 23550 us"
    );
}

/// Given every error, when it is printed, then it names field, value and remedy.
#[test]
fn every_error_names_field_value_and_remedy() {
    let (short, long) = (duration(111), duration(222));
    let (narrow, wide) = (us(333), us(444));
    let texts = [
        (PpmError::Channels { channels: 255, room: 16 }, "channels is 255: it must be 4 to 16"),
        (PpmError::Zero { field: Field::Separator }, "separator is 0: a separator must have a width"),
        (
            PpmError::Widest { widest: short, narrowest: long },
            "widest is 111 us: it must be narrowest, 222 us, or more",
        ),
        (
            PpmError::Separator { field: Field::Widest, separator: short, shortest: narrow },
            "widest is 111 us: it must be below shortest, 333 us",
        ),
        (
            PpmError::Longest { longest: narrow, shortest: wide },
            "longest is 333 us: it must be shortest, 444 us, or more",
        ),
        (PpmError::Gap { gap: short, longest: narrow }, "gap is 111 us: it must be above longest, 333 us"),
        (
            PpmError::Silence { silence: short, gap: long },
            "silence is 111 us: it must be above gap, 222 us, and at most half the range of the clock, 2147483648 us",
        ),
        (
            PpmError::FrameLength { frame_length: Duration::MAX, channels: 16, needed: Duration::MAX },
            "frame_length is 4294967295 us: 16 channels at their longest, a separator and the gap need 4294967295 us",
        ),
    ];
    for (error, text) in texts {
        assert_eq!(error.to_string(), text);
        assert!(text.starts_with(error.field().name()));
    }
}

/// Given a set-up and a tally, when they are written and read, then they are the same, and an unknown field is refused.
#[test]
fn setups_and_tallies_survive_the_way_out_and_back() {
    let (input, output) = (DecoderSetup::new(Level::Low), EncoderSetup::new(Level::High));
    let text = serde_json::to_string(&input).expect("written");
    assert_eq!(serde_json::from_str::<DecoderSetup>(&text).expect("read"), input);
    assert!(serde_json::from_str::<DecoderSetup>(&text.replacen("jitter", "jiter", 1)).is_err());
    let text = serde_json::to_string(&output).expect("written");
    assert_eq!(serde_json::from_str::<EncoderSetup>(&text).expect("read"), output);
    let mut decoder = input.check::<8>().expect("a good set-up");
    decoder.overrun();
    let text = serde_json::to_string(decoder.tally()).expect("written");
    assert_eq!(&serde_json::from_str::<handback::ppm::Tally>(&text).expect("read"), decoder.tally());
}
