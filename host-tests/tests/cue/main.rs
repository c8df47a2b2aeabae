//! Cues: they announce who has control and cannot be confused. One binary, so that it links once.

mod alike;
mod desk;
mod ear;
mod exchange;
mod lesson;
mod offers;
mod playing;
mod reminders;
mod set_up;
mod sources;
mod told_apart;
mod voice;
