//! The lesson tool and the engine as a WebAssembly module, the face of the library in a browser.
//!
//! The page writes a request in JSON into [`room`], calls [`ask`], and reads the reply from [`reply`]. A file is written
//! into the same room, and [`keep`] makes it the one that the next look is at. Types of requests and replies are the
//! protocol: [`desk::Request`], and the requests of [`fly`] and [`looking`].
//!
//! `unsafe` stands only before the names that the page knows.

pub mod desk;
pub mod fly;
pub mod looking;

use std::cell::RefCell;

use desk::Desk;

/// What lies between the page and the desk.
#[derive(Default)]
struct Hatch {
    room: Vec<u8>,
    reply: String,
    desk: Desk,
}

thread_local! {
    static HATCH: RefCell<Hatch> = RefCell::default();
}

/// Makes room for so many bytes, and says where it is. It stands until the next call of any of these.
#[unsafe(no_mangle)]
pub extern "C" fn room(bytes: usize) -> *mut u8 {
    HATCH.with_borrow_mut(|hatch| {
        hatch.room.clear();
        hatch.room.resize(bytes, 0);
        hatch.room.as_mut_ptr()
    })
}

/// The bytes in the room are a file.
#[unsafe(no_mangle)]
pub extern "C" fn keep() {
    HATCH.with_borrow_mut(|hatch| hatch.desk.keep(std::mem::take(&mut hatch.room)));
}

/// The bytes in the room are a request. The number of bytes of its reply.
#[unsafe(no_mangle)]
pub extern "C" fn ask() -> usize {
    HATCH.with_borrow_mut(|hatch| {
        hatch.reply = hatch.desk.ask(&String::from_utf8_lossy(&hatch.room));
        hatch.reply.len()
    })
}

/// Where the reply is. It stands until the next request.
#[unsafe(no_mangle)]
pub extern "C" fn reply() -> *const u8 {
    HATCH.with_borrow(|hatch| hatch.reply.as_ptr())
}
