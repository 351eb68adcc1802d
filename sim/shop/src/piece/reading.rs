//! A piece as it was gauged, and the readings that the stories are held against.

use schemars::JsonSchema;
use serde::Serialize;

use crate::arithmetic::{ln, max, min, powi};
use crate::quantity::Quantity;
use crate::record::Measures;
use crate::scenario::Scenario;
use crate::scenario::finished::{Measured, Piece};
use crate::setup::Setup;
use crate::spread::Line;

/// Span of the places where diameters are taken if the piece has none, as a share of the
/// taper's length.
const STANDARD_SPAN: f64 = 0.96;
/// Normal score of a gauge's own error, told as 95 times in 100.
pub(super) const END: f64 = 1.96;

/// Every reading there is, with its variance.
pub(super) fn readings(
    piece: &Piece,
    scenario: &Scenario,
    setup: &Setup,
) -> Vec<(Gauge, f64, f64)> {
    let aim = crate::cut::aimed_taper(scenario);
    let places = piece.places(scenario);
    let heights = piece.heights(scenario, aim);
    let shape = Shape::of(&places, &heights, setup);
    let height_off = 0.5 * piece.diameter_off;
    let known = [
        (
            Gauge::Taper,
            shape.tilt.map(|(tilt, share)| Measured {
                value: tilt,
                off: height_off * share,
            }),
        ),
        (
            Gauge::Bow,
            shape.bow.map(|(bow, share)| Measured {
                value: bow,
                off: height_off * share,
            }),
        ),
        (
            Gauge::Start,
            shape.start.map(|(start, share)| Measured {
                value: start,
                off: height_off * share,
            }),
        ),
        (Gauge::Taken, piece.gauged.taken),
        (Gauge::Waves, piece.gauged.waves),
        (Gauge::Spacing, piece.spacing),
        (Gauge::Straight, piece.straight),
        (Gauge::Step, piece.step),
        (Gauge::Roundness, piece.roundness),
        (Gauge::Guide, piece.guide),
    ];
    let mut all: Vec<(Gauge, f64, f64)> = known
        .into_iter()
        .filter_map(|(gauge, measured)| {
            let measured = measured?;
            Some((gauge, measured.value, measured.off / END))
        })
        .collect();
    // A taper that was gauged by itself counts where there are no diameters.
    if shape.tilt.is_none()
        && let Some(taper) = piece.gauged.taper
    {
        let span = STANDARD_SPAN * scenario.job.work.length.si();
        let lean = 0.5 * setup.inward() * setup.slope_sign() * span;
        all.push((
            Gauge::Taper,
            lean * (taper.value - aim),
            0.5 * span * taper.off / END,
        ));
    }
    all
}

/// What was read on the piece, in the order of a [`super::Cut`]'s outcomes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Gauge {
    /// Taper, as the rise of the surface over its length against the cone aimed at, m.
    Taper,
    /// How far the middle stands out of the line through the ends, m.
    Bow,
    /// How far the first diameter of the cut stands out of the line through the others, m.
    Start,
    /// What the last pass took, m.
    Taken,
    /// Waves, m.
    Waves,
    /// Their spacing, m.
    Spacing,
    /// Straight part at the start, m.
    Straight,
    /// Step, m.
    Step,
    /// Out of round, m.
    Roundness,
    /// Taper of the guide as proved by readings.
    Guide,
}

impl Gauge {
    /// All of them.
    pub const ALL: [Self; 10] = [
        Self::Taper,
        Self::Bow,
        Self::Start,
        Self::Taken,
        Self::Waves,
        Self::Spacing,
        Self::Straight,
        Self::Step,
        Self::Roundness,
        Self::Guide,
    ];

    /// In the shop's words: what to measure.
    pub fn words(self) -> &'static str {
        match self {
            Self::Taper => "diameters at both ends",
            Self::Bow => "a diameter at mid length",
            Self::Start => "diameters close together where the cut began",
            Self::Taken => "what the last pass took against what was set",
            Self::Waves => "height of the waves",
            Self::Spacing => "spacing of the waves",
            Self::Straight => "length left straight where the cut began",
            Self::Step => "height of a step, if there is one",
            Self::Roundness => "roundness, with an indicator while the piece turns by hand",
            Self::Guide => "taper of the guide, from carriage and slide readings",
        }
    }

    /// Minutes it takes [guess].
    pub fn minutes(self) -> f64 {
        match self {
            Self::Waves | Self::Spacing | Self::Step => 2.0,
            Self::Taper | Self::Bow | Self::Taken | Self::Straight | Self::Roundness => 3.0,
            Self::Start => 5.0,
            Self::Guide => 10.0,
        }
    }

    /// Less than this can't be told from nothing, SI: where the logarithm ends of what can't be
    /// negative.
    fn floor(self) -> Option<f64> {
        match self {
            Self::Taper | Self::Bow | Self::Start | Self::Taken | Self::Guide => None,
            Self::Waves | Self::Step => Some(2e-6),
            Self::Roundness => Some(3e-6),
            Self::Spacing | Self::Straight => Some(0.5e-3),
        }
    }

    /// On the scale on which outcomes are compared: the logarithm of what can't be negative.
    pub(super) fn scaled(self, value: f64) -> f64 {
        self.floor()
            .map_or(value, |floor| ln(max(value, 0.0) + floor))
    }

    /// A standard deviation on that scale.
    pub(super) fn scaled_off(self, value: f64, off: f64) -> f64 {
        self.floor()
            .map_or(off, |floor| off / (max(value, 0.0) + floor))
    }

    /// How far the model itself may be off there [guess], on that scale, where so much was set.
    pub(super) fn model_off(self, set: f64) -> f64 {
        match self {
            Self::Taper | Self::Bow | Self::Start | Self::Taken => crate::learn::MODEL_SHARE * set,
            Self::Waves | Self::Step | Self::Roundness => 0.25,
            Self::Spacing | Self::Straight => 0.25,
            Self::Guide => 0.0,
        }
    }
}

/// Heights at a few places as tilt, bow and start, each with the share of a reading's own error
/// that it carries.
pub(super) struct Shape {
    /// Rise from the headstock-side end to the other, over the whole taper's length of places.
    pub tilt: Option<(f64, f64)>,
    pub bow: Option<(f64, f64)>,
    pub start: Option<(f64, f64)>,
}

impl Shape {
    pub(super) fn of(places: &[f64], heights: &[f64], setup: &Setup) -> Self {
        let points: Vec<(f64, f64)> = places
            .iter()
            .copied()
            .zip(heights.iter().copied())
            .collect();
        let ends = places
            .iter()
            .copied()
            .fold((f64::INFINITY, f64::NEG_INFINITY), |ends, z| {
                (min(ends.0, z), max(ends.1, z))
            });
        let span = ends.1 - ends.0;
        let tilt =
            Line::through(&points).map(|line| (line.slope * span, span / line.squares.sqrt()));
        Self {
            tilt,
            bow: bow(&points, ends),
            start: start(&points, setup),
        }
    }
}

/// Mean of the readings in the middle third less the mean of those in the outer ones.
fn bow(points: &[(f64, f64)], (low, high): (f64, f64)) -> Option<(f64, f64)> {
    let third = (high - low) / 3.0;
    let side = |z: f64| {
        if z < low + third {
            0
        } else if z > high - third {
            2
        } else {
            1
        }
    };
    let mut parts = [(0.0, 0.0, 0.0); 3];
    for &(z, height) in points {
        let part = &mut parts[side(z)];
        *part = (part.0 + z, part.1 + height, part.2 + 1.0);
    }
    if parts.iter().any(|part| part.2 == 0.0) {
        return None;
    }
    let [a, m, b] = parts.map(|(z, height, n)| (z / n, height / n, 1.0 / n));
    let share = (m.0 - a.0) / (b.0 - a.0);
    let line = a.1 + share * (b.1 - a.1);
    let carried = m.2 + powi(1.0 - share, 2) * a.2 + powi(share, 2) * b.2;
    Some((m.1 - line, carried.sqrt()))
}

/// The first reading of the cut off the line through the others.
fn start(points: &[(f64, f64)], setup: &Setup) -> Option<(f64, f64)> {
    if points.len() < 4 {
        return None;
    }
    let travelled = |z: f64| setup.feed.sign() * z;
    let first = points
        .iter()
        .copied()
        .min_by(|a, b| travelled(a.0).total_cmp(&travelled(b.0)))?;
    let others: Vec<_> = points.iter().copied().filter(|p| p.0 != first.0).collect();
    let line = Line::through(&others)?;
    let n = others.len() as f64;
    let carried = 1.0 + 1.0 / n + powi(first.0 - line.middle, 2) / line.squares;
    Some((first.1 - line.at(first.0), carried.sqrt()))
}

/// What comes of one cut.
pub(super) struct Made {
    pub found: Measures,
    /// Over the finished cone at the bank's places, m.
    pub heights: Vec<f64>,
    pub length: f64,
    /// Taper on diameter that the guide stands at, and that was aimed at.
    pub guide: f64,
    pub aim: f64,
}

/// The outcomes of a cut on the scale on which they are compared, in the order of [`Gauge::ALL`].
pub(super) fn outcomes(setup: &Setup, places: &[f64], made: &Made) -> [f64; 10] {
    let shape = Shape::of(places, &made.heights, setup);
    let found = &made.found;
    let raw = |gauge: Gauge| match gauge {
        Gauge::Taper => shape.tilt.map_or(0.0, |(tilt, _)| tilt),
        Gauge::Bow => shape.bow.map_or(0.0, |(bow, _)| bow),
        Gauge::Start => shape.start.map_or(0.0, |(start, _)| start),
        Gauge::Taken => found.taken,
        Gauge::Waves => found.waves,
        Gauge::Spacing => found.wave_spacing.unwrap_or(0.0),
        Gauge::Straight => found.straight_part,
        Gauge::Step => found.step.map_or(0.0, |(height, _)| height.abs()),
        Gauge::Roundness => found.roundness,
        Gauge::Guide => made.guide,
    };
    Gauge::ALL.map(|gauge| gauge.scaled(raw(gauge)))
}
