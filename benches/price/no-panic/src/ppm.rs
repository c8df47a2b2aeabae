//! Pulse trains in and out.

use handback::ppm::{Decoder, DecoderSetup, Edge, Encoder, EncoderSetup, Fault, Field, Level, PpmError};
use handback::{Instant, Pulse};

use crate::{any, used};

pub(crate) fn call<const N: usize>() {
    match any(any(DecoderSetup::new(any(Level::Low))).check::<N>()) {
        Ok(mut decoder) => receive(any(&mut decoder)),
        Err(why) => refused(&why),
    }
    match any(any(EncoderSetup::new(any(Level::Low).other())).check::<N>()) {
        Ok(mut encoder) => send(any(&mut encoder)),
        Err(why) => refused(&why),
    }
}

fn receive<const N: usize>(decoder: &mut Decoder<N>) {
    while any(true) {
        decoder.edge(Edge { at: Instant::from_ticks(any(0)), level: Level::from(any(true)) });
        if any(true) {
            decoder.overrun();
        }
        used(decoder.poll(Instant::from_ticks(any(0))));
        used((decoder.setup(), decoder.channels(), decoder.tally().faults()));
        used((decoder.tally().of(any(Fault::Glitch)), any(Fault::Glitch).words()));
    }
}

fn send<const N: usize>(encoder: &mut Encoder<N>) {
    while any(true) {
        used(encoder.start(Instant::from_ticks(any(0)), any(&[Pulse::MIN; N])));
        used(encoder.send(any(&[Pulse::MIN; N])));
        used((encoder.next_edge(), encoder.setup(), encoder.channels()));
        if any(true) {
            encoder.stop();
        }
    }
}

fn refused(why: &PpmError) {
    used((why.field(), any(Field::Gap).name(), why.message().as_str()));
}
