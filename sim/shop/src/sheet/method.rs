//! The setup sheet of another way than one set-up of the attachment: top slide, tailstock or centre
//! set over, and the guide in two set-ups.
//!
//! What to set is the method's own ([`Setting`]); passes are those of the same stock, dialled on
//! the cross-slide; the proof is a straight bar under an indicator.

use schemars::JsonSchema;
use serde::Serialize;

use super::{
    DrawingAsks, Rest, STANDOFF_ROWS, SheetPass, Stage, TouchOff, dead_centre, drawing_asks, guide,
    passes, standoff_step,
};
use crate::arithmetic::{atan, max, min, sin};
use crate::cut::{Options, Stock, aimed_taper, approach};
use crate::gauging::{StandoffRow, standoff_rows};
use crate::heat::Heat;
use crate::method::{Method, MethodWay, Setting};
use crate::quantity::{INCH, Length, Quantity, Taper, Units};
use crate::scenario::{Bar, Holding, Kind, Scenario};

/// What an indicator must read along a straight bar between chuck or centres, once it is set.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Proof {
    /// Travel, m: of the top slide along its ways, of the carriage along the bed.
    pub travel: f64,
    /// Aim, per side, m.
    pub aim: f64,
    /// Reading at the lower and the upper limit of the taper, per side, m.
    pub limits: (f64, f64),
    /// Readings that prove it, in whole steps, per side, m; none where the step is too coarse.
    pub proves: Option<(f64, f64)>,
    /// Step of the indicator, per side, m.
    pub step: f64,
}

/// How far an indicator goes, m: 1 in (common practice, no source).
const INDICATED: f64 = INCH;

impl Proof {
    /// `reading` gives what a taper reads per side over a travel.
    fn new(scenario: &Scenario, usable: f64, reading: fn(f64, f64) -> f64) -> Self {
        let work = &scenario.job.work;
        let tolerance = &work.tolerance;
        let of = |off: f64| work.taper.si() + off;
        let (low, high) = (of(tolerance.lower.si()), of(tolerance.upper.si()));
        let step = 0.5 * guide::step(scenario);
        let usable = min(usable, INDICATED / reading(aimed_taper(scenario), 1.0));
        let band = 2.0 * (reading(high, 1.0) - reading(low, 1.0));
        let travel = guide::travel(scenario.job.units, usable, band, 2.0 * step);
        let limits = (reading(low, travel), reading(high, travel));
        Self {
            travel,
            aim: reading(aimed_taper(scenario), travel),
            limits,
            proves: guide::proves(limits, step),
            step,
        }
    }
}

/// One page for one way of making the taper without the attachment.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct MethodSheet {
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
    /// The way: what to set, what can hurt, what comes out.
    pub way: MethodWay,
    /// How the setting is proved.
    pub proof: Proof,
    /// How the work is held.
    pub holding: Holding,
    /// The steady rest, where there is one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rest: Option<Rest>,
    /// Whether there is an attachment to let go.
    pub attachment: bool,
    /// Roughing passes of the second section, where there are two set-ups: it ends as the first.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub second_roughing: Option<Vec<SheetPass>>,
    /// Nose radius.
    pub nose_radius: Length,
    /// How far off centre the height may be, either way.
    pub height_within: f64,
    /// The bar.
    pub bar: Option<Bar>,
    /// Where the edge is touched off.
    pub touch_off: TouchOff,
    /// The passes, in order.
    pub passes: Vec<SheetPass>,
    /// Spindle speed, turns a second, at the big end.
    pub turns: f64,
    /// Speed at the surface of the big end, m/s.
    pub surface_speed: f64,
    /// Whether nobody told the speed.
    pub speed_assumed: bool,
    /// Fastest for a dead centre, turns a second, where there is a centre and this is faster.
    pub dead_centre: Option<f64>,
    /// What gauging it warm would make of the size, where the material is known.
    pub heat: Option<Heat>,
    /// Standoff to dial.
    pub standoff: Vec<StandoffRow>,
    /// Seed of the work's unevenness.
    pub seed: u64,
    /// Version of the program.
    pub version: &'static str,
}

impl MethodSheet {
    /// The sheet of a method; `None` if it can't be done or was not run.
    pub fn new(scenario: &Scenario, way: &MethodWay, seed: u64) -> Option<Self> {
        let abrasive = matches!(way.method, Method::Grinding | Method::Lapping);
        if !way.out.is_empty() || way.outcome.is_none() && !abrasive {
            return None;
        }
        let job = &scenario.job;
        let work = &job.work;
        let proof = match way.setting.as_ref()? {
            // The carriage runs along the bed, the bar stands askew.
            Setting::Offset(_) => Proof::new(scenario, work.length.si(), |taper, travel| {
                0.5 * taper * travel
            }),
            // The top slide runs along its own ways.
            Setting::Swivel(set) => Proof::new(scenario, set.has, |taper, travel| {
                travel * sin(atan(0.5 * taper))
            }),
            // The carriage runs along the bed, the slide follows the guide.
            Setting::TwoSetUps(set) => {
                Proof::new(scenario, set.first, |taper, travel| 0.5 * taper * travel)
            }
            // As it was turned.
            Setting::Grinding(_) | Setting::Lapping(_) => {
                Proof::new(scenario, work.length.si(), |taper, travel| {
                    0.5 * taper * travel
                })
            }
            _ => return None,
        };
        let aim = Taper::from_si(aimed_taper(scenario));
        let drawing = drawing_asks(scenario, aim);
        let (turns, surface_speed) = passes::speed(job.passes.speed, drawing.big.si());
        let height = &job.tool.height;
        let attachment = &scenario.lathe.attachment;
        let sections = match &way.setting {
            Some(Setting::TwoSetUps(set)) => Some(set.sections(scenario, &way.setup)),
            _ => None,
        };
        let slack = match sections {
            Some(_) => {
                let (machine, _) = approach(scenario, &way.setup, Options::default());
                machine.slack_parts.iter().map(|part| part.slack).sum()
            }
            // The slide hangs on its own screw and nut alone.
            None => attachment.nut_slack.si() + attachment.thrust_slack.si(),
        };
        let first = sections.as_ref().map_or(scenario, |[first, _]| first);
        let second_roughing = sections.as_ref().map(|[_, second]| {
            let mut all = dialled(second, way);
            all.retain(|pass| pass.stage == Stage::Rough);
            all
        });
        Some(Self {
            job: job.name.clone(),
            note: job.note.clone(),
            lathe: scenario.lathe.name.clone(),
            units: job.units,
            way: way.clone(),
            proof,
            holding: work.holding,
            rest: Rest::of(scenario),
            attachment: attachment.fitted && sections.is_none() && !abrasive,
            second_roughing,
            nose_radius: job.tool.nose_radius,
            height_within: max(height.high.si().abs(), height.low.si().abs()),
            bar: job.tool.bar.filter(|_| work.kind == Kind::Inside),
            touch_off: TouchOff::at(first, &way.setup, slack),
            passes: if abrasive {
                Vec::new()
            } else {
                dialled(first, way)
            },
            turns,
            surface_speed,
            speed_assumed: job.passes.speed_assumed,
            dead_centre: dead_centre(
                match way.setting {
                    Some(Setting::Offset(_)) => Holding::Centres,
                    _ => work.holding,
                },
                turns,
            ),
            heat: Heat::of(scenario, job.units),
            standoff: standoff_rows(aim, standoff_step(aim, job.units), STANDOFF_ROWS),
            drawing,
            seed,
            version: env!("CARGO_PKG_VERSION"),
        })
    }
}

/// Roughing and finishing as dialled from their touch-offs; as in the plan where that was played.
fn dialled(scenario: &Scenario, way: &MethodWay) -> Vec<SheetPass> {
    let job = &scenario.job.passes;
    let roughing = Stock::new(scenario, &way.setup).roughing();
    let rough = roughing
        .into_iter()
        .flat_map(|plan| std::iter::repeat_n(plan.set, plan.passes))
        .map(|set| (Stage::Rough, set, job.rough_feed.si()));
    let finish = job
        .finish
        .iter()
        .map(|set| (Stage::Finish, set.si(), job.feed.si()));
    let takes = way.outcome.as_ref().map_or(0.0, |outcome| outcome.taken);
    let mut dial = 0.0;
    let mut before = Stage::Rough;
    let of = |(at, (stage, set, feed)): (usize, (Stage, f64, f64))| {
        if stage != before {
            dial = 0.0;
            before = stage;
        }
        dial += set;
        SheetPass {
            number: at + 1,
            stage,
            dial,
            set,
            feed,
            takes: min(takes, set),
        }
    };
    let all = rough.chain(finish).enumerate().map(of).collect();
    match &way.expect {
        Some(expect) => passes::as_planned(all, job, expect),
        None => all,
    }
}
