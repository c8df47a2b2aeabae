//! Which channel is which axis, in which direction; channels that are missing, too many, or nobody's.

use handback::{AxisSet, Channel, Channels, CheckedChannels, Deflection, Frame, Micros, Pulse};
use handback_host_tests::points;

use crate::oracle::us;

/// Four axes on channels 3, 0, 5 and 1 of six; axis 2 the other way round.
fn scattered() -> CheckedChannels<Micros, 4, 6> {
    let [a, b, mut c, d] = [3, 0, 5, 1].map(Channel::pulse);
    c.reversed = true;
    Channels::new([a, b, c, d]).check().expect("a good set-up")
}

fn train<const M: usize>(micros: [u32; M]) -> [Pulse; M] {
    micros.map(us)
}

#[test]
fn given_axes_on_scattered_channels_when_a_train_is_read_then_each_axis_is_its_own_channel_in_its_own_direction() {
    let frame = scattered().frame(&train([1600, 1700, 1111, 1550, 1222, 2000]));
    assert_eq!(frame, Frame::new([points(10), points(20), points(-100), points(40)]));
}

#[test]
fn given_a_frame_when_it_is_written_then_each_axis_is_on_its_channel_and_the_others_are_as_they_were() {
    let frame = Frame::new([points(10), points(20), points(-100), points(40)]);
    let sent = scattered().readings(&frame, train([900, 901, 1111, 902, 1222, 903]));
    assert_eq!(sent, Some(train([1600, 1700, 1111, 1550, 1222, 2000])));
}

#[test]
fn given_an_axis_without_a_channel_when_a_train_is_read_then_it_is_marked_and_when_one_is_written_it_writes_nothing() {
    let student = Channels::<_, 3, 2> { axes: [Some(Channel::pulse(1)), None, Some(Channel::pulse(0))] };
    let student = student.check().expect("a good set-up");
    let frame = student.frame(&train([1000, 2000]));
    assert_eq!(*frame.axes(), [points(100), Deflection::OUT_OF_RANGE, points(-100)]);
    assert_eq!(frame.out_of_range(), AxisSet::of(&[1]));
    // What has no channel cannot spoil what has one.
    assert_eq!(student.readings(&frame, train([1, 2])), Some(train([1000, 2000])));
}

#[test]
fn given_as_many_axes_and_channels_as_there_can_be_when_a_train_is_read_and_written_then_it_is_the_same() {
    let all = Channels::<_, 16, 16>::pulses().check().expect("a good set-up");
    let train: [Pulse; 16] = std::array::from_fn(|n| us(800 + 90 * u32::try_from(n).expect("small")));
    let frame = all.frame(&train);
    assert_eq!(all.readings(&frame, [Pulse::MIN; 16]), Some(train));
}
