//! `tautway sheet`: the setup sheet of one way.

use rayon::ThreadPool;
use tautway_sim::compare::{Advised, Way};
use tautway_sim::method::MethodWay;
use tautway_sim::quantity::Units;
use tautway_sim::scenario::Scenario;
use tautway_sim::sheet::{MethodSheet, Sheet};

use super::compare::{how_sure, weighed};
use super::predict::{chosen, first_of};
use crate::failure::{Failure, Verdict};
use crate::output::file::{self, Kind};
use crate::plan::{self, SheetFormat};
use crate::{terminal, texts, trials};
use tautway_paper::Print;
use tautway_screens::screen;
use tautway_screens::sheet::{self, Form, Paper};
use tautway_words::{Document, plain};

/// Share of the lathes between the ends of what is told of a way without the attachment, as on the
/// screen.
const COVERAGE: f64 = 0.95;

/// What is written, for the messages about it.
const KIND: Kind = Kind {
    what: "setup sheet",
    option: "--out",
    example: "sheet.pdf",
    is_ours: |text| sheet::is_sheet(text) || tautway_paper::is_ours(text, "sheet"),
};

/// Writes the sheet of the chosen way, or of the best.
///
/// # Errors
/// When the files are not right, the way can't be cut or may never be advised, or the sheet can't
/// be written.
pub fn sheet(args: &plan::Sheet) -> Result<Verdict, Failure> {
    let mut read = texts::job(&args.job)?.map_err(|refused| refused.show())?;
    texts::show(&read.warnings, &read.texts);
    if let Some(file) = &args.to.out {
        file::may_be_written(file, args.to.overwrite, &KIND)?;
    }
    if let Some(units) = args.to.units {
        read.scenario.job.units = units;
    }
    let scenario = &read.scenario;
    let units = scenario.job.units;
    let options = args.run.options;
    let pool = &trials::pool(args.run.threads)?;
    if let Some(method) = args.method {
        let mut way = pool.install(|| method.way(scenario, options));
        pool.install(|| way.weigh(scenario, options))
            .map_err(|fault| Failure::Input(fault.to_string()))?;
        let made = without(args, scenario, &way, pool)?;
        return made.unwrap_or_else(|| Err(Failure::Nothing(none_of(&way, units))));
    }
    let way = if args.choice.is_open() {
        let comparison = weighed(scenario, options, pool)?;
        // Another way that stands first has a sheet of its own.
        if let Some(Advised::Method(way)) = comparison.advised()
            && let Some(made) = without(args, scenario, way, pool)?
        {
            return made;
        }
        first_of(comparison)?
    } else {
        chosen(scenario, args.choice, options, pool)?
    };
    if !way.out.is_empty() || way.forbidden {
        return Err(Failure::Nothing(refusal(&way, units)));
    }
    let likely = how_sure(scenario, &way.setup, options, units, pool);
    let Some(record) = Sheet::new(scenario, &way, Some(&likely), options) else {
        return Err(Failure::Stopped("this way was not run".to_owned()));
    };
    let made = Made {
        version: record.version,
        job: &record.job,
        document: &|| sheet::document(&record),
        written: &|form| sheet::written(&record, form),
    };
    let met = way.verdict.is_some_and(|verdict| verdict.met());
    given(args, &made.bytes(args, units), met)
}

/// The sheet of another way than one set-up of the attachment; none where it has none.
fn without(
    args: &plan::Sheet,
    scenario: &Scenario,
    way: &MethodWay,
    pool: &ThreadPool,
) -> Result<Option<Result<Verdict, Failure>>, Failure> {
    let (options, units) = (args.run.options, scenario.job.units);
    let Some(record) = MethodSheet::new(scenario, way, options.seed) else {
        return Ok(None);
    };
    let ways = std::slice::from_ref(way);
    let tried = trials::of_methods(scenario, ways, options, u64::MAX, COVERAGE, pool)?;
    let taper = screen::taper_in_words(scenario, way, &tried, units);
    let made = Made {
        version: record.version,
        job: &record.job,
        document: &|| sheet::document_without(&record, &taper),
        written: &|form| sheet::written_without(&record, &taper, form),
    };
    // What isn't simulated promises nothing.
    let met = way.outcome.is_none() || way.met();
    Ok(Some(given(args, &made.bytes(args, units), met)))
}

/// Why another way has no sheet.
fn none_of(way: &MethodWay, units: Units) -> String {
    let because: Vec<String> = way.out.iter().map(|why| why.words(units)).collect();
    if because.is_empty() {
        return "no sheet: there is little to set\n  help: `tautway predict --method` tells of it"
            .to_owned();
    }
    format!(
        "no sheet: this way is out: {}\n  help: `tautway compare` shows the other ways",
        because.join("; ")
    )
}

/// Written to its file or to the screen.
fn given(args: &plan::Sheet, bytes: &[u8], met: bool) -> Result<Verdict, Failure> {
    match &args.to.out {
        Some(file) => {
            file::give(file, args.to.overwrite, bytes, &KIND)?;
        }
        None if args.format == SheetFormat::Pdf => terminal::answer_pdf(bytes)?,
        None => terminal::answer_bytes(bytes)?,
    }
    if !met {
        terminal::aside("warning: this way is not expected to meet the drawing");
    }
    Ok(if met { Verdict::Done } else { Verdict::NotMet })
}

/// Why there is no sheet.
fn refusal(way: &Way, units: Units) -> String {
    let because: Vec<String> = if way.out.is_empty() {
        let first = way.cautions.first();
        first
            .map(|c| format!("{}. {}", c.stop_if, c.advice))
            .into_iter()
            .collect()
    } else {
        way.out.iter().map(|reason| reason.words(units)).collect()
    };
    format!(
        "no sheet: this way must not be cut: {}\n  help: `tautway compare` shows the other ways; \
         choose one with --side, --feed or --rotation",
        because.join("; ")
    )
}

/// A sheet that can be written in every form.
struct Made<'a> {
    version: &'a str,
    job: &'a str,
    document: &'a dyn Fn() -> Document,
    written: &'a dyn Fn(Form) -> String,
}

impl Made<'_> {
    /// As asked for; paper that isn't goes with the units.
    fn bytes(&self, args: &plan::Sheet, units: Units) -> Vec<u8> {
        let paper = args.paper.unwrap_or(Paper::of(units));
        let form = match args.format {
            SheetFormat::Text => Form::Text,
            SheetFormat::Json => Form::Json,
            SheetFormat::Html => Form::Html(paper),
            SheetFormat::Pdf => {
                let print = Print {
                    kind: "sheet",
                    version: self.version,
                    title: &plain(self.job),
                    paper: paper.size(),
                };
                return print.one_page(&(self.document)());
            }
        };
        (self.written)(form).into_bytes()
    }
}
