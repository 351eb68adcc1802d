//! `tautway lathe`: the lathe's numbers, from shop tests and from finished jobs.

mod ask;
mod edit;
mod learn;
mod next;
mod update;

pub use learn::Learnt;
pub use next::NextTest;
pub use update::Updated;

use tautway_sim::shop_tests::form;

use crate::failure::{Failure, Verdict};
use crate::plan::Lathe;
use crate::terminal;

/// Does what was typed.
///
/// # Errors
/// When the files are not right, or something can't be written.
pub fn lathe(plan: Lathe) -> Result<Verdict, Failure> {
    match plan {
        Lathe::Form => terminal::answer(&form::paper())?,
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
            learn::learn(job.as_deref(), &gauged, &how, &file)?;
        }
    }
    Ok(Verdict::Done)
}
