//! The force on the tool: chip area and edge, main force, and the in-plane force's direction.
//!
//! Lengths in m, forces in N. `depth` is along `n`, square to the spindle axis, from the surface
//! the previous pass left (its mean between feed marks) to the lowest point of the nose.
//!
//! # The axes of the path
//!
//! Call `z` the direction of feed along the spindle axis and `y` the way out of the cut, `-n`; then
//! both kinds of work, both sides and both feeds look alike. The tool's straight main edge goes up
//! from the nose along `(cos K, sin K)`: for `K` below 90 deg its upper end is ahead. The tool goes
//! along `t = (cos i, -sin i)`, with `i = pull * alpha`: pulled in it comes down into the cut,
//! drawn away it goes up out of it. It is fixed in the machine and doesn't turn with its way, so the
//! edge stands `K - (-i) = K + i` from `t`: pulled in it stands steeper to its way and leans back
//! more, drawn away it lies flatter.
//!
//! Every turn takes the same shape off along `t`: in the axes of the path the cut is a plain one,
//! with entering angle `K + i`, depth `a cos i` (square to the cone) and feed `f / cos i` (along
//! it). Its area stays `a f`. [`ForceLaw::new`] turns the shape so, once for everybody. The chord
//! `(w, d)` of the engaged edge there is `w cos i + d sin i` along the axis and `d cos i - w sin i`
//! along `n`; the force square to it pushes off by the former and against the feed by the latter,
//! and a tool that stands `x` deeper along `n` than a turn ago takes `x (w cos i + d sin i)` more.
//! A nose is round however it stands, so a cut on the nose alone knows of `i` by its cosine alone.

mod arc;
mod power;
mod sites;

pub use sites::{ForceExpansion, ForceTable, TableCell, Taylor2, along};

use std::f64::consts::PI;

use arc::Arcs;
use power::Power;

use crate::arithmetic::{asin, clamp, cos, max, min, powf, sin_cos};
use crate::lanes::{Across, Lanes, Mask as _};

/// Chip thickness below which Kienzle's law is out of its range, m.
pub const THIN_CHIP: f64 = 0.05e-3;

/// Chip thickness over which the edge's own force rises from nothing, m: what a tool that backs
/// off just clears must not push at once with its whole edge (a guess, far below any chip cut).
pub const RUBBED: f64 = 1e-6;

/// Least angle between the main edge and the path, rad.
const LEAST_ANGLE: f64 = PI / 180.0;

/// The tool's shape with one feed.
///
/// A nose arc of radius `r` runs into a straight main edge at the entering angle `K`; behind the
/// nose's lowest point the edge is in the cut over half a feed at most.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EdgeShape {
    /// Nose radius, m; 0 is a sharp corner.
    pub nose_radius: f64,
    /// Entering angle from the direction of feed, rad, above 0.
    pub entering_angle: f64,
    /// Feed per turn, m.
    pub feed: f64,
    // Worked out once, because they are asked for at every step.
    per_sin: f64,
    sin: f64,
    cot: f64,
    /// One over the diameter of the nose.
    per_diameter: f64,
    /// Depth at which the arc ends.
    arc_top: f64,
    /// Trailing part of the engaged edge in a cut deeper than the feed marks.
    trail: f64,
    trail_angle: f64,
    /// Height of the feed marks.
    mark: f64,
    /// Area of the groove one arc cuts to the depth of the feed marks.
    groove: f64,
    arcs: &'static Arcs,
}

impl EdgeShape {
    /// A nose radius (m), an entering angle (rad) and a feed per turn (m).
    pub fn new(nose_radius: f64, entering_angle: f64, feed: f64) -> Self {
        let (sin, cos) = sin_cos(entering_angle);
        let r = nose_radius;
        let trail = if r > 0.0 {
            min(0.5 * feed, r)
        } else {
            0.5 * feed
        };
        let trail_angle = if r > 0.0 { asin(trail / r) } else { 0.0 };
        let mark = if r > 0.0 {
            r - max(r * r - trail * trail, 0.0).sqrt()
        } else {
            0.0
        };
        Self {
            nose_radius,
            entering_angle,
            feed,
            per_sin: 1.0 / sin,
            sin,
            cot: cos / sin,
            per_diameter: 0.5 / r,
            arc_top: r * (1.0 - cos),
            trail,
            trail_angle,
            mark,
            groove: r * r * trail_angle - (r - mark) * trail * f64::from(u8::from(r > 0.0)),
            arcs: Arcs::table(),
        }
    }

    /// The same tool in the axes of a path inclined so much, rad, positive into the cut. Where the
    /// edge would lie on the cone or point behind it no chip law holds: it is kept just off.
    fn along(&self, path: f64) -> Self {
        let entering = clamp(self.entering_angle + path, LEAST_ANGLE, PI - LEAST_ANGLE);
        Self::new(self.nose_radius, entering, self.feed / cos(path))
    }
}

/// The part of the edge that is in the cut at one depth, with slopes over depth.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Engagement<R = f64> {
    /// From the lowest point of the nose to the leading end, along the axis, m.
    pub lead: R,
    /// Slope of `lead`.
    pub lead_slope: R,
    /// From the lowest point to the trailing end, m: half a feed, or less in a shallow cut.
    pub trail: R,
    /// Slope of `trail`.
    pub trail_slope: R,
    /// Length of edge in the cut, m.
    pub edge: R,
    /// Its slope.
    pub edge_slope: R,
    /// Chip area at a steady depth, m2.
    pub area: R,
    /// Its slope, m.
    pub area_slope: R,
}

impl<R: Lanes> Engagement<R> {
    /// This where `so`, the other elsewhere.
    #[inline(always)]
    fn or(self, so: R::Mask, other: Self) -> Self {
        Self {
            lead: self.lead.select(so, other.lead),
            lead_slope: self.lead_slope.select(so, other.lead_slope),
            trail: self.trail.select(so, other.trail),
            trail_slope: self.trail_slope.select(so, other.trail_slope),
            edge: self.edge.select(so, other.edge),
            edge_slope: self.edge_slope.select(so, other.edge_slope),
            area: self.area.select(so, other.area),
            area_slope: self.area_slope.select(so, other.area_slope),
        }
    }
}

impl EdgeShape {
    /// What is in the cut at `depth`; nothing at zero or less.
    ///
    /// The area at a steady depth is that between one arc and the arc of the turn before, under
    /// the mean surface's top: `feed * depth` less the feed mark that stays, exact for a nose arc
    /// (a segment while the cut is shallower than the feed marks).
    #[inline]
    pub fn engaged<R: Lanes>(&self, depth: R) -> Engagement<R> {
        let zero = R::zero();
        let none = Engagement {
            lead: zero,
            lead_slope: zero,
            trail: zero,
            trail_slope: zero,
            edge: zero,
            edge_slope: zero,
            area: zero,
            area_slope: zero,
        };
        let cuts = depth.simd_gt(zero);
        if cuts.any() {
            self.engaged_in(depth).or(cuts, none)
        } else {
            none
        }
    }

    /// Length of the leading part of the edge alone, m.
    pub fn lead<R: Lanes>(&self, depth: R) -> R {
        let (radius, top) = (R::splat(self.nose_radius), R::splat(self.arc_top));
        let straight = depth.simd_ge(top);
        let on_arc = depth.simd_max(R::zero()).simd_min(top);
        let on_arc = (on_arc * (radius + radius - on_arc)).simd_sqrt();
        let beyond = radius * R::splat(self.sin) + (depth - top) * R::splat(self.cot);
        beyond.select(straight, on_arc)
    }

    /// What is in the cut at `depth` where that is above zero.
    #[inline(always)]
    fn engaged_in<R: Lanes>(&self, depth: R) -> Engagement<R> {
        let straight = depth.simd_ge(R::splat(self.arc_top));
        if straight.all() {
            return self.on_the_straight(depth);
        }
        let arc = self.on_the_arc(depth.simd_min(R::splat(self.arc_top)));
        if straight.any() {
            self.on_the_straight(depth).or(straight, arc)
        } else {
            arc
        }
    }

    /// Beyond the arc, on the straight edge.
    #[inline(always)]
    fn on_the_straight<R: Lanes>(&self, depth: R) -> Engagement<R> {
        let r = self.nose_radius;
        let up = depth - R::splat(self.arc_top);
        let per_sin = R::splat(self.per_sin);
        let cot = R::splat(self.cot);
        Engagement {
            lead: R::splat(r * self.sin) + up * cot,
            lead_slope: cot,
            trail: R::splat(self.trail),
            trail_slope: R::zero(),
            edge: R::splat(r * (self.entering_angle + self.trail_angle)) + up * per_sin,
            edge_slope: per_sin,
            area: R::splat(self.groove)
                + (depth - R::splat(self.mark)).simd_max(R::zero()) * R::splat(self.feed),
            area_slope: R::splat(self.feed),
        }
    }

    #[inline(always)]
    fn on_the_arc<R: Lanes>(&self, depth: R) -> Engagement<R> {
        let r = R::splat(self.nose_radius);
        let lead = (depth * (r + r - depth)).simd_sqrt();
        let per_lead = R::one() / lead;
        let lead_slope = (r - depth) * per_lead;
        // The edge along the arc is the angle times the radius; the half chord is the lead.
        let share = depth * R::splat(self.per_diameter);
        let arc = lead * share.each(|share| self.arcs.angle_over_chord(share));
        let edge_rate = r * per_lead;
        // Shallower than the feed marks the arc cuts a groove of its own, both ways from its
        // lowest point.
        let own = depth.simd_le(R::splat(self.mark));
        Engagement {
            lead,
            lead_slope,
            trail: lead.select(own, R::splat(self.trail)),
            trail_slope: lead_slope.select(own, R::zero()),
            edge: arc + arc.select(own, R::splat(self.nose_radius * self.trail_angle)),
            edge_slope: edge_rate + edge_rate.select(own, R::zero()),
            area: (r * arc - (r - depth) * lead).select(
                own,
                R::splat(self.groove) + (depth - R::splat(self.mark)) * R::splat(self.feed),
            ),
            area_slope: (lead + lead).select(own, R::splat(self.feed)),
        }
    }
}

/// What the material and the edge ask.
///
/// Main force by Kienzle: `Fc = kc1.1 b h^(1-mc)`, `h` in mm, with the mean chip thickness
/// `h = A / b` over the engaged edge, nose included. In the plane of the work an in-plane force
/// `R = ratio * Fc`, square to the chord. The ratio is one measured in cuts, and what pushed on the
/// edge then is in it. Under [`THIN_CHIP`] the power law is out of its range: it goes to nothing
/// with the chip, while the edge goes on pushing with `edge_force` per length of edge. So there
///
/// `R = ratio * Fc + edge_force b (1 - (h / THIN_CHIP)^(1-mc))`:
///
/// the edge alone where the chip is gone, the ratio alone from [`THIN_CHIP`] on, nothing twice in
/// between. Ratio and edge force are a pair, of one edge in one material. With a tool that hooks in
/// (a ratio below 0) the chip pulls in the cut and the edge still pushes where it but rubs. The
/// edge's force rises over the first [`RUBBED`], so that nothing jumps.
///
/// Force tables differ by 30 %: never print four digits of what comes out here.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ForceLaw<P = f64> {
    /// Specific force at 1 mm chip thickness, Pa.
    pub specific_force: P,
    /// Kienzle's exponent.
    pub exponent: f64,
    /// In-plane force over main force from [`THIN_CHIP`] on, the edge's share in it; negative for a
    /// tool that hooks in.
    pub push_ratio: P,
    /// What the edge pushes as the chip goes to nothing, N/m.
    pub edge_force: P,
    /// The tool's shape and feed in the axes of the path: depth square to it, feed along it.
    pub shape: EdgeShape,
    /// Inclination of the path in the direction of feed, rad, positive when it leads into the
    /// cut: `pull * half angle`.
    pub path: f64,
    path_sin: f64,
    path_cos: f64,
    /// Of the chip thickness in mm.
    power: Power,
    /// From `b^mc` in m and `A^(1-mc)` in mm2 to Kienzle's law.
    millimetres: f64,
    /// One over the power of the thin chip's thickness in mm.
    per_thin: f64,
}

/// The force on the tool at one depth, with slopes over depth.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct CuttingForce<R = f64> {
    /// Main force, N.
    pub main: R,
    /// Its slope, N/m.
    pub main_slope: R,
    /// Push-off (passive force), out of the cut, N.
    pub push_off: R,
    /// Its slope, N/m.
    pub push_off_slope: R,
    /// Feed force, against the feed, N.
    pub feed: R,
    /// Its slope, N/m.
    pub feed_slope: R,
}

impl<R: Lanes> CuttingForce<R> {
    /// No force.
    pub fn none() -> Self {
        let zero = R::zero();
        Self {
            main: zero,
            main_slope: zero,
            push_off: zero,
            push_off_slope: zero,
            feed: zero,
            feed_slope: zero,
        }
    }

    /// This force where `so`, none elsewhere.
    #[inline]
    pub fn only_where(self, so: R::Mask) -> Self {
        let zero = R::zero();
        Self {
            main: self.main.select(so, zero),
            main_slope: self.main_slope.select(so, zero),
            push_off: self.push_off.select(so, zero),
            push_off_slope: self.push_off_slope.select(so, zero),
            feed: self.feed.select(so, zero),
            feed_slope: self.feed_slope.select(so, zero),
        }
    }
}

impl ForceLaw {
    /// A law from specific force (Pa), exponent, push ratio, edge force (N/m), the tool's shape in
    /// the machine (entering angle from the spindle axis, feed along it) and the inclination of its
    /// path (rad).
    pub fn new(
        specific_force: f64,
        exponent: f64,
        push_ratio: f64,
        edge_force: f64,
        shape: EdgeShape,
        path: f64,
    ) -> Self {
        let (path_sin, path_cos) = sin_cos(path);
        Self {
            specific_force,
            exponent,
            push_ratio,
            edge_force,
            shape: shape.along(path),
            path,
            path_sin,
            path_cos,
            power: Power::new(1.0 - exponent),
            millimetres: 1e-3 * powf(1e-3, 1.0 - exponent),
            per_thin: powf(1e3 * THIN_CHIP, exponent - 1.0),
        }
    }

    /// The laws of several lathes with one tool and feed, each lathe a lane.
    #[inline(always)]
    pub fn gather<'a, R: Lanes>(law: impl Fn(usize) -> &'a Self) -> ForceLaw<R> {
        let first = law(0);
        ForceLaw {
            specific_force: R::gather(|lane| law(lane).specific_force),
            push_ratio: R::gather(|lane| law(lane).push_ratio),
            edge_force: R::gather(|lane| law(lane).edge_force),
            exponent: first.exponent,
            shape: first.shape,
            path: first.path,
            path_sin: first.path_sin,
            path_cos: first.path_cos,
            power: first.power,
            millimetres: first.millimetres,
            per_thin: first.per_thin,
        }
    }
}

impl<P: Copy> ForceLaw<P> {
    /// Share of the main force, in material as hard as the table's, that the edge's force is at the
    /// thin chip.
    #[inline(always)]
    fn held<R: Lanes>(&self) -> R
    where
        P: Across<R>,
    {
        let thin = self.specific_force.across() * R::splat(1e-3 / self.per_thin);
        self.edge_force.across() / thin
    }

    /// Growth of the edge's own force with the chip's area in the thinnest chips, N/m2.
    #[inline(always)]
    fn rising<R: Lanes>(&self) -> R
    where
        P: Across<R>,
    {
        let there = 1.0 - self.power.of(1e3 * RUBBED) * self.per_thin;
        self.edge_force.across() * R::splat(there / RUBBED)
    }

    /// What is in the cut at a depth along `n`, in the axes of the path.
    fn engaged(&self, depth: f64) -> Engagement {
        self.shape.engaged(depth * self.path_cos)
    }

    /// Depths along `n` at which the law bends: the feed marks' height and the end of the arc.
    fn kinks(&self) -> [f64; 2] {
        [self.shape.mark, self.shape.arc_top].map(|depth| depth / self.path_cos)
    }

    /// How far the leading end of the edge is ahead of the nose's lowest point along the spindle
    /// axis, m; nothing where it leans back.
    pub fn lead<R: Lanes>(&self, depth: R) -> R {
        let (sin, cos) = (R::splat(self.path_sin), R::splat(self.path_cos));
        let depth = depth * cos;
        (self.shape.lead(depth) * cos + depth * sin).simd_max(R::zero())
    }

    /// How far its trailing end is behind, m.
    pub fn trail(&self, depth: f64) -> f64 {
        self.engaged(depth).trail * self.path_cos
    }

    /// Which way the in-plane force acts, out of the cut and along the feed, in the machine's axes:
    /// square to the chord of the edge engaged so deep and so wide along the path, and as long as
    /// that. The first is the width along the spindle axis.
    ///
    /// `tan k = a / (lead + feed/2)`: Colwell, Trans. ASME 76 (1954) 199, with the feed term.
    #[inline(always)]
    fn square_to_chord<R: Lanes>(&self, depth: R, width: R) -> (R, R) {
        let (sin, cos) = (R::splat(self.path_sin), R::splat(self.path_cos));
        (width * cos + depth * sin, depth * cos - width * sin)
    }

    /// The force at `depth` when the edge stands `deepening` further in than a turn ago, in
    /// material `hardness` times as hard as the table's.
    ///
    /// Chip area `A = steady area + (lead + trail) * deepening`, not below zero. The slopes hold
    /// the previous turn fixed, so `deepening` grows with `depth`.
    #[inline(always)]
    pub fn at<R: Lanes>(&self, depth: R, deepening: R, hardness: R) -> CuttingForce<R>
    where
        P: Across<R>,
    {
        if depth.simd_le(R::zero()).all() {
            return CuttingForce::none();
        }
        // From here on depth and slopes are those of the path, square to the cone.
        let cuts = depth.simd_gt(R::zero());
        let depth = depth * R::splat(self.path_cos);
        let e = self.shape.engaged_in(depth);
        let width = e.lead + e.trail;
        let width_slope = e.lead_slope + e.trail_slope;
        let (out, along) = self.square_to_chord(depth, width);
        let (out_rise, along_rise) = self.square_to_chord(R::one(), width_slope);
        let area = e.area + out * deepening;
        let cuts = cuts & area.simd_gt(R::zero());
        // The deepening grows along `n`, by one over the cosine of what the depth does here.
        let area_slope = e.area_slope + out_rise * deepening + out * R::splat(1.0 / self.path_cos);
        // One division for three.
        let chord = (depth * depth + width * width).simd_sqrt();
        let per_all = R::one() / (area * e.edge * chord);
        let per_chord = per_all * area * e.edge;
        let per_area_edge = per_all * chord;
        let (per_area, per_edge) = (per_area_edge * e.edge, per_area_edge * area);
        let chip = area * per_edge;
        // kc * b * (1000 A/b)^(1-mc) * 1 mm, in SI.
        let power = (R::splat(1e3) * chip).each(|chip| self.power.of(chip));
        let main = hardness * (self.specific_force.across() * R::splat(1e-3)) * e.edge * power;
        let relative_area = area_slope * per_area;
        let relative_edge = e.edge_slope * per_edge;
        let main_slope = main
            * (R::splat(1.0 - self.exponent) * relative_area
                + R::splat(self.exponent) * relative_edge);
        let edge_force = self.edge_force.across();
        let thin = chip.simd_le(R::splat(THIN_CHIP));
        // What of the edge's force is in the main force already grows as that.
        let held = self.held() / hardness;
        let edge = (edge_force * e.edge - held * main).select(thin, R::zero());
        let edge_slope = (edge_force * e.edge_slope - held * main_slope).select(thin, R::zero());
        // Below RUBBED it grows as the chip, and with it as the area over the edge.
        let rubs = chip.simd_le(R::splat(RUBBED));
        let rising = self.rising();
        let edge = (rising * area).select(rubs, edge);
        let edge_slope = (rising * area_slope).select(rubs, edge_slope);
        let ratio = self.push_ratio.across();
        let in_plane = ratio * main + edge;
        let in_plane_slope = ratio * main_slope + edge_slope;
        let chord_slope = (depth + width * width_slope) * per_chord;
        let (out, along) = (out * per_chord, along * per_chord);
        let out_slope = (out_rise - out * chord_slope) * per_chord;
        let along_slope = (along_rise - along * chord_slope) * per_chord;
        let cos = R::splat(self.path_cos);
        let force = CuttingForce {
            main,
            main_slope: cos * main_slope,
            push_off: in_plane * out,
            push_off_slope: cos * (in_plane_slope * out + in_plane * out_slope),
            feed: in_plane * along,
            feed_slope: cos * (in_plane_slope * along + in_plane * along_slope),
        };
        if cuts.all() {
            force
        } else {
            force.only_where(cuts)
        }
    }
}

#[cfg(test)]
mod tests;
