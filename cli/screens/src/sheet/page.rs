//! What the sheet is made of: its sections, and shorthands for what stands in them.

use tautway_sim::quantity::{Quantity, Units};
use tautway_sim::sheet::DrawingAsks;
use tautway_words::{Block, Fact, Facts, Layout, Mark, Paragraph, Role, Sum, Table, Words};

/// What a section is about, in the order of the work.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Place {
    /// What is made.
    Taper,
    /// What can hurt.
    Box,
    /// The way it is cut.
    Way,
    /// What the lathe must be ready for.
    Lathe,
    /// The guide.
    Guide,
    /// Top slide, tailstock or centre set over.
    SetOver,
    /// What is left for wheel or lap, and how they are led.
    Leave,
    /// The tool.
    Tool,
    /// Where each pass starts.
    RunIn,
    /// Where the dial is zero.
    TouchOff,
    /// The passes.
    Passes,
    /// Where the guide is set on for the rest of the cone.
    SecondSetUp,
    /// The thread's passes.
    Thread,
    /// Gauging.
    Gauge,
    /// The force on the slide.
    Preload,
    /// What may be seen.
    Signs,
    /// What comes after.
    Afterwards,
}

impl Place {
    /// Its heading.
    pub fn heading(self) -> &'static str {
        match self {
            Self::Taper => "The taper",
            Self::Box => "What can hurt",
            Self::Way => "The way",
            Self::Lathe => "Check the lathe",
            Self::Guide => "Set the guide",
            Self::SetOver => "Set it over",
            Self::Leave => "Leave and lead",
            Self::Tool => "The tool",
            Self::RunIn => "Run-in, every pass",
            Self::TouchOff => "Touch off",
            Self::Passes => "Passes",
            Self::SecondSetUp => "Second set-up",
            Self::Thread => "The thread",
            Self::Gauge => "Gauge between",
            Self::Preload => "Preload",
            Self::Signs => "If you see",
            Self::Afterwards => "Afterwards",
        }
    }

    /// What the page's look knows it by, where it looks otherwise.
    pub fn id(self) -> &'static str {
        match self {
            Self::Taper => "taper",
            Self::Box => "hurt",
            Self::Way => "way",
            Self::RunIn => "run-in",
            _ => "",
        }
    }
}

/// A sentence or two.
pub fn say(words: impl Into<Words>) -> Block {
    paragraph(Role::Plain, Mark::None, words)
}

/// The line that must not be missed.
pub fn loud(words: impl Into<Words>) -> Block {
    paragraph(Role::Loud, Mark::None, words)
}

/// A box to tick.
pub fn check(words: impl Into<Words>) -> Block {
    paragraph(Role::Plain, Mark::Tick, words)
}

/// A caution, with its id.
pub fn caution(id: &'static str, words: impl Into<Words>) -> Block {
    paragraph(Role::Caution(Some(id)), Mark::None, words)
}

fn paragraph(role: Role, mark: Mark, words: impl Into<Words>) -> Block {
    Block::Paragraph(Paragraph {
        words: words.into(),
        role,
        mark,
        ..Paragraph::default()
    })
}

/// A big figure: what it is, the figure, and more on it, small.
pub fn figure(label: impl Into<Words>, value: impl Into<Words>, small: impl Into<Words>) -> Fact {
    Fact {
        label: label.into(),
        value: value.into(),
        small: small.into(),
    }
}

/// Big figures.
pub fn figures(of: Vec<Fact>) -> Block {
    Block::Facts(Facts {
        layout: Layout::Flow,
        of,
    })
}

/// Labels with a box to write in each.
pub fn boxes<const N: usize>(labels: [&str; N]) -> Block {
    Block::Fields(labels.map(Words::from).to_vec())
}

/// Rows of figures; an empty cell is one to write in.
pub fn numbers(head: Vec<String>, rows: Vec<Vec<String>>) -> Block {
    let words = head.iter().position(|head| head == "pass");
    let mut table = Table::new(head).words_in(words.as_slice());
    table.class = "numbers";
    for row in rows {
        table.row(row.into_iter().map(|cell| match cell.as_str() {
            "" => Words::blank(),
            cell => cell.into(),
        }));
    }
    Block::Table(table)
}

/// Rows of sentences.
pub fn sentences(head: [&str; 3], rows: Vec<[String; 3]>) -> Block {
    let mut table = Table::new(head).words_in(&[0, 1, 2]);
    table.class = "words";
    table.sentences = true;
    for row in rows {
        table.row(row);
    }
    Block::Table(table)
}

/// The standoff-to-dial sum, where the page can compute.
pub fn sum(drawing: &DrawingAsks, units: Units) -> Block {
    let (unit, step, digits) = match units {
        Units::Inch => ("in", "0.001", 4),
        Units::Metric => ("mm", "0.01", 3),
    };
    Block::Sum(Sum {
        label: format!("Standoff too much, {unit}").into(),
        factor: drawing.aim.si(),
        step,
        digits,
    })
}
