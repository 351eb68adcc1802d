//! `tautway lathe next`: the test that would most narrow the answer for a job.

use std::path::Path;

use serde_json::json;
use tautway_sim::cut::Options;
use tautway_sim::next_test::next_test;

use crate::command::predict::chosen;
use crate::failure::Failure;
use crate::plan::{CheckFormat, Choice};
use crate::progress::Progress;
use crate::{screen, terminal, texts, trials};

/// Runs the job as each test would leave it, and tells.
///
/// # Errors
/// When the files are not right.
pub fn next(path: &Path, choice: Choice, format: CheckFormat) -> Result<(), Failure> {
    let read = texts::job(path)?.map_err(|refused| refused.show())?;
    texts::show(&read.warnings, &read.texts);
    if !read.scenario.lathe.attachment.fitted {
        return Err(Failure::Input(
            "this lathe has no taper attachment, and the shop tests are of one\n  help: `tautway \
             compare` tells what the ways without it hang on"
                .to_owned(),
        ));
    }
    let options = Options::default();
    let units = read.scenario.lathe.units;
    let way = chosen(&read.scenario, choice, options, &trials::pool(None)?)?;
    let worths = {
        let progress = Progress::start("trying what is uncertain");
        next_test(&read.scenario, &way.setup, options, units, |test| {
            progress.tell(format!("trying {}", test.name()));
        })
    };
    terminal::answer(&match format {
        CheckFormat::Text => terminal::set(&screen::next(&read.scenario, &way, &worths, units)),
        CheckFormat::Json => {
            let value = json!({
                "version": env!("CARGO_PKG_VERSION"),
                "units": "SI: m; tapers as change of diameter over length",
                "setup": way.setup,
                "expect": way.expect,
                "worths": worths,
            });
            format!("{value:#}\n")
        }
    })
}
