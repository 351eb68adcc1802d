//! Sections nine to thirteen and the foot: the cut, gauging, and what comes after.

use tautway_sim::caution::NOT_AN_INSPECTION;
use tautway_sim::quantity::{FOOT, Quantity, Units};
use tautway_sim::scenario::PreloadSource;
use tautway_sim::sensitivity::Sensitivity;
use tautway_sim::setup::Pull;
use tautway_sim::sheet::{Seen, Sheet, SheetPass, Stage};

use super::before::force;
use super::figures::{cautions_of, figures, opposite, toward, unit};
use super::page::{self, Place, boxes, check, numbers, say, sentences};
use crate::screen::{expect as expectation, words};
use tautway_words::{BLANK, Block, Document, plain, strong};

/// Roughing passes that get a line each; more are told in one line for all but the last.
const ROUGHING_LINES: usize = 4;
/// Roughing passes whose dials are all told.
const DIALS: usize = 12;
/// Assumptions told on the sheet.
const ASSUMED: usize = 2;

/// Speed and passes, with a box each for what was taken.
pub fn passes(sheet: &Sheet, units: Units) -> Vec<Block> {
    let mut items: Vec<Block> = cautions_of(sheet, Place::Passes).collect();
    let surface = match units {
        Units::Inch => format!("{:.0} sfm", sheet.surface_speed * 60.0 / FOOT),
        Units::Metric => format!("{:.0} m/min", sheet.surface_speed * 60.0),
    };
    let dial = if sheet.lathe_check.on_cross_dial {
        "Cross dial"
    } else {
        "Top slide's dial"
    };
    items.push(say(format!(
        "{} ({surface} at the big end). {dial}, from the touch-off, in {}:",
        strong(&format!("{:.0} rpm", sheet.turns * 60.0)),
        match units {
            Units::Inch => "inches",
            Units::Metric => "mm",
        }
    )));
    let mut rows = Vec::new();
    let rough: Vec<&SheetPass> = of_stage(sheet, Stage::Rough).collect();
    if rough.len() > ROUGHING_LINES {
        let (last, most) = rough.split_last().expect("there are several");
        rows.push(row_of(
            &format!("1-{}", most.len()),
            "rough, each",
            most[most.len() - 1],
            units,
        ));
        rows.push(row(last, units));
    } else {
        rows.extend(rough.into_iter().map(|pass| row(pass, units)));
    }
    let dials: Vec<String> = of_stage(sheet, Stage::Rough)
        .map(|pass| figures(pass.dial, units))
        .collect();
    if dials.len() > ROUGHING_LINES && dials.len() <= DIALS {
        items.push(say(format!(
            "Roughing dials per side: {}.",
            dials.join(", ")
        )));
    }
    let again: Vec<&SheetPass> = of_stage(sheet, Stage::Again).collect();
    if let Some(first) = again.first() {
        let number = match again.last() {
            Some(last) if last.number > first.number => {
                format!("{}-{}", first.number, last.number)
            }
            _ => first.number.to_string(),
        };
        rows.push(row_of(&number, "same dial again", first, units));
    }
    let finishing = |pass: &&SheetPass| !matches!(pass.stage, Stage::Rough | Stage::Again);
    let roughed = !rows.is_empty();
    rows.extend(
        sheet
            .passes
            .iter()
            .filter(finishing)
            .map(|pass| row(pass, units)),
    );
    items.push(numbers(
        vec![
            "no.".to_owned(),
            "pass".to_owned(),
            "depth per side".to_owned(),
            "dial per side".to_owned(),
            "dial on diameter".to_owned(),
            "feed".to_owned(),
            "taken, diameter".to_owned(),
        ],
        rows,
    ));
    if roughed {
        items.push(say(format!(
            "Before finishing: gauge, run in, touch off anew at zero. Left {BLANK}"
        )));
    }
    if let Some(expect) = sheet
        .expect
        .as_ref()
        .filter(|expect| expect.gauging_helps())
    {
        items.push(say(format!(
            "Before the last: {}, chips out, gauge {}. No guide, no gib, no new touch-off.",
            strong("spindle stopped"),
            strong("cold"),
        )));
        let mut table = expectation::table(expect, units);
        table.class = "numbers dial";
        items.push(Block::Table(table));
    }
    if !sheet.roughs_even {
        items.push(say(format!(
            "{}: roughing this way leaves uneven stock. Rough the other way, or take more \
             finishing passes.",
            strong("Mind")
        )));
    }
    items
}

fn of_stage(sheet: &Sheet, stage: Stage) -> impl Iterator<Item = &SheetPass> {
    sheet.passes.iter().filter(move |pass| pass.stage == stage)
}

fn row(pass: &SheetPass, units: Units) -> Vec<String> {
    let name = match pass.stage {
        Stage::Rough => "rough",
        Stage::Again => "same dial again",
        Stage::Finish => "finish",
        Stage::Last => "last: by table",
        Stage::Spring => "spring, dial left",
    };
    row_of(&pass.number.to_string(), name, pass, units)
}

fn row_of(number: &str, name: &str, pass: &SheetPass, units: Units) -> Vec<String> {
    vec![
        number.to_owned(),
        name.to_owned(),
        if pass.set > 0.0 {
            figures(pass.set, units)
        } else {
            "0".to_owned()
        },
        figures(pass.dial, units),
        figures(2.0 * pass.dial, units),
        figures(pass.feed, units),
        String::new(),
    ]
}

/// Standoff to dial, and what blue says.
pub fn gauge(sheet: &Sheet, units: Units) -> Vec<Block> {
    let unit = unit(units);
    // Two rows of the table side by side save half its height.
    let half = sheet.standoff.len().div_ceil(2);
    let cells = |at: usize| {
        sheet.standoff.get(at).map_or_else(Vec::new, |row| {
            vec![
                figures(row.standoff, units),
                figures(row.on_diameter, units),
                figures(row.per_side, units),
            ]
        })
    };
    let rows = (0..half).map(|at| [cells(at), cells(at + half)].concat());
    let head = [
        format!("standoff, {unit}"),
        "on diameter".to_owned(),
        "per side".to_owned(),
    ];
    let bears = sheet.bears_big;
    vec![
        say(format!(
            "{}{}. Standoff too much: take off",
            strong("Cold"),
            sheet.heat.map_or(String::new(), |heat| format!(
                ": {}",
                plain(&words::heat_in_short(&heat, units))
            ))
        )),
        numbers([head.clone(), head].concat(), rows.collect()),
        page::sum(sheet),
        say(format!(
            "Blue at the big end only: guide's tailstock end {}; small end only: {}.",
            strong(toward(bears)),
            strong(toward(opposite(bears)))
        )),
    ]
}

/// The force on the slide, if any.
pub fn preload(sheet: &Sheet, units: Units) -> Vec<Block> {
    let mut items: Vec<Block> = cautions_of(sheet, Place::Preload).collect();
    let Some(p) = &sheet.preload else {
        return items;
    };
    let (from, off) = match p.source {
        PreloadSource::Constant(_) => (
            "weight on a cord or constant spring".to_owned(),
            "spindle stopped, tool clear, weight or spring off, then slacken anything",
        ),
        PreloadSource::Spring { rate, .. } => (
            format!("spring, {}", rate.middle.show(units)),
            "spindle stopped, tool clear, spring off, then slacken anything",
        ),
        PreloadSource::Cylinder { bore, pressure, .. } => (
            format!(
                "cylinder {} at {}",
                words::nominal(bore, units),
                pressure.middle.show(units)
            ),
            "spindle stopped, tool clear, air shut, bled to nothing, slide locked, then uncouple",
        ),
    };
    let way = if p.out_of_cut {
        "out of the cut"
    } else {
        "INTO THE CUT: don't"
    };
    let enough = if p.force >= p.twice {
        "enough"
    } else if 2.0 * p.force >= p.twice {
        "it starts the slide, with little to spare"
    } else {
        "TOO LITTLE, can be worse than none"
    };
    items.push(say(format!(
        "{} pushes the slide {} ({way}): {}. Twice what starts the slide: {}: {}. By scale: {BLANK}",
        words::capital(&from),
        strong(toward(p.toward)),
        strong(&force(p.force, units)),
        strong(&force(p.twice, units)),
        strong(enough),
    )));
    items.push(check(format!("On last: coupled, tool clear. Off: {off}.")));
    items
}

/// What may be seen, why, and what to do.
pub fn signs(sheet: &Sheet, units: Units) -> Vec<Block> {
    let rows: Vec<[String; 3]> = sheet
        .signs
        .iter()
        .map(|sign| {
            let (seen, why, what) = told(sheet, sign.seen, units);
            let seen = if sign.expected {
                format!("{}, expected", strong(seen))
            } else {
                strong(seen)
            };
            [seen, why.to_owned(), what]
        })
        .collect();
    let starred = rows.iter().any(|row| row[2].contains('*'));
    let star = starred.then(|| say("* Snug the gib, feed the other way, hold the slide out."));
    std::iter::once(sentences(["you see", "likely", "do"], rows))
        .chain(star)
        .collect()
}

fn told(sheet: &Sheet, seen: Seen, units: Units) -> (&'static str, &'static str, String) {
    let away = sheet.pull == Pull::Away;
    match seen {
        Seen::WontSize if away => (
            "won't size",
            "push-off beats drag",
            "no more dial: it will grab; *".to_owned(),
        ),
        Seen::WontSize => (
            "won't size",
            "spring, dull edge",
            "fresh edge, same dial again".to_owned(),
        ),
        Seen::TooDeep => (
            "cuts too deep",
            "dial moved in slack",
            "run in, touch off anew".to_owned(),
        ),
        Seen::Waves => ("waves", "slide floats", "*; no lighter pass".to_owned()),
        Seen::Step => (
            "a step",
            "slide changed face",
            "*; take an even cut first".to_owned(),
        ),
        Seen::StraightAtStart => (
            "straight at start",
            "run-in too short",
            if sheet.run_in.by_hand {
                "seat the slide by hand".to_owned()
            } else {
                format!("start {} out", super::before::start(sheet, units))
            },
        ),
        Seen::DrunkenThread => (
            "drunken thread",
            "slide shifts",
            "same run-in each pass; *".to_owned(),
        ),
    }
}

/// What is easily forgotten.
pub fn afterwards(sheet: &Sheet) -> Vec<Block> {
    let mut items: Vec<Block> = cautions_of(sheet, Place::Afterwards).collect();
    let air = match sheet.preload.as_ref().map(|preload| preload.source) {
        Some(PreloadSource::Cylinder { .. }) => "Air off and bled. ",
        Some(_) => "Weight or spring off. ",
        None => "",
    };
    let nut = if sheet.lathe_check.on_cross_dial {
        ""
    } else {
        "nut back in, "
    };
    items.push(check(
        "Cool; gauge; blue; write down what came out.".to_owned(),
    ));
    items.push(check(format!(
        "{air}Put back: foot free, guide at zero, {nut}top slide, tailstock, feed, lock."
    )));
    items.push(boxes(["Taper", "Size", "Waves"]));
    items
}

/// What was assumed, what a prediction is not, version and seed.
pub fn foot(sheet: &Sheet) -> Document {
    let mut foot = Document::new();
    foot.say(
        "Assumed, and it matters:",
        list(&sheet.assumed, "nothing that would change this"),
    );
    if !sheet.narrowed.is_empty() {
        foot.say(
            "Measured, and narrowed by it:",
            plain(&words::narrowed(&sheet.narrowed)),
        );
    }
    foot.say(
        "Note:",
        format!(
            "{NOT_AN_INSPECTION} (tautway {}, seed {})",
            sheet.version, sheet.seed
        ),
    );
    foot
}

fn list(matters: &[Sensitivity], none: &str) -> String {
    if matters.is_empty() {
        return format!("{none}.");
    }
    let told: Vec<String> = matters
        .iter()
        .take(ASSUMED)
        .map(|m| words::with_range(m))
        .collect();
    let more = match matters.len().saturating_sub(ASSUMED) {
        0 => String::new(),
        more => format!("; and {more} more"),
    };
    format!("{}{more}.", told.join("; "))
}
