//! What frames every sheet: its head, its sections numbered, in columns, and its foot.

use super::page::Place;
use tautway_words::{Block, Document, Fact, Facts, Group, Layout, Role, Words, plain};

/// What every sheet begins with.
pub(super) const OPENING: &str = "SETUP SHEET";
/// Sections above the columns.
const ABOVE: usize = 2;

/// Head, sections that have something in them, numbered, and foot.
pub(super) fn laid_out(
    head: Document,
    sections: impl IntoIterator<Item = (Place, Vec<Block>)>,
    foot: Document,
) -> Document {
    let mut above: Vec<Block> = sections
        .into_iter()
        .filter(|(_, blocks)| !blocks.is_empty())
        .enumerate()
        .map(|(at, (place, blocks))| {
            Block::Group(Group {
                class: place.id(),
                number: Some(at + 1),
                heading: place.heading().into(),
                blocks,
                ..Group::default()
            })
        })
        .collect();
    let columns = above.split_off(above.len().min(ABOVE));
    let mut page = Document::new();
    page.push(group("header", head));
    page.blocks.append(&mut above);
    page.push(Block::Group(Group {
        layout: Layout::Columns,
        blocks: columns,
        ..Group::default()
    }));
    page.gap();
    page.push(group("foot", foot));
    page
}

fn group(class: &'static str, page: Document) -> Block {
    Block::Group(Group {
        class,
        blocks: page.blocks,
        ..Group::default()
    })
}

/// What is made, on what, and what is filled in by hand.
pub(super) fn head([job, lathe, material]: [&str; 3], note: Option<&str>) -> Document {
    let mut page = Document::new();
    page.title(format!("{OPENING}: {}", plain(job)));
    let fact = |label: &str, value: Words| Fact {
        label: label.into(),
        value,
        small: Words::default(),
    };
    page.push(Block::Facts(Facts {
        layout: Layout::Row,
        of: vec![
            fact("Lathe", plain(lathe).into()),
            fact("Material", plain(material).into()),
            fact("Date", Words::blank()),
            fact("Sheet no.", Words::blank()),
            fact("Who", Words::blank()),
        ],
    }));
    if let Some(note) = note {
        page.say_as(Role::Note, "", plain(note));
    }
    page
}
