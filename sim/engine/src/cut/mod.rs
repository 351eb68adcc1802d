//! The run along the work: approach in air, touch-off, every pass, every turn.
//!
//! All heights are along `n` relative to the finished cone, so a slide that stands still drifts
//! by `-pull * slope` a metre of carriage, and a guide that is set right stands still.

mod hand;
mod load;
mod approach;
mod inertia;
mod march;
mod room;
mod stock;

pub use approach::{Approach, RunIn, lost_motion, reversal, withdrawal};
pub use inertia::{Inertia, Ridden};
pub use load::{Acting, Air, Cut};
pub(crate) use march::{MachineBatch, UNCUT_SHARE, WHOLE, seat_changes};
pub use room::Room;
pub use stock::Stock;

use std::ops::Range;
use std::sync::Arc;

use crate::arithmetic::{atan, clamp, max, min};
use crate::cutting::{EdgeShape, ForceLaw};
use crate::lanes::{Eight, Lanes, Layout};
use crate::machine::Machine;
use crate::quantity::{Quantity, Speed};
use crate::record::{PassRecord, Roughing};
use crate::scenario::{End, Scenario};
use crate::setup::Setup;
use crate::surface::{EdgePath, Surface, Traced};
use crate::unevenness::{self, Patches};
use march::{Expansions, Made};
use room::Scratch;

/// Extra roughing passes at the same dial before the roughing is taken as it is.
const EXTRA_ROUGHING: usize = 6;
/// A roughed surface is even when it strays by less than this share of the finishing stock.
const EVEN_SHARE: f64 = 0.3;
/// Half-width of the band over which a diameter is measured, m.
const GAUGE_BAND: f64 = 2e-3;

/// How finely and with which luck a run is made.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Options {
    /// Steps a turn, which is also the number of lines along the work.
    pub per_turn: usize,
    /// Seed of the work's unevenness.
    pub seed: u64,
    /// Start this far before the taper instead of as far as needed, m: to see what too short a
    /// run-in does.
    pub run_in: Option<f64>,
}

impl Default for Options {
    fn default() -> Self {
        Self {
            per_turn: 24,
            seed: 1,
            run_in: None,
        }
    }
}

/// What a pass is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum PassKind {
    Rough,
    Finish,
    Spring,
}

/// A pass to be made.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Plan {
    kind: PassKind,
    /// What is set for it, m per side.
    set: f64,
    feed: f64,
    /// With the slide's mass, where it is to be reckoned with.
    with_inertia: bool,
}

/// One way of making one taper on one machine: everything that stays fixed over the passes.
#[derive(Clone, Debug)]
pub struct Course<'a> {
    scenario: &'a Scenario,
    setup: Setup,
    options: Options,
    /// The machine as this way uses it.
    pub machine: Machine,
    /// Change of radius over length, without sign: the middle of the tolerance band.
    pub slope: f64,
    pull: f64,
    stock: Stock,
    approach: Approach,
    luck: Arc<Luck>,
    /// Share of each meridian's width that is metal, where there are slots.
    metal: Option<Vec<f64>>,
    inertia: Option<Inertia>,
}

/// The work after its last pass.
#[derive(Clone, Debug)]
pub struct Finished {
    /// Every pass, in order.
    pub passes: Vec<PassRecord>,
    /// Position in `passes` of the last pass with a set depth.
    pub last_set: usize,
    /// The surface that stands, mean between feed marks.
    pub surface: Surface,
    /// The edge's path of the last pass, for the feed marks.
    pub last_path: EdgePath,
    /// How the roughing went.
    pub roughing: Roughing,
    /// How the last pass with a set depth went with the slide's mass, if it was made so.
    pub ridden: Option<Ridden>,
}

/// What is uneven: the same for every way of cutting a piece on a machine.
#[derive(Clone, Debug)]
pub struct Luck {
    hardness: Patches,
    /// Drag along the stroke over its mean, less one.
    drag: Vec<f64>,
    /// Height of the blank, line by line.
    blank: Vec<f64>,
}

impl Luck {
    /// By the seed of the options.
    pub fn new(scenario: &Scenario, options: Options) -> Self {
        let (work, cutting) = (&scenario.job.work, &scenario.job.cutting);
        let length = work.length.si();
        let stroke = aimed_taper(scenario) / 2.0 * length;
        Self {
            hardness: Patches::hardness(
                options.seed,
                cutting.unevenness.si(),
                cutting.patch.si(),
                length,
                0.5 * work.diameter.si(),
                options.per_turn,
            ),
            drag: unevenness::drag_along_stroke(
                options.seed,
                scenario.lathe.slide.drag_change.si(),
                stroke,
            ),
            blank: unevenness::blank(
                options.seed,
                work.run_out.si(),
                work.ovality.si(),
                options.per_turn,
            ),
        }
    }
}

impl<'a> Course<'a> {
    /// Prepares one way.
    pub fn new(scenario: &'a Scenario, setup: Setup, options: Options) -> Self {
        let luck = Arc::new(Luck::new(scenario, options));
        Self::with_luck(scenario, setup, options, luck)
    }

    /// Prepares one way on a piece and machine with this luck, that of the same scenario, seed
    /// and steps a turn.
    pub fn with_luck(
        scenario: &'a Scenario,
        setup: Setup,
        options: Options,
        luck: Arc<Luck>,
    ) -> Self {
        let work = &scenario.job.work;
        let slope = aimed_taper(scenario) / 2.0;
        let (machine, approach) = approach(scenario, &setup, options);
        let stock = Stock::new(scenario, &setup);
        let pull = setup.pull().sign();
        let metal = work.slots.map(|slots| {
            let slot = slots.width.si() / (std::f64::consts::PI * work.diameter.si());
            unevenness::metal(slots.count, slot, options.per_turn)
        });
        Self {
            scenario,
            setup,
            options,
            machine,
            slope,
            pull,
            stock,
            approach,
            luck,
            metal,
            inertia: None,
        }
    }

    /// The same way on a changed machine.
    pub fn on(mut self, machine: Machine) -> Self {
        self.approach = Approach::new(&machine, self.pull, self.approach.room, self.options.run_in);
        self.machine = machine;
        self
    }

    /// The approach in air.
    pub fn approach(&self) -> &Approach {
        &self.approach
    }

    /// Place of the gauge plane, m from the headstock-side end.
    pub fn gauge_z(&self) -> f64 {
        self.stock.gauge_z
    }

    /// Length of the taper, m.
    pub fn length(&self) -> f64 {
        self.stock.length
    }

    /// The force law of this job at a feed.
    pub fn law(&self, feed: f64) -> ForceLaw {
        let job = &self.scenario.job;
        ForceLaw::new(
            job.cutting.specific_force.si(),
            job.cutting.exponent,
            job.cutting.push_ratio.si(),
            job.cutting.edge_force.si(),
            self.shape(feed),
            self.pull * atan(self.slope),
        )
    }

    fn shape(&self, feed: f64) -> EdgeShape {
        let tool = &self.scenario.job.tool;
        EdgeShape::new(tool.nose_radius.si(), tool.entering_angle.si(), feed)
    }

    /// Radius of the finished cone at `z`, m.
    pub fn radius(&self, z: f64) -> f64 {
        self.stock.radius(z)
    }

    /// Makes every pass, roughing first.
    ///
    /// Where roughing this way doesn't leave an even stock, finishing starts from an even one,
    /// as after roughing another way: the finishing passes of all ways can then be compared.
    pub fn run(&self) -> Finished {
        let room = &mut Room::default();
        let lathe = MachineBatch::new(std::slice::from_ref(self));
        let mut passes = Vec::new();
        self.begin(&lathe, &mut room.one);
        room.one.surface.lay(|z| self.stock.blank(z));
        let roughing = self.rough(&lathe, &mut room.one, &mut passes);
        if roughing.came_even {
            lathe.size(&mut room.one.surface);
        } else {
            self.begin(&lathe, &mut room.one);
            lathe.lay_to_finish(&mut room.one.surface);
        }
        self.finish(&lathe, roughing, passes, room)
    }

    /// Makes the finishing passes alone, from an even stock.
    pub fn run_finishing(&self) -> Finished {
        self.run_finishing_in(&mut Room::default())
    }

    /// The same, in room that is there already.
    pub fn run_finishing_in(&self, room: &mut Room) -> Finished {
        let lathe = MachineBatch::new(std::slice::from_ref(self));
        self.begin(&lathe, &mut room.one);
        lathe.lay_to_finish(&mut room.one.surface);
        self.finish(&lathe, Roughing::NONE, Vec::new(), room)
    }

    /// A round of the blank's run-out and out-of-round, to be laid along the work.
    fn begin<L: Layout>(&self, lathes: &MachineBatch<'_, L>, scratch: &mut Scratch<L>) {
        let round = (0..self.options.per_turn).map(|line| lathes.blank(line));
        let (length, spacing) = (self.stock.length, self.spacing());
        let metal = self.metal.as_deref();
        scratch.surface.begin(length, spacing, round, metal);
    }

    /// Spacing of the places at which the surface is kept, at most, m.
    fn spacing(&self) -> f64 {
        let passes = &self.scenario.job.passes;
        let spacing = min(passes.feed.si(), passes.rough_feed.si());
        max(spacing, self.stock.length / 4000.0)
    }

    /// Roughing: dialled from a touch on the blank, until the finishing stock is left.
    fn rough(
        &self,
        lathe: &MachineBatch<'_, f64>,
        scratch: &mut Scratch<f64>,
        records: &mut Vec<PassRecord>,
    ) -> Roughing {
        let Some(dialled) = self.stock.roughing() else {
            return Roughing::NONE;
        };
        let guide = -dialled.stock - self.approach.stands();
        let (planned, set) = (dialled.passes, dialled.set);
        let plan = Plan {
            kind: PassKind::Rough,
            set,
            feed: self.scenario.job.passes.rough_feed.si(),
            with_inertia: false,
        };
        let Scratch { surface, memory } = scratch;
        for n in 1..=planned {
            let made = lathe.pass(plan, guide + set * n as f64, surface, memory);
            records.push(made.record(0, n));
        }
        // As everyone does: again at the same dial while it still takes metal.
        let again = Plan { set: 0.0, ..plan };
        let even = EVEN_SHARE * self.stock.to_finish;
        let mut extra = 0;
        while extra < EXTRA_ROUGHING && self.unevenness_of(lathe, surface) > even {
            let made = lathe.pass(again, guide + set * planned as f64, surface, memory);
            records.push(made.record(0, records.len() + 1));
            extra += 1;
        }
        let left = self.unevenness_of(lathe, surface);
        Roughing {
            planned,
            extra,
            left,
            came_even: left <= even,
        }
    }

    /// How far the surface strays from its height at the gauge plane, m.
    fn unevenness_of(&self, lathe: &MachineBatch<'_, f64>, surface: &Surface) -> f64 {
        let mean = surface.mean();
        let gauge = lathe.gauged(surface);
        let skip = (GAUGE_BAND / surface.spacing()) as usize;
        let inner = &mean[skip.min(mean.len() / 4)..mean.len() - skip.min(mean.len() / 4)];
        inner.iter().map(|h| (h - gauge).abs()).fold(0.0, max)
    }

    /// Finishing, and all that is told of one lathe.
    fn finish(
        &self,
        lathe: &MachineBatch<'_, f64>,
        roughing: Roughing,
        mut passes: Vec<PassRecord>,
        room: &mut Room,
    ) -> Finished {
        let first = passes.len();
        let mut ridden = None;
        lathe.finish(&mut room.one, |n, made| {
            passes.push(made.record(0, first + n + 1));
            if made.plan.kind == PassKind::Finish {
                ridden = made.ridden;
            }
        });
        let Scratch { surface, memory } = &mut room.one;
        let path = &mut memory.path;
        Finished {
            passes,
            last_set: first + self.scenario.job.passes.finish.len().saturating_sub(1),
            surface: std::mem::take(surface),
            last_path: EdgePath {
                heights: std::mem::take(&mut path.heights),
                start: path.start,
                direction: self.setup.feed.sign(),
                per_turn: self.options.per_turn,
                shape: self.shape(self.scenario.job.passes.feed.si()),
            },
            roughing,
            ridden,
        }
    }

    /// The places among which the band is in which a mike or bore gauge sits at `z`, and where it
    /// sits, m: a band's half-width from either end, at least.
    fn gauge_band(&self, z: f64, spacing: f64) -> (Range<usize>, f64) {
        let z = clamp(
            z,
            min(GAUGE_BAND, 0.5 * self.stock.length),
            max(self.stock.length - GAUGE_BAND, 0.5 * self.stock.length),
        );
        // One place more to either side, so that rounding decides nothing.
        let low = max((z - GAUGE_BAND) / spacing - 1.0, 0.0) as usize;
        let band = ((2.0 * GAUGE_BAND / spacing) as usize) + 4;
        (low..low + band, z)
    }

    /// Place after a carriage travel `s` from the starting end, m.
    fn place(&self, s: f64) -> f64 {
        if self.setup.feed.sign() > 0.0 {
            s
        } else {
            self.stock.length - s
        }
    }

    /// Hardness on a line at `z` over the table's, less one.
    pub(crate) fn hardness(&self, line: usize, z: f64) -> f64 {
        self.luck.hardness.at(line, z)
    }

    /// The way it is cut.
    pub fn setup(&self) -> &Setup {
        &self.setup
    }

    /// The most that the drag along the stroke is over its mean.
    pub fn most_local_drag(&self) -> f64 {
        1.0 + self.luck.drag.iter().copied().fold(0.0, max)
    }

    /// Push-off that a tool off the centre height adds per main force at the gauge plane.
    pub fn off_centre_share(&self) -> f64 {
        let height = self.scenario.job.tool.height.si();
        self.setup.inward() * self.setup.press().sign() * height / self.radius(self.gauge_z())
    }

    /// Spindle turns a second, at this radius where a surface speed was given.
    pub fn turns_per_second(&self, radius: f64) -> f64 {
        match self.scenario.job.passes.speed {
            Speed::Turns(n) => n,
            Speed::Surface(v) => v / (std::f64::consts::TAU * radius),
        }
    }
}

/// The machine as one way uses it, and its approach in air: all that it takes to tell whether the
/// way can be cut.
pub fn approach(scenario: &Scenario, setup: &Setup, options: Options) -> (Machine, Approach) {
    let work = &scenario.job.work;
    let machine = Machine::new(scenario, setup, aimed_taper(scenario) / 2.0);
    let room = match setup.starts_at() {
        End::Headstock => work.room_headstock.si(),
        End::Tailstock => work.room_tailstock.si(),
    };
    let approach = Approach::new(&machine, setup.pull().sign(), room, options.run_in);
    (machine, approach)
}

/// Taper to aim at, on diameter: the middle of the tolerance band.
pub fn aimed_taper(scenario: &Scenario) -> f64 {
    let work = &scenario.job.work;
    work.taper.si() + 0.5 * (work.tolerance.lower.si() + work.tolerance.upper.si())
}

/// Lathes side by side.
pub const BATCH: usize = Eight::LANES;

/// What gauges are put to: the surface, and the last pass with a set depth.
#[derive(Clone, Debug)]
pub struct Turned {
    /// The surface that stands.
    pub traced: Traced,
    /// The pass.
    pub last: PassRecord,
}

/// Makes the finishing passes of up to [`BATCH`] lathes from an even stock, without the slide's
/// mass; the courses are ways alike of jobs alike, of as many steps a turn.
///
/// # Panics
/// Without a course, or with too many.
pub fn finish_batch(courses: &[Course<'_>], room: &mut Room) -> Vec<Turned> {
    assert!(
        (1..=BATCH).contains(&courses.len()),
        "one to {BATCH} lathes"
    );
    let lathes = MachineBatch::<Eight>::new(courses);
    let scratch = &mut room.eight;
    courses[0].begin(&lathes, scratch);
    lathes.lay_to_finish(&mut scratch.surface);
    let last_set = courses[0].scenario.job.passes.finish.len() - 1;
    let mut last = Vec::new();
    lathes.finish(scratch, |n, made| {
        if n == last_set {
            last = (0..courses.len()).map(|i| made.record(i, n + 1)).collect();
        }
    });
    let traced = scratch.surface.traced(lathes.gauged(&scratch.surface));
    let turned = traced.into_iter().zip(last);
    turned
        .map(|(traced, last)| Turned { traced, last })
        .collect()
}

impl<L: Expansions> MachineBatch<'_, L> {
    /// Lays an even stock along the work, as it is measured at the gauge plane.
    fn lay_to_finish(&self, surface: &mut Surface<L>) {
        let depth = L::splat(self.first().stock.to_finish);
        let even = -depth - self.gauged(surface);
        surface.lay_even(even);
    }

    /// Sets the size anew: the surface is measured at the gauge plane.
    fn size(&self, surface: &mut Surface<L>) {
        let depth = L::splat(self.first().stock.to_finish);
        let by = -depth - self.gauged(surface);
        surface.shift(by);
    }

    /// Finishing: the edge touched off anew after the run-in, the passes and spring passes made;
    /// told of each in turn.
    fn finish(&self, scratch: &mut Scratch<L>, mut made: impl FnMut(usize, &Made<'_, L>)) {
        let course = self.first();
        let job = &course.scenario.job.passes;
        let guide = L::splat(-course.stock.to_finish) - self.seated_offset;
        let Scratch { surface, memory } = scratch;
        let mut dial = 0.0;
        let finish = job.finish.iter().map(|set| (PassKind::Finish, set.si()));
        let spring = (0..job.spring).map(|_| (PassKind::Spring, 0.0));
        for (n, (kind, set)) in finish.chain(spring).enumerate() {
            dial += set;
            let plan = Plan {
                kind,
                set,
                feed: job.feed.si(),
                with_inertia: n + 1 >= job.finish.len(),
            };
            made(n, &self.pass(plan, guide + L::splat(dial), surface, memory));
        }
    }
}
