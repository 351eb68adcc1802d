//! `tautway tools schema`: what a file may say and what a command answers, for editors and other
//! programs.

use tautway_sim::rehearse;
use tautway_sim::scenario::keys;
use tautway_sim::scenario::template::{self, JobAnswers, LatheAnswers};
use tautway_sim::sheet::{MethodSheet, Sheet};

use super::fit::Gauging;
use super::lathe::{Learnt, NextTest, Updated};
use super::piece::PieceTold;
use super::taper::{StandardTapers, TaperTold};
use crate::answer::json::{Checks, Refused, Ways};
use crate::answer::modify::Changes;
use crate::answer::preload::Holding;
use crate::answer::readings::{FromReadings, FromSample};
use crate::answer::rehearsal::Moved;
use crate::answer::shapes::{self, Shape, shape};
use crate::answer::thread::ThreadPlan;
use crate::answer::{Answered, schema};
use crate::failure::{Failure, Verdict};
use crate::lesson::Record as LessonRecord;
use crate::plan::{AnswerKind, FileKind, SchemaOf};
use crate::terminal;
use tautway_screens::sheet::Record as SheetRecord;

/// Writes it to stdout.
///
/// # Errors
/// When it can't be written.
pub fn schema(of: SchemaOf) -> Result<Verdict, Failure> {
    terminal::answer(&match of {
        SchemaOf::File(kind) => of_file(kind),
        SchemaOf::Moves => schema::of_moves(&rehearse::keys(), &rehearse::lines()),
        SchemaOf::Answer(kind) => of_answer(kind),
    })?;
    Ok(Verdict::Done)
}

fn of_file(kind: FileKind) -> String {
    match kind {
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
    }
}

fn of_answer(kind: AnswerKind) -> String {
    let ways: Shape = shape::<Answered<Ways<'_>>>;
    let (command, shapes): (&str, &[Shape]) = match kind {
        AnswerKind::Check => ("tautway check", &[shape::<Checks<'_>>]),
        AnswerKind::Compare => ("tautway compare", &[ways]),
        AnswerKind::Predict => ("tautway predict", &[ways]),
        AnswerKind::Gauging => ("tautway gauging", &[shape::<Answered<Gauging>>]),
        AnswerKind::Guide => (
            "tautway guide",
            &[
                shape::<Answered<FromReadings<'_>>>,
                shape::<Answered<FromSample<'_>>>,
            ],
        ),
        AnswerKind::LatheLearn => ("tautway lathe learn", &[shape::<Answered<Learnt<'_>>>]),
        AnswerKind::LatheNext => ("tautway lathe next", &[shape::<Answered<NextTest<'_>>>]),
        AnswerKind::LatheUpdate => ("tautway lathe update", &[shape::<Answered<Updated<'_>>>]),
        AnswerKind::Lesson => ("tautway lesson", &[shape::<LessonRecord<'_>>]),
        AnswerKind::Modify => ("tautway modify", &[shape::<Answered<Changes<'_>>>]),
        AnswerKind::Piece => ("tautway piece", &[shape::<Answered<PieceTold<'_>>>]),
        AnswerKind::Preload => ("tautway preload", &[shape::<Answered<Holding<'_>>>]),
        AnswerKind::Rehearse => ("tautway rehearse", &[shape::<Answered<Moved<'_>>>]),
        AnswerKind::Sheet => (
            "tautway sheet",
            &[
                shape::<SheetRecord<'_, Sheet>>,
                shape::<SheetRecord<'_, MethodSheet>>,
            ],
        ),
        AnswerKind::Taper => (
            "tautway taper",
            &[
                shape::<Answered<TaperTold<'_>>>,
                shape::<Answered<StandardTapers>>,
            ],
        ),
        AnswerKind::Thread => ("tautway thread", &[shape::<Answered<ThreadPlan<'_>>>]),
        AnswerKind::Refusal => {
            return shapes::of(
                "what tautway writes where it can't answer",
                &[shape::<Refused<'_>>],
            );
        }
    };
    shapes::of(&format!("what `{command}` answers as JSON"), shapes)
}
