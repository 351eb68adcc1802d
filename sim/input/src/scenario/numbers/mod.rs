//! One row a number: all that is said of each uncertain number of lathe and job, and the lists
//! from which keys, defaults, draws, schema and files to start from are taken.
//!
//! Nothing assumed here was measured for this program. Marks: [mem] from memory of trade books,
//! [calc] worked from the model, [guess] judgement. The ordinary column is an ordinary used lathe
//! of 13 to 16 in swing; good, worn and junk are scaled from it by judgement so that all slack
//! along the cross-slide comes to about 0.008, 0.014 to 0.018, 0.06 and 0.1 in.

mod row;
pub mod attachment;
pub mod slide;
pub mod top_slide;
pub mod spindle;
pub mod tailstock;
pub mod carriage;
pub mod readout;
pub mod work;
pub mod cutting;
pub mod tool;
pub mod preload;
pub mod passes;
pub mod bounds;

pub use row::{About, Basis, ByCondition, Elsewhere, Number, Part, Row, StandIn};

use super::shop_tests::Test;

/// A list of rows.
pub type Rows = &'static [&'static dyn Number];

/// What every way with the attachment draws, the lathe's first.
const WITH_ATTACHMENT: [Rows; 12] = [
    attachment::ROWS,
    slide::ROWS,
    top_slide::ROWS,
    spindle::ROWS,
    carriage::ROWS,
    tailstock::ROWS,
    readout::ROWS,
    work::ROWS,
    cutting::ROWS,
    tool::ROWS,
    passes::ROWS,
    preload::ROWS,
];

/// What only the ways without it draw. They share the row of numbers with the others, and stand
/// apart so that no trial of the attachment's ways moves them for nothing.
const WITHOUT_ATTACHMENT: [Rows; 4] = [
    tailstock::WITHOUT_ATTACHMENT,
    top_slide::WITHOUT_ATTACHMENT,
    tool::WITHOUT_ATTACHMENT,
    work::WITHOUT_ATTACHMENT,
];

/// The rows that every way with the attachment draws, in the order drawn.
pub fn with_attachment() -> impl Iterator<Item = &'static dyn Number> {
    WITH_ATTACHMENT.into_iter().flatten().copied()
}

/// The rows that only the ways without it draw, in the order drawn.
pub fn without_attachment() -> impl Iterator<Item = &'static dyn Number> {
    WITHOUT_ATTACHMENT.into_iter().flatten().copied()
}

/// Every row. A number that both kinds of ways draw, each under its own condition, has two.
pub fn all() -> impl Iterator<Item = &'static dyn Number> {
    with_attachment().chain(without_attachment())
}

/// What three repeats of a test give, each with the half-width that they leave as a share of the
/// number: first what stands for several parts together, then the others in the order drawn.
pub fn given_by(test: Test) -> Vec<(&'static str, f64)> {
    let mut given: Vec<_> = with_attachment()
        .filter(|row| row.about().test == Some(test))
        .filter_map(|row| Some((row.about().overrides, row.about().key, row.about().repeats?)))
        .collect();
    given.sort_by_key(|(overrides, ..)| overrides.is_empty());
    given
        .into_iter()
        .map(|(_, key, share)| (key, share))
        .collect()
}
