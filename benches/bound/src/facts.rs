//! What the image does not say: the rounds of its loops, and what excludes what. Read from `benches/price/bound.txt`.

use std::collections::BTreeMap;

use crate::flow::Program;
use crate::listing::Image;
use crate::path::{Bounds, Graph};
use crate::place::{Place, Places};

/// The committed file.
#[derive(Debug, Default, PartialEq, Eq)]
pub(crate) struct Facts {
    loops: Vec<Rounds>,
    exclusions: Vec<Exclusion>,
}

/// How often the head of a loop is reached at most each time the loop is entered.
#[derive(Debug, Default, PartialEq, Eq)]
struct Rounds {
    /// The function of the source that the loop is written in.
    function: String,
    /// The one profile that it is valid for; for both if empty.
    profile: String,
    /// For each axis, and for all.
    times: (u32, u32),
    line: usize,
}

/// Lines of the source that exclude each other: in one step, their weights sum up to no more than the number of axes.
#[derive(Debug, Default, PartialEq, Eq)]
struct Exclusion {
    terms: Vec<Term>,
    line: usize,
}

/// A line of the source. It counts once for its axis, or for all axes.
#[derive(Debug, PartialEq, Eq)]
struct Term {
    function: String,
    text: String,
    for_all: bool,
}

/// An exclusion in an image: the weight of each block.
#[derive(Debug)]
pub(crate) struct Weights {
    pub(crate) weights: BTreeMap<u32, u32>,
    /// Where in the file it is.
    pub(crate) line: usize,
}

/// Reads the file. The error names the line.
pub(crate) fn read(text: &str) -> Result<Facts, String> {
    let mut facts = Facts::default();
    for (index, line) in text.lines().enumerate() {
        let words: Vec<&str> = line.split_whitespace().collect();
        let refuse = |why: &str| format!("line {}: {why}: {line}", index + 1);
        match words[..] {
            [] => {}
            [word, ..] if word.starts_with('#') => {}
            ["loop", function, times, ref profile @ ..] if profile.len() <= 1 => {
                let times = rounds(times).ok_or_else(|| refuse("rounds are a number, `axes`, or `axes+1`"))?;
                let profile = profile.first().copied().unwrap_or_default().to_owned();
                facts.loops.push(Rounds { function: function.to_owned(), profile, times, line: index + 1 });
            }
            ["exclusion"] => facts.exclusions.push(Exclusion { terms: Vec::new(), line: index + 1 }),
            [per @ ("axis" | "step"), function, _, ..] => {
                let of = facts.exclusions.last_mut().ok_or_else(|| refuse("no `exclusion` before it"))?;
                let text = line.split_once(function).map_or("", |(_, text)| text.trim()).to_owned();
                of.terms.push(Term { function: function.to_owned(), text, for_all: per == "step" });
            }
            _ => {
                return Err(refuse(
                    "not `loop FUNCTION ROUNDS`, `exclusion`, `axis FUNCTION TEXT` or `step FUNCTION TEXT`",
                ));
            }
        }
    }
    Ok(facts)
}

/// `axes`, `axes+1` or `3`.
fn rounds(word: &str) -> Option<(u32, u32)> {
    match word.strip_prefix("axes") {
        Some("") => Some((1, 0)),
        Some(more) => Some((1, more.strip_prefix('+')?.parse().ok()?)),
        None => Some((0, word.parse().ok()?)),
    }
}

/// The function of the source that an instruction is written in: the innermost one of this project, if it has one.
fn written_in(places: &[Place]) -> Option<&Place> {
    places.iter().find(|place| place.ours).or(places.first())
}

impl Facts {
    /// The rounds of every loop. The error names the loops that the file does not know, and the lines that no loop has.
    pub(crate) fn bounds(
        &self,
        graph: &Graph<'_>,
        places: &Places,
        profile: &str,
        axes: u32,
    ) -> Result<(Bounds, Names), String> {
        let (mut bounds, mut names) = (Bounds::new(), Names::new());
        for (flow, found) in graph.loops() {
            let tail = found.tails.first().and_then(|tail| flow.blocks[tail].instructions.last());
            let place = tail.and_then(|at| places.get(at)).and_then(|places| written_in(places));
            let name = place.map_or(String::from("?"), |place| place.function.clone());
            let known = |of: &&Rounds| of.function == name && (of.profile.is_empty() || of.profile == profile);
            let rounds = self.loops.iter().filter(known).max_by_key(|of| of.profile.len());
            let rounds = rounds.ok_or_else(|| format!("no rounds for the loop {name} at {:x}", found.head))?;
            bounds.insert(found.head, rounds.times.0 * axes + rounds.times.1);
            names.insert(found.head, format!("{name} (line {})", rounds.line));
        }
        Ok((bounds, names))
    }

    /// The exclusions in this image. The error names a line of the source that the image does not have as expected: once
    /// in a loop, once for each axis, or once in all.
    pub(crate) fn exclusions(
        &self,
        image: &Image,
        program: &Program,
        graph: &Graph<'_>,
        places: &Places,
        axes: u32,
    ) -> Result<Vec<Weights>, String> {
        let looped = |at: u32| graph.loops().any(|(_, of)| of.body.contains(&at));
        let mut found = Vec::new();
        for exclusion in &self.exclusions {
            let mut weights = BTreeMap::new();
            for term in &exclusion.terms {
                let mut blocks = term.blocks(image, program, places);
                if term.for_all {
                    // One after the other they would count twice.
                    blocks.truncate(1);
                }
                let copies = if term.for_all || blocks.iter().any(|at| looped(*at)) { 1 } else { axes };
                if blocks.len() != copies as usize {
                    return Err(format!(
                        "line {}: {} \"{}\" is in {} blocks instead of {copies}: {blocks:x?}",
                        exclusion.line,
                        term.function,
                        term.text,
                        blocks.len()
                    ));
                }
                for at in blocks {
                    *weights.entry(at).or_default() += if term.for_all { axes } else { 1 };
                }
            }
            found.push(Weights { weights, line: exclusion.line });
        }
        Ok(found)
    }
}

/// The name of each loop, by its head.
pub(crate) type Names = BTreeMap<u32, String>;

impl Term {
    /// The blocks with an instruction of this line; if the line itself stores something, those that store it. A store is
    /// not moved to where the line is not executed.
    fn blocks(&self, image: &Image, program: &Program, places: &Places) -> Vec<u32> {
        let is_it = |place: &Place| place.function == self.function && place.text.contains(&self.text);
        let (mut all, mut storing) = (Vec::new(), Vec::new());
        for flow in program.values() {
            for (leader, block) in &flow.blocks {
                let of = |at: &u32| places.get(at).map_or(&[][..], Vec::as_slice);
                let stores = |at: &u32| image[&flow.entry].instructions[at].text.starts_with("str");
                if block.instructions.iter().any(|at| of(at).iter().any(is_it)) {
                    all.push(*leader);
                }
                if block.instructions.iter().any(|at| written_in(of(at)).is_some_and(is_it) && stores(at)) {
                    storing.push(*leader);
                }
            }
        }
        if storing.is_empty() { all } else { storing }
    }
}
