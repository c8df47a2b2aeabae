//! Pulse trains in and out.

use handback::ppm::{
    Counter, Decoder, DecoderSetup, Edge, Encoder, EncoderSetup, Fault, Field, Level, SetupError,
};
use handback::{Instant, Pulse};

use crate::{any, used};

pub(crate) fn call<const N: usize>() {
    let mut counter = Counter::<16, 1>::starting_at(any(0));
    used((counter.at(any(0)), counter.count_at(Instant::from_ticks(any(0)))));

    match any(Decoder::<N>::new(any(DecoderSetup::new(any(Level::Low))))) {
        Ok(mut decoder) => receive(any(&mut decoder)),
        Err(why) => refused(&why),
    }
    match any(Encoder::<N>::new(any(EncoderSetup::new(any(Level::Low).other())))) {
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
        used((decoder.setup(), decoder.tally().faults()));
        used((decoder.tally().of(any(Fault::Glitch)), any(Fault::Glitch).words()));
    }
}

fn send<const N: usize>(encoder: &mut Encoder<N>) {
    while any(true) {
        used(encoder.start(Instant::from_ticks(any(0)), any(&[Pulse::MIN; N])));
        used(encoder.send(any(&[Pulse::MIN; N])));
        used((encoder.next_edge(), encoder.setup()));
        if any(true) {
            encoder.stop();
        }
    }
}

fn refused(why: &SetupError) {
    used((why.field(), any(Field::Gap).name(), why.message().as_str()));
}
