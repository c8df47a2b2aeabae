//! Listings of a few instructions, whose bounds are counted by hand, and listings that have none.

use std::collections::BTreeSet;

use crate::bound::Search;
use crate::facts::Rivals;
use crate::flow::{Program, program};
use crate::listing::{Image, read};
use crate::path::{Bounds, Graph};
use crate::replay::replay;
use crate::stack::deepest;

const BRANCH: &str = "
00000100 <step>:
     100:\tpush\t{r4, lr}
     102:\tcmp\tr0, #0
     104:\tbeq.n\t10c <step+0xc>
     106:\tmovs\tr1, #1
     108:\tbl\t200 <walk>
     10c:\tpop\t{r4, pc}

00000200 <walk>:
     200:\tsub\tsp, #16
     202:\tmovs\tr1, #4
     204:\tsubs\tr1, #1
     206:\tbne.n\t204 <walk+0x4>
     208:\tadd\tsp, #16
     20a:\tbx\tlr
";

/// 2 instructions, then 3 or none, then 2, then 4 or none, then 1.
const TWO: &str = "
00000100 <step>:
     100:\tcmp\tr0, #0
     102:\tbeq.n\t10a <step+0xa>
     104:\tmovs\tr1, #1
     106:\tmovs\tr1, #1
     108:\tmovs\tr1, #1
     10a:\tcmp\tr2, #0
     10c:\tbeq.n\t116 <step+0x16>
     10e:\tmovs\tr1, #1
     110:\tmovs\tr1, #1
     112:\tmovs\tr1, #1
     114:\tmovs\tr1, #1
     116:\tbx\tlr
";

/// The places of `TWO` that a step may pass over.
fn rivals() -> [Rivals; 1] {
    [Rivals { blocks: [[0x104], [0x10e]].map(BTreeSet::from), names: Default::default() }]
}

fn search<'a>(program: &'a Program, graph: &'a Graph<'a>, bounds: &'a Bounds, rivals: &'a [Rivals]) -> Search<'a> {
    Search { program, graph, bounds, exclusions: &[], rivals, axes: 4 }
}

/// The longest path through an image from `step`, with these rounds of loops, or why there is none.
fn longest(image: &Image, rounds: &Bounds) -> Result<i64, String> {
    let program = program(image, 0x100)?;
    let graph = Graph::new(&program, 0x100)?;
    Ok(search(&program, &graph, rounds, &[]).bound())
}

/// Given a branch, a call and a loop of four rounds, then the longest path takes the call and every round.
#[test]
fn the_longest_path_is_the_one_counted_by_hand() {
    let image = read(BRANCH);
    let walk = |rounds| 2 + 2 * rounds + 2;
    for rounds in [1_u32, 4, 16] {
        assert_eq!(longest(&image, &Bounds::from([(0x204, rounds)])), Ok(5 + walk(i64::from(rounds)) + 1));
    }
}

/// Given two places that the longest path takes both, when they are rivals, then the bound is the longer of the two paths that
/// leave one of them out.
#[test]
fn of_two_rivals_the_longer_is_taken() {
    let image = read(TWO);
    let program = program(&image, 0x100).expect("a bound");
    let graph = Graph::new(&program, 0x100).expect("a bound");
    assert_eq!(search(&program, &graph, &Bounds::new(), &[]).bound(), 2 + 3 + 2 + 4 + 1);
    assert_eq!(search(&program, &graph, &Bounds::new(), &rivals()).bound(), 2 + 2 + 4 + 1);
}

/// Given steps that execute one of two rivals each, then neither refutes them; given a step that executes both, it does.
#[test]
fn a_step_that_executes_both_rivals_is_seen() {
    let image = read(TWO);
    let program = program(&image, 0x100).expect("a bound");
    let graph = Graph::new(&program, 0x100).expect("a bound");
    let (one, other) = ([0x104, 0x106, 0x108], [0x10e, 0x110, 0x112, 0x114]);
    let step = |one: &[u32], other: &[u32]| [&[0x100, 0x102], one, &[0x10a, 0x10c], other, &[0x116]].concat();
    let seen = |steps: &[Vec<u32>]| {
        let line = |at: &u32| format!("Trace 0: 0x7fb5a40e8700 [00800400/{at:08x}/00000510/ff020201]\n");
        let log: String = steps.concat().iter().map(line).collect();
        replay(log.as_bytes(), &image, &program, &graph, &[], &rivals(), 0x100).map(|seen| (seen.steps, seen.rivals))
    };
    let apart = [step(&one, &[]), step(&[], &other)];
    assert_eq!(seen(&apart[..1]), Ok((1, vec![[true, false, false]])));
    assert_eq!(seen(&apart), Ok((2, vec![[true, true, false]])));
    assert_eq!(seen(&[step(&one, &other)]), Ok((1, vec![[true, true, true]])));
}

/// Given a function that pushes two registers and calls one with 16 bytes, then the deepest stack is their sum.
#[test]
fn the_deepest_stack_is_the_one_counted_by_hand() {
    let image = read(BRANCH);
    let program = program(&image, 0x100).expect("a bound");
    let graph = Graph::new(&program, 0x100).expect("a bound");
    assert_eq!(deepest(&image, &graph), Ok(8 + 16));
}

/// Given a recursion, a call through a pointer, a loop with two entries, or a call of no function, then each is named.
#[test]
fn what_has_no_bound_is_refused_by_name() {
    let with = |old: &str, new: &str| longest(&read(&BRANCH.replace(old, new)), &Bounds::from([(0x204, 4)]));
    let cases = [
        (with("bl\t200 <walk>", "bl\t100 <step>"), "calls itself"),
        (with("movs\tr1, #1", "blx\tr3"), "nothing says what follows: blx"),
        (with("bl\t200 <walk>", "bl\t300 <gone>"), "no function begins"),
        (with("movs\tr1, #4", "beq.n\t206 <walk+0x6>"), "entered in two places"),
    ];
    for (found, why) in cases {
        let found = found.expect_err(why);
        assert!(found.contains(why), "{found:?} should say {why:?}");
    }
}
