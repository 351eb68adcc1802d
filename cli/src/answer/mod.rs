//! What an answer gives: words, records, tables and figures; and how all of that reaches the person.
//!
//! A command is its plan, one run, one answer: it fills in an [`Answer`] and hands it to [`give`].

mod figures;
mod report;
pub mod found;
pub mod json;
pub mod schema;
pub mod modify;
pub mod preload;
pub mod readings;
pub mod rehearsal;
pub mod thread;
pub mod trials;
mod ways;

use std::path::Path;

use tautway_words::Document;
use tautway_words::text::{self, Style};

use crate::failure::Failure;
use crate::interrupt;
use crate::output::file;
use crate::output::folder::{self, Filling, Sheet};
use crate::plan::{Format, To, Wanted};
use crate::progress::Progress;
use crate::table::{Row, written};
use crate::terminal;
use crate::texts::Text;
pub use figures::Figure;

/// A table of an answer.
pub struct Table {
    /// Its file, without the ending.
    pub name: &'static str,
    /// Its heading.
    pub title: &'static str,
    /// What a row is.
    pub about: &'static str,
    /// The rows.
    pub rows: Vec<Row>,
}

/// What an answer gives. Its forms are derived.
pub trait Answer {
    /// What its record's file is called, without the ending.
    fn named(&self) -> &'static str;
    /// Of what it is: the job's name.
    fn about(&self) -> &str;
    /// What a person reads.
    fn document(&self) -> &Document;
    /// The records in SI.
    fn json(&self) -> String;
    /// Tables, the first being the one that is asked for as CSV.
    fn tables(&self) -> Vec<Table>;
    /// Drawings.
    fn figures(&self, progress: &Progress) -> Vec<Figure>;
    /// The files it was made from.
    fn texts(&self) -> &[Text];
    /// What the same answer hangs on, besides the files: seed and lathes tried.
    fn luck(&self) -> Luck {
        Luck::default()
    }
    /// A record from which all of it can be run again, with the name of its file, and what stands
    /// beside it in a folder.
    fn again(&self) -> Option<(&'static str, String, &'static str)> {
        None
    }
    /// What was written into its folder while it was run.
    fn begun(&self) -> Option<&Filling> {
        None
    }
}

/// What an answer hangs on, besides its files.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Luck {
    /// Seed.
    pub seed: Option<u64>,
    /// Lathes tried.
    pub lathes: Option<u64>,
}

/// Whether the report that was asked for may be written, before anything is run for it.
///
/// # Errors
/// When something is there that must not be replaced.
pub fn may_be_written(args: &Wanted) -> Result<(), Failure> {
    match &args.report {
        Some(path) => file::may_be_written(path, args.to.overwrite, &report::KIND),
        None => Ok(()),
    }
}

/// A document as the text of a file.
pub fn of_file(document: &Document) -> String {
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
    report: Option<&Path>,
) -> Result<(), Failure> {
    if let Some(directory) = &to.out {
        interrupt::note("everything was run; nothing was written".to_owned());
        folder::give(directory, to.overwrite, &sheets(answer)?, answer.begun())?;
    }
    if let Some(file) = report {
        interrupt::note("everything was run; no report was written".to_owned());
        let figures = answer.figures(&Progress::start("drawing"));
        let page = report::of(answer, &figures)?;
        file::write(file, to.overwrite, &page, &report::KIND)?;
        terminal::aside(&format!("wrote the report {}", file.display()));
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

/// The files of a folder.
fn sheets(answer: &dyn Answer) -> Result<Vec<Sheet>, Failure> {
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
    let figures = answer.figures(&Progress::start("drawing"));
    sheets.push(Sheet::new("report.html", report::of(answer, &figures)?));
    for Figure { name, drawing } in figures {
        let png = drawing
            .png(figures::WIDTH)
            .map_err(|why| Failure::Stopped(format!("can't draw {name}.png: {why}")))?;
        sheets.push(Sheet::new(format!("{name}.svg"), drawing.svg));
        sheets.push(Sheet::new(format!("{name}.png"), png));
    }
    Ok(sheets)
}
