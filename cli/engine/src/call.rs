//! How a page calls the engine: room for the question's bytes, the answer's bytes in the same place.

use std::cell::RefCell;

use crate::answer::answer;

thread_local! {
    /// The question; then its answer.
    static TEXT: RefCell<Vec<u8>> = const { RefCell::new(Vec::new()) };
}

/// Makes room for a question of so many bytes and tells where.
#[allow(
    unsafe_code,
    reason = "a name to be called by from outside; no memory is touched"
)]
#[unsafe(no_mangle)]
pub extern "C" fn room(bytes: usize) -> *const u8 {
    TEXT.with_borrow_mut(|text| {
        text.clear();
        text.resize(bytes, 0);
        text.as_ptr()
    })
}

/// Puts the answer in the question's place and tells how many bytes it has.
#[allow(
    unsafe_code,
    reason = "a name to be called by from outside; no memory is touched"
)]
#[unsafe(no_mangle)]
pub extern "C" fn ask() -> usize {
    TEXT.with_borrow_mut(|text| {
        let answered = answer(&String::from_utf8_lossy(text));
        *text = answered.into_bytes();
        text.len()
    })
}

/// Where the answer stands.
#[allow(
    unsafe_code,
    reason = "a name to be called by from outside; no memory is touched"
)]
#[unsafe(no_mangle)]
pub extern "C" fn answered() -> *const u8 {
    TEXT.with_borrow(|text| text.as_ptr())
}
