//! Takeovers of one stick, counted without the engine.

/// A stick with its thresholds, in the unit of its readings. Held and free are as T1 and T3 say.
#[derive(Clone, Debug)]
pub struct Watch {
    engage: f64,
    release: f64,
    confirm: u32,
    row: u32,
    held: bool,
    /// How often the stick became held.
    pub takeovers: u32,
}

impl Watch {
    /// A free stick with these thresholds.
    pub fn new(engage: f64, release: f64, confirm: u8) -> Self {
        Self { engage, release, confirm: confirm.into(), row: 0, held: false, takeovers: 0 }
    }

    /// The next frame, in which the stick is `off` from its rest.
    pub fn see(&mut self, off: f64) {
        if self.held {
            self.held = off > self.release;
            self.row = 0;
        } else if off > self.engage {
            self.row += 1;
            self.held = self.row == self.confirm;
            self.takeovers += u32::from(self.held);
        } else {
            self.row = 0;
        }
    }
}
