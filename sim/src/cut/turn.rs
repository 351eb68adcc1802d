//! A whole turn of a pass at once: what the slide did a turn ago is tried again, many steps side
//! by side, and put right where it does something else now.
//!
//! In the cut the slide has one level of drag and goes to `clamp(where it was, low, high)`, where
//! the bounds hang on the surface, on the edge's height a turn ago and on the guide, but not on
//! the step before. So the load is looked at for all steps together, once where the edge is to be
//! expected; that gives the bound where the slide moves, and, once the clamp has gone step after
//! step, where the edge stands where it stays. Where the bound lies behind it, the slide stays
//! instead of moving; where it can't stay, it goes to its bound by what is felt there. A step whose
//! bound can't be relied on (an open gap in air, a law with several balances) is settled alone.
//!
//! From turn to turn a step meets almost the same, so what was felt there is kept, bends and all,
//! and the law itself is looked at again only where the depth or what the turn before left has
//! changed by a twenty-fourth, or the hardness by a twentieth: forces stay within 1e-4, mostly a
//! hundredth of that. At the ends the law is looked at every turn.

use crate::balance::{Body, CLOSE, CLOSE_UNBENT, Link, Reaction, bound, stand};
use crate::cutting::{ForceLaw, Pieces, Site, Slopes};
use crate::lanes::{Four, Lanes, Mask};
use crate::record::Counters;

use super::load::{Cut, Felt};

mod steps;

use steps::AtEdge;
pub(super) use steps::Rests;

/// Steps side by side.
const WIDTH: usize = Four::LANES;
/// The bits of as many.
const ALL: u64 = (1 << WIDTH) - 1;
/// Within this share of the main force the push-off of a tool off centre height is as felt.
pub(super) const HEIGHT_SHARE_KEPT: f64 = 1e-4;
/// Laws whose pieces are kept: of roughing and finishing, feeding in and out.
pub(super) const LAWS_KEPT: usize = 4;

/// The steps of one turn, and what is remembered from the turns before.
pub(super) struct Turn {
    steps: usize,
    edge: AtEdge,
    /// Which way the slide moves at each step, as a turn ago until found otherwise, and for how
    /// many turns it has.
    ways: Vec<f64>,
    held: Vec<f64>,
    /// Where they cut, and what the law is made of there; the pieces of other laws are kept.
    sites: Vec<Site<Four>>,
    felt: Vec<Felt<Four>>,
    /// What the main force adds to the push-off, as felt.
    height_share: f64,
    pieces: Pieces,
    others: Vec<Pieces>,
    /// The load where the edge is expected.
    there: Vec<Reaction<Four>>,
    rests: Rests,
    /// Which steps go as foretold, in bits.
    sure: Vec<u64>,
}

impl Turn {
    pub(super) fn new(steps: usize, law: &ForceLaw) -> Self {
        let all = steps.next_multiple_of(WIDTH);
        let empty = || vec![0.0; all];
        Self {
            steps,
            edge: AtEdge::new(all),
            ways: empty(),
            held: empty(),
            sites: vec![Site::nowhere(); all / WIDTH],
            felt: vec![Felt::nowhere(); all / WIDTH],
            height_share: f64::INFINITY,
            pieces: Pieces::new(law),
            others: Vec::new(),
            there: vec![Reaction::default(); all / WIDTH],
            rests: Rests::new(all),
            sure: vec![0; all / WIDTH],
        }
    }

    /// The same room for the first turn of another pass.
    pub(super) fn begin(&mut self, law: &ForceLaw) {
        if !self.pieces.fit(law) {
            let kept = self.others.iter().position(|pieces| pieces.fit(law));
            let pieces = match kept {
                Some(at) => self.others.swap_remove(at),
                None => Pieces::new(law),
            };
            let last = std::mem::replace(&mut self.pieces, pieces);
            self.others.truncate(LAWS_KEPT - 1);
            self.others.insert(0, last);
        }
        self.sites.fill(Site::nowhere());
        self.felt.fill(Felt::nowhere());
        self.height_share = f64::INFINITY;
        self.ways.fill(0.0);
        self.held.fill(0.0);
    }

    /// Steps in it.
    pub(super) fn steps(&self) -> usize {
        self.steps
    }

    pub(super) fn surface_mut(&mut self) -> &mut [f64] {
        &mut self.edge.surface[..self.steps]
    }

    /// Hardness over the table's, less one.
    pub(super) fn hardness_mut(&mut self) -> &mut [f64] {
        &mut self.edge.hardness[..self.steps]
    }

    /// The whole edge is in the cut.
    pub(super) fn engage(&mut self) {
        self.edge.engaged.fill(1.0);
    }

    /// Shares of the edge that are in the cut.
    pub(super) fn engaged_mut(&mut self) -> &mut [f64] {
        &mut self.edge.engaged[..self.steps]
    }

    /// Leaves out of the cut what slots leave out of the work.
    pub(super) fn interrupt(&mut self, metal: &[f64]) {
        for (engaged, metal) in self.edge.engaged.iter_mut().zip(metal) {
            *engaged *= metal;
        }
    }

    /// Where each step came to rest; beyond the turn's steps there is nothing of meaning.
    pub(super) fn rests(&self) -> &Rests {
        &self.rests
    }

    /// Remembers which way the slide moved at a step that was settled alone.
    pub(super) fn remember(&mut self, step: usize, moved: i8) {
        self.ways[step] = f64::from(moved);
        self.held[step] = 1.0;
    }

    /// Settles every step of the turn after these edges; returns the body after it.
    pub(super) fn settle(
        &mut self,
        mut body: Body,
        guide: f64,
        drift: f64,
        edges: &[f64],
        load: &Cut<'_>,
        counters: &mut Counters,
    ) -> Body {
        self.edge.look_back(self.steps, edges, &self.held);
        // The steps beyond the last only fill the lanes.
        let last = self.ways[self.steps - 1];
        self.ways[self.steps..].fill(last);
        if (load.height_share - self.height_share).abs() > HEIGHT_SHARE_KEPT {
            self.felt.fill(Felt::nowhere());
            self.height_share = load.height_share;
        }
        self.look(&body, guide, load, counters);
        let mut next = 0;
        while next < self.steps {
            let end = self.clamp(next, body.position, drift);
            let (end, way) = self.stay(next, end, &body, guide, load, counters);
            if end > next {
                body.position = self.rests.slide[end - 1];
                body.moved = self.ways[end - 1] as i8;
            }
            if end < self.steps && !self.go(end, way, &mut body, drift, guide, load, counters) {
                self.alone(end, &mut body, drift, guide, load, counters);
            }
            next = end + 1;
        }
        let rests = &mut self.rests;
        let (preload, rate) = (load.preload, load.rate);
        for (push_off, edge) in rests.push_off.iter_mut().zip(&rests.edge) {
            *push_off -= preload + rate * edge;
        }
        let surface = rests.edge.iter().zip(&self.edge.surface);
        for (depth, (edge, surface)) in rests.depth.iter_mut().zip(surface) {
            *depth = edge - surface;
        }
        let stays = self.ways[..self.steps].iter().filter(|&&way| way == 0.0);
        counters.stuck += stays.count() as u64;
        counters.steps += self.steps as u64;
        for held in &mut self.held {
            *held += 1.0;
        }
        body.parameter = rests.edge[self.steps - 1];
        body
    }

    /// Looks at the load of all steps where the edge is expected, and works out the bounds of
    /// those at which the slide moves.
    #[inline(never)]
    fn look(&mut self, body: &Body, guide: f64, load: &Cut<'_>, counters: &mut Counters) {
        for (chunk, k) in (0..self.ways.len()).step_by(WIDTH).enumerate() {
            let loads = self.edge.loads(k, load);
            let near = Four::load(&self.edge.near[k..]);
            let way = Four::load(&self.ways[k..]);
            let moves = way.simd_ne(Four::splat(0.0));
            let guide = Four::splat(guide);
            let felt = &self.felt[chunk];
            if loads.holds(near, felt).all() {
                let about = loads.about(near, felt);
                let there = about.at(near);
                self.there[chunk] = there;
                if moves.none() {
                    self.sure[chunk] = 0;
                    continue;
                }
                let first = (near, there);
                let found = bound(
                    &body.link,
                    guide,
                    first,
                    way,
                    |e| about.at(e),
                    loads.surface,
                    CLOSE_UNBENT,
                    moves,
                    counters,
                );
                let sure = found.sure & loads.holds(found.parameter, felt);
                if (sure | !moves).all() {
                    self.sure[chunk] = sure.bits();
                    self.rests.put(k, &found);
                    continue;
                }
            }
            self.look_anew(
                chunk,
                &loads,
                (near, way, moves),
                &body.link,
                guide,
                counters,
            );
        }
    }

    /// Looks at the load itself, and leaves what is felt there for the next turns.
    #[inline(never)]
    fn look_anew(
        &mut self,
        chunk: usize,
        loads: &Cut<'_, Four>,
        (near, way, moves): (Four, Four, <Four as Lanes>::Mask),
        link: &Link,
        guide: Four,
        counters: &mut Counters,
    ) {
        let site = &mut self.sites[chunk];
        let slopes = &mut Slopes::nowhere();
        let there = loads.reaction_near(near, site, &mut self.pieces, slopes);
        self.felt[chunk] = loads.felt(slopes);
        self.there[chunk] = there;
        self.sure[chunk] = 0;
        if moves.none() {
            return;
        }
        let found = bound(
            link,
            guide,
            (near, there),
            way,
            |e| loads.reaction_near(e, site, &mut self.pieces, slopes),
            loads.surface,
            CLOSE,
            moves,
            counters,
        );
        self.sure[chunk] = found.sure.bits();
        self.rests.put(chunk * WIDTH, &found);
    }

    /// Where the slide stands from step `next` on, if it moves and stays as foretold, and stays
    /// where its bound lies behind it; returns the first step whose bound isn't sure.
    fn clamp(&mut self, next: usize, mut position: f64, drift: f64) -> usize {
        let ways = &mut self.ways[..self.steps];
        let slide = &mut self.rests.slide[..ways.len()];
        let mut k = next;
        while k < ways.len() {
            // Where four on end go as foretold, none has to wait for the one before.
            if k.is_multiple_of(WIDTH) && k + WIDTH <= ways.len() {
                let way = Four::load(&ways[k..]);
                if self.sure[k / WIDTH] == ALL {
                    let bound = Four::load(&slide[k..]);
                    let before = if k == 0 {
                        Four::from([position, slide[0], slide[1], slide[2]])
                    } else {
                        Four::load(&slide[k - 1..])
                    };
                    let from = before + Four::splat(drift);
                    if (way * (bound - from)).simd_gt(Four::splat(0.0)).all() {
                        position = slide[k + WIDTH - 1];
                        k += WIDTH;
                        continue;
                    }
                } else if way.simd_eq(Four::splat(0.0)).all() {
                    let drifted = Four::from([1.0, 2.0, 3.0, 4.0]) * Four::splat(drift);
                    (Four::splat(position) + drifted).store(&mut slide[k..]);
                    position = slide[k + WIDTH - 1];
                    k += WIDTH;
                    continue;
                }
            }
            position += drift;
            if ways[k] == 0.0 {
                slide[k] = position;
            } else if self.sure[k / WIDTH] >> (k % WIDTH) & 1 == 0 {
                return k;
            } else if ways[k] * (slide[k] - position) > 0.0 {
                position = slide[k];
            } else {
                ways[k] = 0.0;
                self.held[k] = 0.0;
                slide[k] = position;
            }
            k += 1;
        }
        self.steps
    }

    /// Where the edge stands at the steps from `next` to `end` at which the slide stays; returns
    /// the first that doesn't stay, or `end`, and which way it is pulled there, 0 where that isn't
    /// known.
    #[inline(never)]
    fn stay(
        &mut self,
        next: usize,
        end: usize,
        body: &Body,
        guide: f64,
        load: &Cut<'_>,
        counters: &mut Counters,
    ) -> (usize, f64) {
        for k in (next / WIDTH * WIDTH..end).step_by(WIDTH) {
            let chunk = k / WIDTH;
            let mut stays = Four::load(&self.ways[k..]).simd_eq(Four::splat(0.0));
            if k < next || k + WIDTH > end {
                // What was settled before, alone maybe, is left as it is.
                let step = Four::splat(k as f64) + Four::from([0.0, 1.0, 2.0, 3.0]);
                stays = stays
                    & step.simd_ge(Four::splat(next as f64))
                    & step.simd_lt(Four::splat(end as f64));
            }
            let asked = stays.bits();
            if asked == 0 {
                continue;
            }
            let slide = Four::load(&self.rests.slide[k..]);
            let near = Four::load(&self.edge.near[k..]);
            let surface = Four::load(&self.edge.surface[k..]);
            let loads = self.edge.loads(k, load);
            let felt = &self.felt[chunk];
            let first = (near, self.there[chunk]);
            let mut so = !stays;
            let (mut edge, mut there, mut found) = (near, first.1, so);
            if (loads.holds(near, felt) | so).all() {
                let about = loads.about(near, felt);
                let at = |e| about.at(e);
                (edge, there, found) =
                    stand(slide, first, at, surface, CLOSE_UNBENT, stays, counters);
                so = so | (found & loads.holds(edge, felt));
            }
            if !so.all() {
                let (site, slopes) = (&mut self.sites[chunk], &mut Slopes::nowhere());
                let at = |e| loads.reaction_near(e, site, &mut self.pieces, slopes);
                (edge, there, found) = stand(slide, first, at, surface, CLOSE, stays, counters);
            }
            let drive = body.link.force(Four::splat(guide) - slide);
            let net = drive - there.push;
            let held = net.simd_abs().simd_le(there.limit);
            let sure = (found & held).bits();
            let rests = &mut self.rests;
            for (values, found) in [
                (&mut rests.edge, edge),
                (&mut rests.push_off, there.push),
                (&mut rests.drag, there.limit),
                (&mut rests.drive, drive),
            ] {
                let values = &mut values[k..k + WIDTH];
                if asked == ALL {
                    found.store(values);
                } else {
                    found.select(stays, Four::load(values)).store(values);
                }
            }
            let unsure = asked & !sure;
            if unsure != 0 {
                let lane = unsure.trailing_zeros() as usize;
                let known = found.bits() >> lane & 1 == 1;
                let way = if known {
                    net.extract(lane).signum()
                } else {
                    0.0
                };
                return (k + lane, way);
            }
        }
        (end, 0.0)
    }

    /// Moves the slide at a step where it was to stay but is pulled `way`; false, and nothing
    /// changed, where what is felt doesn't tell how far.
    #[allow(clippy::too_many_arguments)]
    fn go(
        &mut self,
        k: usize,
        way: f64,
        body: &mut Body,
        drift: f64,
        guide: f64,
        load: &Cut<'_>,
        counters: &mut Counters,
    ) -> bool {
        let (chunk, lane) = (k / WIDTH, k % WIDTH);
        let first = chunk * WIDTH;
        let loads = self.edge.loads(first, load);
        let near = Four::load(&self.edge.near[first..]);
        let felt = &self.felt[chunk];
        let it = Four::from([0.0, 1.0, 2.0, 3.0]).simd_eq(Four::splat(lane as f64));
        if way == 0.0 || !(loads.holds(near, felt) | !it).all() {
            return false;
        }
        let about = loads.about(near, felt);
        let found = bound(
            &body.link,
            Four::splat(guide),
            (near, self.there[chunk]),
            Four::splat(way),
            |e| about.at(e),
            loads.surface,
            CLOSE_UNBENT,
            it,
            counters,
        );
        let sure = (found.sure & loads.holds(found.parameter, felt)).bits();
        let slide = found.load.position.extract(lane);
        if sure >> lane & 1 == 0 || way * (slide - (body.position + drift)) <= 0.0 {
            return false;
        }
        body.position = slide;
        self.remember(k, way as i8);
        self.held[k] = 0.0;
        body.moved = way as i8;
        self.rests.put_one(k, &found, lane);
        true
    }

    /// Settles one step alone.
    fn alone(
        &mut self,
        k: usize,
        body: &mut Body,
        drift: f64,
        guide: f64,
        load: &Cut<'_>,
        counters: &mut Counters,
    ) {
        let load = load.at_edge(
            self.edge.surface[k],
            self.edge.turn_ago[k],
            1.0 + self.edge.hardness[k],
            self.edge.engaged[k],
        );
        body.position += drift;
        body.parameter = self.edge.near[k];
        let mut own = Counters::default();
        let rested = body.advance(guide, &load, &mut own);
        counters.iterations += own.iterations;
        counters.ambiguous += own.ambiguous;
        counters.unconverged += own.unconverged;
        self.remember(k, rested.moved);
        // The turn's end adds one.
        self.held[k] = 0.0;
        let rests = &mut self.rests;
        rests.slide[k] = rested.load.position;
        rests.edge[k] = rested.parameter;
        rests.push_off[k] = rested.load.push;
        rests.drag[k] = rested.load.limit;
        rests.drive[k] = rested.drive;
    }
}

#[cfg(test)]
mod tests;
