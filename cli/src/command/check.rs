//! `tautway check`: reads the files and runs nothing.

use std::path::{Path, PathBuf};

use tautway_sim::scenario::{Diagnostic, Severity};

use crate::answer::json::{self, Checked};
use crate::failure::{Failure, Verdict};
use crate::plan::CheckFormat;
use crate::terminal;
use crate::text_file::shown;
use crate::texts::{self, InOrder};

/// Says "in order", or every fault, of each file.
///
/// # Errors
/// The worst that is found: a file that can't be read, or one that is not right.
pub fn check(paths: &[PathBuf], format: CheckFormat) -> Result<Verdict, Failure> {
    if let [path] = paths {
        let checked = read(path)?;
        return match format {
            CheckFormat::Text => tell(&checked),
            CheckFormat::Json => {
                terminal::answer(&json::checked(std::slice::from_ref(&checked)))?;
                done(&checked)
            }
        };
    }
    let mut worst = Ok(Verdict::Done);
    let mut all = Vec::new();
    for path in paths {
        let found = match read(path) {
            Ok(checked) if format == CheckFormat::Text => tell(&checked),
            Ok(checked) => {
                let found = done(&checked);
                all.push(checked);
                found
            }
            Err(why) if format == CheckFormat::Text => {
                terminal::tell(&why);
                Err(why.once_told())
            }
            Err(why) => {
                let told = why.once_told();
                all.push(unread(path, why));
                Err(told)
            }
        };
        worst = worse(worst, found);
    }
    if format == CheckFormat::Json {
        terminal::answer(&json::checked(&all))?;
    }
    worst
}

/// One file with what was found in it.
fn read(path: &Path) -> Result<Checked, Failure> {
    Ok(match texts::any(path)? {
        Ok(InOrder {
            what,
            warnings,
            texts,
        }) => Checked {
            what: Some(what),
            found: warnings,
            texts,
        },
        Err(refused) => Checked {
            what: None,
            found: refused.found,
            texts: refused.texts,
        },
    })
}

/// A file that can't be read, as a fault of it without a place.
fn unread(path: &Path, why: Failure) -> Checked {
    let words = why.words();
    let (message, hint) = words.split_once("\n  help: ").unwrap_or((&words, ""));
    Checked {
        what: None,
        found: vec![Diagnostic {
            severity: Severity::Error,
            file: shown(path),
            span: 0..0,
            message: message.to_owned(),
            label: String::new(),
            hint: hint.to_owned(),
        }],
        texts: Vec::new(),
    }
}

fn done(checked: &Checked) -> Result<Verdict, Failure> {
    match checked.what {
        Some(_) => Ok(Verdict::Done),
        None => Err(Failure::Answered),
    }
}

/// Tells a person what was found.
fn tell(checked: &Checked) -> Result<Verdict, Failure> {
    let Checked { what, found, texts } = checked;
    texts::show_first(found, texts, texts::MOST_TOLD);
    if let Some(what) = what {
        let doubts = found.iter().filter(|d| d.severity == Severity::Warning);
        let few = match doubts.count() {
            0 => String::new(),
            1 => ", with the warning above".to_owned(),
            n => format!(", with the {n} warnings above"),
        };
        let bare = texts::bare_numbers(found);
        terminal::answer(&format!("{bare}no mistakes found: {what}{few}\n"))?;
    }
    done(checked)
}

/// The worse of two ends: what could not be read, then what is not right, then what is.
fn worse(
    one: Result<Verdict, Failure>,
    other: Result<Verdict, Failure>,
) -> Result<Verdict, Failure> {
    match (&one, &other) {
        (Err(a), Err(b)) if a.is_input() && !b.is_input() => other,
        (Err(_), _) => one,
        (Ok(_), _) => other,
    }
}
