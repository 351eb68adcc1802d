//! `tautway guide`: what carriage and slide readings tell.

use tautway_sim::readings::{Insufficient, Verdict as Tolerance, evaluate};
use tautway_sim::scenario::{Source, decode_readings};

use crate::answer::give;
use crate::answer::readings::Evaluated;
use crate::failure::{Failure, Verdict};
use crate::output::folder;
use crate::plan::{CheckFormat, Format, Readings};
use crate::texts::{self, Text};
use tautway_screens::screen;

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
    let answer = Evaluated {
        texts: &texts,
        set: &set,
        found: &found,
        document: screen::readings(&found, units),
        units,
    };
    let format = match args.format {
        CheckFormat::Text => Format::Text,
        CheckFormat::Json => Format::Json,
    };
    give(&answer, format, &args.to, None)?;
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
