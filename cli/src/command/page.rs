//! `tautway page`: the moving picture, served to this machine alone, or the bench as one file.

use std::path::Path;

use tautway_sim::cut::Options;

use super::compare::weighed;
use crate::bench::{self, Made};
use crate::failure::{Failure, Verdict};
use crate::output::file;
use crate::page::{self, Texts};
use crate::plan::Page;
use crate::{interrupt, terminal, texts, trials};

/// Serves the page until it is stopped.
///
/// # Errors
/// When the files can't be read, or the port can't be had.
pub fn page(args: &Page) -> Result<Verdict, Failure> {
    if let (Some(job), Some(out)) = (&args.scenario, &args.out) {
        return written(args, job, out);
    }
    let begin = match &args.scenario {
        None => Texts::example(),
        Some(path) => match texts::job(path)? {
            Ok(read) => {
                texts::show(&read.warnings, &read.texts);
                Texts::from(read.texts)
            }
            // A fault in the texts can be mended on the page; a lathe that isn't there can't.
            Err(refused) => match <[texts::Text; 2]>::try_from(refused.texts.clone()) {
                Ok(both) => {
                    texts::show(&refused.found, &refused.texts);
                    Texts::from(both)
                }
                Err(_) => return Err(refused.show()),
            },
        },
    };
    interrupt::note("the page is closed; nothing was written".to_owned());
    page::serve(begin, args.port.unwrap_or(0), args.open)?;
    Ok(Verdict::Done)
}

/// Writes the bench as one file.
fn written(args: &Page, job: &Path, out: &Path) -> Result<Verdict, Failure> {
    let read = texts::job(job)?.map_err(|refused| refused.show())?;
    texts::show(&read.warnings, &read.texts);
    file::may_be_written(out, args.overwrite, &bench::KIND)?;
    if !read.scenario.lathe.attachment.fitted {
        terminal::aside(
            "no bench: it is of the taper attachment, and this lathe has none fitted\n  help: \
             [attachment] kind in the lathe file says what there is",
        );
        return Ok(Verdict::NotMet);
    }
    let options = Options {
        seed: args.seed,
        ..Options::default()
    };
    let pool = trials::pool(None)?;
    let comparison = weighed(&read.scenario, options, &pool)?;
    let made = Made {
        read: &read,
        comparison: &comparison,
        options,
    };
    file::write(out, args.overwrite, &made.page(), &bench::KIND)?;
    terminal::aside(&format!("wrote {}", out.display()));
    if args.open
        && let Err(why) = opener::open(out)
    {
        terminal::aside(&format!(
            "warning: no browser could be opened ({why}): open the file yourself"
        ));
    }
    Ok(Verdict::Done)
}
