//! The two peripherals that the box on this board needs: serial lines (PL011) and watchdog.
//!
//! No peripheral crate is maintained for this old processor. So [`Register`] reads and writes fixed addresses of the
//! peripherals, which is the only `unsafe` of the board. Addresses and bits: LM3S6965 data sheet, chapters on the UART
//! and the watchdog timer.

use core::ptr;

/// The address of a register of this processor's peripherals.
#[derive(Clone, Copy)]
struct Register(usize);

#[allow(unsafe_code)]
impl Register {
    fn read(self) -> u32 {
        // SAFETY: the constants below are aligned registers of this processor. No memory of Rust is at these addresses,
        // and a read has no effect on which Rust relies.
        unsafe { ptr::read_volatile(self.0 as *const u32) }
    }

    fn write(self, value: u32) {
        // SAFETY: as above. Neither peripheral can write to memory.
        unsafe { ptr::write_volatile(self.0 as *mut u32, value) }
    }
}

/// A serial line.
pub(crate) struct Serial(usize);

impl Serial {
    /// The line of the bench, and the wire to a computer.
    pub(crate) const BENCH: Self = Self(0x4000_C000);
    pub(crate) const WIRE: Self = Self(0x4000_D000);
    const FLAGS: usize = 0x18;
    const LINE: usize = 0x2C;
    const CONTROL: usize = 0x30;
    const NOTHING_CAME: u32 = 1 << 4;
    const IS_FULL: u32 = 1 << 5;

    const fn register(&self, offset: usize) -> Register {
        Register(self.0 + offset)
    }

    /// Sets eight bits and the queue of 16 bytes. The emulator ignores the baud rate.
    pub(crate) fn begin(&self) {
        self.register(Self::LINE).write(0x70);
        self.register(Self::CONTROL).write(0x301);
    }

    pub(crate) fn read(&self) -> Option<u8> {
        if self.register(Self::FLAGS).read() & Self::NOTHING_CAME != 0 {
            return None;
        }
        let [byte, ..] = self.register(0).read().to_le_bytes();
        Some(byte)
    }

    pub(crate) fn has_room(&self) -> bool {
        self.register(Self::FLAGS).read() & Self::IS_FULL == 0
    }

    /// Sends a byte; there must be room.
    pub(crate) fn send(&self, byte: u8) {
        self.register(0).write(u32::from(byte));
    }

    /// Sends bytes, and waits for room.
    pub(crate) fn write(&self, bytes: &[u8]) {
        for &byte in bytes {
            while !self.has_room() {}
            self.send(byte);
        }
    }
}

/// Turns the wire's serial line on: it has no clock after a reset.
pub(crate) fn clock_serial_lines() {
    const CLOCKS: Register = Register(0x400F_E104);
    CLOCKS.write(CLOCKS.read() | 0b11);
}

/// The watchdog, which resets the board.
pub(crate) struct Watchdog;

impl Watchdog {
    const LOAD: Register = Register(0x4000_0000);
    const CONTROL: Register = Register(0x4000_0008);
    const CLEAR: Register = Register(0x4000_000C);
    /// The period of the counter, in cycles of the processor's clock. The watchdog resets the board after two periods.
    /// The emulator takes a microsecond for an instruction, and storing a plan takes some 100,000 of them.
    const PATIENCE: u32 = 3_000_000;

    pub(crate) fn start() {
        Self::LOAD.write(Self::PATIENCE);
        Self::CONTROL.write(0b11); // count, and reset
    }

    pub(crate) fn feed() {
        Self::CLEAR.write(0);
    }
}
