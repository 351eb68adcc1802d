//! The load predicted at the steps of a turn, and the steps of which the prediction doesn't tell.

use std::ops::Range;

use crate::balance::{Body, Levels, Link, Rested, slip_limit, stick_or_slip};
use crate::cut::load::{Acting, Cut, LoadExpansion};
use crate::lanes::{Eight, Lanes, Mask as _, everywhere};
use crate::machine::slide::Drag;

use super::memory::Memory;
use super::pass::Pass;
use super::step::{Expansions, Look, Meridian, Rest};

/// Lathes of a block from which on they are asked anew where they are, and not with others.
const MOSTLY: u32 = 4;

/// Looks at a step before a lane is left to be settled by the march.
const LOOKS: usize = 4;

impl<L: Expansions> Pass<'_, L> {
    /// The load at all steps of some blocks of a turn where the edge is to be expected, and the limit
    /// to which a slide slips that goes on as a turn ago.
    #[inline(never)]
    pub(super) fn predict(&mut self, blocks: Range<usize>, guide: Eight, memory: &mut Memory<L>) {
        memory.asked.clear();
        memory.late.clear();
        let n = self.per_turn();
        for block in blocks {
            let meridian = &memory.meridians[block];
            let holds = self
                .load(meridian)
                .is_valid_at(meridian.near, &memory.felt[block]);
            let anew = !holds & L::before(block, n);
            let mut unknown = anew.bits();
            if unknown == 0 {
                self.expand(block, guide, memory);
                continue;
            }
            memory.late.push(block);
            if L::LANES == 1 {
                // A step or two: it isn't worth while to look at them side by side.
                while unknown != 0 {
                    let step = L::step(block, unknown.trailing_zeros() as usize);
                    let meridian = memory.meridians[block].at::<L>(step);
                    let load = self.load(&meridian);
                    self.re_expand(step, &load, meridian.near, self.expands(), memory);
                    unknown &= unknown - 1;
                }
            } else if unknown.count_ones() >= MOSTLY {
                let meridian = memory.meridians[block].at::<L>(block);
                let load = self.load(&meridian);
                self.re_expand(block, &load, meridian.near, L::which(anew, block), memory);
                unknown = 0;
            }
            while unknown != 0 {
                memory
                    .asked
                    .push((block, unknown.trailing_zeros() as usize));
                unknown &= unknown - 1;
            }
        }
        if !memory.asked.is_empty() {
            self.re_expand_asked(memory);
        }
        // What was put in number by number can't be read by blocks at once.
        for i in 0..memory.late.len() {
            self.expand(memory.late[i], guide, memory);
        }
    }

    /// Asks the law itself in the lanes and at the blocks asked for. Mostly it is a lane here and a
    /// lane there: they are looked at side by side wherever they are.
    #[inline(never)]
    fn re_expand_asked(&mut self, memory: &mut Memory<L>) {
        let asked_for = std::mem::take(&mut memory.asked);
        let table = self.table();
        let law = &mut self.law_asked;
        for asked in asked_for.chunks(Eight::LANES) {
            // Where there are too few, the last fills the lanes.
            let mut at = [asked[asked.len() - 1]; Eight::LANES];
            at[..asked.len()].copy_from_slice(asked);
            // What the lanes are is known: nobody looks whether there are such.
            let at = at.map(|(block, lane)| (block, lane % Eight::LANES));
            let of = at.map(|(block, _)| &memory.meridians[block]);
            let series = at.map(|(_, lane)| L::series(lane));
            law.specific_force = L::gather(|i| self.laws[series[i]].specific_force);
            law.push_ratio = L::gather(|i| self.laws[series[i]].push_ratio);
            law.edge_force = L::gather(|i| self.laws[series[i]].edge_force);
            let drag = Drag::gather(|i| &self.machines.operations[series[i]].machine.drag);
            let load = Cut {
                law,
                acting: Acting {
                    drag: &drag,
                    height_share: L::gather(|i| self.station.height_share.extract(series[i])),
                    // Of no account in the expansion.
                    gives: L::zero(),
                    local_drag: L::zero(),
                    preload: L::zero(),
                    rate: L::zero(),
                    eased: true,
                },
                surface: Eight::gather(|i| of[i].surface.extract(at[i].1)),
                turn_ago: Eight::gather(|i| of[i].turn_ago.extract(at[i].1)),
                hardness: Eight::gather(|i| of[i].hardness.extract(at[i].1)),
                engaged: Eight::gather(|i| of[i].engaged.extract(at[i].1)),
            };
            let near = Eight::gather(|i| of[i].near.extract(at[i].1));
            let felt = load.felt_near(near, &mut memory.tables[table], everywhere());
            for (from, &(block, lane)) in asked.iter().enumerate() {
                memory.felt[block].put(lane, &felt, from);
            }
        }
        memory.asked = asked_for;
    }

    /// Asks the law itself at a step, with the edges where they are to be expected, in these lanes.
    #[inline(always)]
    fn re_expand(
        &self,
        step: usize,
        load: &Cut<'_, L, L>,
        near: L,
        asked: L::Mask,
        memory: &mut Memory<L>,
    ) {
        let block = step / L::STEPS;
        let felt = load.felt_near(near, &mut memory.tables[self.table()], asked);
        L::put_felt(&mut memory.felt[block], step, felt, asked);
    }

    /// The load about where the edge is to be expected, as it was looked at, and the limit to which
    /// a slide slips that goes on as a turn ago.
    #[inline(always)]
    fn expand(&self, block: usize, guide: Eight, memory: &mut Memory<L>) {
        let meridian = &memory.meridians[block];
        let (load, near, way) = (self.load(meridian), meridian.near, meridian.way);
        let about = load.quadratic_at(near, &memory.felt[block]);
        let limit = slip_limit(&self.station.drive, guide, way, &about);
        // Number by number: as one block they would go through memory twice.
        let load = &mut memory.loads[block];
        for i in 0..3 {
            load.push[i] = about.push[i];
            load.limit[i] = about.limit[i];
        }
        load.slip_limit.by = limit.by;
        load.slip_limit.position = limit.position;
        load.slip_limit.sure = limit.sure;
    }

    /// Where the slides come to rest at a step, found for itself.
    ///
    /// Where the expansion doesn't hold, the law is asked anew where the edge is to be expected; a
    /// slide that can't stay is asked where it slips, one on another piece of its link looked at
    /// there; whoever is left is settled by the march to the first balance. `first` is what came
    /// of the first look, where there was one.
    #[inline(never)]
    pub(super) fn resolve(
        &mut self,
        step: usize,
        (from, guide): (L, L),
        first: Option<&Look<L>>,
        memory: &mut Memory<L>,
    ) {
        let block = step / L::STEPS;
        let meridian = memory.meridians[block].at::<L>(step);
        let load = self.load(&meridian);
        let drive = &self.station.drive;
        let mut search = Search::new(from, &meridian, self.expands());
        let room = &mut LoadExpansion::nowhere();
        if let Some(first) = first {
            let felt = L::felt(&memory.felt[block], step, room);
            search.asked = search.asked & load.is_valid_at(search.near, felt);
            search.take(first);
        }
        for _ in usize::from(first.is_some())..LOOKS {
            let (asked, near) = (search.asked, search.near);
            if !asked.any() {
                break;
            }
            let mut felt = L::felt(&memory.felt[block], step, room);
            let anew = asked & !load.is_valid_at(near, felt);
            if anew.any() {
                memory.keep(block);
                self.re_expand(step, &load, near, anew, memory);
                felt = L::felt(&memory.felt[block], step, room);
            }
            // Where the law has no table, nothing is felt, nor is there where to look next.
            search.asked = asked & load.is_valid_at(near, felt);
            let about = load.quadratic_at(near, felt);
            let limit = slip_limit(drive, guide, search.way, &about);
            let there = stick_or_slip(drive, guide, from, search.way, &about, &limit);
            let rest = Rest::new(near + there.by, &there);
            let holds = load.is_valid_at(rest.edge, felt);
            search.take(&Look::new(rest, &there, holds));
        }
        let Search { told, found, .. } = &mut search;
        for series in (0..L::LANES).filter(|series| told.bits() >> series & 1 == 0) {
            self.settle(
                series,
                &load,
                (from, meridian.near, guide, meridian.way),
                found,
            );
        }
        memory.put(step, found, *told);
    }

    /// Settles one lathe's step by itself, by the march to the first balance, or with its mass;
    /// given are where the slide comes from, where the edge is to be expected, the guide, and which
    /// way the slide moved a turn ago.
    #[cold]
    #[inline(never)]
    fn settle(
        &mut self,
        series: usize,
        load: &Cut<'_, L, L>,
        (from, near, guide, way): (L, L, L, L),
        found: &mut Rest<L>,
    ) {
        let machine = &self.machines.operations[series].machine;
        let own = |number: L| number.extract(series);
        let eased = own(self.eased) > 0.0;
        let load = Cut {
            law: &self.laws[series],
            acting: Acting {
                drag: &machine.drag,
                gives: own(load.acting.gives),
                local_drag: own(load.acting.local_drag),
                preload: own(load.acting.preload),
                rate: own(load.acting.rate),
                height_share: own(load.acting.height_share),
                eased,
            },
            surface: own(load.surface),
            turn_ago: own(load.turn_ago),
            hardness: own(load.hardness),
            engaged: own(load.engaged),
        };
        let operation = self.machines.operations[series];
        let levels = if eased {
            Levels::ONE
        } else {
            operation.levels_in_air(self.finishing)
        };
        let last = if eased { own(way) } else { own(self.moved) };
        let mut body = Body {
            link: Link {
                slack: own(self.station.drive.slack),
                ..machine.drive
            },
            levels,
            position: own(from),
            parameter: own(near),
            moved: last as i8,
        };
        let time = self.ride.as_ref().map_or(0.0, |_| self.step_time());
        let goes = (self.drift, time);
        let counters = &mut self.counters[series];
        let rested = match &mut self.ride {
            None => in_air(&body, own(guide), &load)
                .unwrap_or_else(|| body.advance(own(guide), &load, counters)),
            Some(ride) => ride.step(operation, &mut body, goes, own(guide), &load, counters),
        };
        for (numbers, own) in [
            (&mut found.slide, rested.load.position),
            (&mut found.edge, rested.parameter),
            (&mut found.push, rested.load.push),
            (&mut found.drag, rested.load.limit),
            (&mut found.drive, rested.drive),
            (&mut found.way, f64::from(rested.moved)),
        ] {
            numbers.replace(series, own);
        }
    }
}

/// Where a body comes to rest before the cut has begun, if its edge meets no work on the way: with
/// the drag by hand and the preload alone.
#[inline(always)]
fn in_air(body: &Body, guide: f64, load: &Cut<'_>) -> Option<Rested> {
    let acting = &load.acting;
    if acting.eased || body.position > load.surface {
        return None;
    }
    let push = [acting.preload, acting.rate];
    body.advance_evenly(guide, push, acting.drag.hand())
        .filter(|rested| rested.parameter <= load.surface)
}

/// Where slides come to rest, as far as looks have told.
struct Search<L: Lanes> {
    /// Who is still asked about.
    asked: L::Mask,
    /// Who has been told, and where they rest.
    told: L::Mask,
    found: Rest<L>,
    /// Where to look next, and which way they go there.
    near: L,
    way: L,
}

impl<L: Lanes> Search<L> {
    fn new(from: L, meridian: &Meridian<L>, asked: L::Mask) -> Self {
        Self {
            asked,
            told: asked & !asked,
            found: Rest {
                slide: from,
                edge: meridian.near,
                ..Rest::default()
            },
            near: meridian.near,
            way: meridian.way,
        }
    }

    /// Takes in what came of a look.
    #[inline(always)]
    fn take(&mut self, look: &Look<L>) {
        let sure = self.asked & look.sure;
        self.found = look.rest.or(sure, self.found);
        self.told = self.told | sure;
        self.asked = self.asked & !sure;
        // A slide that goes as asked, but not surely, is looked at where it goes.
        let stays = look.holds & look.rest.way.simd_eq(L::zero());
        self.way = look.pulled.select(self.asked & stays, self.way);
        self.near = look.rest.edge.select(self.asked & !stays, self.near);
    }
}
