//! Several lathes that cut the same job the same way, abreast: each is a lane.
//!
//! What the lathes have in common is the job: cone, feed, nose, places along the work. So a step is
//! the same step on all of them, and tables, bounds, clamp, surface and notes go side by side, where
//! one lathe alone must wait at each step for the one before. Slacks, springs, drags, hard spots
//! and what comes of them are their own. No lane knows of the others: a lathe's cut is the same to
//! the last bit whoever else cuts beside it, which `sim/tests/cut_abreast.rs` shows.
//!
//! The laws are those of a pass of one lathe; the numbers differ from it by how closely a step is
//! found, some 1e-7 of the depth, and where a slide floats, by what grows from that.

mod hardness;
mod notes;
mod steps;
mod surface;
mod pass;

use crate::balance::Link;
use crate::lanes::{Eight, Lanes};
use crate::machine::slide::Drag;
use crate::quantity::Quantity;
use crate::record::PassRecord;
use crate::scenario::Toward;
use crate::surface::{Traced, on_metal};

use super::{Course, GAUGE_BAND, PassKind, Plan, Room};
use steps::Steps;
use surface::{Surfaces, mean_of};

/// Lathes side by side.
pub const ABREAST: usize = Each::LANES;

/// A number of each lathe.
type Each = Eight;

/// What gauges are put to: the surface, and the last pass with a set depth.
#[derive(Clone, Debug)]
pub struct Turned {
    /// The surface that stands.
    pub traced: Traced,
    /// The pass.
    pub last: PassRecord,
}

/// Room for the arrays of lathes abreast.
#[derive(Default)]
pub(super) struct AbreastRoom {
    surfaces: Surfaces,
    steps: Steps,
}

/// Makes the finishing passes of up to [`ABREAST`] lathes from an even stock, without the slide's
/// mass; the courses are ways alike of jobs alike, of as many steps a turn.
///
/// # Panics
/// Without a course, or with too many.
pub fn finish_abreast(courses: &[Course<'_>], room: &mut Room) -> Vec<Turned> {
    assert!(
        (1..=ABREAST).contains(&courses.len()),
        "one to {ABREAST} lathes"
    );
    let lathes = Lathes::new(courses);
    let AbreastRoom { surfaces, steps } = &mut room.abreast;
    let last = lathes.finish(surfaces, steps);
    let traced = surfaces.traced(courses[0].metal.as_deref(), lathes.gauged(surfaces));
    let turned = traced.into_iter().zip(last).take(courses.len());
    turned
        .map(|(traced, last)| Turned { traced, last })
        .collect()
}

/// The machines, number by number.
struct Lathes<'a> {
    /// Where there are too few, the last fills the lanes.
    courses: [&'a Course<'a>; ABREAST],
    drive: Link<Each>,
    drag: Drag<Each>,
    /// Slack of foot and rod along the bed, m, and what the bar drags on the carriage, N.
    foot_slack: Each,
    bar_drag: Each,
    /// What tools give way, m/N, and the work along its length.
    tool_gives: Each,
    work_gives: Vec<Each>,
    /// Drag along the stroke over its mean, less one.
    local_drag: Vec<Each>,
    hold: Each,
    hold_rate: Each,
    /// Rise of the guide's setting error along `+Z`, along `n`.
    steeper: Each,
    /// The guide's bow along `n` over the square of half its travel, 1/m.
    bow: Each,
    /// Height of the edge over the centre, m, and the same where the main force pushes it off.
    height: Each,
    off_centre: Each,
    /// Where the unloaded slide stands against the guide's middle after the run-in, and where it
    /// enters the cut, m.
    stands: Each,
    enters: Each,
    /// Carriage travel of the cut over which the guide bars ride with the carriage, m.
    foot_left: Each,
    /// How far the tips can swing, m, without the sign of the push-off.
    swing: Each,
    /// Depth under which nothing is cut, m.
    uncut: Each,
}

/// What changes slowly along the work: looked up once a turn.
#[derive(Clone, Copy)]
struct Slowly {
    gives: Each,
    drag: Each,
    preload: Each,
    guide_error: Each,
    height_error: Each,
    radius: f64,
}

impl<'a> Lathes<'a> {
    fn new(courses: &'a [Course<'a>]) -> Self {
        let last = courses.len() - 1;
        let courses: [&Course<'_>; ABREAST] = std::array::from_fn(|lane| &courses[lane.min(last)]);
        let first = courses[0];
        debug_assert!(
            courses.iter().all(|course| {
                course.setup == first.setup
                    && course.options.per_turn == first.options.per_turn
                    && course.stock == first.stock
                    && course.slope == first.slope
                    && course.metal == first.metal
                    && course.scenario.job.passes == first.scenario.job.passes
            }),
            "jobs that are not alike"
        );
        let lanes = |of: &dyn Fn(&Course<'_>) -> f64| Each::gather(|lane| of(courses[lane]));
        let setup = &first.setup;
        let rises = setup.inward() * setup.slope_sign();
        let inward = -setup.out_of_cut(Toward::Operator);
        let off_centre = setup.inward() * setup.press().sign();
        let tables = |of: &dyn Fn(&'a Course<'a>) -> &'a [f64]| -> Vec<Each> {
            let tables = courses.map(of);
            (0..tables[0].len())
                .map(|i| Each::gather(|lane| tables[lane][i]))
                .collect()
        };
        Self {
            courses,
            drive: Link {
                slack: lanes(&|c| c.machine.drive.slack),
                first: lanes(&|c| c.machine.drive.first),
                other: lanes(&|c| c.machine.drive.other),
            },
            drag: Drag::abreast(|lane| &courses[lane].machine.drag),
            foot_slack: lanes(&|c| c.machine.foot.slack),
            bar_drag: lanes(&|c| c.machine.foot.bar_drag),
            tool_gives: lanes(&|c| c.machine.tool_gives),
            work_gives: tables(&|c| c.machine.bench.places()),
            local_drag: tables(&|c| &c.luck.drag),
            hold: lanes(&|c| c.machine.hold.out),
            hold_rate: lanes(&|c| c.machine.hold.rate),
            steeper: lanes(&|c| rises * c.scenario.lathe.attachment.setting_error.middle.slope()),
            bow: lanes(&|c| {
                let attachment = &c.scenario.lathe.attachment;
                let half_travel = 0.5 * attachment.guide_travel.si();
                inward * attachment.guide_bow.si() / (half_travel * half_travel)
            }),
            height: lanes(&|c| c.scenario.job.tool.height.si()),
            off_centre: lanes(&|c| off_centre * c.scenario.job.tool.height.si()),
            stands: lanes(&|c| c.approach.stands()),
            enters: lanes(&|c| c.late(0.0) + c.approach.enters()),
            foot_left: lanes(&|c| c.approach.foot_left()),
            swing: lanes(&|c| c.machine.swing * c.scenario.job.tool.swing_left.si()),
            uncut: lanes(&|c| super::pass::UNCUT_SHARE * c.scenario.job.tool.edge_radius.si()),
        }
    }

    /// The course whose job is everyone's.
    fn first(&self) -> &'a Course<'a> {
        self.courses[0]
    }

    /// Every finishing and spring pass; the record of the last with a set depth, by lathe.
    fn finish(&self, surfaces: &mut Surfaces, steps: &mut Steps) -> [PassRecord; ABREAST] {
        let course = self.first();
        let (stock, job) = (&course.stock, &course.scenario.job.passes);
        let depth = Each::splat(stock.to_finish);
        let round = self.courses.map(|course| course.luck.blank.as_slice());
        surfaces.begin(stock, course.spacing(), -stock.to_finish, round);
        surfaces.even(-depth - self.gauged(surfaces));
        let guide = -depth - self.stands;
        let feed = job.feed.si();
        let mut dial = 0.0;
        let mut last = Default::default();
        let finish = job.finish.iter().map(|set| (PassKind::Finish, set.si()));
        let spring = (0..job.spring).map(|_| (PassKind::Spring, 0.0));
        for (n, (kind, set)) in finish.chain(spring).enumerate() {
            dial += set;
            let plan = Plan {
                kind,
                set,
                feed,
                with_inertia: false,
            };
            let before = self.gauged(surfaces);
            let foot_left_at = self.pass(plan, guide + Each::splat(dial), surfaces, steps);
            // The last with a set depth.
            if n + 1 == job.finish.len() {
                let taken = self.gauged(surfaces) - before;
                last = std::array::from_fn(|lane| PassRecord {
                    number: n + 1,
                    finishing: true,
                    set,
                    feed,
                    taken: taken.extract(lane),
                    ..self.record(lane, steps, foot_left_at)
                });
            }
        }
        last
    }

    /// Mean height round the gauge plane, m.
    fn gauged(&self, surfaces: &Surfaces) -> Each {
        let course = self.first();
        let on_metal = on_metal(surfaces.meridians(), course.metal.as_deref());
        let (places, z) = course.gauge_band(course.stock.gauge_z, surfaces.spacing());
        let (mut sum, mut count) = (Each::splat(0.0), 0.0);
        for k in places.start..places.end.min(surfaces.nodes()) {
            if (surfaces.spacing() * k as f64 - z).abs() <= GAUGE_BAND {
                sum += mean_of(surfaces.round(k), &on_metal);
                count += 1.0;
            }
        }
        if count > 0.0 {
            sum / Each::splat(count)
        } else {
            surfaces.at(on_metal[0], z)
        }
    }

    fn slowly(&self, z: f64) -> Slowly {
        let course = self.first();
        let (stock, setup) = (&course.stock, &course.setup);
        let z = z.clamp(0.0, stock.length);
        let from_middle =
            setup.inward() * setup.slope_sign() * course.slope * (z - 0.5 * stock.length);
        let between = |table: &[Each]| {
            let place = z / stock.length * (table.len() - 1) as f64;
            let i = (place as usize).min(table.len() - 2);
            table[i] + Each::splat(place - i as f64) * (table[i + 1] - table[i])
        };
        let square = |z: f64| (z - 0.5 * stock.length).powi(2);
        let (gauge, here) = (stock.radius(stock.gauge_z), stock.radius(z));
        let (h, along) = (self.height, here - gauge);
        let x = (Each::splat(gauge * gauge) - h * h)
            .higher(Each::splat(0.0))
            .simd_sqrt()
            + Each::splat(along);
        let height_error = (x * x + h * h).simd_sqrt() - Each::splat(here);
        Slowly {
            gives: self.tool_gives + between(&self.work_gives),
            drag: Each::splat(1.0) + between(&self.local_drag),
            preload: self.hold + self.hold_rate * Each::splat(from_middle),
            guide_error: self.steeper * Each::splat(z - stock.gauge_z)
                + self.bow * Each::splat(square(stock.gauge_z) - square(z)),
            height_error: Each::splat(setup.inward()) * height_error,
            radius: here.max(1e-4),
        }
    }
}
