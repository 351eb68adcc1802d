//! What acts on the slide: in air, and in the cut.

use crate::arithmetic::{clamp, max, min};
use crate::balance::{Load, Quadratic, Reaction};
use crate::cutting::{
    CuttingForce, ForceExpansion, ForceLaw, ForceTable, TableCell, Taylor2, along,
};
use crate::lanes::{Across, Lanes, Mask as _};
use crate::machine::slide::Drag;

/// The slide in air: a preload and the hand drag.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Air {
    /// Preload out of the cut where the slide is now, N.
    pub preload: f64,
    /// Its growth into the cut, N/m.
    pub rate: f64,
    /// Hand drag once moving, N.
    pub limit: f64,
}

impl Load for Air {
    fn at(&self, e: f64) -> Reaction {
        Reaction {
            position: e,
            position_slope: 1.0,
            push: self.preload + self.rate * e,
            push_slope: self.rate,
            limit: self.limit,
            limit_slope: 0.0,
        }
    }

    fn stand(&self, position: f64, _near: f64) -> (f64, Reaction) {
        (position, self.at(position))
    }

    fn kinks(&self) -> &[f64] {
        &[]
    }
}

/// What the slide meets at one place whatever tool cuts; of one lathe, or of several that are lanes.
#[derive(Clone, Copy, Debug)]
pub struct Acting<'a, P = f64> {
    /// The slide's drag.
    pub drag: &'a Drag<P>,
    /// What tool and work give way, m/N.
    pub gives: P,
    /// Drag here over its mean along the stroke.
    pub local_drag: P,
    /// Preload out of the cut at height 0, N.
    pub preload: P,
    /// Its growth into the cut, N/m.
    pub rate: P,
    /// Push-off that a tool off centre height adds per main force: `into * press * h / r`.
    pub height_share: P,
    /// Whether the cut eases the drag; before it has begun, the hand drag holds.
    pub eased: bool,
}

/// The slide in the cut at one step, or at several; of one lathe, or of several that are lanes. The
/// parameter is the edge's height; the slide stands further in by what tool and work give way.
#[derive(Clone, Copy, Debug)]
pub struct Cut<'a, R = f64, P = f64> {
    /// Force law.
    pub law: &'a ForceLaw<P>,
    /// What acts whatever cuts.
    pub acting: Acting<'a, P>,
    /// Surface ahead.
    pub surface: R,
    /// The edge's height one turn ago.
    pub turn_ago: R,
    /// Hardness here over the table's.
    pub hardness: R,
    /// Share of the engaged width that is in the work: below 1 at both ends.
    pub engaged: R,
}

/// The load of some steps about where they were looked at, up to the bends of the force law.
#[derive(Clone, Copy, Debug)]
pub struct LoadExpansion<R> {
    depth: R,
    deepening: R,
    reach: [R; 2],
    /// Share of the edge that was in the work, and how hard that was.
    share: R,
    hardness: R,
    push: Taylor2<R>,
    /// Over what is left of it while cutting, without seals.
    drag: Taylor2<R>,
    /// What push and drag grow by with the hardness: there, and their slopes over depth and
    /// deepening.
    harder_push: [R; 3],
    harder_drag: [R; 3],
}

/// How much harder or softer the work may be than where the load was looked at: that what grows
/// with it bends is then less than 1e-4 of it.
const HARDER: f64 = 1.0 / 20.0;

/// Half of how far over the surface nothing is felt of the cut, m: more than any tool backs off.
const AIR: f64 = 0.5;

impl<R: Lanes> LoadExpansion<R> {
    /// Holds nowhere.
    pub fn nowhere() -> Self {
        let (zero, none) = (R::zero(), [R::zero(); 6]);
        Self {
            depth: zero,
            deepening: zero,
            reach: [-R::one(); 2],
            share: zero,
            hardness: zero,
            push: none,
            drag: none,
            harder_push: [zero; 3],
            harder_drag: [zero; 3],
        }
    }

    /// This where `so`, the other elsewhere.
    #[inline(always)]
    pub fn or(self, so: R::Mask, other: Self) -> Self {
        let bowl = |a: Taylor2<R>, b: Taylor2<R>| std::array::from_fn(|i| a[i].select(so, b[i]));
        let three = |a: [R; 3], b: [R; 3]| std::array::from_fn(|i| a[i].select(so, b[i]));
        Self {
            depth: self.depth.select(so, other.depth),
            deepening: self.deepening.select(so, other.deepening),
            reach: std::array::from_fn(|i| self.reach[i].select(so, other.reach[i])),
            share: self.share.select(so, other.share),
            hardness: self.hardness.select(so, other.hardness),
            push: bowl(self.push, other.push),
            drag: bowl(self.drag, other.drag),
            harder_push: three(self.harder_push, other.harder_push),
            harder_drag: three(self.harder_drag, other.harder_drag),
        }
    }
}

impl<R: Lanes> LoadExpansion<R> {
    /// One lane's.
    pub fn lane(&self, lane: usize) -> LoadExpansion<f64> {
        let all = |numbers: &[R; 6]| std::array::from_fn(|i| numbers[i].extract(lane));
        let three = |numbers: &[R; 3]| std::array::from_fn(|i| numbers[i].extract(lane));
        LoadExpansion {
            depth: self.depth.extract(lane),
            deepening: self.deepening.extract(lane),
            reach: std::array::from_fn(|i| self.reach[i].extract(lane)),
            share: self.share.extract(lane),
            hardness: self.hardness.extract(lane),
            push: all(&self.push),
            drag: all(&self.drag),
            harder_push: three(&self.harder_push),
            harder_drag: three(&self.harder_drag),
        }
    }

    /// Puts one lane's of another into one lane of this.
    #[inline(always)]
    pub fn put<S: Lanes>(&mut self, lane: usize, other: &LoadExpansion<S>, from: usize) {
        // Once, and not for every number.
        assert!(lane < R::LANES && from < S::LANES, "no such lane");
        let one = |to: &mut R, other: &S| to.replace(lane, other.extract(from));
        one(&mut self.depth, &other.depth);
        one(&mut self.deepening, &other.deepening);
        one(&mut self.share, &other.share);
        one(&mut self.hardness, &other.hardness);
        for (to, other) in [
            (&mut self.reach[..], &other.reach[..]),
            (&mut self.push[..], &other.push[..]),
            (&mut self.drag[..], &other.drag[..]),
            (&mut self.harder_push[..], &other.harder_push[..]),
            (&mut self.harder_drag[..], &other.harder_drag[..]),
        ] {
            for (to, other) in to.iter_mut().zip(other) {
                one(to, other);
            }
        }
    }
}

/// Depth of an edge, and how much deeper than a turn ago it stands.
#[inline(always)]
fn depth<R: Lanes>(e: R, surface: R, turn_ago: R) -> (R, R) {
    // A turn that ran in air left the surface itself to be cut.
    let left = turn_ago.select(turn_ago.simd_gt(surface), surface);
    (e - surface, e - left)
}

/// Share by which the main force grows or falls over the whole reach at most, the hardness apart.
const GROWS: f64 = 0.11;
/// The feed force is so many times what it may change over the whole reach, or the slide might be fed
/// the other way, where the drag bends; by the slopes, so twice for what they leave out.
const TURNS: f64 = 2.0;

impl<'a, P: Copy> Cut<'a, f64, P> {
    /// The same machine with other conditions at the edge.
    #[inline(always)]
    pub fn at_edge<R>(&self, surface: R, turn_ago: R, hardness: R, engaged: R) -> Cut<'a, R, P> {
        Cut {
            surface,
            turn_ago,
            hardness,
            engaged,
            law: self.law,
            acting: self.acting,
        }
    }
}

impl<R: Lanes, P: Across<R>> Cut<'_, R, P> {
    /// Force on the tool with the edge at height `e`.
    #[inline(always)]
    pub fn force(&self, e: R) -> CuttingForce<R> {
        let (depth, deepening) = self.depth(e);
        self.acting
            .at_tool(self.engaged, self.law.at(depth, deepening, self.hardness))
    }

    /// Everything at an edge height.
    #[inline(always)]
    pub fn reaction(&self, e: R) -> Reaction<R> {
        self.acting.reaction_to(e, &self.force(e))
    }

    /// What the slide feels in the cut about where the law has these slopes.
    #[inline(always)]
    pub fn felt(&self, slopes: &ForceExpansion<R>) -> LoadExpansion<R> {
        let (zero, one) = (R::zero(), R::one());
        let (share, drag) = (self.engaged, self.acting.drag);
        let main = share * self.hardness * slopes.main[0];
        let feed = share * (self.hardness * slopes.feed[0] + slopes.own_feed[0]);
        let (rubs, ways) = (drag.rubs(main, feed), drag.on_ways(main));
        let press = drag.press.across();
        // Where the slide is about to lift, or to be fed the other way, the drag bends: no further
        // than to there, with what the hardness may change set aside.
        let harder = R::splat(HARDER) * (press * share * slopes.main[0]).simd_abs();
        let room = ways.simd_abs() - harder;
        let whole = R::splat(GROWS) * (press * main).simd_abs();
        let narrow = (room / whole).select(room.simd_lt(whole), one);
        let feeds = |i: usize| (self.hardness * slopes.feed[i] + slopes.own_feed[i]).simd_abs();
        let changes = slopes.reach[0].times_plus(feeds(1), slopes.reach[1] * feeds(2));
        let changes = share * R::splat(HARDER).times_plus(slopes.feed[0].simd_abs(), changes);
        let turns = feed.simd_abs().simd_lt(R::splat(TURNS) * changes);
        let bends = room.simd_le(zero) | turns;
        let (over_main, over_feed) = (share * rubs.over_main, share * rubs.over_feed);
        let off_centre = self.acting.off_centre(share);
        let both = |a: Taylor2<R>, a_share: R, b: Taylor2<R>, b_share: R| -> Taylor2<R> {
            std::array::from_fn(|i| a_share * a[i] + b_share * b[i])
        };
        let harder_push = both(slopes.push_off, share, slopes.main, off_centre);
        let harder_drag = both(slopes.main, over_main, slopes.feed, over_feed);
        let with = |own: Taylor2<R>, own_share: R, harder: &Taylor2<R>| {
            std::array::from_fn(|i| own_share * own[i] + self.hardness * harder[i])
        };
        let mut rubbing: Taylor2<R> = with(slopes.own_feed, over_feed, &harder_drag);
        rubbing[0] += rubs.limit;
        LoadExpansion {
            depth: slopes.depth,
            deepening: slopes.deepening,
            reach: slopes
                .reach
                .map(|reach| (-one).select(bends, reach * narrow)),
            share,
            hardness: self.hardness,
            push: with(slopes.own_push_off, share, &harder_push),
            drag: rubbing,
            harder_push: std::array::from_fn(|i| harder_push[i]),
            harder_drag: std::array::from_fn(|i| harder_drag[i]),
        }
    }

    /// The same, looked at anew with the edge at height `e` in the lanes asked for: by the pieces
    /// of the force law, or over the surface, where nothing pushes. Where the pieces don't hold
    /// the law it holds nowhere.
    #[inline(always)]
    pub fn felt_near(&self, e: R, pieces: &mut ForceTable, asked: R::Mask) -> LoadExpansion<R> {
        let (depth, deepening) = self.depth(e);
        let slopes = &mut ForceExpansion::nowhere();
        let air = depth.simd_le(R::zero());
        let (law, cuts) = (self.law, asked & !air);
        if cuts.any() {
            let site = &mut TableCell::nowhere();
            law.slopes(site, pieces, slopes, depth, deepening, cuts);
        }
        let felt = self.felt(slopes);
        if !(air & asked).any() {
            return felt;
        }
        let mut drag = [R::zero(); 6];
        drag[0] = self.acting.drag.rubs(R::zero(), R::zero()).limit;
        let none = LoadExpansion {
            depth: R::splat(-AIR),
            reach: [R::splat(AIR), R::splat(f64::INFINITY)],
            share: self.engaged,
            hardness: self.hardness,
            drag,
            ..LoadExpansion::nowhere()
        };
        none.or(air, felt)
    }

    /// The load about an edge height, as felt.
    #[inline(always)]
    pub fn quadratic_at(&self, e: R, felt: &LoadExpansion<R>) -> Quadratic<R> {
        let (depth, deepening) = self.depth(e);
        let (x, y) = (depth - felt.depth, deepening - felt.deepening);
        let harder = self.hardness - felt.hardness;
        let of = |[c, a, b, square, thicker, both]: Taylor2<R>, harder_by: [R; 3]| {
            let of = |i: usize, softer: R| harder.times_plus(harder_by[i], softer);
            along([of(0, c), of(1, a), of(2, b), square, thicker, both], x, y)
        };
        let [drag, drag_slope, drag_square] = of(felt.drag, felt.harder_drag);
        let left: R = self.acting.drag.left(self.acting.local_drag);
        let limit = [
            left.times_plus(drag, self.acting.drag.seal.across()),
            left * drag_slope,
            left * drag_square,
        ];
        self.acting
            .quadratic_at(e, of(felt.push, felt.harder_push), limit)
    }

    /// Where what is felt holds.
    #[inline(always)]
    pub fn is_valid_at(&self, e: R, felt: &LoadExpansion<R>) -> R::Mask {
        let harder = (self.hardness - felt.hardness).simd_abs();
        self.reaches(e, felt) & self.engaged.simd_eq(felt.share) & harder.simd_le(R::splat(HARDER))
    }

    /// Where what is felt holds as far as the edge's height tells.
    #[inline(always)]
    pub fn reaches(&self, e: R, felt: &LoadExpansion<R>) -> R::Mask {
        let (depth, deepening) = self.depth(e);
        (depth - felt.depth).simd_abs().simd_le(felt.reach[0])
            & (deepening - felt.deepening)
                .simd_abs()
                .simd_le(felt.reach[1])
    }

    /// Depth of the edge, and how much deeper than a turn ago it stands.
    #[inline(always)]
    fn depth(&self, e: R) -> (R, R) {
        depth(e, self.surface, self.turn_ago)
    }
}

impl<P: Copy> Acting<'_, P> {
    /// Push-off per main force of the law that a tool off centre height adds, with so much of the
    /// edge in the work.
    #[inline(always)]
    fn off_centre<R: Lanes>(&self, engaged: R) -> R
    where
        P: Across<R>,
    {
        engaged * self.height_share.across()
    }

    /// What of a law's force is felt, with so much of the edge in the work.
    #[inline(always)]
    pub fn at_tool<R: Lanes>(&self, engaged: R, f: CuttingForce<R>) -> CuttingForce<R>
    where
        P: Across<R>,
    {
        let off_centre = self.off_centre(engaged);
        CuttingForce {
            main: engaged * f.main,
            main_slope: engaged * f.main_slope,
            push_off: engaged * f.push_off + off_centre * f.main,
            push_off_slope: engaged * f.push_off_slope + off_centre * f.main_slope,
            feed: engaged * f.feed,
            feed_slope: engaged * f.feed_slope,
        }
    }

    /// What acts about height `e` of the edge, where push-off and friction limit go by these
    /// quadratics.
    #[inline(always)]
    pub fn quadratic_at<R: Lanes>(&self, e: R, push: [R; 3], limit: [R; 3]) -> Quadratic<R>
    where
        P: Across<R>,
    {
        let rate = self.rate.across();
        Quadratic {
            from: e,
            gives: self.gives.across(),
            push,
            limit,
            hold: [rate.times_plus(e, self.preload.across()), rate],
        }
    }

    /// Everything that acts with the edge at height `e` and this force on the tool.
    #[inline(always)]
    pub fn reaction_to<R: Lanes>(&self, e: R, f: &CuttingForce<R>) -> Reaction<R>
    where
        P: Across<R>,
    {
        let (limit, limit_slope) = if self.eased {
            let limit = self.drag.cutting(f.main, f.feed, self.local_drag);
            (
                limit.limit,
                limit.over_main * f.main_slope + limit.over_feed * f.feed_slope,
            )
        } else {
            (self.drag.by_hand(), R::zero())
        };
        let gives = self.gives.across();
        let rate = self.rate.across();
        Reaction {
            position: e + gives * f.push_off,
            position_slope: R::one() + gives * f.push_off_slope,
            push: f.push_off + self.preload.across() + rate * e,
            push_slope: f.push_off_slope + rate,
            limit,
            limit_slope,
        }
    }
}

impl Load for Cut<'_> {
    #[inline]
    fn at(&self, e: f64) -> Reaction {
        self.reaction(e)
    }

    fn stand(&self, position: f64, near: f64) -> (f64, Reaction) {
        self.stand_from(position, near, self.at(near))
    }

    fn stand_from(&self, position: f64, near: f64, there: Reaction) -> (f64, Reaction) {
        let surface = self.surface;
        if position <= surface {
            return (
                position,
                self.acting.reaction_to(position, &CuttingForce::none()),
            );
        }
        // e + gives * Fp(e) = position: between the surface and the position itself, as long as
        // the tool is pushed off; a tool that hooks in stands deeper than its slide.
        let mut low = surface;
        let mut high = position;
        let hooks_there = there.position < near;
        let mut e = clamp(near, low, if hooks_there { max(near, high) } else { high });
        let mut here = if e == near { there } else { self.at(e) };
        for _ in 0..60 {
            let miss = here.position - position;
            let by = -miss / here.position_slope;
            if miss.abs() <= STANDS_WITHIN {
                // The rest along the slopes: its error is of the order of the square.
                return (e + by, here.moved(by));
            }
            if miss > 0.0 {
                high = min(high, e);
            } else {
                low = max(low, e);
                let hooked = here.position < e;
                if e >= high || (hooked && e + by >= high) {
                    high = position + (e - position).abs() * 2.0 - 2.0 * miss;
                }
            }
            let newton = e + by;
            let next = if here.position_slope > 0.0 && newton > low && newton < high {
                newton
            } else {
                0.5 * (low + high)
            };
            if next == e {
                break;
            }
            e = next;
            here = self.at(e);
        }
        (e, here)
    }

    fn kinks(&self) -> &[f64] {
        std::slice::from_ref(&self.surface)
    }
}

/// How close to the slide's position the edge's height is sought before the last step along the
/// slopes, m.
const STANDS_WITHIN: f64 = 1e-9;

#[cfg(test)]
mod tests;
