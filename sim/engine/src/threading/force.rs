//! The force on a threading tool: both flanks and the tip, each by Kienzle's law.
//!
//! A pass that goes `d` deeper along `n` peels a chip of `d sin(phi + a) / cos a` off the leading
//! flank and `d sin(phi - a) / cos a` off the trailing one, `a` the angle of the infeed from
//! square to the axis, and of `d` off the tip. The flanks' length is that of the middle of the
//! groove before and after, so that the areas add up to `(t2^2 - t1^2) tan(phi) + w (t2 - t1)`
//! exactly. Normal to each edge acts the in-plane force of [`crate::cutting`]: the push ratio times
//! the main force, and in a thin chip what the edge pushes beyond that. The tool stands square to
//! the spindle axis and so do the flanks' angles, whichever way it goes along the cone: there is no
//! entering angle to turn into the path's axes. Of a flank's, `sin(phi)` acts along `n` and `cos(phi)`
//! along the axis; the tip's acts along `n` in full.
//!
//! Chips of two flanks that run into each other ask more than the flanks apart: a factor, 1.2 to
//! 2, in full where both cut alike and gone where one alone cuts (the factor and its range: a
//! guess; in between it goes by how alike they cut).

use crate::arithmetic::{cos, max, min, powf, sin, tan};
use crate::cutting::{CuttingForce, RUBBED, THIN_CHIP};
use crate::scenario::groove::{Flank, Profile};

/// What the material and a threading tool ask.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ThreadLaw {
    /// Specific force at 1 mm chip thickness, Pa.
    pub specific_force: f64,
    /// Kienzle's exponent.
    pub exponent: f64,
    /// In-plane force over main force, from [`THIN_CHIP`] on.
    pub push_ratio: f64,
    /// What the edge pushes as the chip goes to nothing, N/m.
    pub edge_force: f64,
    /// The groove.
    pub profile: Profile,
    /// Chip thickness over depth on the leading and the trailing flank.
    rates: [f64; 2],
    /// What crowding makes of the main force.
    crowded: f64,
}

/// A part of the edge: its length and chip thickness, with slopes over depth.
#[derive(Clone, Copy)]
struct Portion {
    length: f64,
    length_slope: f64,
    chip: f64,
    rate: f64,
}

impl ThreadLaw {
    /// A law from specific force (Pa), exponent, push ratio, edge force (N/m), the groove, the
    /// infeed's angle from square to the axis (rad) and the crowding factor.
    pub fn new(
        specific_force: f64,
        exponent: f64,
        push_ratio: f64,
        edge_force: f64,
        profile: Profile,
        infeed: f64,
        crowding: f64,
    ) -> Self {
        let rate = |flank: Flank, lean: f64| max(sin(flank.angle + lean) / cos(infeed), 0.0);
        let lean = tan(infeed);
        let taken = [
            profile.leading.tan + lean,
            max(profile.trailing.tan - lean, 0.0),
        ];
        let alike = 2.0 * min(taken[0], taken[1]) / (taken[0] + taken[1]);
        Self {
            specific_force,
            exponent,
            push_ratio,
            edge_force,
            profile,
            rates: [
                rate(profile.leading, infeed),
                rate(profile.trailing, -infeed),
            ],
            crowded: 1.0 + (crowding - 1.0) * alike,
        }
    }

    /// The force with a groove `stood` deep and the tool at `reached`, both below the cone over
    /// the crests, m, in material `hardness` times as hard as the table's. None in air.
    pub fn at(&self, stood: f64, reached: f64, hardness: f64) -> CuttingForce {
        let stood = max(stood, 0.0);
        let depth = reached - stood;
        if depth <= 0.0 {
            return CuttingForce::default();
        }
        let middle = 0.5 * (stood + reached);
        let (tip, tip_slope) = self.profile.tip(middle);
        let flank = |flank: Flank, rate: f64| Portion {
            length: middle / flank.cos,
            length_slope: 0.5 / flank.cos,
            chip: depth * rate,
            rate,
        };
        let leading = self.normal(flank(self.profile.leading, self.rates[0]), hardness);
        let trailing = self.normal(flank(self.profile.trailing, self.rates[1]), hardness);
        let tip = self.normal(
            Portion {
                length: tip,
                length_slope: 0.5 * tip_slope,
                chip: depth,
                rate: 1.0,
            },
            hardness,
        );
        let (a, b) = (self.profile.leading, self.profile.trailing);
        let out = |l: f64, t: f64, tip: f64| l * a.sin + t * b.sin + tip;
        let along = |l: f64, t: f64| l * a.cos - t * b.cos;
        CuttingForce {
            main: leading.main + trailing.main + tip.main,
            main_slope: leading.main_slope + trailing.main_slope + tip.main_slope,
            push_off: out(leading.normal, trailing.normal, tip.normal),
            push_off_slope: out(
                leading.normal_slope,
                trailing.normal_slope,
                tip.normal_slope,
            ),
            feed: along(leading.normal, trailing.normal),
            feed_slope: along(leading.normal_slope, trailing.normal_slope),
        }
    }

    /// Main force of a part of the edge and the force normal to it.
    fn normal(&self, part: Portion, hardness: f64) -> Normal {
        let Portion {
            length,
            length_slope,
            chip,
            rate,
        } = part;
        if length <= 0.0 || chip <= 0.0 {
            return Normal::default();
        }
        let power = 1.0 - self.exponent;
        let scale = hardness * self.crowded * self.specific_force * 1e-3;
        // Below RUBBED straight down to nothing: a slope without end helps nobody.
        let (per_length, per_length_slope) = if chip >= RUBBED {
            let force = scale * powf(1e3 * chip, power);
            (force, force * power * rate / chip)
        } else {
            let slope = scale * powf(1e3 * RUBBED, power) / RUBBED;
            (slope * chip, slope * rate)
        };
        // As in the force law of turning: the edge alone where the chip is gone, and no more than
        // the ratio holds already from the thin chip on.
        let held = |chip: f64| powf(chip / THIN_CHIP, power);
        let (edge, edge_slope) = if chip <= RUBBED {
            let there = (1.0 - held(RUBBED)) / RUBBED;
            (there * chip, there * rate)
        } else if chip <= THIN_CHIP {
            (1.0 - held(chip), -held(chip) * power * rate / chip)
        } else {
            (0.0, 0.0)
        };
        let main = length * per_length;
        let main_slope = length_slope * per_length + length * per_length_slope;
        Normal {
            main,
            main_slope,
            normal: self.push_ratio * main + self.edge_force * length * edge,
            normal_slope: self.push_ratio * main_slope
                + self.edge_force * (length_slope * edge + length * edge_slope),
        }
    }
}

#[derive(Clone, Copy, Default)]
struct Normal {
    main: f64,
    main_slope: f64,
    normal: f64,
    normal_slope: f64,
}
