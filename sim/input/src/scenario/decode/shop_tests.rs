//! The file of filled-in shop tests: every key, repeats as lists, "not done" where absent.

use super::repeats::is_not_done;
use super::section::Section;
use super::two_cuts;
use super::wordings::READS;
use super::wordings::UNITS;
use crate::quantity::{Force, Length, Taper, Units};
use crate::scenario::limits::Limits;
use crate::scenario::readings::Reads;
use crate::scenario::shop_tests::{Parts, Pulls, Reversal, ShopTests, Springs, Steps, Tips};

/// Longer lost motions are slips.
const TRAVEL: Limits = Limits::NOT_NEGATIVE;
const SMALL: Limits = Limits::NOT_NEGATIVE;

/// Reads a form. Faults are reported in the text; what comes back then is not for use.
pub(super) fn read(top: Section<'_>) -> ShopTests {
    let name = top.text("name").given();
    let units = top
        .required_word("units", UNITS, "\"inch\"")
        .unwrap_or(Units::Inch);
    top.reading.units.set(units);
    let steps = steps(top.table("steps"));
    let reversals = ["reversal", "reversal_slow"]
        .into_iter()
        .filter_map(|key| reversal(top.table(key)))
        .collect();
    let foot = in_table(&top, "foot", |t| t.repeats::<Length>("lost", TRAVEL));
    let parts = in_table(&top, "parts", |t| Parts {
        dial: t.repeats::<Length>("dial", SMALL),
        dial_at_ends: t.repeats::<Length>("dial_at_ends", SMALL),
        thrust: t.repeats::<Length>("thrust", SMALL),
        shoe: t.repeats::<Length>("shoe", SMALL),
    });
    let drag = in_table(&top, "drag", |t| {
        let pulls = |key| t.repeats::<Force>(key, Limits::POSITIVE);
        Pulls {
            start_toward: pulls("start_toward"),
            start_away: pulls("start_away"),
            running_toward: pulls("running_toward"),
            running_away: pulls("running_away"),
            along: t.readings::<Force>("along", Limits::POSITIVE),
            spindle_running: pulls("spindle_running"),
        }
    });
    let spring = in_table(&top, "spring", springs);
    let bar = in_table(&top, "bar", |t| Tips {
        chuck_force: t.one::<Force>("chuck_force", Limits::POSITIVE),
        chuck_moved: t.repeats::<Length>("chuck_moved", SMALL),
        centre_force: t.one::<Force>("centre_force", Limits::POSITIVE),
        centre_moved: t.repeats::<Length>("centre_moved", SMALL),
        tip_force: t.one::<Force>("tip_force", Limits::POSITIVE),
        tip_moved: t.repeats::<Length>("tip_moved", SMALL),
        wag: t.repeats::<Length>("wag", SMALL),
        reach: t.one::<Length>("reach", Limits::POSITIVE),
    });
    for (force, moved) in [
        ("chuck_force", &bar.chuck_moved),
        ("centre_force", &bar.centre_moved),
        ("tip_force", &bar.tip_moved),
    ] {
        needs(&top, "bar", force, !moved.is_empty(), "\"20 lbf\"");
    }
    needs(&top, "bar", "reach", !bar.wag.is_empty(), "\"14 in\"");
    let guide_zero = in_table(&top, "guide", |t| t.repeats::<Taper>("zero", Limits::ANY));
    let straight = in_table(&top, "straight_cut", |t| {
        (
            t.repeats::<Length>("headstock_end", Limits::POSITIVE),
            t.repeats::<Length>("tailstock_end", Limits::POSITIVE),
            t.one::<Length>("apart", Limits::POSITIVE),
        )
    });
    let both = !straight.0.is_empty() || !straight.1.is_empty();
    needs(&top, "straight_cut", "apart", both, "\"6 in\"");
    let two_way = in_table(&top, "two_way_cut", |t| {
        (
            t.repeats::<Length>("toward_headstock", Limits::POSITIVE),
            t.repeats::<Length>("toward_tailstock", Limits::POSITIVE),
            t.word(
                "waves",
                &[(&["none", "no"], false), (&["seen", "yes"], true)],
            )
            .given(),
        )
    });
    for (here, there, key) in [
        (&two_way.0, &two_way.1, "toward_tailstock"),
        (&two_way.1, &two_way.0, "toward_headstock"),
    ] {
        let half = !here.is_empty() && there.is_empty();
        needs(
            &top,
            "two_way_cut",
            key,
            half,
            "[\"1.985 in\", \"1.986 in\"]",
        );
    }
    let (set, taken) = in_table(&top, "set_taken", |t| {
        (
            t.one::<Length>("set", Limits::POSITIVE),
            t.repeats::<Length>("taken", SMALL),
        )
    });
    needs(&top, "set_taken", "set", !taken.is_empty(), "\"0.010 in\"");
    let rock = in_table(&top, "carriage_rock", |t| {
        t.repeats::<Length>("moved", SMALL)
    });
    let two_cuts = two_cuts::read(top.table("two_cuts"), units);
    top.finish();
    ShopTests {
        name,
        units,
        steps,
        reversals,
        foot,
        parts,
        drag,
        spring,
        bar,
        guide_zero,
        straight_headstock_end: straight.0,
        straight_tailstock_end: straight.1,
        straight_apart: straight.2,
        two_way_headstock: two_way.0,
        two_way_tailstock: two_way.1,
        waves_seen: two_way.2,
        set,
        taken,
        rock,
        two_cuts,
    }
}

fn in_table<T>(top: &Section<'_>, key: &'static str, read: impl Fn(&Section<'_>) -> T) -> T {
    let table = top.table(key);
    let value = read(&table);
    table.finish();
    value
}

/// Reports a value that others are no use without.
fn needs(top: &Section<'_>, table: &'static str, key: &'static str, when: bool, example: &str) {
    if !when {
        return;
    }
    let section = top.table(table);
    let there = matches!(section.find(key), Some((value, _)) if !is_not_done(value));
    if !there {
        section.missing(key, example);
    }
}

fn steps(table: Section<'_>) -> Steps {
    let length = |key| table.one::<Length>(key, Limits::NOT_NEGATIVE);
    let reads = table.word("reads", READS).given();
    let steps = Steps {
        slide: length("slide") * reads.map_or(1.0, Reads::movement),
        reads,
        carriage: length("carriage"),
        gauge: length("gauge"),
        scale: table.one::<Force>("scale", Limits::NOT_NEGATIVE),
    };
    table.finish();
    steps
}

fn reversal(table: Section<'_>) -> Option<Reversal> {
    let reversal = Reversal {
        taper: table.one::<Taper>("taper", Limits::POSITIVE),
        slide_moved: table.one::<Length>("slide_moved", SMALL),
        middle: table.repeats::<Length>("middle", TRAVEL),
        headstock_end: table.repeats::<Length>("headstock_end", TRAVEL),
        tailstock_end: table.repeats::<Length>("tailstock_end", TRAVEL),
    };
    let read = !reversal.middle.is_empty();
    if read && reversal.taper <= 0.0 && !table.is_faulty_at("taper") {
        table.missing("taper", "\"1-1/2 in/ft\"");
    }
    let done = !reversal.headstock_end.is_empty() || !reversal.tailstock_end.is_empty();
    if done && !read {
        table.missing("middle", "[\"0.95 in\", \"0.97 in\", \"0.96 in\"]");
    }
    table.finish();
    (read && reversal.taper > 0.0).then_some(reversal)
}

fn springs(table: &Section<'_>) -> Springs {
    let forces = table.readings::<Force>("forces", Limits::POSITIVE);
    let moved = |key| {
        let list = table.readings::<Length>(key, SMALL);
        let whole_runs = !forces.is_empty() && list.len().is_multiple_of(forces.len());
        if !list.is_empty() && !whole_runs && !table.is_faulty_at(key) {
            table.reading.error(
                table.reading.place(&table.key_path(key)),
                format!(
                    "`{}` has {} readings for {} forces",
                    table.key_path(key),
                    list.len(),
                    forces.len()
                ),
                "runs of unequal length",
                "write run after run, one reading for each of `forces`",
            );
        }
        list
    };
    Springs {
        post_pulled: moved("post_pulled"),
        post_pushed: moved("post_pushed"),
        slide_pulled: moved("slide_pulled"),
        slide_pushed: moved("slide_pushed"),
        forces,
    }
}
