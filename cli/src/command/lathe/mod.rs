//! `tautway lathe`: the lathe's numbers, from shop tests and from finished jobs.

mod ask;
mod edit;
mod learn;
mod next;
mod update;

use tautway_sim::quantity::Units;
use tautway_sim::shop_tests::form;

use crate::arguments::{LatheCommand, WriteArgs};
use crate::command::own_files::BLANK;
use crate::failure::{Failure, Verdict};
use crate::output::file;
use crate::terminal;

/// Does what was typed.
///
/// # Errors
/// When the files are not right, or something can't be written.
pub fn lathe(command: LatheCommand) -> Result<Verdict, Failure> {
    match command {
        LatheCommand::Form => terminal::answer(&form::paper())?,
        LatheCommand::Blank { units, file } => blank(units.into(), &file)?,
        LatheCommand::Ask { units, file } => ask::ask(units.into(), &file)?,
        LatheCommand::Update {
            tests,
            from,
            job,
            file,
            format,
        } => update::update(&tests, &from, job.as_deref(), &file, format)?,
        LatheCommand::Next {
            job,
            choice,
            format,
        } => next::next(&job, choice, format)?,
        LatheCommand::Learn {
            job,
            gauged,
            draws,
            seed,
            file,
            format,
        } => learn::learn(&job, &gauged, draws as usize, seed, &file, format)?,
    }
    Ok(Verdict::Done)
}

fn blank(units: Units, args: &WriteArgs) -> Result<(), Failure> {
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
