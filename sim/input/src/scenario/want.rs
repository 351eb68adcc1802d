//! What a decoder asks for under a key.

use crate::quantity::Dimension;

/// What may stand under a key. "don't know" may stand nearly everywhere besides.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Want {
    /// A table.
    Table,
    /// The table that says what gave each number: tables of texts.
    Sources,
    /// A list of keys of this file.
    Keys,
    /// A plain text.
    Text,
    /// One of these wordings.
    Word(Vec<&'static str>),
    /// Yes or no.
    Flag,
    /// A whole number from the first to the second.
    Count(u32, u32),
    /// A number with its unit.
    Number(Dimension),
    /// The same, with its spread in the text or as a table.
    Spread(Dimension),
    /// A tolerance with its signs.
    Band(Dimension),
    /// Numbers with their units, one at least.
    List(Dimension),
    /// Repeats of a reading in a list, one alone, or "not done".
    Repeats(Dimension),
    /// Pairs of numbers with their units, two at least.
    Pairs(Dimension),
    /// A notation of its own, such as this.
    Notation(String),
}
