//! The force law near where each step cuts: what hangs on the depth alone from pieces of a table,
//! the power of the chip's area from the part of the octave that it is in.
//!
//! The steps of a turn meet almost what they met a turn ago, so each keeps its piece: roots,
//! angles, powers and look-ups are needed only when it comes into another one. A piece is a
//! thirty-second of an octave of depth with parabolas through three Chebyshev nodes; together they
//! are one law, which doesn't depend on what was asked before.

use super::{CuttingForce, ForceLaw, RUBBED, THIN_CHIP};
use crate::arithmetic::{hypot, max, min, powf};
use crate::lanes::{Across, Lanes, Mask as _};

const FRACTION_BITS: u32 = f64::MANTISSA_DIGITS - 1;
const BIAS: i32 = f64::MAX_EXP - 1;
/// Parts of an octave: two to this power.
const PART_BITS: u32 = 5;
/// Octaves of depth, the lowest from `2^LOWEST` m: 60 nm to 16 mm.
const OCTAVES: usize = 18;
const LOWEST: i32 = -24;
/// Octaves of a chip's area whose powers are kept, the lowest from `2^LOWEST_AREA` m2: to 15 mm2.
const AREA_OCTAVES: usize = 34;
const LOWEST_AREA: i32 = -50;
/// Within this share of the middle of its part a chip's area goes by the binomial series: more
/// than any area in that part.
const SERIES_REACH: f64 = 1.0 / 64.0;

/// Parts of an octave of depth in all.
const PARTS: usize = OCTAVES << PART_BITS;
/// Least half length of a piece, over its middle: rounding would bend the parabola of a shorter.
const LEAST_REACH: f64 = 1e-5;

/// A function of the depth over a piece: constant, slope and square from the piece's middle.
type Parabola<R> = [R; 3];

/// Numbers of a piece: its middle, half its length (negative where it is none), and the parabolas
/// of the functions below.
const NUMBERS: usize = 2 + 3 * FUNCTIONS;
const MIDDLE: usize = 0;
const REACH: usize = 1;

/// Leading and trailing part of the edge together, along the spindle axis, m.
const WIDTH: usize = 0;
/// Chip area at a steady depth, m2.
const AREA: usize = 1;
/// Length of edge in the cut, m.
const EDGE: usize = 2;
/// That to the power of Kienzle's exponent.
const EDGE_POWER: usize = 3;
/// Push-off over in-plane force.
const OUT: usize = 4;
/// Feed force over in-plane force.
const ALONG: usize = 5;
const FUNCTIONS: usize = 6;

/// One piece, or several side by side.
#[derive(Clone, Copy, Debug)]
struct Piece<R = f64>([R; NUMBERS]);

impl<R: Copy> Piece<R> {
    #[inline(always)]
    fn of(&self, function: usize) -> Parabola<R> {
        let at = 2 + 3 * function;
        [self.0[at], self.0[at + 1], self.0[at + 2]]
    }
}

/// The pieces of one law, made as they are asked for.
#[derive(Clone, Debug)]
pub struct ForceTable {
    /// Nose, entering angle, feed, exponent and path.
    law: [f64; 5],
    /// Of each part of an octave, and then those of the parts in which the law bends.
    pieces: Vec<Option<Piece>>,
    /// Which those are: the part, and how many bends come before.
    bent: Vec<(usize, usize)>,
    /// Of each part of an octave that a chip's area may be in.
    areas: Vec<Option<[f64; 2]>>,
}

impl ForceTable {
    /// None made yet, for laws that differ from this one by specific force, push ratio and the
    /// edge's own force at most.
    pub fn new<P: Copy>(law: &ForceLaw<P>) -> Self {
        Self {
            law: key(law),
            pieces: vec![None; PARTS],
            bent: Vec::new(),
            areas: vec![None; AREA_OCTAVES << PART_BITS],
        }
    }

    /// Whether these are the pieces of a law.
    pub fn fit<P: Copy>(&self, law: &ForceLaw<P>) -> bool {
        self.law == key(law)
    }

    /// Number of the piece that a depth is in; none too near the surface, too deep, and just where
    /// the law bends.
    fn at<P: Copy>(&mut self, law: &ForceLaw<P>, depth: f64) -> Option<usize> {
        let first = (BIAS + LOWEST) as usize;
        let part = (depth.to_bits() >> (FRACTION_BITS - PART_BITS)) as usize;
        let mut at = part.wrapping_sub(first << PART_BITS);
        if at >= PARTS {
            return None;
        }
        let [low, high] = ends_of_part(depth);
        let piece = self.pieces[at].get_or_insert_with(|| Piece::new(law, low, high));
        if piece.0[REACH] <= 0.0 {
            at = self.beside_bends(law, at, depth);
        }
        let piece = self.pieces[at].as_ref();
        piece.is_some_and(|of| of.0[REACH] > 0.0).then_some(at)
    }

    /// Number of the piece that a depth is in, in a part of an octave in which the law bends: from
    /// one bend, or the part's end, to the next.
    #[cold]
    fn beside_bends<P: Copy>(&mut self, law: &ForceLaw<P>, part: usize, depth: f64) -> usize {
        let before = |kink: &f64| *kink < depth;
        let key = (part, law.kinks().iter().filter(|kink| before(kink)).count());
        let kept = self.bent.iter().position(|kept| *kept == key);
        PARTS
            + kept.unwrap_or_else(|| {
                let [mut low, mut high] = ends_of_part(depth);
                for kink in law.kinks() {
                    if before(&kink) {
                        low = max(low, kink);
                    } else {
                        high = min(high, kink);
                    }
                }
                self.pieces.push(Some(Piece::new(law, low, high)));
                self.bent.push(key);
                self.bent.len() - 1
            })
    }

    /// One over the middle of the part of an octave that a chip's area is in, 1/m2, and that
    /// middle, in mm2, to the power of the law.
    fn area<P: Copy>(&mut self, law: &ForceLaw<P>, area: f64) -> [f64; 2] {
        let first = (BIAS + LOWEST_AREA) as usize;
        let part = (area.to_bits() >> (FRACTION_BITS - PART_BITS)) as usize;
        let of = || {
            let middle = middle_of_part(area);
            [1.0 / middle, law.power.of(1e6 * middle)]
        };
        match self.areas.get_mut(part.wrapping_sub(first << PART_BITS)) {
            Some(kept) => *kept.get_or_insert_with(of),
            None => of(),
        }
    }
}

fn key<P: Copy>(law: &ForceLaw<P>) -> [f64; 5] {
    let shape = &law.shape;
    [
        shape.nose_radius,
        shape.entering_angle,
        shape.feed,
        law.exponent,
        law.path,
    ]
}

/// The ends of the part of the octave that a number is in.
fn ends_of_part(x: f64) -> [f64; 2] {
    let part = FRACTION_BITS - PART_BITS;
    [0, 1].map(|after| f64::from_bits(((x.to_bits() >> part) + after) << part))
}

/// The middle of the part of the octave that a number is in.
fn middle_of_part(x: f64) -> f64 {
    let part = FRACTION_BITS - PART_BITS;
    f64::from_bits((x.to_bits() >> part << part) | 1 << (part - 1))
}

impl Piece {
    #[cold]
    #[inline(never)]
    fn new<P: Copy>(law: &ForceLaw<P>, low: f64, high: f64) -> Self {
        let (middle, reach) = (0.5 * (low + high), 0.5 * (high - low));
        let node = 0.75_f64.sqrt() * reach;
        let bends = |kink: f64| (kink - middle).abs() < reach * (1.0 - 1e-9);
        let usable = reach > LEAST_REACH * middle && law.kinks().iter().all(|kink| !bends(*kink));
        let [before, here, after] = [middle - node, middle, middle + node].map(|depth| {
            let e = law.engaged(depth);
            let depth = depth * law.path_cos;
            let width = e.lead + e.trail;
            let chord = hypot(depth, width);
            let (out, along) = law.square_to_chord(depth, width);
            [
                out,
                e.area,
                e.edge,
                powf(e.edge, law.exponent),
                out / chord,
                along / chord,
            ]
        });
        let parabola = |i: usize| {
            let (a, b, c) = (before[i], here[i], after[i]);
            let square = ((a - b) + (c - b)) / (2.0 * node * node);
            [b, (c - a) / (2.0 * node), square]
        };
        let mut numbers = [0.0; NUMBERS];
        numbers[MIDDLE] = middle;
        numbers[REACH] = if usable { reach } else { -1.0 };
        for function in 0..FUNCTIONS {
            numbers[2 + 3 * function..][..3].copy_from_slice(&parabola(function));
        }
        Self(numbers)
    }
}

/// Share of the depth over which the law goes along its slopes.
const DEEPER: f64 = 1.0 / 16.0;
/// Share of the chip's area that the turn before may change meanwhile.
const THICKER: f64 = 1.0 / 16.0;
/// Share of the chip's area by which the thin chip may be passed meanwhile.
const BENT: f64 = 5e-4;
/// Chips with less area have no part, m2.
const LEAST_AREA: f64 = 1e-15;
/// Lanes at most.
const MOST_LANES: usize = 8;
/// The piece that nothing is in.
const NONE: [f64; NUMBERS] = {
    let mut numbers = [0.0; NUMBERS];
    numbers[REACH] = -1.0;
    numbers
};

/// Where one or several steps cut: the piece that their depth is in, and the part of an octave
/// that their chip's area is in.
#[derive(Clone, Copy, Debug)]
pub struct TableCell<R> {
    piece: Piece<R>,
    /// One over the middle of the area's part, 1/m2.
    per_area: R,
    /// That middle, in mm2, to the power of the law.
    power: R,
}

impl<R: Lanes> TableCell<R> {
    /// In no piece yet.
    pub fn nowhere() -> Self {
        let mut none = [R::zero(); NUMBERS];
        none[REACH] = -R::one();
        Self {
            piece: Piece(none),
            per_area: R::zero(),
            power: R::zero(),
        }
    }

    /// Goes to the pieces that these depths are in, in the lanes asked for; where one has none it
    /// is in none.
    #[cold]
    #[inline(never)]
    fn go_to<P: Copy>(
        &mut self,
        depth: R,
        asked: R::Mask,
        law: &ForceLaw<P>,
        pieces: &mut ForceTable,
    ) {
        let asked_bits = asked.bits();
        let mut at = [None; MOST_LANES];
        for (lane, at) in at.iter_mut().take(R::LANES).enumerate() {
            if asked_bits >> lane & 1 == 1 {
                *at = pieces.at(law, depth.extract(lane));
            }
        }
        let mut of = [&NONE; MOST_LANES];
        for (of, at) in of.iter_mut().zip(at) {
            if let Some(piece) = at.and_then(|at| pieces.pieces[at].as_ref()) {
                *of = &piece.0;
            }
        }
        for (i, number) in self.piece.0.iter_mut().enumerate() {
            let found = R::gather(|lane| of[lane][i]);
            *number = found.select(asked, *number);
        }
    }

    /// Goes to the parts of an octave that these areas are in, in the lanes asked for.
    #[cold]
    #[inline(never)]
    fn go_to_area<P: Copy>(
        &mut self,
        area: R,
        asked: R::Mask,
        law: &ForceLaw<P>,
        pieces: &mut ForceTable,
    ) {
        let mut found = [[0.0; 2]; MOST_LANES];
        for (lane, found) in found.iter_mut().take(R::LANES).enumerate() {
            *found = pieces.area(law, max(area.extract(lane), LEAST_AREA));
        }
        let [per_area, power] = [0, 1].map(|i| R::gather(|lane| found[lane][i]));
        self.per_area = per_area.select(asked, self.per_area);
        self.power = power.select(asked, self.power);
    }
}

/// A function of depth and deepening about a place: its value there, slopes over depth and over
/// deepening, half the bends (square of the depth, of the deepening), and the bend over both.
pub type Taylor2<R> = [R; 6];

/// The law about one depth and deepening, up to its bends. What grows with the hardness stands
/// apart from the edge's own.
#[derive(Clone, Copy, Debug)]
pub struct ForceExpansion<R> {
    /// The depth, m.
    pub depth: R,
    /// How much deeper than a turn ago, m.
    pub deepening: R,
    /// How far along both they give the law within 1e-4 of the force; negative where there are none.
    pub reach: [R; 2],
    /// Main force.
    pub main: Taylor2<R>,
    /// Push-off.
    pub push_off: Taylor2<R>,
    /// The edge's own.
    pub own_push_off: Taylor2<R>,
    /// Feed force.
    pub feed: Taylor2<R>,
    /// The edge's own.
    pub own_feed: Taylor2<R>,
}

impl<R: Lanes> ForceExpansion<R> {
    /// Holding nowhere.
    pub fn nowhere() -> Self {
        let none = [R::zero(); 6];
        Self {
            depth: R::zero(),
            deepening: R::zero(),
            reach: [-R::one(); 2],
            main: none,
            push_off: none,
            own_push_off: none,
            feed: none,
            own_feed: none,
        }
    }

    /// The force along them.
    #[inline(always)]
    pub fn force(&self, depth: R, deepening: R, hardness: R) -> CuttingForce<R> {
        let (x, y) = (depth - self.depth, deepening - self.deepening);
        let value = |of: Taylor2<R>| along(of, x, y)[0];
        let slope = |of: Taylor2<R>| along(of, x, y)[1];
        CuttingForce {
            main: hardness * value(self.main),
            main_slope: hardness * slope(self.main),
            push_off: hardness * value(self.push_off) + value(self.own_push_off),
            push_off_slope: hardness * slope(self.push_off) + slope(self.own_push_off),
            feed: hardness * value(self.feed) + value(self.own_feed),
            feed_slope: hardness * slope(self.feed) + slope(self.own_feed),
        }
    }
}

/// A bowl so much deeper and so much more deepened on: value, slope and half the bend over both
/// together, as the turn before is fixed and they grow alike.
#[inline(always)]
pub fn along<R: Lanes>([c, a, b, square, thicker, both]: Taylor2<R>, x: R, y: R) -> [R; 3] {
    let rises = y.times_plus(both, x.times_plus(square, a));
    let value = x.times_plus(rises, y.times_plus(y.times_plus(thicker, b), c));
    let slope = (x + x).times_plus(square, (x + y).times_plus(both, a + b));
    [
        value,
        (y + y).times_plus(thicker, slope),
        square + thicker + both,
    ]
}

impl<P: Copy> ForceLaw<P> {
    /// The force of [`ForceLaw::at`] by pieces: within 1e-6 of its value, slopes within 1e-2;
    /// `slopes` become those of the law here.
    #[inline(always)]
    pub fn near<R: Lanes>(
        &self,
        site: &mut TableCell<R>,
        pieces: &mut ForceTable,
        slopes: &mut ForceExpansion<R>,
        depth: R,
        deepening: R,
        hardness: R,
    ) -> CuttingForce<R>
    where
        P: Across<R>,
    {
        let all = depth.simd_eq(depth);
        if self
            .slopes(site, pieces, slopes, depth, deepening, all)
            .all()
        {
            slopes.force(depth, deepening, hardness)
        } else {
            slopes.reach = [-R::one(); 2];
            self.at(depth, deepening, hardness)
        }
    }

    /// Leaves the law's slopes here; in which of the lanes asked for the pieces hold the law. In
    /// others they reach nowhere. No lane knows of the others. `slopes` start as reaching nowhere.
    #[inline(always)]
    pub fn slopes<R: Lanes>(
        &self,
        site: &mut TableCell<R>,
        pieces: &mut ForceTable,
        slopes: &mut ForceExpansion<R>,
        depth: R,
        deepening: R,
        asked: R::Mask,
    ) -> R::Mask
    where
        P: Across<R>,
    {
        let mut x = depth - site.piece.0[MIDDLE];
        let mut held = x.simd_abs().simd_le(site.piece.0[REACH]);
        if !(held | !asked).all() {
            site.go_to(depth, asked & !held, self, pieces);
            x = depth - site.piece.0[MIDDLE];
            held = x.simd_abs().simd_le(site.piece.0[REACH]);
        }
        held = held & asked;
        if !held.any() {
            return held;
        }
        let value = |[constant, slope, square]: Parabola<R>| constant + x * (slope + x * square);
        let twice = x + x;
        let slope = |[_, slope, square]: Parabola<R>| slope + twice * square;
        let piece = &site.piece;
        let width = value(piece.of(WIDTH));
        let area = value(piece.of(AREA)) + width * deepening;
        held = held & area.simd_gt(R::splat(LEAST_AREA));
        let mut over = area * site.per_area - R::one();
        let within = over.simd_abs().simd_le(R::splat(SERIES_REACH));
        if !(within | !held).all() {
            site.go_to_area(area, held & !within, self, pieces);
            over = area * site.per_area - R::one();
        }
        let piece = &site.piece;
        let area_slope = slope(piece.of(AREA)) + slope(piece.of(WIDTH)) * deepening;
        let [a, b, c, d] = self.power.series().map(R::splat);
        let power = site.power * (R::one() + over * (a + over * (b + over * (c + over * d))));
        let per_area = R::one() / area;
        // Growth of the area with depth and with deepening, over the area.
        let (by_depth, by_deepening) = (area_slope * per_area, width * per_area);
        let scaled = self.specific_force.across() * R::splat(self.millimetres) * power;
        let main = scaled * value(piece.of(EDGE_POWER));
        let half = R::splat(0.5);
        let fewer = R::splat(self.exponent);
        let wider = slope(piece.of(WIDTH)) * per_area;
        let area_bend = piece.of(AREA)[2] + piece.of(WIDTH)[2] * deepening;
        let exponent = R::splat(1.0 - self.exponent);
        let grows = exponent * main;
        let power_slope = scaled * slope(piece.of(EDGE_POWER));
        let main = [
            main,
            power_slope + grows * by_depth,
            grows * by_deepening,
            grows * (area_bend * per_area - half * fewer * by_depth * by_depth)
                + power_slope * exponent * by_depth
                + scaled * piece.of(EDGE_POWER)[2],
            -half * fewer * grows * by_deepening * by_deepening,
            power_slope * exponent * by_deepening
                + grows * (wider - fewer * by_depth * by_deepening),
        ];
        // The edge's own force, less what of it is in the main force; none in a thick chip, and in
        // the thinnest it rises.
        let (length, length_slope) = (value(piece.of(EDGE)), slope(piece.of(EDGE)));
        let own = self.edge_force.across();
        let thin = area.simd_le(R::splat(THIN_CHIP) * length);
        let kept = self.held().select(thin, R::zero());
        let mut edge = main.map(|main| -kept * main);
        let whole = own.select(thin, R::zero());
        edge[0] += whole * length;
        edge[1] += whole * length_slope;
        edge[3] += whole * piece.of(EDGE)[2];
        let rubs = area.simd_le(R::splat(RUBBED) * length);
        if rubs.any() {
            let rising = self.rising();
            edge = [
                (rising * area).select(rubs, edge[0]),
                (rising * area_slope).select(rubs, edge[1]),
                (rising * width).select(rubs, edge[2]),
                (rising * area_bend).select(rubs, edge[3]),
                R::zero().select(rubs, edge[4]),
                (rising * slope(piece.of(WIDTH))).select(rubs, edge[5]),
            ];
        }
        let part = |[value, by_depth, by_deepening, square, thicker, both]: Taylor2<R>,
                    [share, rise, bend]: [R; 3]| {
            [
                value * share,
                by_depth * share + value * rise,
                by_deepening * share,
                square * share + by_depth * rise + value * bend,
                thicker * share,
                both * share + by_deepening * rise,
            ]
        };
        let ratio = self.push_ratio.across();
        let in_plane = main.map(|main| ratio * main);
        let share = |of: Parabola<R>| [value(of), slope(of), of[2]];
        let (out, on) = (share(piece.of(OUT)), share(piece.of(ALONG)));
        // At the thin chip the edge's own force bends: no further than to there, or so little that
        // it doesn't matter.
        let to_bend = (area - R::splat(THIN_CHIP) * length).simd_abs();
        let near = (half * to_bend).simd_max(R::splat(BENT) * area);
        let by_depth = (area_slope + R::splat(THIN_CHIP) * length_slope).simd_abs();
        // Behind an edge that leans back the width may go through nothing.
        let wide = width.simd_abs() + slope(piece.of(WIDTH)).simd_abs() * depth;
        let to = |kink: f64| (depth - R::splat(kink)).simd_abs();
        let [mark, arc_top] = self.kinks();
        *slopes = ForceExpansion {
            depth,
            deepening,
            reach: [
                (R::splat(DEEPER) * depth)
                    .simd_min(near / by_depth)
                    .simd_min(to(mark))
                    .simd_min(to(arc_top)),
                (R::splat(THICKER) * area).simd_min(near) / wide,
            ]
            .map(|reach| reach.select(held, -R::one())),
            main,
            push_off: part(in_plane, out),
            own_push_off: part(edge, out),
            feed: part(in_plane, on),
            own_feed: part(edge, on),
        };
        held
    }
}

#[cfg(test)]
mod tests;
