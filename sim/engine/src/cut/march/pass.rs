//! One pass: turn by turn along the helix, and where a turn can't be taken whole, step by step.

use crate::balance::stick_or_slip;
use crate::cut::inertia::{InertialPass, Ridden};
use crate::cut::load::{Acting, Cut, LoadExpansion};
use crate::cut::operation::{Operation, PassKind, Plan};
use crate::cutting::ForceLaw;
use crate::lanes::{Eight, Lanes, Layout, Mask as _};
use crate::machine::foot::SHOE_FRICTION;
use crate::record::{Counters, PassRecord, TurnSample};
use crate::surface::{Marks, Surface};

use super::batch::{MachineBatch, Station};
use super::memory::Memory;
use super::step::{Expansions, Look, Meridian, Rest, ZERO};
use super::turn::seat_changes;

/// Within this share of the main force the push-off of a tool off centre height is as it was
/// looked at.
const HEIGHT_SHARE_KEPT: f64 = 1e-4;
/// The bits of all lanes.
const ALL: u64 = (1 << Eight::LANES) - 1;
/// Depth below which the edge counts as no deeper, m.
const SHALLOWEST: f64 = 1e-6;

/// Blocks predicted before they are taken: so many that steps to be asked anew are mostly enough to
/// be looked at side by side, and so few that they stay in the nearest cache.
const AT_ONCE: usize = 8;

/// A pass under way.
pub(super) struct Pass<'a, L: Layout> {
    pub(super) machines: &'a MachineBatch<'a, L>,
    operation: &'a Operation<'a>,
    pub(super) law: &'a ForceLaw<L>,
    /// The same with each lane that of the lathe asked for.
    pub(super) law_asked: ForceLaw<L>,
    pub(super) laws: &'a [ForceLaw],
    table: usize,
    per_turn: usize,
    /// Carriage travel before the taper at the first step, m; negative.
    start: f64,
    /// Carriage travel of a step, m.
    step: f64,
    steps: usize,
    /// What a slide drifts a step where it stands still, m.
    pub(super) drift: f64,
    direction: f64,
    /// Trailing part of the engaged edge at the depth set, m.
    trail: f64,
    /// Leading part as it is, m.
    lead: L,
    /// Height of the guide's unloaded middle, m.
    guide: L,
    swing: L,
    pub(super) station: Station<L>,
    /// What the main force added to the push-off when the load was looked at.
    height_share_kept: L,
    slide: L,
    /// Which run-in came before it.
    pub(super) finishing: Option<usize>,
    /// Which way it moved before the cut began.
    pub(super) moved: L,
    /// 1 where the cut shakes the slide: one, lower level of drag.
    pub(super) eased: L,
    feet: FootSeats<L>,
    pub(super) ride: Option<InertialPass>,
    stuck: L,
    pub(super) counters: [Counters; Eight::LANES],
}

/// What a pass came to, as long as the next isn't made.
pub(crate) struct Made<'m, L> {
    pub(crate) plan: Plan,
    /// Taken off at the gauge plane, m.
    pub(crate) taken: L,
    pub(crate) ridden: Option<Ridden>,
    memory: &'m Memory<L>,
    foot_left_at: L,
    stuck: L,
    counters: [Counters; Eight::LANES],
}

impl<L: Expansions> Made<'_, L> {
    /// Of one lathe, as its so manieth pass.
    pub(crate) fn record(&self, series: usize, number: usize) -> PassRecord {
        let per_turn = self.memory.path.per_turn();
        let samples = self.memory.samples.iter();
        let turns: Vec<TurnSample> = samples.map(|sample| sample.of(series, per_turn)).collect();
        let cutting = turns.iter().filter(|turn| turn.cutting);
        let seat_changes = seat_changes(cutting.map(|turn| (turn.z, turn.seat)));
        let left_at = self.foot_left_at.extract(series);
        PassRecord {
            number,
            finishing: self.plan.kind != PassKind::Rough,
            set: self.plan.set,
            feed: self.plan.feed,
            taken: self.taken.extract(series),
            foot_leaves: Some(left_at).filter(|at| at.is_finite()),
            turns,
            seat_changes,
            counters: Counters {
                steps: self.memory.path.steps() as u64,
                stuck: self.stuck.extract(series) as u64,
                ..self.counters[series]
            },
        }
    }
}

impl<'a, L: Expansions> MachineBatch<'a, L> {
    /// Makes one pass with the guides' unloaded middles at these heights and cuts it into the
    /// surface.
    pub(crate) fn pass<'m>(
        &self,
        plan: Plan,
        guide: L,
        surface: &mut Surface<L>,
        memory: &'m mut Memory<L>,
    ) -> Made<'m, L> {
        let laws: Vec<ForceLaw> = self.operations.iter().map(|c| c.law(plan.feed)).collect();
        let law = ForceLaw::gather(|series| &laws[series]);
        let operation = self.first();
        let per_turn = operation.options.per_turn;
        let marks = &Marks::new(&law.shape, per_turn);
        let before = self.height_for_taken(surface);
        let table = memory.begin(per_turn, &laws[0], operation.metal.as_deref());
        let mut pass = Pass::new(self, &law, &laws, table, plan, guide);
        let start = operation.place(pass.start);
        memory.path.begin(start, pass.direction, marks);
        let mut done = 0;
        while done < pass.steps {
            let count = per_turn.min(pass.steps - done);
            pass.begin_turn(done, surface, memory);
            if !pass.takes_whole(done, count) || !pass.whole_turn(memory) {
                for k in 0..count {
                    pass.step(done + k, k, memory);
                }
            }
            pass.end_turn(done, count, memory);
            done += count;
        }
        let Pass {
            feet,
            ride,
            stuck,
            counters,
            ..
        } = pass;
        let mut envelope = std::mem::take(&mut memory.envelope);
        surface.cut(&memory.path, marks, &mut envelope);
        memory.envelope = envelope;
        Made {
            plan,
            taken: self.height_for_taken(surface) - before,
            ridden: ride.map(|ride| ride.ridden()),
            foot_left_at: feet.left_at,
            stuck,
            counters,
            memory,
        }
    }
}

impl<'a, L: Expansions> Pass<'a, L> {
    fn new(
        machines: &'a MachineBatch<'a, L>,
        law: &'a ForceLaw<L>,
        laws: &'a [ForceLaw],
        table: usize,
        plan: Plan,
        guide: L,
    ) -> Self {
        let operation = machines.first();
        let per_turn = operation.options.per_turn;
        let step = plan.feed / per_turn as f64;
        let depth = if plan.set > SHALLOWEST {
            plan.set
        } else {
            SHALLOWEST
        };
        // The leading part of the edge enters first; the lowest point follows.
        let lead: f64 = law.lead(depth);
        let start = -(lead / plan.feed).ceil() * plan.feed;
        let pushes = L::gather(|series| laws[series].at(depth, 0.0, 1.0).push_off.signum());
        let rides = plan.with_inertia && L::LANES == 1;
        let inertia = rides.then_some(operation.inertia).flatten();
        Self {
            machines,
            operation,
            law,
            law_asked: *law,
            laws,
            table,
            per_turn,
            start,
            step,
            steps: ((operation.stock.length - start) / step).ceil() as usize + per_turn / 2,
            drift: -operation.pull * operation.slope * step,
            direction: operation.setup.feed.sign(),
            trail: law.trail(depth),
            lead: L::splat(lead),
            guide,
            swing: machines.swing * pushes,
            station: machines.station(operation.place(start)),
            height_share_kept: L::splat(f64::INFINITY),
            slide: guide + (machines.guide_lag(0.0) + machines.entry_offset(plan.finishing)),
            finishing: plan.finishing,
            moved: L::zero(),
            eased: L::zero(),
            feet: FootSeats {
                may_leave: operation.slope > SHOE_FRICTION,
                shift: L::zero(),
                left_at: L::splat(f64::INFINITY),
            },
            ride: inertia.map(InertialPass::new),
            stuck: L::zero(),
            counters: [Counters::default(); Eight::LANES],
        }
    }

    /// Carriage travel from the starting end of the taper at a step, m.
    fn travel(&self, step: usize) -> f64 {
        self.start + self.step * step as f64
    }

    #[inline(never)]
    fn begin_turn(&mut self, done: usize, surface: &Surface<L>, memory: &mut Memory<L>) {
        let z = self.operation.place(self.travel(done));
        self.station = self.machines.station(z);
        if done > 0 {
            let last = self.per_turn - 1;
            let edge = L::at(memory.turn.rests[last / L::STEPS].edge, last);
            let depth = edge - surface.at(last, z);
            self.lead = self.law.lead(depth.higher(L::splat(SHALLOWEST)));
        }
        let height_share = self.station.height_share;
        let another = (height_share - self.height_share_kept)
            .simd_abs()
            .simd_gt(L::splat(HEIGHT_SHARE_KEPT));
        if another.any() {
            self.height_share_kept = height_share.select(another, self.height_share_kept);
            let another: Eight = L::one().select(another, L::zero()).across();
            let another = another.simd_gt(ZERO);
            for felt in &mut memory.felt {
                *felt = LoadExpansion::nowhere().or(another, *felt);
            }
        }
        let along = self.direction * self.step;
        let ahead = L::splat(z) + L::splat(0.5 * self.direction) * self.lead;
        let (meridians, operations) = (&mut memory.meridians, &self.machines.operations);
        surface.along_turn(ahead, along, |block, surface| {
            meridians[block].surface = surface;
        });
        memory.hardness.along_turn::<L>(
            |series| &operations[series].realization.hardness,
            self.per_turn,
            z,
            along,
            |block, hardness| meridians[block].hardness = hardness,
        );
        self.engage(done, memory);
        if done == 0 {
            // Uncut: what stands there is what a turn ago left.
            for meridian in &mut memory.meridians {
                meridian.turn_ago = meridian.surface;
            }
        }
    }

    /// Writes down what a turn, or what there is of it, came to.
    #[inline(never)]
    fn end_turn(&mut self, done: usize, count: usize, memory: &mut Memory<L>) {
        self.stuck += memory.turn.stuck(count);
        if count == self.per_turn {
            let middle = self.travel(done) + self.step * (0.5 * (count - 1) as f64);
            let hold = (self.station.preload, self.machines.hold.rate);
            let z = self.operation.place(middle);
            let sample = memory.turn.means(
                count,
                &memory.meridians,
                (z, self.station.drive.slack),
                hold,
            );
            memory.samples.push(sample);
        }
        let nothing = Eight::splat(f64::NEG_INFINITY);
        let uncut: Eight = self.machines.uncut.across();
        let height_error: Eight = self.station.height_error.across();
        let turns = done / self.per_turn + 1;
        let met = memory.turn.rests[..L::blocks(count)]
            .iter()
            .zip(&mut memory.meridians);
        let heights = met.map(|(rest, meridian)| {
            meridian.look_back(rest, turns);
            let kept = (rest.edge - meridian.surface).simd_gt(uncut);
            (rest.edge + height_error).select(kept, nothing)
        });
        memory.path.add_turn(count, heights);
    }

    /// Writes down what share of the edge is in the work at each step.
    fn engage(&self, done: usize, memory: &mut Memory<L>) {
        let length = self.operation.stock.length;
        let last = L::splat(self.travel(done + self.per_turn)) + self.lead;
        let whole = self.travel(done) >= self.trail && last.simd_le(L::splat(length)).all();
        if whole && memory.whole {
            return;
        }
        memory.whole = whole;
        let one = Eight::splat(1.0);
        let lead: Eight = self.lead.across();
        let (length, trail) = (Eight::splat(length), Eight::splat(self.trail));
        for (block, meridian) in memory.meridians.iter_mut().enumerate() {
            let steps = Eight::splat(done as f64) + L::steps_of(block);
            let travel = Eight::splat(self.start) + Eight::splat(self.step) * steps;
            let to = travel + lead;
            let from = (travel - trail).higher(ZERO);
            let share = (to.lower(length) - from) / (lead + trail);
            let share = share.higher(ZERO).lower(one);
            let inside = travel.simd_ge(trail) & to.simd_le(length);
            meridian.inside = one.select(inside, share);
            meridian.engaged = match memory.metal.get(block) {
                None => meridian.inside,
                Some(&metal) => meridian.inside * metal,
            };
        }
    }

    /// What acts here whatever is cut.
    #[inline(always)]
    pub(super) fn acting(&self) -> Acting<'a, L> {
        Acting {
            drag: &self.machines.drag,
            gives: self.station.gives,
            local_drag: self.station.drag,
            preload: self.station.preload,
            rate: self.machines.hold.rate,
            height_share: self.station.height_share,
            eased: true,
        }
    }

    /// The load at a step or a block of steps.
    #[inline(always)]
    pub(super) fn load<R: Lanes>(&self, meridian: &Meridian<R>) -> Cut<'a, R, L> {
        Cut {
            law: self.law,
            acting: self.acting(),
            surface: meridian.surface,
            turn_ago: meridian.turn_ago,
            hardness: meridian.hardness,
            engaged: meridian.engaged,
        }
    }

    /// Whose steps the expansion of the load can tell: those of slides in the cut, without mass.
    #[inline(always)]
    pub(super) fn expands(&self) -> L::Mask {
        let without_mass = if self.ride.is_none() {
            L::zero()
        } else {
            L::one()
        };
        self.eased.simd_gt(without_mass)
    }

    /// Whether a turn may be taken whole: the guides stand still, all are in the cut.
    fn takes_whole(&self, done: usize, count: usize) -> bool {
        done > 0
            && count == self.per_turn
            && self.expands().all()
            && self.feet.shift.simd_eq(L::zero()).all()
            && self.step * done as f64 > self.machines.latest_foot()
    }

    /// Takes a turn of steps in which the guides stand still; false, and nothing changed, where a
    /// foot would leave its seat.
    fn whole_turn(&mut self, memory: &mut Memory<L>) -> bool {
        if self.feet.may_leave {
            memory.mark();
        }
        let target = self.guide + self.station.guide_error;
        let guide: Eight = target.across();
        let slide = self.slide;
        let n = self.per_turn;
        let blocks = L::blocks(n);
        for from in (0..blocks).step_by(AT_ONCE) {
            let some = from..blocks.min(from + AT_ONCE);
            self.predict(some.clone(), guide, memory);
            for block in some {
                memory.turn.target[block] = guide;
                self.take_block(block, target, memory);
            }
        }
        memory.undo.wanted = false;
        if self.feet.may_leave {
            let seated = |block: usize| {
                let rest: &Rest = &memory.turn.rests[block];
                let operation = self.operation;
                let foot = &self.machines.foot;
                let force = foot.seat_force(rest.drive, operation.pull, operation.slope);
                (force.simd_ge(ZERO) | !L::before(block, n)).all()
            };
            if !(0..L::blocks(n)).all(seated) {
                memory.take_back();
                self.slide = slide;
                return false;
            }
        }
        true
    }

    /// Takes the steps of a block, the clamp going through them; where the expansion doesn't tell of
    /// one, it is resolved, and the clamp goes on from there.
    #[inline(always)]
    fn take_block(&mut self, block: usize, target: L, memory: &mut Memory<L>) {
        let guide: Eight = target.across();
        let first = block * L::STEPS;
        let steps = L::STEPS.min(self.per_turn - first);
        let (mut next, mut came) = (0, ZERO);
        loop {
            let (meridian, load) = (&memory.meridians[block], &memory.loads[block]);
            let (way, limit) = (&meridian.way, &load.slip_limit.position);
            let from = L::clamp(&mut self.slide, came, next..steps, self.drift, way, limit);
            let look = self.stick_or_slip(block, from, guide, memory);
            let rests = &mut memory.turn.rests[block];
            let mut unsure = !look.sure.bits() & ALL;
            if next == 0 {
                *rests = look.rest;
            } else {
                let settled = L::before(block, first + next);
                *rests = rests.or(settled, look.rest);
                unsure &= !settled.bits();
            }
            if steps < L::STEPS {
                unsure &= L::before(block, first + steps).bits();
            }
            if unsure == 0 {
                return;
            }
            let failed = first + L::step(0, unsure.trailing_zeros() as usize);
            let asked = (L::at(from, failed), target);
            self.resolve(failed, asked, Some(&look.at(failed)), memory);
            self.slide = L::at(memory.turn.rests[block].slide, failed);
            came = from;
            next = failed - first + 1;
            if next == steps {
                return;
            }
        }
    }

    /// Where the slides come to rest by the expansion of the load.
    #[inline(always)]
    fn stick_or_slip(&self, block: usize, from: Eight, guide: Eight, memory: &Memory<L>) -> Look {
        let (meridian, load) = (&memory.meridians[block], &memory.loads[block]);
        let felt = &memory.felt[block];
        let about = self
            .acting()
            .quadratic_at(meridian.near, load.push, load.limit);
        let drive = &self.station.drive;
        let there = stick_or_slip(drive, guide, from, meridian.way, &about, &load.slip_limit);
        let rest = Rest::new(meridian.near + there.by, &there);
        let holds = self.load(meridian).reaches(rest.edge, felt);
        Look::new(rest, &there, holds)
    }

    /// Takes one step.
    fn step(&mut self, i: usize, k: usize, memory: &mut Memory<L>) {
        let block = k / L::STEPS;
        let drift = L::splat(if i > 0 { self.drift } else { 0.0 });
        let from = self.slide + drift;
        if i < self.per_turn {
            let near = if i > 0 {
                L::at(memory.turn.rests[(k - 1) / L::STEPS].edge, k - 1) + drift
            } else {
                from
            };
            near.put(&mut memory.meridians[block].near, k);
        }
        let travelled = self.step * i as f64;
        let target = self.guide + self.station.guide_error;
        let target = target + self.feet.shift + self.machines.guide_lag(travelled);
        target.put(&mut memory.turn.target[block], k);
        self.resolve(k, (from, target), None, memory);
        let there = &memory.turn.rests[block];
        self.slide = L::at(there.slide, k);
        self.moved = L::at(there.way, k);
        let drive = L::at(there.drive, k);
        if !self.eased.simd_gt(L::zero()).all() {
            self.begin_cut(L::at(there.edge, k), k, &memory.meridians[block]);
        }
        if self.feet.may_leave {
            let operation = self.operation;
            let foot = &self.machines.foot;
            let seat = foot.seat_force(drive, operation.pull, operation.slope);
            let step = operation.slope * self.step;
            let back = L::splat(-operation.slope) * foot.slack;
            self.feet.update(seat, back, step, travelled + self.step);
        }
    }

    /// From the first chip on the cut shakes the slide, and holds the tip at one end of its swing.
    fn begin_cut(&mut self, edge: L, k: usize, meridian: &Meridian) {
        let depth = edge - L::at(meridian.surface, k);
        let cuts = depth.simd_gt(L::zero()) & L::at(meridian.engaged, k).simd_gt(L::zero());
        let begins = cuts & !self.eased.simd_gt(L::zero());
        if !begins.any() {
            return;
        }
        self.eased = L::one().select(begins, self.eased);
        let swing = self.swing.select(begins, L::zero());
        self.guide -= swing;
        self.slide -= swing;
        if let Some(ride) = &mut self.ride {
            ride.shift(-swing.extract(0));
        }
    }

    /// Number of the law's table.
    pub(super) fn table(&self) -> usize {
        self.table
    }

    /// Steps a turn.
    pub(super) fn per_turn(&self) -> usize {
        self.per_turn
    }

    /// Time of a step, s.
    pub(super) fn step_time(&self) -> f64 {
        let turns = self.operation.turns_per_second(self.station.radius);
        1.0 / (turns * self.per_turn as f64)
    }
}

/// Whether the feet keep their seats. When the load drives the shoe hard enough the bar slides back
/// through the foot's slack and the tool comes out by `slope * slack`; friction carries it forward
/// again once it can.
struct FootSeats<L> {
    /// Whether a foot can leave its seat at all: on steep tapers.
    may_leave: bool,
    shift: L,
    /// Travel at which a foot left its seat; infinite while it hasn't.
    left_at: L,
}

impl<L: Layout> FootSeats<L> {
    /// After a step with this force on the seats; they go `back` at once, and forward by `step` at
    /// a step (m along `n`).
    fn update(&mut self, seat: L, back: L, step: f64, travelled: f64) {
        let leaves = seat.simd_lt(L::zero());
        let forward = (self.shift + L::splat(step)).lower(L::zero());
        self.shift = back.select(leaves, forward);
        let at = self.left_at.lower(L::splat(travelled));
        self.left_at = at.select(leaves, self.left_at);
    }
}
