//! The words for forms, papers and files: how those of a plan are typed.

use clap::ValueEnum;
use clap::builder::PossibleValue;

use crate::plan::{
    AnswerKind, CheckFormat, Decimal, FileKind, Format, LessonFormat, Paper, SchemaOf, SheetFormat,
};
use crate::terminal::Colour;

/// A word and what its help says of it.
fn word(name: &'static str, help: &'static str) -> Option<PossibleValue> {
    Some(PossibleValue::new(name).help(help))
}

impl ValueEnum for Colour {
    fn value_variants<'a>() -> &'a [Self] {
        &[Self::Auto, Self::Always, Self::Never]
    }

    fn to_possible_value(&self) -> Option<PossibleValue> {
        match self {
            Self::Auto => word("auto", "At a terminal, unless NO_COLOR is set"),
            Self::Always => word("always", "Wherever it goes"),
            Self::Never => word("never", "Nowhere"),
        }
    }
}

impl ValueEnum for Format {
    fn value_variants<'a>() -> &'a [Self] {
        &[Self::Text, Self::Json, Self::Csv]
    }

    fn to_possible_value(&self) -> Option<PossibleValue> {
        match self {
            Self::Text => word("text", "Plain text"),
            Self::Json => word("json", "Records in SI"),
            Self::Csv => word("csv", "A row for each way"),
        }
    }
}

impl ValueEnum for Decimal {
    fn value_variants<'a>() -> &'a [Self] {
        &[Self::Point, Self::Comma]
    }

    fn to_possible_value(&self) -> Option<PossibleValue> {
        match self {
            Self::Point => word("point", "0.5, fields parted by commas"),
            Self::Comma => word("comma", "0,5, fields parted by semicolons"),
        }
    }
}

impl ValueEnum for CheckFormat {
    fn value_variants<'a>() -> &'a [Self] {
        &[Self::Text, Self::Json]
    }

    fn to_possible_value(&self) -> Option<PossibleValue> {
        match self {
            Self::Text => word("text", "Plain text"),
            Self::Json => word("json", "For a script"),
        }
    }
}

impl ValueEnum for SheetFormat {
    fn value_variants<'a>() -> &'a [Self] {
        &[Self::Text, Self::Html, Self::Pdf, Self::Json]
    }

    fn to_possible_value(&self) -> Option<PossibleValue> {
        match self {
            Self::Text => word("text", "Plain text, without the drawing"),
            Self::Html => word("html", "One page to print or to copy to a phone"),
            Self::Pdf => word("pdf", "One page, the same on every printer"),
            Self::Json => word("json", "Records in SI"),
        }
    }
}

impl ValueEnum for LessonFormat {
    fn value_variants<'a>() -> &'a [Self] {
        &[Self::Html, Self::Pdf, Self::Json]
    }

    fn to_possible_value(&self) -> Option<PossibleValue> {
        match self {
            Self::Html => word("html", "One page for the screen and the printer"),
            Self::Pdf => word("pdf", "The hand-out alone, answers on sheets of their own"),
            Self::Json => word("json", "Records in SI"),
        }
    }
}

impl ValueEnum for Paper {
    fn value_variants<'a>() -> &'a [Self] {
        &[Self::Letter, Self::A4]
    }

    fn to_possible_value(&self) -> Option<PossibleValue> {
        match self {
            Self::Letter => word("letter", "8.5 by 11 in"),
            Self::A4 => word("a4", "210 by 297 mm"),
        }
    }
}

impl ValueEnum for SchemaOf {
    fn value_variants<'a>() -> &'a [Self] {
        &[
            Self::File(FileKind::Job),
            Self::File(FileKind::Lathe),
            Self::File(FileKind::Readings),
            Self::File(FileKind::Sample),
            Self::File(FileKind::Tests),
            Self::File(FileKind::Piece),
            Self::Moves,
            Self::Answer(AnswerKind::Compare),
            Self::Answer(AnswerKind::Predict),
            Self::Answer(AnswerKind::Modify),
            Self::Answer(AnswerKind::Preload),
            Self::Answer(AnswerKind::Sheet),
            Self::Answer(AnswerKind::Lesson),
            Self::Answer(AnswerKind::Guide),
            Self::Answer(AnswerKind::Rehearse),
            Self::Answer(AnswerKind::Piece),
            Self::Answer(AnswerKind::LatheUpdate),
            Self::Answer(AnswerKind::LatheNext),
            Self::Answer(AnswerKind::LatheLearn),
            Self::Answer(AnswerKind::Gauging),
            Self::Answer(AnswerKind::Taper),
            Self::Answer(AnswerKind::Check),
            Self::Answer(AnswerKind::Thread),
            Self::Answer(AnswerKind::Refusal),
        ]
    }

    fn to_possible_value(&self) -> Option<PossibleValue> {
        match self {
            Self::File(kind) => match kind {
                FileKind::Job => word("job", "What is to be made"),
                FileKind::Lathe => word("lathe", "What it is made on"),
                FileKind::Readings => word("readings", "Carriage and slide readings of the guide"),
                FileKind::Sample => word("sample", "A sample swept in the lathe"),
                FileKind::Tests => word("tests", "Shop tests of a lathe"),
                FileKind::Piece => word("piece", "What was gauged on a finished piece"),
            },
            Self::Moves => word(
                "moves",
                "Hand moves: lines of words, which no JSON Schema can describe, so in words",
            ),
            Self::Answer(kind) => match kind {
                AnswerKind::Compare => {
                    word("answers/compare", "What `compare --format json` writes")
                }
                AnswerKind::Predict => word("answers/predict", "The same of `predict`"),
                AnswerKind::Modify => word("answers/modify", "Of `modify`"),
                AnswerKind::Preload => word("answers/preload", "Of `preload`"),
                AnswerKind::Sheet => word("answers/sheet", "Of `sheet`"),
                AnswerKind::Lesson => word("answers/lesson", "Of `lesson`"),
                AnswerKind::Guide => word("answers/guide", "Of `guide`"),
                AnswerKind::Rehearse => word("answers/rehearse", "Of `rehearse`"),
                AnswerKind::Piece => word("answers/piece", "Of `piece`"),
                AnswerKind::LatheUpdate => word("answers/lathe-update", "Of `lathe update`"),
                AnswerKind::LatheNext => word("answers/lathe-next", "Of `lathe next`"),
                AnswerKind::LatheLearn => word("answers/lathe-learn", "Of `lathe learn`"),
                AnswerKind::Gauging => word("answers/gauging", "Of `gauging`, any sum"),
                AnswerKind::Taper => word("answers/taper", "Of `taper`"),
                AnswerKind::Check => word("answers/check", "Of `check`"),
                AnswerKind::Thread => word("answers/thread", "Of the former `thread`"),
                AnswerKind::Refusal => word("answers/refusal", "What any of them writes instead"),
            },
        }
    }
}
