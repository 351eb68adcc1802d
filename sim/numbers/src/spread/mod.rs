//! How far a result may be off: uncertain quantities, their draws, and what comes of them.
//!
//! A quantity's [`Distribution`] is drawn at a fixed place of a trial's stream ([`Draws`]), a
//! caller runs its model on the values, and [`propagate`] says how many trials it takes and what
//! they come to ([`Coverage`]). From the same trials follow the share inside a tolerance
//! ([`Proportion`]) and which of two ways is better ([`Paired`]); a sensitivity study
//! ([`Design`]) says which quantity the spread comes from. [`first_order`] is the cheap rule beside
//! it, and [`Validation`] says whether it holds.
//!
//! Nothing here knows of lathes: numbers are plain, each in its own SI unit.

mod coverage;
mod adaptive;
mod curvilinear;
mod propagate;
mod tally;
mod proportion;
mod fault;
mod line;
mod distribution;
mod student;
mod first_order;
mod tails;
mod draws;
mod paired;
mod sobol;

pub use adaptive::{Adaptive, IntervalKind, Steadiness, numerical_tolerance, standard_block};
pub use coverage::{Coverage, CoverageFault, Interval, mean_and_deviation};
pub use distribution::{Distribution, NORMAL_95, Truncated};
pub use draws::{Draws, FactorFault, Family, SharedFactor, TrialDraws, uniform_at};
pub use fault::DistributionFault;
pub use first_order::{FirstOrder, FirstOrderFault, Input, Validation, first_order};
pub use line::Line;
pub use paired::{Better, Paired, PairedFault, PairedTally};
pub use propagate::{Ending, Output, Plan, Propagation, PropagationFault, Rows, propagate};
pub use proportion::Proportion;
pub use sobol::{Bootstrap, Design, GroupIndices, Index, OutputIndices, Pick, Row, SobolFault};
pub use student::factor as student_factor;
pub use tally::{BINS, KEPT, Tally};
