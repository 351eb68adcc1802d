//! The words for forms, papers and files: how those of a plan are typed.

use clap::ValueEnum;
use clap::builder::PossibleValue;

use crate::plan::{CheckFormat, Decimal, FileKind, Format, LessonFormat, Paper, SheetFormat};
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

impl ValueEnum for FileKind {
    fn value_variants<'a>() -> &'a [Self] {
        &[
            Self::Job,
            Self::Lathe,
            Self::Readings,
            Self::Sample,
            Self::Tests,
            Self::Piece,
        ]
    }

    fn to_possible_value(&self) -> Option<PossibleValue> {
        match self {
            Self::Job => word("job", "What is to be made"),
            Self::Lathe => word("lathe", "What it is made on"),
            Self::Readings => word("readings", "Carriage and slide readings of the guide"),
            Self::Sample => word("sample", "A sample swept in the lathe"),
            Self::Tests => word("tests", "Shop tests of a lathe"),
            Self::Piece => word("piece", "What was gauged on a finished piece"),
        }
    }
}
