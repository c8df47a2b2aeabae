//! The picture says in words what happened, in XML that any reader takes, for any lesson.

use handback::{AxisRule, AxisSet, Cause, Policy, Waiting};
use roxmltree::Document;

use super::palette::INK;
use super::*;
use crate::tally::Lesson;

/// All words of a picture, which must be valid XML.
pub(super) fn words(svg: &str) -> String {
    let document = Document::parse(svg).unwrap_or_else(|why| panic!("{why}: {svg:.400}"));
    let texts = document.descendants().filter(|node| node.has_tag_name((SVG, "text")));
    texts.map(|node| node.text().unwrap_or("").trim().to_owned()).collect::<Vec<_>>().join("\n")
}

const SVG: &str = "http://www.w3.org/2000/svg";

/// The student flies for ten seconds, a rescue takes two, and the student flies again.
fn lesson() -> Lesson {
    let mut lesson = Lesson::new();
    lesson.meant = Some(true);
    lesson.reason = "too much bank";
    lesson.height_m = 42.0;
    lesson.fly(0, 980).hand_back_at(1000).fly(1020, 10_980);
    lesson.stick(0, 24).take_over_at(11_000, Cause::Stick(0)).fly(11_020, 12_980);
    lesson.stick(0, 0).hand_back_at(13_000).fly(13_020, 20_000);
    lesson
}

#[test]
fn the_picture_tells_in_words_who_flies_which_axis_and_why() {
    let mut lesson = lesson();
    lesson.tally.set_title("Lesson 7");
    let words = words(&svg(&lesson.tally).unwrap());
    for wanted in [
        "Lesson 7",
        "student flies",
        "instructor flies",
        "nobody flies",
        "aileron",
        "elevator",
        "throttle",
        "points",
        "height",
        "metres",
        "min:s",
        "instructor's stick",
        "student's stick",
        "dead band: a stick out of it takes over",
        "aileron: too much bank",
        "The takeover at 00:11.0 in close-up: aileron stick (too much bank)",
    ] {
        assert!(words.lines().any(|line| line == wanted), "no '{wanted}' in\n{words}");
    }
    assert!(words.contains("In that very frame the craft gets the instructor's stick"), "{words}");
    assert!(words.contains("student flew 00:17.0 of 00:20.0 (85 %)"), "{words}");
}

/// Given a throttle that waits to be picked up, when the headline is written, then it says how often and how long the
/// throttle waited, and that the craft was the instructor's in the same frame.
#[test]
fn the_headline_says_that_a_throttle_waited() {
    let mut lesson = Lesson::new();
    lesson.fly(0, 0).hand_back_at(20).fly(40, 980).pickup = AxisSet::of(&[2]);
    lesson.stick(0, 24).take_over_at(1000, Cause::Stick(0)).fly(1020, 2680);
    lesson.pickup = AxisSet::EMPTY;
    lesson.fly(2700, 3000);
    let [_, headline] = legend::headline(&lesson.tally);
    assert!(headline.contains("the craft was the instructor's in the same frame, every time"), "{headline}");
    assert!(headline.ends_with("throttle waited once to be picked up, for 1.7 s"), "{headline}");
    lesson.hand_back_at(4000).pickup = AxisSet::of(&[2]);
    lesson.take_over_at(5000, Cause::SwitchOff).pickup = AxisSet::EMPTY;
    lesson.fly(5020, 6000);
    let [_, headline] = legend::headline(&lesson.tally);
    assert!(headline.ends_with("throttle waited 2 times to be picked up, 1.7 s at worst"), "{headline}");
    assert!(!legend::headline(&self::lesson().tally)[1].contains("waited"));
}

#[test]
fn the_headline_says_what_a_build_is_not_to_be_believed_for() {
    let ends = |lesson: &Lesson, words: &str| legend::headline(&lesson.tally)[1].ends_with(words);
    let reference = "ENGINE AND REFERENCE DISAGREE: see the report";
    let announcements = "ANNOUNCEMENTS ARE WRONG: see the report";
    let mut lesson = self::lesson();
    assert!(!ends(&lesson, "see the report"));
    lesson.differs.output = true;
    lesson.fly(20_020, 20_020);
    assert!(ends(&lesson, reference) && !ends(&lesson, announcements));
    let mut lesson = self::lesson();
    lesson.swallow_event = true;
    lesson.take_over_at(20_020, Cause::SwitchOff);
    assert!(ends(&lesson, announcements) && !legend::headline(&lesson.tally)[1].contains(reference));
}

#[test]
fn the_close_up_says_so_when_the_output_came_late() {
    let mut lesson = Lesson::new();
    lesson.hand_back_at(0).fly(20, 5000).stick(0, 24).fly(5020, 5040).take_over_at(5060, Cause::Stick(0));
    lesson.fly(5080, 9000);
    let words = words(&svg(&lesson.tally).unwrap());
    assert!(words.contains("2 frames later the craft gets the instructor's stick"), "{words}");
    assert!(!words.contains("same frame, every time"), "{words}");
}

/// Given a hand back after each kind of wait, when it is shown in close-up, then the note says what came before the sticks
/// had to stay at rest, and nothing where that is not known.
#[test]
fn the_close_up_says_what_was_waited_for_last() {
    let ms = |ms| handback::Duration::from_millis(ms);
    for (before, words) in [
        (Some(Waiting::Held(0)), "The aileron stick is let go, within 1 point of its rest. The sticks must now"),
        (Some(Waiting::Held(2)), "The throttle stick stayed in one place for 500 ms. The sticks must now"),
        (Some(Waiting::Latch), "The lesson switch is on again. The sticks must now"),
        (Some(Waiting::Settling { left: ms(20) }), "The lesson switch is on again. The sticks must now"),
        (Some(Waiting::StudentLink { left: ms(20) }), "The student's radio link is good again. The sticks must now"),
        (None, "The sticks must now"),
    ] {
        let mut lesson = Lesson::new();
        lesson.hand_back_at(0).fly(20, 980).stick(0, 24).waiting = before;
        lesson.take_over_at(1000, Cause::Stick(0)).fly(1020, 1980).stick(0, 0).waiting =
            Some(Waiting::Dwell { left: ms(300) });
        lesson.fly(2000, 2280).waiting = None;
        lesson.hand_back_at(2300).fly(2320, 4000);
        let said = self::words(&svg(&lesson.tally).unwrap());
        assert!(said.lines().any(|line| line.starts_with(words)), "{before:?}: {said}");
    }
}

/// The place of words: left, right, and their middle, in quarter pixels.
pub(super) fn boxes(svg: &str) -> Vec<(f64, f64, f64, String)> {
    let document = Document::parse(svg).unwrap();
    let texts = document.descendants().filter(|node| node.has_tag_name((SVG, "text")));
    texts
        .map(|node| {
            let number = |name: &str| node.attribute(name).unwrap().parse::<f64>().unwrap();
            let words = node.text().unwrap_or("").trim().to_owned();
            let width = Lettering::new(number("font-size"), INK).width_of(&words);
            let left = number("x")
                - match node.attribute("text-anchor").unwrap() {
                    "start" => 0.0,
                    "middle" => width / 2.0,
                    _ => width,
                };
            (left, left + width, number("y"), words)
        })
        .collect()
}

#[track_caller]
pub(super) fn no_words_cross(svg: &str) {
    let boxes = boxes(svg);
    for (place, one) in boxes.iter().enumerate() {
        for other in &boxes[place + 1..] {
            let apart = one.1 <= other.0 || other.1 <= one.0 || (one.2 - other.2).abs() >= 40.0;
            assert!(apart, "{one:?} {other:?}");
        }
    }
}

#[test]
fn no_words_are_written_over_others() {
    let mut early = Lesson::new();
    early.hand_back_at(0).fly(20, 480).stick(0, 24).take_over_at(500, Cause::Stick(0)).fly(520, 3000);
    let mut late = Lesson::new();
    late.fly(3_600_000, 3_600_100).hand_back_at(3_600_120).fly(3_600_140, 3_602_980);
    late.stick(0, 3).take_over_at(3_603_000, Cause::Stick(0)).fly(3_603_020, 3_604_000);
    let mut none = Lesson::new();
    none.fly(0, 2000);
    for lesson in [lesson(), early, late, none] {
        no_words_cross(&svg(&lesson.tally).unwrap());
    }
}

#[test]
fn where_no_takeover_can_be_shown_in_close_up_a_line_says_why() {
    let mut lesson = Lesson::new();
    lesson.hand_back_at(0).fly(20, 5000).take_over_at(5020, Cause::SwitchOff).fly(5040, 6000);
    let words = words(&svg(&lesson.tally).unwrap());
    let wanted = "No takeover in close-up: no stick took the craft from the student.";
    assert!(words.lines().any(|line| line == wanted), "{words}");
}

/// Given a takeover that moves the aileron's output from -30 points to 24, when the panel has buckets as fine as the
/// frames, then the line of the output is upright there.
#[test]
fn a_takeover_is_an_upright_line_in_the_panel_too() {
    let mut lesson = Lesson::new();
    lesson.hand_back_at(0).fly(20, 980).stick(0, 24).take_over_at(1000, Cause::Stick(0)).fly(1020, 1500);
    let svg = svg(&lesson.tally).unwrap();
    let document = Document::parse(&svg).unwrap();
    let pixels = |weight: f64| format!("{:.0}", weight * 4.0);
    let lines = document.descendants().filter(|node| {
        node.has_tag_name((SVG, "polyline"))
            && node.attribute("stroke-width") == Some(&pixels(palette::OUTPUT_WEIGHT))
            && node.attribute("stroke") == Some("#648AB6")
    });
    let firsts: Vec<[f64; 4]> = lines
        .filter_map(|line| {
            let numbers = line.attribute("points")?.split([' ', ',']).filter_map(|number| number.parse().ok());
            numbers.take(4).collect::<Vec<f64>>().try_into().ok()
        })
        .collect();
    let upright = |[x, y, then_x, then_y]: &[f64; 4]| (x - then_x).abs() < 0.5 && (y - then_y).abs() > 50.0;
    assert!(firsts.iter().any(upright), "{firsts:?}");
}

/// Given a lesson of which the truth is not known, when it is drawn, then there is no height and no guess about false
/// takeovers.
#[test]
fn without_the_truth_there_is_no_height_and_no_guess() {
    let mut lesson = Lesson::new();
    lesson.hand_back_at(0).fly(20, 5000).stick(0, 24).take_over_at(5020, Cause::Stick(0)).fly(5040, 6000);
    let words = words(&svg(&lesson.tally).unwrap());
    assert!(!words.contains("height") && !words.contains("false"), "{words}");
    assert!(words.lines().any(|line| line == "aileron stick"), "{words}");
}

#[test]
fn an_empty_lesson_and_one_of_a_single_step_are_pictures_too() {
    let mut lesson = Lesson::new();
    words(&svg(&lesson.tally).unwrap());
    lesson.fly(0, 0);
    words(&svg(&lesson.tally).unwrap());
}

#[test]
fn names_that_xml_would_choke_on_are_drawn_all_the_same() {
    let mut lesson = Lesson::called(&["<a&b>\u{0}", "\"']]>", "&#0;"].map(String::from));
    lesson.hand_back_at(20).take_over_at(1000, Cause::Stick(0));
    assert!(words(&svg(&lesson.tally).unwrap()).contains("<a&b>\u{fffd}"));
}

/// Given a hundred changes a minute for four hours, when they are drawn, then the picture has less than 1.5 megabytes.
#[test]
fn hours_of_changes_make_a_picture_below_1_5_megabytes() {
    let mut lesson = Lesson::new();
    lesson.meant = Some(true);
    for turn in 0..12_000 {
        let start = turn * 1200;
        let wild = |salt: u64| i16::try_from((turn * 7919 + salt * 104_729) % 200).unwrap() - 100;
        lesson.stick(0, wild(1)).stick(1, wild(2)).stick(2, wild(3)).hand_back_at(start).fly(start + 20, start + 580);
        lesson.stick(0, wild(4)).take_over_at(start + 600, Cause::Stick(0)).fly(start + 620, start + 1180);
    }
    let svg = svg(&lesson.tally).unwrap();
    assert!(svg.len() < 1_500_000, "{}", svg.len());
    assert!(words(&svg).contains("more causes"));
}

#[test]
fn sixteen_axes_make_a_taller_picture() {
    let policy = Policy::new([AxisRule::sprung(); 16]);
    let tally = Tally::new(Vec::new(), &policy.check().unwrap());
    let svg = svg(&tally).unwrap();
    assert!(words(&svg).lines().any(|line| line == "axis 15"));
    let height = |svg: &str| Document::parse(svg).unwrap().root_element().attribute("height").unwrap().parse::<f64>();
    assert!(height(&svg).unwrap() > 1000.0);
}
