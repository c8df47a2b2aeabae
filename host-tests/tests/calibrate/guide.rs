//! The guided sequence: what it learns of four sticks, and what it does when the pilot does not follow it.

use handback::calibrate::{Calibration, CalibrationProgress, Learnt, Prompt, SEQUENCE};
use handback::{AxisSet, Channels, Count, Micros, Pulse};
use handback_host_tests::{Random, axes, normal, points};

use crate::gimbal::whole;
use crate::pilot::{SPRUNG, Stick, guided};

/// Aileron, elevator the other way round, throttle half way, rudder off centre.
fn sticks() -> [Stick; 4] {
    let ends = [[1990.0, 1510.0, 1020.0], [1010.0, 1495.0, 1975.0], [1950.0, 1500.0, 1050.0], [2050.0, 1540.0, 1000.0]];
    let mut seed = 0;
    ends.map(|ends| {
        seed += 1;
        Stick::new(seed, ends)
    })
}

fn through(sticks: &mut [Stick; 4]) -> Learnt<Micros, 4> {
    let mut calibration = Calibration::new(SPRUNG, 1024);
    guided(&mut calibration, sticks, SPRUNG, 2500, |_, _, _| {});
    calibration.learnt().expect("through")
}

/// The steps in the order in which they began.
fn begun(progress: &[CalibrationProgress]) -> Vec<Prompt> {
    progress.iter().filter(|progress| progress.begun).map(|progress| progress.step).collect()
}

fn micros(pulse: Pulse) -> f64 {
    f64::from(pulse.to_bits()) / 16.0
}

/// Given four sticks, when the pilot follows the guide, then centres, ends and directions are learnt.
#[test]
fn the_guide_learns_centres_ends_and_directions() {
    let mut sticks = sticks();
    let learnt = through(&mut sticks);
    for (stick, axis) in sticks.iter().zip(&learnt.axes) {
        let (low, high) = (stick.top.min(stick.bottom), stick.top.max(stick.bottom));
        assert!((micros(axis.low) - low).abs() < 1.5 && (micros(axis.high) - high).abs() < 1.5, "{axis:?}");
        assert!((micros(axis.centre) - stick.rest).abs() < 0.2, "{axis:?}");
        assert_eq!(axis.reversed, stick.top < stick.bottom);
        // Pulses come in sixteenths of a microsecond.
        assert_eq!(axis.step, 1);
        // A fifth of a point is 16 steps.
        assert!((15.0..17.0).contains(&f64::from(axis.noise.variance / 256).sqrt()), "{:?}", axis.noise);
    }
    // Read through the learnt set-up, the corners are full travel and the rest is centre.
    let set_up = [0, 1, 2, 3].map(|number| learnt.axes[usize::from(number)].channel(number));
    let channels = Channels::<_, 4, 4>::new(set_up).check().expect("a good set-up");
    for (at, expected) in [(0, 100), (1, 0), (2, -100)] {
        let train = sticks.each_ref().map(|stick| [stick.top, stick.rest, stick.bottom][at]);
        let frame = channels.frame(&train.map(|us| Pulse::from_micros(whole(us).into())));
        for read in frame.axes() {
            assert!(read.to_bits().abs_diff(points(expected).to_bits()) < 60, "{read} for {expected}");
        }
    }
    assert_eq!(channels.frame(&learnt.centres()), handback::Frame::CENTRE);
}

/// Given the sequence, when the pilot follows it, then each step begins once and says which axes are missing.
#[test]
fn each_step_begins_once_and_says_what_is_missing() {
    let mut calibration = Calibration::new(SPRUNG, 1024);
    assert_eq!((calibration.step(), calibration.learnt()), (Prompt::HandsOff, None));
    let progress = guided(&mut calibration, &mut sticks(), SPRUNG, 2500, |_, _, _| {});
    assert_eq!(begun(&progress), [&[Prompt::HandsOff], &SEQUENCE[1..], &[Prompt::Done]].concat());
    assert_eq!(progress[0], CalibrationProgress { step: Prompt::HandsOff, begun: true, missing: AxisSet::first(4) });
    assert!(
        progress[1087].step == Prompt::TopRight && progress[1086].step == Prompt::HandsOff,
        "1024 frames and the first 64"
    );
    let stir = progress.iter().find(|progress| progress.step == Prompt::Stir).expect("stirred");
    assert_eq!(stir.missing, AxisSet::first(4));
    let stirring = progress.iter().rfind(|progress| progress.step == Prompt::Stir).expect("stirred");
    assert!(stirring.missing.is_subset_of(SPRUNG), "a throttle needs no sweep");
    assert_eq!(progress.last().map(|last| last.missing), Some(AxisSet::EMPTY));
    assert!(SEQUENCE.iter().all(|step| step.wording().ends_with('.')));
}

/// Given the step that measures the rest, when a hand moves a stick, then the rest begins again.
#[test]
fn a_hand_on_a_stick_restarts_the_rest() {
    let mut calibration = Calibration::new(SPRUNG, 1024);
    let touch = |n, _: Prompt, readings: &mut [Pulse; 4]| {
        if n == 700 {
            readings[3] = Pulse::from_micros(1900);
        }
    };
    let progress = guided(&mut calibration, &mut sticks(), SPRUNG, 3500, touch);
    assert_eq!(begun(&progress)[..3], [Prompt::HandsOff, Prompt::HandsOff, Prompt::TopRight]);
    assert!(progress[700].begun);
    assert_eq!(calibration.learnt().expect("through").axes[3].noise.frames, 1024);
}

/// Given frames with a reading that no stick gives, when they come, then they are passed over.
#[test]
fn frames_of_a_broken_wire_are_passed_over() {
    let (mut with, mut without) = (Calibration::new(SPRUNG, 1024), Calibration::new(SPRUNG, 1024));
    guided(&mut without, &mut sticks(), SPRUNG, 2500, |_, _, _| {});
    // A wire breaks for a frame now and then; the sticks wait.
    let mut random = Random::new(1);
    let mut dead = Vec::new();
    let mut sticks = sticks();
    guided(&mut with, &mut sticks, SPRUNG, 2500, |_, _, readings| {
        if random.unit() < 0.01 {
            readings[1] = [Pulse::MIN, Pulse::MAX][dead.len() % 2];
            dead.push(());
        }
    });
    assert!(dead.len() > 10);
    let [with, without] = [with, without].map(|calibration| calibration.learnt().expect("through"));
    assert!(micros(with.axes[1].low) > 1005.0 && micros(with.axes[1].high) < 1980.0);
    assert_eq!(with.axes[1].noise.frames, without.axes[1].noise.frames);
}

/// Given the step of a corner, when one stick is not in it, then that stick is missing.
#[test]
fn a_stick_in_the_wrong_corner_is_missing() {
    let mut calibration = Calibration::new(SPRUNG, 128);
    let mut sticks = sticks();
    // The pilot never pulls the elevator: it goes to the same end twice.
    sticks[1].bottom = sticks[1].top;
    let progress = guided(&mut calibration, &mut sticks, SPRUNG, 3000, |_, _, _| {});
    let last = progress.last().expect("frames");
    assert_eq!((last.step, last.missing), (Prompt::BottomLeft, axes(&[1])));
    // A stick that has hardly left its centre is not in a corner either.
    let mut calibration = Calibration::new(SPRUNG, 128);
    let mut sticks = self::sticks();
    sticks[0].top = sticks[0].rest + 90.0;
    let progress = guided(&mut calibration, &mut sticks, SPRUNG, 3000, |_, _, _| {});
    let last = progress.last().expect("frames");
    assert_eq!((last.step, last.missing), (Prompt::TopRight, axes(&[0])));
}

/// Given a spring that overshoots and then rests off centre, when the stick is let go, then overshoot and offset are
/// measured.
#[test]
fn overshoot_and_offset_of_a_spring_are_measured() {
    let mut sticks = sticks();
    (sticks[0].swings, sticks[0].stays) = (40.0, -8.0);
    let learnt = through(&mut sticks);
    let [aileron, elevator, throttle, _] = learnt.axes;
    let in_micros = |steps: u16| f64::from(steps) / 16.0;
    assert!((in_micros(aileron.overshoot) - 40.0).abs() < 4.0, "{aileron:?}");
    assert!((in_micros(aileron.scatter) - 8.0).abs() < 0.5, "{aileron:?}");
    // It reaches the centre in the fifth frame and is still from the eleventh on.
    assert!((5..=7).contains(&aileron.ring), "{aileron:?}");
    assert!(in_micros(elevator.scatter) < 0.5 && elevator.ring <= 1, "{elevator:?}");
    assert_eq!((throttle.scatter, throttle.overshoot, throttle.ring), (0, 0, 0));
}

/// Given sweeps from end to end, when they pass the centre, then the slowest counts.
#[test]
fn the_slowest_sweep_past_the_centre_counts() {
    let learnt = through(&mut sticks());
    // A sweep from end to end takes 25 frames: 6 of them are within a quarter of the travel, 3 within an eighth.
    for axis in [0, 1, 3] {
        let [quarter, eighth, sixteenth, last] = learnt.axes[axis].slowest_sweep.expect("swept").frames;
        assert!((6..=7).contains(&quarter) && (3..=4).contains(&eighth), "{learnt:?}");
        assert!((1..=2).contains(&sixteenth) && last <= 1, "{learnt:?}");
    }
}

/// Given a corner in which a stick did not reach its end, when the stick is stirred, then the end is corrected.
#[test]
fn stirring_corrects_an_end_that_was_not_reached() {
    let mut calibration = Calibration::new(SPRUNG, 1024);
    let progress = guided(&mut calibration, &mut sticks(), SPRUNG, 2500, |_, step, readings| {
        if step == Prompt::TopRight {
            readings[0] = readings[0].min(Pulse::from_micros(1850));
        }
    });
    assert_eq!(progress.last().map(|last| last.step), Some(Prompt::Done));
    let high = micros(calibration.learnt().expect("through").axes[0].high);
    assert!((1970.0..1992.0).contains(&high), "{high}");
}

/// Given the counts of an analogue-to-digital converter, when they are learnt, then they make a set-up.
#[test]
fn the_counts_of_a_converter_make_a_set_up() {
    let mut calibration = Calibration::new(AxisSet::first(1), 256);
    let mut random = Random::new(4);
    let mut frame = 0_i32;
    while calibration.step() != Prompt::Done && frame < 5000 {
        let at = match calibration.step() {
            Prompt::TopRight => 410.0,
            Prompt::BottomLeft => 3600.0,
            Prompt::Stir => 2000.0 + f64::from(frame % 40 - 20) * 79.0,
            Prompt::HandsOff | Prompt::LetGo | Prompt::Done => 2020.0,
        };
        calibration.take(&[Count::from_bits(whole(at + normal(&mut random)))]);
        frame += 1;
    }
    let learnt = calibration.learnt().expect("through").axes[0];
    assert!(learnt.reversed && learnt.centre.to_bits().abs_diff(2020) <= 1);
    let channels = Channels::<_, 1, 1>::new([learnt.channel(0, 4095)]).check().expect("a good set-up");
    let read = |count| channels.frame(&[Count::from_bits(count)]).axes()[0];
    assert!(read(410).to_bits().abs_diff(points(100).to_bits()) < 100, "{}", read(410));
    assert!(read(3600).to_bits().abs_diff(points(-100).to_bits()) < 100, "{}", read(3600));
}

/// Given what was learnt of four axes, when it is written and read, then it is the same. It is kept in flash from one
/// lesson to the next: at most 496 bytes; the calibration itself takes at most 1704 bytes.
#[test]
fn what_was_learnt_is_stored_unchanged_and_small() {
    let learnt = through(&mut sticks());
    let text = serde_json::to_string(&learnt).expect("written");
    assert_eq!(serde_json::from_str::<Learnt<Micros, 4>>(&text).expect("read"), learnt);
    let sizes = [size_of::<Calibration<Micros, 4>>(), size_of::<Learnt<Micros, 4>>()];
    println!("calibration of 4 axes: {} bytes, what it learnt: {}", sizes[0], sizes[1]);
    assert!(sizes[0] <= 1704 && sizes[1] <= 496, "{sizes:?}");
}
