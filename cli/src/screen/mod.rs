//! What a person reads: the first screen of a comparison and one way in detail.
//!
//! Words read records and compute nothing but roundings. The order is the shop's: which way, what
//! can hurt, where to start, taper, size, finish, the other ways, why, what was assumed, what to
//! mend.

use serde::Serialize;
use tautway_sim::caution::Caution;

pub mod found;
mod rehearsal;
pub mod words;
mod begin;
mod chance;
mod inertia;
mod lathe;
mod readings;
mod thread;
mod way;
mod method;
mod modify;
mod piece;
mod predict;
mod compare;
mod preload;

pub use chance::of_100;
pub use compare::{compare, compare_said};
pub use lathe::{learned, next, tested};
pub use method::{methods_said, predict as predict_method, set_in_short, typed as typed_method};
pub use modify::{Report, modify};
pub use piece::{Told, piece};
pub use predict::{predict, predict_said};
pub use preload::preload;
pub use readings::readings;
pub use rehearsal::rehearsal;
pub use thread::{Told as ThreadTold, thread};
pub use words::{short as short_name_of, way as name_of};

/// Width of the page, columns.
pub const WIDTH: usize = 92;

/// A paragraph and its label, not yet wrapped: for a page that sets its own lines.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Said {
    /// "Size:", or nothing for a line of its own.
    pub label: String,
    /// The words.
    pub text: String,
}

/// A page of labelled paragraphs, wrapped with a hanging indent, and the same unwrapped.
struct Page(String, Vec<Said>);

impl Page {
    fn new() -> Self {
        Self(String::new(), Vec::new())
    }

    fn note(&mut self, label: &str, text: &str) {
        self.1.push(Said {
            label: label.to_owned(),
            text: text.to_owned(),
        });
    }

    /// A paragraph behind its label.
    fn say(&mut self, label: &str, text: &str) {
        self.note(label, text);
        let first = if label.is_empty() {
            "  ".to_owned()
        } else {
            format!("{label} ")
        };
        let options = textwrap::Options::new(WIDTH)
            .initial_indent(&first)
            .subsequent_indent("    ")
            .word_separator(textwrap::WordSeparator::AsciiSpace)
            .break_words(false);
        self.0.push_str(&textwrap::fill(text, options));
        self.0.push('\n');
    }

    /// Every caution with what to do about it.
    fn hurts(&mut self, cautions: &[Caution]) {
        self.line("What can hurt:");
        for caution in cautions {
            self.say(
                "  -",
                &format!("stop if {}. {}", caution.stop_if, caution.advice),
            );
        }
    }

    fn gap(&mut self) {
        self.0.push('\n');
    }

    fn line(&mut self, text: &str) {
        self.note("", text);
        self.0.push_str(text);
        self.0.push('\n');
    }
}
