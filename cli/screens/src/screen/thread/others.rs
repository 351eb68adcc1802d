//! The other ways of a thread, a line each, with what it costs or why it is out.

use tautway_sim::quantity::{Angle, Quantity};
use tautway_sim::record::Seat;
use tautway_sim::scenario::ThreadCut;
use tautway_sim::thread::{Behind, Method, ThreadWay, bottom, cut_of};

use super::super::words;
use super::at_the_lathe::{beside, minutes};
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

/// Why the way to take comes before the others, where that is told by more than the others' lines.
pub(super) fn first_of_all(told: &Told<'_>, cut: &ThreadCut, best: &ThreadWay) -> Option<String> {
    let labour = best.labour.as_ref()?;
    let stops = match labour.seatings {
        0 => format!("{} gaugings on the way to its depth", labour.gaugings),
        count => format!(
            "{count} seatings by hand {}",
            beside(told, cut, &best.setup)
        ),
    };
    if !labour.plain {
        let met = best.run.as_ref().is_some_and(|run| run.verdict.met());
        let does = if met {
            "meets the drawing"
        } else {
            "can be advised"
        };
        return Some(format!(
            "It comes first in spite of {stops}: no plainer way {does}."
        ));
    }
    let mut others = told.found.ways.iter().filter_map(|way| way.behind);
    others
        .any(|behind| matches!(behind, Behind::Handwork | Behind::Time))
        .then(|| {
            "Of the ways that may be advised and meet the drawing, those without a hand at the \
             slide come first, then the quicker, then those that keep their depth."
                .to_owned()
        })
}

/// What puts a way behind the first, in the shop's words.
fn behind(told: &Told<'_>, cut: &ThreadCut, other: &ThreadWay) -> Option<String> {
    let best = told.found.best()?;
    let (ours, theirs) = (best.labour.as_ref()?, other.labour.as_ref()?);
    Some(match other.behind? {
        Behind::Danger => return None,
        Behind::Drawing => "behind, for it doesn't meet the drawing".to_owned(),
        Behind::Handwork if theirs.seatings == 0 => format!(
            "behind, for its depth would be felt for by gauging {} times",
            theirs.gaugings
        ),
        Behind::Handwork => format!(
            "behind, for the slide would be seated by hand {} times {}",
            theirs.seatings,
            beside(told, cut, &other.setup)
        ),
        Behind::Time => {
            let gaugings = if theirs.plain {
                String::new()
            } else {
                format!(", gauged {} times", theirs.gaugings)
            };
            format!(
                "behind, for it takes {} against {}{gaugings}",
                minutes(theirs.time),
                minutes(ours.time)
            )
        }
        Behind::Tailstock => "behind, for the tailstock has to be set back and proved".to_owned(),
        Behind::Depth => "behind, for it keeps its depth less well".to_owned(),
        Behind::Seat => "behind, for it changes its seat".to_owned(),
        Behind::Plainness => "as good, but less plain".to_owned(),
    })
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
                parts.push(if bottom(told.scenario, cut, &other.setup) {
                    "no room at the bottom of the bore: seat by hand".to_owned()
                } else {
                    "no room: seat by hand".to_owned()
                });
            } else if bottom(told.scenario, cut, &other.setup) {
                parts.push("starts at the bottom of the bore".to_owned());
            }
        }
    }
    parts.extend(behind(told, cut, other));
    format!("{name}: {}", parts.join("; ").trim_end_matches('.'))
}
