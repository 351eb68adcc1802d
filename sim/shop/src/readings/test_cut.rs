//! A straight test cut beside the readings: what the lathe turns by itself, added to the guide's
//! taper.

use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

use crate::quantity::Quantity;
use crate::scenario::End;
use crate::scenario::Kind;
use crate::scenario::readings::ReadingSet;
use crate::setup::{Face, Feed, Rotation, Setup};

/// What a test cut adds to the guide's taper.
pub(super) struct Cut {
    /// Taper on diameter, positive where it makes the work's taper larger.
    pub adds: f64,
    /// Half of its 95 % interval.
    pub spread: f64,
}

/// The guide's tapers with the test cut's, in which either diameter may be off.
pub(super) fn with_test_cut(set: &ReadingSet, guide: &[f64]) -> (Cut, Vec<f64>) {
    let Some((cut, big_end)) = set.test_cut.zip(set.big_end) else {
        let none = Cut {
            adds: 0.0,
            spread: 0.0,
        };
        return (none, guide.to_vec());
    };
    let adds = slope_sign(big_end) * cut.toward_tailstock();
    let each = cut.gauge_error.si() / cut.apart.si();
    let mut rng = ChaCha8Rng::seed_from_u64(SEED + 1);
    let mut off = || each * (2.0 * rng.random::<f64>() - 1.0);
    let tapers = guide.iter().map(|t| t + adds + off() + off()).collect();
    // Two rectangular errors make a triangle to twice one: 95 % lie within 1.553 of one.
    let spread = 1.553 * each;
    (Cut { adds, spread }, tapers)
}

pub(super) const SEED: u64 = 0x7a_9e_11;

/// The sign of the change of radius toward the tailstock, from where signs are decided.
pub(super) fn slope_sign(big_end: End) -> f64 {
    Setup {
        kind: Kind::Outside,
        big_end,
        side: crate::setup::Side::Front,
        feed: Feed::Headstock,
        rotation: Rotation::Forward,
        face: Face::Up,
    }
    .slope_sign()
}
