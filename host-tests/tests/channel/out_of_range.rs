//! A reading out of range is marked and never becomes a stick position; the engine takes a frame with a mark as bad.

use handback::{AxisSet, Cause, Channel, Channels, Count, Deflection, Frame, Link, Micros, Pulse, Reading, Reception};
use handback_host_tests::{lesson_with, ms, points, sprung, with};

use crate::oracle::{channel, limited, one, read, us, write};

/// Pulses that no stick sends: none at all, half and twice a pulse, the gap of a train, the longest that can be
/// written.
fn nonsense() -> [Pulse; 6] {
    [us(0), us(749), us(2251), us(3000), us(12_000), Pulse::MAX]
}

/// Given a reading just in range and one just outside, when they are read, then the first is a deflection and the
/// second is marked.
#[test]
fn the_range_ends_at_its_last_reading() {
    let pulses = one(Channel::pulse(0));
    let at = |micros: u32, by: i16| read(&pulses, Pulse::from_bits(us(micros).to_bits().saturating_add_signed(by)));
    assert_eq!([at(750, 0), at(2250, 0)], [points(-150), points(150)]);
    assert_eq!([at(750, -1), at(2250, 1)], [Deflection::OUT_OF_RANGE; 2]);
    let counts = one(Channel::counts(0, [400, 2000, 3600], 4095));
    let at = |bits| read(&counts, Count::from_bits(bits));
    assert_eq!([200, 3800].map(at).map(|d| d.to_string()), ["-112.50 points", "112.50 points"]);
    assert_eq!([0, 199, 3801, 4095].map(at), [Deflection::OUT_OF_RANGE; 4]);
}

/// Given a range wider than deflections can be, when a reading is two travels from centre, then it is marked and does
/// not saturate.
#[test]
fn a_reading_two_travels_away_is_marked_not_saturated() {
    // 1600 steps of travel: 3199 are 32757.76 units, 3200 are 2^15.
    let steep = channel::<Micros>([1, 22_400, 24_000, 25_600, 65_534]);
    let at = |bits| read(&one(steep), Reading::from_bits(bits)).to_bits();
    assert_eq!([24_000 - 3199, 24_000 + 3199].map(at), [-32_758, 32_758]);
    assert_eq!([24_000 - 3200, 24_000 + 3200, 1, 65_534].map(at), [i16::MIN; 4]);
    // The widest travel of which twice as much fits into the range: even the last reading rounds to a deflection.
    let wide = one(channel::<handback::Counts>([1, 1, 33, 33 + 32_750, 65_534]));
    let at = |distance: u16| read(&wide, Reading::from_bits(33 + distance)).to_bits();
    assert_eq!([65_499, 65_500].map(at), [32_767, i16::MIN], "32767.4997 and 32768 units");
}

/// Given a trim that moves a reading past the deflections that can be written, when it is read, then it is marked.
#[test]
fn a_trim_past_what_can_be_written_marks_the_reading() {
    let steep = channel::<Micros>([1, 22_400, 24_000, 25_600, 65_534]);
    for (trim, side) in [(points(30), 1), (points(-30), -1)] {
        let trimmed = one(with!(steep, trim: trim));
        let at = |points: i16| read(&trimmed, Reading::from_bits(24_000u16.saturating_add_signed(points * 16)));
        assert_eq!(at(169 * side), points(199 * side));
        assert_eq!(at(170 * side), Deflection::OUT_OF_RANGE, "200 points");
        assert_eq!(at(199 * side), Deflection::OUT_OF_RANGE);
    }
}

/// Given a reading out of range from the instructor, when the engine gets the frame, then the frame is bad and the
/// student has nothing.
/// Rules: T4
#[test]
fn a_marked_frame_of_the_instructor_takes_the_craft() {
    let channels = Channels::<_, 4, 4>::pulses().check().expect("a good set-up");
    for plausible in [points(100), points(150), Deflection::MAX] {
        for pulse in nonsense() {
            for at in 0..4 {
                let mut train = [us(1500); 4];
                train[at] = pulse;
                let frame = channels.frame(&train);
                let flying = lesson_with(with!(sprung(), plausible: plausible)).student_flying();
                let taken = flying.instructor_sticks(*frame.axes()).step().instructor_has_the_craft();
                let taken = taken.because(Cause::BadFrame);
                assert_eq!(taken.outcome().instructor, Reception::Bad, "{pulse} at {at}, plausible {plausible}");
                assert_eq!(taken.outcome().output, Frame::CENTRE, "the last good frame stands in");
            }
        }
    }
}

/// Given a reading out of range from a student with small throws, when the engine gets the frame, then the frame is
/// bad, and later the link is lost.
/// Rules: L1, L3
#[test]
fn a_marked_frame_of_the_student_loses_the_link() {
    // With small throws, the reading would otherwise come out as a harmless deflection.
    let small = with!(limited(Channel::pulse(0), points(5)), rate: points(10));
    let numbered = [0, 1, 2, 3].map(|number| with!(small, number: number));
    let channels = Channels::<_, 4, 4>::new(numbered).check().expect("a good set-up");
    for plausible in [points(100), Deflection::MAX] {
        for pulse in nonsense() {
            let frame = channels.frame(&[us(1500), pulse, us(1500), us(1500)]);
            let flying = lesson_with(with!(sprung(), plausible: plausible)).student_flying();
            let bad = flying.student_sticks(*frame.axes()).step();
            assert_eq!(bad.outcome().student, Reception::Bad, "{pulse}");
            let lost = bad.pass(ms(200)).instructor_has_the_craft();
            assert_ne!(lost.outcome().link, Link::Good);
        }
    }
}

/// Given a student without a channel for an axis, when the axis is not shared, then the frames are good; when it is
/// shared, then they are bad.
/// Rules: L1
#[test]
fn a_missing_student_channel_is_bad_only_if_shared() {
    let axes = [Some(Channel::pulse(0)), Some(Channel::pulse(1)), None, Some(Channel::pulse(2))];
    let channels = Channels::<_, 4, 3> { axes }.check().expect("a good set-up");
    let frame = channels.frame(&[us(1500), us(1500), us(1500)]);
    let some = with!(sprung(), shared: AxisSet::of(&[0, 1, 3]));
    let flying = lesson_with(some).student_sticks(*frame.axes()).student_flying();
    assert_eq!(flying.outcome().student, Reception::Good);
    let refused = lesson_with(sprung()).student_sticks(*frame.axes()).off_first_and_on().pass(ms(3000));
    assert_eq!(refused.instructor_has_the_craft().outcome().student, Reception::Bad);
}

/// Given a frame with a marked axis, when it is written, then nothing is written.
#[test]
fn a_frame_with_a_marked_axis_is_not_written() {
    let craft = Channels::<_, 2, 2>::pulses().check().expect("a good set-up");
    let frame = Frame::new([Deflection::CENTRE, Deflection::OUT_OF_RANGE]);
    assert_eq!(craft.readings(&frame, [us(1500); 2]), None);
    assert_eq!(write(&one(Channel::pulse(0)), Deflection::OUT_OF_RANGE), None);
    let least = Deflection::from_bits(Deflection::OUT_OF_RANGE.to_bits() + 1);
    assert_eq!(write(&one(Channel::pulse(0)), least), Some(us(750)), "stops at the edge, but is a stick");
}
