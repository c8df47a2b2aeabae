//! The words of faults and of refused set-ups.

use handback::ppm::{DecoderSetup, EncoderSetup, Fault, Level};
use handback::{Duration, Pulse};
use handback_host_tests::us;

type Decodes = fn(&mut DecoderSetup);
type Encodes = fn(&mut EncoderSetup);

/// Given each fault of a train, when it is printed, then it has words of its own.
#[test]
fn each_fault_has_words_of_its_own() {
    let said = Fault::ALL.map(|fault| fault.to_string());
    let expected = [
        "lost edge",
        "pulse too short",
        "pulse too long",
        "channel out of range",
        "wrong number of channels",
        "uneven pulses",
        "no gap",
        "wrong polarity",
        "silence",
        "edge given too late",
        "edges lost by the hardware",
    ];
    for words in expected {
        assert_eq!(said.iter().filter(|said| *said == words).count(), 1, "{words}: {said:?}");
    }
    assert_eq!(said.len(), expected.len());
}

/// Given each field of a decoder or an encoder that is wrong, when the set-up is checked, then the text names the field, the
/// value and what is accepted.
#[test]
fn a_refused_set_up_names_field_value_and_mend() {
    let decoders: [(Decodes, &str); 6] = [
        (|set_up| set_up.channels = Some(3), "channels is 3: it must be 4 to 8"),
        (|set_up| set_up.narrowest = Duration::from_ticks(0), "narrowest is 0: a separator must have a width"),
        (
            |set_up| (set_up.narrowest, set_up.widest) = (us(300), us(299)),
            "widest is 299 us: it must be narrowest, 300 us, or more",
        ),
        (
            |set_up| (set_up.widest, set_up.shortest) = (us(700), Pulse::from_micros(700)),
            "widest is 700 us: it must be below shortest, 700 us",
        ),
        (
            |set_up| (set_up.longest, set_up.gap) = (Pulse::from_micros(2200), us(2200)),
            "gap is 2200 us: it must be above longest, 2200 us",
        ),
        (
            |set_up| (set_up.gap, set_up.silence) = (us(3000), us(3000)),
            "silence is 3000 us: it must be above gap, 3000 us, and at most half the range of the clock, 2147483648 us",
        ),
    ];
    for (change, text) in decoders {
        let mut set_up = DecoderSetup::new(Level::High);
        change(&mut set_up);
        assert_eq!(set_up.check::<8>().expect_err(text).to_string(), text);
    }
    let encoders: [(Encodes, &str); 3] = [
        (|set_up| set_up.separator = us(750), "separator is 750 us: it must be below shortest, 750 us"),
        (|set_up| set_up.longest = Pulse::from_micros(749), "longest is 749 us: it must be shortest, 750 us, or more"),
        (
            |set_up| set_up.frame_length = us(21_299),
            "frame_length is 21299 us: 8 channels at their longest, a separator and the gap need 21300 us",
        ),
    ];
    for (change, text) in encoders {
        let mut set_up = EncoderSetup::new(Level::High);
        change(&mut set_up);
        assert_eq!(set_up.check::<8>().expect_err(text).to_string(), text);
    }
}
