//! What to do about a cut: hold the slide with a preload, or change something on the lathe.
//!
//! A preload is weighed by the closed form of [`seat`], its [`window`] of force found over the same
//! draws as a [`crate::study::Study`], the sources that give it listed in [`source`], and the cut
//! run over a row of forces ([`force_scan`]). A [`change`] is a plain value that turns one
//! scenario into another; [`catalogue`] lists those that apply, and [`gain`] says what each buys,
//! cut on the same lathes before and after.

pub mod change;
pub mod force_scan;
pub mod gain;
pub mod seat;
pub mod window;
pub mod source;
mod eyes;
pub mod catalogue;
pub mod preload;
