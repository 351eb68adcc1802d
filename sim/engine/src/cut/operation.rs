//! One way of making one taper on one machine: what stays fixed over the passes, and what is uneven.

use std::ops::Range;
use std::sync::Arc;

use schemars::JsonSchema;
use serde::Serialize;

use crate::arithmetic::{atan, clamp, cos, max, min};
use crate::balance::Levels;
use crate::cutting::{EdgeShape, ForceLaw};
use crate::machine::Machine;
use crate::quantity::{Quantity, Speed};
use crate::scenario::{End, Scenario};
use crate::setup::{Setup, ToolHand};
use crate::unevenness::{self, HardnessField, Luck};

use super::approach::Approach;
use super::mass::Inertia;
use super::stock::{Stock, aimed_taper};

/// Half-width of the band over which a diameter is measured, m.
pub(super) const GAUGE_BAND: f64 = 2e-3;

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
    pub(super) kind: PassKind,
    /// What is set for it, m per side.
    pub(super) set: f64,
    pub(super) feed: f64,
    /// With the slide's mass, where it is to be reckoned with.
    pub(super) with_inertia: bool,
    /// Which of the finishing passes it is, from 0; none in roughing.
    pub(super) finishing: Option<usize>,
}

/// The tool that one way asks for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct ToolNeeded {
    /// Its hand, so that its main edge goes ahead.
    pub hand: ToolHand,
    /// A bar with its main edge turned back.
    pub cuts_backward: bool,
    /// The nose alone cuts: a tool ground for the other feed does too.
    pub either: bool,
}

/// One way of making one taper on one machine: everything that stays fixed over the passes.
#[derive(Clone, Debug)]
pub struct Operation<'a> {
    pub(super) scenario: &'a Scenario,
    pub(super) setup: Setup,
    pub(super) options: Options,
    /// The machine as this way uses it.
    pub machine: Machine,
    /// Change of radius over length, without sign: the middle of the tolerance band.
    pub slope: f64,
    pub(super) pull: f64,
    pub(super) stock: Stock,
    pub(super) approach: Approach,
    pub(super) realization: Arc<Realization>,
    /// Share of each meridian's width that is metal, where there are slots.
    pub(super) metal: Option<Vec<f64>>,
    pub(super) inertia: Option<Inertia>,
}

/// What is uneven: the same for every way of cutting a piece on a machine.
#[derive(Clone, Debug)]
pub struct Realization {
    pub(super) hardness: HardnessField,
    /// Drag along the stroke over its mean, less one.
    pub(super) drag: Vec<f64>,
    /// Height of the blank, line by line.
    pub(super) blank: Vec<f64>,
}

impl Realization {
    /// By the seed of the options.
    pub fn new(scenario: &Scenario, options: Options) -> Self {
        Self::of(scenario, options, &Luck::from(options.seed))
    }

    /// Of this luck, whatever the seed of the options.
    pub fn of(scenario: &Scenario, options: Options, luck: &Luck) -> Self {
        let (work, cutting) = (&scenario.job.work, &scenario.job.cutting);
        let length = work.length.si();
        let stroke = aimed_taper(scenario) / 2.0 * length;
        Self {
            hardness: HardnessField::hardness(
                luck,
                cutting.unevenness.si(),
                cutting.patch.si(),
                length,
                0.5 * work.diameter.si(),
                options.per_turn,
            ),
            drag: unevenness::drag_along_stroke(
                luck,
                scenario.lathe.slide.drag_change.si(),
                stroke,
            ),
            blank: unevenness::blank(luck, work.run_out.si(), work.ovality.si(), options.per_turn),
        }
    }
}

impl<'a> Operation<'a> {
    /// Prepares one way.
    pub fn new(scenario: &'a Scenario, setup: Setup, options: Options) -> Self {
        let realization = Arc::new(Realization::new(scenario, options));
        Self::with_realization(scenario, setup, options, realization)
    }

    /// Prepares one way on a piece and machine with this realization, that of the same scenario, seed
    /// and steps a turn.
    pub fn with_realization(
        scenario: &'a Scenario,
        setup: Setup,
        options: Options,
        realization: Arc<Realization>,
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
            realization,
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

    /// Where stick-slip left the slide before touching off, or before a finishing pass; in the
    /// middle before roughing.
    pub(super) fn stick_slip_before(&self, finishing: Option<usize>) -> f64 {
        let chance = &self.scenario.job.by_hand.chance;
        finishing.map_or(0.5, |pass| chance.before_pass(pass))
    }

    /// What starts and stops the slide between a run-in and the first chip.
    pub(crate) fn levels_in_air(&self, finishing: Option<usize>) -> Levels {
        let chance = self.stick_slip_before(finishing);
        let level = self.approach.stick_slip().level(chance);
        Levels {
            start: level,
            stop: level,
        }
    }

    /// Height of the guide's unloaded middle for no depth, against the surface that was touched,
    /// m: the edge was touched off after a run-in, as well as a person does it.
    pub fn touched_off(&self) -> f64 {
        let by_hand = &self.scenario.job.by_hand;
        let stands = self
            .approach
            .stick_slip()
            .stands(by_hand.chance.touch_off());
        by_hand.touch_off.si() - stands
    }

    /// The approach in air.
    pub fn approach(&self) -> &Approach {
        &self.approach
    }

    /// Place of the gauge plane, m from the headstock-side end.
    pub fn gauge_z(&self) -> f64 {
        self.stock.gauge_z
    }

    /// Where it is told what a pass took, m from the headstock-side end.
    pub fn taken_z(&self) -> f64 {
        self.stock.taken_z()
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

    pub(super) fn shape(&self, feed: f64) -> EdgeShape {
        let tool = &self.scenario.job.tool;
        EdgeShape::new(tool.nose_radius.si(), tool.entering_angle.si(), feed)
    }

    /// The tool this way asks for. Any but the nose must look ahead; where the nose alone cuts
    /// (depth below `r (1 - cos K)` with the edge that would go ahead, in the path's axes), the
    /// other hand does as well. Where the back edge isn't known it is taken as ground alike.
    pub fn tool_needed(&self) -> ToolNeeded {
        let (tool, passes) = (&self.scenario.job.tool, &self.scenario.job.passes);
        let path = self.pull * atan(self.slope);
        let main = tool.entering_angle.si();
        let ahead = max(
            tool.back_edge().map_or(main, |back| min(back, main)) + path,
            0.0,
        );
        let finish = passes.finish.iter().map(|pass| pass.si()).fold(0.0, max);
        let deepest = max(finish, self.stock.roughing().map_or(0.0, |plan| plan.set));
        ToolNeeded {
            hand: self.setup.tool_hand(),
            cuts_backward: self.setup.cuts_backward(),
            either: deepest * cos(path) < tool.nose_radius.si() * (1.0 - cos(ahead)),
        }
    }

    /// Radius of the finished cone at `z`, m.
    pub fn radius(&self, z: f64) -> f64 {
        self.stock.radius(z)
    }

    /// Spacing of the places at which the surface is kept, at most, m.
    pub(super) fn spacing(&self) -> f64 {
        let passes = &self.scenario.job.passes;
        let spacing = min(passes.feed.si(), passes.rough_feed.si());
        max(spacing, self.stock.length / 4000.0)
    }

    /// The places among which the band is in which a mike or bore gauge sits at `z`, and where it
    /// sits, m: a band's half-width from either end, at least.
    pub(super) fn gauge_band(&self, z: f64, spacing: f64) -> (Range<usize>, f64) {
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
    pub(super) fn place(&self, s: f64) -> f64 {
        if self.setup.feed.sign() > 0.0 {
            s
        } else {
            self.stock.length - s
        }
    }

    /// Hardness on a line at `z` over the table's, less one.
    pub(crate) fn hardness(&self, line: usize, z: f64) -> f64 {
        self.realization.hardness.at(line, z)
    }

    /// The way it is cut.
    pub fn setup(&self) -> &Setup {
        &self.setup
    }

    /// The most that the drag along the stroke is over its mean.
    pub fn most_local_drag(&self) -> f64 {
        1.0 + self.realization.drag.iter().copied().fold(0.0, max)
    }

    /// Push-off that a tool off the centre height adds per main force at the gauge plane.
    pub fn off_centre_share(&self) -> f64 {
        let height = self.scenario.job.tool.height.si();
        self.setup.inward() * self.setup.press().sign() * height / self.radius(self.gauge_z())
    }

    /// Share of the bar's swing that was not yet taken up at the touch-off.
    pub fn swing_left(&self) -> f64 {
        self.scenario.job.tool.swing_left.si()
    }

    /// Spindle turns a second, at this radius where a surface speed was given.
    pub fn turns_per_second(&self, radius: f64) -> f64 {
        match self.scenario.job.passes.speed {
            Speed::Turns(n) => n,
            Speed::Surface(v) => v / (std::f64::consts::TAU * radius),
        }
    }

    /// The same cut with the force of the chip times these factors, at places this far apart from
    /// the headstock-side end on, m.
    pub fn times(mut self, spacing: f64, factors: &[f64]) -> Self {
        let length = self.length();
        let realization = Arc::make_mut(&mut self.realization);
        realization.hardness = realization.hardness.times(length, spacing, factors);
        self
    }

    /// The same way with the last pass that is set, and the spring passes after it, made with the
    /// slide's mass. Without mass nothing changes.
    pub fn with_inertia(mut self, inertia: Inertia) -> Self {
        self.inertia = (inertia.mass > 0.0).then_some(inertia);
        self
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
