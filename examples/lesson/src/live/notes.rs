//! What happens without a change of who flies, as sentences.

use handback::{AxisSet, Cause};

use super::memory::{Happened, Latched};
use super::telling::Told;
use crate::count::seconds;
use crate::timeline::{kept_by, listed};

impl<const N: usize> Told<'_, N> {
    /// What happened in this step and is no part of its change of who flies.
    pub(super) fn notes(&self) -> Vec<String> {
        let Happened {
            switch,
            latched,
            link_lost,
            signal_lost,
            button_in_vain,
            off_first,
            picked_up,
            not_picked_up,
            crashed,
        } = self.memory.happened;
        let mut notes = Vec::new();
        // A change of who flies says these itself.
        let turned = switch.filter(|_| self.cause() != Some(Cause::SwitchOff));
        notes.extend(turned.map(|on| if on { "lesson switch on" } else { "lesson switch off" }.to_owned()));
        if self.cause().is_none() {
            notes.extend(latched.map(|by| match by {
                Latched::Button => "latched: instructor-now button".to_owned(),
                Latched::Stick(axis) => kept_by(self.name(axis)),
                Latched::Length => format!("latched: the takeover was {}", self.too_long()),
            }));
            let until_off = if off_first { "latched: " } else { "" };
            notes.extend(
                link_lost.map(|frozen| {
                    format!("{until_off}student's radio link {}", if frozen { "frozen" } else { "lost" })
                }),
            );
            let until_off = if self.memory.switch { "latched: " } else { "" };
            notes.extend(signal_lost.map(|lost| {
                if lost {
                    format!("{until_off}instructor's signal lost, last values are held")
                } else {
                    "instructor's signal is back".to_owned()
                }
            }));
        }
        if button_in_vain {
            notes.push("instructor-now button: changes nothing without the instructor's signal".to_owned());
        }
        if !picked_up.is_empty() {
            notes.push(self.goes(picked_up, ["follows", "follow"]));
        }
        if !not_picked_up.is_empty() {
            let most = seconds(self.policy.pickup_max.as_ticks().into());
            let goes = [("was", "goes"), ("were", "go")]
                .map(|(was, go)| format!("{was} not met in {most} s, and now {go} to"));
            notes.push(self.goes(not_picked_up, goes.each_ref().map(String::as_str)));
        }
        if crashed {
            notes.push("the craft hit the ground".to_owned());
        }
        notes
    }

    /// What these axes do, in words for one and for more.
    fn goes(&self, axes: AxisSet, [one, more]: [&str; 2]) -> String {
        let names = listed(axes, self.names);
        if axes.len() == 1 {
            format!("{names} {one} the instructor's stick")
        } else {
            format!("{names} {more} the instructor's sticks")
        }
    }
}
