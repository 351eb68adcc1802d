//! `tautway lathe`: the lathe's numbers, from shop tests and from finished jobs.

mod ask;
mod edit;
mod learn;
mod next;
mod update;

use tautway_sim::quantity::Units;
use tautway_sim::shop_tests::form;

use crate::command::own_files::BLANK;
use crate::failure::{Failure, Verdict};
use crate::output::file;
use crate::plan::{Lathe, Write};
use crate::terminal;

/// Does what was typed.
///
/// # Errors
/// When the files are not right, or something can't be written.
pub fn lathe(plan: Lathe) -> Result<Verdict, Failure> {
    match plan {
        Lathe::Form => terminal::answer(&form::paper())?,
        Lathe::Blank { units, file } => blank(units, &file)?,
        Lathe::Ask { units, file } => ask::ask(units, &file)?,
        Lathe::Update {
            tests,
            from,
            job,
            run,
            file,
            format,
        } => update::update(&tests, &from, job.as_deref(), run, &file, format)?,
        Lathe::Next {
            job,
            choice,
            run,
            units,
            format,
        } => next::next(&job, choice, run, units, format)?,
        Lathe::Learn {
            job,
            gauged,
            draws,
            seed,
            threads,
            detail,
            file,
            format,
        } => {
            let how = learn::How {
                draws,
                seed,
                threads,
                detail,
                format,
            };
            learn::learn(&job, &gauged, &how, &file)?;
        }
    }
    Ok(Verdict::Done)
}

fn blank(units: Units, args: &Write) -> Result<(), Failure> {
    let text = form::blank(units);
    match &args.write {
        None => terminal::answer(&text),
        Some(path) => {
            file::write(path, args.overwrite, &text, &BLANK)?;
            terminal::answer(&format!(
                "Wrote {}. Fill it in, then: tautway lathe update {} --from worn\n",
                path.display(),
                path.display()
            ))
        }
    }
}
