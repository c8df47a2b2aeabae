//! What the wire and the black box add to a step of the box, in instructions: the worst step of a lesson of a minute,
//! with each of the forms that the wire sends, while 16 bytes arrive in every step.
//!
//! The emulator lets a fixed time pass per instruction (`-icount`). How many ticks of the timer an instruction takes is
//! measured with a loop of known length.
#![no_std]
#![no_main]
#![deny(unsafe_code)]

#[path = "../registers.rs"]
#[allow(dead_code)] // the watchdog stays off
mod registers;

use core::fmt::{self, Write};
use core::panic::PanicInfo;

use cortex_m::peripheral::{Peripherals, SYST, syst::SystClkSource};
use handback::ppm::{Edge, Encoder, EncoderSetup, Level};
use handback::{Instant, Pulse};
use trainer_box::{Desk, Side, TrainerBox};
use trainer_box_rig::plan::{AXES, CHANNELS, MOST_CHANNELS, PLAN, STUDENT_CHANNELS};
use trainer_box_wire::{BlackBox, BlackBoxMemory, Wire};

use crate::registers::Serial;

/// The timer counts down to 0 from here.
const WRAP: u32 = 0x00FF_FFFF;

type TestWire = Wire<'static, AXES, MOST_CHANNELS, MOST_CHANNELS, 2_048>;

struct Out(Serial);

impl Write for Out {
    fn write_str(&mut self, text: &str) -> fmt::Result {
        self.0.write(text.as_bytes());
        Ok(())
    }
}

/// The ticks that a call takes.
fn ticks<T>(call: impl FnOnce() -> T) -> (u32, T) {
    let before = SYST::get_current();
    let result = call();
    (before.wrapping_sub(SYST::get_current()) & WRAP, result)
}

/// Ticks of a hundred thousand instructions.
fn measured() -> u32 {
    // A loop of two instructions, and two in all around it.
    let (more, ()) = ticks(|| cortex_m::asm::delay(200_000));
    let (less, ()) = ticks(|| cortex_m::asm::delay(100_000));
    more.saturating_sub(less)
}

/// A transmitter whose sticks all move.
struct Sender<const M: usize> {
    side: Side,
    train: Encoder<M>,
    next: Option<Edge>,
}

impl<const M: usize> Sender<M> {
    fn new(side: Side, separators: Level, starts: u32) -> Option<Self> {
        let mut train: Encoder<M> = EncoderSetup::new(separators).check().ok()?;
        let _ = train.start(Instant::from_ticks(starts), &[Pulse::from_micros(1_500); M]);
        let next = train.next_edge();
        Some(Self { side, train, next })
    }

    fn pass(&mut self, now: u32, still: bool, mut hear: impl FnMut(Side, Edge)) {
        while let Some(edge) = self.next.filter(|edge| now.wrapping_sub(edge.at.as_ticks()) < 1 << 31) {
            hear(self.side, edge);
            let mut widths = [Pulse::from_micros(1_500); M];
            for (channel, width) in (0_u32..).zip(&mut widths) {
                let away = now.wrapping_mul(2_654_435_761).wrapping_add(channel.wrapping_mul(77)) >> 23;
                *width = Pulse::from_micros(1_500 + if still { away % 3 } else { away % 400 });
            }
            let _ = self.train.send(&widths);
            self.next = self.train.next_edge();
        }
    }
}

/// The worst step: instructions of the box, of the black box and of the wire, each for itself, and of all three.
#[derive(Default)]
struct Worst([u32; 4]);

fn fly(command: &str, memory: &mut BlackBoxMemory<6_144, 24_576>) -> Option<Worst> {
    let mut trainer_box = TrainerBox::new(&PLAN, Instant::from_ticks(0));
    let mut wire = TestWire::new(&PLAN, "price");
    let mut black_box = BlackBox::new(memory, &PLAN, 1);
    let mut instructor = Sender::<CHANNELS>::new(Side::Instructor, Level::High, 5_000)?;
    let mut student = Sender::<STUDENT_CHANNELS>::new(Side::Student, Level::Low, 9_000)?;
    let mut arrives = command.bytes().chain(core::iter::repeat_n(b'x', 3_000)).cycle();
    let mut worst = Worst::default();
    for ms in 1..=60_000_u32 {
        let now = ms.wrapping_mul(1_000);
        let hear = |side, edge, trainer_box: &mut TrainerBox<'_, _, _, _>, wire: &mut TestWire| {
            trainer_box.edge(side, edge);
            wire.edge(side, edge);
        };
        instructor.pass(now, true, |side, edge| hear(side, edge, &mut trainer_box, &mut wire));
        student.pass(now, false, |side, edge| hear(side, edge, &mut trainer_box, &mut wire));
        let on = ms % 20_000 > 2_000 && ms < 40_000;
        let desk = Desk { lesson_switch: on, instructor_now: false };
        let (of_box, step) = ticks(|| trainer_box.step(Instant::from_ticks(now), desk));
        let (of_black_box, ()) = ticks(|| {
            if let Some(row) = trainer_box.row() {
                black_box.note(&PLAN, row);
            }
        });
        let (of_wire, ()) = ticks(|| {
            for _ in 0..16 {
                if wire.wants_bytes()
                    && let Some(byte) = arrives.next()
                {
                    let _ = wire.receive(byte);
                }
            }
            wire.step(Instant::from_ticks(now), &trainer_box, &step, &black_box);
            if let Some(entry) = trainer_box.next_entry() {
                wire.entry(&entry);
            }
            wire.sent(64);
        });
        let all = [of_box, of_black_box, of_wire, of_box + of_black_box + of_wire];
        for (worst, cost) in worst.0.iter_mut().zip(all) {
            *worst = (*worst).max(cost);
        }
    }
    Some(worst)
}

#[cortex_m_rt::entry]
fn main() -> ! {
    let mut out = Out(Serial::BENCH);
    out.0.begin();
    if let Some(mut peripherals) = Peripherals::take() {
        let timer = &mut peripherals.SYST;
        timer.set_clock_source(SystClkSource::Core);
        timer.set_reload(WRAP);
        timer.clear_current();
        timer.enable_counter();
    }
    let per_100_000 = measured();
    let _ = writeln!(out, "ticks of 100000 instructions: {per_100_000}");
    let mut memory = BlackBoxMemory::new();
    for command in ["", "trace\n", "raw\n", "lesson\n", "version\n"] {
        match fly(command, &mut memory) {
            Some(Worst(ticks)) => {
                let [of_box, of_black_box, of_wire, all] = ticks.map(|ticks| {
                    u64::from(ticks).saturating_mul(100_000).checked_div(per_100_000.into()).unwrap_or(u64::MAX)
                });
                let name = if command.is_empty() { "silent" } else { command.trim_end() };
                let _ = writeln!(out, "{name}: box {of_box}, black box {of_black_box}, wire {of_wire}, all {all}");
            }
            None => _ = writeln!(out, "no train"),
        }
    }
    let _ = writeln!(out, "done");
    loop {
        cortex_m::asm::nop();
    }
}

#[panic_handler]
fn panic(_: &PanicInfo<'_>) -> ! {
    loop {
        cortex_m::asm::nop();
    }
}
