//! A document as a page has it.

use tautway_words::Document;
use tautway_words::html::{Read, blocks};

/// Its HTML, for a part of a page on a screen.
pub fn html(document: &Document) -> String {
    blocks(&document.blocks, Read::OnScreen).into_string()
}
