//! What can hurt when a thread is cut, before what can hurt in any cut.

use super::reason::bottom;
use crate::caution::Caution;
use crate::cut::RunIn;
use crate::scenario::{Kind, Scenario, ThreadCut, ThreadEnd};
use crate::setup::{Rotation, Setup};
use crate::threading::Method;

const REVERSED: Caution = Caution {
    id: "reverse-threading",
    short: "threading in reverse",
    stop_if: "the tool is not clear of the work before the half-nut is opened or the spindle \
              stopped: this thread is cut with the spindle backward",
    advice: "Draw the tool clear first, then the half-nut, then stop. Guard on; no hand, file or \
             cloth at the work or in a bore while it turns.",
};
const INTO_THE_END: Caution = Caution {
    id: "thread-end",
    short: "end of the thread",
    stop_if: "the tool comes to the end of the thread and is not on its way out: jaws, shoulder or \
              a blind bottom are next",
    advice: "Mark the stopping place on the bed, slowest speed; tool out at the mark every pass, \
             then half-nut or reverse.",
};
const CLEAR_FIRST: Caution = Caution {
    id: "thread-tool-clear",
    short: "tool clear before the half-nut",
    stop_if: "the tool is still in the groove when the half-nut opens or the spindle stops",
    advice: "Draw it clear first, at every pass; a tool stopped in its groove breaks or digs in.",
};
const IN_THE_BORE: Caution = Caution {
    id: "thread-in-bore",
    short: "nothing in a turning bore",
    stop_if: "a hand, a file or a cloth comes near a bore that turns: a thread winds it in",
    advice: "Stop the spindle before feeling, filing, wiping or gauging inside.",
};
const BACK_UNDER_NUT: Caution = Caution {
    id: "half-nut-closed",
    short: "reversing with the half-nut closed",
    stop_if: "the tool is not clear of the work when the spindle is reversed to bring the carriage \
              back",
    advice: "Tool clear, let the spindle come to rest, then reverse; on a screwed-on chuck only \
             slowly and by hand, for reverse can unscrew it.",
};
const TAIL_OVER: Caution = Caution {
    id: "tailstock-over-thread",
    short: "tailstock over",
    stop_if: "the dog binds at any place of a turn, or a dead centre runs dry: the tailstock is over",
    advice: "Turn it once round by hand. The centres bear on an edge: slow down, oil, guard the \
             dog's tail; set the tailstock back and prove it straight afterward.",
};

const AT_THE_BOTTOM: Caution = Caution {
    id: "thread-from-bottom",
    short: "starting at the bottom of the bore",
    stop_if: "tool or bar can meet the bottom: every pass starts there, out of sight",
    advice: "Look how deep the bore is beyond its groove: the run-in has to end short of a blind \
             bottom. Set a stop on the bed; spindle stopped, wind the tool in to it once by hand.",
};
const SEAT_AT_THE_BOTTOM: Caution = Caution {
    id: "thread-seat-at-bottom",
    short: "seating by hand at the bottom of the bore",
    stop_if: "the slide is to be seated while the spindle turns, or the tool can't stand free at \
              the bottom of the bore: every pass starts there, out of sight",
    advice: "Spindle stopped; carriage at a stop on the bed, the tool in the groove and clear of \
             its wall and of a blind bottom; pull the slide from the operator's side, at every pass.",
};

/// Every caution that applies to one way of cutting a thread, the one that can hurt most first.
pub fn cautions(
    scenario: &Scenario,
    cut: &ThreadCut,
    setup: &Setup,
    method: Method,
    how: RunIn,
) -> Vec<Caution> {
    let mut own = Vec::new();
    if setup.rotation == Rotation::Reverse {
        own.push(REVERSED);
    }
    if method == Method::TailstockOver {
        own.push(TAIL_OVER);
    }
    if method == Method::Attachment && bottom(scenario, cut, setup) {
        own.push(if how == RunIn::ByHand {
            SEAT_AT_THE_BOTTOM
        } else {
            AT_THE_BOTTOM
        });
    }
    let ends = match setup.starts_at() {
        crate::scenario::End::Headstock => cut.tailstock_end,
        crate::scenario::End::Tailstock => cut.headstock_end,
    };
    if ends != ThreadEnd::Open {
        own.push(INTO_THE_END);
    }
    if setup.rotation == Rotation::Forward {
        own.push(CLEAR_FIRST);
    }
    if scenario.job.work.kind == Kind::Inside {
        own.push(IN_THE_BORE);
    }
    if super::pick_up::pick_up(cut.lead, &scenario.lathe.lead_screw)
        == super::pick_up::PickUp::NeverOpen
    {
        own.push(BACK_UNDER_NUT);
    }
    let any = crate::caution::cautions(scenario, setup, how);
    // A preload that may never be used comes before all else; others don't matter without a guide.
    let (preload, rest): (Vec<Caution>, Vec<Caution>) = any
        .into_iter()
        .partition(|caution| caution.id.starts_with("preload") || caution.id == "air-on");
    let attached = |caution: &Caution| {
        method == Method::Attachment
            || !matches!(
                caution.id,
                "lock-and-feed" | "seat-by-hand" | "draw-away-digs-in" | "end-of-travel"
            )
    };
    let mut all = match method {
        Method::Attachment => preload,
        Method::TailstockOver => Vec::new(),
    };
    all.extend(own);
    all.extend(rest.into_iter().filter(attached));
    all
}
