//! Where the slides of lathes abreast come to rest at a step.

use crate::balance::{Body, Levels, Quadratic, ahead, rest};
use crate::cut::abreast::steps::{Line, Look, Rest, Steps, Which, ZERO};
use crate::cut::abreast::{ABREAST, Each};
use crate::cut::load::{Cut, Felt};
use crate::lanes::{Lanes, Mask as _};
use crate::machine::slide::Drag;
use crate::record::Counters;

use super::Pass;

/// Looks at a step before a lane is left to be settled alone.
const LOOKS: usize = 4;

/// Where the slides come from at a step, where the edges are to be expected, and where the guides'
/// middles are.
struct Place {
    from: Each,
    near: Each,
    guide: Each,
    /// Which way the slides moved a turn ago.
    way: Each,
}

impl Pass<'_> {
    /// The load at a step.
    #[inline(always)]
    fn load(&self, line: &Line) -> Cut<'_, Each, Each> {
        Cut {
            law: self.law,
            drag: &self.lathes.drag,
            gives: self.slow.gives,
            surface: line.surface,
            turn_ago: line.turn_ago,
            hardness: line.hardness,
            engaged: line.engaged,
            local_drag: self.slow.drag,
            preload: self.slow.preload,
            rate: self.lathes.hold_rate,
            height_share: self.height_share,
            eased: true,
        }
    }

    /// Looks at the load at one step where the edge is to be expected, and for the bound of a slide
    /// that goes on as a turn ago.
    #[inline(always)]
    pub(super) fn look(&self, k: usize, guide: Each, pieces: usize, steps: &mut Steps) {
        let line = &steps.lines[k];
        let near = line.near;
        let anew = self.eased & !self.load(line).holds(near, &steps.felt[k]);
        if anew.any() {
            self.look_anew(k, near, anew, pieces, steps);
        }
        self.look_about(k, guide, steps);
    }

    /// The same at all steps of a turn.
    #[inline(always)]
    pub(super) fn look_all(&mut self, guide: Each, pieces: usize, steps: &mut Steps) {
        steps.asked.clear();
        for k in 0..self.per_turn {
            let line = &steps.lines[k];
            let unknown = !self.load(line).holds(line.near, &steps.felt[k]);
            if unknown.any() {
                let mut unknown = unknown.bits();
                while unknown != 0 {
                    steps.asked.push((k, unknown.trailing_zeros() as usize));
                    unknown &= unknown - 1;
                }
            } else {
                self.look_about(k, guide, steps);
            }
        }
        if !steps.asked.is_empty() {
            self.look_where_asked(guide, pieces, steps);
        }
    }

    /// Looks at the load itself in the lanes and at the steps asked for, and then about them. Mostly
    /// it is a lane here and a lane there: they are looked at side by side wherever they are.
    #[inline(never)]
    fn look_where_asked(&mut self, guide: Each, pieces: usize, steps: &mut Steps) {
        let pieces = &mut steps.pieces[pieces];
        let law = &mut self.law_asked;
        for asked in steps.asked.chunks(ABREAST) {
            // Where there are too few, the last fills the lanes.
            let mut at = [asked[asked.len() - 1]; ABREAST];
            at[..asked.len()].copy_from_slice(asked);
            let lines = &steps.lines;
            law.specific_force = Each::gather(|i| self.laws[at[i].1].specific_force);
            law.push_ratio = Each::gather(|i| self.laws[at[i].1].push_ratio);
            law.edge_force = Each::gather(|i| self.laws[at[i].1].edge_force);
            let drag = Drag::abreast(|i| &self.lathes.courses[at[i].1].machine.drag);
            let load = Cut {
                law,
                drag: &drag,
                // Of no account in what is felt.
                gives: ZERO,
                local_drag: ZERO,
                preload: ZERO,
                rate: ZERO,
                surface: Each::gather(|i| lines[at[i].0].surface.extract(at[i].1)),
                turn_ago: Each::gather(|i| lines[at[i].0].turn_ago.extract(at[i].1)),
                hardness: Each::gather(|i| lines[at[i].0].hardness.extract(at[i].1)),
                engaged: Each::gather(|i| lines[at[i].0].engaged.extract(at[i].1)),
                height_share: Each::gather(|i| self.height_share.extract(at[i].1)),
                eased: true,
            };
            let all = ZERO.simd_eq(ZERO);
            let near = Each::gather(|i| lines[at[i].0].near.extract(at[i].1));
            let felt = load.felt_near(near, pieces, all);
            for (from, &(k, lane)) in asked.iter().enumerate() {
                steps.felt[k].put(lane, &felt, from);
            }
        }
        let mut next = 0;
        while let Some(&(k, _)) = steps.asked.get(next) {
            self.look_about(k, guide, steps);
            next += steps.asked[next..]
                .iter()
                .take_while(|(at, _)| *at == k)
                .count();
        }
    }

    /// The load about where the edge is to be expected, as felt, and the bound of a slide that goes
    /// on as a turn ago.
    #[inline(always)]
    fn look_about(&self, k: usize, guide: Each, steps: &mut Steps) {
        let line = &steps.lines[k];
        let (load, near, way) = (self.load(line), line.near, line.way);
        let about = load.about(near, &steps.felt[k]);
        let bound = ahead(&self.lathes.drive, guide, way, &about);
        // Number by number: as one block they would go through memory twice.
        let look = &mut steps.looks[k];
        for i in 0..3 {
            look.push[i] = about.push[i];
            look.limit[i] = about.limit[i];
        }
        look.ahead.by = bound.by;
        look.ahead.position = bound.position;
        look.ahead.sure = bound.sure;
    }

    /// Looks at the load itself near this height of the edge, in the lanes asked for, and keeps what
    /// is felt there for the next turns.
    #[inline(never)]
    fn look_anew(&self, k: usize, near: Each, asked: Which, pieces: usize, steps: &mut Steps) {
        let load = self.load(&steps.lines[k]);
        let felt = load.felt_near(near, &mut steps.pieces[pieces], asked);
        steps.felt[k] = felt.or(asked, steps.felt[k]);
    }

    /// Where the slides come to rest if the look at the load tells, and of whom it does.
    #[inline(always)]
    pub(super) fn rest(
        &self,
        line: &Line,
        felt: &Felt<Each>,
        look: &Look,
        from: Each,
        guide: Each,
    ) -> (Rest, Which) {
        let rate = self.lathes.hold_rate;
        let about = Quadratic {
            from: line.near,
            gives: self.slow.gives,
            push: look.push,
            limit: look.limit,
            hold: [rate.times_plus(line.near, self.slow.preload), rate],
        };
        let there = rest(
            &self.lathes.drive,
            guide,
            from,
            line.way,
            &about,
            &look.ahead,
        );
        let edge = line.near + there.by;
        let reaches = self.load(line).reaches(edge, felt);
        (Rest::new(edge, &there), self.eased & there.sure & reaches)
    }

    /// Remembers which way the slides moved at a step that was told of otherwise.
    pub(super) fn remember(&self, k: usize, told: Which, there: &Rest, steps: &mut Steps) {
        let line = &mut steps.lines[k];
        let same = told & there.way.simd_eq(line.way);
        line.held = line.held.select(same, ZERO);
        line.way = there.way;
    }

    /// Where those come to rest whom the first look didn't tell of, and who of all are told of
    /// side by side.
    ///
    /// Where what is felt doesn't hold, the load is looked at anew where the edge is to be
    /// expected; a slide that can't stay is asked where it goes, one on another piece of its link
    /// looked at there; whoever is left is settled alone.
    #[cold]
    #[inline(never)]
    pub(super) fn otherwise(
        &self,
        k: usize,
        from: Each,
        guide: Each,
        pieces: usize,
        steps: &mut Steps,
    ) -> (Rest, Which) {
        let line = steps.lines[k];
        let load = &self.load(&line);
        let drive = &self.lathes.drive;
        let (mut near, mut way) = (line.near, line.way);
        let mut at = Rest::at(from, near);
        let mut told = ZERO.simd_ne(ZERO);
        let mut asked = self.eased;
        for _ in 0..LOOKS {
            if !asked.any() {
                break;
            }
            let anew = asked & !load.holds(near, &steps.felt[k]);
            if anew.any() {
                self.look_anew(k, near, anew, pieces, steps);
            }
            let felt = &steps.felt[k];
            // Where the law has no pieces, nothing is felt, nor is there where to look next.
            asked = asked & load.holds(near, felt);
            let about = load.about(near, felt);
            let bound = ahead(drive, guide, way, &about);
            let there = rest(drive, guide, from, way, &about, &bound);
            let edge = near + there.by;
            let holds = load.holds(edge, felt);
            let sure = asked & there.sure & holds;
            at = Rest::new(edge, &there).or(sure, at);
            told = told | sure;
            asked = asked & !sure;
            // A slide that goes as asked, but not surely, is looked at where it goes.
            let stays = there.way.simd_eq(ZERO);
            way = there.pulled.select(asked & holds & stays, way);
            near = edge.select(asked & !(holds & stays), near);
        }
        if !told.all() {
            let known = told.bits();
            let place = Place {
                from,
                near: line.near,
                guide,
                way: line.way,
            };
            for lane in (0..ABREAST).filter(|lane| known >> lane & 1 == 0) {
                self.alone(lane, load, &place, &mut at);
            }
        }
        (at, told)
    }

    /// Settles one lathe's step by itself.
    #[cold]
    #[inline(never)]
    fn alone(&self, lane: usize, load: &Cut<'_, Each, Each>, place: &Place, rest: &mut Rest) {
        let machine = &self.lathes.courses[lane].machine;
        let of = |numbers: Each| numbers.extract(lane);
        let eased = self.eased.bits() >> lane & 1 == 1;
        let own = Cut {
            law: &self.laws[lane],
            drag: &machine.drag,
            gives: of(load.gives),
            surface: of(load.surface),
            turn_ago: of(load.turn_ago),
            hardness: of(load.hardness),
            engaged: of(load.engaged),
            local_drag: of(load.local_drag),
            preload: of(load.preload),
            rate: of(load.rate),
            height_share: of(load.height_share),
            eased,
        };
        let levels = if eased {
            Levels::ONE
        } else {
            Levels::breakaway(machine.drag.breakaway, 0.0)
        };
        let last = if eased { place.way } else { self.moved };
        let mut body = Body {
            link: machine.drive,
            levels,
            position: of(place.from),
            parameter: of(place.near),
            moved: of(last) as i8,
        };
        let rested = body.advance(of(place.guide), &own, &mut Counters::default());
        for (numbers, own) in [
            (&mut rest.slide, rested.load.position),
            (&mut rest.edge, rested.parameter),
            (&mut rest.push, rested.load.push),
            (&mut rest.drag, rested.load.limit),
            (&mut rest.drive, rested.drive),
            (&mut rest.way, f64::from(rested.moved)),
        ] {
            numbers.replace(lane, own);
        }
    }
}
