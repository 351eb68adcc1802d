//! `tautway compare`: every way run and ranked.

use std::path::Path;

use rayon::ThreadPool;
use tautway_sim::compare::{Advised, Comparison, Way, compare_with};
use tautway_sim::cut::Options;
use tautway_sim::quantity::Units;
use tautway_sim::scenario::Scenario;
use tautway_sim::sensitivity::{Likely, sensitivity};
use tautway_sim::spread::Ending;
use tautway_sim::thread::LATHES;

use super::threaded::Threaded;
use crate::answer::found::Found;
use crate::answer::thread::Planned;
use crate::answer::{self, may_be_written};
use crate::failure::{Failure, Verdict};
use crate::interrupt;
use crate::output::folder::{self, Filling};
use crate::plan::{Compare, Format, Lathes, To, Wanted, Which};
use crate::progress::Progress;
use crate::texts::{self, Read};
use crate::trials;
use tautway_screens::screen;
use tautway_screens::spread::{MethodTried, Spread};

/// Compares every way and answers.
///
/// # Errors
/// When the files are not right, or the answer can't be written.
pub fn compare(plan: &Compare) -> Result<Verdict, Failure> {
    let (args, lathes) = (&plan.answer, &plan.lathes);
    may_be_written(args)?;
    let (read, units) = read(&plan.job, &args.to)?;
    let options = args.options;
    let pool = &trials::pool(lathes.threads)?;
    let mut comparison = match lathes.which {
        Which::None => run_all(&read.scenario, options, pool)?,
        _ => weighed(&read.scenario, options, pool)?,
    };
    if !lathes.is_part {
        helped(&mut comparison, &read.scenario, options, pool)?;
    }
    let first = comparison.advised().and_then(|first| first.expect());
    let brief = is_brief(args, lathes) && first.is_some();
    let ways = trials::ways(&comparison);
    let study = (&read.scenario, &ways[..], options);
    let out = args.to.out.as_deref();
    let tried = if brief {
        None
    } else {
        trials::run(study, lathes, args.detail, out, pool)?
    };
    let (found, rows) = tried.unzip();
    let rows = rows.flatten();
    let count = match &found {
        _ if brief => 0,
        found => lathes.without_attachment(found.as_ref().map(|found| found.outlook.trials)),
    };
    let methods = trials::of_methods(
        &read.scenario,
        &comparison.methods,
        options,
        count,
        lathes.coverage,
        pool,
    )?;
    let tried = Tried {
        spread: found.as_ref(),
        rows: rows.as_ref(),
        methods: &methods,
        brief,
        part: lathes.part(),
    };
    give(&read, units, args, &comparison, &tried, pool)
}

/// Whether the first screen is all that is asked for.
fn is_brief(args: &Wanted, lathes: &Lathes) -> bool {
    let usual = lathes.which == Which::Enough && !lathes.first_order;
    let on_screen = args.format == Format::Text && args.to.out.is_none() && args.report.is_none();
    usual && on_screen && !args.detail
}

/// What trials were made.
pub(super) struct Tried<'a> {
    /// With the attachment.
    pub(super) spread: Option<&'a Spread>,
    /// Every lathe of them, in the folder that is being written.
    pub(super) rows: Option<&'a Filling>,
    /// Without it.
    pub(super) methods: &'a [MethodTried],
    /// Whether the first screen is all that is asked for: it reads the plan played, nothing else.
    pub(super) brief: bool,
    /// The part of a whole that they are, from and how many.
    pub(super) part: Option<(u64, u64)>,
}

/// Answers a comparison.
///
/// # Errors
/// When the answer can't be written.
pub(super) fn give(
    read: &Read,
    units: Units,
    args: &Wanted,
    comparison: &Comparison,
    tried: &Tried<'_>,
    pool: &ThreadPool,
) -> Result<Verdict, Failure> {
    let Tried {
        spread,
        rows,
        methods,
        part,
        ..
    } = *tried;
    let options = args.options;
    let likely = comparison
        .best()
        .filter(|_| !tried.brief)
        .map(|best| how_sure(&read.scenario, &best.setup, options, units, pool));
    let mut document = screen::compare(
        &read.scenario,
        comparison,
        likely.as_ref(),
        spread,
        methods,
        units,
        args.detail,
    );
    // Of a part, the whole tells the thread once it is joined.
    let lathes = match spread {
        _ if tried.brief => LATHES,
        spread => spread.map_or(0, |spread| spread.outlook.trials.min(LATHES)),
    };
    let threaded = match part {
        Some(_) => None,
        None => Threaded::of(&read.scenario, options, lathes)?,
    };
    let told = threaded.as_ref();
    let told = told.map(|thread| thread.told(&read.scenario, units, args.detail));
    let thread = told
        .as_ref()
        .map(|told| Planned::below(read, told, args.detail));
    if let Some(thread) = &thread {
        document.blocks.extend(thread.document.blocks.clone());
    }
    let ways: Vec<_> = comparison.ways.iter().collect();
    let found = Found {
        read,
        first: comparison.advised().and_then(|first| first.expect()),
        ways: &ways,
        methods: &comparison.methods,
        methods_tried: methods,
        likely: likely.as_ref(),
        spread,
        rows,
        part,
        thread: thread.as_ref(),
        detail: args.detail,
        document,
        units,
        options,
        named: "comparison",
    };
    answer::give(&found, args.format, &args.to, args.report.as_ref())?;
    let stopped = spread.is_some_and(|spread| spread.ending == Ending::Stopped);
    if stopped || threaded.as_ref().is_some_and(Threaded::stopped) {
        return Err(Failure::Told);
    }
    let expected = match comparison.advised() {
        Some(Advised::Attachment(best)) => expected(best, spread),
        Some(Advised::Method(way)) => {
            let tried = methods.iter().find(|tried| tried.method == way.method);
            match (&way.expect, tried) {
                (Some(expect), _) => expect.met().met > 0.5,
                (None, Some(tried)) => tried.outlook.met.share > 0.5,
                (None, None) => way.met(),
            }
        }
        None => false,
    };
    Ok(if expected && threaded.is_none_or(|thread| thread.met()) {
        Verdict::Done
    } else {
        Verdict::NotMet
    })
}

/// Whether the drawing is expected to be met: on more than half of the lathes tried, and where
/// none were, with the middle of every range.
pub(super) fn expected(way: &Way, spread: Option<&Spread>) -> bool {
    if let Some(expect) = &way.expect {
        return expect.met().met > 0.5;
    }
    match spread.and_then(|spread| spread.outlook.ways.first()) {
        Some(outlook) => outlook.met.share > 0.5,
        None => way.verdict.is_some_and(|verdict| verdict.met()),
    }
}

/// Reads the job, shows its warnings, and refuses a bad `--folder` before anything is run.
pub(super) fn read(path: &Path, to: &To) -> Result<(Read, Units), Failure> {
    let mut read = texts::job(path)?.map_err(|refused| refused.show())?;
    texts::show(&read.warnings, &read.texts);
    if let Some(directory) = &to.out {
        folder::may_be_written(directory, to.overwrite)?;
    }
    if let Some(units) = to.units {
        read.scenario.job.units = units;
    }
    let units = read.scenario.job.units;
    Ok((read, units))
}

/// Runs every way.
pub(super) fn run_all(
    scenario: &Scenario,
    options: Options,
    pool: &ThreadPool,
) -> Result<Comparison, Failure> {
    let progress = Progress::start("running the ways");
    let told = |done: usize, all: usize| {
        interrupt::note(format!(
            "{done} of {all} ways were run; nothing was written"
        ));
        progress.tell(format!("running the ways, {done} of {all} done"));
        true
    };
    pool.install(|| compare_with(scenario, options, &told))
        .ok_or_else(|| Failure::Stopped("interrupted between two ways".to_owned()))
}

/// The same, each way's plan played on many lathes, and the ways ordered by what comes of that.
///
/// # Errors
/// As [`run_all`], and when a range makes no distribution.
pub(super) fn weighed(
    scenario: &Scenario,
    options: Options,
    pool: &ThreadPool,
) -> Result<Comparison, Failure> {
    let mut comparison = run_all(scenario, options, pool)?;
    let progress = Progress::start("playing the plan on many lathes");
    let told = |done: usize, all: usize| {
        interrupt::note(format!(
            "the plan of {done} of {all} ways was played; nothing was written"
        ));
        progress.tell(format!("playing the plan, {done} of {all} ways done"));
        true
    };
    pool.install(|| comparison.weigh(scenario, options, &told))
        .map_err(|fault| Failure::Input(fault.to_string()))?;
    Ok(comparison)
}

/// Weighs what may be done about the first way.
///
/// # Errors
/// When a range makes no distribution.
pub(super) fn helped(
    comparison: &mut Comparison,
    scenario: &Scenario,
    options: Options,
    pool: &ThreadPool,
) -> Result<(), Failure> {
    interrupt::note(
        "the plans were played, not yet what would help; nothing was written".to_owned(),
    );
    let _progress = Progress::start("weighing what would help");
    pool.install(|| comparison.look_for_help(scenario, options))
        .map_err(|fault| Failure::Input(fault.to_string()))
}

/// Moves what is uncertain for one way.
pub(super) fn how_sure(
    scenario: &Scenario,
    setup: &tautway_sim::setup::Setup,
    options: Options,
    units: Units,
    pool: &ThreadPool,
) -> Likely {
    interrupt::note("the ways were run, not yet what was assumed; nothing was written".to_owned());
    let _progress = Progress::start("trying what was assumed");
    pool.install(|| sensitivity(scenario, setup, options, units))
}
