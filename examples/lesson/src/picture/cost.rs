//! The picture of the cost of a delay: height lost, distance flown on, and the effect of `confirm`.

mod confirm;
mod curve;
mod fall;
mod speeds;

use std::fmt;

use super::canvas::{Canvas, Drawn, Lettering, Point, dressed};
use super::caution;
use super::palette::{INK, QUIET};
use super::scale::round_up;
use crate::cost::fall::{Flight, Lift, distance_m};
use crate::cost::page::short;
use crate::cost::{Cost, NO_PROMISE, Question};

const WIDTH: f64 = 1280.0;
const LEFT: f64 = 20.0;
/// The top of the panels, in pixels.
const PANELS: f64 = 160.0;
/// The top of the rows of `confirm`.
const CONFIRM: f64 = PANELS + 352.0;

/// The description of the model, below the charts.
const MODEL: [&str; 5] = [
    "The craft flies on as it did: distance = speed x time; height lost = speed x sin(dive) x time \
     + 1/2 g cos(dive)\u{b2} (1 - cos(bank)) x time\u{b2}, g = 9.80665 m/s\u{b2}.",
    "The size of the lift does not change; the bank tilts it. No lift is free fall, 1/2 g x time\u{b2}. A wing's path \
     bends: beyond about half of speed / g the curves are only orders of magnitude.",
    "Not in it: the recovery, the student's sticks meanwhile, wind, frames that are lost or bad, a throttle that waits for \
     its stick. A push on the elevator goes down faster than any of this.",
    "1 s: the least delay of a pilot's action after an engine failure in cruise, or normal pilot reaction, if longer, 14 CFR \
     27.143(e), 29.143(e).",
    "2.5 s: brake reaction of AASHTO's design of roads. Borrowed figures: measure your own.",
];

/// The picture as SVG.
pub(crate) fn svg(question: &Question) -> Result<String, fmt::Error> {
    let mut svg = String::new();
    let below = CONFIRM + confirm::height(question);
    #[allow(clippy::cast_precision_loss)] // a handful of lines
    let size = (WIDTH, below + 18.0 * (MODEL.len() + 1) as f64 + 6.0 + caution::HEIGHT);
    let canvas = Canvas::new(&mut svg, size)?;
    let (title, said) = ("What a delay costs until the craft is the instructor's", headline(question));
    canvas.words((LEFT, 24.0), title, Lettering::new(19.0, INK).bold())?;
    words(&canvas, (LEFT, 46.0), &said, Lettering::new(13.0, INK))?;
    fall::draw(&canvas, PANELS, question)?;
    speeds::draw(&canvas, PANELS, question)?;
    confirm::draw(&canvas, CONFIRM, question)?;
    words(&canvas, (LEFT, below), &MODEL, Lettering::new(12.0, QUIET))?;
    #[allow(clippy::cast_precision_loss)] // a handful of lines
    let foot = below + 18.0 * MODEL.len() as f64 + 6.0;
    words(&canvas, (LEFT, foot), &[NO_PROMISE], Lettering::new(12.5, INK).bold())?;
    caution::draw(&canvas, foot + 9.0)?;
    canvas.finish()?;
    Ok(dressed(&svg, size, title, &format!("{}. {NO_PROMISE}", said.join(". "))))
}

/// The delay and its cost, in words.
fn headline(question: &Question) -> Vec<String> {
    let (delay, worst) = (&question.delay, question.delay.whole().worst_s);
    let whose = question.reaction.map_or("as given", crate::cost::delay::Reaction::words);
    let mut said = vec![format!(
        "human {} ({whose}) + electronics {} at worst, {} on average (frames every {}, confirm {}) = {} at worst",
        ms(delay.reaction_s),
        ms(delay.electronics().worst_s),
        ms(delay.electronics().mean_s),
        ms(delay.frame_s),
        delay.confirm,
        ms(worst),
    )];
    if let Some(&bank) = question.banks.last() {
        let flight = Flight::level(Lift::Banked(bank));
        said.push(told(&format!("level, {}: height lost", name(Lift::Banked(bank))), question, |s| {
            flight.height_lost_m(s)
        }));
    }
    if let Some(&speed) = question.speeds.last() {
        said.push(told(&format!("{} m/s: flown on", short(speed)), question, |s| distance_m(speed, s)));
    }
    said
}

fn told(what: &str, question: &Question, metres: impl Fn(f64) -> f64) -> String {
    let cost = Cost::of(&question.delay, metres);
    let ([whole, electronics], frame) = ([cost.whole, cost.electronics()].map(in_metres), cost.one_more_frame);
    format!("{what} {whole} m, {electronics} m of it electronics; one more frame of confirm: {frame:.3} m")
}

/// Draws lines of words, one below the other.
fn words(canvas: &Canvas<'_>, (x, y): Point, lines: &[impl AsRef<str>], how: Lettering) -> Drawn {
    let levels = (0_u8..).map(|line| y + 18.0 * f64::from(line));
    levels.zip(lines).try_for_each(|(y, line)| canvas.words((x, y), line.as_ref(), how))
}

/// Seconds as text in milliseconds.
fn ms(seconds: f64) -> String {
    format!("{} ms", short(seconds * 1e3))
}

/// The lift in a few words.
fn name(lift: Lift) -> String {
    match lift {
        Lift::Banked(deg) => format!("bank {}\u{b0}", short(deg)),
        Lift::None => "no lift".into(),
    }
}

/// Metres as text: with centimetres below 1000 m, otherwise whole.
fn in_metres(metres: f64) -> String {
    if metres < 1000.0 { format!("{metres:.2}") } else { format!("{metres:.0}") }
}

/// A round step that divides the range from 0 to `to` into at most six parts.
fn step(to: f64) -> f64 {
    round_up(to / 6.0)
}

#[cfg(test)]
mod tests;
