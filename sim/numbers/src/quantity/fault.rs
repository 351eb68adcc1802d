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

/// How a fault ends that is about a number without its unit.
pub const NO_UNIT: &str = "needs its unit";

impl Fault {
    /// Whether all that is wrong is that a number stands without its unit.
    pub fn is_of_a_bare_number(&self) -> bool {
        self.message.ends_with(NO_UNIT)
    }
}
