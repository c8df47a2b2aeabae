//! The channel and the direction of each axis; trains of another length, and channels without an axis.

use handback::{AxisSet, Channel, Channels, CheckedChannels, Deflection, Frame, Micros, Pulse};
use handback_host_tests::points;

use crate::oracle::us;

/// Four axes on channels 3, 0, 5 and 1 of six; axis 2 is reversed.
fn scattered() -> CheckedChannels<Micros, 4, 6> {
    let [a, b, mut c, d] = [3, 0, 5, 1].map(Channel::pulse);
    c.reversed = true;
    Channels::new([a, b, c, d]).check().expect("a good set-up")
}

fn train<const M: usize>(micros: [u32; M]) -> [Pulse; M] {
    micros.map(us)
}

/// Given axes on scattered channels, when a train is read, then each axis has the value of its own channel in its own
/// direction.
#[test]
fn each_axis_reads_its_own_channel_in_its_own_direction() {
    let frame = scattered().frame(&train([1600, 1700, 1111, 1550, 1222, 2000]));
    assert_eq!(frame, Frame::new([points(10), points(20), points(-100), points(40)]));
}

/// Given a frame, when it is written, then each axis is on its channel, and the other channels stay as they were.
#[test]
fn a_frame_writes_its_channels_and_leaves_the_others() {
    let frame = Frame::new([points(10), points(20), points(-100), points(40)]);
    let sent = scattered().readings(&frame, train([900, 901, 1111, 902, 1222, 903]));
    assert_eq!(sent, Some(train([1600, 1700, 1111, 1550, 1222, 2000])));
}

/// Given an axis without a channel, when a train is read, then the axis is marked; when a frame is written, then the
/// axis writes nothing.
#[test]
fn an_axis_without_a_channel_is_marked_and_writes_nothing() {
    let student = Channels::<_, 3, 2> { axes: [Some(Channel::pulse(1)), None, Some(Channel::pulse(0))] };
    let student = student.check().expect("a good set-up");
    let frame = student.frame(&train([1000, 2000]));
    assert_eq!(*frame.axes(), [points(100), Deflection::OUT_OF_RANGE, points(-100)]);
    assert_eq!(frame.out_of_range(), AxisSet::of(&[1]));
    // The mark of an axis without a channel does not make the frame unwritable.
    assert_eq!(student.readings(&frame, train([1, 2])), Some(train([1000, 2000])));
}

/// Given 16 axes on 16 channels, the most there can be, when a train is read and written, then it is the same.
#[test]
fn sixteen_axes_read_and_write_the_same_train() {
    let all = Channels::<_, 16, 16>::pulses().check().expect("a good set-up");
    let train: [Pulse; 16] = std::array::from_fn(|n| us(800 + 90 * u32::try_from(n).expect("small")));
    let frame = all.frame(&train);
    assert_eq!(all.readings(&frame, [Pulse::MIN; 16]), Some(train));
}
