//! `tautway predict --method`: one way without the attachment.

use super::compare::read;
use crate::answer::found::Found;
use crate::answer::{give, may_be_written};
use crate::failure::{Failure, Verdict};
use crate::plan::WithoutAttachment;
use crate::progress::Progress;
use crate::trials;
use tautway_screens::screen;

/// Predicts a way without the attachment and answers.
///
/// # Errors
/// When the files are not right, or the answer can't be written.
pub fn method(plan: &WithoutAttachment) -> Result<Verdict, Failure> {
    let (args, lathes) = (&plan.answer, &plan.lathes);
    may_be_written(args)?;
    let (read, units) = read(&plan.job, &args.to)?;
    let options = args.options;
    let pool = &trials::pool(lathes.threads)?;
    let way = {
        let _progress = Progress::start("running the way");
        pool.install(|| plan.method.way(&read.scenario, options))
    };
    let mut ways = [way];
    let count = lathes.without_attachment(None);
    let tried = trials::of_methods(&read.scenario, &ways, options, count, lathes.coverage, pool)?;
    {
        let _progress = Progress::start("playing the plan on many lathes");
        pool.install(|| ways[0].weigh(&read.scenario, options))
            .map_err(|fault| Failure::Input(fault.to_string()))?;
    }
    let [way] = &ways;
    let document = screen::predict_method(&read.scenario, way, &tried, units);
    let met = match (&way.expect, tried.first()) {
        (Some(expect), _) => expect.met().met > 0.5,
        (None, Some(tried)) => tried.outlook.met.share > 0.5,
        (None, None) => way.met(),
    };
    let answer = Found {
        read: &read,
        first: way.expect.as_ref(),
        ways: &[],
        methods: &ways,
        methods_tried: &tried,
        likely: way.likely.as_ref(),
        spread: None,
        rows: None,
        part: None,
        thread: None,
        detail: args.detail,
        document,
        units,
        options,
        named: "prediction",
    };
    give(&answer, args.format, &args.to, args.report.as_ref())?;
    Ok(if met { Verdict::Done } else { Verdict::NotMet })
}
