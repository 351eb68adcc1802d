//! An answer in every form: text, JSON, CSV, and the directory with all of them and the figures.

mod found;
mod figures;
pub mod report;
pub mod json;
pub mod schema;
mod table;
pub mod modify;
pub mod preload;
pub mod rehearsal;
pub mod thread;
pub mod trials;

use tautway_words::Document;
use tautway_words::text::{self, Style};

use crate::plan::{Format, Wanted};
pub use found::Answer;

use crate::failure::Failure;
use crate::interrupt;
use crate::output::file;
use crate::output::folder::{self, Sheet};
use crate::progress::Progress;
use crate::terminal;
use figures::Figure;
use report::{Contents, Shown};
use tautway_words::Download;

/// A document as the text of a file.
pub fn of_file(document: &Document) -> String {
    text::write(document, Style::FILE)
}

impl Answer<'_> {
    /// Gives the answer as asked for: the directory first, so that nothing is told that then
    /// isn't there.
    ///
    /// # Errors
    /// When something can't be written.
    pub fn give(&self, args: &Wanted) -> Result<(), Failure> {
        if let Some(directory) = &args.to.out {
            let sheets = self.sheets(args.detail)?;
            let begun = self.spread.and_then(|spread| spread.rows.as_ref());
            folder::give_begun(directory, args.to.overwrite, &sheets, begun)?;
        }
        if let Some(file) = &args.report {
            interrupt::note("everything was run; no report was written".to_owned());
            let figures = figures::of(self, &Progress::start("drawing"));
            let page = self.report(&figures)?;
            file::write(file, args.to.overwrite, &page, &report::KIND)?;
            terminal::aside(&format!("wrote the report {}", file.display()));
        }
        match args.format {
            Format::Text => terminal::answer(&terminal::set(&self.document)),
            Format::Json => terminal::answer(&json::of(self, args.detail)),
            Format::Csv => terminal::answer(&table::of(self)?),
        }
    }

    /// The report as a page.
    fn report(&self, figures: &[Figure]) -> Result<String, Failure> {
        let mut downloads = vec![Download {
            name: format!("{}.csv", self.named),
            kind: "text/csv",
            text: table::of(self)?,
        }];
        downloads.extend(self.spread.map(|spread| Download {
            name: "study.json".to_owned(),
            kind: "application/json",
            text: trials::record(self, spread),
        }));
        Ok(report::of(Contents {
            name: &self.read.scenario.job.name,
            document: &self.document,
            figures,
            tables: vec![Shown {
                title: "Numbers of every way",
                about: "A column for each way, best first; the unit of a number stands in its name.",
                rows: table::rows(self),
            }],
            downloads,
            elsewhere: self.spread.map(|_| {
                "Every lathe tried, draw by draw: trials.csv and trials.jsonl, which --out writes \
                 beside a page like this; study.json says all it takes to run them again."
            }),
            texts: &self.read.texts,
            seed: self.options.seed,
            tried: self.spread.map(|spread| spread.outlook.trials),
        }))
    }

    fn sheets(&self, detail: bool) -> Result<Vec<Sheet>, Failure> {
        interrupt::note("everything was run; nothing was written".to_owned());
        let progress = Progress::start("drawing");
        let mut sheets = vec![
            Sheet::new("report.txt", of_file(&self.document)),
            Sheet::new(format!("{}.json", self.named), json::of(self, detail)),
            Sheet::new(format!("{}.csv", self.named), table::of(self)?),
        ];
        if let Some(spread) = self.spread {
            // Every trial stands there already, as table and as lines.
            sheets.push(Sheet::new("study.json", trials::record(self, spread)));
        }
        let figures = figures::of(self, &progress);
        sheets.push(Sheet::new("report.html", self.report(&figures)?));
        for figure in figures {
            let png = figure.drawing.png(figures::WIDTH).map_err(|why| {
                Failure::Stopped(format!("can't draw {}.png: {why}", figure.name))
            })?;
            sheets.push(Sheet::new(
                format!("{}.svg", figure.name),
                figure.drawing.svg,
            ));
            sheets.push(Sheet::new(format!("{}.png", figure.name), png));
        }
        Ok(sheets)
    }
}
