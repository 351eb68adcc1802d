//! `tautway page`: bench, answers and forms as one file beside the job.

use std::fs;
use std::path::PathBuf;

use tautway_sim::cut::Options;

use super::compare::{helped, weighed};
use crate::failure::{Failure, Verdict};
use crate::output::file;
use crate::page::{self, KIND, Made};
use crate::plan::Page;
use crate::text_file::STANDARD_INPUT;
use crate::texts::{Read, Refused, Text};
use crate::{terminal, texts, trials};

/// Writes the page.
///
/// # Errors
/// When the files can't be read or are not right, which the page tells too, or it can't be written.
pub fn page(args: &Page) -> Result<Verdict, Failure> {
    let read = match &args.scenario {
        Some(job) => texts::job(job)?,
        None => texts::decoded(example()),
    };
    let out = args.out.clone().unwrap_or_else(|| beside(args));
    // What this wrote is made anew from the same files; what was saved in the browser is the person's.
    let own = || fs::read_to_string(&out).is_ok_and(|text| page::is_as_written(&text));
    let overwrite = args.overwrite || args.out.is_none() && own();
    file::may_be_written(&out, overwrite, &KIND)?;
    let (text, verdict) = match read {
        Ok(read) => (of(&read, args.seed)?, Ok(Verdict::Done)),
        Err(refused) => (of_faulty(refused, args.seed)?, Err(Failure::Answered)),
    };
    file::write(&out, overwrite, &text, &KIND)?;
    if file::is_standard_output(&out) {
        return verdict;
    }
    terminal::answer(&format!("{}\n", out.display()))?;
    if (args.open || terminal::at_desktop())
        && let Err(why) = opener::open(&out)
    {
        terminal::aside(&format!(
            "warning: no browser could be opened ({why}): open the file yourself"
        ));
    }
    verdict
}

/// `socket.page.html` beside `socket.toml`.
fn beside(args: &Page) -> PathBuf {
    let named = args.scenario.as_deref();
    let Some(job) = named.filter(|job| job.as_os_str() != STANDARD_INPUT) else {
        return PathBuf::from("tautway.page.html");
    };
    let name = job.file_name().unwrap_or_default().to_string_lossy();
    let stem = name.strip_suffix(".toml").unwrap_or(&name);
    job.with_file_name(format!("{stem}.page.html"))
}

fn of(read: &Read, seed: u64) -> Result<String, Failure> {
    texts::show(&read.warnings, &read.texts);
    let options = Options {
        seed,
        ..Options::default()
    };
    let pool = trials::pool(None)?;
    let mut comparison = weighed(&read.scenario, options, &pool)?;
    helped(&mut comparison, &read.scenario, options, &pool)?;
    let made = Made {
        read,
        comparison: &comparison,
        options,
    };
    Ok(made.page())
}

/// A fault in the texts can be mended on the page; a lathe that isn't there can't.
fn of_faulty(refused: Refused, seed: u64) -> Result<String, Failure> {
    match <[Text; 2]>::try_from(refused.texts.clone()) {
        Ok(both) => {
            texts::show(&refused.found, &refused.texts);
            Ok(page::of_faulty(&both, seed))
        }
        Err(_) => Err(refused.show()),
    }
}

/// The worked example that a page without a file is of.
fn example() -> [Text; 2] {
    [
        (
            "tapered-socket.toml",
            include_str!("../../../scenarios/tapered-socket.toml"),
        ),
        (
            "worn-lathe.toml",
            include_str!("../../../scenarios/worn-lathe.toml"),
        ),
    ]
    .map(|(name, text)| Text {
        name: name.to_owned(),
        text: text.to_owned(),
    })
}
