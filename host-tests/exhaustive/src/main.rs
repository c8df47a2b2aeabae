//! Searches every state of the engine in small scopes and prints what was searched, reached and found:
//! `cargo run --release -p handback-exhaustive`, and with `--long` more policies and more inputs.

use std::env;
use std::process::ExitCode;
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;
use std::time::{Duration, Instant};

use handback_exhaustive::promise::{Bounds, NAMES};
use handback_exhaustive::reached::Reached;
use handback_exhaustive::scope::{Extent, Inputs, Scope, one_axis, two_axes};
use handback_exhaustive::search::{Found, search};

/// More states than any scope here has; a search that comes to so many is cut, and counts as failed.
const MOST: usize = 20_000_000;

fn main() -> ExitCode {
    let words: Vec<String> = env::args().skip(1).collect();
    let long = match &words[..] {
        [] => false,
        [word] if word == "--long" => true,
        _ => {
            eprintln!("usage: handback-exhaustive [--long]");
            return ExitCode::from(2);
        }
    };
    let begun = Instant::now();
    let mut total = Total::default();
    let coarse = |strength| Extent { strength, inputs: Inputs::Coarse };
    let fine = |strength| Extent { strength, inputs: Inputs::Fine };
    let (one, two) =
        if long { (vec![coarse(4), fine(2)], vec![coarse(3), fine(2)]) } else { (vec![coarse(2)], vec![coarse(2)]) };
    for extent in one {
        family("one axis", &one_axis(extent), extent, &mut total);
    }
    for extent in two {
        family("two axes", &two_axes(extent), extent, &mut total);
    }
    total.print(begun.elapsed());
    if total.failures == 0 { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}

/// What all searches did and found.
#[derive(Default)]
struct Total {
    policies: usize,
    states: usize,
    transitions: u64,
    promised: u64,
    failures: usize,
    reached: Reached,
    bounds: Bounds,
}

/// Searches every scope, as many at a time as there are processors, and prints a line for each. After the first failure
/// no further search begins.
fn family<const N: usize>(title: &str, scopes: &[Scope<N>], extent: Extent, total: &mut Total) {
    let Extent { strength, inputs } = extent;
    let policies = scopes.len();
    println!(
        "{title}, {inputs:?} inputs: every combination of any {strength} options is in some of {policies} policies"
    );
    println!("{:>9} {:>11} {:>6} {:>5} {:>6}  policy", "states", "transitions", "inputs", "depth", "s");
    let (next, total) = (AtomicUsize::new(0), Mutex::new(total));
    let work = || {
        while let Some(scope) = scopes.get(next.fetch_add(1, Ordering::Relaxed)) {
            if total.lock().expect("no search panics").failures > 0 {
                return;
            }
            let begun = Instant::now();
            let policy = scope.policy.check().unwrap_or_else(|why| panic!("{}: {why}", scope.name));
            let found = search(scope, &policy, MOST);
            total.lock().expect("no search panics").add(scope, &found, begun.elapsed());
        }
    };
    thread::scope(|threads| {
        for _ in 0..thread::available_parallelism().map_or(1, Into::into) {
            threads.spawn(work);
        }
    });
    println!();
}

impl Total {
    fn add<const N: usize>(&mut self, scope: &Scope<N>, found: &Found<N>, time: Duration) {
        let Found { states, transitions, promised, depth, .. } = found;
        let (inputs, s) = (scope.inputs.len(), time.as_secs_f64());
        println!("{states:>9} {transitions:>11} {inputs:>6} {depth:>5} {s:>6.1}  {}", scope.name);
        if let Some(path) = &found.path {
            println!("BROKEN after {} steps\n{path}", path.len());
        }
        if found.cut {
            println!("CUT: more than {MOST} states");
        }
        self.failures += usize::from(found.path.is_some() || found.cut);
        self.policies += 1;
        self.states += states;
        self.transitions += transitions;
        self.promised += promised;
        self.reached.add(&found.reached);
        self.bounds.widen(&found.bounds);
    }

    fn print(&mut self, time: Duration) {
        let all_searched = self.failures == 0;
        println!("how many transitions had what:");
        for (group, name, count) in self.reached.counts() {
            println!("{count:>12}  {group}: {name}");
            if count == 0 && all_searched {
                println!("NOT REACHED: {group}: {name}");
                self.failures += 1;
            }
        }
        println!("\nevery transition keeps every rule, by the monitor; and in every state it was tried that:");
        for name in NAMES {
            println!("  {name}");
        }
        let Bounds { in_order, way_back, arrived } = self.bounds;
        println!(
            "the longest that these took, in steps of 1 us: all in order {in_order}, way back {way_back}, output {arrived}"
        );
        println!(
            "\n{} policies, {} states, {} transitions, {} steps of promises, {:.0} s: {}",
            self.policies,
            self.states,
            self.transitions,
            self.promised,
            time.as_secs_f64(),
            if self.failures == 0 { "nothing is broken".into() } else { format!("{} FAILURES", self.failures) }
        );
    }
}
