//! A trainer box on an RP2040 board: the box of the crate `trainer-box`, and the pins of this board. It flies by the plan
//! that is stored in its flash, else by the default plan in `policy.rs`. The README of the folder above says how to wire
//! and test it.
//!
//! Three tasks run concurrently, the most urgent first:
//!
//! 1. The pin interrupt records the edges of both transmitters with the time of the 1 us timer.
//! 2. The timer interrupt sends the edges to the craft.
//! 3. The loop takes a step every millisecond: it decides who flies and sets pulses, cues and log. It feeds the
//! watchdog, unless the timer interrupt has stopped. After each step it keeps the row in the black box, and passes a few
//! bytes to and from a computer on the USB port; it never waits for the computer.
//!
//! Its authors have compiled this image, but have not run it on a board.
#![no_std]
#![no_main]
#![deny(unsafe_code)]

mod craft;
mod critical;
mod desk;
mod flash;
mod kept;
mod line;
mod policy;
mod port;
mod stored;
mod talk;
mod voice;

use core::panic::PanicInfo;
use core::sync::atomic::{AtomicBool, Ordering};

use defmt_rtt as _;

/// The boot code for the flash, from the crate of the chip. The chip expects it in a section of its own. `unsafe` is
/// for the name of this section; the linker script `memory.x` places it correctly.
#[allow(unsafe_code)]
#[unsafe(link_section = ".boot2")]
#[used]
static BOOT2: [u8; 256] = rp2040_boot2::BOOT_LOADER_W25Q080;

/// Whether the box has panicked since its start.
static PANICKED: AtomicBool = AtomicBool::new(false);

/// Stops the pulses, so that the receiver's failsafe acts. Then the watchdog resets the box, and the instructor has the
/// craft (S1, S2).
#[panic_handler]
fn panic(info: &PanicInfo<'_>) -> ! {
    cortex_m::interrupt::disable();
    // A panic inside the log must not log again.
    let first = !PANICKED.load(Ordering::Relaxed);
    PANICKED.store(true, Ordering::Relaxed);
    if first && let Some(place) = info.location() {
        defmt::error!("panic in {=str}, line {=u32}", place.file(), place.line());
    }
    loop {
        cortex_m::asm::nop();
    }
}

#[rtic::app(device = rp2040_hal::pac, peripherals = true)]
mod app {
    use defmt::{info, warn};
    use handback::Instant;
    use heapless::spsc::Queue;
    use rp2040_hal::clocks::init_clocks_and_plls;
    use rp2040_hal::fugit::MicrosDurationU32;
    use rp2040_hal::gpio::{PinState, Pins};
    use rp2040_hal::pwm::Slices;
    use rp2040_hal::usb::UsbBus;
    use rp2040_hal::{Sio, Timer, Watchdog};
    use trainer_box::{Notice, Side, TrainerBox};
    use trainer_box_learn::{Pitch, Tutor};

    use crate::craft::Craft;
    use crate::desk::{self, DeskParts};
    use crate::kept;
    use crate::line::{self, Edges, Heard, Lines};
    use crate::policy::AXES;
    use crate::port::Bus;
    use crate::stored::{self, Start, Waits};
    use crate::talk::Talk;

    /// The frequency of the crystal of most boards with this chip, in Hz.
    const CRYSTAL: u32 = 12_000_000;

    /// The watchdog resets a box whose loop hangs for longer than this.
    const WATCHDOG: MicrosDurationU32 = MicrosDurationU32::millis(100);

    /// The time from one turn of the loop to the next, in microseconds.
    const TURN: u32 = 1_000;

    /// With the switch off and the button pressed, both trains are logged once in this number of turns. They show where
    /// sticks rest and end.
    const MEASURE: u32 = 2_000;

    #[shared]
    struct Shared {
        craft: Craft,
    }

    #[local]
    struct Local {
        lines: Lines,
        edges: Edges,
        trainer_box: stored::Box,
        notice: Notice,
        tutor: Tutor<AXES>,
        desk: DeskParts,
        talk: Talk,
        watchdog: Watchdog,
        clock: Timer,
        pin_clock: Timer,
    }

    #[init(local = [
        queue: Queue<Heard, { line::ROOM }> = Queue::new(), start: Option<Start> = None, bus: Option<Bus> = None
    ])]
    fn init(context: init::Context) -> (Shared, Local) {
        let mut chip = context.device;
        let mut watchdog = Watchdog::new(chip.WATCHDOG);
        let clocks = init_clocks_and_plls(
            CRYSTAL,
            chip.XOSC,
            chip.CLOCKS,
            chip.PLL_SYS,
            chip.PLL_USB,
            &mut chip.RESETS,
            &mut watchdog,
        );
        let Ok(clocks) = clocks else { panic!("the crystal does not start") };
        watchdog.start(WATCHDOG);
        let mut slots = stored::slots();
        let start = context.local.start.insert(stored::at_start(&mut slots));
        let plan = stored::plan(start);

        let pins = Pins::new(chip.IO_BANK0, chip.PADS_BANK0, Sio::new(chip.SIO).gpio_bank0, &mut chip.RESETS);
        let mut timer = Timer::new(chip.TIMER, &mut chip.RESETS, &clocks);
        let Some(alarm) = timer.alarm_0() else { panic!("the alarm is taken") };
        let rest = PinState::from(plan.craft_rests_high());
        let craft = Craft::new(plan, pins.gpio4.into_push_pull_output_in_state(rest), alarm, timer);

        let mut tone = Slices::new(chip.PWM, &mut chip.RESETS).pwm7;
        tone.set_div_int(16);
        tone.set_top(desk::top(Pitch::Middle));
        tone.enable();
        tone.channel_b.output_to(pins.gpio15);

        let desk = DeskParts::new(
            pins.gpio6.into_pull_up_input(),
            pins.gpio7.into_pull_up_input(),
            pins.gpio14.into_push_pull_output(),
            pins.gpio13.into_push_pull_output(),
            tone,
            [
                pins.gpio16.into_push_pull_output_in_state(PinState::High).into_dyn_pin(),
                pins.gpio17.into_push_pull_output_in_state(PinState::High).into_dyn_pin(),
                pins.gpio18.into_push_pull_output_in_state(PinState::High).into_dyn_pin(),
                pins.gpio19.into_push_pull_output_in_state(PinState::High).into_dyn_pin(),
                pins.gpio20.into_push_pull_output_in_state(PinState::High).into_dyn_pin(),
                pins.gpio21.into_push_pull_output_in_state(PinState::High).into_dyn_pin(),
            ],
        );
        let (to, edges) = context.local.queue.split();
        let lines = Lines::new(
            pins.gpio2.into_pull_down_input().into_dyn_pin(),
            pins.gpio3.into_pull_down_input().into_dyn_pin(),
            to,
        );
        // The supply of the port is taken as given: not every board can measure it.
        let usb = UsbBus::new(chip.USBCTRL_REGS, chip.USBCTRL_DPRAM, clocks.usb_clock, true, &mut chip.RESETS);
        let bus = context.local.bus.insert(Bus::new(usb));
        let Some(memory) = kept::memory() else { panic!("the memory of the black box is taken") };
        let talk = Talk::new(plan, start.refusal(), bus, memory, slots);
        let now = Instant::from_ticks(timer.get_counter_low());
        let (trainer_box, notice) = (TrainerBox::new(plan, now), Notice::new(now, start.refusal().is_some()));
        let tutor = Tutor::new(now);
        let local =
            Local { lines, edges, trainer_box, notice, tutor, desk, talk, watchdog, clock: timer, pin_clock: timer };
        (Shared { craft }, local)
    }

    /// Runs the loop.
    #[idle(local = [edges, trainer_box, notice, tutor, desk, talk, watchdog, clock], shared = [craft])]
    fn idle(mut context: idle::Context) -> ! {
        let idle::LocalResources { edges, trainer_box, notice, tutor, desk, talk, watchdog, clock, .. } = context.local;
        let mut turns: u32 = 0;
        loop {
            // The order is: read the clock, take the edges up to that time, step.
            let now = Instant::from_ticks(clock.get_counter_low());
            while let Some((side, edge)) = edges.dequeue() {
                trainer_box.edge(side, edge);
                tutor.edge(side, edge);
                talk.edge(side, edge);
            }
            if line::overrun() {
                for side in [Side::Instructor, Side::Student] {
                    trainer_box.overrun(side);
                    tutor.overrun(side);
                    talk.overrun(side);
                }
            }
            let hand = desk.read();
            let mut step = trainer_box.step(now, hand);
            let pitch = tutor.step(now, hand, trainer_box, &mut step);
            let alive = context.shared.craft.lock(|craft| {
                craft.send(now, step.pulses.as_ref());
                craft.is_alive(now)
            });
            if alive {
                watchdog.feed();
            } else {
                warn!("no edge goes out to the craft: the watchdog is not fed");
            }
            let on_bench = trainer_box.on_bench();
            let signs = if on_bench { step.signs } else { notice.over(now, step.signs, trainer_box.first_fault()) };
            desk.show(signs, pitch);
            talk.step(now, trainer_box, &step);
            // Only one entry per turn, since writing it delays the timer's interrupt by some microseconds.
            if let Some(entry) = trainer_box.next_entry() {
                info!("{}", entry);
                talk.entry(&entry);
            }
            turns = turns.wrapping_add(1);
            if turns.is_multiple_of(MEASURE) && hand.instructor_now && !hand.lesson_switch {
                let (instructor, student) = trainer_box.trains();
                info!("the instructor sends {}", instructor);
                info!("the student sends {}", student);
            }
            let waits = Waits { trainer_box, craft: &mut context.shared.craft, watchdog, clock };
            match tutor.request().copied() {
                Some(plan) => tutor.stored(talk.learnt(&plan, hand, waits, WATCHDOG)),
                None => talk.answer(hand, waits, WATCHDOG),
            }
            // The driver of the port masks the timer's interrupt, so it waits for the next turn if an edge is near.
            if context.shared.craft.lock(|craft| craft.is_clear()) {
                talk.turn();
            }
            while clock.get_counter_low().wrapping_sub(now.as_ticks()) < TURN {}
        }
    }

    /// The most urgent task, since the times of edges measure the sticks.
    #[task(binds = IO_IRQ_BANK0, priority = 3, local = [lines, pin_clock])]
    fn line_changed(context: line_changed::Context) {
        let now = Instant::from_ticks(context.local.pin_clock.get_counter_low());
        context.local.lines.changed(now);
    }

    #[task(binds = TIMER_IRQ_0, priority = 2, shared = [craft])]
    fn alarm(mut context: alarm::Context) {
        context.shared.craft.lock(|craft| craft.alarm());
    }
}
