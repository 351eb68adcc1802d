//! `tautway lathe learn`: what a finished job says of the lathe.

use std::path::Path;

use serde_json::json;
use tautway_sim::cut::Options;
use tautway_sim::learn::{Refused, learn as weigh};
use tautway_sim::scenario::decode_finished;

use super::edit::{Change, put};
use crate::command::own_files::LATHE;
use crate::failure::Failure;
use crate::output::file;
use crate::plan::{CheckFormat, Write};
use crate::progress::Progress;
use crate::texts::{self, Text};
use crate::{screen, terminal};

/// Draws, weighs, tells before and after, and writes where that was asked.
///
/// # Errors
/// When the files are not right, the draws can't tell, or the file can't be written.
pub fn learn(
    job: &Path,
    gauged: &Path,
    draws: usize,
    seed: u64,
    args: &Write,
    format: CheckFormat,
) -> Result<(), Failure> {
    let read = texts::job(job)?.map_err(|refused| refused.show())?;
    texts::show(&read.warnings, &read.texts);
    let text = Text::read(gauged)?;
    let (piece, warnings) = decode_finished(text.source()).map_err(|found| {
        texts::show(&found, std::slice::from_ref(&text));
        Failure::Shown
    })?;
    texts::show(&warnings, std::slice::from_ref(&text));
    if let Some(path) = &args.write {
        file::may_be_written(path, args.overwrite, &LATHE)?;
    }
    let gauged = piece.gauged(&read.scenario);
    let setup = gauged
        .way(&read.scenario)
        .ok_or_else(|| Failure::Input("no such way can cut this work".to_owned()))?;
    let options = Options {
        seed,
        ..Options::default()
    };
    let learned = {
        let progress = Progress::start("drawing lathes");
        weigh(&read.scenario, &setup, &gauged, options, draws, |made| {
            progress.tell(format!("drawing lathes, {made} of {draws}"));
        })
    }
    .map_err(|refused| Failure::Stopped(why(refused)))?;
    let lathe = &read.texts[1];
    let units = read.scenario.lathe.units;
    let changes: Vec<Change> = learned
        .numbers
        .iter()
        .filter(|number| number.changed && number.of_lathe)
        .map(|number| Change {
            key: number.key,
            dimension: number.dimension,
            range: number.after,
            from: Some(also(
                read.scenario.lathe.measured_by(number.key),
                &format!(
                    "finished job \"{}\"",
                    read.scenario.job.name.replace('\n', " ")
                ),
            )),
        })
        .collect();
    let (written, _) = put(lathe, units, &changes, None)?;
    if let Some(path) = &args.write {
        file::write(path, args.overwrite, &written, &LATHE)?;
    }
    terminal::answer(&match format {
        CheckFormat::Text => terminal::set(&screen::learned(
            &learned,
            &lathe.name,
            units,
            args.write.as_deref(),
        )),
        CheckFormat::Json => {
            let value = json!({
                "version": env!("CARGO_PKG_VERSION"),
                "seed": seed,
                "units": "SI: m, N, N/m, Pa; tapers as change of diameter over length",
                "setup": setup,
                "gauged": gauged,
                "learned": learned,
                "written": args.write,
            });
            format!("{value:#}\n")
        }
    })
}

/// What gave a number before, and this.
fn also(before: Option<&str>, this: &str) -> String {
    match before {
        Some(before) if before.split("; ").any(|one| one == this) => before.to_owned(),
        Some(before) => format!("{before}; {this}"),
        None => this.to_owned(),
    }
}

fn why(refused: Refused) -> String {
    match refused {
        Refused::NothingInDoubt => "every number is given without a range: there is nothing to \
                                    narrow\n  help: give ranges, such as \"0.06 in +- 0.01 in\""
            .to_owned(),
        Refused::OutOfReach { misses } => format!(
            "no lathe within the ranges gives what was gauged: the nearest misses by {misses:.1} \
             standard deviations\n  help: check the readings and the way it was cut; else a range \
             in the lathe or job file is wrong"
        ),
        Refused::TooFew { effective, draws } => format!(
            "too few draws agree with what was gauged: {draws} are worth {effective:.0}, and \
             fewer than {:.0} say nothing of a range\n  help: make more with --draws",
            tautway_sim::learn::LEAST_EFFECTIVE
        ),
    }
}
