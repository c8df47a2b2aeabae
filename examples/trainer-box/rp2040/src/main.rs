//! A trainer box on an RP2040 board: the box of the crate `trainer-box`, and the pins of this board. What you decide
//! stands in `policy.rs`, how to wire and try it in the README of the folder above.
//!
//! Three things happen at once, the first being the most urgent:
//!
//! 1. A pin's interrupt notes the edges of both transmitters with the time of the 1 us timer.
//! 2. The timer's interrupt sends the craft its edges.
//! 3. The loop takes a step every millisecond: who flies, what is sent, what is heard and seen, what is logged. It
//!    feeds the watchdog, unless the second has come to a halt.
//!
//! Built, and never run on a board by those who wrote it.
#![no_std]
#![no_main]
#![deny(unsafe_code)]

mod craft;
mod desk;
mod line;
mod policy;

use core::panic::PanicInfo;

use defmt_rtt as _;

/// What starts the flash, from the crate of the chip. A section of its own is where the chip looks for it; that is what
/// `unsafe` says here, and the linker's script `memory.x` keeps the promise.
#[allow(unsafe_code)]
#[unsafe(link_section = ".boot2")]
#[used]
static BOOT2: [u8; 256] = rp2040_boot2::BOOT_LOADER_W25Q080;

/// No pulses from here on, so that the receiver's failsafe acts; then the watchdog resets the box, and it starts with
/// the instructor (S1, S2).
#[panic_handler]
fn panic(info: &PanicInfo<'_>) -> ! {
    cortex_m::interrupt::disable();
    if let Some(place) = info.location() {
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
    use rp2040_hal::{Sio, Timer, Watchdog};
    use trainer_box::{Side, TrainerBox};

    use crate::craft::Craft;
    use crate::desk::DeskParts;
    use crate::line::{self, Edges, Heard, Lines};
    use crate::policy::{AXES, CHANNELS, PLAN, STUDENT_CHANNELS};

    /// The crystal of most boards with this chip.
    const CRYSTAL: u32 = 12_000_000;

    /// A loop that hangs for longer than this is ended by a reset.
    const WATCHDOG: MicrosDurationU32 = MicrosDurationU32::millis(100);

    /// From one turn of the loop to the next, in microseconds.
    const TURN: u32 = 1_000;

    /// With the switch off and the button pressed, both trains are logged every so many turns: where sticks rest and
    /// end.
    const MEASURE: u32 = 2_000;

    /// The beeper's pitch is 125 MHz / 16 / (TOP + 1), 2.7 kHz: where most piezo discs are loudest.
    const TOP: u16 = 2_892;

    #[shared]
    struct Shared {
        craft: Craft,
    }

    #[local]
    struct Local {
        lines: Lines,
        edges: Edges,
        trainer_box: TrainerBox<'static, AXES, CHANNELS, STUDENT_CHANNELS>,
        desk: DeskParts,
        watchdog: Watchdog,
        clock: Timer,
        pin_clock: Timer,
    }

    #[init(local = [queue: Queue<Heard, { line::ROOM }> = Queue::new()])]
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

        let pins = Pins::new(chip.IO_BANK0, chip.PADS_BANK0, Sio::new(chip.SIO).gpio_bank0, &mut chip.RESETS);
        let mut timer = Timer::new(chip.TIMER, &mut chip.RESETS, &clocks);
        let Some(alarm) = timer.alarm_0() else { panic!("the alarm is taken") };
        let rest = PinState::from(PLAN.craft_rests_high());
        let craft = Craft::new(pins.gpio4.into_push_pull_output_in_state(rest), alarm, timer);

        let mut tone = Slices::new(chip.PWM, &mut chip.RESETS).pwm7;
        tone.set_div_int(16);
        tone.set_top(TOP);
        tone.enable();
        let mut beeper = tone.channel_b;
        beeper.output_to(pins.gpio15);

        let desk = DeskParts::new(
            pins.gpio6.into_pull_up_input(),
            pins.gpio7.into_pull_up_input(),
            pins.gpio14.into_push_pull_output(),
            pins.gpio13.into_push_pull_output(),
            beeper,
        );
        let (to, edges) = context.local.queue.split();
        let lines = Lines::new(
            pins.gpio2.into_pull_down_input().into_dyn_pin(),
            pins.gpio3.into_pull_down_input().into_dyn_pin(),
            to,
        );
        let trainer_box = TrainerBox::new(&PLAN, Instant::from_ticks(timer.get_counter_low()));
        (Shared { craft }, Local { lines, edges, trainer_box, desk, watchdog, clock: timer, pin_clock: timer })
    }

    /// The loop.
    #[idle(local = [edges, trainer_box, desk, watchdog, clock], shared = [craft])]
    fn idle(mut context: idle::Context) -> ! {
        let idle::LocalResources { edges, trainer_box, desk, watchdog, clock, .. } = context.local;
        let mut turns: u32 = 0;
        loop {
            // The clock first, then the edges until then, then the step.
            let now = Instant::from_ticks(clock.get_counter_low());
            while let Some((side, edge)) = edges.dequeue() {
                trainer_box.edge(side, edge);
            }
            if line::overrun() {
                trainer_box.overrun(Side::Instructor);
                trainer_box.overrun(Side::Student);
            }
            let hand = desk.read();
            let step = trainer_box.step(now, hand);
            let alive = context.shared.craft.lock(|craft| {
                craft.send(now, step.pulses.as_ref());
                craft.is_alive(now)
            });
            if alive {
                watchdog.feed();
            } else {
                warn!("no edge goes out to the craft: the watchdog is not fed");
            }
            desk.show(step.signs);
            // One entry a turn: writing it keeps the pins' interrupt waiting for some microseconds.
            if let Some(entry) = trainer_box.next_entry() {
                info!("{}", entry);
            }
            turns = turns.wrapping_add(1);
            if turns.is_multiple_of(MEASURE) && hand.instructor_now && !hand.lesson_switch {
                let (instructor, student) = trainer_box.trains();
                info!("the instructor sends {}", instructor);
                info!("the student sends {}", student);
            }
            while clock.get_counter_low().wrapping_sub(now.as_ticks()) < TURN {}
        }
    }

    /// The most urgent: when an edge came is what a stick is measured by.
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
