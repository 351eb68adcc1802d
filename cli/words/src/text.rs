//! A document as text of any width, with colour and bold where someone looks.

use textwrap::WordSeparator;

use crate::block::{
    Align, Block, Choice, Document, Facts, Group, Layout, Mark, Paragraph, Role, Table,
};
use crate::span::{BLANK, Span, Words};

/// Columns of a text that goes to a file or another program.
pub const OF_FILE: usize = 80;
/// Columns between which a terminal's width is followed.
const OF_TERMINAL: (usize, usize) = (72, 92);

/// How a text is set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Style {
    /// Columns.
    pub width: usize,
    /// Whether what stands out is coloured and bold.
    pub colour: bool,
}

impl Style {
    /// As files and other programs want it.
    pub const FILE: Self = Self {
        width: OF_FILE,
        colour: false,
    };

    /// For a terminal of so many columns.
    pub fn of_terminal(columns: usize, colour: bool) -> Self {
        let (least, most) = OF_TERMINAL;
        Self {
            width: columns.clamp(least, most),
            colour,
        }
    }
}

/// The document as text, ended by a line end.
pub fn write(document: &Document, style: Style) -> String {
    let mut page = Page {
        text: String::new(),
        style,
        base: 0,
    };
    page.blocks(&document.blocks);
    page.text
}

const BOLD: &str = "\x1b[1m";
/// Bold and yellow: what can hurt.
const WARN: &str = "\x1b[1;33m";
const OFF: &str = "\x1b[0m";

/// Columns between two of a table.
const GUTTER: usize = 2;
/// Letters of a key up to which its value stands in a column.
const WIDEST_LABEL: usize = 32;
/// Letters that a column of words keeps.
const NARROWEST: usize = 14;

fn wrapped(cell: &str, width: usize) -> Vec<String> {
    let options = textwrap::Options::new(width.max(1))
        .word_separator(WordSeparator::AsciiSpace)
        .break_words(false);
    let lines = textwrap::wrap(cell, options);
    lines
        .into_iter()
        .map(std::borrow::Cow::into_owned)
        .collect()
}

struct Page {
    text: String,
    style: Style,
    /// Columns that all is set in.
    base: usize,
}

impl Page {
    fn blocks(&mut self, blocks: &[Block]) {
        for block in blocks {
            self.block(block);
        }
    }

    fn block(&mut self, block: &Block) {
        match block {
            Block::Title(words) => self.fold("", 4, &self.loud(words, BOLD)),
            Block::Heading(words) => {
                self.gap();
                self.fold("", 4, &self.loud(words, BOLD));
            }
            Block::Lead(words) => self.fold("", 4, &self.shown(words)),
            Block::Paragraph(paragraph) => self.paragraph(paragraph),
            Block::Table(table) => self.table(table),
            Block::Facts(facts) => self.facts(facts),
            Block::Fields(labels) => {
                let fields = labels
                    .iter()
                    .map(|label| format!("{} [__________]", self.shown(label)));
                self.fold("", 0, &fields.collect::<Vec<_>>().join("  "));
            }
            Block::Choice(choice) => self.choice(choice),
            Block::Group(group) => self.group(group),
            Block::Gap | Block::PageBreak => self.gap(),
            // To be looked at, typed into or saved.
            Block::Sum(_)
            | Block::Figure(_)
            | Block::Pictures(_)
            | Block::Source(_)
            | Block::Download(_) => {}
        }
    }

    /// An empty line, unless there is one.
    fn gap(&mut self) {
        if !self.text.is_empty() && !self.text.ends_with("\n\n") {
            self.text.push('\n');
        }
    }

    fn paragraph(&mut self, paragraph: &Paragraph) {
        let depth = 2 * paragraph.depth;
        let (mark, hang) = match paragraph.mark {
            Mark::None if paragraph.label.is_empty() && self.base == 0 => ("  ".to_owned(), 2),
            Mark::None if self.base == 0 => (String::new(), 4),
            Mark::None => (String::new(), 0),
            Mark::Dash => ("  - ".to_owned(), 4),
            Mark::Number(number) => (format!("{number:>3}. "), 5),
            Mark::Tick => ("[ ] ".to_owned(), 4),
        };
        let danger = matches!(paragraph.role, Role::Caution(_));
        // On a page of sections a caution has no label of its own.
        let mark = if danger && self.base > 0 {
            "!! ".to_owned()
        } else {
            mark
        };
        let first = format!("{}{mark}", " ".repeat(depth));
        let label = self.loud(&paragraph.label, if danger { WARN } else { BOLD });
        let words = self.shown(&paragraph.words);
        let gap = if label.is_empty() || words.is_empty() {
            ""
        } else {
            " "
        };
        let hang = if danger && self.base > 0 { 3 } else { hang };
        self.fold(&first, depth + hang, &format!("{label}{gap}{words}"));
    }

    fn facts(&mut self, facts: &Facts) {
        if facts.layout != Layout::Flow {
            let of = facts.of.iter().map(|fact| {
                let value = if fact.value.is_blank() {
                    "____________".to_owned()
                } else {
                    self.shown(&fact.value)
                };
                format!("{}: {value}", self.shown(&fact.label))
            });
            self.fold("", 4, &of.collect::<Vec<_>>().join("   "));
            return;
        }
        let labels = facts
            .of
            .iter()
            .map(|fact| fact.label.bare().chars().count());
        let wide = labels.filter(|&label| label <= WIDEST_LABEL).max();
        let wide = wide.unwrap_or(0) + GUTTER;
        for fact in &facts.of {
            let label = match fact.label.bare() {
                label if label.chars().count() > WIDEST_LABEL => format!("{label}: "),
                label => format!("{label:<wide$}"),
            };
            let small = match fact.small.bare() {
                small if small.is_empty() => small,
                small => format!("  ({small})"),
            };
            self.fold(&label, 4, &format!("{}{small}", self.shown(&fact.value)));
        }
    }

    fn choice(&mut self, choice: &Choice) {
        let of = choice.of.iter().map(|of| format!("[ ] {}", of.bare()));
        let of: Vec<_> = of.collect();
        self.fold(
            "",
            4,
            &format!("{}  {}", choice.asked.bare(), of.join("  ")),
        );
    }

    fn group(&mut self, group: &Group) {
        if !group.heading.is_empty() {
            self.gap();
            match group.number {
                Some(number) => {
                    let heading = Words::from(group.heading.bare().to_uppercase());
                    self.fold(&format!("{number:2}. "), 4, &self.loud(&heading, BOLD));
                }
                None => self.fold("", 4, &self.loud(&group.heading, BOLD)),
            }
        }
        let before = self.base;
        if group.number.is_some() {
            self.base += 4;
        }
        self.blocks(&group.blocks);
        self.base = before;
    }

    fn table(&mut self, table: &Table) {
        let columns = table.columns();
        let in_depth = 2 * table.depth + if self.base == 0 { 2 } else { 0 };
        let cell = |row: &[Words], column: usize| match row.get(column) {
            Some(cell) if cell.is_blank() => "________".to_owned(),
            Some(cell) => cell.bare(),
            None => String::new(),
        };
        let mut widths: Vec<usize> = (0..columns)
            .map(|column| {
                let rows = table.rows.iter().chain(std::iter::once(&table.head));
                let widths = rows.map(|row| cell(row, column).chars().count());
                widths.max().unwrap_or(0)
            })
            .collect();
        let indent = self.base + in_depth;
        let gutters = GUTTER * columns.saturating_sub(1);
        let excess_of = |widths: &[usize]| {
            (indent + widths.iter().sum::<usize>() + gutters).saturating_sub(self.style.width)
        };
        if excess_of(&widths) > 0 {
            // Too wide: headings are set on several lines.
            for (column, width) in widths.iter_mut().enumerate() {
                let cells = table
                    .rows
                    .iter()
                    .map(|row| cell(row, column).chars().count());
                let head = table.head.get(column).map_or(String::new(), Words::bare);
                let words = head.split(' ').map(|word| word.chars().count());
                *width = cells.chain(words).max().unwrap_or(0);
            }
        }
        let excess = excess_of(&widths);
        // Still too wide: the widest column of words is, too.
        let words = (0..columns).filter(|&column| table.side(column) == Align::Left);
        let widest = words.max_by_key(|&column| widths[column]);
        let narrowed = widest.is_some_and(|column| widths[column] >= excess + NARROWEST);
        if table.sentences || excess > 0 && !narrowed {
            self.listed(table);
            return;
        }
        if let Some(column) = widest {
            widths[column] -= excess;
        }
        let rows = std::iter::once(&table.head).filter(|head| !head.is_empty());
        for row in rows.chain(&table.rows) {
            let cells: Vec<Vec<String>> = (0..columns)
                .map(|column| wrapped(&cell(row, column), widths[column]))
                .collect();
            let lines = cells.iter().map(Vec::len).max().unwrap_or(0);
            for line in 0..lines {
                let parts = (0..columns).map(|column| {
                    let part = cells[column].get(line).map_or("", String::as_str);
                    let width = widths[column];
                    match table.side(column) {
                        Align::Left => format!("{part:<width$}"),
                        Align::Right => format!("{part:>width$}"),
                    }
                });
                let parts = parts.collect::<Vec<_>>().join(&" ".repeat(GUTTER));
                self.text.push_str(&" ".repeat(indent));
                self.text.push_str(parts.trim_end());
                self.text.push('\n');
            }
        }
    }

    /// Row by row, where the columns don't fit or hold sentences.
    fn listed(&mut self, table: &Table) {
        let depth = 2 * table.depth;
        for row in &table.rows {
            let Some((first, rest)) = row.split_first() else {
                continue;
            };
            let rest = rest.iter().enumerate().filter(|(_, cell)| !cell.is_empty());
            let rest: Vec<String> = rest
                .map(|(at, cell)| match table.head.get(at + 1) {
                    Some(head) if !table.sentences && !head.is_empty() => {
                        format!("{} {}", head.bare(), self.shown(cell))
                    }
                    _ => self.shown(cell),
                })
                .collect();
            let joined = rest.join(if table.sentences { " -> " } else { ", " });
            let first = first.bare();
            let colon = if first.is_empty() { "" } else { ": " };
            let dash = format!("{}- ", " ".repeat(depth));
            self.fold(&dash, depth + 2, &format!("{first}{colon}{joined}"));
        }
    }

    /// Adds a paragraph, wrapped, its first line behind `first`, the others set in.
    fn fold(&mut self, first: &str, hang: usize, words: &str) {
        let base = " ".repeat(self.base);
        let (first, rest) = (format!("{base}{first}"), " ".repeat(self.base + hang));
        let options = textwrap::Options::new(self.style.width)
            .initial_indent(&first)
            .subsequent_indent(&rest)
            .word_separator(WordSeparator::AsciiSpace)
            .break_words(false);
        self.text
            .push_str(textwrap::fill(words, options).trim_end());
        self.text.push('\n');
    }

    /// Words with what stands out in bold, if this is the place for it.
    fn shown(&self, words: &Words) -> String {
        if !self.style.colour {
            return words.bare();
        }
        words
            .spans()
            .iter()
            .map(|span| match span {
                Span::Strong(words) => format!("{BOLD}{words}{OFF}"),
                Span::Plain(words) | Span::Link { words, .. } => words.clone(),
                Span::Blank => BLANK.to_owned(),
            })
            .collect()
    }

    /// Words that all stand out.
    fn loud(&self, words: &Words, how: &str) -> String {
        if self.style.colour && !words.is_empty() {
            format!("{how}{}{OFF}", words.bare())
        } else {
            words.bare()
        }
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::span::strong;

    fn sample() -> Document {
        let mut page = Document::new();
        page.title("A plug, on a lathe");
        page.stop_if("the work slips. Chuck it deeper.");
        page.gap();
        page.say(
            "Aim:",
            format!("the guide at {} on diameter", strong("1.5 in/ft")),
        );
        page.lead("The other ways:");
        page.item("front tool, feeding to the headstock: leaves more");
        page.ranked(1, "a heavier rod");
        let mut table = Table::new(["no.", "set", "slide"]).words_in(&[2]);
        table.row(["1", "10.0 thou", "on the first face"]);
        table.row(["12", "2.0 thou", ""]);
        page.push(Block::Table(table));
        page
    }

    #[test]
    fn a_page_is_set_as_the_shop_reads_it() {
        let text = write(&sample(), Style::FILE);
        let wanted = "A plug, on a lathe\n\
                      STOP IF: the work slips. Chuck it deeper.\n\
                      \n\
                      Aim: the guide at 1.5 in/ft on diameter\n\
                      The other ways:\n  \
                        - front tool, feeding to the headstock: leaves more\n  \
                      1. a heavier rod\n  \
                        no.        set  slide\n  \
                        \x20 1  10.0 thou  on the first face\n  \
                        \x2012   2.0 thou\n";
        assert_eq!(text, wanted);
    }

    #[test]
    fn colour_changes_no_letter_and_no_line() {
        let plain = write(&sample(), Style::FILE);
        let coloured = write(
            &sample(),
            Style {
                colour: true,
                ..Style::FILE
            },
        );
        assert!(
            coloured.contains(&format!("{WARN}STOP IF:{OFF}")),
            "{coloured}"
        );
        let without = [BOLD, WARN, OFF]
            .iter()
            .fold(coloured, |text, code| text.replace(code, ""));
        assert_eq!(without, plain);
    }

    const NARROW: Style = Style {
        width: 72,
        colour: false,
    };

    #[test]
    fn a_table_that_is_too_wide_has_its_words_wrapped() {
        let mut page = Document::new();
        let mut table = Table::new(["move", "carriage", "dial"]).words_in(&[0]);
        let wind = "wind ".repeat(15);
        table.row([wind.as_str(), "1.000 in", "0.010 in"]);
        page.push(Block::Table(table));
        let text = write(&page, NARROW);
        let lines: Vec<&str> = text.lines().collect();
        assert!(lines[0].ends_with("carriage      dial"), "{text}");
        assert!(lines[1].ends_with("1.000 in  0.010 in"), "{text}");
        assert_eq!(lines[2].trim(), "wind wind wind wind wind", "{text}");
    }

    #[test]
    fn a_table_of_too_many_figures_is_told_row_by_row() {
        let mut page = Document::new();
        let mut table = Table::new(["no.", "carriage", "dial"]);
        let wide = "1".repeat(40);
        table.row(["7", &wide, &wide]);
        page.push(Block::Table(table));
        let text = write(&page, NARROW);
        let joined = text.split_whitespace().collect::<Vec<_>>().join(" ");
        assert_eq!(joined, format!("- 7: carriage {wide}, dial {wide}"));
    }

    proptest! {
        /// Whatever is said, no line is wider than asked for unless one word is.
        #[test]
        fn no_line_is_wider_than_the_page(
            words in "([a-z]{1,12} ){0,60}",
            label in "[A-Z]{0,12}:?",
            columns in 20_usize..200,
        ) {
            let mut page = Document::new();
            page.say(label.as_str(), words.as_str());
            page.item(words.as_str());
            let style = Style::of_terminal(columns, false);
            for line in write(&page, style).lines() {
                prop_assert!(line.chars().count() <= style.width, "{line}");
            }
            prop_assert!((72..=92).contains(&style.width));
        }
    }
}
