//! `tautway guide`: what carriage and slide readings tell, or an indicator along a sample.

use tautway_sim::readings::{Insufficient, NotCopied, Verdict as Tolerance, copied, evaluate};
use tautway_sim::scenario::{decode_readings, decode_sample};

use crate::answer::give;
use crate::answer::readings::{Evaluated, Swept};
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
    if texts::is_sample(&text) {
        return sample(args, &text);
    }
    let texts = [text.clone()];
    let (set, warnings) =
        decode_readings(text.source()).map_err(|found| texts::refused(&found, &texts))?;
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
    give(&answer, format(args), &args.to, None)?;
    let met = found
        .judgement
        .as_ref()
        .is_none_or(|j| j.verdict == Tolerance::Proven);
    Ok(if met { Verdict::Done } else { Verdict::NotMet })
}

/// What a swept sample tells.
fn sample(args: &Readings, text: &Text) -> Result<Verdict, Failure> {
    let texts = [text.clone()];
    let (sweep, warnings) =
        decode_sample(text.source()).map_err(|found| texts::refused(&found, &texts))?;
    texts::show(&warnings, &texts);
    let units = args.to.units.unwrap_or(sweep.units);
    let found = copied(&sweep).map_err(|why| Failure::Input(why_not(why, &text.name)))?;
    let answer = Swept {
        texts: &texts,
        sweep: &sweep,
        found: &found,
        document: screen::sample(&sweep, &found, units),
        units,
    };
    give(&answer, format(args), &args.to, None)?;
    Ok(Verdict::Done)
}

fn format(args: &Readings) -> Format {
    match args.format {
        CheckFormat::Text => Format::Text,
        CheckFormat::Json => Format::Json,
    }
}

fn why_not(why: NotCopied, name: &str) -> String {
    match why {
        NotCopied::Insufficient(Insufficient::NoTaper) => format!(
            "{name}: the indicator did not move along the sample\n  help: let the guide go and lock \
             the slide, or say coupled = true in [guide] if the slide followed it"
        ),
        NotCopied::Insufficient(why) => words(why, name),
        NotCopied::OtherEnd => format!(
            "{name}: by its readings the sample's other end is big\n  help: an indicator reads more \
             as its plunger goes in; check `big_end`, and which way the carriage's numbers grow"
        ),
        NotCopied::Apart => format!(
            "{name}: the sweeps differ by half of the taper: they are not of one sample\n  help: the \
             sample stays in the jaws; turn the spindle by half a turn, or move the indicator"
        ),
    }
}

fn words(why: Insufficient, name: &str) -> String {
    let (message, hint) = screen::why_no_taper(why);
    format!("{name}: {message}\n  help: {hint}")
}
