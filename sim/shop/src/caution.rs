//! What can hurt: the usual cautions, from the same records as the signs, each with an id.
//!
//! The tool advises; local codes and the person at the machine decide.

use schemars::JsonSchema;
use serde::Serialize;

use crate::arithmetic::atan;
use crate::cut::{RunIn, aimed_taper};
use crate::quantity::Quantity;
use crate::scenario::{End, Holding, Kind, PreloadSource, Scenario};
use crate::setup::{Face, Feed, Press, Pull, Rotation, Setup};

/// Preload above which there is a warning, N (100 lbf).
pub const PRELOAD_WARNED: f64 = 444.822;
/// Preload above which nothing is advised, N (200 lbf).
pub const PRELOAD_REFUSED: f64 = 889.644;

/// Clearance behind the nose below which the back edge is said to rub, rad: 1 degree, as near as a
/// tool is set by eye [guess].
pub const BACK_EDGE_CLEARS: f64 = std::f64::consts::PI / 180.0;

/// A caution: first what stops the job, then what to do.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Caution {
    /// Stable name, for tests and for other pages that show it.
    pub id: &'static str,
    /// In a few words, for a list.
    pub short: &'static str,
    /// The sign of danger, to be read after "STOP IF".
    pub stop_if: &'static str,
    /// What to do about it.
    pub advice: &'static str,
}

const PRELOAD_INTO_CUT: Caution = Caution {
    id: "preload-into-cut",
    short: "preload into the cut",
    stop_if: "the preload pushes the tool into the work: if anything lets go, it digs in",
    advice: "Turn the preload round, so that it holds the slide out of the cut. Don't use it \
             this way even where it reads steady.",
};
const PRELOAD_TOO_STRONG: Caution = Caution {
    id: "preload-too-strong",
    short: "preload far too strong",
    stop_if: "the preload is above 200 lbf (890 N): too much for a cross-slide to let fly",
    advice: "Take a smaller cylinder or less pressure; twice the force that starts the slide \
             is plenty.",
};
const PRELOAD_STRONG: Caution = Caution {
    id: "preload-strong",
    short: "strong preload",
    stop_if: "anything is slackened under the preload: above 100 lbf (445 N) it can break a hand",
    advice: "Less is enough: twice the force that starts the slide.",
};
const PRELOAD_WEAK: Caution = Caution {
    id: "preload-too-weak",
    short: "preload weaker than the drag",
    stop_if: "the slide won't take the size: the preload is weaker than what starts the slide",
    advice: "Too weak can be worse than none: take it off, or use at least twice the force that \
             starts the slide.",
};
const AIR_ON: Caution = Caution {
    id: "air-on",
    short: "air off and bled before uncoupling",
    stop_if: "the guide is let go or slackened with the air on: the slide flies",
    advice: "Shut the air off and bleed it before uncoupling or slackening anything; lock an \
             uncoupled slide before the spindle starts.",
};
const FORCE_ON: Caution = Caution {
    id: "preload-on",
    short: "weight or spring off before uncoupling",
    stop_if: "the guide is let go or slackened with the weight or spring on: the slide flies",
    advice: "Take the weight or spring off before uncoupling or slackening anything.",
};
const REVERSED: Caution = Caution {
    id: "reverse-chuck",
    short: "chuck locks in reverse",
    stop_if: "the chuck's locks are not all home: the spindle runs backward",
    advice: "Check every cam, bolt or the nut of the nose before running in reverse.",
};
const PULLED_OUT: Caution = Caution {
    id: "pulled-out-of-chuck",
    short: "work creeping out of the jaws",
    stop_if: "the work creeps out of the jaws: this feed pulls it",
    advice: "Grip long and tight, mark it at the jaws, look after every pass.",
};
const BAR_RUBS: Caution = Caution {
    id: "bar-rubs",
    short: "bar touching the bore",
    stop_if: "the bar touches the bore, in the run-in or backing out",
    advice: "Try the whole stroke by hand, spindle stopped: in the slack the bar goes along the \
             bore, not across.",
};
const LIFTS: Caution = Caution {
    id: "lifting-cut",
    short: "slide and post lifting",
    stop_if: "the slide or post lifts: this cut pulls them up",
    advice: "Snug the slide's keepers and the post's clamp; take light cuts first.",
};
const UPSIDE_DOWN: Caution = Caution {
    id: "tool-upside-down",
    short: "tool upside down",
    stop_if: "the tool can shift: it stands upside down",
    advice: "Clamp it on its flat, check its height anew, keep chips off the ways behind.",
};
const DIGS_IN: Caution = Caution {
    id: "draw-away-digs-in",
    short: "light passes digging in",
    stop_if: "a light or spring pass suddenly cuts deep: drawn away, nothing pushes the slide back",
    advice: "Take no spring pass this way; keep every pass near the finishing depth.",
};
const HOOKS_IN: Caution = Caution {
    id: "brass-hooks-in",
    short: "brass and bronze hooking in",
    stop_if: "the tool drags itself in: brass and bronze do that with top rake",
    advice: "Stone the top rake off flat.",
};
const BACK_EDGE_RUBS: Caution = Caution {
    id: "back-edge-rubs",
    short: "back edge of the tool rubbing",
    stop_if: "the back edge of the tool rubs on the cone it has just cut: going down the slope it \
              has hardly any clearance left there, or none",
    advice: "Take a slimmer point (55 or 35 degrees), or swing the tool so that its back edge \
             stands clear of the cone by two or three degrees.",
};
const BETWEEN_CENTRES: Caution = Caution {
    id: "centres",
    short: "centres and dog",
    stop_if: "a dead centre runs dry or the dog can strike",
    advice: "Oil the centre and check its pressure as the work warms; guard the dog.",
};
/// Where the slide is pulled to its face by hand.
pub const SEAT_BY_HAND: Caution = Caution {
    id: "seat-by-hand",
    short: "seating by hand only at rest",
    stop_if: "anyone reaches toward a turning chuck to seat the slide",
    advice: "Spindle stopped, tool clear, pull the slide to its face from the operator's side.",
};
const END_OF_TRAVEL: Caution = Caution {
    id: "end-of-travel",
    short: "ends of travel",
    stop_if: "guide, slide or telescoping screw reach their end",
    advice: "First try the whole stroke by hand, tool clear, spindle stopped.",
};
const LOCKED_SLIDE: Caution = Caution {
    id: "lock-and-feed",
    short: "slide lock off, cross feed out",
    stop_if: "the cross-slide lock is on or the cross feed is in: something breaks",
    advice: "Lock off, feed out while the attachment is coupled.",
};
const GUARDS: Caution = Caution {
    id: "guards",
    short: "guards on, hands off",
    stop_if: "a guard is off or a hand is near the turning work",
    advice: "Never reach into or over a turning job, not for slack, chips or gauging.",
};

const NO_RELIEF: Caution = Caution {
    id: "no-relief",
    short: "plunging in at a blind end",
    stop_if: "the tool is sunk into the wall to start: with no room past that end it digs in as the \
              slack is taken up",
    advice: "Cut a relief there first, wider than the nose and deeper than the taper, and start in \
             it; or feed the other way and stop at a mark.",
};
const IN_A_RELIEF: Caution = Caution {
    id: "blind-bottom",
    short: "bottom or shoulder past the relief",
    stop_if: "the tool, bar or carriage comes to the bottom or shoulder behind the relief",
    advice: "Set a carriage stop or a mark by hand first, spindle stopped; feed by hand over the \
             last of it; clear the chips out of a blind hole before every pass.",
};
const INTERRUPTED: Caution = Caution {
    id: "interrupted-cut",
    short: "knock of an interrupted cut",
    stop_if: "work or tool shifts under the knock of the slot's edges, once a turn or more",
    advice: "Grip hard, short overhang, a tough edge with a small chamfer or negative rake, moderate \
             speed; look at the edge after every pass. Gauge beside the slot, deburr its edges first. \
             The knock itself is not reckoned.",
};
const STEADY_REST: Caution = Caution {
    id: "steady-rest",
    short: "work walking off the steady rest",
    stop_if: "the work walks out of the jaws, or a pad of the steady rest runs hot or dry",
    advice: "Bring the pads up to a true, smooth band by an indicator with the spindle turned by \
             hand, clamp the rest to the bed, close and lock its top, oil or grease the band; set \
             pads at rest only. Held in a chuck alone, work on a rest that is off the line walks \
             out of the jaws: look after every pass.",
};
/// Where the guide's clamp is moved on.
pub const CLAMP_MOVED: Caution = Caution {
    id: "clamp-moved",
    short: "bed clamp tight before the tool comes near",
    stop_if: "the bed clamp creeps: the guide goes along with the carriage and the tool keeps its size",
    advice: "Main switch off, tool well clear, slide held while the clamp is loose; tighten it, mark \
             the bed beside it, look at the mark in every pass.",
};
/// Where a pass ends in stock.
pub const SHOULDER: Caution = Caution {
    id: "shoulder",
    short: "feed stopped before the shoulder",
    stop_if: "the tool runs into the shoulder: each pass of the first section ends in stock",
    advice: "Set the carriage stop, trip the feed short of it and go on by hand; back the tool out \
             before the carriage goes back.",
};
const DOG_BINDS: Caution = Caution {
    id: "offset-dog",
    short: "dog binding",
    stop_if: "the dog binds in its slot anywhere round: with the centre over it slides in and out \
              once a turn",
    advice: "Give its tail play both ways, turn the work round by hand before the spindle starts, \
             and guard the tail.",
};
const CENTRE_ON_EDGE: Caution = Caution {
    id: "offset-centre-edge",
    short: "centres bearing on an edge",
    stop_if: "a centre squeals, smokes or works loose: set over, it bears on an edge of its hole",
    advice: "Slow down, oil a dead centre often, take light cuts, look at both holes after each \
             pass. Ball-ended centres bear better.",
};
const PUT_BACK: Caution = Caution {
    id: "offset-put-back",
    short: "tailstock back to zero afterwards",
    stop_if: "the next job is begun before the tailstock stands straight again",
    advice: "Set it back by a test bar or a trial cut, not by its marks.",
};
const BAR_RUBS_BY_HAND: Caution = Caution {
    advice: "Try the whole stroke by hand, spindle stopped.",
    ..BAR_RUBS
};
const HAND_NEAR_CHUCK: Caution = Caution {
    id: "top-slide-hand",
    short: "crank and hands clear of the chuck",
    stop_if: "crank, top slide or hand can meet jaws, dog or work anywhere in the stroke",
    advice: "Wind the whole stroke by hand, spindle stopped, first.",
};
const TOP_SLIDE_OUT: Caution = Caution {
    id: "top-slide-overhang",
    short: "top slide hanging off its ways",
    stop_if: "the top slide hangs out past the end of its ways: it can tip, or its screw lets go",
    advice: "Keep most of its length on the ways; draw its gib snug.",
};
const CARRIAGE_LOCKED: Caution = Caution {
    id: "top-slide-carriage",
    short: "carriage locked, cross-slide snug",
    stop_if: "the carriage can creep: it takes part of the push of the cut",
    advice: "Lock the carriage; feed with the top slide only, and one way only.",
};
const REAMER_SLOW: Caution = Caution {
    id: "reamer-backing",
    short: "reamer never turned backward",
    stop_if: "the reamer is turned backward or grabs",
    advice: "By hand or at the slowest speed, forward only, cleared of chips and oiled often.",
};
const FORM_CHATTER: Caution = Caution {
    id: "form-tool-chatter",
    short: "form tool chattering or digging in",
    stop_if: "a form tool chatters or digs in: its whole edge cuts at once",
    advice: "Slow, short overhang, sharp, on centre; back off at the first chatter.",
};

const WHEEL: Caution = Caution {
    id: "grinding-wheel",
    short: "wheel guarded and within its speed",
    stop_if: "the wheel has no guard, is cracked, or turns faster than is marked on it",
    advice: "Ring it before mounting, check the spindle's speed against its mark, guard on, stand \
             aside for a minute as it starts; eyes covered. Spindle and wheel stopped to gauge.",
};
const GRIT: Caution = Caution {
    id: "grinding-dust",
    short: "dust off the ways",
    stop_if: "grinding dust lies on bed, slide or guide: it laps them as they move",
    advice: "Cover the ways and the guide first, catch the dust wet or by suction, wipe everything \
             clean and oil it before the next move; don't breathe it.",
};
const LAPPING_BY_HAND: Caution = Caution {
    id: "lapping-by-hand",
    short: "lapping with the spindle stopped, or slowest",
    stop_if: "the mate seizes or hands, gloves or cloth come near a turning spindle",
    advice: "Turn the mate by hand on the stopped work, to and fro and lifted often. Under power \
             only at the slowest speed, with a holder that slips when it seizes; never fingers in \
             a bore.",
};
const LAP_WEARS_BOTH: Caution = Caution {
    id: "lapping-wears-both",
    short: "lapping wears the mate too",
    stop_if: "the mate is a gauge or can't be replaced: the compound wears it as it does the work",
    advice: "Make a lap of cast iron to the same setting instead. Wash every grain out of both before \
             they are put together; in brass, bronze and aluminium grit stays.",
};

/// Cautions for a wheel on the slide.
pub fn grinding(scenario: &Scenario) -> Vec<Caution> {
    let mut all = vec![WHEEL, GRIT];
    if scenario.job.work.kind == Kind::Inside {
        all.push(BAR_RUBS_BY_HAND);
    }
    all.extend([END_OF_TRAVEL, GUARDS]);
    all
}

/// Cautions for lapping to a mate.
pub fn lapping() -> Vec<Caution> {
    vec![LAPPING_BY_HAND, LAP_WEARS_BOTH, GUARDS]
}

/// Cautions for work between centres with one of them over; `tailstock`: it is the tailstock that
/// was moved.
pub fn tailstock_over(scenario: &Scenario, tailstock: bool) -> Vec<Caution> {
    let mut all = vec![DOG_BINDS, CENTRE_ON_EDGE];
    if tailstock {
        all.push(PUT_BACK);
    }
    hooks_in(scenario, &mut all);
    all.push(GUARDS);
    all
}

/// Cautions for the top slide set over and fed by hand.
pub fn top_slide_over(scenario: &Scenario) -> Vec<Caution> {
    let mut all = vec![HAND_NEAR_CHUCK, TOP_SLIDE_OUT, CARRIAGE_LOCKED];
    if scenario.job.work.kind == Kind::Inside {
        all.push(BAR_RUBS_BY_HAND);
    }
    if scenario.job.work.holding != Holding::Chuck {
        all.push(BETWEEN_CENTRES);
    }
    if scenario.job.work.steady.is_some() {
        all.push(STEADY_REST);
    }
    hooks_in(scenario, &mut all);
    all.push(GUARDS);
    all
}

/// Cautions for a taper reamer.
pub fn reamer() -> Vec<Caution> {
    vec![REAMER_SLOW, GUARDS]
}

/// Cautions for a form tool.
pub fn form_tool() -> Vec<Caution> {
    vec![FORM_CHATTER, GUARDS]
}

const BY_HAND: Caution = Caution {
    id: "hand-moves-at-rest",
    short: "spindle stopped, tool clear",
    stop_if: "the spindle can start or the tool can touch anything while you move things by hand",
    advice: "Main switch off, tool out or well clear; pull and push from the operator's side.",
};
const TIED: Caution = Caution {
    id: "carriage-tied",
    short: "foot clamped and shoe locked",
    stop_if: "the foot is clamped and the shoe locked: the carriage is tied to the bed",
    advice: "Unlock the shoe, or let the foot go, before the carriage moves.",
};
const LOCK_UNCOUPLED: Caution = Caution {
    id: "lock-uncoupled",
    short: "uncoupled slide locked",
    stop_if: "the slide is uncoupled and not locked when the spindle starts",
    advice: "Lock an uncoupled slide before the spindle starts.",
};

/// Every caution for moving things by hand with the attachment on; `air`: there is a cylinder,
/// `uncoupled`: the slide is let go at some time.
pub fn by_hand(air: bool, uncoupled: bool) -> Vec<Caution> {
    let mut all = vec![BY_HAND];
    if air {
        all.push(AIR_ON);
    }
    all.extend([TIED, LOCKED_SLIDE, END_OF_TRAVEL]);
    if uncoupled {
        all.push(LOCK_UNCOUPLED);
    }
    all
}

/// Every caution for holding the slide by a preload, the first to be read before anything is set
/// up: `air` where a cylinder is one of the sources, `strong` above 100 lbf.
pub fn holding(air: bool, strong: bool) -> Vec<Caution> {
    let mut all = if air {
        vec![AIR_ON, FORCE_ON]
    } else {
        vec![FORCE_ON]
    };
    if strong {
        all.push(PRELOAD_STRONG);
    }
    all.extend([PRELOAD_INTO_CUT, LOCK_UNCOUPLED, BY_HAND]);
    all
}

/// Not a sign of danger but the limit of every prediction; at the foot of every page.
pub const NOT_AN_INSPECTION: &str = "A prediction is not an inspection: joints that hold pressure, \
    lift, or carry people go by certified gauges and the maker's rules. Local codes and the \
    person at the machine decide.";

/// The same where lines are dear.
pub const IN_SHORT: &str = "Not an inspection: pressure, lifting, people need certified gauges; \
    local codes and you decide.";

/// Every caution that applies to one way, the one that can hurt most first.
pub fn cautions(scenario: &Scenario, setup: &Setup, how: RunIn) -> Vec<Caution> {
    let job = &scenario.job;
    let mut all = Vec::new();
    if let Some(preload) = &job.preload {
        let force = crate::machine::preload::PreloadForce::new(Some(preload), setup).out;
        if force < 0.0 {
            all.push(PRELOAD_INTO_CUT);
        }
        if force.abs() > PRELOAD_REFUSED {
            all.push(PRELOAD_TOO_STRONG);
        } else if force.abs() > PRELOAD_WARNED {
            all.push(PRELOAD_STRONG);
        }
        all.push(match preload.source {
            PreloadSource::Cylinder { .. } => AIR_ON,
            PreloadSource::Constant(_) | PreloadSource::Spring { .. } => FORCE_ON,
        });
        let slide = &scenario.lathe.slide;
        let starts = slide.drag.si() * slide.breakaway.si();
        if setup.pull() == Pull::Away && force > 0.0 && force < starts {
            all.push(PRELOAD_WEAK);
        }
    }
    if setup.rotation == Rotation::Reverse {
        all.push(REVERSED);
    }
    if setup.press() == Press::Lift {
        all.push(LIFTS);
    }
    if setup.feed == Feed::Tailstock && job.work.holding == Holding::Chuck {
        all.push(PULLED_OUT);
    }
    if job.work.kind == Kind::Inside {
        all.push(BAR_RUBS);
    }
    if job.work.relief.is_some() {
        all.push(IN_A_RELIEF);
    }
    if plunges(scenario, setup) {
        all.push(NO_RELIEF);
    }
    if job.work.slots.is_some() {
        all.push(INTERRUPTED);
    }
    if job.work.steady.is_some() {
        all.push(STEADY_REST);
    }
    hooks_in(scenario, &mut all);
    if back_edge_clears(scenario, setup).is_some_and(|by| by < BACK_EDGE_CLEARS) {
        all.push(BACK_EDGE_RUBS);
    }
    if setup.face == Face::Down {
        all.push(UPSIDE_DOWN);
    }
    if job.work.holding != Holding::Chuck {
        all.push(BETWEEN_CENTRES);
    }
    if how == RunIn::ByHand {
        all.push(SEAT_BY_HAND);
    }
    all.push(END_OF_TRAVEL);
    all.push(LOCKED_SLIDE);
    if setup.pull() == Pull::Away {
        all.push(DIGS_IN);
    }
    all.push(GUARDS);
    all
}

/// By how much the back edge of the tool stands clear of the cone behind it, rad; below 0 it cuts
/// on the wrong side. Not known where the tool's included angle isn't, and no matter where a
/// thread is cut.
///
/// The back edge goes up from the nose at `180 deg - K - included angle` from the axis. Pulled in
/// the tool comes down the slope, and the cone behind it goes up by `alpha`; drawn away it falls.
pub fn back_edge_clears(scenario: &Scenario, setup: &Setup) -> Option<f64> {
    let job = &scenario.job;
    if job.thread.is_some() {
        return None;
    }
    let slope = aimed_taper(scenario) / 2.0;
    Some(job.tool.back_edge()? - setup.pull().sign() * atan(slope))
}

/// Whether the tool has to be sunk into the wall to start: no room for its nose past the end where the
/// feed starts. A thread says itself where it can't start.
fn plunges(scenario: &Scenario, setup: &Setup) -> bool {
    let work = &scenario.job.work;
    let room = match setup.starts_at() {
        End::Headstock => work.room_headstock,
        End::Tailstock => work.room_tailstock,
    };
    scenario.job.thread.is_none() && room.si() < scenario.job.tool.nose_radius.si()
}

fn hooks_in(scenario: &Scenario, all: &mut Vec<Caution>) {
    let material = scenario.job.work.material.to_lowercase();
    if material.contains("brass") || material.contains("bronze") {
        all.push(HOOKS_IN);
    }
}

/// Whether a preload is never to be advised for this way: it pushes into the cut, or is far too
/// strong.
pub fn forbids(cautions: &[Caution]) -> bool {
    pushes_in(cautions) || cautions.contains(&PRELOAD_TOO_STRONG)
}

/// Whether the preload pushes the tool into the work.
pub fn pushes_in(cautions: &[Caution]) -> bool {
    cautions.contains(&PRELOAD_INTO_CUT)
}
