//! What a finished piece tells: its taper and size, and which trouble most likely made it so.
//!
//! Each [`Cause`] is a story: one thing out of order, as badly as it happens in shops, all else as
//! the lathe and job files say. Every story is cut many times on the model, each time on a lathe
//! drawn as in a [`Study`], and the gauges' readings are looked up in what comes of it. Which
//! story explains the piece is Bayes' rule over the stories, with the density of each story's outcomes
//! at the readings (see [`weigh`]). Beforehand all are alike likely where the drawing was missed, for
//! people bring bad pieces; where it was met, a lathe in order is as likely as all troubles together.
//!
//! What the readings don't tell apart stays apart by nothing: two stories that leave the same
//! piece come out alike likely, and [`Look`] names the cheapest look that would part them.

mod cause;
mod reading;
mod bank;
mod weigh;
mod look;

pub use crate::scenario::finished::{Fit, Measured, Piece};
pub use bank::{Bank, Cut};
pub use cause::Cause;
pub use look::{Look, look};
pub use reading::Gauge;
pub use weigh::{Diagnosis, Likely, diagnose, met};
