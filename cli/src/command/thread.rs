//! `tautway thread`: what `compare` and `predict` tell of a job's thread, by itself.

use super::compare::read;
use super::threaded::Threaded;
use crate::answer::thread::Planned;
use crate::answer::{give, may_be_written};
use crate::failure::{Failure, Verdict};
use crate::plan::Thread;
use crate::texts::Read;
use tautway_screens::screen;

/// Plans the thread and answers.
///
/// # Errors
/// When the files are not right, tell of no thread, or the answer can't be written.
pub fn thread(args: &Thread) -> Result<Verdict, Failure> {
    may_be_written(&args.answer)?;
    let (read, units) = read(&args.job, &args.answer.to)?;
    let options = args.answer.options;
    let Some(threaded) = Threaded::of(&read.scenario, options, args.trials)? else {
        return Err(no_thread(&read));
    };
    let told = threaded.told(&read.scenario, units, args.answer.detail);
    let document = screen::thread(&told);
    let found = Planned {
        read: &read,
        told: &told,
        document,
    };
    give(
        &found,
        args.answer.format,
        &args.answer.to,
        args.answer.report.as_ref(),
    )?;
    if threaded.stopped() {
        return Err(Failure::Told);
    }
    Ok(match threaded.met() {
        true => Verdict::Done,
        false => Verdict::NotMet,
    })
}

fn no_thread(read: &Read) -> Failure {
    let job = &read.texts[0].name;
    let table = if read.scenario.job.thread.is_some() {
        "its table [thread] tells the hand alone"
    } else {
        "it has no table [thread]"
    };
    Failure::Input(format!(
        "{job}: there is no thread to plan: {table}\n  help: add to [thread] lines like these: form \
         = \"taper pipe\", threads_per_inch = 14 (all keys: tautway thread --help)"
    ))
}
