//! What would help a job: what to measure or to mend first, what brings the drawing in reach.

use tautway_sim::expect::{Asked, Expect};
use tautway_sim::quantity::Units;
use tautway_sim::scenario::{Kind, Scenario, Work};
use tautway_sim::worth::{Ask, Step, What, Worth, asked};

use super::expect::of_100;
use super::words::{self, Tapers};

/// Steps told that bring a drawing in reach.
const BRINGS: usize = 2;
/// As many pieces as are thought of.
const MANY: f64 = 20.0;

/// A step's name, and the time it takes.
pub fn name(step: &Step) -> String {
    let what = match &step.what {
        What::Test(test) => test.name().to_owned(),
        What::Change { words, .. } => words.clone(),
    };
    format!("{what}, {:.0} min", step.minutes)
}

/// The label and the line of a first screen.
pub fn first(
    worth: &Worth,
    expect: &Expect,
    scenario: &Scenario,
    units: Units,
) -> (&'static str, String) {
    if !expect.verdict.is_reached() {
        return ("To get there:", brings(worth, expect, scenario, units));
    }
    let pieces = scenario.job.pieces;
    let of = |step: &Step| format!("{} then", of_100(&step.met));
    if let Some(step) = worth.first() {
        let label = match step.what {
            What::Test(_) => "Measure first:",
            What::Change { .. } => "Mend first:",
        };
        let each = if pieces > 1 {
            "a piece"
        } else {
            "on this piece"
        };
        return (
            label,
            format!(
                "{}: saves {:.0} min {each}; {}.",
                name(step),
                step.saves,
                of(step)
            ),
        );
    }
    let so_many = match pieces {
        1 => "one piece".to_owned(),
        n => format!("{n} pieces"),
    };
    let later = worth.steps.iter().filter_map(|step| {
        let gain = step.gain(pieces);
        let needed = (step.minutes / gain).ceil();
        (gain > step.doubt && needed <= MANY).then_some((needed, step))
    });
    let later = later.min_by(|a, b| a.0.total_cmp(&b.0));
    let later = later.map_or(String::new(), |(needed, step)| {
        format!(" From {needed:.0} on: {} ({}).", name(step), of(step))
    });
    (
        "Mend first:",
        format!("nothing: no test or change pays for itself on {so_many}.{later}"),
    )
}

/// What brings the drawing in reach, the quickest first.
fn brings(worth: &Worth, expect: &Expect, scenario: &Scenario, units: Units) -> String {
    let steps = worth.brings(expect);
    let mut told: Vec<String> = steps
        .iter()
        .take(BRINGS)
        .map(|step| format!("{}: {}", name(step), of_100(&step.met)))
        .collect();
    let work = &scenario.job.work;
    if let Some(ask) = asked(expect, work) {
        told.push(format!(
            "ask for {}: {}",
            wider(&ask, work, Tapers::of(scenario, units), units),
            of_100(&ask.met)
        ));
    }
    if !told.is_empty() {
        return format!("{}.", told.join("; "));
    }
    let most = worth
        .steps
        .iter()
        .max_by(|a, b| a.met.met.total_cmp(&b.met.met))
        .filter(|step| step.met.met > expect.met().met);
    let most = most.map_or(String::new(), |step| {
        format!(" Most: {}, {}.", name(step), of_100(&step.met))
    });
    format!("no one test or change does it.{most}")
}

/// A wider tolerance in the drawing's words.
fn wider(ask: &Ask, work: &Work, tapers: Tapers, units: Units) -> String {
    match ask.of {
        Asked::Size => {
            // Into the work is more metal off: on a bore larger, outside smaller.
            let (least, most) = match work.kind {
                Kind::Inside => (ask.low, ask.high),
                Kind::Outside => (-ask.high, -ask.low),
            };
            let signed = |m: f64| {
                let sign = if m < 0.0 { '-' } else { '+' };
                format!("{sign}{}", words::height(2.0 * m.abs(), units))
            };
            format!("{} {} on diameter", signed(most), signed(least))
        }
        Asked::Taper => {
            let half = 0.5 * (ask.high - ask.low);
            format!(
                "a taper of {} +- {}",
                tapers.bare(0.5 * (ask.low + ask.high)),
                tapers.difference(half)
            )
        }
        Asked::Finish => format!("waves up to {}", words::height(ask.high, units)),
    }
}
