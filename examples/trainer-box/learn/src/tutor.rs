//! The sequence on the box alone: the button begins and ends it, lamp and beeper tell its steps.

use handback::Instant;
use handback::cue::Signs;
use handback::ppm::Edge;
use trainer_box::{Desk, Ear, MOST_CHANNELS, Plan, Side, Step, TrainerBox};

use crate::learning::Learning;
use crate::pace::passed;
use crate::press::Button;
use crate::sound::{Pitch, Player, Sound};
use crate::step::Ask;

type Box<'p, const N: usize> = TrainerBox<'p, N, MOST_CHANNELS, MOST_CHANNELS>;

/// Learns both transmitters beside a box on the bench.
///
/// Three presses of the button within three seconds begin it, while the check of the bench waits for its start. While
/// it lasts, nothing is sent to the craft. At the end the firmware stores the new plan ([`request`](Self::request)),
/// which takes effect at the next start of the box. The button held for two seconds, the lesson switch, or a train that
/// stops, ends it with nothing stored.
#[derive(Clone, Debug)]
pub struct Tutor<const N: usize> {
    button: Button,
    player: Player,
    last: Instant,
    state: State<N>,
}

#[derive(Clone, Debug)]
#[allow(clippy::large_enum_variant)] // the room is needed while the box learns
enum State<const N: usize> {
    Idle,
    Learns {
        learning: Learning<N>,
        ears: [Ear; 2],
    },
    /// `asked`: the firmware was asked to store the plan.
    Stores {
        plan: Plan<N, MOST_CHANNELS, MOST_CHANNELS>,
        asked: bool,
    },
    Stored,
    /// Nothing is stored; the sound of it is played.
    Ended,
}

impl<const N: usize> Tutor<N> {
    /// A tutor that waits for the button.
    pub fn new(now: Instant) -> Self {
        Self { button: Button::new(now), player: Player::default(), last: now, state: State::Idle }
    }

    /// Takes an edge on the line of this transmitter, as the box does.
    pub fn edge(&mut self, side: Side, edge: Edge) {
        if let State::Learns { ears: [instructor, student], .. } = &mut self.state {
            if side == Side::Instructor { instructor } else { student }.edge(edge);
        }
    }

    /// Takes note that edges of this transmitter were lost.
    pub fn overrun(&mut self, side: Side) {
        if let State::Learns { ears: [instructor, student], .. } = &mut self.state {
            if side == Side::Instructor { instructor } else { student }.overrun();
        }
    }

    /// Takes the step that the box has just taken. While it learns, it replaces the signs of the step. Returns the pitch
    /// for the beeper.
    pub fn step(
        &mut self,
        now: Instant,
        desk: Desk,
        trainer_box: &mut Box<'_, N>,
        step: &mut Step<N, MOST_CHANNELS>,
    ) -> Pitch {
        let dt = passed(self.last, now);
        self.last = now;
        let pressed_often = self.button.pressed_often(now, desk.instructor_now);
        if let State::Idle = self.state {
            if pressed_often && trainer_box.may_set_up() && !desk.lesson_switch {
                trainer_box.set_up(now, true);
                self.player = Player::default();
                self.player.result(Sound::Done);
                self.state = State::Learns {
                    learning: Learning::new(trainer_box.plan().plan()),
                    ears: [Ear::new(), Ear::new()],
                };
            }
            return Pitch::Middle;
        }
        self.learn(now);
        let stops = desk.lesson_switch || self.button.is_held(now);
        if stops && matches!(self.state, State::Learns { .. } | State::Stores { asked: false, .. }) {
            self.end();
        }
        let student_asked = matches!(&self.state, State::Learns { learning, .. } if of_student(learning.ask()));
        let (on, pitch) = self.player.pass(dt);
        step.pulses = None;
        step.signs = Signs { lamp: on, beeper: on, vibration: on, student_flies: student_asked, ..Signs::default() };
        if matches!(self.state, State::Ended) && self.player.is_over() {
            self.state = State::Idle;
            trainer_box.set_up(now, false);
        }
        pitch
    }

    /// The plan that the firmware is to store, once; the answer is [`stored`](Self::stored).
    pub fn request(&mut self) -> Option<&Plan<N, MOST_CHANNELS, MOST_CHANNELS>> {
        match &mut self.state {
            State::Stores { plan, asked } if !*asked => {
                *asked = true;
                Some(plan)
            }
            _ => None,
        }
    }

    /// Whether the plan is stored. If not, the plan before it still is.
    pub fn stored(&mut self, is_stored: bool) {
        if is_stored {
            self.state = State::Stored;
            self.player.asks(Some(Sound::Stored));
        } else {
            self.end();
        }
    }

    /// What people are asked for, while the box learns.
    pub const fn ask(&self) -> Option<Ask> {
        match &self.state {
            State::Learns { learning, .. } => Some(learning.ask()),
            _ => None,
        }
    }

    /// Takes the trains that came.
    fn learn(&mut self, now: Instant) {
        let State::Learns { learning, ears } = &mut self.state else { return };
        learning.pass(now);
        for (side, ear) in [Side::Instructor, Side::Student].into_iter().zip(&mut *ears) {
            let (_, train) = ear.poll(now);
            let (Some(train), Some(format)) = (train, ear.found()) else { continue };
            let before = learning.ask();
            let step = learning.take(now, side, format, &train);
            if step.wrong.is_some() {
                self.player.result(Sound::Wrong);
                self.player.ask_again();
            } else if is_done(before, step.ask) {
                self.player.result(Sound::Done);
            }
        }
        let missing = if learning.format(Side::Instructor).is_none() { Side::Instructor } else { Side::Student };
        self.player.asks(Sound::asks(learning.ask(), missing));
        if let Some(&plan) = learning.plan() {
            self.state = State::Stores { plan, asked: false };
        } else if let Ask::Ended(_) = learning.ask() {
            self.end();
        }
    }

    fn end(&mut self) {
        self.state = State::Ended;
        self.player.asks(None);
        self.player.result(Sound::Ended);
    }
}

/// Whether a step was done; a stick that is back in the middle says nothing.
fn is_done(before: Ask, after: Ask) -> bool {
    match (before, after) {
        (Ask::Trains, after) => after != Ask::Trains,
        (Ask::Alone { .. }, Ask::Back { .. }) | (Ask::All { .. }, Ask::Middle { .. } | Ask::Done) => true,
        (Ask::All { prompt: one, .. }, Ask::All { prompt: other, .. }) => one != other,
        _ => false,
    }
}

fn of_student(ask: Ask) -> bool {
    let student = |side| side == Side::Student;
    match ask {
        Ask::Middle { side } | Ask::Alone { side, .. } | Ask::Back { side, .. } | Ask::All { side, .. } => {
            student(side)
        }
        Ask::Trains | Ask::Done | Ask::Ended(_) => false,
    }
}
