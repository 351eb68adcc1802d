//! What is wrong in a text, where, and what would be right: plain values, drawn elsewhere.

use std::ops::Range;

use crate::quantity::NO_UNIT;

/// A text and the name it goes by in messages.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Source<'a> {
    /// The file's name as the person wrote it.
    pub name: &'a str,
    /// Its text.
    pub text: &'a str,
}

/// Whether the text can be used all the same.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// It can't.
    Error,
    /// It can, but it looks like a slip.
    Warning,
    /// It can, and this is how it was taken.
    Note,
}

/// One fault in one of the texts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Diagnostic {
    /// Error or warning.
    pub severity: Severity,
    /// Name of the text, as in its [`Source`].
    pub file: String,
    /// Byte range in that text, on character boundaries.
    pub span: Range<usize>,
    /// What is wrong, without a full stop.
    pub message: String,
    /// A few words to stand at the place itself.
    pub label: String,
    /// What would be right.
    pub hint: String,
}

/// How it is said that a number without a unit may be one thing or another.
pub(super) const UNCLEAR: &str = "may be";
/// How a note begins to tell of a number without a unit.
const TAKEN: &str = "taken as ";

impl Diagnostic {
    /// That a bare number was taken in its field's unit.
    pub(crate) fn bare(source: Source<'_>, span: Range<usize>, path: &str, said: &str) -> Self {
        Self {
            severity: Severity::Note,
            file: source.name.to_owned(),
            span,
            message: format!("`{path}` {TAKEN}{said}"),
            label: format!("no unit: {TAKEN}{said}"),
            hint: "write the unit if it is another".to_owned(),
        }
    }

    /// Whether it is about a number without a unit, taken or refused.
    pub fn is_of_a_bare_number(&self) -> bool {
        self.taken_as().is_some() || self.message.ends_with(NO_UNIT) || self.is_unclear()
    }

    /// Whether it says that a number without a unit may be one thing or another.
    pub fn is_unclear(&self) -> bool {
        self.severity == Severity::Error && self.message.contains(&format!("` {UNCLEAR} "))
    }

    /// What a bare number was taken as, `5 in`, where this tells of one.
    pub fn taken_as(&self) -> Option<&str> {
        let (_, said) = self.message.split_once(TAKEN)?;
        (self.severity == Severity::Note).then_some(said)
    }

    /// The line it points at, counted from 1, in the text it was made from.
    pub fn line(&self, text: &str) -> usize {
        let end = self.span.start.min(text.len());
        1 + text.as_bytes()[..end]
            .iter()
            .filter(|byte| **byte == b'\n')
            .count()
    }
}

/// Whether a character can't be shown as it is: a control, or one that turns the direction in
/// which what follows is read.
pub fn is_unshowable(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{061c}' | '\u{200e}' | '\u{200f}' | '\u{2028}' | '\u{2029}'
            | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}
