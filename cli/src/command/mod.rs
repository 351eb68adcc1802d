//! What each command does.

mod check;
mod compare;
mod fit;
mod join;
mod lathe;
mod method;
mod modify;
mod new;
mod page;
mod piece;
mod predict;
mod preload;
mod readings;
mod rehearse;
mod sheet;
mod taper;
mod thread;

pub use check::check;
pub use compare::compare;
pub use fit::{Sum, fit};
pub use join::join;
pub use lathe::lathe;
pub use method::method;
pub use modify::modify;
pub use new::new;
pub use page::page;
pub use piece::piece;
pub use predict::{best_of, predict};
pub use preload::preload;
pub use readings::readings;
pub use rehearse::rehearse;
pub use sheet::sheet;
pub use taper::{TaperArgs, taper};
pub use thread::thread;
