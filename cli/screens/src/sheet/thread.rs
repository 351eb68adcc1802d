//! The thread on the sheet: every pass with its infeed and dial, half-nut, withdrawal, the gauge.

use tautway_sim::arithmetic::max;
use tautway_sim::quantity::Units;
use tautway_sim::sheet::{Sheet, ThreadLine};
use tautway_sim::thread::pick_up::PickUp;

use super::figures::{cautions_of, figures, size};
use super::page::{Place, loud, numbers, say};
use tautway_words::{Block, strong};

/// Passes side by side, so that they take a third of the height.
const COLUMNS: usize = 3;

/// The passes of the thread, where one is cut.
pub fn thread(sheet: &Sheet, units: Units) -> Vec<Block> {
    let Some(thread) = &sheet.thread else {
        return Vec::new();
    };
    let mut items: Vec<Block> = cautions_of(sheet, Place::Thread).collect();
    items.push(say(format!(
        "{}: {}.",
        strong("Half-nut"),
        half_nut(thread.pick_up)
    )));
    let (planned, by_gauge): (Vec<&ThreadLine>, Vec<&ThreadLine>) =
        thread.passes.iter().partition(|pass| !pass.by_gauge);
    if planned.is_empty() {
        items.push(loud("This way can't cut the thread: see tautway thread."));
        return items;
    }
    let dial = if thread.infeed > 0.0 {
        format!(
            "Top slide {:.1} deg off square, its dial",
            thread.infeed.to_degrees()
        )
    } else if sheet.lathe_check.on_cross_dial {
        "Cross dial per side".to_owned()
    } else {
        "Top slide's dial per side".to_owned()
    };
    items.push(say(format!(
        "{dial} in {}, from a touch-off of its own. End of each pass: tool clear, out {}.",
        match units {
            Units::Inch => "inches",
            Units::Metric => "mm",
        },
        strong(&size(sheet.touch_off.withdraw, units))
    )));
    items.push(table(&planned, units));
    let turn = figures(thread.a_turn, units);
    let more = match by_gauge.last() {
        Some(last) => format!(
            " About {} more, at most {} each, to {} on the dial.",
            by_gauge.len(),
            figures(by_gauge.iter().map(|pass| pass.set).fold(0.0, max), units),
            figures(last.dial, units)
        ),
        None => String::new(),
    };
    let standoff = sheet.standoff.first().map_or(String::new(), |row| {
        format!(
            ", {} of standoff {}",
            figures(row.standoff, units),
            figures(row.per_side, units)
        )
    });
    items.push(say(format!(
        "Then edges broken, chips out, {}: ring or plug. A turn short is {} per side{standoff}.{more} \
         Gauge after each.",
        strong("cold"),
        strong(&turn)
    )));
    items
}

fn table(passes: &[&ThreadLine], units: Units) -> Block {
    let rows = passes.len().div_ceil(COLUMNS);
    let cells = |at: usize| match passes.get(at) {
        Some(pass) => vec![
            pass.number.to_string(),
            if pass.set > 0.0 {
                figures(pass.set, units)
            } else {
                "0".to_owned()
            },
            figures(pass.dial, units),
        ],
        None => vec!["-".to_owned(); 3],
    };
    let row = |at: usize| {
        (0..COLUMNS)
            .flat_map(|column| cells(at + column * rows))
            .collect()
    };
    let head = ["no.", "infeed", "dial"].map(str::to_owned);
    numbers(
        std::iter::repeat_n(head, COLUMNS).flatten().collect(),
        (0..rows).map(row).collect(),
    )
}

fn half_nut(rule: PickUp) -> String {
    match rule {
        PickUp::Anywhere => "close it anywhere".to_owned(),
        PickUp::Lines { step: 1, .. } => "close it at any line of the dial".to_owned(),
        PickUp::Lines { step, of } if step == of => {
            "always at the same line of the dial".to_owned()
        }
        PickUp::Lines { step, of } => format!(
            "at one line of the dial, after that at this or every {} from it ({} of {of} do)",
            match step {
                2 => "second".to_owned(),
                3 => "third".to_owned(),
                step => format!("{step}th"),
            },
            of / step
        ),
        PickUp::NeverOpen => {
            "never open it: tool clear, stop, reverse past the start, forward".to_owned()
        }
    }
}
