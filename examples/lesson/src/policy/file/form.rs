//! The form in which the value of a key is written.

use super::axis::Stick;
use crate::number::{CHANNELS, FRAMES, MICROSECONDS, MILLISECONDS, PERCENT, POINTS, Unit};
use crate::policy::fields::{AXIS, Choice, Field, Kind, LATCHES, PHRASE_LASTS, STILL, WHERE_LEFT, whole};
use crate::policy::wiring::{CHANNEL, CUE, CUES, TRAIN_IN, TRAIN_OUT};

pub(super) enum Form {
    /// A number with its unit, and an example.
    Number(&'static Unit, &'static str),
    Flag,
    /// Whole numbers of milliseconds.
    List,
    /// One of these words, in quotes.
    Words(Vec<&'static str>),
}

const IN_POINTS: Form = Form::Number(&POINTS, "2.5");
const IN_MILLISECONDS: Form = Form::Number(&MILLISECONDS, "300");

/// The form of the value of this key, if there is a key of this name.
pub(super) fn form(key: &str) -> Option<Form> {
    match key {
        "kind" => Some(words::<Stick>()),
        key if key == WHERE_LEFT.0 => Some(Form::Words(vec![WHERE_LEFT.1])),
        key if key == STILL.1 => Some(IN_MILLISECONDS),
        key if key == PHRASE_LASTS.1 => Some(IN_MILLISECONDS),
        key => {
            let of_policy = of_field(key, &AXIS).or_else(|| of_field(key, &LATCHES));
            let of_policy = of_policy.or_else(|| of_field(key, &whole::<1>()));
            let of_trains = || of_field(key, &TRAIN_IN).or_else(|| of_field(key, &TRAIN_OUT));
            let of_cues = || of_field(key, &CUES).or_else(|| of_field(key, &CUE));
            of_policy.or_else(|| of_field(key, &CHANNEL)).or_else(of_trains).or_else(of_cues)
        }
    }
}

fn of_field<T>(key: &str, fields: &[Field<T>]) -> Option<Form> {
    fields.iter().find(|field| field.key == key).map(|field| match field.kind {
        Kind::Points(_) | Kind::MaybePoints(_) | Kind::Rest(_) => IN_POINTS,
        Kind::Time(_) | Kind::MaybeTime(_) => IN_MILLISECONDS,
        Kind::Count(_) => Form::Number(&FRAMES, "3"),
        Kind::Micros(_) | Kind::Pulse(_) => Form::Number(&MICROSECONDS, "1500"),
        Kind::Percent(_) => Form::Number(&PERCENT, "60"),
        Kind::Number(_) | Kind::MaybeCount(_) | Kind::Phrase(_) => Form::Number(&CHANNELS, "8"),
        Kind::Level(_) => words::<handback::ppm::Level>(),
        Kind::Rhythm(_) => Form::List,
        Kind::Flag(_) | Kind::Axes(_) => Form::Flag,
        Kind::Scope(_) => words::<handback::Scope>(),
        Kind::Transfer(_) => words::<handback::Transfer>(),
    })
}

fn words<T: Choice>() -> Form {
    Form::Words(T::ALL.iter().map(|choice| choice.word()).collect())
}
