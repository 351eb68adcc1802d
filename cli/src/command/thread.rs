//! `tautway thread`: a taper thread, pass by pass, every way.

use tautway_sim::spread::PropagationFault;
use tautway_sim::thread::{LikelyFault, ThreadLikely, ThreadWay, likely, moves, threading};

use super::compare::read;
use crate::answer::thread::Planned;
use crate::answer::{give, may_be_written};
use crate::failure::{Failure, Verdict};
use crate::interrupt;
use crate::plan::Thread;
use crate::progress::Progress;
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
    let Some(found) = threading(&read.scenario, options) else {
        return Err(no_thread(&read));
    };
    let best = found.best();
    let tried = match best {
        Some(best) if args.trials > 0 => Some(tried(&read, best, args)?),
        _ => None,
    };
    let matters = best.map_or(Vec::new(), |best| {
        let _progress = Progress::start("trying what was assumed");
        moves(&read.scenario, best, options)
    });
    let told = screen::ThreadTold {
        scenario: &read.scenario,
        found: &found,
        likely: tried.as_ref(),
        moves: &matters,
        units,
        detail: args.answer.detail,
    };
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
        args.answer.report.as_deref(),
    )?;
    if tried.as_ref().is_some_and(|tried| tried.stopped) {
        return Err(Failure::Told);
    }
    let met = best
        .and_then(|best| best.run.as_ref())
        .is_some_and(|run| run.verdict.met() && tried.as_ref().is_none_or(|tried| tried.met > 0.5));
    Ok(if met { Verdict::Done } else { Verdict::NotMet })
}

/// The way on many lathes.
fn tried(read: &Read, best: &ThreadWay, args: &Thread) -> Result<ThreadLikely, Failure> {
    interrupt::note("the ways were cut, not yet the lathes tried; nothing was written".to_owned());
    let progress = Progress::start("trying lathes");
    let _gently = interrupt::gently();
    let mut go_on = |done: u64| {
        progress.tell(format!("trying lathes, {done} of {}", args.trials));
        !interrupt::asked()
    };
    likely(
        &read.scenario,
        best,
        args.answer.options,
        args.trials,
        &mut go_on,
    )
    .map_err(|fault| match fault {
        LikelyFault::Range(_) | LikelyFault::Trials(PropagationFault::Coverage { .. }) => {
            Failure::Input(fault.to_string())
        }
        LikelyFault::Trials(_) => Failure::Stopped(fault.to_string()),
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
