//! An answer as one HTML file that needs nothing else: words, figures, tables, files and seed.

use std::fs;

use tautway_words::html::{self, Read, blocks, opening};
use tautway_words::{Block, Document, Download, Role, Source, Table};

use super::figures::Figure;
use super::found::Answer;
use super::{table, trials};
use crate::arguments::AnswerArgs;
use crate::failure::Failure;
use crate::table::Row;
use crate::texts::Text;

const LOOK: &str = include_str!("report.css");

/// Whether the report that was asked for may be written, before anything is run for it.
///
/// # Errors
/// When something is there that must not be replaced.
pub fn may_be_written(args: &AnswerArgs) -> Result<(), Failure> {
    let Some(path) = &args.report else {
        return Ok(());
    };
    let shown = path.display();
    if path.is_dir() {
        return Err(Failure::Input(format!(
            "{shown} is a directory, and --report wants a file\n  help: give its name: --report {}",
            path.join("report.html").display()
        )));
    }
    let above = path.parent().filter(|p| !p.as_os_str().is_empty());
    if let Some(above) = above.filter(|above| !above.is_dir()) {
        return Err(Failure::no_place(above, path));
    }
    if fs::symlink_metadata(path).is_err() {
        return Ok(());
    }
    if !fs::read_to_string(path).is_ok_and(|text| text.contains(&opening("report"))) {
        return Err(Failure::Input(format!(
            "{shown} is there already and is no report\n  help: give another name"
        )));
    }
    if !args.to.overwrite {
        return Err(Failure::Input(format!(
            "{shown} is there already\n  help: give another name, or --overwrite to replace it"
        )));
    }
    Ok(())
}

/// What stands in a report.
pub struct Report<'a> {
    /// What was made.
    pub name: &'a str,
    /// The words of the screen.
    pub document: &'a Document,
    /// Drawings.
    pub figures: &'a [Figure],
    /// A row for each way, best first.
    pub ways: &'a [Row],
    /// Tables to save.
    pub raw: Vec<Download>,
    /// What more there is to save, and where.
    pub more: Option<&'a str>,
    /// The files it was made from.
    pub texts: &'a [Text],
    /// Seed.
    pub seed: u64,
    /// Lathes tried.
    pub lathes: Option<u64>,
}

impl Report<'_> {
    /// The page.
    pub fn html(&self) -> String {
        let main = blocks(&self.whole().blocks, Read::OnScreen);
        html::Page {
            kind: "report",
            version: env!("CARGO_PKG_VERSION"),
            title: self.name,
            policy: None,
            look: LOOK,
            before: html::nothing(),
            main,
            after: html::nothing(),
        }
        .write()
    }

    fn whole(&self) -> Document {
        let mut page = self.document.clone();
        if !self.figures.is_empty() {
            page.push(Block::Heading("Figures".into()));
        }
        for figure in self.figures {
            let svg = figure.drawing.svg.clone();
            page.push(Block::Figure(tautway_words::Figure { svg }));
        }
        page.push(Block::Heading("Numbers of every way".into()));
        page.say(
            "",
            "A column for each way, best first; the unit of a number stands in its name.",
        );
        page.push(Block::Table(turned(self.ways)));
        page.push(Block::Heading("Raw data".into()));
        for raw in &self.raw {
            page.push(Block::Download(raw.clone()));
        }
        if let Some(more) = self.more {
            page.say("", more);
        }
        page.push(Block::Heading("What it was made from".into()));
        for text in self.texts {
            page.push(Block::Source(Source {
                name: text.file_name(),
                text: text.text.clone(),
            }));
        }
        let tried = self
            .lathes
            .map_or(String::new(), |lathes| format!(", {lathes} lathes tried"));
        page.say_as(
            Role::Note,
            "",
            format!(
                "tautway {}, seed {}{tried}. The same files, seed and version give the same page.",
                env!("CARGO_PKG_VERSION"),
                self.seed
            ),
        );
        page
    }
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

/// An answer's report.
///
/// # Errors
/// Never in practice: it is written to memory.
pub fn of(answer: &Answer<'_>, figures: &[Figure]) -> Result<String, Failure> {
    let mut raw = vec![Download {
        name: format!("{}.csv", answer.named),
        kind: "text/csv",
        text: table::of(answer)?,
    }];
    raw.extend(answer.spread.map(|spread| Download {
        name: "study.json".to_owned(),
        kind: "application/json",
        text: trials::record(answer, spread),
    }));
    let report = Report {
        name: &answer.read.scenario.job.name,
        document: &answer.document,
        figures,
        ways: &table::rows(answer),
        raw,
        more: answer.spread.map(|_| {
            "Every lathe tried, draw by draw: trials.csv and trials.jsonl, which --out writes \
             beside a page like this; study.json says all it takes to run them again."
        }),
        texts: &answer.read.texts,
        seed: answer.options.seed,
        lathes: answer.spread.map(|spread| spread.outlook.trials),
    };
    Ok(report.html())
}
