//! `tautway readings`: what carriage and slide readings tell.

use tautway_figures::readings as drawn;
use tautway_sim::readings::{CAUTIONS, Insufficient, Verdict as Tolerance, evaluate};
use tautway_sim::scenario::{Source, decode_readings};

use crate::answer::json;
use crate::answer::of_file;
use crate::failure::{Failure, Verdict};
use crate::output::folder::{self, Sheet};
use crate::plan::{CheckFormat, Readings};
use crate::texts::{self, Text};
use crate::{screen, terminal};

/// Works out the taper really set and answers.
///
/// # Errors
/// When the file is not right, or the answer can't be written.
pub fn readings(args: &Readings) -> Result<Verdict, Failure> {
    if let Some(directory) = &args.to.out {
        folder::may_be_written(directory, args.to.overwrite)?;
    }
    let text = Text::read(&args.file)?;
    let source = Source {
        name: &text.name,
        text: &text.text,
    };
    let texts = [text.clone()];
    let (set, warnings) = match decode_readings(source) {
        Ok(decoded) => decoded,
        Err(found) => {
            texts::show(&found, &texts);
            return Err(Failure::Shown);
        }
    };
    texts::show(&warnings, &texts);
    let units = args.to.units.unwrap_or(set.units);
    let found = evaluate(&set).map_err(|why| Failure::Input(words(why, &text.name)))?;
    let screen = screen::readings(&found, units);
    let json = json::of_readings(&set, &found, &CAUTIONS);
    if let Some(directory) = &args.to.out {
        let drawing = drawn(&found, units);
        let png = drawing
            .png(1800)
            .map_err(|why| Failure::Stopped(format!("can't draw readings.png: {why}")))?;
        let sheets = [
            Sheet::new("report.txt", of_file(&screen)),
            Sheet::new("readings.json", json.clone()),
            Sheet::new("readings.svg", drawing.svg),
            Sheet::new("readings.png", png),
        ];
        folder::give(directory, args.to.overwrite, &sheets)?;
    }
    terminal::answer(&match args.format {
        CheckFormat::Text => terminal::set(&screen),
        CheckFormat::Json => json,
    })?;
    let met = found
        .judgement
        .as_ref()
        .is_none_or(|j| j.verdict == Tolerance::Proven);
    Ok(if met { Verdict::Done } else { Verdict::NotMet })
}

fn words(why: Insufficient, name: &str) -> String {
    match why {
        Insufficient::OnePlace => format!(
            "{name}: the readings stand at too few places for a taper\n  help: read at two places \
             of the carriage at least, in one direction"
        ),
        Insufficient::NoTaper => format!(
            "{name}: the slide did not move with the carriage\n  help: is the attachment coupled, \
             and is this the slide's column?"
        ),
    }
}
