//! The checks of a pointer from C before it is followed. Only the caller can know that it points to something of its
//! type, and that nobody else writes there meanwhile: the header requires it of every call.

use crate::status::Status;

/// The pointer, unless it is null or not aligned.
pub(crate) fn non_null_aligned<T>(pointer: *const T) -> Result<*const T, Status> {
    match pointer {
        pointer if pointer.is_null() => Err(Status::Null),
        pointer if !pointer.is_aligned() => Err(Status::Misaligned),
        pointer => Ok(pointer),
    }
}

/// The value that the pointer points to.
///
/// # Safety
/// A pointer that is not null and is aligned points to a `T`, which nobody writes to for `'a`.
pub(crate) unsafe fn look<'a, T>(pointer: *const T) -> Result<&'a T, Status> {
    let pointer = non_null_aligned(pointer)?;
    // SAFETY: it is neither null nor misaligned; the caller guarantees the rest.
    Ok(unsafe { &*pointer })
}

/// The value that the pointer points to; `None` for null.
///
/// # Safety
/// That of [`look`].
pub(crate) unsafe fn look_if_any<'a, T>(pointer: *const T) -> Result<Option<&'a T>, Status> {
    if pointer.is_null() {
        return Ok(None);
    }
    // SAFETY: the caller guarantees the same.
    unsafe { look(pointer) }.map(Some)
}
