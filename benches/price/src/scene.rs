//! Scenes: traces that lead a lesson into expensive steps, on all axes at once. The flights of the conformance check
//! reach them by chance; the scenes reach them on purpose.

use handback::{Deflection, Frame, Inputs};

/// Time between two steps, in microseconds.
pub const PACE: u32 = 20_000;

/// A sequence of phases.
pub struct Scene {
    /// What happens.
    pub name: &'static str,
    /// What follows once the switch was off and on and the student flies.
    pub phases: &'static [Phase],
    /// Whether its last phase is a steady one, in which the student flies.
    pub steady: Option<Steady>,
}

/// A lesson in which nothing happens.
#[derive(Clone, Copy, Debug)]
pub enum Steady {
    /// All sticks are still.
    Still,
    /// The student's sticks move.
    Moving,
}

/// A number of equal steps.
#[derive(Clone, Copy)]
pub struct Phase {
    steps: u32,
    instructor: Sticks,
    student: Sticks,
    switch: bool,
    now: bool,
    /// Time before the first step.
    first: u32,
}

/// Where all sticks of one side are, from their rests.
#[derive(Clone, Copy)]
enum Sticks {
    /// This many points from the rest.
    At(i16),
    /// Up and down.
    Moving,
    /// One more axis in every step is this many points out.
    OneByOne(i16),
    /// The even axes are here, the odd ones there; every second even axis keeps the craft.
    Halves(i16, i16),
    /// The last axis is where no stick can be.
    Bad,
    /// The last axis is where no stick can be, and the others are here.
    Stray(i16),
    /// The even axes are here and the odd ones there, up and down by as much as no rest bears; the last axis is at its
    /// rest.
    Restless(i16, i16),
    /// The same, with the first axis here and all others there; and the first axis is still.
    AllButOne(i16, i16),
    /// No frame comes.
    Silent,
}

use Sticks::{AllButOne, At, Bad, Halves, Moving, OneByOne, Restless, Silent, Stray};

const fn phase(steps: u32, instructor: Sticks, student: Sticks) -> Phase {
    Phase { steps, instructor, student, switch: true, now: false, first: PACE }
}

impl Phase {
    const fn switched_off(self) -> Self {
        Self { switch: false, ..self }
    }

    const fn asking(self) -> Self {
        Self { now: true, ..self }
    }

    const fn late(self, first: u32) -> Self {
        Self { first, ..self }
    }
}

/// Two seconds, in which the switch is turned on, the link qualifies, the dwell passes and the fade ends.
const HAND_OVER: [Phase; 2] = [phase(40, At(0), At(20)).switched_off(), phase(60, At(0), At(20))];

/// The scenes.
pub const SCENES: [Scene; 14] = [
    Scene { name: "steady", steady: Some(Steady::Still), phases: &[phase(40, At(0), At(0)), phase(30, At(0), At(0))] },
    Scene {
        name: "moving",
        steady: Some(Steady::Moving),
        phases: &[phase(40, At(0), Moving), phase(100, At(0), Moving)],
    },
    Scene {
        name: "takeover, waits time out",
        steady: None,
        phases: &[
            phase(20, At(0), Moving),
            phase(20, At(0), At(20)),
            phase(140, At(10), Moving),
            phase(40, At(0), At(20)),
        ],
    },
    Scene {
        name: "grab and latch",
        steady: None,
        phases: &[
            phase(20, At(60), At(80)),
            phase(10, At(70), At(90)),
            phase(60, At(0), At(20)),
            phase(10, At(0), At(20)).switched_off(),
            phase(40, At(0), At(20)),
        ],
    },
    Scene {
        name: "takeover in a fade",
        steady: None,
        phases: &[
            phase(10, At(0), At(20)).switched_off(),
            phase(18, At(0), At(20)),
            phase(30, At(10), Moving),
            phase(30, At(0), Moving),
            phase(30, Halves(10, 0), Moving),
        ],
    },
    Scene {
        name: "axes taken one by one",
        steady: None,
        phases: &[
            phase(140, OneByOne(10), At(20)),
            phase(10, At(0), At(20)).switched_off(),
            phase(30, At(0), At(20)),
            phase(20, OneByOne(10), Moving),
            phase(5, At(0), At(20)),
            phase(60, OneByOne(5), At(20)),
        ],
    },
    Scene {
        name: "gates open by halves",
        steady: None,
        phases: &[
            phase(10, At(0), At(90)).switched_off(),
            phase(40, At(0), At(90)),
            phase(20, At(0), Halves(90, 0)),
            phase(40, At(0), At(10)),
            phase(4, At(0), At(90)).switched_off(),
            phase(20, At(0), OneByOne(90)),
            phase(30, At(0), At(0)),
        ],
    },
    Scene {
        name: "half waits, half flies",
        steady: None,
        phases: &[
            phase(102, Halves(0, 10), At(20)),
            phase(20, Halves(12, 10), Moving),
            phase(20, Halves(12, 0), Moving),
            phase(30, Halves(0, 10), Moving),
            phase(60, Halves(0, 10), At(20)),
        ],
    },
    Scene {
        name: "half waits, half joins",
        steady: None,
        phases: &[
            phase(10, At(0), Halves(90, 20)).switched_off(),
            phase(40, At(0), Halves(90, 20)),
            phase(30, Halves(0, 10), Halves(90, 20)),
            phase(20, Halves(0, 10), Halves(1, 21)),
            phase(60, Halves(0, 10), Moving),
        ],
    },
    Scene {
        name: "half times out, half joins",
        steady: None,
        phases: &[
            phase(10, At(0), Halves(90, 20)).switched_off(),
            phase(40, At(0), Halves(90, 20)),
            // The waits begin in the second step, confirmed, and last 2 s.
            phase(101, Halves(0, 10), Halves(90, 20)),
            phase(20, Halves(0, 10), Halves(1, 21)),
            phase(60, Halves(0, 10), Moving),
        ],
    },
    Scene {
        name: "bad frames",
        steady: None,
        phases: &[phase(3, Bad, At(20)), phase(20, At(0), At(20)), phase(3, At(0), Bad), phase(3, Bad, Bad)],
    },
    Scene {
        name: "silence",
        steady: None,
        phases: &[
            phase(12, At(0), Silent),
            phase(12, At(0), At(20)),
            phase(12, Silent, At(20)),
            phase(12, At(10), At(20)),
            phase(60, Silent, Silent),
            phase(12, At(10), At(20)),
        ],
    },
    Scene {
        name: "late step",
        steady: None,
        phases: &[phase(5, At(10), At(20)).late(300_000), phase(60, At(0), At(20)), phase(5, At(0), At(0)).late(0)],
    },
    Scene {
        name: "instructor now",
        steady: None,
        phases: &[
            phase(10, At(0), Moving).asking(),
            phase(20, At(0), At(20)).switched_off(),
            phase(30, At(0), At(20)),
            phase(10, At(10), Moving),
            phase(10, At(10), Moving).asking(),
        ],
    },
];

/// The scenes of the policy in which all sticks rest where left. A held stick that does not come to rest, and whose axis
/// waits or fades, is the most expensive one.
pub const WHERE_LEFT: [Scene; 3] = [
    Scene {
        name: "all but one time out, one joins",
        steady: None,
        phases: &[
            // The waits begin in the second step, confirmed, and last 2 s. The first axis rests after 500 ms, and joins
            // when the dwell of 300 ms is over.
            phase(61, Restless(10, 10), Stray(20)),
            phase(45, AllButOne(10, 10), Stray(20)),
            // The first axis is taken while all others fade.
            phase(10, AllButOne(16, 10), Stray(20)),
            phase(20, Restless(10, 10), Stray(20)),
        ],
    },
    Scene {
        name: "half wait, half are taken",
        steady: None,
        phases: &[
            phase(20, Restless(10, 0), Stray(20)),
            phase(20, Restless(10, 10), Stray(20)),
            phase(20, Restless(12, 12), Stray(25)),
        ],
    },
    Scene {
        name: "all are taken at once",
        steady: None,
        phases: &[phase(20, Restless(10, 10), Stray(20)), phase(60, Restless(10, 10), Stray(20)).switched_off()],
    },
];

/// Plays a scene: calls `take` with each instant, the inputs of the step, and whether the step is of the last phase.
pub fn play<const N: usize>(scene: &Scene, mut take: impl FnMut(u32, &Inputs<'_, N>, bool)) {
    let mut now: u32 = 0;
    let mut phases = HAND_OVER.iter().chain(scene.phases).peekable();
    while let Some(phase) = phases.next() {
        for step in 0..phase.steps {
            now = now.wrapping_add(if step == 0 { phase.first } else { PACE });
            let (instructor, student) = (phase.instructor.frame::<N>(step), phase.student.frame::<N>(step));
            let inputs = Inputs {
                instructor: instructor.as_ref(),
                student: student.as_ref(),
                lesson_switch: phase.switch,
                instructor_now: phase.now,
            };
            take(now, &inputs, phases.peek().is_none());
        }
    }
}

/// The rests of the sticks: sprung ones at their centre, the others where left.
pub const fn rest(axis: usize) -> Deflection {
    if axis % 4 == 2 { Deflection::from_points(-40) } else { Deflection::CENTRE }
}

impl Sticks {
    fn frame<const N: usize>(self, step: u32) -> Option<Frame<N>> {
        if let Silent = self {
            return None;
        }
        let mut frame = Frame::CENTRE;
        for (axis, stick) in frame.axes_mut().iter_mut().enumerate() {
            let points = match self {
                At(points) => points,
                Moving => swing(step, axis),
                OneByOne(points) if axis < step as usize => points,
                Halves(points, _) if axis % 2 == 0 => points,
                Halves(_, points) => points,
                Bad | Stray(_) if axis + 1 == N => IMPLAUSIBLE,
                Stray(points) => points,
                Restless(..) | AllButOne(..) if axis + 1 == N => 0,
                AllButOne(points, _) if axis == 0 => points,
                Restless(points, _) if axis % 2 == 0 => restless(points, step),
                Restless(_, points) | AllButOne(_, points) => restless(points, step),
                OneByOne(_) | Bad | Silent => 0,
            };
            *stick =
                Deflection::from_bits(rest(axis).to_bits().saturating_add(Deflection::from_points(points).to_bits()));
        }
        Some(frame)
    }
}

/// Beyond `plausible`, in points.
const IMPLAUSIBLE: i16 = 199;

/// From 0 up to 20 points and down again, each axis at its own pace.
fn swing(step: u32, axis: usize) -> i16 {
    let phase = (step as usize * (1 + axis % 3) + 3 * axis) % 40;
    i16::try_from(if phase < 20 { phase } else { 40 - phase }).unwrap_or(0)
}

/// Two points up in every second step, which is more than `release` and less than `engage`; at rest where it is 0.
fn restless(points: i16, step: u32) -> i16 {
    if points != 0 && step % 2 == 1 { points + 2 } else { points }
}
