//! A live lesson that was saved, replayed by the command line.

use lesson::live::{Craft, Input, Link, Live, Plan, Student};

use crate::desk::Desk;

/// Given live lessons with 4 and 16 axes, a stick, noise and a cut link, when what was saved is replayed, then the
/// command line takes every decision again.
#[test]
fn a_saved_live_lesson_replays_with_the_same_decisions() -> Result<(), lesson::Fault> {
    for craft in [Craft::Aeroplane, Craft::Helicopter, Craft::Many] {
        let mut live = Live::begin(&Plan { craft, seed: 3, student: Student::Beginner, policy: None })?;
        let steady: Vec<f64> = live.axes().iter().map(|axis| axis.steady).collect();
        live.set("confirm", Some(&live.axes()[0].name), "2")?;
        for frame in 0..600 {
            let mut sticks = steady.clone();
            sticks[1] = if (200..230).contains(&frame) { 15.0 } else { 0.0 };
            let link = if (400..420).contains(&frame) { Link::Cut } else { Link::Good };
            let input = Input { instructor: Some(sticks), switch: frame > 20, noise: 0.2, link, ..Input::default() };
            live.step(&input)?;
        }
        let saved = live.save()?;
        let desk = Desk::new();
        desk.put("trace.csv", &saved.trace).put("policy.toml", &saved.policy);
        let out = desk.run_well(&["replay", "trace.csv", "--policy", "policy.toml"]);
        assert!(out.contains("this replay took the same 600 decisions as the page"), "{out}");
        assert!(out.contains("agree in every decision and every output"), "{out}");
        desk.put("other.toml", saved.policy.replace("dwell_ms = 300", "dwell_ms = 400"));
        let other = desk.run(&["replay", "trace.csv", "--policy", "other.toml"]);
        assert!(other.code != Some(0) && other.out.contains("then the page decided otherwise in line"), "{other:?}");
    }
    Ok(())
}
