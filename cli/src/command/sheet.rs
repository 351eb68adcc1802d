//! `tautway sheet`: the setup sheet of one way.

use tautway_sim::compare::{Advised, Way};
use tautway_sim::quantity::Units;
use tautway_sim::sheet::{MethodSheet, Sheet};

use super::compare::{how_sure, weighed};
use super::predict::{chosen, first_of};
use crate::failure::{Failure, Verdict};
use crate::output::file::{self, Kind};
use crate::plan::{self, SheetFormat};
use crate::{terminal, texts, trials};
use tautway_screens::screen;
use tautway_screens::sheet::{self, Form, Paper};

/// Share of the lathes between the ends of what is told of a way without the attachment, as on the
/// screen.
const COVERAGE: f64 = 0.95;

/// What is written, for the messages about it.
const KIND: Kind = Kind {
    what: "setup sheet",
    option: "--out",
    example: "sheet.html",
    is_ours: sheet::is_sheet,
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
    let way = if args.choice.is_open() {
        let comparison = weighed(scenario, options, pool)?;
        // A way without the attachment that stands first has a sheet of its own.
        if let Some(Advised::Method(way)) = comparison.advised()
            && let Some(record) = MethodSheet::new(scenario, way, options.seed)
        {
            let ways = std::slice::from_ref(way);
            let tried = trials::of_methods(scenario, ways, options, u64::MAX, COVERAGE, pool)?;
            let taper = screen::taper_in_words(scenario, way, &tried, units);
            let text = sheet::written_without(&record, &taper, form(args, units));
            return given(args, &text, way.met());
        }
        first_of(comparison)?
    } else {
        chosen(scenario, args.choice, options, pool)?
    };
    if !way.out.is_empty() || way.forbidden {
        terminal::aside(&refusal(&way, units));
        return Ok(Verdict::NotMet);
    }
    let likely = how_sure(scenario, &way.setup, options, units, pool);
    let Some(record) = Sheet::new(scenario, &way, Some(&likely), options) else {
        return Err(Failure::Stopped("this way was not run".to_owned()));
    };
    let text = sheet::written(&record, form(args, units));
    let met = way.verdict.is_some_and(|verdict| verdict.met());
    given(args, &text, met)
}

/// Written to its file or to the screen.
fn given(args: &plan::Sheet, text: &str, met: bool) -> Result<Verdict, Failure> {
    match &args.to.out {
        Some(file) => {
            file::give(file, args.to.overwrite, text, &KIND)?;
        }
        None => terminal::answer(text)?,
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

/// As asked for; paper that isn't goes with the units.
fn form(args: &plan::Sheet, units: Units) -> Form {
    match args.format {
        SheetFormat::Text => Form::Text,
        SheetFormat::Json => Form::Json,
        SheetFormat::Html => Form::Html(match args.paper {
            Some(plan::Paper::Letter) => Paper::Letter,
            Some(plan::Paper::A4) => Paper::A4,
            None => Paper::of(units),
        }),
    }
}
