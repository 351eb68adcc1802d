//! The setup sheet as a page: what stands on it, in which order and in which words.
//!
//! Order and words are the shop's. Every caution of the way stands on it: the worst in the box at
//! the top, the others where the hand is that they are for.

mod paper;
mod page;
mod figures;
mod frame;
mod before;
mod after;
mod thread;
mod print;
mod without;

use schemars::JsonSchema;
use serde::Serialize;
use serde_json::json;
use tautway_figures::{SetupView, setup_plan};
use tautway_sim::caution::NOT_AN_INSPECTION;
use tautway_sim::expect::Expect;
use tautway_sim::quantity::Quantity;
use tautway_sim::sheet::{MethodSheet, Sheet};
use tautway_words::Document;
use tautway_words::html::opening;
use tautway_words::text::{self, Style};

use frame::{OPENING, head, laid_out};
use page::Place;
pub use paper::Paper;

/// Form of a setup sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// Plain text.
    Text,
    /// A page to print.
    Html(Paper),
    /// Its record.
    Json,
}

/// The sheet as a document.
pub fn document(sheet: &Sheet) -> Document {
    page(sheet)
}

/// The sheet of a way without the attachment as a document; `taper` as in [`written_without`].
pub fn document_without(sheet: &MethodSheet, taper: &str) -> Document {
    without::page(sheet, taper)
}

/// The sheet in the form asked for.
pub fn written(sheet: &Sheet, form: Form) -> String {
    match form {
        Form::Text => text::write(&page(sheet), Style::FILE),
        Form::Html(paper) => print::html(&page(sheet), (sheet.version, &sheet.job), paper),
        Form::Json => as_json(sheet.version, &sheet.expect, sheet),
    }
}

/// The sheet of a way without the attachment.
///
/// `taper`: what to expect of it, in the screen's words.
pub fn written_without(sheet: &MethodSheet, taper: &str, form: Form) -> String {
    let page = || without::page(sheet, taper);
    match form {
        Form::Text => text::write(&page(), Style::FILE),
        Form::Html(paper) => print::html(&page(), (sheet.version, &sheet.job), paper),
        Form::Json => as_json(sheet.version, &sheet.way.expect, sheet),
    }
}

/// A sheet as JSON; `R` is [`Sheet`] or [`MethodSheet`].
#[derive(Serialize, JsonSchema)]
pub struct Record<'a, R> {
    /// By what it was made.
    a_tautway_sheet: Head<'a>,
    /// What to expect.
    expect: &'a Option<Expect>,
    /// What stands on it.
    sheet: &'a R,
    /// What it is not.
    not_an_inspection: &'static str,
}

/// By what it was made.
#[derive(Serialize, JsonSchema)]
struct Head<'a> {
    /// Version of the program.
    version: &'a str,
    /// Units of the numbers.
    #[schemars(extend("const" = UNITS))]
    units: &'static str,
}

const UNITS: &str = "SI: m, N, m/s, turns/s; tapers as change of diameter over length";

fn as_json<R: Serialize>(version: &str, expect: &Option<Expect>, sheet: &R) -> String {
    let a_tautway_sheet = Head {
        version,
        units: UNITS,
    };
    let whole = json!(Record {
        a_tautway_sheet,
        expect,
        sheet,
        not_an_inspection: NOT_AN_INSPECTION,
    });
    format!("{whole:#}\n")
}

/// First key of a sheet as JSON.
const JSON_OPENING: &str = "a_tautway_sheet";

/// Whether a file's text is a sheet that this program wrote, in any form.
pub fn is_sheet(text: &str) -> bool {
    let beginning = text.lines().take(6).collect::<Vec<_>>().join("\n");
    beginning.starts_with(OPENING)
        || beginning.contains(&opening("sheet"))
        || beginning.contains(JSON_OPENING)
}

fn page(sheet: &Sheet) -> Document {
    let units = sheet.units;
    let sections = [
        (Place::Taper, before::taper(&sheet.drawing, units)),
        (Place::Box, before::box_of_cautions(sheet)),
        (Place::Way, before::way(sheet, units, plan(sheet))),
        (Place::Lathe, before::lathe(sheet)),
        (Place::Guide, before::guide(sheet, units)),
        (Place::Tool, before::tool(sheet, units)),
        (Place::RunIn, before::run_in(sheet, units)),
        (Place::TouchOff, before::touch_off(sheet, units)),
        (Place::Passes, after::passes(sheet, units)),
        (Place::Thread, thread::thread(sheet, units)),
        (Place::Gauge, after::gauge(sheet, units)),
        (Place::Preload, after::preload(sheet, units)),
        (Place::Signs, after::signs(sheet, units)),
        (Place::Afterwards, after::afterwards(sheet)),
    ];
    laid_out(
        head(
            [&sheet.job, &sheet.lathe, &sheet.drawing.material],
            sheet.note.as_deref(),
        ),
        sections,
        after::foot(sheet),
    )
}

/// The setup from above.
fn plan(sheet: &Sheet) -> String {
    let view = SetupView {
        slope: sheet.drawing.aim.slope(),
        length: sheet.drawing.length.si(),
        big_diameter: sheet.drawing.big.si(),
        run_in: sheet.run_in.start,
        preload: sheet.preload.as_ref().map(|preload| preload.toward),
        units: sheet.units,
    };
    setup_plan(&sheet.setup, &view).svg
}
