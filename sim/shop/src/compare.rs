//! The ways side by side: run, judged against the drawing, and ranked.

mod choice;

pub use choice::{Advised, effort};

use std::cmp::Ordering;
use std::sync::atomic::AtomicUsize;
use std::sync::atomic::Ordering::Relaxed;

use schemars::JsonSchema;
use serde::Serialize;

use crate::arithmetic::{clamp, log2, max, min};
use crate::bore_room::BoreRoom;
use crate::caution::{Caution, cautions, forbids};
use crate::cut::{self, Operation, Options, RunIn, ToolNeeded, reversal};
use crate::expect::{Expect, Source, expect, expect_from};
use crate::feasibility::{Reason, guide_needed, reasons};
use crate::inertia::inertia;
use crate::machine::preload::PreloadForce;
use crate::machine::work::Bench;
use crate::measure::{gauge, measure};
use crate::method::{MethodWay, methods};
use crate::parallel::*;
use crate::quantity::{Length, Quantity};
use crate::record::{Measures, Run};
use crate::scenario::{Scenario, ThreadCut, ThreadEnd};
use crate::sensitivity::unsteady;
use crate::setup::{Press, Pull, Setup};
use crate::study::RangeFault;
use crate::verdict::{NOT_SEEN, Verdict, judge, trouble};
use crate::worth::{Worth, as_it_stands, worth};

/// Run-in of one way.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Start {
    /// Carriage travel lost on reversal, m.
    pub lost: f64,
    /// Where to start before the taper, m.
    pub wanted: f64,
    /// Room there is, m.
    pub room: f64,
    /// Whether the slide has to be seated by hand before each pass.
    pub by_hand: bool,
    /// Whether the run-in asked for is shorter than what is lost: the slack is still being taken
    /// up when the cut begins.
    pub short: bool,
    /// Travel needed along the guide, m.
    pub guide_needed: f64,
    /// Usable travel of the guide, m.
    pub guide_usable: f64,
}

/// Who gives way when the tool is pushed off, as shares of the whole, seated on the first face.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Gives {
    /// From foot to screw.
    pub drive: f64,
    /// Top slide and post.
    pub post: f64,
    /// Boring bar.
    pub bar: f64,
    /// Work, spindle and centre.
    pub work: f64,
    /// What a steady rest takes of the work's own give, as a share of it, where it helps most; none
    /// where there is no rest.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rest_takes: Option<f64>,
}

impl Gives {
    fn new(scenario: &Scenario, operation: &Operation<'_>, tip_spring: f64) -> Self {
        let machine = &operation.machine;
        let (lathe, work) = (&scenario.lathe, &scenario.job.work);
        Self {
            rest_takes: Bench::rest_takes(lathe, work, machine.slope),
            drive: tip_spring / machine.drive.first,
            post: tip_spring * (machine.tool_gives - machine.bar_gives),
            bar: tip_spring * machine.bar_gives,
            work: tip_spring * machine.bench.gives(operation.gauge_z()),
        }
    }
}

/// One way to make the cut, with what comes of it.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Way {
    /// The plainest setup of this way.
    pub setup: Setup,
    /// Setups that come to the same: the mirror image from the other side, unless a preload tells
    /// the sides apart.
    pub also: Vec<Setup>,
    /// Pulled in or drawn away.
    pub pull: Pull,
    /// The tool it asks for.
    pub tool: ToolNeeded,
    /// Run-in.
    pub start: Start,
    /// Why it is out; empty if it can be cut.
    pub out: Vec<Reason>,
    /// What can hurt.
    pub cautions: Vec<Caution>,
    /// Room of the boring bar, if there is one.
    pub room: Option<BoreRoom>,
    /// What comes of the thickest common bar that clears, where the job's own rubs and nothing
    /// else is in the way.
    pub with_other_bar: Option<Measures>,
    /// The run, if it can be cut.
    pub run: Option<Run>,
    /// Against the drawing, if it can be cut.
    pub verdict: Option<Verdict>,
    /// Spring rate at the tip, seated, N/m, at the gauge plane.
    pub tip_spring: f64,
    /// Who gives way when the tool is pushed off.
    pub gives: Gives,
    /// Never to be advised, however well it runs.
    pub forbidden: bool,
    /// What to expect of it on many lathes, where that was asked for.
    pub expect: Option<Expect>,
    /// What may be done about it, where that was asked for.
    pub worth: Option<Worth>,
}

impl Way {
    /// Weighs what may be done about it, once its plan was played.
    ///
    /// # Errors
    /// A number whose range makes no distribution.
    pub fn look_for_help(
        &mut self,
        scenario: &Scenario,
        options: Options,
    ) -> Result<(), RangeFault> {
        if let Some(expect) = &self.expect {
            let now = as_it_stands(scenario, expect);
            self.worth = Some(worth(&now, expect, options)?);
        }
        Ok(())
    }
}

/// All ways of one job on one lathe, best first, those that are out at the end.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Comparison {
    /// The ways with the attachment.
    pub ways: Vec<Way>,
    /// The ways without it, best first, those that are out at the end.
    pub methods: Vec<MethodWay>,
    /// Seed of the work's unevenness.
    pub seed: u64,
    /// Version of the program.
    pub version: &'static str,
}

impl Comparison {
    /// The way to take with the attachment, if there is one.
    pub fn best(&self) -> Option<&Way> {
        self.ways
            .first()
            .filter(|way| way.out.is_empty() && !way.forbidden)
    }

    /// The best ranked of the admitted; one that stands for its mirror image in the comparison counts
    /// as that one, one that can't be cut comes last.
    pub fn best_of(&self, admitted: &[Setup]) -> Option<Setup> {
        let standing = |setup: &Setup| {
            let same_cut =
                |way: &Way| way.setup.feed == setup.feed && way.setup.press() == setup.press();
            let place = self.ways.iter().position(same_cut);
            let can = self
                .ways
                .iter()
                .any(|way| way.out.is_empty() && (way.setup == *setup || way.also.contains(setup)));
            (!can, place)
        };
        admitted.iter().copied().min_by_key(standing)
    }

    /// Plays each way that can be cut on many lathes, and orders the ways by what that costs: the
    /// cheapest first, of those that these lathes can't tell from it the plainest. With a report
    /// before each way; what is not played when that returns false stays without.
    ///
    /// # Errors
    /// A number whose range makes no distribution.
    pub fn weigh(
        &mut self,
        scenario: &Scenario,
        options: Options,
        progress: &(dyn Fn(usize, usize) -> bool + Sync),
    ) -> Result<(), RangeFault> {
        // A thread's passes are not those of this plan, and its lead suffers where the work stands
        // askew: without the attachment it is not weighed.
        let turned = scenario.job.thread.is_none();
        let simulated = |way: &&mut MethodWay| turned && way.outcome.is_some();
        let played = self.methods.iter_mut().filter(simulated).count();
        let total = self.feasible().count() + played;
        let methods = self.methods.iter_mut().filter(simulated);
        for (done, way) in methods.enumerate() {
            if !progress(done, total) {
                return Ok(());
            }
            way.weigh(scenario, options)?;
        }
        let ways = self.ways.iter_mut().filter(|way| way.out.is_empty());
        for (done, way) in ways.enumerate() {
            if !progress(played + done, total) {
                return Ok(());
            }
            way.expect = Some(expect(scenario, &way.setup, options)?);
        }
        let cut = scenario.job.thread.as_ref();
        self.order(cut.and_then(|thread| thread.cut.as_ref()));
        Ok(())
    }

    /// The same with the lathes cut elsewhere: every way goes as far as they are there. Whether all
    /// went to the end; the ways are ordered then.
    ///
    /// # Errors
    /// A number whose range makes no distribution.
    pub fn weigh_from(
        &mut self,
        scenario: &Scenario,
        options: Options,
        source: &Source<'_>,
    ) -> Result<bool, RangeFault> {
        let turned = scenario.job.thread.is_none();
        let mut all = true;
        for way in &mut self.methods {
            if turned && way.outcome.is_some() && way.expect.is_none() {
                all &= way.weigh_from(scenario, options, source)?;
            }
        }
        for way in self.ways.iter_mut().filter(|way| way.out.is_empty()) {
            if way.expect.is_none() {
                way.expect = expect_from(scenario, &way.setup, options, source)?;
                all &= way.expect.is_some();
            }
        }
        if all {
            let cut = scenario.job.thread.as_ref();
            self.order(cut.and_then(|thread| thread.cut.as_ref()));
        }
        Ok(all)
    }

    /// Weighs what may be done about the way to take, once the plans were played.
    ///
    /// # Errors
    /// A number whose range makes no distribution.
    pub fn look_for_help(
        &mut self,
        scenario: &Scenario,
        options: Options,
    ) -> Result<(), RangeFault> {
        if self.best().is_some() {
            self.ways[0].look_for_help(scenario, options)?;
        }
        Ok(())
    }

    /// Orders the ways by what is expected of them; those that can't start a thread that is to be cut
    /// come after those that can, as the cone is turned the way its thread is.
    fn order(&mut self, thread: Option<&ThreadCut>) {
        let of_method = |way: &MethodWay| {
            let cost = way.expect.as_ref().map(|expect| expect.cost.expected);
            cost.unwrap_or(f64::INFINITY)
        };
        self.methods.sort_by(|a, b| {
            let (one, other) = (!a.out.is_empty(), !b.out.is_empty());
            one.cmp(&other).then(of_method(a).total_cmp(&of_method(b)))
        });
        let cost = |way: &Way| match &way.expect {
            Some(expect) if !way.forbidden => expect.cost.expected,
            _ => f64::INFINITY,
        };
        let starts = |way: &Way| {
            thread.is_none_or(|cut| cut.end(way.setup.starts_at()) != ThreadEnd::RunsOut)
        };
        let place = |way: &Way| (!way.out.is_empty(), way.forbidden, !starts(way));
        self.ways.sort_by(|a, b| {
            let (one, other) = (place(a), place(b));
            one.cmp(&other).then(cost(a).total_cmp(&cost(b)))
        });
        let Some(first) = self.ways.first().map(place) else {
            return;
        };
        let Some(cheapest) = self.ways.first().and_then(|way| way.expect.as_ref()) else {
            return;
        };
        let within = cheapest.cost.expected + cheapest.doubt();
        let alike = (self.ways.iter()).take_while(|way| cost(way) <= within && place(way) == first);
        let alike = alike.count();
        let plainest = self.ways[..alike].iter().enumerate();
        if let Some((first, _)) = plainest.min_by_key(|(_, way)| plainness(way)) {
            self.ways[..=first].rotate_right(1);
        }
    }

    /// Ways that can be cut.
    pub fn feasible(&self) -> impl Iterator<Item = &Way> {
        self.ways.iter().filter(|way| way.out.is_empty())
    }
}

/// Compares every way of making the job's taper with the attachment.
///
/// Setups that differ only by the mirror of the bed cut alike and are one way, but for a preload:
/// what holds the slide out of the cut at the front pushes it in at the rear. Each way is run on
/// the same work: same run-out, same hard patches.
pub fn compare(scenario: &Scenario, options: Options) -> Comparison {
    compare_with(scenario, options, &|_, _| true).expect("nothing interrupts it")
}

/// The same with a report before each way is run (how many are done, how many there are); `None`
/// if the report returns false, which interrupts. The ways go on all threads at once.
pub fn compare_with(
    scenario: &Scenario,
    options: Options,
    progress: &(dyn Fn(usize, usize) -> bool + Sync),
) -> Option<Comparison> {
    let plan = planned(scenario, options);
    let (total, done) = (plan.len(), AtomicUsize::new(0));
    let run = |one: Planned| {
        let way = progress(done.load(Relaxed), total).then(|| one.run(scenario, options));
        done.fetch_add(1, Relaxed);
        way
    };
    let (ways, methods) = join(
        || plan.into_par_iter().map(run).collect::<Option<Vec<Way>>>(),
        || methods(scenario, options),
    );
    Some(ranked(ways?, methods, options))
}

/// A way that is not run yet.
#[derive(Clone, Debug, PartialEq)]
struct Planned {
    /// The plainest setup of this way.
    setup: Setup,
    /// Setups that come to the same.
    also: Vec<Setup>,
    /// Why it is out; empty if it can be cut.
    out: Vec<Reason>,
}

impl Planned {
    /// Runs it.
    fn run(self, scenario: &Scenario, options: Options) -> Way {
        way(scenario, self.setup, self.also, self.out, options)
    }
}

/// Every way that a comparison runs, each to be run by itself and in any order.
fn planned(scenario: &Scenario, options: Options) -> Vec<Planned> {
    let mut groups: Vec<Vec<(Setup, Vec<Reason>)>> = Vec::new();
    for setup in Setup::all(scenario.job.work.kind, scenario.job.work.big_end) {
        if !setup.cuts() {
            continue;
        }
        let (_, approach) = cut::approach(scenario, &setup, options);
        let out = reasons(scenario, &setup, &approach);
        let hold = |setup: &Setup| PreloadForce::new(scenario.job.preload.as_ref(), setup);
        let like = |other: &Setup| {
            other.feed == setup.feed
                && other.press() == setup.press()
                && hold(other) == hold(&setup)
        };
        match groups.iter_mut().find(|group| like(&group[0].0)) {
            Some(group) => group.push((setup, out)),
            None => groups.push(vec![(setup, out)]),
        }
    }
    let of_group = |mut group: Vec<(Setup, Vec<Reason>)>| {
        // The plainest that can be cut stands for the group.
        let chosen = group
            .iter()
            .position(|(_, out)| out.is_empty())
            .unwrap_or(0);
        let (setup, out) = group.remove(chosen);
        let also = group
            .into_iter()
            .filter(|(_, out)| out.is_empty())
            .map(|(setup, _)| setup)
            .collect();
        Planned { setup, also, out }
    };
    groups.into_iter().map(of_group).collect()
}

/// The planned ways, run, in the plan's order, and the ways without the attachment: ranked.
fn ranked(mut ways: Vec<Way>, methods: Vec<MethodWay>, options: Options) -> Comparison {
    let least = least_trouble(&ways);
    ways.sort_by(|a, b| {
        let (one, other) = (rank(a, least), rank(b, least));
        one.partial_cmp(&other).unwrap_or(Ordering::Equal)
    });
    Comparison {
        ways,
        methods,
        seed: options.seed,
        version: env!("CARGO_PKG_VERSION"),
    }
}

/// One way, run if it can be cut.
pub fn way(
    scenario: &Scenario,
    setup: Setup,
    also: Vec<Setup>,
    out: Vec<Reason>,
    options: Options,
) -> Way {
    let operation = Operation::new(scenario, setup, options);
    let approach = operation.approach();
    let start = Start {
        lost: approach.lost.total,
        wanted: approach.wanted,
        room: approach.room,
        by_hand: approach.how == RunIn::ByHand,
        short: approach.how == RunIn::Short,
        guide_needed: guide_needed(scenario, approach),
        guide_usable: scenario.lathe.attachment.guide_travel.si(),
    };
    let cautions = cautions(scenario, &setup, approach.how);
    let run = out.is_empty().then(|| {
        let finished = operation.run();
        let (outcome, profile) = measure(scenario, &setup, &operation, &finished);
        Run {
            inertia: inertia(&operation, &finished, &outcome),
            setup,
            pull: setup.pull(),
            roughing: finished.roughing,
            passes: finished.passes,
            last_set: finished.last_set,
            profile,
            reversal: reversal(&operation.machine, setup.pull().sign()),
            outcome,
        }
    });
    let room = BoreRoom::new(scenario, &setup, approach);
    let with_other_bar = match out.as_slice() {
        [
            Reason::BarRubs {
                would_do: Some(diameter),
                ..
            },
        ] => Some(found_with_bar(scenario, setup, *diameter, options)),
        _ => None,
    };
    let verdict = run
        .as_ref()
        .map(|run| judge(scenario, &setup, &run.outcome));
    let tip_spring = operation.machine.tip_spring(operation.gauge_z());
    Way {
        setup,
        also,
        pull: setup.pull(),
        tool: operation.tool_needed(),
        start,
        out,
        forbidden: forbids(&cautions),
        expect: None,
        worth: None,
        cautions,
        room,
        with_other_bar,
        run,
        verdict,
        tip_spring,
        gives: Gives::new(scenario, &operation, tip_spring),
    }
}

/// What comes of the same way with a bar of another thickness.
fn found_with_bar(scenario: &Scenario, setup: Setup, diameter: f64, options: Options) -> Measures {
    let mut scenario = scenario.clone();
    if let Some(bar) = &mut scenario.job.tool.bar {
        bar.diameter = Length::from_si(diameter);
    }
    let operation = Operation::new(&scenario, setup, options);
    let finished = operation.run();
    gauge(&scenario, &setup, &operation, &finished)
}

/// Order of the ways: can be cut, may be advised, meets the drawing, keeps size and surface (in
/// steps of two over the best, so that ties go on), keeps its seat, plainest and safest, and at
/// last what it leaves wrong, as far as one would see it.
fn rank(way: &Way, least: f64) -> (bool, bool, bool, i32, bool, usize, f64) {
    let met = way.verdict.is_some_and(|verdict| verdict.met());
    let trouble = way
        .run
        .as_ref()
        .map_or(f64::INFINITY, |run| trouble(&run.outcome));
    (
        !way.out.is_empty(),
        way.forbidden,
        !met,
        clamp(log2(trouble / least), 0.0, 60.0).floor() as i32,
        way.run.as_ref().is_some_and(|run| unsteady(&run.outcome)),
        plainness(way),
        max(trouble, NOT_SEEN),
    )
}

/// What the best of the ways that may be advised leaves wrong, m, as far as one would see it: the
/// measure for the others, so that ways close together are not told apart by where steps begin.
fn least_trouble(ways: &[Way]) -> f64 {
    clamp(
        ways.iter()
            .filter(|way| !way.forbidden)
            .filter_map(|way| way.run.as_ref().map(|run| trouble(&run.outcome)))
            .fold(f64::INFINITY, min),
        NOT_SEEN,
        1.0,
    )
}

/// Front before rear, forward before reverse, face up before down, pressed down before lifted,
/// run in by travel before seated by hand.
fn plainness(way: &Way) -> usize {
    let order = Setup::all(way.setup.kind, way.setup.big_end)
        .iter()
        .position(|setup| {
            setup.side == way.setup.side
                && setup.rotation == way.setup.rotation
                && setup.face == way.setup.face
        })
        .unwrap_or(usize::MAX / 4);
    order * 4 + 2 * usize::from(way.start.by_hand) + usize::from(way.setup.press() == Press::Lift)
}
