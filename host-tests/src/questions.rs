//! What a script may ask in the middle of its chain. A question panics at the caller's line where the answer is no.

use handback::{AxisSet, Cause, Deflection, Event, Pilot, Waiting};

use crate::lesson::Lesson;

#[allow(clippy::must_use_candidate, clippy::return_self_not_must_use)] // the question is the point
impl<const N: usize> Lesson<N> {
    /// The student has every shared axis.
    ///
    /// # Panics
    /// If not.
    #[track_caller]
    pub fn student_has_all(self) -> Self {
        let shared = self.policy().shared;
        self.student_has(shared)
    }

    /// The student has exactly these axes, of which there is at least one.
    ///
    /// # Panics
    /// If not.
    #[track_caller]
    pub fn student_has(self, axes: AxisSet) -> Self {
        assert_eq!(self.outcome().pilot, Pilot::Student(axes), "{:#?}", self.outcome());
        self
    }

    /// The student has every shared axis if `granted`, and else the instructor has the craft.
    ///
    /// # Panics
    /// If not.
    #[track_caller]
    pub fn student_has_all_if(self, granted: bool) -> Self {
        if granted { self.student_has_all() } else { self.instructor_has_the_craft() }
    }

    /// The instructor flies every axis.
    ///
    /// # Panics
    /// If not.
    #[track_caller]
    pub fn instructor_has_the_craft(self) -> Self {
        assert_eq!(self.outcome().pilot, Pilot::Instructor, "{:#?}", self.outcome());
        self
    }

    /// Nobody flies.
    ///
    /// # Panics
    /// If not.
    #[track_caller]
    pub fn nobody_has_the_craft(self) -> Self {
        assert_eq!(self.outcome().pilot, Pilot::Nobody, "{:#?}", self.outcome());
        self
    }

    /// Who flies changed in this step, for this reason.
    ///
    /// # Panics
    /// If not.
    #[track_caller]
    pub fn because(self, cause: Cause) -> Self {
        assert_eq!(self.outcome().event.map(|event| event.cause), Some(cause), "{:#?}", self.outcome());
        self
    }

    /// Nothing was announced in this step.
    ///
    /// # Panics
    /// If something was.
    #[track_caller]
    pub fn unannounced(self) -> Self {
        assert_eq!(self.outcome().event, None::<Event>, "{:#?}", self.outcome());
        self
    }

    /// The student's axes wait for this.
    ///
    /// # Panics
    /// If not.
    #[track_caller]
    pub fn waits_for(self, what: Waiting) -> Self {
        assert_eq!(self.outcome().waiting, Some(what), "{:#?}", self.outcome());
        self
    }

    /// Exactly these axes are held.
    ///
    /// # Panics
    /// If not.
    #[track_caller]
    pub fn holds(self, axes: &[u8]) -> Self {
        assert_eq!(self.outcome().held, AxisSet::of(axes), "{:#?}", self.outcome());
        self
    }

    /// Exactly these axes wait for their pickup.
    ///
    /// # Panics
    /// If not.
    #[track_caller]
    pub fn waits_to_pick_up(self, axes: &[u8]) -> Self {
        assert_eq!(self.outcome().pickup, AxisSet::of(axes), "{:#?}", self.outcome());
        self
    }

    /// The axis outputs this.
    ///
    /// # Panics
    /// If not.
    #[track_caller]
    pub fn outputs(self, axis: u8, value: Deflection) -> Self {
        assert_eq!(self.output(axis), value, "axis {axis}: {:#?}", self.outcome());
        self
    }

    /// So many changes were announced since the lesson began.
    ///
    /// # Panics
    /// If not.
    #[track_caller]
    pub fn has_announced(self, count: usize) -> Self {
        assert_eq!(self.events().len(), count, "{:#?}", self.events());
        self
    }
}
