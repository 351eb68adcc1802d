//! The setup sheet of one way, as plain values in the order it is read at the lathe.
//!
//! Everything comes from the scenario, the way and what was found uncertain; nothing is measured
//! or run here. Lengths in m, forces in N, tapers as change of diameter over length.

mod guide;
mod passes;
mod thread;
mod method;

pub use guide::{GuideSetting, Nudge};
pub use method::{MethodSheet, Proof};
pub use passes::{SheetPass, Stage, TouchOff};
pub use thread::{ThreadLine, ThreadLines};

use schemars::JsonSchema;
use serde::Serialize;

use crate::arithmetic::{ln, log10, max, min, powf, sin};
use crate::bore_room::BoreRoom;
use crate::caution::Caution;
use crate::compare::Way;
use crate::cut::{Operation, Options, ToolNeeded, aimed_taper};
use crate::expect::Expect;
use crate::feasibility::depth_on_cross_dial;
use crate::gauging::{Bearing, StandoffRow, standoff_rows};
use crate::heat::Heat;
use crate::machine::headstock;
use crate::machine::work::Bench;
use crate::quantity::show::TaperForms;
use crate::quantity::{INCH, Length, Quantity, Taper, Units};
use crate::record::{Outcome, Run, Seat};
use crate::scenario::{
    Band, Bar, End, Holding, Kind, PreloadSource, Relief, Scenario, SpindleNose, Toward, Vary,
};
use crate::sensitivity::{Likely, Sensitivity};
use crate::setup::{Pull, Setup};
use crate::verdict::{NOT_SEEN, Verdict};

/// How many cautions the box at the top takes; the others stand further down.
pub const IN_THE_BOX: usize = 3;
/// Rows of the standoff table.
const STANDOFF_ROWS: u32 = 6;
/// Room past the end of the feed within which a stop on the bed is wanted, m: 1 in [guess].
const STOP_WANTED: f64 = INCH;
/// Turns a second to which a dead centre keeps its grease: 600 rpm [guess].
const DEAD_CENTRE: f64 = 10.0;
/// What one row of the standoff table should come to on diameter, m (0.0015 in), before its step
/// is rounded.
const STANDOFF_ROW: f64 = 38.1e-6;

/// One page for one way of making one taper.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Sheet {
    /// What is made.
    pub job: String,
    /// The person's note on it.
    pub note: Option<String>,
    /// The lathe.
    pub lathe: String,
    /// The person's units.
    pub units: Units,
    /// What the drawing asks.
    pub drawing: DrawingAsks,
    /// The way.
    pub setup: Setup,
    /// What the guide does to the tool.
    pub pull: Pull,
    /// Every caution of the way; the first [`IN_THE_BOX`] go into the box.
    pub cautions: Vec<Caution>,
    /// What the lathe must be ready for.
    pub lathe_check: LatheCheck,
    /// How the guide is set.
    pub guide: GuideSetting,
    /// The tool.
    pub tool: ToolCheck,
    /// The run-in.
    pub run_in: RunInPlan,
    /// Where the dial is set to zero.
    pub touch_off: TouchOff,
    /// The passes as run, in order.
    pub passes: Vec<SheetPass>,
    /// Whether the roughing this way leaves enough evenly to finish from.
    pub roughs_even: bool,
    /// Spindle speed, turns a second, at the big end.
    pub turns: f64,
    /// Speed at the surface of the big end, m/s.
    pub surface_speed: f64,
    /// Whether nobody told the speed.
    pub speed_assumed: bool,
    /// Fastest for a dead centre, turns a second, where there is a centre and this is faster.
    pub dead_centre: Option<f64>,
    /// The thread's passes, where one is cut.
    pub thread: Option<ThreadLines>,
    /// What gauging it warm would make of the size, where the material is known.
    pub heat: Option<Heat>,
    /// Standoff to dial.
    pub standoff: Vec<StandoffRow>,
    /// Which way the guide's tailstock end goes when the gauge bears at the big end only; the
    /// other way when it bears at the small end.
    pub bears_big: Toward,
    /// The force that holds the slide to one side.
    pub preload: Option<PreloadLine>,
    /// What may be seen.
    pub signs: Vec<Sign>,
    /// What comes out.
    pub expected: Expected,
    /// What to expect of it on many lathes, where that was played.
    pub expect: Option<Expect>,
    /// What was not measured and mattered, most first.
    pub assumed: Vec<Sensitivity>,
    /// What was given with its spread and mattered.
    pub given: Vec<Sensitivity>,
    /// What tests and finished jobs gave: source, and the numbers that it narrowed.
    pub narrowed: Vec<(String, Vec<String>)>,
    /// Seed of the work's unevenness.
    pub seed: u64,
    /// Version of the program.
    pub version: &'static str,
}

/// The taper wanted, with its ends.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct DrawingAsks {
    /// Outside or inside.
    pub kind: Kind,
    /// Which end is big.
    pub big_end: End,
    /// Nominal taper.
    pub taper: Taper,
    /// It in every form.
    pub forms: TaperForms,
    /// Its tolerance.
    pub tolerance: Band<Taper>,
    /// What is aimed at: the middle of the tolerance.
    pub aim: Taper,
    /// Nominal diameter at the big end.
    pub big: Length,
    /// Nominal diameter at the small end.
    pub small: Length,
    /// Length along the axis.
    pub length: Length,
    /// Gauge plane from the big end.
    pub gauge_plane: Length,
    /// Diameter there.
    pub diameter: Length,
    /// Its tolerance.
    pub size_tolerance: Option<Band<Length>>,
    /// Waves allowed, per side.
    pub waves_allowed: Option<Length>,
    /// Material.
    pub material: String,
}

/// The steady rest on which the work bears.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Rest {
    /// From jaws or headstock centre to its band, m.
    pub at: f64,
    /// What it takes of the work's own give, as a share of it, where it helps most.
    pub takes: f64,
    /// Change of the taper on diameter, a ratio, for each metre that it holds the work off the line.
    pub taper_per_off: f64,
}

impl Rest {
    fn of(scenario: &Scenario) -> Option<Self> {
        let Scenario { lathe, job } = scenario;
        let steady = job.work.steady?;
        let mut off = job.work.clone();
        off.steady.as_mut()?.set.set_si(1.0);
        Some(Self {
            at: steady.at.si(),
            takes: Bench::rest_takes(lathe, &job.work, 0.5 * aimed_taper(scenario))?,
            taper_per_off: 2.0 * headstock::rest(&off).abs(),
        })
    }
}

/// What the lathe must be ready for.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct LatheCheck {
    /// Depth is set on the cross dial; on a plain attachment with the top slide.
    pub on_cross_dial: bool,
    /// Travel needed along the guide with the run-in.
    pub guide_needed: f64,
    /// Usable travel.
    pub guide_usable: f64,
    /// Spare at each end if the stroke stands in the middle.
    pub guide_spare: f64,
    /// Travel of the slide needed for taper and run-in.
    pub slide_needed: f64,
    /// How the work is held.
    pub holding: Holding,
    /// The steady rest, where there is one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rest: Option<Rest>,
    /// How the chuck is held.
    pub nose: SpindleNose,
}

/// The tool and its room.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ToolCheck {
    /// Nose radius.
    pub nose_radius: Length,
    /// How far off centre the height may be, either way.
    pub height_within: f64,
    /// The bar.
    pub bar: Option<Bar>,
    /// Its room in the bore.
    pub room: Option<BoreRoom>,
    /// A thread is cut: square to the spindle's axis, not to the cone.
    pub thread: bool,
    /// Its hand; a threading tool cuts on both sides.
    pub needed: Option<ToolNeeded>,
}

/// How slack is taken up before each pass.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct RunInPlan {
    /// The end where the feed starts.
    pub starts_at: End,
    /// Whether that is the big end.
    pub at_big_end: bool,
    /// Carriage travel lost on reversal, m.
    pub lost: f64,
    /// How far past the end to start, m; never more than the room.
    pub start: f64,
    /// What would be wanted, m.
    pub wanted: f64,
    /// Room there is, m.
    pub room: f64,
    /// The room is too short: the slide is seated by hand.
    pub by_hand: bool,
    /// Length left straight if nobody seats it, m.
    pub straight_left: f64,
    /// Which way the hand pulls the slide onto the face that it runs on.
    pub hand_toward: Toward,
    /// Room past the end where the feed stops, m, where it is so short that a stop on the bed or a
    /// trip is wanted: jaws, a shoulder or a blind bottom are next.
    pub stop: Option<f64>,
    /// The relief to be cut first.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub relief: Option<Relief>,
}

/// The preload, with what is enough.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct PreloadLine {
    /// Which way it pushes the slide.
    pub toward: Toward,
    /// From what.
    pub source: PreloadSource,
    /// Its force, N.
    pub force: f64,
    /// Twice the force that starts the slide, N.
    pub twice: f64,
    /// Whether it holds the slide out of the cut.
    pub out_of_cut: bool,
}

/// Something seen at the lathe that has its usual cause.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Sign {
    /// What is seen.
    pub seen: Seen,
    /// Whether the run of this way shows it.
    pub expected: bool,
}

/// What may be seen.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Seen {
    /// Leaves metal though the dial says it's there.
    WontSize,
    /// Cuts deeper than set.
    TooDeep,
    /// Waves along or round the work.
    Waves,
    /// A step part way.
    Step,
    /// The first stretch is straight.
    StraightAtStart,
    /// A thread of changing pitch.
    DrunkenThread,
}

/// What the run gives.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Expected {
    /// Taper on diameter.
    pub taper: f64,
    /// Half-width of it, from what is uncertain.
    pub taper_within: Option<f64>,
    /// Size error per side, positive into the work, m.
    pub size_error: f64,
    /// Half-width of it, m.
    pub size_within: Option<f64>,
    /// Waves per side, m.
    pub waves: f64,
    /// On which side of its slack the slide runs.
    pub seat: Seat,
    /// A number within its range could make it float.
    pub may_float: bool,
    /// Against the drawing.
    pub verdict: Option<Verdict>,
}

impl Sheet {
    /// The sheet of a way; `None` if it was not run because it can't be cut.
    pub fn new(
        scenario: &Scenario,
        way: &Way,
        likely: Option<&Likely>,
        options: Options,
    ) -> Option<Self> {
        let run = way.run.as_ref()?;
        let job = &scenario.job;
        let operation = Operation::new(scenario, way.setup, options);
        let aim = Taper::from_si(aimed_taper(scenario));
        let drawing = drawing_asks(scenario, aim);
        let (turns, surface_speed) = passes::speed(job.passes.speed, drawing.big.si());
        let (assumed, given) = likely.map_or((Vec::new(), Vec::new()), |likely| {
            let of = |assumed: bool| {
                let same =
                    |m: &&Sensitivity| (m.origin == crate::scenario::Origin::Assumed) == assumed;
                likely.matters.iter().filter(same).cloned().collect()
            };
            (of(true), of(false))
        });
        let slack: f64 = operation.machine.slack_parts.iter().map(|p| p.slack).sum();
        let preload = preload(scenario, &operation);
        let thread = ThreadLines::of(scenario, way, options);
        let may_float = likely.is_none_or(|likely| likely.may_float);
        Some(Self {
            job: job.name.clone(),
            note: job.note.clone(),
            lathe: scenario.lathe.name.clone(),
            units: job.units,
            setup: way.setup,
            pull: way.pull,
            cautions: thread
                .as_ref()
                .map_or_else(|| way.cautions.clone(), |thread| thread.cautions.clone()),
            lathe_check: lathe_check(scenario, way, aim),
            guide: GuideSetting::new(scenario, way, aim),
            tool: tool_check(scenario, way),
            run_in: run_in(scenario, way, &operation),
            touch_off: TouchOff::at(scenario, &way.setup, slack),
            passes: passes::of(run, &job.passes, way),
            roughs_even: run.roughing.came_even,
            turns,
            surface_speed,
            speed_assumed: job.passes.speed_assumed,
            dead_centre: dead_centre(job.work.holding, turns),
            thread: thread.map(|thread| thread.lines),
            heat: Heat::of(scenario, job.units),
            standoff: standoff_rows(aim, standoff_step(aim, job.units), STANDOFF_ROWS),
            bears_big: guide::bearing(&way.setup, aim, Bearing::Big),
            preload,
            signs: signs(scenario, way, run, may_float),
            expected: expected(way, &run.outcome, likely),
            expect: way.expect.clone(),
            drawing,
            assumed,
            given,
            narrowed: scenario.measured_in_words(),
            seed: options.seed,
            version: env!("CARGO_PKG_VERSION"),
        })
    }

    /// The cautions in the box at the top.
    pub fn in_the_box(&self) -> &[Caution] {
        &self.cautions[..self.cautions.len().min(IN_THE_BOX)]
    }

    /// The cautions that stand further down.
    pub fn below_the_box(&self) -> &[Caution] {
        &self.cautions[self.cautions.len().min(IN_THE_BOX)..]
    }
}

fn drawing_asks(scenario: &Scenario, aim: Taper) -> DrawingAsks {
    let work = &scenario.job.work;
    let (big, small) = work.end_diameters();
    DrawingAsks {
        kind: work.kind,
        big_end: work.big_end,
        taper: work.taper,
        forms: TaperForms::of(work.taper),
        tolerance: work.tolerance,
        aim,
        big,
        small,
        length: work.length,
        gauge_plane: work.gauge_plane,
        diameter: work.diameter,
        size_tolerance: work.size_tolerance,
        waves_allowed: work.waves_allowed,
        material: work.material.clone(),
    }
}

fn lathe_check(scenario: &Scenario, way: &Way, aim: Taper) -> LatheCheck {
    let start = &way.start;
    // Along the guide to across the bed.
    let across = sin(aim.half_angle());
    LatheCheck {
        on_cross_dial: depth_on_cross_dial(scenario),
        guide_needed: start.guide_needed,
        guide_usable: start.guide_usable,
        guide_spare: 0.5 * (start.guide_usable - start.guide_needed),
        slide_needed: start.guide_needed * across,
        holding: scenario.job.work.holding,
        rest: Rest::of(scenario),
        nose: scenario.lathe.spindle.nose,
    }
}

fn tool_check(scenario: &Scenario, way: &Way) -> ToolCheck {
    let job = &scenario.job;
    let height = &job.tool.height;
    ToolCheck {
        nose_radius: job.tool.nose_radius,
        height_within: max(height.high.si().abs(), height.low.si().abs()),
        room: way.room.clone(),
        bar: job.tool.bar.filter(|_| job.work.kind == Kind::Inside),
        thread: job.thread.is_some(),
        needed: job.thread.is_none().then_some(way.tool),
    }
}

/// Fastest for a dead centre, where there is one in the work and it turns faster.
fn dead_centre(holding: Holding, turns: f64) -> Option<f64> {
    (holding != Holding::Chuck && turns > DEAD_CENTRE).then_some(DEAD_CENTRE)
}

fn run_in(scenario: &Scenario, way: &Way, operation: &Operation<'_>) -> RunInPlan {
    let start = &way.start;
    let work = &scenario.job.work;
    let past = match way.setup.starts_at() {
        End::Headstock => work.room_tailstock,
        End::Tailstock => work.room_headstock,
    };
    let stands = operation.approach().stands();
    let out = stands < 0.0 || (stands == 0.0 && way.pull == Pull::In);
    RunInPlan {
        starts_at: way.setup.starts_at(),
        at_big_end: way.setup.starts_at() == way.setup.big_end,
        lost: start.lost,
        start: min(start.wanted, start.room),
        wanted: start.wanted,
        room: start.room,
        by_hand: start.by_hand,
        straight_left: max(start.lost - start.room, 0.0),
        hand_toward: way.setup.toward_in_x(out),
        stop: Some(past.si()).filter(|room| *room <= STOP_WANTED),
        relief: work.relief,
    }
}

fn preload(scenario: &Scenario, operation: &Operation<'_>) -> Option<PreloadLine> {
    let preload = scenario.job.preload.as_ref()?;
    let machine = &operation.machine;
    Some(PreloadLine {
        toward: preload.toward,
        source: preload.source,
        force: machine.hold.out.abs(),
        twice: 2.0 * machine.drag.hand() * machine.drag.breakaway,
        out_of_cut: machine.hold.out > 0.0,
    })
}

/// The round step of standoff whose row comes nearest to [`STANDOFF_ROW`] on diameter.
fn standoff_step(taper: Taper, units: Units) -> f64 {
    let unit = match units {
        Units::Inch => INCH,
        Units::Metric => 1e-3,
    };
    let wanted = STANDOFF_ROW / max(taper.si().abs(), 1e-6) / unit;
    let decade = powf(10f64, log10(wanted).floor());
    let off = |step: f64| ln(step / wanted).abs();
    let step = [1.0, 2.0, 5.0, 10.0]
        .map(|round| round * decade)
        .into_iter()
        .min_by(|a, b| off(*a).total_cmp(&off(*b)))
        .unwrap_or(decade);
    step * unit
}

/// What may be seen of this way. What comes of a slide that leaves its face stands only where it
/// can: not where it is pulled in and nothing within its range makes it float.
fn signs(scenario: &Scenario, way: &Way, run: &Run, may_float: bool) -> Vec<Sign> {
    let o = &run.outcome;
    let leaves = may_float || o.seat != Seat::First;
    let floats = [
        Sign {
            seen: Seen::Waves,
            expected: o.waves > NOT_SEEN,
        },
        Sign {
            seen: Seen::Step,
            expected: o.step.is_some_and(|(step, _)| step.abs() > NOT_SEEN),
        },
    ];
    let mut signs = vec![
        Sign {
            seen: Seen::WontSize,
            expected: o.size_error < -2.0 * NOT_SEEN,
        },
        Sign {
            seen: Seen::TooDeep,
            expected: o.size_error > 2.0 * NOT_SEEN,
        },
    ];
    // A thread shows them as a drunken one.
    let thread = scenario.job.thread.is_some();
    signs.extend(
        floats
            .into_iter()
            .filter(|sign| !thread && (leaves || sign.expected)),
    );
    signs.extend([Sign {
        seen: Seen::StraightAtStart,
        expected: way.start.by_hand || o.straight_part > 1e-3,
    }]);
    if thread {
        signs.push(Sign {
            seen: Seen::DrunkenThread,
            expected: false,
        });
    }
    signs
}

fn expected(way: &Way, o: &Outcome, likely: Option<&Likely>) -> Expected {
    Expected {
        taper: o.taper,
        taper_within: likely.map(|likely| likely.taper),
        size_error: o.size_error,
        size_within: likely.map(|likely| likely.size),
        waves: o.waves,
        seat: o.seat,
        may_float: likely.is_some_and(|likely| likely.may_float),
        verdict: way.verdict,
    }
}
