//! What the image does not say: the rounds of its loops, and what excludes what. Read from `benches/price/bound.txt`.

use std::collections::{BTreeMap, BTreeSet};

use crate::flow::Program;
use crate::listing::Image;
use crate::path::{Bounds, Graph};
use crate::place::{Place, Places};

/// The committed file.
#[derive(Debug, Default, PartialEq, Eq)]
pub(crate) struct Facts {
    loops: Vec<Rounds>,
    exclusions: Vec<Exclusion>,
    rivals: Vec<Never>,
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

/// A place with a weight.
#[derive(Debug, PartialEq, Eq)]
struct Term {
    spot: Spot,
    per: Per,
}

/// What a place counts for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Per {
    /// For its axis, which executes the place in one block.
    Axis,
    /// For its axis, in each of the functions that the place is inlined into.
    Each,
    /// For its axis, which executes the place in several blocks, and first in one that leads to all others.
    Once,
}

/// A place that no step executes together with one of the others.
#[derive(Debug, PartialEq, Eq)]
struct Never {
    one: Spot,
    with: Vec<Spot>,
    line: usize,
}

/// The lines of a function that contain the text; the whole function where the text is empty.
#[derive(Debug, PartialEq, Eq)]
struct Spot {
    function: String,
    text: String,
}

/// An exclusion in an image: the weight of each block.
#[derive(Debug)]
pub(crate) struct Weights {
    pub(crate) weights: BTreeMap<u32, u32>,
    /// Where in the file it is.
    pub(crate) line: usize,
}

/// Two places in an image, of which a step executes one at most: the blocks of each.
#[derive(Debug)]
pub(crate) struct Rivals {
    pub(crate) blocks: [BTreeSet<u32>; 2],
    /// As the file has them, with its line.
    pub(crate) names: [String; 2],
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
            [per @ ("axis" | "each" | "once"), _, ..] => {
                let of = facts.exclusions.last_mut().ok_or_else(|| refuse("no `exclusion` before it"))?;
                let per = match per {
                    "axis" => Per::Axis,
                    "each" => Per::Each,
                    _ => Per::Once,
                };
                of.terms.push(Term { spot: spot(line), per });
            }
            ["never", _, ..] => facts.rivals.push(Never { one: spot(line), with: Vec::new(), line: index + 1 }),
            ["with", _, ..] => {
                let of = facts.rivals.last_mut().ok_or_else(|| refuse("no `never` before it"))?;
                of.with.push(spot(line));
            }
            _ => {
                return Err(refuse(
                    "not `loop FUNCTION ROUNDS`, `exclusion`, `axis`, `each` or `once` with FUNCTION and TEXT, \
                     or `never` or `with` with FUNCTION",
                ));
            }
        }
    }
    match facts.rivals.iter().find(|of| of.with.is_empty()) {
        Some(Never { one, line, .. }) => Err(format!("line {line}: no `with` behind it: never {}", one.name())),
        None => Ok(facts),
    }
}

/// The place in a line `WORD FUNCTION TEXT`.
fn spot(line: &str) -> Spot {
    let place = line.trim().split_once(' ').map_or("", |(_, place)| place.trim());
    let (function, text) = place.split_once(' ').unwrap_or((place, ""));
    Spot { function: function.to_owned(), text: text.trim().to_owned() }
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
    /// in a loop, or once for each axis.
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
                let mut blocks = term.spot.storing(image, program, places);
                if term.per == Per::Once {
                    blocks = graph.first(&blocks);
                }
                let copies = if blocks.iter().any(|at| looped(*at)) { 1 } else { axes };
                if blocks.is_empty() || term.per != Per::Each && blocks.len() != copies as usize {
                    return Err(format!(
                        "line {}: {} is in {} blocks instead of {copies}: {blocks:x?}",
                        exclusion.line,
                        term.spot.name(),
                        blocks.len()
                    ));
                }
                for at in blocks {
                    *weights.entry(at).or_default() += 1;
                }
            }
            found.push(Weights { weights, line: exclusion.line });
        }
        Ok(found)
    }

    /// The rivals in this image. The error names a place that the image does not have.
    pub(crate) fn rivals(&self, image: &Image, program: &Program, places: &Places) -> Result<Vec<Rivals>, String> {
        let mut found = Vec::new();
        for never in &self.rivals {
            let blocks = |spot: &Spot| {
                let blocks: BTreeSet<u32> = if spot.text.is_empty() {
                    spot.alone(program, places)
                } else {
                    spot.storing(image, program, places).into_iter().collect()
                };
                let missing = || format!("line {}: the image does not have {}", never.line, spot.name());
                if blocks.is_empty() { Err(missing()) } else { Ok(blocks) }
            };
            let name = |spot: &Spot| format!("line {}: {}", never.line, spot.name());
            for with in &never.with {
                let blocks = [blocks(&never.one)?, blocks(with)?];
                found.push(Rivals { blocks, names: [name(&never.one), name(with)] });
            }
        }
        Ok(found)
    }
}

/// The name of each loop, by its head.
pub(crate) type Names = BTreeMap<u32, String>;

impl Spot {
    fn name(&self) -> String {
        format!("{} {}", self.function, self.text).trim_end().to_owned()
    }

    fn is(&self, place: &Place) -> bool {
        place.function == self.function && place.text.contains(&self.text)
    }

    /// The blocks of this place alone: every instruction whose place is known is in it. A block that others share is left
    /// out, because the compiler may have moved an instruction there that is executed without need.
    fn alone(&self, program: &Program, places: &Places) -> BTreeSet<u32> {
        let here = |at: &u32| places.get(at).is_some_and(|of| of.iter().any(|place| self.is(place)));
        let unknown = |at: &u32| places.get(at).is_none_or(|of| !of.iter().any(|place| place.ours));
        let blocks = program.values().flat_map(|flow| &flow.blocks);
        let alone = blocks.filter(|(_, block)| {
            let code = &block.instructions;
            code.iter().any(here) && code.iter().all(|at| here(at) || unknown(at))
        });
        alone.map(|(at, _)| *at).collect()
    }

    /// The blocks with an instruction of this line; if the line itself stores something, those that store it. A store is
    /// not moved to where the line is not executed.
    fn storing(&self, image: &Image, program: &Program, places: &Places) -> Vec<u32> {
        let (mut all, mut storing) = (Vec::new(), Vec::new());
        for flow in program.values() {
            for (leader, block) in &flow.blocks {
                let of = |at: &u32| places.get(at).map_or(&[][..], Vec::as_slice);
                let stores = |at: &u32| image[&flow.entry].instructions[at].text.starts_with("str");
                if block.instructions.iter().any(|at| of(at).iter().any(|place| self.is(place))) {
                    all.push(*leader);
                }
                if block
                    .instructions
                    .iter()
                    .any(|at| written_in(of(at)).is_some_and(|place| self.is(place)) && stores(at))
                {
                    storing.push(*leader);
                }
            }
        }
        if storing.is_empty() { all } else { storing }
    }
}
