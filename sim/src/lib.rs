//! The physics of turning and boring tapers on a manual lathe with a taper attachment.
//!
//! The modules stand in the order in which they may import one another: what stands lower uses
//! what stands above it. [`arithmetic`] is the same on every processor; [`quantity`] and [`spread`]
//! know no lathe; [`setup`] decides every sign and [`scenario`] is what a person wrote, checked.
//! From [`cutting`], [`machine`] and [`balance`] (the laws of the parts, and where the slide stands)
//! the engine goes on to [`cut`] (the run along the work), [`surface`] and [`measure`]. Below it
//! stands the shop: the sums of the bench ([`cone`], [`standard_taper`], [`gauging`]), [`verdict`],
//! [`compare`] (the ways side by side), [`advice`] and the rest. No input or output happens here.
#![warn(missing_docs)]
#![cfg_attr(not(test), deny(clippy::disallowed_methods))]

pub mod arithmetic;
mod parallel;
mod special;
mod variates;

pub mod quantity;
pub mod spread;

pub mod setup;
pub mod scenario;

pub mod record;
mod lanes;
mod helix;
pub mod cutting;
pub mod unevenness;
pub mod surface;
pub mod balance;
pub mod machine;
pub mod cut;
pub mod measure;
pub mod threading;
pub mod motion;
pub mod drag_map;

pub mod cone;
pub mod standard_taper;
pub mod gauging;
pub mod readings;
pub mod shop_tests;
pub mod verdict;
pub mod bore_room;
pub mod caution;
pub mod feasibility;
pub mod rehearse;
pub mod mattered;
pub mod learn;
pub mod inertia;
pub mod study;
pub mod method;
pub mod compare;
pub mod advice;
pub mod thread;
pub mod next_test;
pub mod piece;
pub mod sheet;
pub mod lesson;
