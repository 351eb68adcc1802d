//! What each command does.

mod check;
mod compare;
mod new;
mod predict;
mod sheet;

pub use check::check;
pub use compare::compare;
pub use new::new;
pub use predict::predict;
pub use sheet::sheet;
