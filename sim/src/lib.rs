//! The physics of turning and boring tapers on a manual lathe with a taper attachment.
//!
//! Below all stands [`arithmetic`], the same on every processor. Data goes one way, and the modules
//! stand in that order: text -> [`quantity`] ->
//! [`scenario`] -> [`setup`] (one way to make the cut) -> [`machine`] and [`cutting`] (the laws of
//! the parts) -> [`balance`] (where the slide stands) -> [`cut`] (the run along the work) ->
//! [`surface`] -> [`measure`] -> [`compare`] (the ways side by side) -> [`caution`] and
//! [`advice`] (what to do about it). Apart from that line stand the sums of the bench: [`cone`],
//! [`standard_taper`], [`gauging`]; and [`spread`], what uncertain numbers come to. No input or output happens here.
#![warn(missing_docs)]
#![cfg_attr(not(test), deny(clippy::disallowed_methods))]

pub mod arithmetic;
mod parallel;
mod special;
mod variates;

pub mod quantity;
pub mod scenario;
pub mod setup;

pub mod machine;

pub mod cutting;
mod helix;
mod lanes;
pub mod unevenness;

pub mod balance;
pub mod cut;
pub mod surface;

pub mod measure;
pub mod motion;
pub mod record;

pub mod bore_room;
pub mod caution;
pub mod compare;
pub mod drag_map;
pub mod feasibility;
pub mod inertia;
pub mod mattered;
pub mod method;
pub mod spread;
pub mod study;

pub mod advice;

pub mod cone;
pub mod gauging;
pub mod readings;
pub mod rehearse;
pub mod standard_taper;
pub mod thread;

pub mod learn;
pub mod lesson;
pub mod next_test;
pub mod piece;
pub mod sheet;
pub mod shop_tests;
