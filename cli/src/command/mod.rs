//! What each command does.

mod check;
mod compare;
mod fit;
mod join;
mod lathe;
mod new;
mod page;
mod predict;
mod readings;
mod rehearse;
mod sheet;
mod taper;

pub use check::check;
pub use compare::compare;
pub use fit::{Sum, fit};
pub use join::join;
pub use lathe::lathe;
pub use new::new;
pub use page::page;
pub use predict::{best_of, predict};
pub use readings::readings;
pub use rehearse::rehearse;
pub use sheet::sheet;
pub use taper::{TaperArgs, taper};
