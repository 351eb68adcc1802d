//! `tautway check`: reads the files and runs nothing.

use std::path::Path;

use tautway_sim::scenario::{Diagnostic, Severity};

use crate::answer::json;
use crate::failure::{Failure, Verdict};
use crate::plan::CheckFormat;
use crate::terminal;
use crate::texts::{self, InOrder, Text};

/// Says "in order", or every fault.
///
/// # Errors
/// When the files are not right or can't be read.
pub fn check(path: &Path, format: CheckFormat) -> Result<Verdict, Failure> {
    let InOrder {
        what,
        warnings,
        texts,
    } = match texts::any(path)? {
        Ok(read) => read,
        Err(refused) => {
            tell(&refused.found, &refused.texts, format)?;
            return Err(Failure::Shown);
        }
    };
    tell(&warnings, &texts, format)?;
    if format == CheckFormat::Text {
        let doubts = warnings.iter().filter(|d| d.severity == Severity::Warning);
        let few = match doubts.count() {
            0 => String::new(),
            1 => ", with the warning above".to_owned(),
            n => format!(", with the {n} warnings above"),
        };
        let bare = texts::bare_numbers(&warnings);
        terminal::answer(&format!("{bare}no mistakes found: {what}{few}\n"))?;
    }
    Ok(Verdict::Done)
}

fn tell(found: &[Diagnostic], texts: &[Text], format: CheckFormat) -> Result<(), Failure> {
    match format {
        CheckFormat::Text => texts::show_first(found, texts, texts::MOST_TOLD),
        CheckFormat::Json => terminal::answer(&json::checked(found, texts))?,
    }
    Ok(())
}
