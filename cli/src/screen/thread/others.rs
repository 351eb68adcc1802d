//! The other ways of a thread, a line each, with what it costs or why it is out.

use tautway_sim::quantity::{Angle, Quantity};
use tautway_sim::record::Seat;
use tautway_sim::thread::{Method, ThreadWay, cut_of};

use super::super::words;
use super::told::{Told, lead_of, seat};
use tautway_words::Document;

pub(super) fn others(page: &mut Document, told: &Told<'_>) {
    page.lead("The other ways:");
    let best = told.found.best();
    for other in &told.found.ways {
        if best.is_some_and(|best| std::ptr::eq(best, other)) {
            continue;
        }
        page.item(other_way(told, other));
    }
    page.item(
        "with the top slide set over: out: it is fed by hand, and nothing ties it to the spindle",
    );
    if !told.found.other_hand.is_empty() {
        let hand = match told.found.other_hand[0].hand() {
            tautway_sim::scenario::Hand::Left => "left-hand",
            tautway_sim::scenario::Hand::Right => "right-hand",
        };
        page.item(format!(
            "the other {} setups: out: they cut a {hand} thread",
            told.found.other_hand.len()
        ));
    }
}

fn other_way(told: &Told<'_>, other: &ThreadWay) -> String {
    let units = told.units;
    let name = match other.method {
        Method::Attachment => words::short(&other.setup),
        Method::TailstockOver => format!(
            "tailstock over{}",
            other.set_over.map_or(String::new(), |over| format!(
                " by {} {}",
                words::height(over, units),
                if over > 0.0 {
                    "toward you"
                } else {
                    "away from you"
                }
            ))
        ),
    };
    if let Some(reason) = other.out.first() {
        return format!("{name}: out: {}", reason.words(units));
    }
    let (Some(run), Some(cut)) = (&other.run, cut_of(told.scenario)) else {
        return name;
    };
    let mut parts = Vec::new();
    if other.forbidden {
        parts.push("never use it: the preload pushes the tool into the work".to_owned());
    }
    match other.method {
        Method::TailstockOver => {
            let usable = if run.verdict.met() {
                "usable"
            } else {
                "not usable"
            };
            parts.push(usable.to_owned());
            let lead = lead_of(cut, &run.outcome.lead, other.method, units);
            parts.push(lead.trim_end_matches('.').to_owned());
            parts.push(format!(
                "flanks lean by {} unless the tool is squared to the work's own axis",
                Angle::from_si(run.outcome.lead.flanks_lean).show(units)
            ));
        }
        Method::Attachment => {
            let o = &run.by_dial;
            let alike = run.passes.iter().all(|pass| pass.seat == o.seat);
            parts.push(if o.steady || alike && o.seat == Seat::Floating {
                format!("{} in every pass", seat(o.seat))
            } else {
                "changes seat from pass to pass".to_owned()
            });
            parts.push(format!(
                "by the dial {} {}",
                words::height(o.depth_error, units),
                if o.depth_error < 0.0 {
                    "shallow"
                } else {
                    "too deep"
                }
            ));
            if !run.verdict.depth {
                parts.push("doesn't come to depth".to_owned());
            }
            if !run.verdict.taper {
                parts.push("taper out".to_owned());
            }
            if other.start.as_ref().is_some_and(|start| start.by_hand) {
                parts.push("no room: seat by hand".to_owned());
            }
        }
    }
    format!("{name}: {}", parts.join("; ").trim_end_matches('.'))
}
