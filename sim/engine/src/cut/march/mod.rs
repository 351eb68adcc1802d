//! The march along the work: every pass, turn by turn, of one lathe or of eight side by side.
//!
//! In the cut the slide has one level of drag and goes to `clamp(where it was, low, high)`, where
//! the bounds hang on the surface, on the edge's height a turn ago and on the guide, but not on the
//! step before. So a turn is taken in three: the load is predicted at all steps, block by block;
//! the clamp goes from step to step; and what comes of it is read off, block by block again. A
//! block is eight steps of one lathe or one step of eight lathes ([`Layout`]), and the code is the
//! same. No lane knows of the others: a lathe by itself cuts the same, to the last bit, as in any
//! company, which `sim/tests/all/cut/batch.rs` shows.
//!
//! From turn to turn a step meets almost the same, so its load is kept as an expansion about where
//! it was looked at, and the force law itself is asked again only where the depth or what the turn
//! before left has changed by a sixteenth, or the hardness by a twentieth: forces stay within
//! 1e-4, mostly a tenth of that. Where that doesn't tell (a slide that changes its way, an open
//! gap in air, a law with several balances), the steps concerned are resolved one by one, and what
//! is left is settled by the march to the first balance.

mod batch;
mod hardness;
mod step;

mod turn;

mod memory;

mod pass;

mod resolve;

pub use batch::Station;
pub(crate) use batch::{MachineBatch, UNCUT_SHARE};
pub(crate) use memory::Memory;
pub(crate) use pass::Made;
pub(crate) use step::Expansions;
pub(crate) use turn::{WHOLE, seat_changes};
