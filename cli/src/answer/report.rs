//! An answer as one HTML file that needs nothing else: words, figures, tables, files and seed.

use tautway_words::html::{self, Read, blocks, opening};
use tautway_words::{Block, Document, Download, Role, Source, Table};

use super::figures::Figure;
use crate::failure::Failure;
use crate::output::file::{self, Kind};
use crate::plan::Wanted;
use crate::table::Row;
use crate::texts::Text;

const LOOK: &str = include_str!("report.css");

/// What is written, for the messages about it.
pub const KIND: Kind = Kind {
    what: "report",
    option: "--report",
    example: "report.html",
    is_ours: |text| text.contains(&opening("report")),
};

/// Whether the report that was asked for may be written, before anything is run for it.
///
/// # Errors
/// When something is there that must not be replaced.
pub fn may_be_written(args: &Wanted) -> Result<(), Failure> {
    match &args.report {
        Some(path) => file::may_be_written(path, args.to.overwrite, &KIND),
        None => Ok(()),
    }
}

/// What stands in a report, whatever it is of.
pub struct Contents<'a> {
    /// Of what: the job's name.
    pub name: &'a str,
    /// The words of the screen.
    pub document: &'a Document,
    /// The figures.
    pub figures: &'a [Figure],
    /// Tables to be read in it.
    pub tables: Vec<Shown<'a>>,
    /// Files to be saved from it.
    pub downloads: Vec<Download>,
    /// What else there is to say of raw data.
    pub elsewhere: Option<&'a str>,
    /// The files it was made from.
    pub texts: &'a [Text],
    /// Luck of the run.
    pub seed: u64,
    /// Lathes tried, where some were.
    pub tried: Option<u64>,
}

/// Rows, shown with a column for each.
pub struct Shown<'a> {
    /// Their heading.
    pub title: &'a str,
    /// What the columns are.
    pub about: &'a str,
    /// The rows.
    pub rows: Vec<Row>,
}

/// The page.
pub fn of(contents: Contents<'_>) -> String {
    let name = contents.name;
    html::Page {
        kind: "report",
        version: env!("CARGO_PKG_VERSION"),
        title: name,
        policy: None,
        look: LOOK,
        before: html::nothing(),
        main: blocks(&whole(contents).blocks, Read::OnScreen),
        after: html::nothing(),
    }
    .write()
}

fn whole(contents: Contents<'_>) -> Document {
    let mut page = contents.document.clone();
    if !contents.figures.is_empty() {
        page.push(Block::Heading("Figures".into()));
    }
    for figure in contents.figures {
        let svg = figure.drawing.svg.clone();
        page.push(Block::Figure(tautway_words::Figure { svg }));
    }
    for table in &contents.tables {
        page.push(Block::Heading(table.title.into()));
        page.say("", table.about);
        page.push(Block::Table(turned(&table.rows)));
    }
    page.push(Block::Heading("Raw data".into()));
    for file in contents.downloads {
        page.push(Block::Download(file));
    }
    if let Some(words) = contents.elsewhere {
        page.say("", words);
    }
    page.push(Block::Heading("What it was made from".into()));
    for text in contents.texts {
        page.push(Block::Source(Source {
            name: text.file_name(),
            text: text.text.clone(),
        }));
    }
    let tried = contents
        .tried
        .map_or(String::new(), |tried| format!(", {tried} lathes tried"));
    page.say_as(
        Role::Note,
        "",
        format!(
            "tautway {}, seed {}{tried}. The same files, seed and version give the same page.",
            env!("CARGO_PKG_VERSION"),
            contents.seed
        ),
    );
    page
}

/// Rows as columns, those left out that are empty in all.
fn turned(rows: &[Row]) -> Table {
    let mut table = Table::default().words_in(&[0]);
    let columns: Vec<Vec<(&str, &str)>> = rows.iter().map(|row| row.cells().collect()).collect();
    let Some(first) = columns.first() else {
        return table;
    };
    for (at, (name, _)) in first.iter().enumerate() {
        if columns.iter().any(|way| !way[at].1.is_empty()) {
            let name = name.replace('_', " ");
            let cells = columns.iter().map(|way| way[at].1.to_owned());
            table.row(std::iter::once(name).chain(cells));
        }
    }
    table
}
