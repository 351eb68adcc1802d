//! The run along the work: approach in air, touch-off, every pass, every turn.
//!
//! All heights are along `n` relative to the finished cone, so a slide that stands still drifts
//! by `-pull * slope` a metre of carriage, and a guide that is set right stands still.

mod load;
mod mass;
mod stock;

mod approach;

mod operation;

mod inertia;

mod march;

mod run;

pub use approach::{Approach, RunIn, StickSlip, lost_motion, reversal, withdrawal};
pub use inertia::Ridden;
pub use load::{Acting, Air, Cut};
pub use march::Station;
pub(crate) use march::{MachineBatch, UNCUT_SHARE, WHOLE, seat_changes};
pub use mass::Inertia;
pub use operation::{Operation, Options, Realization, ToolNeeded, approach};
pub use run::{BATCH, Finished, Scratch, Turned, finish_batch, finish_gauged};
pub use stock::{Stock, aimed_taper};
