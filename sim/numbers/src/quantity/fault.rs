//! Why a text is not the quantity it should be.

use std::ops::Range;

/// Why a text is not the quantity it should be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    /// Byte range of the trouble within the text given to `parse`.
    pub at: Range<usize>,
    /// What is wrong, without a full stop.
    pub message: String,
    /// What would be right.
    pub hint: String,
}
