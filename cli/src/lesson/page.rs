//! What a step of the lesson is made of; words between stars stand out.

use maud::{Markup, html};
use tautway_sim::caution::Caution;
use tautway_words::html::{Read, part_blocks, words};
use tautway_words::{Block, Choice, Group, Mark, Paragraph, Role, Table, Words, starred, strong};

/// How the lathe stands in a step.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum State {
    /// Nothing turns.
    Off,
    /// A cut is made.
    Cutting,
    /// No cut is made.
    Screen,
}

impl State {
    /// Its class, and what is said of it.
    pub fn words(self) -> (&'static str, &'static str) {
        match self {
            Self::Off => (
                "off",
                "Main switch OFF. Tool out or well clear, air off and bled.",
            ),
            Self::Cutting => (
                "cutting",
                "The spindle turns. Trainer at the lathe, guards on; never reach over a turning \
                 chuck.",
            ),
            Self::Screen => ("screen", "On the screen and on paper: no cut is made."),
        }
    }
}

/// One step.
pub struct Step {
    /// From 0.
    pub number: usize,
    /// In a few words.
    pub title: &'static str,
    /// How the lathe stands.
    pub state: State,
    /// What is asked.
    pub question: String,
    /// What can hurt here.
    pub cautions: Vec<Caution>,
    /// What to do, one after the other.
    pub hands: Vec<String>,
    /// What to measure, write and look at.
    pub pieces: Vec<Block>,
    /// The answer, apart from it.
    pub answer: Vec<Block>,
}

impl Step {
    /// With its question, without its answer.
    fn blocks(&self) -> Vec<Block> {
        let (how, state) = self.state.words();
        let mut blocks = vec![
            said_as(Role::State(how), state),
            said_as(Role::Question, &self.question),
        ];
        blocks.extend(self.cautions.iter().map(|caution| {
            let stop = strong("STOP IF");
            let words = format!("{stop} {}. {}", caution.stop_if, caution.advice);
            said_as(Role::Caution(Some(caution.id)), &words)
        }));
        if !self.hands.is_empty() {
            let steps = self.hands.iter().enumerate();
            blocks.push(Block::Group(Group {
                heading: "At the lathe".into(),
                blocks: steps
                    .map(|(at, hand)| listed(Mark::Number(at + 1), hand))
                    .collect(),
                ..Group::default()
            }));
        }
        blocks.extend(self.pieces.iter().cloned());
        blocks
    }

    /// The same for the hand-out.
    pub fn printed(&self) -> Block {
        Block::Group(Group {
            number: Some(self.number),
            heading: starred(self.title),
            blocks: self.blocks(),
            ..Group::default()
        })
    }

    /// On the page; `more` stands at its end.
    pub fn asked(&self, more: &Markup) -> Markup {
        let id = format!("step-{}", self.number);
        let title =
            html! { span class="number" { (self.number) } " " (words(&starred(self.title))) };
        part(
            &id,
            "step",
            &title,
            &self.blocks(),
            !self.answer.is_empty(),
            more,
        )
    }

    /// The answer to it, if it has one.
    pub fn answered(&self) -> Option<Block> {
        (!self.answer.is_empty()).then(|| {
            Block::Group(Group {
                id: format!("answer-{}", self.number),
                class: "answer-to",
                number: Some(self.number),
                heading: starred(self.title),
                blocks: self.answer.clone(),
                ..Group::default()
            })
        })
    }
}

/// A part of the page: its blocks, what is asked of it when it is filled in, and what it has besides.
pub fn part(
    id: &str,
    class: &str,
    title: &Markup,
    blocks: &[Block],
    answered: bool,
    more: &Markup,
) -> Markup {
    html! {
        section id=(id) class=(class) aria-labelledby=(format!("title-{id}")) {
            h2 id=(format!("title-{id}")) { (title) }
            "\n"
            (part_blocks(blocks, Read::OnScreen, id))
            (more)
            div class="tools on-screen" {
                button type="button" class="hold-against" hidden { "Check what I typed" }
                @if answered {
                    button type="button" class="show-one" aria-expanded="false" { "Show the answer" }
                }
            }
            p class="held-all on-screen" role="status" {}
            @if answered { div class="answer-here on-screen" aria-live="polite" {} }
        }
        "\n"
    }
}

/// A number to measure: what, and what this lathe is expected to give.
pub fn measure(what: impl AsRef<str>, expected: impl AsRef<str>) -> [Words; 3] {
    [
        starred(what.as_ref()),
        starred(expected.as_ref()),
        Words::blank(),
    ]
}

/// Numbers to measure.
pub fn measures(rows: Vec<[Words; 3]>) -> Block {
    let mut table = Table::new(["What", "Expected here", "Measured"]);
    table.class = "measures";
    for row in rows {
        table.row(row);
    }
    Block::Table(table)
}

/// A table; an empty cell is a blank to write in.
pub fn table(head: Vec<String>, rows: Vec<Vec<String>>) -> Block {
    let mut table = Table::new(head.iter().map(|word| starred(word)));
    for row in &rows {
        table.row(row.iter().map(|cell| match cell.as_str() {
            "" => Words::blank(),
            cell => starred(cell),
        }));
    }
    Block::Table(table)
}

/// A paragraph.
pub fn say(words: impl AsRef<str>) -> Block {
    said_as(Role::Plain, words.as_ref())
}

/// The same for a purpose.
pub fn said_as(role: Role, words: &str) -> Block {
    Block::Paragraph(Paragraph {
        words: starred(words),
        role,
        ..Paragraph::default()
    })
}

fn listed(mark: Mark, words: &str) -> Block {
    Block::Paragraph(Paragraph {
        words: starred(words),
        mark,
        ..Paragraph::default()
    })
}

/// A line to write an answer on.
pub fn blank(words: impl AsRef<str>) -> Block {
    Block::Fields(vec![starred(words.as_ref())])
}

/// One of several to tick.
pub fn choose(asked: impl AsRef<str>, of: &[&str]) -> Block {
    Block::Choice(Choice {
        asked: starred(asked.as_ref()),
        of: of.iter().map(|one| starred(one)).collect(),
    })
}

/// Things to tick off.
pub fn ticks<'a>(things: impl IntoIterator<Item = &'a str>) -> Block {
    let ticks = things.into_iter().map(|thing| listed(Mark::Tick, thing));
    Block::Group(Group {
        blocks: ticks.collect(),
        ..Group::default()
    })
}

/// Blocks in a frame of this class.
pub fn framed(class: &'static str, blocks: Vec<Block>) -> Block {
    Block::Group(Group {
        class,
        blocks,
        ..Group::default()
    })
}
