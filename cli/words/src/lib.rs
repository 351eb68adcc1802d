//! What a person reads, as plain data, and how it is written: as text of any width, as HTML.
//!
//! A document knows no machine and no command; who makes one hands it on whole. Nothing written is
//! ever read back.
#![deny(missing_docs)]

pub mod span;
pub mod block;
pub mod text;
pub mod html;

pub use block::{
    Align, Block, Choice, Document, Download, Fact, Facts, Figure, Group, Instead, Layout, Mark,
    Paragraph, Picture, Pictures, Role, Source, Sum, Table,
};
pub use span::{BLANK, Span, Words, plain, starred, strong};
