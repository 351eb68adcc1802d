//! One pass of lathes abreast, step by step.
//!
//! In the cut a slide goes to `clamp(where it was, low, high)`, and mostly it moves the same way as
//! a turn ago, or stays. What the law comes to was looked at some turns ago and is kept with its
//! bends, so that bound, clamp and what is left are closed forms ([`crate::balance::rest`]). Where
//! that isn't sure, the load is looked at anew, or the slide asked where else it goes; what is left
//! (the start, a law with several balances) is settled alone, lane by lane.

mod settle;

use crate::arithmetic::max;
use crate::balance::goes;
use crate::cut::load::Felt;
use crate::cut::turn::HEIGHT_SHARE_KEPT;
use crate::cut::turn_log::seat_changes;
use crate::cut::{Course, Plan};
use crate::cutting::ForceLaw;
use crate::lanes::{Lanes, Mask as _};
use crate::machine::foot::SHOE_FRICTION;
use crate::record::{Counters, PassRecord, TurnSample};
use crate::surface::Marks;

use super::steps::{Steps, Which, ZERO};
use super::surface::Surfaces;
use super::{ABREAST, Each, Lathes, Slowly};

/// The bits of all lanes.
const ALL: u64 = (1 << ABREAST) - 1;

/// A pass under way.
struct Pass<'a> {
    lathes: &'a Lathes<'a>,
    course: &'a Course<'a>,
    law: &'a ForceLaw<Each>,
    /// The same with each lane that of the lathe asked for.
    law_asked: ForceLaw<Each>,
    laws: &'a [ForceLaw; ABREAST],
    per_turn: usize,
    /// Carriage travel before the taper at the first step, m; negative.
    start: f64,
    /// Carriage travel of a step, m.
    step: f64,
    steps: usize,
    /// What a slide drifts a step where it stands still, m.
    drift: f64,
    direction: f64,
    /// Trailing part of the engaged edge at the depth set, m.
    trail: f64,
    /// Leading part as it is, m.
    lead: Each,
    /// Height of the guide's unloaded middle, m.
    guide: Each,
    swing: Each,
    slow: Slowly,
    /// What the main force adds to the push-off off the centre height, now and as felt.
    height_share: Each,
    height_share_felt: Each,
    slide: Each,
    moved: Each,
    /// Whose slide the cut shakes: one, lower level of drag.
    eased: Which,
    foot_shift: Each,
    /// Travel at which a foot left its seat; infinite while it hasn't.
    foot_left_at: Each,
    /// Whether a foot can leave its seat at all: on steep tapers.
    feet_may_leave: bool,
}

impl<'a> Lathes<'a> {
    /// Makes one pass with the guides' unloaded middles at these heights and cuts it into the
    /// surfaces; returns the travel at which each foot left its seat, infinite if it didn't.
    pub(super) fn pass(
        &self,
        plan: Plan,
        guide: Each,
        surfaces: &mut Surfaces,
        steps: &mut Steps,
    ) -> Each {
        let laws = self.courses.map(|course| course.law(plan.feed));
        let law = ForceLaw::abreast(|lane| &laws[lane]);
        let per_turn = self.first().options.per_turn;
        let marks = &Marks::new(&law.shape, per_turn);
        let pieces = steps.begin(per_turn, &laws[0]);
        let mut pass = Pass::new(self, &law, &laws, plan, guide);
        let start = pass.course.place(pass.start);
        steps.path.begin(start, pass.direction, marks);
        let mut done = 0;
        while done < pass.steps {
            let count = pass.per_turn.min(pass.steps - done);
            pass.begin_turn(done, surfaces, steps);
            if pass.steady(done, count) {
                pass.whole_turn(pieces, steps);
            } else {
                for k in 0..count {
                    pass.step(done + k, k, pieces, steps);
                }
            }
            pass.end_turn(done, count, steps);
            done += count;
        }
        surfaces.cut(&steps.path, marks);
        pass.foot_left_at
    }

    /// What one lathe's last pass came to, turn by turn.
    pub(super) fn record(&self, lane: usize, steps: &Steps, foot_left_at: Each) -> PassRecord {
        let slack = self.drive.slack.extract(lane);
        let samples = steps.samples.iter();
        let turns: Vec<TurnSample> = samples
            .map(|sample| sample.of(lane, slack, steps.lines.len()))
            .collect();
        PassRecord {
            foot_leaves: Some(foot_left_at.extract(lane)).filter(|at| at.is_finite()),
            seat_changes: seat_changes(&turns),
            turns,
            counters: Counters {
                steps: steps.path.steps() as u64,
                ..Counters::default()
            },
            ..PassRecord::default()
        }
    }
}

impl<'a> Pass<'a> {
    fn new(
        lathes: &'a Lathes<'a>,
        law: &'a ForceLaw<Each>,
        laws: &'a [ForceLaw; ABREAST],
        plan: Plan,
        guide: Each,
    ) -> Self {
        let course = lathes.first();
        let per_turn = course.options.per_turn;
        let step = plan.feed / per_turn as f64;
        let nominal = law.shape.engaged(max(plan.set, 1e-6));
        let start = -(nominal.lead / plan.feed).ceil() * plan.feed;
        let pushes = laws
            .each_ref()
            .map(|law| law.at(max(plan.set, 1e-6), 0.0, 1.0).push_off.signum());
        let enters = guide + lathes.enters;
        Self {
            lathes,
            course,
            law,
            law_asked: *law,
            laws,
            per_turn,
            start,
            step,
            steps: ((course.stock.length - start) / step).ceil() as usize + per_turn / 2,
            drift: -course.pull * course.slope * step,
            direction: course.setup.feed.sign(),
            trail: nominal.trail,
            lead: Each::splat(nominal.lead),
            guide,
            swing: lathes.swing * Each::from(pushes),
            slow: lathes.slowly(course.place(start)),
            height_share: ZERO,
            height_share_felt: Each::splat(f64::INFINITY),
            slide: enters,
            moved: ZERO,
            eased: ZERO.simd_ne(ZERO),
            foot_shift: ZERO,
            foot_left_at: Each::splat(f64::INFINITY),
            feet_may_leave: course.slope > SHOE_FRICTION,
        }
    }

    /// Carriage travel from the starting end of the taper at a step, m.
    fn travel(&self, step: usize) -> f64 {
        self.start + self.step * step as f64
    }

    fn begin_turn(&mut self, done: usize, surfaces: &Surfaces, steps: &mut Steps) {
        let travel = self.travel(done);
        let z = self.course.place(travel);
        self.slow = self.lathes.slowly(z);
        if done > 0 {
            let depth = steps.turn.edge[self.per_turn - 1] - surfaces.at(self.per_turn - 1, z);
            self.lead = self.law.shape.lead(depth.higher(Each::splat(1e-6)));
        }
        self.height_share = self.lathes.off_centre / Each::splat(self.slow.radius);
        let another = (self.height_share - self.height_share_felt)
            .simd_abs()
            .simd_gt(Each::splat(HEIGHT_SHARE_KEPT));
        if another.any() {
            for felt in &mut steps.felt {
                *felt = Felt::nowhere().or(another, *felt);
            }
            self.height_share_felt = self.height_share.select(another, self.height_share_felt);
        }
        let along = self.direction * self.step;
        let ahead = Each::splat(z) + Each::splat(0.5 * self.direction) * self.lead;
        surfaces.along_turn(ahead, along, &mut steps.lines);
        let fields = self.lathes.courses.map(|course| &course.luck.hardness);
        let (lines, hardness) = (&mut steps.lines, &mut steps.fields);
        hardness.along_turn(fields, z, along, lines);
        self.engage(done, steps);
        steps.look_back(done / self.per_turn);
    }

    /// Writes down what a turn, or what there is of it, came to.
    fn end_turn(&self, done: usize, count: usize, steps: &mut Steps) {
        for (line, &way) in steps.lines.iter_mut().zip(&steps.turn.way) {
            line.held = line.held.select(line.way.simd_eq(way), ZERO) + Each::splat(1.0);
            line.way = way;
        }
        let turn = &steps.turn;
        let nothing = Each::splat(f64::NEG_INFINITY);
        let met = turn.edge[..count].iter().zip(&steps.lines);
        steps.path.add_turn(met.map(|(&edge, line)| {
            let kept = (edge - line.surface).simd_gt(self.lathes.uncut);
            (edge + self.slow.height_error).select(kept, nothing)
        }));
        if count == self.per_turn {
            let middle = self.travel(done) + self.step * (0.5 * (count - 1) as f64);
            let hold = (self.slow.preload, self.lathes.hold_rate);
            let mut sample = turn.means(&steps.lines, hold);
            sample.z = self.course.place(middle);
            steps.samples.push(sample);
        }
    }

    /// Writes down what share of the edge is in the work at each step.
    fn engage(&self, done: usize, steps: &mut Steps) {
        let last = Each::splat(self.travel(done + self.per_turn)) + self.lead;
        let whole = self.travel(done) >= self.trail
            && last.simd_le(Each::splat(self.course.stock.length)).all();
        if whole && steps.whole {
            return;
        }
        steps.whole = whole;
        for (k, line) in steps.lines.iter_mut().enumerate() {
            line.inside = self.inside(self.travel(done + k));
            line.engaged = match &self.course.metal {
                None => line.inside,
                Some(metal) => line.inside * Each::splat(metal[k]),
            };
        }
    }

    /// Share of the engaged edge that is between the work's ends after a carriage travel.
    #[inline(always)]
    fn inside(&self, travel: f64) -> Each {
        let (length, one) = (self.course.stock.length, Each::splat(1.0));
        let to = Each::splat(travel) + self.lead;
        let inside = to.simd_le(Each::splat(length));
        if travel >= self.trail && inside.all() {
            return one;
        }
        let from = max(travel - self.trail, 0.0);
        let share = (to.lower(Each::splat(length)) - Each::splat(from))
            / (self.lead + Each::splat(self.trail));
        let share = share.higher(ZERO).lower(one);
        if travel >= self.trail {
            one.select(inside, share)
        } else {
            share
        }
    }

    /// Whether the guides stand still over a turn: in the cut, feet and bars seated.
    fn steady(&self, done: usize, count: usize) -> bool {
        done > 0
            && count == self.per_turn
            && self.eased.all()
            && !self.feet_may_leave
            && self.step * done as f64 > self.latest_foot()
    }

    /// Takes a turn of steps in which the guides stand still: first what doesn't hang on the step
    /// before, then the clamp, then what is left of it, for all steps each, so that none waits for
    /// more than it must.
    fn whole_turn(&mut self, pieces: usize, steps: &mut Steps) {
        let n = self.per_turn;
        let guide = self.guide + self.slow.guide_error;
        self.look_all(guide, pieces, steps);
        let drift = Each::splat(self.drift);
        let mut next = 0;
        while next < n {
            let mut slide = self.slide;
            let looks = steps.looks.iter().zip(&steps.lines);
            for ((look, line), rests) in looks.zip(&mut steps.turn.slide).skip(next) {
                let (from, bound) = (slide + drift, look.ahead.position);
                slide = bound.select(goes(from, line.way, bound), from);
                *rests = slide;
            }
            let failed = self.rest_until_unsure(next, guide, steps);
            next = n;
            if failed < n {
                let from = if failed > 0 {
                    steps.turn.slide[failed - 1]
                } else {
                    self.slide
                };
                let from = from + drift;
                let (there, told) = self.otherwise(failed, from, guide, pieces, steps);
                self.remember(failed, told, &there, steps);
                steps.turn.put(failed, &there, guide);
                self.slide = there.slide;
                next = failed + 1;
            }
        }
        self.slide = steps.turn.slide[n - 1];
    }

    /// Where the slides come to rest from step `next` on, they having gone as written down, until
    /// the look at the load doesn't tell; returns that step, or the turn's end.
    #[inline(never)]
    fn rest_until_unsure(&self, next: usize, guide: Each, steps: &mut Steps) -> usize {
        let drift = Each::splat(self.drift);
        let mut from = drift
            + if next > 0 {
                steps.turn.slide[next - 1]
            } else {
                self.slide
            };
        let known = steps.lines.iter().zip(&steps.felt).zip(&steps.looks);
        for (k, ((line, felt), look)) in known.enumerate().skip(next) {
            let (there, known) = self.rest(line, felt, look, from, guide);
            from = there.slide + drift;
            steps.turn.put(k, &there, guide);
            if known.bits() != ALL {
                return k;
            }
        }
        self.per_turn
    }

    /// Takes one step.
    fn step(&mut self, i: usize, k: usize, pieces: usize, steps: &mut Steps) {
        let drift = Each::splat(if i > 0 { self.drift } else { 0.0 });
        let from = self.slide + drift;
        if i < self.per_turn {
            steps.lines[k].near = if i > 0 {
                steps.turn.edge[k - 1] + drift
            } else {
                from
            };
        }
        let travelled = self.step * i as f64;
        let target = self.guide + self.slow.guide_error;
        let guide = target + self.foot_shift + self.late(travelled);
        self.look(k, guide, pieces, steps);
        let (line, felt) = (&steps.lines[k], &steps.felt[k]);
        let (mut there, mut told) = self.rest(line, felt, &steps.looks[k], from, guide);
        if !told.all() {
            (there, told) = self.otherwise(k, from, guide, pieces, steps);
        }
        self.remember(k, told, &there, steps);
        steps.turn.put(k, &there, guide);
        self.slide = there.slide;
        self.moved = there.way;
        if !self.eased.all() {
            let line = &steps.lines[k];
            let cuts = (there.edge - line.surface).simd_gt(ZERO);
            let begins = cuts & line.engaged.simd_gt(ZERO) & !self.eased;
            self.eased = self.eased | begins;
            // From now on the push-off holds the tip at one end of its swing.
            let swing = self.swing.select(begins, ZERO);
            self.guide -= swing;
            self.slide -= swing;
        }
        if self.feet_may_leave {
            self.seat_feet(there.drive, travelled + self.step);
        }
    }

    /// Carriage travel over which any guide bar rides with its carriage, m.
    fn latest_foot(&self) -> f64 {
        let all: [f64; ABREAST] = self.lathes.foot_left.into();
        all.into_iter().fold(0.0, max)
    }

    /// How far the cone has gone on while a bar still rides with the carriage and the guide stands
    /// still, m along `n`, after a carriage travel since the pass began.
    fn late(&self, travelled: f64) -> Each {
        let left = (self.lathes.foot_left - Each::splat(travelled)).higher(ZERO);
        Each::splat(self.course.pull * self.course.slope) * left
    }

    /// Whether the feet keep their seats. When the load drives the shoe hard enough the bar slides
    /// back through the foot's slack and the tool comes out by `slope * slack`; friction carries
    /// it forward again once it can.
    #[inline(always)]
    fn seat_feet(&mut self, drive: Each, travelled: f64) {
        let one = Each::splat(1.0);
        let pull = Each::splat(self.course.pull);
        let driven = one.select((drive * pull).simd_gt(ZERO), -one);
        let slope = Each::splat(self.course.slope);
        let share = Each::splat(SHOE_FRICTION) + driven * slope;
        let seated = self.lathes.bar_drag + drive.simd_abs() * share;
        let leaves = seated.simd_lt(ZERO);
        if leaves.any() || self.foot_shift.simd_ne(ZERO).any() {
            let back = -slope * self.lathes.foot_slack;
            let forward = self.foot_shift + Each::splat(self.course.slope * self.step);
            self.foot_shift = back.select(leaves, forward.lower(ZERO));
            let at = self.foot_left_at.lower(Each::splat(travelled));
            self.foot_left_at = at.select(leaves, self.foot_left_at);
        }
    }
}
