//! Where a craft gets while nobody corrects it: a point that flies on as it did.
//!
//! It keeps its speed v, on a path that goes down at the dive angle. Its lift stays as large as it was on that straight
//! path, weight x cos(dive), and is tilted by the bank; thrust and drag hold what gravity pulls along the path. So
//!
//! ```text
//! height lost = v sin(dive) t + 1/2 g cos^2(dive) (1 - cos(bank)) t^2     without lift: v sin(dive) t + 1/2 g t^2
//! distance    = v t
//! ```
//!
//! Level with no bank it loses nothing, at 90 degrees of bank it falls freely, on its back twice as fast.

/// Standard gravity, m/s^2, exactly: 3rd CGPM (1901).
const GRAVITY: f64 = 9.806_65;
/// A path that has bent by more than the angle of this slope is no longer straight.
const BENT: f64 = 0.5;

/// What holds the craft up.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Lift {
    /// As much as before, banked by so many degrees, 0 to 180.
    Banked(f64),
    /// A stalled wing, a rotor without thrust: nothing.
    None,
}

/// A craft that flies on as it did.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Flight {
    pub(crate) speed_m_s: f64,
    /// 0 is level, 90 straight down.
    pub(crate) dive_deg: f64,
    pub(crate) lift: Lift,
}

impl Flight {
    /// Level flight, whose loss of height is the same at any speed.
    pub(crate) fn level(lift: Lift) -> Self {
        Self { speed_m_s: 0.0, dive_deg: 0.0, lift }
    }

    pub(crate) fn height_lost_m(&self, after_s: f64) -> f64 {
        self.speed_m_s * libm::sin(self.dive_deg.to_radians()) * after_s + 0.5 * self.falls() * after_s * after_s
    }

    /// How much faster it goes down every second, m/s^2.
    fn falls(&self) -> f64 {
        match self.lift {
            Lift::Banked(_) => self.bends() * libm::cos(self.dive_deg.to_radians()),
            Lift::None => GRAVITY,
        }
    }

    /// What pushes it off its path, m/s^2.
    fn bends(&self) -> f64 {
        let across = GRAVITY * libm::cos(self.dive_deg.to_radians());
        match self.lift {
            Lift::Banked(deg) => across * (1.0 - libm::cos(deg.to_radians())),
            Lift::None => across,
        }
    }

    /// Whether the path of a wing has bent so far that its lift points elsewhere than the formula has it. Without lift
    /// there is none to turn.
    pub(crate) fn is_rough(&self, after_s: f64) -> bool {
        self.lift != Lift::None && self.bends() * after_s > BENT * self.speed_m_s
    }
}

pub(crate) fn distance_m(speed_m_s: f64, after_s: f64) -> f64 {
    speed_m_s * after_s
}

#[cfg(test)]
mod tests;
