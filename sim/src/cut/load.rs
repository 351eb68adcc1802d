//! What acts on the slide: in air, and in the cut.

use crate::balance::{Load, Reaction};
use crate::cutting::{CuttingForce, ForceLaw, Pieces, Site, Slopes};
use crate::lanes::Lanes;
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

/// The slide in the cut at one step, or at several. The parameter is the edge's height; the slide
/// stands further in by what tool and work give way.
#[derive(Clone, Copy, Debug)]
pub struct Cut<'a, R = f64> {
    /// Force law.
    pub law: &'a ForceLaw,
    /// The slide's drag.
    pub drag: &'a Drag,
    /// What tool and work give way, m/N.
    pub gives: f64,
    /// Surface ahead.
    pub surface: R,
    /// The edge's height one turn ago.
    pub turn_ago: R,
    /// Hardness here over the table's.
    pub hardness: R,
    /// Share of the engaged width that is in the work: below 1 at both ends.
    pub engaged: R,
    /// Drag here over its mean along the stroke.
    pub local_drag: f64,
    /// Preload out of the cut at height 0, N.
    pub preload: f64,
    /// Its growth into the cut, N/m.
    pub rate: f64,
    /// Push-off that a tool off centre height adds per main force: `into * press * h / r`.
    pub height_share: f64,
    /// Whether the cut eases the drag; before it has begun, the hand drag holds.
    pub eased: bool,
}

/// The load of some steps about where they were looked at: push and drag along the slopes of the
/// force law, what grows with the hardness apart from what the edge asks for itself.
#[derive(Clone, Copy, Debug)]
pub struct Felt<R> {
    depth: R,
    deepening: R,
    reach: [R; 2],
    push: [R; 4],
    own_push: [R; 4],
    /// Over what is left of it while cutting.
    drag: [R; 4],
    own_drag: [R; 4],
    hand: R,
}

impl<R: Lanes> Felt<R> {
    /// Holds nowhere.
    pub fn nowhere() -> Self {
        let (zero, none) = (R::zero(), [R::zero(); 4]);
        Self {
            depth: zero,
            deepening: zero,
            reach: [-R::one(); 2],
            push: none,
            own_push: none,
            drag: none,
            own_drag: none,
            hand: zero,
        }
    }
}

/// Share of the main force that must be left before the drag bends.
const MARGIN: f64 = 0.1;

impl<'a> Cut<'a> {
    /// The same machine with other conditions at the edge.
    #[inline(always)]
    pub fn at_edge<R>(&self, surface: R, turn_ago: R, hardness: R, engaged: R) -> Cut<'a, R> {
        Cut {
            surface,
            turn_ago,
            hardness,
            engaged,
            law: self.law,
            drag: self.drag,
            gives: self.gives,
            local_drag: self.local_drag,
            preload: self.preload,
            rate: self.rate,
            height_share: self.height_share,
            eased: self.eased,
        }
    }
}

impl<R: Lanes> Cut<'_, R> {
    /// Force on the tool with the edge at height `e`.
    #[inline(always)]
    pub fn force(&self, e: R) -> CuttingForce<R> {
        let (depth, deepening) = self.depth(e);
        self.at_tool(self.law.at(depth, deepening, self.hardness))
    }

    /// What of the law's force is felt.
    #[inline(always)]
    fn at_tool(&self, f: CuttingForce<R>) -> CuttingForce<R> {
        let share = self.engaged;
        let off_centre = R::splat(self.height_share);
        CuttingForce {
            main: share * f.main,
            main_slope: share * f.main_slope,
            push_off: share * (f.push_off + off_centre * f.main),
            push_off_slope: share * (f.push_off_slope + off_centre * f.main_slope),
            feed: share * f.feed,
            feed_slope: share * f.feed_slope,
        }
    }

    /// Everything at an edge height.
    #[inline(always)]
    pub fn reaction(&self, e: R) -> Reaction<R> {
        self.reaction_to(e, &self.force(e))
    }

    /// The same by the pieces of the force law, from where these steps cut last; leaves its slopes
    /// here.
    #[inline(always)]
    pub fn reaction_near(
        &self,
        e: R,
        site: &mut Site<R>,
        pieces: &mut Pieces,
        slopes: &mut Slopes<R>,
    ) -> Reaction<R> {
        let (depth, deepening) = self.depth(e);
        let force = self
            .law
            .near(site, pieces, slopes, depth, deepening, self.hardness);
        self.reaction_to(e, &self.at_tool(force))
    }

    /// What the slide feels in the cut about where the law has these slopes, the whole edge being
    /// in the work.
    #[inline(always)]
    pub fn felt(&self, slopes: &Slopes<R>) -> Felt<R> {
        let (zero, one) = (R::zero(), R::one());
        let sign = |x: R| one.select(x.simd_ge(zero), -one);
        let press = R::splat(self.drag.press);
        let main = self.hardness * slopes.main[0];
        let feed = self.hardness * slopes.feed[0] + slopes.own_feed[0];
        let ways = R::splat(self.drag.weight) + press * main;
        // Where the slide is about to lift, or to be fed the other way, the drag bends.
        let bends = ways
            .simd_abs()
            .simd_le(R::splat(MARGIN) * (press * main).simd_abs())
            | feed.simd_abs().simd_le(R::splat(MARGIN) * main.simd_abs());
        let on_ways = R::splat(self.drag.friction) * sign(ways);
        let at_side = R::splat(self.drag.side) * sign(feed);
        let off_centre = R::splat(self.height_share);
        let both = |a: [R; 4], a_share: R, b: [R; 4], b_share: R| {
            std::array::from_fn(|i| a_share * a[i] + b_share * b[i])
        };
        Felt {
            depth: slopes.depth,
            deepening: slopes.deepening,
            reach: slopes.reach.map(|reach| (-one).select(bends, reach)),
            push: both(slopes.push_off, one, slopes.main, off_centre),
            own_push: slopes.own_push_off,
            drag: both(slopes.main, on_ways * press, slopes.feed, at_side),
            own_drag: slopes.own_feed.map(|own| at_side * own),
            hand: on_ways * R::splat(self.drag.weight) + R::splat(self.drag.gib),
        }
    }

    /// The load at an edge height, as felt.
    #[inline(always)]
    pub fn reaction_felt(&self, e: R, felt: &Felt<R>) -> Reaction<R> {
        let (depth, deepening) = self.depth(e);
        let (x, y) = (depth - felt.depth, deepening - felt.deepening);
        let twice = x + x;
        // The turn before is fixed, so that depth and deepening grow alike.
        let of = |[constant, a, b, square]: [R; 4]| {
            let bend = x * square;
            (constant + x * (a + bend) + y * b, a + b + twice * square)
        };
        let hardness = self.hardness;
        let (push, push_slope) = of(felt.push);
        let (own, own_slope) = of(felt.own_push);
        let (push, push_slope) = (hardness * push + own, hardness * push_slope + own_slope);
        let (drag, drag_slope) = of(felt.drag);
        let (own, own_slope) = of(felt.own_drag);
        let (drag, drag_slope) = (hardness * drag + own, hardness * drag_slope + own_slope);
        let share = R::splat(self.drag.left_cutting * self.local_drag);
        let (gives, rate) = (R::splat(self.gives), R::splat(self.rate));
        Reaction {
            position: e + gives * push,
            position_slope: R::one() + gives * push_slope,
            push: push + R::splat(self.preload) + rate * e,
            push_slope: push_slope + rate,
            limit: share * (felt.hand + drag) + R::splat(self.drag.seal),
            limit_slope: share * drag_slope,
        }
    }

    /// Where what is felt holds.
    #[inline(always)]
    pub fn holds(&self, e: R, felt: &Felt<R>) -> R::SimdBool {
        let (depth, deepening) = self.depth(e);
        (depth - felt.depth).simd_abs().simd_le(felt.reach[0])
            & (deepening - felt.deepening)
                .simd_abs()
                .simd_le(felt.reach[1])
    }

    /// Depth of the edge, and how much deeper than a turn ago it stands.
    #[inline(always)]
    fn depth(&self, e: R) -> (R, R) {
        // A turn that ran in air left the surface itself to be cut.
        (e - self.surface, e - self.turn_ago.simd_max(self.surface))
    }

    #[inline(always)]
    fn reaction_to(&self, e: R, f: &CuttingForce<R>) -> Reaction<R> {
        let (limit, limit_slope) = if self.eased {
            let limit = self.drag.cutting(f.main, f.feed, self.local_drag);
            (
                limit.limit,
                limit.over_main * f.main_slope + limit.over_feed * f.feed_slope,
            )
        } else {
            (R::splat(self.drag.hand()), R::zero())
        };
        let gives = R::splat(self.gives);
        let rate = R::splat(self.rate);
        Reaction {
            position: e + gives * f.push_off,
            position_slope: R::one() + gives * f.push_off_slope,
            push: f.push_off + R::splat(self.preload) + rate * e,
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
            return (position, self.reaction_to(position, &CuttingForce::none()));
        }
        // e + gives * Fp(e) = position: between the surface and the position itself, as long as
        // the tool is pushed off; a tool that hooks in stands deeper than its slide.
        let mut low = surface;
        let mut high = position;
        let mut e = near.clamp(low, high);
        let mut here = if e == near { there } else { self.at(e) };
        for _ in 0..60 {
            let miss = here.position - position;
            let by = -miss / here.position_slope;
            if miss.abs() <= STANDS_WITHIN {
                // The rest along the slopes: its error is of the order of the square.
                return (e + by, here.moved(by));
            }
            if miss > 0.0 {
                high = high.min(e);
            } else {
                low = low.max(e);
                if e >= high {
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
