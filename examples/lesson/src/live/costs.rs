//! What a reaction costs this craft in metres, by the model of the command `cost`.

use std::path::Path;

use handback::Policy;

use super::FRAME_S;
use crate::cost::Cost;
use crate::cost::delay::{Delay, Reaction};
use crate::cost::fall::{Flight, Lift, distance_m};
use crate::error::Fault;

/// What radio links, box and servo take, in seconds: common practice, no source. The default of the command `cost`.
const LINK_S: f64 = 0.02;
/// The longest reaction that the command `cost` takes, in milliseconds.
const LONGEST_MS: f64 = 60_000.0;
/// Degrees.
const BANKS: [f64; 3] = [30.0, 60.0, 90.0];
const DIVE: f64 = 30.0;

/// The cost of a reaction. The recovery is not in it.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Costs {
    /// What is lost or flown on, flight by flight.
    pub rows: Vec<CostRow>,
    /// Reactions of others, to compare with.
    pub borrowed: Vec<Borrowed>,
}

/// The cost in one kind of flight, in metres.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct CostRow {
    /// The flight.
    pub words: String,
    /// By the reaction alone.
    pub human_m: f64,
    /// With the electronics, at worst.
    pub whole_m: f64,
}

/// A reaction from elsewhere.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Borrowed {
    /// Whose it is.
    pub words: &'static str,
    /// Where the figure comes from.
    pub source: &'static str,
    /// Milliseconds.
    pub ms: f64,
}

pub(super) fn of<const N: usize>(reaction_ms: f64, speed: f64, policy: &Policy<N>) -> Result<Costs, Fault> {
    if !(0.0..=LONGEST_MS).contains(&reaction_ms) {
        let found = format!("a reaction of {reaction_ms} ms");
        return Err(Fault::new(Path::new("cost"), found, format!("give 0 to {LONGEST_MS} ms")));
    }
    let watched = (0_u8..).zip(&policy.axes).filter(|(number, _)| policy.watched.contains(*number));
    let confirm = watched.map(|(_, rule)| rule.confirm).max().unwrap_or(1);
    let delay = Delay { reaction_s: reaction_ms / 1e3, frame_s: FRAME_S, confirm, link_s: LINK_S, output_frame_s: 0.0 };
    let row = |words: String, metres: &dyn Fn(f64) -> f64| {
        let cost = Cost::of(&delay, metres);
        CostRow { words, human_m: cost.human, whole_m: cost.whole }
    };
    let mut rows = vec![row(format!("flown on at {speed} m/s"), &|after_s| distance_m(speed, after_s))];
    for bank in BANKS {
        let flight = Flight::level(Lift::Banked(bank));
        rows.push(row(format!("height lost, banked by {bank} degrees"), &|after_s| flight.height_lost_m(after_s)));
    }
    let dive = Flight { speed_m_s: speed, dive_deg: DIVE, lift: Lift::Banked(0.0) };
    let words = format!("height lost, {DIVE} degrees down at {speed} m/s");
    rows.push(row(words, &|after_s| dive.height_lost_m(after_s)));
    let fall = Flight::level(Lift::None);
    rows.push(row("height lost without lift".to_owned(), &|after_s| fall.height_lost_m(after_s)));
    let borrowed = Reaction::ALL.map(|reaction| Borrowed {
        words: reaction.plain(),
        source: reaction.source(),
        ms: reaction.seconds() * 1e3,
    });
    Ok(Costs { rows, borrowed: borrowed.to_vec() })
}
