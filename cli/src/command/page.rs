//! `tautway page`: the moving picture, served to this machine alone.

use crate::failure::{Failure, Verdict};
use crate::interrupt;
use crate::page::{self, Texts};
use crate::plan::Page;
use crate::texts;

/// Serves the page until it is stopped.
///
/// # Errors
/// When the files can't be read, or the port can't be had.
pub fn page(args: &Page) -> Result<Verdict, Failure> {
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
