//! The USB port to a computer: a serial port of the class CDC-ACM.
//!
//! The loop polls it at most once a turn, after the step, so it interrupts nothing, and the loop never waits for the
//! computer. The driver's critical sections mask the timer's interrupt (`critical.rs`), so the loop polls only where no edge
//! to the craft is near. They leave the pin interrupt on.
//!
//! Compiled, and not run on a board. The driver's remedy for an erratum of the first two revisions of the chip
//! (RP2040-E5) is off, since it uses the pin of the beeper: such a chip may not connect where the USB is busy.

use heapless::Deque;
use rp2040_hal::usb::UsbBus;
use usb_device::bus::UsbBusAllocator;
use usb_device::descriptor::lang_id::LangID;
use usb_device::device::{StringDescriptors, UsbDevice, UsbDeviceBuilder, UsbDeviceState, UsbVidPid};
use usbd_serial::{CdcAcmClass, USB_CLASS_CDC};

use crate::talk::BoxWire;

/// The allocator of the endpoints, which outlives the port.
pub(crate) type Bus = UsbBusAllocator<UsbBus>;

/// Vendor and product. CAUTION: for tests only. Whoever passes a box on needs numbers of its own (pid.codes, from memory).
const NUMBERS: UsbVidPid = UsbVidPid(0x1209, 0x0001);

/// The longest packet in bytes. A full-speed bulk endpoint has 8, 16, 32 or 64 (USB 2.0, 5.8.3, from memory).
const PACKET: usize = 32;
/// The most bytes that are sent in a turn. A full packet would not end a transfer, and the computer would wait for more.
const SENT: usize = PACKET - 1;
/// The most bytes that the wire is given in a turn.
const GIVEN: usize = 16;

pub(crate) struct Port {
    device: UsbDevice<'static, UsbBus>,
    serial: CdcAcmClass<'static, UsbBus>,
    /// What arrived, and the wire has not taken yet. Meanwhile the chip lets the computer wait.
    arrived: Deque<u8, PACKET>,
}

impl Port {
    pub(crate) fn new(bus: &'static Bus) -> Self {
        let serial = CdcAcmClass::new(bus, PACKET as u16);
        let names = StringDescriptors::new(LangID::EN).manufacturer("handback").product("trainer box");
        // With 64 bytes for the control endpoint the driver needs no poll within microseconds (its own description).
        let device = UsbDeviceBuilder::new(bus, NUMBERS)
            .device_class(USB_CLASS_CDC)
            .strings(&[names])
            .and_then(|device| device.max_packet_size_0(64));
        let Ok(device) = device else { panic!("the descriptors of the port are wrong") };
        Self { device: device.build(), serial, arrived: Deque::new() }
    }

    /// Passes a few bytes each way.
    pub(crate) fn turn(&mut self, wire: &mut BoxWire) {
        self.device.poll(&mut [&mut self.serial]);
        if self.device.state() != UsbDeviceState::Configured {
            self.arrived.clear();
            return;
        }
        self.receive(wire);
        self.send(wire);
    }

    fn receive(&mut self, wire: &mut BoxWire) {
        if self.arrived.is_empty() {
            let mut packet = [0; PACKET];
            let length = self.serial.read_packet(&mut packet).unwrap_or(0);
            self.arrived.extend(packet.into_iter().take(length));
        }
        for _ in 0..GIVEN {
            if !wire.wants_bytes() {
                return;
            }
            let Some(byte) = self.arrived.pop_front() else { return };
            let _ = wire.receive(byte); // it was asked whether it wants one
        }
    }

    fn send(&mut self, wire: &mut BoxWire) {
        let pending = wire.pending();
        let few = pending.get(..SENT).unwrap_or(pending);
        // Where the computer has not taken the packet before, the bytes stay in the wire.
        if !few.is_empty()
            && let Ok(sent) = self.serial.write_packet(few)
        {
            wire.sent(sent);
        }
    }
}
