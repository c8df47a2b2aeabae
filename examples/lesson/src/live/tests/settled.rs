//! The values of a policy: every one is there, and can be changed.

use super::super::*;
use super::{hand_over, live, steady};
use crate::policy::fields::{AXIS, LATCHES, STILL, WHERE_LEFT, whole};

fn setting(live: &Live, key: &str, axis: Option<&str>) -> Setting {
    let settings = live.settings();
    settings.into_iter().find(|setting| setting.key == key && setting.axis.as_deref() == axis).unwrap()
}

#[test]
fn every_key_of_a_policy_is_a_value() {
    let live = live(Craft::Many, 1, Student::Beginner);
    let settings = live.settings();
    let keys = whole::<1>().map(|field| field.key).into_iter().chain(LATCHES.iter().map(|field| field.key));
    for key in keys.chain(AXIS.iter().map(|field| field.key)).chain([WHERE_LEFT.0, STILL.1]) {
        let of_key: Vec<_> = settings.iter().filter(|setting| setting.key == key).collect();
        assert!(of_key.len() == 1 && of_key[0].axis.is_none() || of_key.len() == 16, "{key}: {}", of_key.len());
        for setting in of_key {
            assert_eq!(!setting.choices.is_empty(), setting.form == Form::Choice, "{key}");
        }
    }
}

/// Given every value of a policy, when it is set to what it is, then the policy stays; when it is set to another, then
/// that value changes, and an empty one is none.
#[test]
fn every_value_can_be_set_and_reads_back() {
    let mut live = live(Craft::Helicopter, 1, Student::Beginner);
    let (before, settings) = (live.policy(), live.settings());
    for Setting { key, axis, form, value, optional, choices, .. } in &settings {
        let axis = axis.as_deref();
        live.set(key, axis, value).unwrap_or_else(|why| panic!("{key} {axis:?}: {why}"));
        assert_eq!(live.policy(), before, "{key} {axis:?}");
        let other = match (*form, *key) {
            (Form::Flag, _) => (value == "false").to_string(),
            (Form::Choice, _) => (*choices.iter().find(|word| *word != value).unwrap()).to_owned(),
            (_, "plausible_points") => "160".to_owned(),
            (_, "failsafe_after_ms") => "1500.5".to_owned(),
            // A fixed rest has none of the one, a stick that rests where it was left none of the other.
            (_, "still_ms" | "rest_points") if value.is_empty() => continue,
            (_, "release_points") => "0.5".to_owned(),
            (Form::Count, _) => "3".to_owned(),
            _ => "120".to_owned(),
        };
        live.set(key, axis, &other).unwrap_or_else(|why| panic!("{key} {axis:?} = {other}: {why}"));
        assert_eq!(setting(&live, key, axis).value, other, "{key} {axis:?}");
        let changed: Vec<_> = live.settings().into_iter().zip(&settings).filter(|(new, old)| new != *old).collect();
        let all_of_rest = changed.iter().all(|(new, _)| ["rest", "rest_points", "still_ms"].contains(&new.key));
        assert!(changed.len() == 1 || all_of_rest, "{key}: {changed:?}");
        if *optional && *key != "still_ms" && *key != "rest_points" {
            live.set(key, axis, "").unwrap();
            assert_eq!(setting(&live, key, axis).value, "");
        }
        live = Live::begin(&Plan {
            craft: Craft::Helicopter,
            seed: 1,
            student: Student::Beginner,
            policy: Some(before.clone()),
        })
        .unwrap();
    }
}

/// Given values that a policy file refuses, when they are set, then the words are those of the file, and
/// nothing changes.
#[test]
fn a_refused_value_says_where_and_what_to_do_and_changes_nothing() {
    let mut live = live(Craft::Aeroplane, 1, Student::Beginner);
    hand_over(&mut live);
    let before = live.policy();
    for (key, axis, value, message) in [
        ("dwell_ms", None, "30O", "(dwell_ms): \"30O\" is no number; milliseconds are meant: write the bare number"),
        ("dwell_ms", None, "300 ms", "(dwell_ms): \"300 ms\" is no number; milliseconds are meant: write 300"),
        ("timeout_ms", None, "0", "(timeout_ms): timeout is 0 ms: it must be 0.001 ms or longer"),
        (
            "release_points",
            Some("aileron"),
            "2.5",
            "axis \"aileron\": release is 2.50 points: it must be 0 or more and",
        ),
        ("scope", None, "crafd", "unknown variant `crafd`, expected `craft` or `axis`; write \"craft\""),
        ("still_ms", Some("rudder"), "500", "the axis rests at a fixed place and has still_ms; remove still_ms"),
        ("rest_points", Some("throttle"), "5", "the axis has both rest and rest_points; remove one"),
        ("dwel_ms", None, "1", "settings: \"dwel_ms\" is no value of the whole craft; write dwell_ms"),
        ("engage_points", None, "1", "settings: \"engage_points\" is no value of the whole craft"),
        ("engage_points", Some("roll"), "1", "\"roll\" is no axis of the craft; give one of aileron, elevator"),
        ("dwell_ms", None, "1\nscope = \"axis\"", "is no line of text; give it without line breaks"),
    ] {
        let told = live.set(key, axis, value).unwrap_err().to_string();
        assert!(told.contains(message), "{told}");
        assert!(!told.starts_with("policy.toml") || told.starts_with("policy.toml, line "), "{told}");
        assert_eq!(live.policy(), before);
    }
    let state = live.step(&steady(&live)).unwrap();
    assert_eq!(state.flies, "student", "a refusal does not end the lesson");
}

/// Given a lesson in flight, when a value is set, then a new engine begins with the instructor, the craft flies on, and
/// the counts go on, with that change.
#[test]
fn a_changed_value_begins_a_new_engine_under_the_same_flight() {
    let mut live = live(Craft::Aeroplane, 1, Student::Beginner);
    let before = hand_over(&mut live);
    live.set("dwell_ms", None, "1000").unwrap();
    let after = live.step(&steady(&live)).unwrap();
    assert_eq!((after.flies, after.changes, after.agrees), ("instructor", before.changes + 1, true));
    assert!((after.craft.y - before.craft.y - 0.26).abs() < 0.05, "13 m/s for 20 ms: {after:?}");
    assert!((after.time_s - before.time_s - 0.02).abs() < 1e-9);
    assert_eq!(live.save().unwrap().steps, 1);
    let waited = hand_over(&mut live).time_s - after.time_s;
    assert!(waited > 1.0, "the new dwell holds: {waited} s");
}

#[test]
fn a_policy_for_other_axes_is_refused_by_their_names() {
    let policy = Some(live(Craft::Helicopter, 1, Student::Beginner).policy());
    let plan = |craft, policy| Plan { craft, seed: 1, student: Student::Person, policy };
    let told = Live::begin(&plan(Craft::Aeroplane, policy.clone())).err().unwrap().to_string();
    assert!(told.contains("the axis \"roll\" is not in the craft; name the axes of the trace"), "{told}");
    assert!(Live::begin(&plan(Craft::Helicopter, policy)).is_ok());
    let broken = Live::begin(&plan(Craft::Aeroplane, Some("dwell_ms = x".to_owned()))).err().unwrap().to_string();
    assert!(broken.starts_with("policy.toml, line 1, column 12 (dwell_ms): \"x\" is no number"), "{broken}");
}

#[test]
fn the_cost_of_a_reaction_is_that_of_the_formula() {
    let mut live = live(Craft::Aeroplane, 1, Student::Beginner);
    let costs = live.costs(1000.0).unwrap();
    // 13 m/s for 1 s, and for 1.04 s with a frame of 20 ms and links of 20 ms; free fall: g / 2 x t^2.
    let [first, .., last] = costs.rows.as_slice() else { panic!("{costs:?}") };
    assert!((first.human_m - 13.0).abs() < 1e-9 && (first.whole_m - 13.52).abs() < 1e-9, "{first:?}");
    assert!((last.human_m - 4.903_325).abs() < 1e-9 && (last.whole_m - 4.903_325 * 1.0816).abs() < 1e-9, "{last:?}");
    assert_eq!(costs.borrowed.iter().map(|other| other.ms).collect::<Vec<_>>(), [400.0, 1000.0, 2500.0]);
    live.set("confirm", Some("rudder"), "2").unwrap();
    assert!((live.costs(1000.0).unwrap().rows[0].whole_m - 13.78).abs() < 1e-9);
    let told = live.costs(-1.0).unwrap_err().to_string();
    assert_eq!(told, "cost: a reaction of -1 ms; give 0 to 60000 ms");
}
