//! `tautway lathe next`: the test that saves most on a job.

use std::path::Path;

use schemars::JsonSchema;
use serde::Serialize;
use tautway_sim::expect::Expect;
use tautway_sim::quantity::Units;
use tautway_sim::setup::Setup;
use tautway_sim::worth::Worth;

use crate::answer::{Record, answered};
use crate::command::predict::chosen;
use crate::failure::Failure;
use crate::plan::{CheckFormat, Choice, Run};
use crate::progress::Progress;
use crate::{terminal, texts, trials};
use tautway_screens::screen;

/// The next test worth doing.
#[derive(Serialize, JsonSchema)]
pub struct NextTest<'a> {
    /// The way that the job is cut.
    setup: Setup,
    /// What to expect of it.
    expect: &'a Option<Expect>,
    /// What each test saves; none where there is nothing to expect.
    worth: &'a Option<Worth>,
}

impl Record for NextTest<'_> {
    const UNITS: &'static str = "SI: m; tapers as change of diameter over length; times in minutes";
}

/// Weighs what each test would tell, and tells.
///
/// # Errors
/// When the files are not right.
pub fn next(
    path: &Path,
    choice: Choice,
    run: Run,
    units: Option<Units>,
    format: CheckFormat,
) -> Result<(), Failure> {
    let mut read = texts::job(path)?.map_err(|refused| refused.show())?;
    texts::show(&read.warnings, &read.texts);
    if !read.scenario.lathe.attachment.fitted {
        return Err(Failure::Input(
            "this lathe has no taper attachment, and the shop tests are of one\n  help: `tautway \
             compare` tells what the ways without it hang on"
                .to_owned(),
        ));
    }
    if let Some(units) = units {
        read.scenario.job.units = units;
    }
    let options = run.options;
    let pool = &trials::pool(run.threads)?;
    let mut way = chosen(&read.scenario, choice, options, pool)?;
    {
        let _progress = Progress::start("weighing what each test would tell");
        pool.install(|| way.look_for_help(&read.scenario, options))
            .map_err(|fault| Failure::Input(fault.to_string()))?;
    }
    terminal::answer(&match format {
        CheckFormat::Text => terminal::set(&screen::next(&read.scenario, &way)),
        CheckFormat::Json => answered(NextTest {
            setup: way.setup,
            expect: &way.expect,
            worth: &way.worth,
        }),
    })
}
