//! The instructor's desk: switch, button, lamps, beeper, voice.

use handback::cue::Signs;
use handback::hal::{Beeper, InstructorNow, Lamp, LessonSwitch};
use handback::ppm::Level;
use rp2040_hal::gpio::bank0::{Gpio6, Gpio7, Gpio13, Gpio14};
use rp2040_hal::gpio::{FunctionSioInput, FunctionSioOutput, Pin, PullDown, PullUp};
use rp2040_hal::pwm::{B, Channel, FreeRunning, Pwm7, Slice};

use crate::voice::{PHRASES, Speaker, Trigger};

/// The switch connects to ground when it is on, so a broken wire reads as off.
type SwitchPin = Pin<Gpio6, FunctionSioInput, PullUp>;
/// The button disconnects from ground when it is pressed, so a broken wire reads as pressed.
type ButtonPin = Pin<Gpio7, FunctionSioInput, PullUp>;
type LampPin<I> = Pin<I, FunctionSioOutput, PullDown>;
type Tone = Channel<Slice<Pwm7, FreeRunning>, B>;

pub(crate) struct DeskParts {
    pub(crate) switch: LessonSwitch<SwitchPin>,
    pub(crate) button: InstructorNow<ButtonPin>,
    cue_lamp: Lamp<LampPin<Gpio14>>,
    student_lamp: Lamp<LampPin<Gpio13>>,
    beeper: Beeper<Tone>,
    speaker: Speaker,
}

impl DeskParts {
    pub(crate) fn new(
        switch: SwitchPin,
        button: ButtonPin,
        cue_lamp: LampPin<Gpio14>,
        student_lamp: LampPin<Gpio13>,
        tone: Tone,
        phrases: [Trigger; PHRASES],
    ) -> Self {
        Self {
            switch: LessonSwitch::new(switch, Level::Low),
            button: InstructorNow::new(button, Level::High),
            cue_lamp: Lamp::new(cue_lamp, Level::High),
            student_lamp: Lamp::new(student_lamp, Level::High),
            beeper: Beeper::new(tone),
            speaker: Speaker::new(phrases),
        }
    }

    /// Reads switch and button. Reading a pin of this chip cannot fail.
    pub(crate) fn read(&mut self) -> trainer_box::Desk {
        trainer_box::Desk { lesson_switch: self.switch.read().on, instructor_now: self.button.read().on }
    }

    /// Shows the cue on lamp, beeper and voice, and lights the other lamp while the student flies. Once a turn.
    pub(crate) fn show(&mut self, signs: Signs) {
        let Ok(()) = self.cue_lamp.set(signs.lamp);
        let Ok(()) = self.student_lamp.set(signs.student_flies);
        let Ok(()) = self.beeper.set(signs.beeper);
        self.speaker.turn(signs.voice);
    }
}
