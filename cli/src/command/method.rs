//! `tautway predict --method`: one way without the attachment.

use std::path::Path;

use tautway_sim::method::{Method, methods};

use super::compare::{options, read};
use crate::answer::{Answer, report};
use crate::arguments::{AnswerArgs, SpreadArgs, Trials};
use crate::failure::{Failure, Verdict};
use crate::progress::Progress;
use crate::screen;
use crate::trials;

/// Predicts a way without the attachment and answers.
///
/// # Errors
/// When the files are not right, or the answer can't be written.
pub fn method(
    path: &Path,
    method: Method,
    args: &AnswerArgs,
    spread: &SpreadArgs,
) -> Result<Verdict, Failure> {
    report::may_be_written(args)?;
    let (read, units) = read(path, &args.to)?;
    let options = options(args);
    let pool = &trials::pool(spread.threads)?;
    let mut ways = {
        let _progress = Progress::start("running the way");
        pool.install(|| methods(&read.scenario, options))
    };
    ways.retain(|way| way.method == method);
    let count = match spread.trials {
        Trials::Auto => u64::MAX,
        Trials::Number(count) => count,
    };
    let tried = trials::of_methods(&read.scenario, &ways, options, count, spread.coverage, pool)?;
    let Some(way) = ways.first() else {
        return Err(Failure::Stopped("there is no such way".to_owned()));
    };
    let document = screen::predict_method(&read.scenario, way, &tried, units);
    let met = match tried.first() {
        Some(tried) => tried.outlook.met.share > 0.5,
        None => way.met(),
    };
    Answer {
        read: &read,
        ways: &[],
        methods: &ways,
        methods_tried: &tried,
        likely: way.likely.as_ref(),
        spread: None,
        part: None,
        detail: args.detail,
        document,
        units,
        options,
        named: "prediction",
    }
    .give(args)?;
    Ok(if met { Verdict::Done } else { Verdict::NotMet })
}
