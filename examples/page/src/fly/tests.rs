//! The protocol, as a page speaks it.

use std::time::Instant;

use serde_json::{Value, json};

use crate::desk::Desk;

fn ask(desk: &mut Desk, request: &Value) -> Value {
    serde_json::from_str(&desk.ask(&request.to_string())).unwrap()
}

fn begin(desk: &mut Desk, craft: &str, student: &str) -> Value {
    ask(desk, &json!({"fly": {"craft": craft, "seed": 1, "student": student, "policy": null}}))
}

/// The names of an object's fields, and of those in it, sorted.
fn shape(value: &Value) -> String {
    match value {
        Value::Object(fields) => {
            let mut fields: Vec<_> = fields.iter().map(|(name, value)| name.clone() + &shape(value)).collect();
            fields.sort();
            format!("{{{}}}", fields.join(" "))
        }
        Value::Array(items) => format!("[{}]", items.first().map_or(String::new(), shape)),
        _ => String::new(),
    }
}

/// Given each craft, when a lesson begins and steps, then answers have the fields of the protocol and a number for each
/// axis.
#[test]
fn every_answer_has_the_fields_of_the_protocol() {
    for (craft, axes) in [("aeroplane", 4), ("helicopter", 4), ("many", 16)] {
        let mut desk = Desk::default();
        let begun = begin(&mut desk, craft, "person");
        assert_eq!(shape(&begun), "{axes[{name sprung steady}] frame_us policy}");
        assert_eq!((begun["axes"].as_array().unwrap().len(), &begun["frame_us"]), (axes, &json!(20000)));
        let sticks: Vec<_> = begun["axes"].as_array().unwrap().iter().map(|axis| axis["steady"].clone()).collect();
        let mut step = json!({"instructor": sticks, "student": sticks, "switch": false, "noise": 0.1, "cut": false});
        let mut shapes = std::collections::BTreeSet::new();
        for frame in 0..200 {
            step["switch"] = json!(frame > 10);
            step["cut"] = json!(frame > 150);
            let state = ask(&mut desk, &json!({ "step": step }));
            assert_eq!(state["sticks"]["output"].as_array().unwrap().len(), axes);
            assert_eq!(state["agrees"], json!(true));
            shapes.insert(shape(&state["waits"]) + &shape(&state["events"]));
        }
        let change = "{axis cause from gains time_s to words}";
        let waits = "{axis for left_s stays_at words}";
        assert!(
            shapes.contains(&format!("{waits}[{change}]")) && shapes.contains(&format!("[{change}]")),
            "{shapes:?}"
        );
        let state = ask(&mut desk, &json!({ "step": step }));
        let fields = "agrees changes craft{bank crashed heading height on_ground pitch sink speed x y} events[] \
                      failsafe flies frozen_after_s held[] holds[] jump kept_by_button lamp mistake moves no_signal{instructor student} notes[] now_jumps picks_up pickup[] \
                      plain_jump plain{changes flies output[] shares[]} seen_off_first shares[] sound \
                      sticks{engage[] instructor[] output[] release[] rest[] student[]} student_still_s taken time_s";
        assert_eq!(shape(&state), format!("{{{fields} waits{waits}}}"));

        let settings = ask(&mut desk, &json!({"settings": {}}));
        assert_eq!(shape(&settings), "{settings[{axis choices[] key kind optional value}]}");
        let saved = ask(&mut desk, &json!({"save": {}}));
        assert_eq!((shape(&saved).as_str(), &saved["steps"]), ("{digest policy steps trace}", &json!(201)));
        assert_eq!(saved["digest"].as_str().unwrap().len(), 8);
        let costs = ask(&mut desk, &json!({"cost": {"reaction_ms": 312}}));
        assert_eq!(shape(&costs), "{borrowed[{ms source words}] rows[{human_m whole_m words}]}");
        let changed = ask(&mut desk, &json!({"set": {"key": "dwell_ms", "axis": null, "value": "500"}}));
        assert!(changed["policy"].as_str().unwrap().contains("dwell_ms = 500"));
    }
}

/// Given the drill, when the instructor answers the mistake, then the answer tells the mistake and the times.
#[test]
fn a_mistake_and_its_answer_are_told() {
    let mut desk = Desk::default();
    begin(&mut desk, "aeroplane", "drill");
    let mut step = json!({"instructor": [0, 0, -20, 0], "student": null, "switch": false});
    let mut state = Value::Null;
    for frame in 0..1000 {
        step["switch"] = json!(frame > 10);
        state = ask(&mut desk, &json!({ "step": step }));
        if !state["mistake"].is_null() {
            break;
        }
    }
    assert_eq!(shape(&state["mistake"]), "{began_s past_limit_s words}");
    step["instructor"] = json!([30, 0, -20, 0]);
    let taken = ask(&mut desk, &json!({ "step": step }));
    assert_eq!(taken["taken"], json!({"after_mistake_ms": 20.0, "from_stick_ms": 0.0}));
    assert_eq!(taken["events"][0]["to"], json!("instructor"));
}

#[test]
fn a_request_that_cannot_be_answered_says_why() {
    let mut desk = Desk::default();
    for (request, error) in [
        (r#"{"save":{}}"#, r#"no lesson is flown; ask for {"fly":{...}} first"#),
        (r#"{"land":{}}"#, "the request: unknown variant `land`, expected one of `fly`, `step`"),
        ("{", "the request: EOF while parsing"),
        (
            r#"{"fly":{"craft":"boat","seed":1,"student":"person","policy":null}}"#,
            "unknown variant `boat`, expected one of",
        ),
        (r#"{"fly":{"craft":"many","seed":1,"student":"person","policy":"x"}}"#, "policy.toml, line 1"),
    ] {
        let answer: Value = serde_json::from_str(&desk.ask(request)).unwrap();
        let message = answer["error"].as_str().unwrap();
        assert!(message.contains(error), "{message}");
    }
    begin(&mut desk, "helicopter", "person");
    let short = ask(&mut desk, &json!({"step": {"instructor": [0], "student": null, "switch": true}}));
    assert_eq!(short["error"], json!("step: instructor has 1 sticks; give 4 numbers, one for each axis"));
    let set = ask(&mut desk, &json!({"set": {"key": "dwell_ms", "axis": null, "value": "-1"}}));
    assert!(set["error"].as_str().unwrap().starts_with("policy.toml, line "), "{set}");
}

/// Prints what a step of sixteen axes takes, with its JSON; no machine is promised anything.
#[test]
fn a_step_of_sixteen_axes_is_timed() {
    let mut desk = Desk::default();
    begin(&mut desk, "many", "beginner");
    let request = |frame: u32| {
        let sticks: Vec<f64> = (0..16).map(|axis| f64::from(axis) * 0.01).collect();
        json!({"step": {"instructor": sticks, "student": null, "switch": frame > 10, "noise": 0.3}}).to_string()
    };
    let requests: Vec<_> = (0..2000).map(request).collect();
    let began = Instant::now();
    let bytes: usize = requests.iter().map(|request| desk.ask(request).len()).sum();
    let each = began.elapsed() / 2000;
    println!("a step of 16 axes with its JSON: {each:?}, {} bytes", bytes / 2000);
    assert!(bytes > 2000 * 1000, "answers are whole");
}

/// Given a student's receiver that repeats its last frame, when the lesson goes on, then every row has the same sticks of
/// the student.
#[test]
fn a_frozen_link_repeats_the_students_last_frame() {
    let mut desk = Desk::default();
    begin(&mut desk, "aeroplane", "beginner");
    let mut step = json!({"instructor": [0, 0, -20, 0], "student": null, "switch": true});
    for frame in 0..160 {
        step["frozen"] = json!(frame >= 100);
        ask(&mut desk, &json!({ "step": step }));
    }
    let saved = ask(&mut desk, &json!({"save": {}}));
    let trace = saved["trace"].as_str().unwrap();
    let students: Vec<Vec<_>> = trace.lines().skip(1).map(|row| row.split(',').skip(7).take(4).collect()).collect();
    assert_eq!(students.len(), 160);
    assert!(students[101..].iter().all(|sticks| *sticks == students[100]), "{:?}", &students[95..105]);
    assert!(students[50..100].iter().any(|sticks| *sticks != students[100]));
}
