//! Drawings of what the engine found, as SVG text and PNG bytes.
//!
//! Figures read records and compute no physics: every number drawn or written is one the record
//! holds, brought to the person's units. The text of a drawing is outlined with the embedded
//! font, so that it looks the same on every machine and needs no font there. Without the feature
//! `png`, which a browser's build leaves off, there is SVG alone and its text stays text; without
//! `charts`, those drawings alone that have no axes.
//!
//! | figure | record | shows |
//! |---|---|---|
//! | [`setup_from_above`] | [`Setup`](tautway_sim::setup::Setup) | what goes where, every direction |
//! | [`setup_plan`] | the same | the same, for a page with words of its own |
//! | [`lost_motion`] | [`ReversalLoop`](tautway_sim::record::ReversalLoop) | where the slide stands still |
//! | [`cut`] | [`Run`](tautway_sim::record::Run) | slack, seat and forces along the last cut |
//! | [`cut_beside`] | several of them | the same of one, on the scales of all |
//! | [`bore`](fn@bore) | [`BoreRoom`](tautway_sim::bore_room::BoreRoom) | the bar where it comes closest |
//! | [`surfaces`] | several [`Run`](tautway_sim::record::Run)s | what each way leaves |
//! | [`readings`](fn@readings) | [`Evaluation`](tautway_sim::readings::Evaluation) | readings off their line |
//! | [`rehearsal`] | [`Rehearsal`](tautway_sim::rehearse::Rehearsal) | what hand moves really do |
//! | [`regime_map`] | [`RegimeMap`](tautway_sim::record::RegimeMap) | what drag and slack do |
//! | [`mend`](fn@mend) | [`Mend`](tautway_sim::study::Mend) | which part to mend first |
//! | [`thread_section`], [`thread_passes`] | [`ThreadRun`](tautway_sim::thread::ThreadRun) | groove wanted and made, pass by pass |
//! | [`preload`](fn@preload) | [`PreloadAdvice`](tautway_sim::advice::preload::PreloadAdvice) | what a force on the slide does |
//! | [`changes`](fn@changes) | [`Bought`](tautway_sim::advice::gain::Bought) | what changes buy |
//! | [`work_sketch`](fn@work_sketch) | kind and big end | work in its chuck, for a card |
//! | [`spread`](fn@spread) | [`Outlook`](tautway_sim::study::Outlook) | what each way may give |
#![warn(missing_docs)]
#![cfg_attr(not(test), deny(clippy::disallowed_methods))]

mod markup;
mod scale;
#[cfg(any(test, not(feature = "png")))]
mod advances;
mod font;
mod drawing;
mod ink;
mod bore;
#[cfg(feature = "charts")]
mod chart;
#[cfg(feature = "charts")]
mod cut;
#[cfg(feature = "charts")]
mod lost_motion;
#[cfg(feature = "charts")]
mod preload;
#[cfg(feature = "charts")]
mod readings;
#[cfg(feature = "charts")]
mod regime_map;
#[cfg(feature = "charts")]
mod rehearsal;
mod setup_from_above;
#[cfg(feature = "charts")]
mod strip;
#[cfg(feature = "charts")]
mod changes;
#[cfg(feature = "charts")]
mod mend;
#[cfg(feature = "charts")]
mod spread;
#[cfg(feature = "charts")]
mod surfaces;
#[cfg(feature = "charts")]
mod thread;
mod work_sketch;

pub use bore::bore;
#[cfg(feature = "charts")]
pub use changes::changes;
#[cfg(feature = "charts")]
pub use cut::{cut, cut_beside};
pub use drawing::Drawing;
#[cfg(feature = "png")]
pub use drawing::PngError;
#[cfg(feature = "png")]
pub use font::FACES;
#[cfg(feature = "charts")]
pub use lost_motion::lost_motion;
#[cfg(feature = "charts")]
pub use mend::mend;
#[cfg(feature = "charts")]
pub use preload::preload;
#[cfg(feature = "charts")]
pub use readings::readings;
#[cfg(feature = "charts")]
pub use regime_map::regime_map;
#[cfg(feature = "charts")]
pub use rehearsal::rehearsal;
pub use setup_from_above::{SetupView, setup_from_above, setup_plan};
#[cfg(feature = "charts")]
pub use spread::spread;
#[cfg(feature = "charts")]
pub use surfaces::surfaces;
#[cfg(feature = "charts")]
pub use thread::{thread_passes, thread_section};
pub use work_sketch::work_sketch;
