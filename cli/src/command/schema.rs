//! `tautway tools schema`: what a file may say, for editors and other programs.

use tautway_sim::scenario::keys;
use tautway_sim::scenario::template::{self, JobAnswers, LatheAnswers};

use crate::answer::schema;
use crate::failure::{Failure, Verdict};
use crate::plan::FileKind;
use crate::terminal;

/// Writes the schema to stdout.
///
/// # Errors
/// When it can't be written.
pub fn schema(kind: FileKind) -> Result<Verdict, Failure> {
    let text = match kind {
        FileKind::Job => {
            let example = template::job(&JobAnswers::default());
            schema::of("a job for tautway", &keys::job(), &example)
        }
        FileKind::Lathe => {
            let example = template::lathe(&LatheAnswers::default());
            schema::of("a lathe for tautway", &keys::lathe(), &example)
        }
        FileKind::Readings => schema::of("readings for tautway", &keys::readings(), ""),
        FileKind::Sample => schema::of("a swept sample for tautway", &keys::sample(), ""),
        FileKind::Tests => schema::of("shop tests for tautway", &keys::tests(), ""),
        FileKind::Piece => schema::of("a finished piece for tautway", &keys::piece(), ""),
    };
    terminal::answer(&text)?;
    Ok(Verdict::Done)
}
