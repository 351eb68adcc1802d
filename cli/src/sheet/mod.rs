//! The setup sheet as a page: what stands on it, in which order and in which words.
//!
//! Order and words are the shop's. Every caution of the way stands on it: the worst in the box at
//! the top, the others where the hand is that they are for.

mod page;
mod figures;
mod before;
mod after;
mod html;
mod text;

use tautway_figures::{Drawing, SetupView, setup_plan};
use tautway_sim::caution::NOT_AN_INSPECTION;
use tautway_sim::quantity::Quantity;
use tautway_sim::sheet::Sheet;

use crate::plan::{Paper, SheetFormat};
use page::{Page, Place, Section, plain};

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
