//! One way in detail: the first screen's items for it, then every pass and every figure.

use tautway_sim::caution::NOT_AN_INSPECTION;
use tautway_sim::compare::Way;
use tautway_sim::heat::Heat;
use tautway_sim::quantity::{Force, INCH, Length, Quantity, Stiffness, Units};
use tautway_sim::record::{Counters, Run, Seat};
use tautway_sim::scenario::Scenario;
use tautway_sim::sensitivity::Likely;

use super::way;
use super::{chance, expect, hurts, inertia, words, worth};
use crate::spread::Spread;
use tautway_words::{Block, Document, Table};

/// One way, chosen by the person or the best.
pub fn predict(
    scenario: &Scenario,
    way: &Way,
    likely: Option<&Likely>,
    spread: Option<&Spread>,
    units: Units,
    full: bool,
) -> Document {
    let mut page = Document::new();
    way::heading(&mut page, scenario, units);
    let Some(run) = &way.run else {
        page.say("OUT:", format!("{}.", words::way(&way.setup)));
        for reason in &way.out {
            page.item(reason.words(units));
        }
        return page;
    };
    let told = way::Told {
        scenario,
        likely,
        spread,
        units,
    };
    if let Some(expect) = &way.expect {
        expect::first(&mut page, expect, scenario, units);
    }
    way::recommended(&mut page, "THIS WAY:", &told, way, run);
    if let Some(heat) = Heat::of(scenario, units) {
        page.say("Gauge cold:", format!("{}.", words::heat(&heat, units)));
    }
    match (&way.worth, &way.expect) {
        (Some(found), Some(expect)) => {
            let (label, told) = worth::first(found, expect, scenario, units);
            page.say(label, told);
        }
        _ => {
            if let Some(mend) = spread.and_then(chance::mend) {
                page.say("Mend first:", &mend);
            }
        }
    }
    page.gap();
    passes(&mut page, run, units);
    inertia::beside(&mut page, run, units);
    page.gap();
    lost(&mut page, run, units);
    springs(&mut page, way, units);
    if full {
        detail(&mut page, scenario, run, likely, units);
    }
    chance::afterwards(&mut page, scenario, spread, units, full);
    page.gap();
    hurts(&mut page, &way.cautions);
    page.gap();
    page.say("Note:", NOT_AN_INSPECTION);
    page
}

fn passes(page: &mut Document, run: &Run, units: Units) {
    page.lead("Pass by pass, per side:");
    let head = ["no.", "", "set", "taken", "push-off", "drag", "slide"];
    let mut table = Table::new(head).words_in(&[1, 6]);
    for pass in &run.passes {
        let means = pass.means();
        let seat = match means.seat {
            Some(Seat::First) => "against the guide",
            Some(Seat::Other) => "held back, far face",
            Some(Seat::Floating) => "floats",
            None => "changes",
        };
        let kind = if !pass.finishing {
            "rough"
        } else if pass.set > 0.0 {
            "finish"
        } else {
            "spring"
        };
        table.row([
            pass.number.to_string(),
            kind.to_owned(),
            words::height(pass.set, units),
            words::height(pass.taken, units),
            Force::from_si(means.push_off).show(units),
            Force::from_si(means.drag).show(units),
            seat.to_owned(),
        ]);
    }
    page.push(Block::Table(table));
    let r = &run.roughing;
    if r.extra > 0 || !r.came_even {
        let even = if r.came_even {
            String::new()
        } else {
            format!(
                " Still uneven by {}: the finishing passes are shown from an even stock, as after \
                 roughing another way.",
                words::height(r.left, units)
            )
        };
        page.say(
            "",
            format!(
                "Roughing takes {} passes more than planned at the same dial.{even}",
                r.extra
            ),
        );
    }
}

fn lost(page: &mut Document, run: &Run, units: Units) {
    let lost = &run.reversal.lost;
    let parts: Vec<String> = lost
        .parts
        .iter()
        .map(|(name, travel)| format!("{name} {}", Length::from_si(*travel).show(units)))
        .collect();
    let kept = if lost.changes_face {
        ""
    } else {
        " (the preload keeps it on one face)"
    };
    page.say(
        "Lost on reversal, carriage travel:",
        format!(
            "{}: {}{kept}.",
            Length::from_si(lost.total).show(units),
            parts.join(", ")
        ),
    );
}

fn springs(page: &mut Document, way: &Way, units: Units) {
    let g = &way.gives;
    page.say(
        "Spring at the tip:",
        format!(
            "{}; {:.0} % of it is the drive, {:.0} % the post, {:.0} % the bar, {:.0} % work and \
             spindle.",
            Stiffness::from_si(way.tip_spring).show(units),
            100.0 * g.drive,
            100.0 * g.post,
            100.0 * g.bar,
            100.0 * g.work
        ),
    );
    if let Some(takes) = g.rest_takes {
        page.say(
            "Steady rest:",
            format!(
                "takes {} of the work's spring.",
                super::finish::share_of_spring(takes)
            ),
        );
    }
}

/// Profile parameters, solver's counters and everything that moved the answer.
pub(super) fn detail(
    page: &mut Document,
    scenario: &Scenario,
    run: &Run,
    likely: Option<&Likely>,
    units: Units,
) {
    let o = &run.outcome;
    page.gap();
    page.lead("In detail:");
    let rough = |m: f64| match units {
        Units::Inch => format!("{:.0} uin", m / (1e-6 * INCH)),
        Units::Metric => format!("{:.2} um", m * 1e6),
    };
    page.under(
        "profile (ISO 16610-21, cut-off 0.8 mm):",
        format!(
            "Ra {}, Rz {}, Wa {}, Wt {}",
            rough(o.ra),
            rough(o.rz),
            rough(o.wa),
            rough(o.wt)
        ),
    );
    page.under(
        "round within:",
        format!(
            "{}; standoff from the size {}",
            words::height(o.roundness, units),
            words::length(o.standoff, units)
        ),
    );
    let total: Counters = run.passes.iter().map(|pass| pass.counters).sum();
    page.under(
        "solver:",
        format!(
            "{} steps, {} iterations, {} with more than one balance, {} not found",
            total.steps, total.iterations, total.ambiguous, total.unconverged
        ),
    );
    if let Some(likely) = likely {
        for m in &likely.matters {
            page.under(
                "moved it:",
                way::matter(m, words::Tapers::of(scenario, units), units),
            );
        }
    }
}
