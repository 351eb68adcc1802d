//! The run along the work: approach in air, touch-off, every pass, every turn.
//!
//! All heights are along `n` relative to the finished cone, so a slide that stands still drifts
//! by `-pull * slope` a metre of carriage, and a guide that is set right stands still.

mod hand;
mod load;
mod approach;
mod inertia;
mod stock;
mod turn;
mod turn_log;
mod pass;
mod abreast;
mod room;

pub use abreast::{ABREAST, Turned, finish_abreast};
pub use approach::{Approach, RunIn, lost_motion, reversal, withdrawal};
pub use inertia::{Inertia, Ridden};
pub use load::{Air, Cut};
pub use room::Room;
pub use stock::Stock;

use std::ops::Range;
use std::sync::Arc;

use crate::cutting::{EdgeShape, ForceLaw};
use crate::machine::Machine;
use crate::quantity::{Quantity, Speed};
use crate::record::{PassRecord, Roughing};
use crate::scenario::{End, Scenario, Toward};
use crate::setup::Setup;
use crate::surface::{EdgePath, Standing};
use crate::unevenness::{self, Patches};

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
enum PassKind {
    Rough,
    Finish,
    Spring,
}

/// A pass to be made.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Plan {
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
    pub standing: Standing,
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
            self.pull * self.slope.atan(),
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
        let mut records = Vec::new();
        let mut standing = self.standing(|z| self.stock.blank(z), room);
        let roughing = self.rough(&mut standing, &mut records, room);
        if !roughing.came_even {
            standing = self.standing(|_| -self.stock.to_finish, room);
        }
        self.finish(standing, roughing, records, room)
    }

    /// Makes the finishing passes alone, from an even stock.
    pub fn run_finishing(&self) -> Finished {
        self.run_finishing_in(&mut Room::default())
    }

    /// The same, in room that is there already.
    pub fn run_finishing_in(&self, room: &mut Room) -> Finished {
        let standing = self.standing(|_| -self.stock.to_finish, room);
        self.finish(standing, Roughing::NONE, Vec::new(), room)
    }

    /// A surface of this height with the blank's run-out and out-of-round on it.
    fn standing(&self, height: impl Fn(f64) -> f64, room: &mut Room) -> Standing {
        Standing::even(
            self.stock.length,
            self.spacing(),
            height,
            &self.luck.blank,
            std::mem::take(&mut room.surface),
        )
        .with_slots(self.metal.as_deref())
    }

    /// Spacing of the places at which the surface is kept, at most, m.
    fn spacing(&self) -> f64 {
        let passes = &self.scenario.job.passes;
        let spacing = passes.feed.si().min(passes.rough_feed.si());
        spacing.max(self.stock.length / 4000.0)
    }

    /// Roughing: dialled from a touch on the blank, until the finishing stock is left.
    fn rough(
        &self,
        standing: &mut Standing,
        records: &mut Vec<PassRecord>,
        room: &mut Room,
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
        for n in 1..=planned {
            let (path, _) = self.pass(plan, guide + set * n as f64, standing, records, room);
            room.heights = path.heights;
        }
        // As everyone does: again at the same dial while it still takes metal.
        let again = Plan { set: 0.0, ..plan };
        let even = EVEN_SHARE * self.stock.to_finish;
        let mut extra = 0;
        while extra < EXTRA_ROUGHING && self.unevenness_of(standing) > even {
            let (path, _) = self.pass(again, guide + set * planned as f64, standing, records, room);
            room.heights = path.heights;
            extra += 1;
        }
        let left = self.unevenness_of(standing);
        Roughing {
            planned,
            extra,
            left,
            came_even: left <= even,
        }
    }

    /// How far the standing surface strays from its height at the gauge plane, m.
    fn unevenness_of(&self, standing: &Standing) -> f64 {
        let mean = standing.mean();
        let gauge = self.gauged(standing);
        let skip = (GAUGE_BAND / standing.spacing()) as usize;
        let inner = &mean[skip.min(mean.len() / 4)..mean.len() - skip.min(mean.len() / 4)];
        inner.iter().map(|h| (h - gauge).abs()).fold(0.0, f64::max)
    }

    /// Finishing: the size is measured, the edge touched off anew after the run-in, the passes
    /// and spring passes made.
    fn finish(
        &self,
        mut standing: Standing,
        roughing: Roughing,
        mut passes: Vec<PassRecord>,
        room: &mut Room,
    ) -> Finished {
        let job = &self.scenario.job.passes;
        let depth = self.stock.to_finish;
        standing.shift(-depth - self.gauged(&standing));
        let guide = -depth - self.approach.stands();
        let feed = job.feed.si();
        let mut dial = 0.0;
        let mut last_set = 0;
        let mut last_path = EdgePath {
            heights: Vec::new(),
            start: 0.0,
            direction: 1.0,
            per_turn: self.options.per_turn,
            shape: self.shape(feed),
        };
        let mut ridden = None;
        for (n, set) in job.finish.iter().map(|set| set.si()).enumerate() {
            dial += set;
            last_set = passes.len();
            let plan = Plan {
                kind: PassKind::Finish,
                set,
                feed,
                with_inertia: n + 1 == job.finish.len(),
            };
            let (path, rode) = self.pass(plan, guide + dial, &mut standing, &mut passes, room);
            room.heights = std::mem::replace(&mut last_path, path).heights;
            ridden = rode;
        }
        for _ in 0..job.spring {
            let plan = Plan {
                kind: PassKind::Spring,
                set: 0.0,
                feed,
                with_inertia: true,
            };
            let (path, _) = self.pass(plan, guide + dial, &mut standing, &mut passes, room);
            room.heights = std::mem::replace(&mut last_path, path).heights;
        }
        Finished {
            passes,
            last_set,
            standing,
            last_path,
            roughing,
            ridden,
        }
    }

    /// Mean height round the gauge plane, m.
    fn gauged(&self, standing: &Standing) -> f64 {
        self.mean_around(standing, self.stock.gauge_z)
    }

    /// Mean height over the band in which a mike or bore gauge sits at `z`, m.
    pub fn mean_around(&self, standing: &Standing, z: f64) -> f64 {
        let spacing = standing.spacing();
        let (band, z) = self.gauge_band(z, spacing);
        let (mut sum, mut count) = (0.0, 0.0);
        for (k, round) in standing
            .rounds()
            .enumerate()
            .skip(band.start)
            .take(band.len())
        {
            if (spacing * k as f64 - z).abs() <= GAUGE_BAND {
                sum += standing.mean_of(round);
                count += 1.0;
            }
        }
        if count > 0.0 {
            sum / count
        } else {
            standing.at(standing.on_metal()[0], z)
        }
    }

    /// The places among which the band is in which a mike or bore gauge sits at `z`, and where it
    /// sits, m: a band's half-width from either end, at least.
    fn gauge_band(&self, z: f64, spacing: f64) -> (Range<usize>, f64) {
        let z = z.clamp(
            GAUGE_BAND.min(0.5 * self.stock.length),
            (self.stock.length - GAUGE_BAND).max(0.5 * self.stock.length),
        );
        // One place more to either side, so that rounding decides nothing.
        let low = ((z - GAUGE_BAND) / spacing - 1.0).max(0.0) as usize;
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

    /// The way it is cut.
    pub fn setup(&self) -> &Setup {
        &self.setup
    }

    /// The most that the drag along the stroke is over its mean.
    pub fn most_local_drag(&self) -> f64 {
        1.0 + self.luck.drag.iter().copied().fold(0.0, f64::max)
    }

    /// Push-off that a tool off the centre height adds per main force at the gauge plane.
    pub fn off_centre_share(&self) -> f64 {
        let height = self.scenario.job.tool.height.si();
        self.setup.inward() * self.setup.press().sign() * height / self.radius(self.gauge_z())
    }

    /// Drag at `z` over its mean.
    pub(crate) fn local_drag(&self, z: f64) -> f64 {
        let place = (z / self.stock.length).clamp(0.0, 1.0) * (self.luck.drag.len() - 1) as f64;
        let i = (place as usize).min(self.luck.drag.len() - 2);
        let share = place - i as f64;
        1.0 + self.luck.drag[i] + share * (self.luck.drag[i + 1] - self.luck.drag[i])
    }

    /// Error of the guide's setting and its bow at `z`, m along `n`, counted from the gauge plane,
    /// where the size is set.
    ///
    /// The bow is an arc over the usable travel, whose middle stands at the middle of the taper.
    pub(crate) fn guide_error(&self, z: f64) -> f64 {
        let attachment = &self.scenario.lathe.attachment;
        let steeper = attachment.setting_error.middle.slope();
        let half_travel = 0.5 * attachment.guide_travel.si();
        let arc = |z: f64| ((z - 0.5 * self.stock.length) / half_travel).powi(2);
        let bow = attachment.guide_bow.si() * (arc(self.stock.gauge_z) - arc(z));
        let inward = -self.setup.out_of_cut(Toward::Operator);
        self.setup.inward() * self.setup.slope_sign() * steeper * (z - self.stock.gauge_z)
            + inward * bow
    }

    /// What a tool off the centre height adds to the depth at `z`, m.
    ///
    /// With the edge `h` above or below the centre the radius is `sqrt(X^2 + h^2)`, so a straight
    /// path in X makes a hyperboloid: `X = sqrt(r0^2 - h^2) + dX`. Set right at the gauge plane.
    pub(crate) fn height_error(&self, z: f64) -> f64 {
        let h = self.scenario.job.tool.height.si();
        let (gauge, here) = (self.radius(self.stock.gauge_z), self.radius(z));
        self.setup.inward() * (off_centre_radius(gauge, here - gauge, h) - here)
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

/// Radius cut by an edge `h` off centre height that cuts `r0` and then moves out by `dx`, m:
/// `sqrt((sqrt(r0^2 - h^2) + dx)^2 + h^2)`.
pub fn off_centre_radius(r0: f64, dx: f64, h: f64) -> f64 {
    // A root alone: no radius of work is so small or large that its square is not a number.
    let x = (r0 * r0 - h * h).max(0.0).sqrt() + dx;
    (x * x + h * h).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_tool_off_centre_cuts_a_flatter_taper_closed_form() {
        // Above or below alike: Colvin, Turning and Boring Tapers (1902). Closed form:
        // h 1, r 5, a step of 5 mm -> 9.949362 instead of 10.
        for h in [1.0, -1.0] {
            assert!((off_centre_radius(5.0, 5.0, h) - 9.949362).abs() < 5e-7);
        }
    }
}
