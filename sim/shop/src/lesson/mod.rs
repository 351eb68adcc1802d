//! A lesson at one lathe on one job, step by step: what to measure, and the number to expect.
//!
//! Every number is the engine's own for this lathe and job: those of the comparison, the setup
//! sheet, a rehearsal of hand moves, the window of a preload. The words of the lesson are not
//! here. A preload of the job is left off, as the lesson is of what happens without; one step puts
//! four of them on.
//!
//! SI: lengths in m, forces in N, tapers as change of diameter over length.

mod cuts;
mod hands;
mod preload;
mod signs;

pub use cuts::{Depths, ForceRow, Snugged, SpringPass, Taught};
pub use hands::{DialTurned, DialTwice, ZeroTwice};
pub use preload::{PreloadLesson, PreloadTried, Tried};
pub use signs::{Behind, Card, Stance};

use schemars::JsonSchema;
use serde::Serialize;

use crate::arithmetic::max;
use crate::caution::{self, Caution};
use crate::compare::{Comparison, Way, compare_with};
use crate::cut::{Approach, Options};
use crate::feasibility::Reason;
use crate::gauging::guide_nudge;
use crate::machine::Machine;
use crate::quantity::{INCHES_PER_FOOT, Quantity, Taper, Units};
use crate::record::LostMotion;
use crate::scenario::{AttachmentKind, End, Scenario, Toward};
use crate::setup::{Pull, Rotation, Setup, Side};
use crate::sheet::Sheet;
use crate::study::RangeFault;

/// Tapers whose run-in is compared, on diameter: 3, 2, 1, 3/4 and 1/4 in/ft.
const TAPERS: [f64; 5] = [
    3.0 / INCHES_PER_FOOT,
    2.0 / INCHES_PER_FOOT,
    1.0 / INCHES_PER_FOOT,
    0.75 / INCHES_PER_FOOT,
    0.25 / INCHES_PER_FOOT,
];

/// All the numbers of one lesson, step by step.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Lesson {
    /// What is made.
    pub job: String,
    /// The person's note on it.
    pub note: Option<String>,
    /// The lathe.
    pub lathe: String,
    /// The person's units.
    pub units: Units,
    /// How the attachment moves the slide.
    pub attachment: AttachmentKind,
    /// The job has a preload, which is left off here.
    pub preload_left_off: bool,
    /// The way that is advised without a preload: hand moves and setting are of this one.
    pub chosen: Setup,
    /// The guide pulls the tool in.
    pub pulled: Taught,
    /// The guide draws the tool away.
    pub drawn: Taught,
    /// Step 1: where the motion goes on reversal, the chosen way.
    pub lost: LostMotion,
    /// Step 2: the slacks, and what test 1 makes of them.
    pub slacks: Slacks,
    /// Step 3: the readout zeroed too early, and after the run-in; none where the guide is too
    /// short to show it.
    pub zero: Option<ZeroTwice>,
    /// Steps 4 and 12: the setup sheet of the chosen way.
    pub sheet: Sheet,
    /// Step 4: a reading that is out, and what it means.
    pub misread: Misread,
    /// Step 5: outside and bored, either end big.
    pub cards: [Card; 4],
    /// Step 5: the tool moved to the back.
    pub behind: Behind,
    /// Step 6: drag against push-off.
    pub depths: Depths,
    /// Step 8: the gib snugged; none where drawing away can't be cut.
    pub snugged: Option<Snugged>,
    /// Step 9: the dial turned in the slack.
    pub dial: Option<DialTwice>,
    /// Step 9: a spring pass each way, none where that way can't be cut.
    pub spring: [Option<SpringPass>; 2],
    /// Step 10: the same slack at other tapers.
    pub tapers: Vec<TaperRow>,
    /// Step 11: the slide held by a force; none where drawing away can't be cut.
    pub preload: Option<PreloadLesson>,
    /// What can hurt in the lesson.
    pub cautions: Vec<Caution>,
    /// Seed of the work's unevenness.
    pub seed: u64,
    /// Version of the program.
    pub version: &'static str,
}

/// Slack across the bed, and along it.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Slacks {
    /// Shop name of each part, and its slack along the cross-slide, m.
    pub parts: Vec<(&'static str, f64)>,
    /// Their sum, m.
    pub sum: f64,
    /// Foot and rod, m along the bed.
    pub foot: f64,
    /// What test 1 makes of it: lost motion less the foot, across the bed, m. With the wind-up in
    /// it, which no feeler finds.
    pub from_reversal: f64,
    /// Only the whole was given: how the parts share it is a guess.
    pub shared_by_guess: bool,
}

/// A reading of the guide that lies outside its limits.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Misread {
    /// What the readout shows on diameter over the sheet's travel, m.
    pub reading: f64,
    /// The taper it means, on diameter.
    pub taper: f64,
    /// How far the guide's tailstock end must go, m.
    pub nudge: f64,
    /// Which way.
    pub toward: Toward,
}

/// The same machine at another taper.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct TaperRow {
    /// Taper on diameter.
    pub taper: f64,
    /// Carriage travel lost on reversal, m.
    pub lost: f64,
    /// Of that at the foot, whatever the taper, m.
    pub foot: f64,
    /// Where to start before the taper, m.
    pub run_in: f64,
    /// Whether this guide swings so far.
    pub within_guide: bool,
}

/// Why there is no lesson.
#[derive(Clone, Debug, PartialEq)]
pub enum NoLesson {
    /// It was interrupted.
    Interrupted,
    /// The lathe has no attachment fitted.
    NoAttachment,
    /// No way can be cut; why the best of them can't.
    NoWay(Vec<Reason>),
    /// A number whose range makes no distribution.
    Range(RangeFault),
}

impl Lesson {
    /// Works the lesson out; `progress` is told what is being done, by number and of how many, and
    /// interrupts by returning false.
    ///
    /// # Errors
    /// Where there is nothing to teach on.
    pub fn new(
        scenario: &Scenario,
        options: Options,
        progress: &(dyn Fn(usize, usize) -> bool + Sync),
    ) -> Result<Self, NoLesson> {
        if !scenario.lathe.attachment.fitted {
            return Err(NoLesson::NoAttachment);
        }
        let mut bare = scenario.clone();
        bare.job.preload = None;
        let preload_left_off = scenario.job.preload.is_some();
        let scenario = &bare;
        let mut comparison = compare_with(scenario, options, &|done, all| {
            progress(done, all + cuts::MORE)
        })
        .ok_or(NoLesson::Interrupted)?;
        comparison
            .weigh(scenario, options, &|_, _| true)
            .map_err(NoLesson::Range)?;
        let [pulled, drawn] = [Pull::In, Pull::Away].map(|pull| one_of(&comparison, pull));
        let Some(chosen) = comparison
            .best()
            .or_else(|| comparison.feasible().next())
            .filter(|way| way.run.is_some())
        else {
            let reasons = comparison.ways.first().map(|way| way.out.clone());
            return Err(NoLesson::NoWay(reasons.unwrap_or_default()));
        };
        let sheet = Sheet::new(scenario, chosen, None, options)
            .ok_or_else(|| NoLesson::NoWay(chosen.out.clone()))?;
        let mut at = comparison.ways.len();
        let all = at + cuts::MORE;
        let mut go_on = || {
            let on = progress(at, all);
            at += 1;
            if on {
                Ok(())
            } else {
                Err(NoLesson::Interrupted)
            }
        };
        let setup = chosen.setup;
        let machine = Machine::new(scenario, &setup, sheet.drawing.aim.slope());
        let lost = crate::cut::lost_motion(&machine, setup.pull().sign());
        go_on()?;
        let snugged = Snugged::new(scenario, drawn, options);
        go_on()?;
        let spring = [pulled, drawn].map(|way| SpringPass::new(scenario, way, options));
        go_on()?;
        let preload = PreloadLesson::new(scenario, drawn, options).map_err(NoLesson::Range)?;
        go_on()?;
        Ok(Self {
            job: scenario.job.name.clone(),
            note: scenario.job.note.clone(),
            lathe: scenario.lathe.name.clone(),
            units: scenario.job.units,
            attachment: scenario.lathe.attachment.kind,
            preload_left_off,
            chosen: setup,
            slacks: slacks(scenario, &machine, &lost),
            lost,
            zero: ZeroTwice::new(scenario, chosen, &sheet),
            misread: misread(&setup, &sheet),
            cards: signs::cards(),
            behind: Behind::new(scenario, chosen, options),
            depths: Depths::new(scenario, &drawn.setup, options),
            snugged,
            dial: DialTwice::new(scenario, chosen, &sheet),
            spring,
            tapers: tapers(scenario, chosen),
            preload,
            cautions: cautions(&comparison, &setup),
            pulled: Taught::new(scenario, pulled, options),
            drawn: Taught::new(scenario, drawn, options),
            sheet,
            seed: options.seed,
            version: env!("CARGO_PKG_VERSION"),
        })
    }
}

/// The way with this pull that is taught: the plainest that can be cut, as a class would cut it.
fn one_of(comparison: &Comparison, pull: Pull) -> &Way {
    comparison
        .ways
        .iter()
        .filter(|way| way.pull == pull)
        .min_by_key(|way| (way.run.is_none(), !is_plain(&way.setup)))
        .expect("either feed is compared")
}

/// Tool in front, spindle forward.
fn is_plain(setup: &Setup) -> bool {
    setup.side == Side::Front && setup.rotation == Rotation::Forward
}

fn slacks(scenario: &Scenario, machine: &Machine, lost: &LostMotion) -> Slacks {
    let parts: Vec<(&'static str, f64)> = machine
        .slack_parts
        .iter()
        .map(|part| (part.name, part.slack))
        .collect();
    Slacks {
        sum: parts.iter().map(|(_, slack)| slack).sum(),
        parts,
        foot: machine.foot.slack,
        from_reversal: (lost.total - machine.foot.slack) * machine.slope,
        shared_by_guess: scenario.lathe.attachment.total_slack.is_some(),
    }
}

/// The first whole step of the readout past the steep limit, and one more.
fn misread(setup: &Setup, sheet: &Sheet) -> Misread {
    let guide = &sheet.guide;
    let step = max(guide.step, 1e-7);
    let reading = ((guide.limits.1 / step + 1e-6).floor() + 2.0) * step;
    let taper = reading / guide.travel;
    let by = guide_nudge(
        setup,
        End::Tailstock,
        guide.nudge.radius,
        Taper::from_si(taper),
        sheet.drawing.aim,
    );
    Misread {
        reading,
        taper,
        nudge: by.abs(),
        toward: if by > 0.0 {
            Toward::Operator
        } else {
            Toward::Away
        },
    }
}

fn tapers(scenario: &Scenario, way: &Way) -> Vec<TaperRow> {
    let steepest = scenario.lathe.attachment.steepest.si();
    TAPERS
        .into_iter()
        .map(|taper| {
            let machine = Machine::new(scenario, &way.setup, 0.5 * taper);
            let approach = Approach::new(&machine, way.pull.sign(), way.start.room, None);
            TaperRow {
                taper,
                lost: approach.lost.total,
                foot: machine.foot.slack,
                run_in: approach.wanted,
                within_guide: taper <= steepest * (1.0 + 1e-9),
            }
        })
        .collect()
}

/// Those of the chosen way, of drawing away, of hand moves and of holding the slide, each once.
fn cautions(comparison: &Comparison, chosen: &Setup) -> Vec<Caution> {
    let of_ways = comparison
        .feasible()
        .filter(|way| way.setup == *chosen || way.pull != chosen.pull())
        .flat_map(|way| way.cautions.iter().copied());
    let mut all: Vec<Caution> = Vec::new();
    for caution in caution::by_hand(true, true)
        .into_iter()
        .chain(of_ways)
        .chain(caution::holding(true, false))
    {
        if all.iter().all(|other| other.id != caution.id) {
            all.push(caution);
        }
    }
    all
}
