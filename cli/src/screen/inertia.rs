//! What the slide's weight makes of a way, in words.

use tautway_sim::arithmetic::max;
use tautway_sim::inertia::SLOW;
use tautway_sim::quantity::Units;
use tautway_sim::record::{Inertia, Run, WithInertia, Yardstick};
use tautway_sim::verdict::NOT_SEEN;

use super::words;
use tautway_words::{Block, Document, Table};

/// The doubt that comes with a floating slide too slow for the turn, or with what was found when
/// its weight was reckoned with.
pub fn doubt(page: &mut Document, run: &Run, units: Units) {
    let found = &run.inertia;
    if let Some(tried) = &found.tried {
        if tried.differs {
            page.say(
                "Doubt:",
                format!(
                    "with the slide's weight reckoned in it comes out otherwise (below): {}. \
                     Believe neither to the last thou. Slower is safer.",
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
            .filter(|(held, _)| held.differs && held.by == by)
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
    let (without, with) = (&run.outcome.measures, &tried.measures);
    let [size, waves, round] = tried.held.map(|held| (held.from, held.to));
    // Left is what the size lacks.
    for (name, a, b, (from, to)) in [
        (
            "left, per side",
            -without.size_error,
            -with.size_error,
            (-size.1, -size.0),
        ),
        ("waves", without.waves, with.waves, waves),
        ("round within", without.roundness, with.roundness, round),
    ] {
        let (show, from): (fn(f64, Units) -> String, f64) = if name.starts_with("left") {
            (words::signed_height, from)
        } else {
            (words::height, max(from, 0.0))
        };
        table.row([
            name.to_owned(),
            show(a, units),
            show(b, units),
            format!("{} to {}", show(from, units), show(to, units)),
        ]);
    }
    page.push(Block::Table(table));
    page.say(
        "",
        format!(
            "Getting it moving takes more than a fifth of the drag in {} of the cut; {}.",
            share(tried.counts),
            swings(&run.inertia)
        ),
    );
}

fn share(of: f64) -> String {
    if of > 0.0 && of < 0.01 {
        "less than 1 %".to_owned()
    } else {
        format!("{:.0} %", 100.0 * of)
    }
}
