//! The physics of turning and boring tapers on a manual lathe with a taper attachment.
//!
//! Four crates stand one above the other, and each names only those above it. Inside each the
//! modules stand in the order in which they may import one another.
//!
//! - `tautway-numbers`: [`arithmetic`], the same on every processor; [`quantity`] and [`spread`],
//!   which know no lathe.
//! - `tautway-input`: [`setup`] decides every sign; [`scenario`] is what a person wrote, checked;
//!   [`standard_taper`] the tapers with a name.
//! - `tautway-engine`: [`cutting`], [`machine`] and [`balance`] (the laws of the parts, and where the
//!   slide stands), [`cut`] and [`threading`] (the run along the work), [`surface`], [`measure`].
//! - `tautway-shop`: the sums of the bench ([`cone`], [`gauging`]), [`verdict`],
//!   [`compare`] (the ways side by side), [`advice`] and the rest.
//!
//! This crate is their face. No input or output happens behind it.

pub use tautway_engine::{
    balance, cut, cutting, machine, measure, motion, record, regime_map, surface, threading,
    unevenness,
};
pub use tautway_input::{scenario, setup, standard_taper};
pub use tautway_numbers::{arithmetic, quantity, special, spread};
pub use tautway_shop::{
    advice, after_test, bore_room, caution, compare, cone, expect, feasibility, gauging, heat,
    inertia, learn, lesson, method, piece, readings, rehearse, sensitivity, sheet, shop_tests,
    steady, study, thread, verdict, worth,
};
