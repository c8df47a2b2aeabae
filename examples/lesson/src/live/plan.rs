//! What is flown: the craft, who is the student, and the policy.

/// What is flown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Craft {
    /// The trainer aeroplane of the simulated lesson; four axes.
    Aeroplane,
    /// A helicopter in the hover; four axes.
    Helicopter,
    /// The aeroplane with twelve axes more, which move nothing: sixteen in all.
    Many,
}

/// Who sits at the student's sticks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Student {
    /// A simulated beginner, who overcontrols and makes mistakes of every kind.
    Beginner,
    /// A person: the sticks come with every step.
    Person,
    /// A simulated beginner who flies straight and steadily. 4 to 10 s after each hand-back, and not before the craft is
    /// steady, one unmistakable mistake begins. It lasts until the craft is taken.
    Drill,
}

/// What a lesson begins with.
#[derive(Clone, Debug)]
pub struct Plan {
    /// What is flown.
    pub craft: Craft,
    /// Names the air, the beginner and the noise to the bit.
    pub seed: u64,
    /// Who sits at the student's sticks.
    pub student: Student,
    /// A policy file for the axes of the craft; `None`: the library's defaults.
    pub policy: Option<String>,
}

/// One axis of a craft.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Axis {
    /// Its name.
    pub name: String,
    /// Whether its stick springs back to its centre.
    pub sprung: bool,
    /// Where its stick is for steady flight, in points.
    pub steady: f64,
}

impl Craft {
    /// The axes, axis 0 first.
    pub(super) fn axes(self) -> Vec<Axis> {
        let axis = |name: &str, sprung, steady| Axis { name: name.to_owned(), sprung, steady };
        let aeroplane = || {
            let (aileron, elevator) = (axis("aileron", true, 0.0), axis("elevator", true, 0.0));
            vec![aileron, elevator, axis("throttle", false, -20.0), axis("rudder", true, 0.0)]
        };
        match self {
            Self::Aeroplane => aeroplane(),
            Self::Helicopter => {
                let (roll, pitch) = (axis("roll", true, 0.0), axis("pitch", true, 0.0));
                vec![roll, pitch, axis("collective", false, 0.0), axis("yaw", true, 0.0)]
            }
            Self::Many => {
                let more = (1..=12).map(|number| axis(&format!("aux {number}"), true, 0.0));
                aeroplane().into_iter().chain(more).collect()
            }
        }
    }

    /// The speed for which the cost of a reaction is told, in metres per second.
    pub(super) fn speed(self) -> f64 {
        match self {
            Self::Aeroplane | Self::Many => crate::scenario::CRUISE,
            // A helicopter that leaves its hover; own choice, no source.
            Self::Helicopter => 5.0,
        }
    }
}
