//! An answer as one file that needs nothing else, HTML or PDF: words, figures, tables, files, seed.

use tautway_paper::Print;
use tautway_screens::sheet::Paper;
use tautway_words::html::{self, Read, blocks, opening};
use tautway_words::{Block, Document, Download, Role, Source, Table};

use super::given::{Answer, Figure};
use crate::bench::{self, Begins};
use crate::failure::Failure;
use crate::output::file::Kind;
use crate::table::{Row, written};

/// Wider than words are read, as it holds two pictures.
const BESIDE_A_BENCH: &str =
    "#two-cuts[open] { margin-inline: calc(50% - min(48vw, 42rem)); scroll-margin: .3rem; }\n";
const LOOK: &str = include_str!("report.css");

/// What is written, for the messages about it.
pub const KIND: Kind = Kind {
    what: "report",
    option: "--report",
    example: "report.html",
    is_ours: |text| text.contains(&opening("report")) || tautway_paper::is_ours(text, "report"),
};

/// The page, to be printed on this paper, or on what the printer has.
///
/// # Errors
/// Never in practice: its tables are written to memory.
pub fn of(
    answer: &dyn Answer,
    figures: &[Figure],
    paper: Option<Paper>,
) -> Result<String, Failure> {
    let bench = answer.bench();
    let beside = bench.as_ref().map_or_else(String::new, |_| {
        format!("{BESIDE_A_BENCH}{}", bench::letters())
    });
    let page = html::Page {
        kind: "report",
        version: env!("CARGO_PKG_VERSION"),
        title: answer.about(),
        policy: None,
        look: &format!("{LOOK}{beside}{}", paper.map_or("", Paper::rule)),
        before: html::nothing(),
        main: maud::html! {
            (blocks(&drawn(answer, figures).blocks, Read::OnScreen))
            @if bench.is_some() { (folded()) }
            (blocks(&rest(answer)?.blocks, Read::OnScreen))
        },
        after: bench.as_ref().map_or_else(html::nothing, bench::part),
    };
    Ok(page.write())
}

/// The same on this paper, or on what goes with the units: without the bench, its raw data attached to the file.
///
/// # Errors
/// Never in practice: its tables are written to memory.
pub fn pdf(
    answer: &dyn Answer,
    figures: &[Figure],
    paper: Option<Paper>,
) -> Result<Vec<u8>, Failure> {
    let mut whole = drawn(answer, figures);
    whole.blocks.extend(rest(answer)?.blocks);
    let print = Print {
        kind: "report",
        version: env!("CARGO_PKG_VERSION"),
        title: answer.about(),
        paper: paper.unwrap_or(Paper::of(answer.units())).size(),
    };
    Ok(print.pages(&whole))
}

/// The bench's fold.
fn folded() -> maud::Markup {
    maud::html! {
        details id="two-cuts" {
            summary { "Both cuts side by side, to be dragged and turned" }
            (bench::place(Begins::Opened, maud::html! {
                p { "This needs scripts; the figures above stand still." }
            }))
        }
    }
}

/// The words and the figures.
fn drawn(answer: &dyn Answer, figures: &[Figure]) -> Document {
    let mut page = answer.document().clone();
    if !figures.is_empty() {
        page.push(Block::Heading("Figures".into()));
    }
    for figure in figures {
        let svg = figure.drawing.svg.clone();
        page.push(Block::Figure(tautway_words::Figure { svg }));
    }
    page
}

/// Numbers, raw data and the files it came from.
fn rest(answer: &dyn Answer) -> Result<Document, Failure> {
    let mut page = Document::new();
    let mut downloads = Vec::new();
    for table in answer.tables() {
        page.push(Block::Heading(table.title.into()));
        page.say("", table.about);
        page.push(Block::Table(turned(&table.rows)));
        downloads.push(Download {
            name: format!("{}.csv", table.name),
            kind: "text/csv",
            text: written(table.rows.into_iter())?,
        });
    }
    let (name, record, beside) = match answer.again() {
        Some((name, record, beside)) => (name.to_owned(), record, beside),
        None => (format!("{}.json", answer.named()), answer.json(), ""),
    };
    downloads.push(Download {
        name,
        kind: "application/json",
        text: record,
    });
    page.push(Block::Heading("Raw data".into()));
    page.blocks
        .extend(downloads.into_iter().map(Block::Download));
    if !beside.is_empty() {
        page.say("", beside);
    }
    page.push(Block::Heading("What it was made from".into()));
    for text in answer.texts() {
        page.push(Block::Source(Source {
            name: text.file_name(),
            text: text.text.clone(),
        }));
    }
    page.say_as(Role::Note, "", made_by(answer));
    Ok(page)
}

/// What the same page hangs on.
fn made_by(answer: &dyn Answer) -> String {
    let version = env!("CARGO_PKG_VERSION");
    let Some(seed) = answer.luck().seed else {
        return format!("tautway {version}. The same files and version give the same page.");
    };
    let lathes = answer.luck().lathes;
    let tried = lathes.map_or(String::new(), |lathes| format!(", {lathes} lathes tried"));
    format!(
        "tautway {version}, seed {seed}{tried}. The same files, seed and version give the same page."
    )
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
