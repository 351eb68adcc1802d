//! The setup sheet as a page: what stands on it, in which order and in which words.
//!
//! Order and words are the shop's. Every caution of the way stands on it: the worst in the box at
//! the top, the others where the hand is that they are for.

mod page;
mod before;
mod after;
mod html;
mod text;

use tautway_figures::{Drawing, SetupView, setup_plan};
use tautway_sim::caution::{Caution, NOT_AN_INSPECTION};
use tautway_sim::quantity::{Quantity, Units};
use tautway_sim::scenario::Toward;
use tautway_sim::sheet::Sheet;

use crate::arguments::{Paper, SheetFormat};
use crate::screen::words;
use page::{Item, Page, Place, Section, plain};

/// The sheet in the form asked for.
pub fn written(sheet: &Sheet, format: SheetFormat, paper: Paper) -> String {
    match format {
        SheetFormat::Text => text::of(&page(sheet)),
        SheetFormat::Html => html::of(&page(sheet), sheet, &drawing(sheet), paper),
        SheetFormat::Json => {
            let whole = serde_json::json!({
                JSON_OPENING: {
                    "version": sheet.version,
                    "units": "SI: m, N, m/s, turns/s; tapers as change of diameter over length",
                },
                "sheet": sheet,
                "not_an_inspection": NOT_AN_INSPECTION,
            });
            format!("{whole:#}\n")
        }
    }
}

/// First key of a sheet as JSON.
const JSON_OPENING: &str = "a_tautway_sheet";

/// Whether a file's text is a sheet that this program wrote, in any form.
pub fn is_sheet(text: &str) -> bool {
    let beginning = text.lines().take(6).collect::<Vec<_>>().join("\n");
    beginning.starts_with(text::OPENING)
        || beginning.contains(html::OPENING)
        || beginning.contains(JSON_OPENING)
}

fn page(sheet: &Sheet) -> Page {
    let units = sheet.units;
    let head = vec![
        ("Lathe", Some(plain(&sheet.lathe))),
        ("Date", None),
        ("Sheet no.", None),
        ("Who", None),
    ];
    let sections = [
        (Place::Taper, before::taper(sheet, units)),
        (Place::Box, before::box_of_cautions(sheet)),
        (Place::Way, before::way(sheet, units)),
        (Place::Lathe, before::lathe(sheet, units)),
        (Place::Guide, before::guide(sheet, units)),
        (Place::Tool, before::tool(sheet, units)),
        (Place::RunIn, before::run_in(sheet, units)),
        (Place::TouchOff, before::touch_off(sheet, units)),
        (Place::Passes, after::passes(sheet, units)),
        (Place::Gauge, after::gauge(sheet, units)),
        (Place::Preload, after::preload(sheet, units)),
        (Place::Signs, after::signs(sheet, units)),
        (Place::Afterwards, after::afterwards(sheet)),
    ];
    let sections = sections
        .into_iter()
        .filter(|(_, items)| !items.is_empty())
        .enumerate()
        .map(|(at, (place, items))| Section {
            number: at + 1,
            place,
            items,
        })
        .collect();
    Page {
        title: plain(&sheet.job),
        head,
        note: sheet.note.as_deref().map(plain),
        sections,
        foot: after::foot(sheet),
    }
}

/// Where a caution stands that didn't come into the box: the section where the hand is.
fn section_of(caution: &Caution) -> Place {
    match caution.id {
        "end-of-travel" | "lock-and-feed" | "reverse-chuck" | "centres" => Place::Lathe,
        "lifting-cut" | "tool-upside-down" | "brass-hooks-in" => Place::Tool,
        "bar-rubs" | "seat-by-hand" => Place::RunIn,
        "air-on" => Place::Preload,
        preload if preload.starts_with("preload-") => Place::Preload,
        // What is new comes where the cut is.
        _ => Place::Passes,
    }
}

/// The cautions of a section that are not in the box.
fn cautions_of(sheet: &Sheet, section: Place) -> impl Iterator<Item = Item> + '_ {
    sheet
        .below_the_box()
        .iter()
        .filter(move |caution| section_of(caution) == section)
        .map(caution)
}

fn caution(caution: &Caution) -> Item {
    Item::Caution {
        id: caution.id,
        words: format!(
            "{} {}. {}",
            page::strong("STOP IF"),
            caution.stop_if,
            caution.advice
        ),
    }
}

fn drawing(sheet: &Sheet) -> Drawing {
    setup_plan(
        &sheet.setup,
        &SetupView {
            slope: sheet.drawing.aim.slope(),
            length: sheet.drawing.length.si(),
            big_diameter: sheet.drawing.big.si(),
            run_in: sheet.run_in.start,
            preload: sheet.preload.as_ref().map(|preload| preload.toward),
            units: sheet.units,
        },
    )
}

fn toward(toward: Toward) -> &'static str {
    match toward {
        Toward::Operator => "toward you",
        Toward::Away => "away from you",
    }
}

fn opposite(toward: Toward) -> Toward {
    match toward {
        Toward::Operator => Toward::Away,
        Toward::Away => Toward::Operator,
    }
}

/// A length as figures alone: 0.0001 in or 0.001 mm.
fn figures(m: f64, units: Units) -> String {
    match units {
        Units::Inch => format!("{:.4}", m / 0.0254),
        Units::Metric => format!("{:.3}", m * 1e3),
    }
}

/// The unit of [`figures`].
fn unit(units: Units) -> &'static str {
    match units {
        Units::Inch => "in",
        Units::Metric => "mm",
    }
}

/// A length to three or two digits with its unit.
fn size(m: f64, units: Units) -> String {
    match units {
        Units::Inch => format!("{:.3} in", m / 0.0254),
        Units::Metric => format!("{:.2} mm", m * 1e3),
    }
}

/// "big end" or "small end".
fn end(big: bool) -> &'static str {
    if big { "big end" } else { "small end" }
}

fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or(String::new(), |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

fn the_way(sheet: &Sheet) -> String {
    capital(&words::way(&sheet.setup))
}
