//! The page as text, at most a hundred columns wide.

use super::page::{Figure, Item, Page, STRONG, Section, Table};

/// Width, columns.
const WIDTH: usize = 96;
/// What every sheet as text begins with.
pub const OPENING: &str = "SETUP SHEET";

/// The page as text.
pub fn of(page: &Page) -> String {
    let mut text = String::new();
    fold(&mut text, &format!("{OPENING}: "), "    ", &page.title);
    let head: Vec<String> = page
        .head
        .iter()
        .map(|(label, value)| {
            let value = value.as_deref().unwrap_or("____________");
            format!("{label}: {value}")
        })
        .collect();
    fold(&mut text, "", "    ", &head.join("   "));
    if let Some(note) = &page.note {
        fold(&mut text, "", "    ", note);
    }
    for section in &page.sections {
        text.push('\n');
        write_section(&mut text, section);
    }
    text.push('\n');
    for line in &page.foot {
        fold(&mut text, "", "  ", line);
    }
    text
}

fn write_section(text: &mut String, section: &Section) {
    fold(
        text,
        &format!("{:2}. ", section.number),
        "    ",
        &section.place.heading().to_uppercase(),
    );
    for item in &section.items {
        match item {
            Item::Say(words) | Item::Loud(words) => fold(text, "    ", "    ", words),
            Item::Check(words) => fold(text, "    [ ] ", "        ", words),
            Item::Caution { words, .. } => fold(text, "    !! ", "       ", words),
            Item::Figures(figures) => {
                for figure in figures {
                    write_figure(text, figure);
                }
            }
            Item::Boxes(labels) => {
                let boxes: Vec<String> = labels
                    .iter()
                    .map(|label| format!("{label} [__________]"))
                    .collect();
                fold(text, "    ", "    ", &boxes.join("  "));
            }
            Item::Table(table) => write_table(text, table),
            Item::Drawing | Item::Calculator => {}
        }
    }
}

fn write_figure(text: &mut String, figure: &Figure) {
    let small = match figure.small.as_str() {
        "" => String::new(),
        small => format!("  ({small})"),
    };
    let first = format!("    {:<26} ", figure.label);
    fold(
        text,
        &first,
        "        ",
        &format!("{}{small}", figure.value),
    );
}

fn write_table(text: &mut String, table: &Table) {
    let columns = table.head.len();
    let cell = |row: &[String], column: usize| match row.get(column).map(String::as_str) {
        Some("") | None => "________".to_owned(),
        Some(cell) => bare(cell),
    };
    if !table.figures {
        for row in &table.rows {
            let parts: Vec<String> = (0..columns).map(|column| cell(row, column)).collect();
            let (first, rest) = parts.split_at(1);
            fold(
                text,
                "    - ",
                "      ",
                &format!("{}: {}", first.concat(), rest.join(" -> ")),
            );
        }
        return;
    }
    let head: Vec<String> = table.head.iter().map(|word| bare(word)).collect();
    let widths: Vec<usize> = (0..columns)
        .map(|column| {
            let cells = table.rows.iter().map(|row| cell(row, column));
            let widest = cells.map(|cell| cell.chars().count()).max().unwrap_or(0);
            widest.max(head[column].chars().count())
        })
        .collect();
    let mut line = |cells: Vec<String>| {
        let padded: Vec<String> = cells
            .iter()
            .zip(&widths)
            .map(|(cell, width)| format!("{cell:>width$}"))
            .collect();
        text.push_str(format!("    {}", padded.join("  ")).trim_end());
        text.push('\n');
    };
    line(head);
    for row in &table.rows {
        line((0..columns).map(|column| cell(row, column)).collect());
    }
}

fn bare(words: &str) -> String {
    words.replace([STRONG.0, STRONG.1], "")
}

fn fold(text: &mut String, first: &str, rest: &str, words: &str) {
    let options = textwrap::Options::new(WIDTH)
        .initial_indent(first)
        .subsequent_indent(rest)
        .word_separator(textwrap::WordSeparator::AsciiSpace);
    text.push_str(textwrap::fill(&bare(words), options).trim_end());
    text.push('\n');
}
