//! The instructor's desk: switch, button, lamps, beeper, voice.

use handback::cue::Signs;
use handback::hal::{Beeper, InstructorNow, Lamp, LessonSwitch};
use handback::ppm::Level;
use rp2040_hal::gpio::bank0::{Gpio6, Gpio7, Gpio13, Gpio14};
use rp2040_hal::gpio::{FunctionSioInput, FunctionSioOutput, Pin, PullDown, PullUp};
use rp2040_hal::pwm::{FreeRunning, Pwm7, Slice};
use trainer_box_learn::Pitch;

use crate::voice::{PHRASES, Speaker, Trigger};

/// The switch connects to ground when it is on, so a broken wire reads as off.
type SwitchPin = Pin<Gpio6, FunctionSioInput, PullUp>;
/// The button disconnects from ground when it is pressed, so a broken wire reads as pressed.
type ButtonPin = Pin<Gpio7, FunctionSioInput, PullUp>;
type LampPin<I> = Pin<I, FunctionSioOutput, PullDown>;
type Tone = Slice<Pwm7, FreeRunning>;

pub(crate) struct DeskParts {
    pub(crate) switch: LessonSwitch<SwitchPin>,
    pub(crate) button: InstructorNow<ButtonPin>,
    cue_lamp: Lamp<LampPin<Gpio14>>,
    student_lamp: Lamp<LampPin<Gpio13>>,
    /// Its channel B is the beeper.
    tone: Tone,
    pitch: Pitch,
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
            tone,
            pitch: Pitch::Middle,
            speaker: Speaker::new(phrases),
        }
    }

    /// Reads switch and button. Reading a pin of this chip cannot fail.
    pub(crate) fn read(&mut self) -> trainer_box::Desk {
        trainer_box::Desk { lesson_switch: self.switch.read().on, instructor_now: self.button.read().on }
    }

    /// Shows the cue on lamp, beeper and voice, and lights the other lamp while the student flies. Once a turn. The
    /// pitch is another than the middle one only while the box learns.
    pub(crate) fn show(&mut self, signs: Signs, pitch: Pitch) {
        let Ok(()) = self.cue_lamp.set(signs.lamp);
        let Ok(()) = self.student_lamp.set(signs.student_flies);
        if pitch != self.pitch {
            self.pitch = pitch;
            self.tone.set_top(top(pitch));
        }
        let Ok(()) = Beeper::new(&mut self.tone.channel_b).set(signs.beeper);
        self.speaker.turn(signs.voice);
    }
}

/// The counter's top for a pitch. The frequency is 125 MHz / 16 / (top + 1): 2.7 kHz in the middle, at which most piezo
/// discs are loudest.
pub(crate) const fn top(pitch: Pitch) -> u16 {
    match pitch {
        Pitch::Low => 5_785,
        Pitch::Middle => 2_892,
        Pitch::High => 1_928,
    }
}
