//! `tautway rehearse`: hand moves made on the model.

use tautway_sim::rehearse::{Rehearsal, Script, rehearse as make};
use tautway_sim::scenario::{Diagnostic, Severity};

use crate::answer::give;
use crate::answer::rehearsal::Rehearsed;
use crate::failure::{Failure, Verdict};
use crate::output::folder;
use crate::plan::Rehearse;
use crate::texts;
use tautway_screens::screen;

/// Makes the moves and tells what came of each, up to one that would break something.
///
/// # Errors
/// When the files are not right, or the answer can't be written.
pub fn rehearse(args: &Rehearse) -> Result<Verdict, Failure> {
    let mut read = texts::moves(&args.moves)?.map_err(|refused| refused.show())?;
    texts::show(&read.warnings, &read.texts);
    if let Some(directory) = &args.to.out {
        folder::may_be_written(directory, args.to.overwrite)?;
    }
    if let Some(units) = args.to.units {
        read.script.units = units;
    }
    let units = read.script.units;
    let made = make(&read.script);
    let document = screen::rehearsal(&made, units);
    let rehearsed = Rehearsed {
        read: &read,
        made: &made,
        document,
    };
    give(&rehearsed, args.format, &args.to, None)?;
    if let Some(fault) = pointed(&read.script, &made, &read.texts[0].name) {
        texts::show(&[fault], &read.texts);
        return Ok(Verdict::NotMet);
    }
    Ok(Verdict::Done)
}

/// The move that would break something, pointed at in the file.
fn pointed(script: &Script, made: &Rehearsal, file: &str) -> Option<Diagnostic> {
    let broken = made.broken.as_ref()?;
    let spoken = script.moves.get(broken.number - 1)?;
    Some(Diagnostic {
        severity: Severity::Error,
        file: file.to_owned(),
        span: spoken.span.clone(),
        message: broken.hazard.breaks(script.units),
        label: "the rehearsal ends before this move".to_owned(),
        hint: broken.hazard.advice().to_owned(),
    })
}
