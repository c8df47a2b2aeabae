//! What a pointer that C passes must be before it is followed. That it points at something of its type, and that nobody
//! else writes there meanwhile, only the caller can know: it is what the header asks of every call.

use crate::status::Status;

/// The pointer, unless it is null or not aligned.
pub(crate) fn non_null_aligned<T>(pointer: *const T) -> Result<*const T, Status> {
    match pointer {
        pointer if pointer.is_null() => Err(Status::Null),
        pointer if !pointer.is_aligned() => Err(Status::Misaligned),
        pointer => Ok(pointer),
    }
}

/// What the pointer points at.
///
/// # Safety
/// A pointer that is not null and is aligned points at a `T`, which nobody writes to for `'a`.
pub(crate) unsafe fn look<'a, T>(pointer: *const T) -> Result<&'a T, Status> {
    let pointer = non_null_aligned(pointer)?;
    // SAFETY: it is neither null nor misaligned; the rest is the caller's word.
    Ok(unsafe { &*pointer })
}

/// What the pointer points at, where null stands for nothing.
///
/// # Safety
/// That of [`look`].
pub(crate) unsafe fn look_if_any<'a, T>(pointer: *const T) -> Result<Option<&'a T>, Status> {
    if pointer.is_null() {
        return Ok(None);
    }
    // SAFETY: the caller's word is the same.
    unsafe { look(pointer) }.map(Some)
}
