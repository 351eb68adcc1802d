//! What a person reads: the first screen of a comparison and one way in detail.
//!
//! Words read records and compute nothing but roundings. The order is the shop's: which way, what
//! can hurt, where to start, taper, size, finish, the other ways, why, what was assumed, what to
//! mend.

use serde::Serialize;
use tautway_sim::caution::Caution;
use tautway_words::{Block, Document, Mark};

pub mod found;
pub mod words;
pub mod finish;
mod rehearsal;
mod begin;
pub mod expect;
pub mod worth;
mod chance;
mod inertia;
mod lathe;
mod readings;
mod sample;
mod thread;
mod way;
pub mod abrasive;
pub mod two_set_ups;
mod effort;
mod method;
mod modify;
mod piece;
mod predict;
mod compare;
mod preload;

pub use chance::of_100;
pub use compare::compare;
pub use expect::of_100 as good_of_100;
pub use lathe::{SameJob, learned, next, tested, tests_tell};
pub use method::{methods, predict as predict_method, set_in_words, taper_in_words};
pub use modify::{Report, modify};
pub use piece::{Told, piece};
pub use predict::predict;
pub use preload::{ByPlan, preload};
pub use readings::{readings, why_no_taper};
pub use rehearsal::rehearsal;
pub use sample::{SAMPLE_CAUTIONS, sample};
pub use thread::{Told as ThreadTold, thread, thread_below};
pub use words::{short as short_name_of, way as name_of};

/// A paragraph and its label: for a page that sets its own lines.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Said {
    /// "Size:", or nothing for a line of its own; a dash before one of a list.
    pub label: String,
    /// The words.
    pub text: String,
}

/// A document's paragraphs.
pub fn said(document: &Document) -> Vec<Said> {
    let blocks = document.walk();
    let of = blocks.filter_map(|block| match block {
        Block::Title(words) | Block::Heading(words) | Block::Lead(words) => Some(Said {
            label: String::new(),
            text: words.bare(),
        }),
        Block::Paragraph(paragraph) => {
            let label = paragraph.label.bare();
            Some(Said {
                label: match paragraph.mark {
                    Mark::Dash if label.is_empty() => "-".to_owned(),
                    Mark::Dash => format!("- {label}"),
                    _ => label,
                },
                text: paragraph.words.bare(),
            })
        }
        _ => None,
    });
    of.collect()
}

/// The worst caution of a way, the others by name.
fn stop_if(page: &mut Document, cautions: &[Caution]) {
    let Some((first, others)) = cautions.split_first() else {
        return;
    };
    let others: Vec<&str> = others.iter().map(|caution| caution.short).collect();
    let also = if others.is_empty() {
        String::new()
    } else {
        format!(" Also watch: {}.", others.join("; "))
    };
    page.stop_if(format!("{}.{also}", first.stop_if));
}

/// Every caution with what to do about it.
fn hurts(page: &mut Document, cautions: &[Caution]) {
    page.lead("What can hurt:");
    for caution in cautions {
        page.item(format!("stop if {}. {}", caution.stop_if, caution.advice));
    }
}
