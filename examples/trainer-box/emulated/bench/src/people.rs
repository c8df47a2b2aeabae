//! The two people: the movements of their sticks, and the instructor's actions on switch and button.
//!
//! The instructor rests, moves a stick for a moment now and then, moves the throttle, and turns the switch off and on
//! when the student has not flown for a while. The student moves all sticks at random.

use trainer_box_rig::Hand;
use trainer_box_rig::plan::{CHANNELS, STUDENT_CHANNELS};

use seeded::Random;

/// The rest of the instructor's sprung sticks, in microseconds.
pub const CENTRE: i64 = 1_500;

/// The noise of a resting stick on either side, in microseconds: much less than the 5 us of `release`.
const NOISE: i64 = 2;

#[derive(Debug)]
pub struct People {
    random: Random,
    switch: bool,
    /// The time at which the switch is turned next; `None` where that is not decided.
    turn_at: Option<u64>,
    bounces_until: u64,
    pressed_until: u64,
    switch_fails_until: u64,
    button_fails_until: u64,
    last_flown: u64,
    nudge: Option<Nudge>,
    throttle: i64,
    throttle_to: i64,
    others: [u64; 4],
    out_of_range: Option<OutOfRange>,
    student: [i64; 4],
    student_to: [i64; 4],
}

#[derive(Debug)]
struct Nudge {
    axis: usize,
    by: i64,
    frames: i64,
}

#[derive(Clone, Copy, Debug)]
struct OutOfRange {
    instructor: bool,
    axis: usize,
    width: u64,
    frames: i64,
}

impl People {
    pub fn new(seed: u64) -> Self {
        Self {
            random: Random::new(seed),
            switch: false,
            turn_at: Some(300_000),
            bounces_until: 0,
            pressed_until: 0,
            switch_fails_until: 0,
            button_fails_until: 0,
            last_flown: 0,
            nudge: None,
            throttle: 1_000,
            throttle_to: 1_000,
            others: [1_000, 1_000, 2_000, 1_500],
            out_of_range: None,
            student: [1_500, 1_480, 1_000, 1_500],
            student_to: [1_500, 1_480, 1_000, 1_500],
        }
    }

    /// Makes random decisions; called about once per frame.
    pub fn decide(&mut self, now: u64, student_flies: bool) {
        if student_flies {
            self.last_flown = now;
        }
        if self.turn_at.is_none() {
            if !self.switch {
                self.turn_at = Some(now + self.random.time(20_000, 250_000));
            } else if now > self.last_flown + 1_500_000 {
                self.last_flown = now;
                self.turn_at = Some(now);
            } else if self.random.one_in(600) {
                self.turn_at = Some(now + self.random.time(0, 30_000));
            }
        }
        if self.random.one_in(800) {
            self.pressed_until = now + self.random.time(500, 200_000);
        }
        if self.nudge.is_none() && self.random.one_in(120) {
            let size = self.random.one_of(&[12, 20, 60, 200, 450]);
            let by = if self.random.one_in(2) { size } else { -size };
            self.nudge = Some(Nudge { axis: self.random.one_of(&[0, 1, 3]), by, frames: self.random.within(1, 30) });
        }
        if self.random.one_in(400) {
            self.throttle_to = self.random.within(1_000, 1_950);
        }
        if self.random.one_in(100) {
            let which = self.random.one_of(&[0, 1, 2, 3]);
            self.others[which] = self.random.one_of(&[1_000, 1_500, 2_000]);
        }
        if self.random.one_in(30) {
            let axis = self.random.one_of(&[0, 1, 2, 3]);
            self.student_to[axis] = self.random.within(1_000, 2_000);
        }
    }

    /// Lets the switch bounce until this time.
    pub fn bounce(&mut self, until: u64) {
        self.bounces_until = until;
    }

    pub fn fail_switch(&mut self, until: u64) {
        self.switch_fails_until = until;
    }

    pub fn fail_button(&mut self, until: u64) {
        self.button_fails_until = until;
    }

    /// Puts the channel of a random stick out of range for this number of frames.
    pub fn leave_range(&mut self, instructor: bool, frames: i64) {
        let axis = self.random.one_of(&[0, 1, 2, 3]);
        let width = self.random.one_of(&[705, 730, 2_275, 2_295]);
        self.out_of_range = Some(OutOfRange { instructor, axis, width, frames });
    }

    /// The states of switch and button for a step.
    pub fn hand(&mut self, now: u64) -> Hand {
        if self.turn_at.is_some_and(|at| now >= at) {
            self.turn_at = None;
            self.switch = !self.switch;
            // Every switch bounces a little.
            self.bounces_until = self.bounces_until.max(now + self.random.time(0, 12_000));
        }
        let bounces = now < self.bounces_until && self.random.one_in(2);
        Hand {
            lesson_switch: self.switch != bounces,
            instructor_now: now < self.pressed_until,
            switch_fails: now < self.switch_fails_until,
            button_fails: now < self.button_fails_until,
        }
    }

    /// The instructor's next frame.
    pub fn instructor(&mut self) -> Vec<u64> {
        let mut sticks = [CENTRE, CENTRE, 0, CENTRE].map(|centre| centre + self.random.within(-NOISE, NOISE));
        if let Some(nudge) = &mut self.nudge {
            sticks[nudge.axis] += nudge.by;
            nudge.frames -= 1;
            if nudge.frames <= 0 {
                self.nudge = None;
            }
        }
        self.throttle += (self.throttle_to - self.throttle).clamp(-25, 25);
        sticks[2] = self.throttle + self.random.within(-NOISE, NOISE);
        let mut widths = sticks.map(i64::unsigned_abs).to_vec();
        widths.extend(self.others);
        if let Some(width) = self.out_of_range(true) {
            widths[width.axis] = width.width;
        }
        debug_assert_eq!(widths.len(), CHANNELS);
        widths
    }

    /// The student's next frame: throttle, aileron, elevator, rudder and two unused channels.
    pub fn student(&mut self) -> Vec<u64> {
        for (at, to) in self.student.iter_mut().zip(self.student_to) {
            *at += (to - *at).clamp(-90, 90);
        }
        let [aileron, elevator, throttle, rudder] = self.student.map(i64::unsigned_abs);
        let mut widths = vec![throttle, aileron, elevator, rudder, 1_500, self.random.time(1_000, 2_000)];
        if let Some(width) = self.out_of_range(false) {
            widths[width.axis] = width.width;
        }
        debug_assert_eq!(widths.len(), STUDENT_CHANNELS);
        widths
    }

    fn out_of_range(&mut self, instructor: bool) -> Option<OutOfRange> {
        let width = self.out_of_range.as_mut().filter(|width| width.instructor == instructor)?;
        width.frames -= 1;
        let now = *width;
        if now.frames <= 0 {
            self.out_of_range = None;
        }
        Some(now)
    }
}
