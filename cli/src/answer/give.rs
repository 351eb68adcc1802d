//! How an answer reaches the person: as words, records, a table, a folder of all that, a report.

use tautway_words::Document;
use tautway_words::text::{self, Style};

use super::given::{Answer, Figure};
use super::report;
use crate::failure::Failure;
use crate::interrupt;
use crate::output::file;
use crate::output::folder::{self, Sheet};
use crate::plan::{Format, Report, ReportFormat, To, Wanted};
use crate::progress::Progress;
use crate::table::written;
use crate::terminal;

/// Width of a PNG, px: twice the drawing's own.
const WIDTH: u32 = 1800;

/// Whether the report that was asked for may be written, before anything is run for it.
///
/// # Errors
/// When something is there that must not be replaced.
pub fn may_be_written(args: &Wanted) -> Result<(), Failure> {
    match &args.report {
        Some(Report { file, .. }) => file::may_be_written(file, args.to.overwrite, &report::KIND),
        None => Ok(()),
    }
}

/// A document as the text of a file.
fn of_file(document: &Document) -> String {
    text::write(document, Style::FILE)
}

/// Gives an answer as asked for: the folder first, so that nothing is told that then isn't there.
///
/// # Errors
/// When something can't be written.
pub fn give(
    answer: &dyn Answer,
    format: Format,
    to: &To,
    report: Option<&Report>,
) -> Result<(), Failure> {
    if to.out.is_some() || report.is_some() {
        interrupt::note("everything was run; nothing was written".to_owned());
        let figures = answer.figures(&Progress::start("drawing"));
        let paper = report.and_then(|report| report.paper);
        let as_page = report.is_some_and(|report| report.format == ReportFormat::Html);
        let page = match to.out.is_some() || as_page {
            true => report::of(answer, &figures, paper)?,
            false => String::new(),
        };
        let written = match report {
            Some(Report { file, .. }) if as_page => Some((file, page.clone().into_bytes())),
            Some(Report { file, .. }) => Some((file, report::pdf(answer, &figures, paper)?)),
            None => None,
        };
        if let Some(directory) = &to.out {
            let sheets = sheets(answer, page, figures)?;
            folder::give(directory, to.overwrite, &sheets, answer.begun())?;
        }
        if let Some((file, bytes)) = written {
            file::write_bytes(file, to.overwrite, &bytes, &report::KIND)?;
            if !file::is_standard_output(file) {
                terminal::note(&format!("wrote the report {}", file.display()));
            }
        }
    }
    match format {
        Format::Text => terminal::answer(&terminal::set(answer.document())),
        Format::Json => terminal::answer(&answer.json()),
        Format::Csv => match answer.tables().into_iter().next() {
            Some(table) => terminal::answer(&written(table.rows.into_iter())?),
            None => Ok(()),
        },
    }
}

/// The files of a folder, its report page and figures among them.
fn sheets(answer: &dyn Answer, page: String, figures: Vec<Figure>) -> Result<Vec<Sheet>, Failure> {
    let mut sheets = vec![
        Sheet::new("report.txt", of_file(answer.document())),
        Sheet::new(format!("{}.json", answer.named()), answer.json()),
    ];
    for table in answer.tables() {
        let text = written(table.rows.into_iter())?;
        sheets.push(Sheet::new(format!("{}.csv", table.name), text));
    }
    if let Some((name, record, _)) = answer.again() {
        sheets.push(Sheet::new(name, record));
    }
    sheets.push(Sheet::new("report.html", page));
    for Figure { name, drawing } in figures {
        let png = drawing
            .png(WIDTH)
            .map_err(|why| Failure::Stopped(format!("can't draw {name}.png: {why}")))?;
        sheets.push(Sheet::new(format!("{name}.svg"), drawing.svg));
        sheets.push(Sheet::new(format!("{name}.png"), png));
    }
    Ok(sheets)
}
