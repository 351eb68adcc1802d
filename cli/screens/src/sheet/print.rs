//! The sheet as one HTML file that needs nothing else: for the printer, the phone and the screen.

use tautway_sim::arithmetic::clamp;
use tautway_words::html::{self, Read, blocks, script};
use tautway_words::{Block, Document, Role, Table, Words};

use super::paper::Paper;

const LOOK: &str = include_str!("look.css");
const SUM: &str = include_str!("sum.js");
const FIT: &str = include_str!("fit.js");

/// The page as HTML.
pub fn html(page: &Document, (version, job): (&str, &str), paper: Paper) -> String {
    let size = match paper {
        Paper::Letter => "letter",
        Paper::A4 => "A4",
    };
    let (wide, high) = paper.size();
    let look = format!(
        "@page {{ size: {size}; margin: 6.4mm; }}\n\
         :root {{ --wide: {:.1}mm; --high: {:.1}mm; --type: {}pt; }}\n{LOOK}",
        wide - 12.8,
        high - 12.8,
        type_size(page, paper),
    );
    html::Page {
        kind: "sheet",
        version,
        title: &tautway_words::plain(job),
        policy: None,
        look: &look,
        before: html::nothing(),
        main: blocks(&page.blocks, Read::OnPaper),
        after: script(&format!("{FIT}{SUM}")),
    }
    .write()
}

/// Type size in points that fits the page, from what stands on it, for where no script runs: about
/// so many letters go on a page at 8 points, and their number falls with the square of the size.
fn type_size(page: &Document, paper: Paper) -> f64 {
    let room = match paper {
        Paper::Letter => 8000.0,
        Paper::A4 => 8700.0,
    };
    let load: f64 = page.walk().map(load).sum();
    let size = 8.0 * (room / load).sqrt();
    clamp((size * 10.0).floor() / 10.0, 5.5, 9.0)
}

/// Letters that a block takes the room of, with a line's worth for every item and a blank.
fn load(block: &Block) -> f64 {
    let letters = |words: &Words| words.bare().chars().count() as f64;
    let rows = |table: &Table| {
        if table.sentences {
            1.3 * table.rows.iter().flatten().map(letters).sum::<f64>()
        } else {
            90.0 * (1.0 + table.rows.len() as f64)
        }
    };
    match block {
        Block::Paragraph(paragraph) if paragraph.role == Role::Loud => {
            2.0 * letters(&paragraph.words)
        }
        // At the foot, in smaller letters.
        Block::Paragraph(paragraph) if !paragraph.label.is_empty() => {
            0.8 * (letters(&paragraph.label) + letters(&paragraph.words))
        }
        Block::Paragraph(paragraph) => letters(&paragraph.words) + 30.0,
        Block::Facts(facts) => 60.0 + 20.0 * facts.of.len() as f64,
        Block::Fields(labels) => 60.0 * (1.0 + labels.len() as f64 / 3.0),
        Block::Table(table) => rows(table),
        Block::Figure(_) => 1300.0,
        Block::Group(group) if group.number.is_some() => 60.0,
        _ => 0.0,
    }
}
