//! Readings to deflections and back.

use handback::{AxisSet, Channel, ChannelError, Channels, CheckedChannels, Counts, Frame, Micros, Reading, Unit};

use crate::{any, used};

pub(crate) fn call<const N: usize>() {
    let pulses = any(Channels::<Micros, N, N>::pulses()).meeting(any(&Frame::CENTRE), any(AxisSet::ALL));
    convert(pulses.check());
    used(Channel::pulse(any(0)));
    let channel = Channel::counts(any(0), any([0; 3]), any(0));
    convert(any(Channels::<Counts, N, N>::new(any([channel; N]))).check());
}

fn convert<U: Unit, const N: usize>(checked: Result<CheckedChannels<U, N, N>, ChannelError<U>>) {
    match any(checked) {
        Ok(channels) => {
            let readings = any([Reading::MIN; N]);
            used((
                channels.channels(),
                channels.frame(any(&readings)),
                channels.readings(any(&Frame::CENTRE), readings),
            ));
        }
        Err(why) => used((why.axis(), why.field(), why.message().as_str())),
    }
}
