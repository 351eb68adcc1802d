//! What the slide's weight makes of a way, in words.

use tautway_sim::arithmetic::{max, min};
use tautway_sim::inertia::{DAMPING, SLOW};
use tautway_sim::quantity::Units;
use tautway_sim::record::{Held, Inertia, Run, WithInertia, Yardstick};
use tautway_sim::verdict::NOT_SEEN;

use super::words;
use tautway_words::{Block, Document, Table};

/// The doubt that comes with a floating slide too slow for the turn, or with what was found when
/// its weight was reckoned with.
pub fn doubt(page: &mut Document, run: &Run, units: Units) {
    let found = &run.inertia;
    if let Some(tried) = &found.tried {
        if tried.may_differ {
            let comes = if tried.differs {
                "it comes out otherwise, whatever oil and chip damp"
            } else {
                "it may come out otherwise, by how little oil and chip damp"
            };
            page.say(
                "Doubt:",
                format!(
                    "with the slide's weight reckoned in {comes} (below): {}. Believe neither to \
                     the last thou. Slower is safer.",
                    otherwise(tried, units)
                ),
            );
        }
    } else if found.too_slow {
        page.say(
            "Doubt:",
            format!(
                "{}. Below {SLOW:.0} swings a turn, how round it gets, and where the seat changes, \
                 may come otherwise; waves along the work hold. --inertia in predict tries it.",
                swings(found)
            ),
        );
    }
}

/// What comes out otherwise, and by which yardstick: measures of one yardstick go together.
fn otherwise(tried: &WithInertia, units: Units) -> String {
    let sight = words::height(NOT_SEEN, units);
    let yardsticks = [
        (
            Yardstick::Lathes,
            "outside the range of the lathes tried".to_owned(),
        ),
        (
            Yardstick::Drawing,
            "by more than a tenth of what the drawing allows".to_owned(),
        ),
        (Yardstick::Sight, format!("by more than {sight}")),
    ];
    let told = yardsticks.into_iter().filter_map(|(by, apart)| {
        let names: Vec<&str> = tried
            .held
            .iter()
            .zip(["size", "waves", "roundness"])
            .filter(|(held, _)| held.may_differ && held.by == by)
            .map(|(_, name)| name)
            .collect();
        (!names.is_empty()).then(|| format!("{} {apart}", names.join(" and ")))
    });
    told.collect::<Vec<_>>().join("; ")
}

fn swings(found: &Inertia) -> String {
    format!(
        "off its seat the slide swings some {} times a second on the cut alone, and the spindle \
         turns {} times",
        rounded(found.floating_frequency),
        rounded(found.turns_per_second)
    )
}

fn rounded(per_second: f64) -> String {
    if per_second < 10.0 {
        format!("{per_second:.1}")
    } else {
        format!("{per_second:.0}")
    }
}

/// The last pass with the slide's weight, beside the same without.
pub fn beside(page: &mut Document, run: &Run, units: Units) {
    let Some(tried) = &run.inertia.tried else {
        return;
    };
    page.gap();
    let kilograms = run.inertia.mass;
    let weighs = match units {
        Units::Inch => format!("{:.0} lb", kilograms / 0.453_592_37),
        Units::Metric => format!("{kilograms:.0} kg"),
    };
    page.lead(format!(
        "The last pass with the slide's weight of {weighs} reckoned in:"
    ));
    let head = ["", "without", "with it", "the same within"];
    let mut table = Table::new(head).words_in(&[0, 3]);
    let without = &run.outcome.measures;
    let [size, waves, round] = tried.held;
    // Left is what the size lacks.
    let left = Held {
        from: -size.to,
        to: -size.from,
        least: -size.most,
        most: -size.least,
        ..size
    };
    for (name, a, held) in [
        ("left, per side", -without.size_error, left),
        ("waves", without.waves, waves),
        ("round within", without.roundness, round),
    ] {
        let (show, from): (fn(f64, Units) -> String, f64) = if name.starts_with("left") {
            (words::signed_height, held.from)
        } else {
            (words::height, max(held.from, 0.0))
        };
        let between = |from: f64, to: f64| {
            let (from, to) = (show(from, units), show(to, units));
            if from == to {
                from
            } else {
                format!("{from} to {to}")
            }
        };
        table.row([
            name.to_owned(),
            show(a, units),
            between(held.least, held.most),
            between(from, held.to),
        ]);
    }
    page.push(Block::Table(table));
    page.say(
        "",
        format!(
            "Getting it moving takes more than a fifth of the drag in {} of the cut; {}. What oil \
             and chip damp is a guess, so it is a range: from {} to {} of what would stop the \
             swinging.",
            shares(tried),
            swings(&run.inertia),
            share(DAMPING[0]),
            share(DAMPING[DAMPING.len() - 1]),
        ),
    );
}

/// Least and most over the damping.
fn shares(tried: &WithInertia) -> String {
    let all = || tried.damped.iter().map(|damped| damped.counts);
    let (least, most) = (all().fold(1.0, min), all().fold(0.0, max));
    let (least, most) = (share(least), share(most));
    if least == most {
        most
    } else {
        format!("{least} to {most}")
    }
}

fn share(of: f64) -> String {
    if of > 0.0 && of < 0.01 {
        "less than 1 %".to_owned()
    } else {
        format!("{:.0} %", 100.0 * of)
    }
}
