//! Taper threads: every way to cut one, what force and seat do pass by pass, what becomes of the
//! lead, where the half-nut may be closed.
//!
//! With the attachment the guide moves the slide as in a plain cut, and the drive carries
//! `L = Fp + P + pull F` anew at every pass: a thread's first passes push off little and its last
//! ones a lot, so the slide may sit otherwise from pass to pass, a slack apart. The carriage leads
//! along the spindle's axis, so the lead is the lead screw's own. With the tailstock over no slide
//! moves, but the pitch comes out short and drunken ([`lead`]). The top slide isn't tied to the
//! spindle at all.

mod reason;
pub mod lead;
pub mod pick_up;
pub mod caution;
mod labour;
mod record;
mod order;
mod likely;

pub use crate::threading::{Method, ThreadPass, ThreadTurn, between_points, course, force, plan};
pub use labour::Labour;
pub use likely::{LATHES, LikelyFault, Moves, ThreadLikely, likely, moves};
pub use reason::{ThreadReason, bottom};
pub use record::{Behind, RunOut, ThreadOutcome, ThreadRun, ThreadVerdict, ThreadWay, Threading};

use crate::threading::course::ThreadCourse;

use crate::arithmetic::{atan, max, min, powi, sin};
use crate::compare::Start;
use crate::cut::{Options, RunIn, aimed_taper};
use crate::feasibility::{Reason, guide_needed, reasons};
use crate::quantity::Quantity;
use crate::record::Seat;
use crate::scenario::{Holding, Kind, Scenario, Thread, ThreadCut, ThreadEnd};
use crate::setup::{Pull, Setup};
use crate::standard_taper::runs_out;
use lead::LeadFound;

/// The thread of a job, if its form is told.
pub fn cut_of(scenario: &Scenario) -> Option<&ThreadCut> {
    scenario.job.thread.as_ref()?.cut.as_ref()
}

/// Every way to cut the job's thread, best first; `None` if the job tells of no form.
pub fn threading(scenario: &Scenario, options: Options) -> Option<Threading> {
    let Thread { hand, cut } = scenario.job.thread.as_ref()?;
    let cut = cut.as_ref()?;
    let (mut ways, mut other_hand) = (Vec::new(), Vec::new());
    for setup in Setup::all(scenario.job.work.kind, scenario.job.work.big_end) {
        if !setup.cuts() {
            continue;
        }
        if setup.hand() != *hand {
            other_hand.push(setup);
            continue;
        }
        let method = Method::Attachment;
        ways.push(way(scenario, cut, setup, method, options));
    }
    ways.extend(over(scenario, cut, *hand, options));
    order::put_in_order(&mut ways);
    Some(Threading {
        ways,
        other_hand,
        pick_up: pick_up::pick_up(cut.lead, &scenario.lathe.lead_screw),
        run_out: run_out(scenario, cut),
        seed: options.seed,
        version: env!("CARGO_PKG_VERSION"),
    })
}

/// How the thread runs out in stock of its own diameter, if it does.
fn run_out(scenario: &Scenario, cut: &ThreadCut) -> Option<RunOut> {
    let length = scenario.job.work.thin_at_big_end();
    (length > 0.0).then(|| RunOut {
        length,
        threads: length / cut.lead.si(),
        standard: runs_out(&cut.form.name),
    })
}

/// The job held between centres, where it can be.
fn between_centres(scenario: &Scenario) -> Scenario {
    let mut scenario = scenario.clone();
    let work = &mut scenario.job.work;
    if work.kind == Kind::Outside && work.between_centres.is_some() {
        work.holding = Holding::Centres;
    }
    scenario
}

/// The plainest way with the tailstock over: one that starts where it can, if any does.
fn over(
    scenario: &Scenario,
    cut: &ThreadCut,
    hand: crate::scenario::Hand,
    options: Options,
) -> Option<ThreadWay> {
    let scenario = &between_centres(scenario);
    let work = &scenario.job.work;
    let mut all = Setup::all(work.kind, work.big_end)
        .into_iter()
        .filter(|setup| setup.cuts() && setup.hand() == hand)
        .map(|setup| (setup, why_not(scenario, cut, &setup, Method::TailstockOver)))
        .collect::<Vec<_>>();
    all.sort_by_key(|(_, out)| out.len());
    let (setup, _) = all.first()?;
    Some(way(scenario, cut, *setup, Method::TailstockOver, options))
}

/// Everything that stands in the way.
fn why_not(
    scenario: &Scenario,
    cut: &ThreadCut,
    setup: &Setup,
    method: Method,
) -> Vec<ThreadReason> {
    let (_, approach) = crate::cut::approach(scenario, setup, Options::default());
    let setup_out = reasons(scenario, setup, &approach);
    let guide = |reason: &Reason| {
        matches!(
            reason,
            Reason::NoAttachment
                | Reason::TooSteep { .. }
                | Reason::GuideTooShort { .. }
                | Reason::SlideTooShort { .. }
        )
    };
    let mut out: Vec<ThreadReason> = setup_out
        .into_iter()
        .filter(|reason| method == Method::Attachment || !guide(reason))
        .map(ThreadReason::Setup)
        .collect();
    let end = setup.starts_at();
    if cut.end(end) == ThreadEnd::RunsOut {
        let at_bottom = bottom(scenario, cut, setup) && method == Method::Attachment;
        out.push(ThreadReason::NoStart {
            end,
            at_bottom: at_bottom.then_some(approach.wanted),
        });
    }
    if method == Method::TailstockOver {
        let work = &scenario.job.work;
        if work.kind == Kind::Inside {
            out.push(ThreadReason::InsideWork);
        } else if work.holding != Holding::Centres {
            out.push(ThreadReason::NotBetweenCentres);
        } else {
            let has = scenario.lathe.tailstock.setover.si();
            let needs = set_over(scenario, setup).abs();
            if needs > has {
                out.push(ThreadReason::SetOverTooFar { needs, has });
            }
        }
    } else if !scenario.lathe.attachment.fitted {
        out.push(ThreadReason::NoAttachment);
    }
    out
}

/// How far the tailstock goes over, positive toward the operator, m: `-side L sin(half angle)`
/// with the slope's sign, L between the centres' points.
pub fn set_over(scenario: &Scenario, setup: &Setup) -> f64 {
    let half = atan(0.5 * aimed_taper(scenario));
    -setup.side.sign() * setup.slope_sign() * between_points(scenario) * sin(half)
}

/// One way, cut if it can be.
pub fn way(
    scenario: &Scenario,
    cut: &ThreadCut,
    setup: Setup,
    method: Method,
    options: Options,
) -> ThreadWay {
    let operation = ThreadCourse::new(scenario, cut, setup, method, options);
    let approach = operation.operation().approach();
    let out = why_not(scenario, cut, &setup, method);
    let start = (method == Method::Attachment).then(|| Start {
        lost: approach.lost.total,
        wanted: approach.wanted,
        room: approach.room,
        by_hand: approach.how == RunIn::ByHand,
        short: approach.how == RunIn::Short,
        guide_needed: guide_needed(scenario, approach),
        guide_usable: scenario.lathe.attachment.guide_travel.si(),
    });
    let cautions = caution::cautions(scenario, cut, &setup, method, approach.how);
    let run = out
        .is_empty()
        .then(|| run(scenario, cut, &setup, method, &operation));
    let labour = run.as_ref().map(|run| {
        Labour::new(
            scenario,
            cut,
            method,
            operation.operation(),
            approach.how == RunIn::ByHand,
            (run.passes.len(), run.by_gauge.len()),
        )
    });
    ThreadWay {
        method,
        setup,
        pull: match method {
            Method::Attachment => setup.pull(),
            Method::TailstockOver => Pull::Neither,
        },
        start,
        set_over: (method == Method::TailstockOver && scenario.job.work.kind == Kind::Outside)
            .then(|| set_over(scenario, &setup)),
        out,
        forbidden: method == Method::Attachment && crate::caution::forbids(&cautions),
        cautions,
        profile: operation.profile,
        labour,
        behind: None,
        run,
    }
}

/// One way cut, whether or not anything stands in its way.
fn cut_once(
    scenario: &Scenario,
    cut: &ThreadCut,
    setup: Setup,
    method: Method,
    options: Options,
) -> ThreadRun {
    let operation = ThreadCourse::new(scenario, cut, setup, method, options);
    run(scenario, cut, &setup, method, &operation)
}

fn run(
    scenario: &Scenario,
    cut: &ThreadCut,
    setup: &Setup,
    method: Method,
    operation: &ThreadCourse<'_>,
) -> ThreadRun {
    let (passes, by_gauge) = operation.run();
    let last_set = passes.iter().rposition(|pass| !pass.spring).unwrap_or(0);
    let allowed = cut.lead_tolerance.map(|tolerance| tolerance.per_length);
    let work = &scenario.job.work;
    let lead = match method {
        Method::Attachment => LeadFound::with_attachment(allowed),
        Method::TailstockOver => LeadFound::with_tailstock_over(
            atan(operation.operation().slope),
            cut.lead.si(),
            work.length.si(),
            cut.dog_offset.si(),
            allowed,
        ),
    };
    let by_dial = gauged(scenario, setup, operation, &passes, last_set, lead);
    let outcome = if by_gauge.is_empty() {
        by_dial
    } else {
        gauged(
            scenario,
            setup,
            operation,
            &by_gauge,
            by_gauge.len() - 1,
            lead,
        )
    };
    let size = work.size_tolerance.as_ref().map(|band| {
        within(
            outcome.pitch_diameter_error,
            band.lower.si(),
            band.upper.si(),
        )
    });
    let verdict = ThreadVerdict {
        depth: outcome.depth_error.abs() <= 2.0 * course::GAUGED_WITHIN,
        lead: lead.within(),
        taper: within(
            outcome.taper_error,
            work.tolerance.lower.si(),
            work.tolerance.upper.si(),
        ),
        size,
    };
    ThreadRun {
        passes,
        last_set,
        by_gauge,
        by_dial,
        outcome,
        verdict,
    }
}

fn within(value: f64, low: f64, high: f64) -> bool {
    value >= low && value <= high
}

/// What gauges read: a line through the depths of the last pass, turn by turn.
fn gauged(
    scenario: &Scenario,
    setup: &Setup,
    operation: &ThreadCourse<'_>,
    passes: &[ThreadPass],
    last_set: usize,
    lead: LeadFound,
) -> ThreadOutcome {
    let last = &passes[passes.len() - 1];
    let mut turns: Vec<&ThreadTurn> = last.turns.iter().filter(|turn| turn.whole).collect();
    if turns.len() < 2 {
        turns = last.turns.iter().collect();
    }
    let count = turns.len().max(1) as f64;
    let mean = |of: fn(&ThreadTurn) -> f64| turns.iter().map(|t| of(t)).sum::<f64>() / count;
    let (z, depth) = (mean(|t| t.z), mean(|t| t.reached));
    let (mut over, mut under) = (0.0, 0.0);
    for turn in &turns {
        over += (turn.z - z) * (turn.reached - depth);
        under += powi(turn.z - z, 2);
    }
    let deepens = if under > 0.0 { over / under } else { 0.0 };
    let off_line = |turn: &&ThreadTurn| turn.reached - depth - deepens * (turn.z - z);
    let (least, most) = turns
        .iter()
        .map(off_line)
        .fold((0.0f64, 0.0f64), |(low, high), v| {
            (min(low, v), max(high, v))
        });
    let at_gauge = depth + deepens * (operation.operation().gauge_z() - z);
    let aimed = 2.0 * operation.operation().slope;
    let taper = aimed + 2.0 * setup.inward() * setup.slope_sign() * deepens;
    let error = at_gauge - operation.profile.depth;
    let set = &passes[last_set];
    let holds = set.drive.0 * set.drive.1 > 0.0 && set.seat_changes.is_empty();
    let first = &passes[0];
    ThreadOutcome {
        depth: at_gauge,
        depth_error: error,
        pitch_diameter_error: 2.0 * setup.inward() * error,
        goes_on: 2.0 * error / scenario.job.work.taper.si(),
        taper,
        taper_error: taper - scenario.job.work.taper.si(),
        along: most - least,
        out_of_round: turns.iter().map(|t| t.out_of_round).fold(0.0, max),
        crest_flat: operation.profile.crest_flat(at_gauge),
        seat: set.seat,
        seat_margin: if holds {
            min(set.drive.0.abs(), set.drive.1.abs())
        } else {
            0.0
        },
        steady: first.seat != Seat::Floating
            && passes
                .iter()
                .all(|pass| pass.seat == first.seat && pass.seat_changes.is_empty()),
        lead,
    }
}
