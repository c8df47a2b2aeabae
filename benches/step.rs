//! The cost of a step on the host: the engine, the float reference and a bare copy of the frame, over one lesson.
//!
//! Machines differ and are noisy, so only ratios within one run have a meaning; they are printed last.

use std::fs;
use std::hint::black_box;
use std::path::Path;
use std::time::Duration;

use criterion::{Criterion, Throughput};
use handback::reference::Model;
use handback::{AxisRule, CheckedPolicy, Deflection, Engine, Frame, Inputs, Instant, Policy};

/// 20 s at 50 frames a second.
const FRAMES: u32 = 1_000;

/// The inputs of one step.
struct Row<const N: usize> {
    now: Instant,
    instructor: Frame<N>,
    student: Frame<N>,
    lesson_switch: bool,
}

/// Sprung sticks and one throttle, everything at its default.
fn policy<const N: usize>() -> CheckedPolicy<N> {
    let mut axes = [AxisRule::sprung(); N];
    axes[2] = AxisRule::unsprung(Deflection::from_points(-100));
    axes[2].keep = false;
    Policy::new(axes).check().expect("the defaults pass")
}

/// The student moves all sticks. The instructor takes one stick for one second in four, all axes in turn, the throttle
/// too.
fn lesson<const N: usize>() -> Vec<Row<N>> {
    let swing = |n: u32, period: u32| {
        let phase = i32::try_from(n % period).expect("a small number");
        let half = i32::try_from(period / 2).expect("a small number");
        Deflection::from_centipoints((phase - half).abs() * 10_000 / half - 5_000)
    };
    (0..FRAMES)
        .map(|n| {
            let mut instructor = Frame::CENTRE;
            let second = n / 50;
            if second % 4 == 3 {
                instructor.axes_mut()[second as usize % N] = swing(n, 40);
            }
            let mut student = Frame::CENTRE;
            for (axis, stick) in (0..).zip(student.axes_mut()) {
                *stick = swing(n, 60 + 10 * axis);
            }
            Row { now: Instant::from_ticks(20_000 * n), instructor, student, lesson_switch: n > 10 }
        })
        .collect()
}

fn fly<const N: usize>(rows: &[Row<N>], mut step: impl FnMut(Instant, Inputs<'_, N>) -> Frame<N>) {
    for row in rows {
        let inputs = Inputs {
            instructor: Some(&row.instructor),
            student: Some(&row.student),
            lesson_switch: row.lesson_switch,
            instructor_now: false,
        };
        black_box(step(row.now, black_box(inputs)));
    }
}

fn bench<const N: usize>(criterion: &mut Criterion) {
    let (policy, rows) = (policy::<N>(), lesson::<N>());
    let mut group = criterion.benchmark_group(format!("{N} axes"));
    group.throughput(Throughput::Elements(FRAMES.into()));
    group.bench_function("copy", |bencher| {
        bencher.iter(|| fly(&rows, |_, inputs| *inputs.student.expect("every row has one")));
    });
    group.bench_function("engine", |bencher| {
        bencher.iter(|| {
            let mut engine = Engine::new(&policy);
            fly(&rows, |now, inputs| engine.step(now, inputs).output);
        });
    });
    group.bench_function("reference", |bencher| {
        bencher.iter(|| {
            let mut model = Model::new(&policy);
            fly(&rows, |now, inputs| model.step(now, inputs).output);
        });
    });
    group.finish();
}

/// The median of a benchmark of this run, in nanoseconds for the whole lesson.
fn median(axes: usize, what: &str) -> Option<f64> {
    let target = std::env::var("CARGO_TARGET_DIR").unwrap_or_else(|_| "target".into());
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("..").join(target);
    let file = root.join(format!("criterion/{axes} axes/{what}/new/estimates.json"));
    let estimates: serde_json::Value = serde_json::from_str(&fs::read_to_string(file).ok()?).ok()?;
    estimates["median"]["point_estimate"].as_f64()
}

fn main() {
    let mut criterion = Criterion::default()
        .warm_up_time(Duration::from_millis(300))
        .measurement_time(Duration::from_secs(1))
        .configure_from_args();
    bench::<4>(&mut criterion);
    bench::<8>(&mut criterion);
    bench::<16>(&mut criterion);
    criterion.final_summary();

    for axes in [4, 8, 16] {
        // Absent where the arguments excluded a benchmark, or only tested it.
        let (Some(copy), Some(engine), Some(reference)) =
            (median(axes, "copy"), median(axes, "engine"), median(axes, "reference"))
        else {
            continue;
        };
        println!(
            "{axes:2} axes: the engine takes {:.1} times a bare copy, the reference {:.2} times the engine",
            engine / copy,
            reference / engine,
        );
    }
}
