//! A document: blocks one after another, and how they are put together.

use serde::Serialize;

use crate::span::Words;

/// What a person reads, from the first line to the last.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[serde(transparent)]
pub struct Document {
    /// In the order in which they are read.
    pub blocks: Vec<Block>,
}

/// A part of a document.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Block {
    /// What it is about.
    Title(Words),
    /// The name of what follows.
    Heading(Words),
    /// Opens the list or table that follows.
    Lead(Words),
    /// A sentence or several.
    Paragraph(Paragraph),
    /// Rows and columns.
    Table(Table),
    /// Keys with their values.
    Facts(Facts),
    /// Labels with room for an answer each.
    Fields(Vec<Words>),
    /// One of several to tick.
    Choice(Choice),
    /// Something typed, multiplied.
    Sum(Sum),
    /// A drawing.
    Figure(Figure),
    /// Where moving pictures go.
    Pictures(Pictures),
    /// A file as it was read.
    Source(Source),
    /// Something to save.
    Download(Download),
    /// Blocks that belong together.
    Group(Group),
    /// A new thought.
    Gap,
    /// A new sheet of paper.
    PageBreak,
}

/// What stands before a paragraph.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Mark {
    /// Nothing.
    #[default]
    None,
    /// A dash: one of a list.
    Dash,
    /// Its number: a step, or one of a ranking.
    Number(usize),
    /// A box to tick.
    Tick,
}

/// What a paragraph is for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Role {
    /// Nothing in particular.
    #[default]
    Plain,
    /// What is advised.
    Advice,
    /// What can hurt; its id, if it is one of the cautions.
    Caution(Option<&'static str>),
    /// Must not be missed.
    Loud,
    /// What is asked.
    Question,
    /// How the machine stands, by name.
    State(&'static str),
    /// Small: beside the matter.
    Note,
    /// To be typed as it stands.
    Command,
}

/// A sentence or several.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Paragraph {
    /// What it is about, before it.
    pub label: Words,
    /// The words.
    pub words: Words,
    /// What stands before it.
    pub mark: Mark,
    /// What it is for.
    pub role: Role,
    /// How far it is set in.
    pub depth: usize,
}

/// To which side a column is set.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Align {
    /// Words.
    Left,
    /// Figures.
    Right,
}

/// Rows and columns. A cell that is blank is to be written in.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Table {
    /// What it is for, as the look knows it.
    pub class: &'static str,
    /// Headings; none where the first column says it all.
    pub head: Vec<Words>,
    /// One a column; columns without one are set right.
    pub align: Vec<Align>,
    /// Row by row.
    pub rows: Vec<Vec<Words>>,
    /// Whether its cells are sentences, which text tells row by row.
    pub sentences: bool,
    /// How far it is set in.
    pub depth: usize,
}

/// Keys with their values.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Facts {
    /// One below the other, or side by side.
    pub layout: Layout,
    /// In reading order.
    pub of: Vec<Fact>,
}

/// A key and its value.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Fact {
    /// What it is.
    pub label: Words,
    /// The value; blank where it is to be filled in.
    pub value: Words,
    /// More on it, small.
    pub small: Words,
}

/// One of several to tick.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Choice {
    /// What is asked.
    pub asked: Words,
    /// What there is to choose from.
    pub of: Vec<Words>,
}

/// A number to type, times a number, where the page can compute.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Sum {
    /// What is typed, with its unit.
    pub label: Words,
    /// It is multiplied by this.
    pub factor: f64,
    /// Smallest step of what is typed.
    pub step: &'static str,
    /// Decimals of the result.
    pub digits: usize,
}

/// A drawing that the program made itself.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Figure {
    /// As SVG.
    pub svg: String,
}

/// Moving pictures beside each other; who plays them knows them by name.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Pictures {
    /// The pictures.
    pub of: Vec<Picture>,
    /// What may be shown in the place of the first, the first of these at the beginning.
    pub instead: Vec<Instead>,
}

/// A place for a moving picture.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Picture {
    /// Its name.
    pub name: String,
    /// Part of it that has run when it is first seen.
    pub at: f64,
    /// What it shows.
    pub caption: Words,
}

/// A picture that may be shown instead.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Instead {
    /// Its name.
    pub name: String,
    /// What it is called.
    pub label: Words,
    /// What is said as long as it is shown.
    pub warning: Words,
}

/// A file as it was read.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Source {
    /// Its name.
    pub name: String,
    /// Its text.
    pub text: String,
}

/// Something to save.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Download {
    /// Name of the file.
    pub name: String,
    /// Its kind, as the web names it.
    pub kind: &'static str,
    /// What stands in it.
    pub text: String,
}

/// How a group is laid out where there is room.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Layout {
    /// One block below the other.
    #[default]
    Flow,
    /// In columns.
    Columns,
    /// Side by side.
    Row,
}

/// Blocks that belong together.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Group {
    /// What a link to it names; empty if none does.
    pub id: String,
    /// What it is for, as the look knows it.
    pub class: &'static str,
    /// Its number.
    pub number: Option<usize>,
    /// Its heading; none if empty.
    pub heading: Words,
    /// How it is laid out.
    pub layout: Layout,
    /// What is in it.
    pub blocks: Vec<Block>,
}

impl Document {
    /// With nothing in it yet.
    pub fn new() -> Self {
        Self::default()
    }

    /// Puts a block at the end.
    pub fn push(&mut self, block: Block) {
        self.blocks.push(block);
    }

    /// What it is about.
    pub fn title(&mut self, words: impl Into<Words>) {
        self.push(Block::Title(words.into()));
    }

    /// Opens the list or table that follows.
    pub fn lead(&mut self, words: impl Into<Words>) {
        self.push(Block::Lead(words.into()));
    }

    /// A paragraph behind its label.
    pub fn say(&mut self, label: impl Into<Words>, words: impl Into<Words>) {
        self.say_as(Role::Plain, label, words);
    }

    /// The same for a purpose.
    pub fn say_as(&mut self, role: Role, label: impl Into<Words>, words: impl Into<Words>) {
        self.push(Block::Paragraph(Paragraph {
            label: label.into(),
            words: words.into(),
            role,
            ..Paragraph::default()
        }));
    }

    /// The same, under the paragraph before.
    pub fn under(&mut self, label: impl Into<Words>, words: impl Into<Words>) {
        self.push(Block::Paragraph(Paragraph {
            label: label.into(),
            words: words.into(),
            depth: 1,
            ..Paragraph::default()
        }));
    }

    /// One of a list.
    pub fn item(&mut self, words: impl Into<Words>) {
        self.item_about("", words);
    }

    /// The same behind its label.
    pub fn item_about(&mut self, label: impl Into<Words>, words: impl Into<Words>) {
        self.push(Block::Paragraph(Paragraph {
            label: label.into(),
            words: words.into(),
            mark: Mark::Dash,
            ..Paragraph::default()
        }));
    }

    /// One of a ranking.
    pub fn ranked(&mut self, rank: usize, words: impl Into<Words>) {
        self.push(Block::Paragraph(Paragraph {
            words: words.into(),
            mark: Mark::Number(rank),
            ..Paragraph::default()
        }));
    }

    /// What can hurt.
    pub fn stop_if(&mut self, words: impl Into<Words>) {
        self.say_as(Role::Caution(None), "STOP IF:", words);
    }

    /// A new thought.
    pub fn gap(&mut self) {
        self.push(Block::Gap);
    }

    /// Leaves these words out of every paragraph that stands by itself: a hint for another place.
    pub fn leave_out(&mut self, words: &str) {
        for block in &mut self.blocks {
            if let Block::Lead(lead) = block {
                lead.leave_out(words);
            }
            if let Block::Paragraph(paragraph) = block {
                paragraph.words.leave_out(words);
            }
        }
    }

    /// All its blocks and those in its groups, in reading order.
    pub fn walk(&self) -> impl Iterator<Item = &Block> {
        let mut left: Vec<&Block> = self.blocks.iter().rev().collect();
        std::iter::from_fn(move || {
            let block = left.pop()?;
            if let Block::Group(group) = block {
                left.extend(group.blocks.iter().rev());
            }
            Some(block)
        })
    }
}

impl Table {
    /// A table with these headings.
    pub fn new(head: impl IntoIterator<Item = impl Into<Words>>) -> Self {
        Self {
            head: head.into_iter().map(Into::into).collect(),
            ..Self::default()
        }
    }

    /// With these columns of words; the others are figures.
    pub fn words_in(mut self, columns: &[usize]) -> Self {
        let last = columns.iter().copied().max().map_or(0, |last| last + 1);
        let align = |column| {
            if columns.contains(&column) {
                Align::Left
            } else {
                Align::Right
            }
        };
        self.align = (0..last.max(self.head.len())).map(align).collect();
        self
    }

    /// Adds a row.
    pub fn row(&mut self, cells: impl IntoIterator<Item = impl Into<Words>>) {
        self.rows.push(cells.into_iter().map(Into::into).collect());
    }

    /// How many columns it has.
    pub fn columns(&self) -> usize {
        let widest = self.rows.iter().map(Vec::len).max().unwrap_or(0);
        widest.max(self.head.len())
    }

    /// To which side a column is set.
    pub fn side(&self, column: usize) -> Align {
        self.align.get(column).copied().unwrap_or(Align::Right)
    }
}
