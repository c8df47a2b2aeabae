//! The steps of `learn` in words.

use handback::ppm::Level;
use trainer_box::Side;
use trainer_box_learn::{Ask, End, Wrong};

pub(super) fn name(side: Side) -> &'static str {
    if side == Side::Instructor { "instructor" } else { "student" }
}

pub(super) fn level(separators: Level) -> &'static str {
    if separators == Level::High { "high" } else { "low" }
}

/// Whose transmitter is asked for.
pub(super) fn side(ask: Ask) -> Option<Side> {
    match ask {
        Ask::Middle { side } | Ask::Alone { side, .. } | Ask::Back { side, .. } | Ask::All { side, .. } => Some(side),
        _ => None,
    }
}

/// What people are asked for; nothing where they have been asked already.
pub(super) fn ask(ask: Ask, names: &[&str]) -> Option<String> {
    Some(match ask {
        Ask::Alone { side, axis } => {
            let stick = of(axis, names);
            format!("{}: hold the {stick} stick {}, that stick alone.", name(side), way(stick))
        }
        Ask::Back { channel, .. } => format!("  channel {channel}. Back to the middle."),
        Ask::All { side, prompt } => format!("{}: {}", name(side), prompt.wording()),
        _ => return None,
    })
}

/// Where a stick goes while it is moved alone.
fn way(stick: &str) -> &'static str {
    match stick {
        "aileron" | "rudder" => "right",
        "elevator" | "throttle" => "up",
        _ => "right or up",
    }
}

/// What was wrong, and what to do.
pub(super) fn wrong(wrong: Wrong, names: &[&str]) -> String {
    match wrong {
        Wrong::Together { channels: [one, other] } => format!(
            "Channels {one} and {other} moved together: all sticks back to the middle, mixes of the transmitter off, then again."
        ),
        Wrong::Taken { channel, by } => format!(
            "Channel {channel} is that of the {} stick: all sticks back to the middle, then again.",
            of(by, names)
        ),
        Wrong::WrongWay { axis } => format!("The {} stick is at the wrong end: move it to the other.", of(axis, names)),
        Wrong::Touched => "A stick was touched: the rest begins again.".to_owned(),
        _ => "That was wrong: again.".to_owned(),
    }
}

/// Why there is no plan, and what to do.
pub(super) fn end(end: End, names: &[&str]) -> (String, &'static str) {
    match end {
        End::LinkLost { side } => {
            (format!("the {}'s train stopped for a second", name(side)), "check plug and cable, and begin again")
        }
        End::OtherTrain { side } => {
            (format!("the {}'s train became another one", name(side)), "check plug and cable, and begin again")
        }
        End::NotStill { side } => (
            format!("the {}'s sticks were not in the middle and still for two minutes", name(side)),
            "begin again: all sticks in the middle, hands off",
        ),
        End::NotMoved { side, axis } => (
            format!("no channel of the {} moved for the {} stick", name(side), of(axis, names)),
            "begin again: hold the stick at its end",
        ),
        End::NotBack { channel, .. } => (format!("channel {channel} did not come back to the middle"), "begin again"),
        End::NotDone { side, prompt, missing } => {
            let missing: Vec<_> = missing.iter().map(|axis| of(axis, names)).collect();
            let found = format!("{}: \"{}\" is not done: {}", name(side), prompt.wording(), missing.join(", "));
            (found, "begin again")
        }
        _ => ("the sequence ended".to_owned(), "begin again"),
    }
}

fn of<'a>(axis: u8, names: &[&'a str]) -> &'a str {
    names.get(usize::from(axis)).copied().unwrap_or("unnamed")
}
