//! A plan's lathes cut elsewhere: which are wanted, so that others can share the work. What comes of
//! it is the same to the last bit.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::record::LastPass;
use crate::record::Measures;

/// How far the dial is turned for what the gauge reads, m.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Turn {
    /// What was read.
    AsRead,
    /// So much further.
    Further(f64),
    /// By a rule.
    By(LastPass),
}

impl Turn {
    pub(super) fn of(&self, read: f64) -> f64 {
        match self {
            Self::AsRead => read,
            Self::Further(more) => read + more,
            Self::By(rule) => rule.turn(read),
        }
    }
}

/// Whose plan it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Of {
    /// A way with the attachment: its place among all of the job's.
    Attachment(usize),
    /// One without: its place among all such methods.
    Without(usize),
}

/// Lathes of one plan.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema, Deserialize)]
pub struct Wanted {
    /// Whose.
    pub of: Of,
    /// Passes alike at its end.
    pub alike: usize,
    /// How the dial is turned.
    pub turn: Turn,
    /// The first lathe.
    pub from: u64,
    /// After the last.
    pub to: u64,
}

/// Gives what is true of such lathes' work before the last pass and at the end; none where it isn't
/// there yet.
pub type Source<'a> = dyn Fn(&Wanted) -> Option<Vec<[Measures; 2]>> + Sync + 'a;
