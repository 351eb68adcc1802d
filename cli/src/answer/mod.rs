//! An answer in every form: text, JSON, CSV, and the directory with all of them and the figures.

mod found;
mod figures;
pub mod json;
pub mod schema;
mod table;
pub mod modify;
pub mod preload;
pub mod rehearsal;
pub mod thread;
pub mod trials;
pub mod report;

use crate::arguments::{AnswerArgs, Format};
pub use found::Answer;

use crate::failure::Failure;
use crate::interrupt;
use crate::output::file;
use crate::output::folder::{self, Sheet};
use crate::progress::Progress;
use crate::terminal;

impl Answer<'_> {
    /// Gives the answer as asked for: the directory first, so that nothing is told that then
    /// isn't there.
    ///
    /// # Errors
    /// When something can't be written.
    pub fn give(&self, args: &AnswerArgs) -> Result<(), Failure> {
        if let Some(directory) = &args.to.out {
            let sheets = self.sheets(args.detail)?;
            let begun = self.spread.and_then(|spread| spread.rows.as_ref());
            folder::give_begun(directory, args.to.overwrite, &sheets, begun)?;
        }
        if let Some(file) = &args.report {
            interrupt::note("everything was run; no report was written".to_owned());
            let figures = figures::of(self, &Progress::start("drawing"));
            let page = report::of(self, &figures)?;
            file::write(file, args.to.overwrite, &page, &report::KIND)?;
            terminal::aside(&format!("wrote the report {}", file.display()));
        }
        match args.format {
            Format::Text => terminal::answer(&self.text),
            Format::Json => terminal::answer(&json::of(self, args.detail)),
            Format::Csv => terminal::answer(&table::of(self)?),
        }
    }

    fn sheets(&self, detail: bool) -> Result<Vec<Sheet>, Failure> {
        interrupt::note("everything was run; nothing was written".to_owned());
        let progress = Progress::start("drawing");
        let mut sheets = vec![
            Sheet::new("report.txt", self.text.clone()),
            Sheet::new(format!("{}.json", self.named), json::of(self, detail)),
            Sheet::new(format!("{}.csv", self.named), table::of(self)?),
        ];
        if let Some(spread) = self.spread {
            // Every trial stands there already, as table and as lines.
            sheets.push(Sheet::new("study.json", trials::record(self, spread)));
        }
        let figures = figures::of(self, &progress);
        sheets.push(Sheet::new("report.html", report::of(self, &figures)?));
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
