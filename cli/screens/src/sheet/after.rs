//! Sections nine to thirteen and the foot: the cut, gauging, and what comes after.

use tautway_sim::caution::NOT_AN_INSPECTION;
use tautway_sim::gauging::StandoffRow;
use tautway_sim::heat::Heat;
use tautway_sim::quantity::{FOOT, Quantity, Units};
use tautway_sim::scenario::PreloadSource;
use tautway_sim::sensitivity::Sensitivity;
use tautway_sim::setup::{Feed, Pull};
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
    let what = match &sheet.thread {
        Some(_) => " Cone first, then thread.",
        None => "",
    };
    let speed = speed(
        &Speed {
            turns: sheet.turns,
            surface: sheet.surface_speed,
            assumed: sheet.speed_assumed,
            dead_centre: sheet.dead_centre,
        },
        sheet.lathe_check.on_cross_dial,
        units,
    );
    items.push(say(format!("{speed}{what}")));
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
    let part = sheet.tool.room.as_ref().and_then(|room| room.first_cuts);
    if part.is_some() && !dials.is_empty() {
        items.push(say(match sheet.setup.feed {
            Feed::Headstock => "The first passes leave the cut early: feed off there, tool drawn \
                                out. Further in the bar has less room."
                .to_owned(),
            Feed::Tailstock => "The first passes meet metal part way: start them the run-in \
                                before that, no deeper. Further in the bar has less room."
                .to_owned(),
        }));
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
    items.extend(table_of(rows));
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
        items.push(page::caution(
            "off-the-table",
            format!(
                "{} less than {} or more than {} {} is left on: 95 of 100 such lathes leave \
                 between. Find out why before the last pass.",
                strong("STOP IF"),
                figures(expect.set + expect.left.low, units),
                figures(expect.set + expect.left.high, units),
                unit(units)
            ),
        ));
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

/// What is told of the spindle's speed.
pub struct Speed {
    /// Turns a second.
    pub turns: f64,
    /// At the surface of the big end, m/s.
    pub surface: f64,
    /// Nobody told it.
    pub assumed: bool,
    /// Fastest for a dead centre, where this is faster.
    pub dead_centre: Option<f64>,
}

/// The speed, and what the dials below count.
pub fn speed(speed: &Speed, cross: bool, units: Units) -> String {
    let surface = match units {
        Units::Inch => format!("{:.0} sfm", speed.surface * 60.0 / FOOT),
        Units::Metric => format!("{:.0} m/min", speed.surface * 60.0),
    };
    let centre = speed.dead_centre.map_or(String::new(), |most| {
        format!(
            " A dead centre: {:.0} rpm at most, else a live one.",
            60.0 * most
        )
    });
    format!(
        "{} ({surface} at the big end{}).{centre} Try it on scrap first. {}, from the touch-off, \
         in {}.",
        strong(&format!("{:.0} rpm", speed.turns * 60.0)),
        if speed.assumed { ", assumed" } else { "" },
        if cross {
            "Cross dial"
        } else {
            "Top slide's dial"
        },
        match units {
            Units::Inch => "inches",
            Units::Metric => "mm",
        }
    )
}

/// The passes' table.
pub fn table_of(rows: Vec<Vec<String>>) -> Option<Block> {
    (!rows.is_empty()).then(|| {
        numbers(
            [
                "no.",
                "pass",
                "depth per side",
                "dial per side",
                "dial on diameter",
                "feed",
                "taken, diameter",
            ]
            .map(str::to_owned)
            .to_vec(),
            rows,
        )
    })
}

fn of_stage(sheet: &Sheet, stage: Stage) -> impl Iterator<Item = &SheetPass> {
    sheet.passes.iter().filter(move |pass| pass.stage == stage)
}

pub fn row(pass: &SheetPass, units: Units) -> Vec<String> {
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
///
/// A thread's gauge is told with its passes.
pub fn gauge(sheet: &Sheet, units: Units) -> Vec<Block> {
    if sheet.thread.is_some() {
        return Vec::new();
    }
    let bears = sheet.bears_big;
    let mut items = standoff(&sheet.standoff, sheet.heat.as_ref(), units);
    items.push(page::sum(&sheet.drawing, units));
    items.push(say(format!(
        "Blue at the big end only: guide's tailstock end {}; small end only: {}.",
        strong(toward(bears)),
        strong(toward(opposite(bears)))
    )));
    items
}

/// What comes before gauging, and standoff to dial.
pub fn standoff(all: &[StandoffRow], heat: Option<&Heat>, units: Units) -> Vec<Block> {
    let unit = unit(units);
    // Two rows of the table side by side save half its height.
    let half = all.len().div_ceil(2);
    let cells = |at: usize| {
        all.get(at).map_or_else(Vec::new, |row| {
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
    vec![
        say(format!(
            "Edges broken, chips out, {}{}. Standoff too much: take off",
            strong("cold"),
            heat.map_or(String::new(), |heat| format!(
                " ({})",
                words::heat_in_short(heat, units)
            ))
        )),
        numbers([head.clone(), head].concat(), rows.collect()),
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
    note(&mut foot, sheet.version, sheet.seed);
    foot
}

/// What a prediction is not; version and seed.
pub fn note(foot: &mut Document, version: &str, seed: u64) {
    foot.say(
        "Note:",
        format!("{NOT_AN_INSPECTION} (tautway {version}, seed {seed})"),
    );
}

fn list(matters: &[Sensitivity], none: &str) -> String {
    if matters.is_empty() {
        return format!("{none}.");
    }
    let told: Vec<String> = matters
        .iter()
        .take(ASSUMED)
        .map(words::with_range)
        .collect();
    let more = match matters.len().saturating_sub(ASSUMED) {
        0 => String::new(),
        more => format!("; and {more} more"),
    };
    format!("{}{more}.", told.join("; "))
}
