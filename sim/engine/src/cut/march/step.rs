//! A block of steps: what the edges meet, the load expanded there, and where the slides come to rest.

use crate::balance::{Clamped, SlipLimit};
use crate::cut::load::LoadExpansion;
use crate::lanes::{Eight, Lanes, Layout, Which};

/// Nothing in any lane.
pub(super) const ZERO: Eight = Eight::ZERO;

/// A block of lines along the work: what the edges meet there this turn, and what is remembered of
/// the turns before.
#[derive(Clone, Copy, Default)]
pub(super) struct Meridian<R = Eight> {
    pub(super) surface: R,
    /// What the edges left a turn ago and before that, and where they are to be expected.
    pub(super) turn_ago: R,
    pub(super) before: R,
    pub(super) near: R,
    /// Over the table's.
    pub(super) hardness: R,
    /// Share of the edge that is between the work's ends, and of that what slots leave.
    pub(super) inside: R,
    pub(super) engaged: R,
    /// Which way the slides moved a turn ago, and for how many turns they have.
    pub(super) way: R,
    pub(super) held: R,
}

impl Meridian {
    /// Takes in where the edges came to rest and which way the slides went, and where the edges are
    /// to be expected next: carried on from one, two and three turns ago, as long as a slide has
    /// moved the same way, up to the change of their change. `turns` have been taken.
    #[inline(always)]
    pub(super) fn look_back(&mut self, rest: &Rest, turns: usize) {
        let same = self.way.simd_eq(rest.way);
        self.held = self.held.select(same, ZERO) + Eight::splat(1.0);
        self.way = rest.way;
        let (last, before, third) = (rest.edge, self.turn_ago, self.before);
        (self.turn_ago, self.before) = (last, before);
        self.near = last;
        if turns >= 3 {
            let change = last - before;
            let of_change = change - (before - third);
            let once = change.select(self.held.simd_ge(Eight::splat(2.0)), ZERO);
            let twice = of_change.select(self.held.simd_ge(Eight::splat(3.0)), ZERO);
            self.near = last + once + twice;
        }
    }

    /// At one step.
    #[inline(always)]
    pub(super) fn at<L: Layout>(&self, step: usize) -> Meridian<L> {
        Meridian {
            surface: L::at(self.surface, step),
            turn_ago: L::at(self.turn_ago, step),
            before: L::at(self.before, step),
            near: L::at(self.near, step),
            hardness: L::at(self.hardness, step),
            inside: L::at(self.inside, step),
            engaged: L::at(self.engaged, step),
            way: L::at(self.way, step),
            held: L::at(self.held, step),
        }
    }
}

/// What a step's expansion is in its block's.
pub(crate) trait Expansions: Layout {
    /// At one step; `room` is for it where it isn't the block's own.
    fn felt<'f>(
        of: &'f LoadExpansion<Eight>,
        step: usize,
        room: &'f mut LoadExpansion<Self>,
    ) -> &'f LoadExpansion<Self>;

    /// Puts another in at one step, where asked for.
    fn put_felt(
        of: &mut LoadExpansion<Eight>,
        step: usize,
        felt: LoadExpansion<Self>,
        asked: Self::Mask,
    );
}

impl Expansions for f64 {
    #[inline(always)]
    fn felt<'f>(
        of: &'f LoadExpansion<Eight>,
        step: usize,
        room: &'f mut LoadExpansion<Self>,
    ) -> &'f LoadExpansion<Self> {
        *room = of.lane(step % Eight::LANES);
        room
    }

    #[inline(always)]
    fn put_felt(
        of: &mut LoadExpansion<Eight>,
        step: usize,
        felt: LoadExpansion<Self>,
        asked: bool,
    ) {
        if asked {
            of.put(step % Eight::LANES, &felt, 0);
        }
    }
}

impl Expansions for Eight {
    #[inline(always)]
    fn felt<'f>(
        of: &'f LoadExpansion<Eight>,
        _step: usize,
        _room: &'f mut LoadExpansion<Self>,
    ) -> &'f LoadExpansion<Self> {
        of
    }

    #[inline(always)]
    fn put_felt(
        of: &mut LoadExpansion<Eight>,
        _step: usize,
        felt: LoadExpansion<Self>,
        asked: Which,
    ) {
        *of = felt.or(asked, *of);
    }
}

/// The load of a block of steps about where the edge is to be expected, and the limit to which a
/// slide slips that goes on as a turn ago.
#[derive(Clone, Copy)]
pub(super) struct StepLoad {
    pub(super) push: [Eight; 3],
    pub(super) limit: [Eight; 3],
    pub(super) slip_limit: SlipLimit<Eight>,
}

/// Where the slides come to rest at a block of steps.
#[derive(Clone, Copy, Default)]
pub(super) struct Rest<R = Eight> {
    pub(super) slide: R,
    pub(super) edge: R,
    /// Of tool and preload together, N.
    pub(super) push: R,
    pub(super) drag: R,
    pub(super) drive: R,
    /// Which way they moved.
    pub(super) way: R,
}

/// What came of a look at a step, or at a block of steps.
#[derive(Clone, Copy)]
pub(super) struct Look<R: Lanes = Eight> {
    /// Where the slides come to rest by the expansion of the load.
    pub(super) rest: Rest<R>,
    /// Whose rest that is, surely.
    pub(super) sure: R::Mask,
    /// Where the expansion holds there.
    pub(super) holds: R::Mask,
    /// Which way those are pulled that don't stay.
    pub(super) pulled: R,
}

impl<R: Lanes> Look<R> {
    /// Of where slides come to rest, and where the expansion holds there.
    #[inline(always)]
    pub(super) fn new(rest: Rest<R>, there: &Clamped<R>, holds: R::Mask) -> Self {
        Self {
            rest,
            sure: there.sure & holds,
            holds,
            pulled: there.pulled,
        }
    }
}

impl Look {
    /// At one step.
    #[inline(always)]
    pub(super) fn at<L: Layout>(&self, step: usize) -> Look<L> {
        let rest = &self.rest;
        Look {
            rest: Rest {
                slide: L::at(rest.slide, step),
                edge: L::at(rest.edge, step),
                push: L::at(rest.push, step),
                drag: L::at(rest.drag, step),
                drive: L::at(rest.drive, step),
                way: L::at(rest.way, step),
            },
            sure: L::which(self.sure, step),
            holds: L::which(self.holds, step),
            pulled: L::at(self.pulled, step),
        }
    }
}

impl Rest {
    /// Puts in that of one step.
    #[inline(always)]
    pub(super) fn put<L: Layout>(&mut self, step: usize, of: &Rest<L>) {
        of.slide.put(&mut self.slide, step);
        of.edge.put(&mut self.edge, step);
        of.push.put(&mut self.push, step);
        of.drag.put(&mut self.drag, step);
        of.drive.put(&mut self.drive, step);
        of.way.put(&mut self.way, step);
    }
}

impl<R: Lanes> Rest<R> {
    #[inline(always)]
    pub(super) fn new(edge: R, at: &Clamped<R>) -> Self {
        Self {
            slide: at.position,
            edge,
            push: at.push,
            drag: at.limit,
            drive: at.drive,
            way: at.way,
        }
    }

    #[inline(always)]
    pub(super) fn or(self, so: R::Mask, other: Self) -> Self {
        Self {
            slide: self.slide.select(so, other.slide),
            edge: self.edge.select(so, other.edge),
            push: self.push.select(so, other.push),
            drag: self.drag.select(so, other.drag),
            drive: self.drive.select(so, other.drive),
            way: self.way.select(so, other.way),
        }
    }
}
