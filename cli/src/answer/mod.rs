//! An answer in every form: text, JSON, CSV, and the directory with all of them and the figures.

mod figures;
pub mod file;
pub mod folder;
pub mod json;
pub mod schema;
mod table;
pub mod modify;
pub mod preload;
pub mod rehearsal;
pub mod thread;
pub mod trials;
pub mod report;

use tautway_sim::compare::Way;
use tautway_sim::cut::Options;
use tautway_sim::mattered::Likely;
use tautway_sim::method::MethodWay;
use tautway_sim::quantity::Units;

use crate::arguments::{AnswerArgs, Format};
use crate::failure::Failure;
use crate::interrupt;
use crate::progress::Progress;
use crate::terminal;
use crate::texts::Read;
use crate::trials::{MethodTried, Spread};
use folder::Sheet;

/// What was found, with all that its forms need.
pub struct Answer<'a> {
    /// Job and lathe.
    pub read: &'a Read,
    /// The ways, best first; one way of a prediction.
    pub ways: &'a [&'a Way],
    /// The ways without the attachment, best first; none in a prediction.
    pub methods: &'a [MethodWay],
    /// Those on many lathes.
    pub methods_tried: &'a [MethodTried],
    /// How sure the first way is, one number at a time.
    pub likely: Option<&'a Likely>,
    /// Many lathes like this one.
    pub spread: Option<&'a Spread>,
    /// The part of the trials that this is, from and how many; none of a whole.
    pub part: Option<(u64, u64)>,
    /// The words of the screen.
    pub text: String,
    /// The person's units.
    pub units: Units,
    /// How finely and with which luck it was run.
    pub options: Options,
    /// Whether more was to be told.
    pub detail: bool,
    /// What its files are called.
    pub named: &'static str,
}

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
            file::write(file, &report::of(self, &figures)?, args.to.overwrite)?;
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
