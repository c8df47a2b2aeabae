//! The policy as a TOML file: the fields of [`Policy`] with their units, checked, and every complaint at its place.
//!
//! The format is described by [`DEFAULT`], which holds every key with its default.

mod axis;
mod boxed;
mod document;
mod entries;
mod form;
pub(super) mod keys;
mod refusal;
mod slip;
mod source;
mod value;
mod wrong;

use std::io::Read;
use std::path::Path;

use handback::{AxisRule, CheckedPolicy, Policy, PolicyError};
use trainer_box::PlanError;

use self::axis::AxisTable;
use self::document::Document;
use self::source::Source;
use super::fields::{Kind, LATCHES, whole};
use super::wiring::BoxPlan;
use crate::error::{Fault, quoted};
use crate::file_kind::FileKind;
use crate::input::Input;

/// The default policy with every key, commented.
pub(crate) const DEFAULT: &str = include_str!("default.toml");

/// No policy is larger: 16 axes with pages of comments.
const LARGEST: u64 = 1 << 20;

/// A policy file that was read, not yet checked.
pub(crate) struct PolicyFile {
    source: Source,
    document: Document,
}

impl PolicyFile {
    /// Reads a policy file.
    pub(crate) fn read(input: Input) -> Result<Self, Fault> {
        let path = &input.path().to_owned();
        let mut bytes = Vec::new();
        input.into_bytes().take(LARGEST + 1).read_to_end(&mut bytes).map_err(|why| Fault::unread(path, &why))?;
        Self::of_bytes(path, &bytes).map_err(|fault| match FileKind::of(&bytes) {
            Some(other) if !matches!(other, FileKind::Policy | FileKind::NoText) => other.instead_of("a policy", path),
            _ => fault,
        })
    }

    fn of_bytes(path: &Path, bytes: &[u8]) -> Result<Self, Fault> {
        if bytes.len() as u64 > LARGEST {
            let remedy = "give a policy, not a recording or a log";
            return Err(Fault::new(path, format!("is longer than {LARGEST} bytes"), remedy));
        }
        match std::str::from_utf8(bytes) {
            Ok(text) => Self::parse(path, text.to_owned()),
            Err(why) => {
                let line = bytes[..why.valid_up_to()].split(|&byte| byte == b'\n').count();
                let remedy = "give a TOML file in UTF-8; `lesson policy` prints one to start from";
                Err(Fault::new(path, "is no text", remedy).at(line as u64))
            }
        }
    }

    /// Reads the text of a policy file; `path` is for messages.
    pub(crate) fn parse(path: &Path, text: String) -> Result<Self, Fault> {
        let source = Source::new(path, text);
        let document = Document::parse(&source)?;
        axis::check_names(&source, &document.axes)?;
        Ok(Self { source, document })
    }

    /// Whether the file holds a box, not a policy alone.
    pub(crate) fn is_box(&self) -> bool {
        self.document.first_of_box().is_some()
    }

    /// What is said of a file that passed its check.
    pub(crate) fn praise(&self, path: &Path) -> String {
        let (kind, names) = (if self.is_box() { "a box of " } else { "" }, self.names());
        format!("{}: ok, {kind}{} axes: {}\n", path.display(), names.len(), names.join(", "))
    }

    /// The names of the axes, axis 0 first.
    pub(crate) fn names(&self) -> Vec<String> {
        self.document.axes.iter().map(|axis| axis.name.get_ref().clone()).collect()
    }

    /// The same policy with its axes in the order of `names`, those of a trace. Both must name the same axes.
    pub(crate) fn arranged(mut self, trace: &Path, names: &[String]) -> Result<Self, Fault> {
        if let Some(AxisTable { name, .. }) =
            self.document.axes.iter().find(|axis| !names.contains(axis.name.get_ref()))
        {
            let found = format!("the axis {} is not in {}", quoted(name.get_ref().as_bytes()), trace.display());
            let remedy = format!("name the axes of the trace: {}", names.join(", "));
            return Err(self.source.fault("name", &name.span(), found, remedy));
        }
        if let Some(name) = names.iter().find(|&name| self.document.axes.iter().all(|axis| axis.name.get_ref() != name))
        {
            let found = format!("has no axis {}, which {} has", quoted(name.as_bytes()), trace.display());
            return Err(Fault::new(self.source.path(), found, "add a table [[axis]] for it"));
        }
        self.document.axes.sort_by_key(|axis| names.iter().position(|name| name == axis.name.get_ref()));
        Ok(self)
    }

    /// The policy, checked (P1), with the rest of the box where the file has one. `N` is the number of names.
    pub(crate) fn check<const N: usize>(&self) -> Result<CheckedPolicy<N>, Fault> {
        let policy = self.policy()?.check().map_err(|why| self.complain(&why))?;
        self.plan::<N>().map(|_| policy)
    }

    /// The whole box, checked; `None` where the file is a policy alone.
    pub(crate) fn plan<const N: usize>(&self) -> Result<Option<BoxPlan<N>>, Fault> {
        let Some(first) = self.document.first_of_box() else { return Ok(None) };
        let plan = self.document.plan(&self.source, &first, self.policy()?)?;
        match plan.check() {
            Ok(_) => Ok(Some(plan)),
            Err(PlanError::Policy(why)) => Err(self.complain(&why)),
            Err(why) => Err(self.document.complain_of_box(&self.source, &first, &why)),
        }
    }

    fn policy<const N: usize>(&self) -> Result<Policy<N>, Fault> {
        let Document { whole: entries, latches, axes, .. } = &self.document;
        let mut policy = Policy::new([AxisRule::sprung(); N]);
        entries.apply(&self.source, &whole(), &mut policy)?;
        latches.apply(&self.source, &LATCHES, &mut policy.latches)?;
        for (rule, axis) in policy.axes.iter_mut().zip(axes) {
            *rule = axis.rule(&self.source)?;
        }
        for field in whole() {
            let Kind::Axes(at) = field.kind else { continue };
            for (number, axis) in (0..).zip(axes) {
                if !axis.is(&self.source, field.key)? {
                    let axes = at(&mut policy);
                    *axes = axes.without(number);
                }
            }
        }
        Ok(policy)
    }

    /// Puts a refusal of the check at the key it is about, or at the nearest one that is written.
    fn complain(&self, why: &PolicyError) -> Fault {
        let Document { whole, latches, axes, .. } = &self.document;
        let told = refusal::words(why);
        if let Some(axis) = why.axis().and_then(|number| axes.get(usize::from(number))) {
            let (key, place) = axis.place_of(why);
            let name = quoted(axis.name.get_ref().as_bytes());
            return self.source.told(key, &place, format!("axis {name}: {told}"));
        }
        let (key, place) = match (why, axes.first()) {
            (PolicyError::NothingWatched, Some(axis)) => axis.place_of(why),
            _ => whole.place_of(why.field()).or_else(|| latches.place_of(why.field())).unwrap_or_default(),
        };
        self.source.told(key, &place, told)
    }
}

#[cfg(test)]
mod tests;
