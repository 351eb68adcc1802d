//! The words on the screen: what to do first, then why.

use std::fmt::Write as _;

use tautway_sim::caution::NOT_AN_INSPECTION;
use tautway_sim::compare::{Comparison, Way};
use tautway_sim::mattered::Likely;
use tautway_sim::quantity::{Length, Quantity, Taper, Units};
use tautway_sim::scenario::{Kind, Scenario};
use tautway_sim::setup::{Face, Feed, Rotation, Setup, Side};

/// A way in one line.
pub fn name_of(setup: &Setup) -> String {
    let kind = match setup.kind {
        Kind::Inside => "bore",
        Kind::Outside => "turn",
    };
    let feed = match setup.feed {
        Feed::Headstock => "toward the headstock",
        Feed::Tailstock => "toward the tailstock",
    };
    let side = match setup.side {
        Side::Front => "front",
        Side::Rear => "rear",
    };
    let face = match setup.face {
        Face::Up => "up",
        Face::Down => "down",
    };
    let rotation = match setup.rotation {
        Rotation::Forward => "forward",
        Rotation::Reverse => "in reverse",
    };
    format!("{kind} {feed}, {side}, tool face {face}, spindle {rotation}")
}

/// Every way, the best first.
pub fn compare(
    scenario: &Scenario,
    comparison: &Comparison,
    likely: Option<&Likely>,
    units: Units,
    detail: bool,
) -> String {
    let mut page = match comparison.best() {
        Some(best) => predict(scenario, best, likely, units, detail),
        None => "No way of making this cut can be advised on this lathe.\n\n".to_owned(),
    };
    for (index, way) in comparison.ways.iter().enumerate() {
        let _ = writeln!(page, "{}. {}", index + 1, line(way, units));
    }
    page
}

/// One way.
pub fn predict(
    scenario: &Scenario,
    way: &Way,
    likely: Option<&Likely>,
    units: Units,
    _detail: bool,
) -> String {
    let mut page = String::new();
    let _ = writeln!(page, "{}: {}", scenario.job.name, line(way, units));
    for caution in &way.cautions {
        let _ = writeln!(page, "STOP IF {}. {}", caution.stop_if, caution.advice);
    }
    for matter in likely.iter().flat_map(|likely| &likely.matters) {
        let _ = writeln!(
            page,
            "{}: {} to {}",
            matter.words, matter.low, matter.high
        );
    }
    let _ = writeln!(page, "{NOT_AN_INSPECTION}\n");
    page
}

fn line(way: &Way, units: Units) -> String {
    let length = |m: f64| Length::from_si(m).show(units);
    let name = name_of(&way.setup);
    let Some(run) = &way.run else {
        let why: Vec<_> = way.out.iter().map(|reason| reason.words(units)).collect();
        return format!("{name}: out, {}", why.join("; "));
    };
    let outcome = &run.outcome;
    format!(
        "{name}: taper {} on diameter, size off by {} per side, waves {}",
        Taper::from_si(outcome.taper).show(units),
        length(outcome.size_error),
        length(outcome.waves)
    )
}
