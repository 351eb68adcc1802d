//! The page as one HTML file that needs nothing else: for the printer, the phone and the screen.
//!
//! Every word goes through [`escaped`]; only the drawing, which the program made itself, goes in
//! as it is.

use std::fmt::Write;

use tautway_figures::Drawing;
use tautway_sim::arithmetic::clamp;
use tautway_sim::quantity::{Quantity, Units};
use tautway_sim::sheet::Sheet;

use super::page::{BLANK, Figure, Item, Page, STRONG, Section, Table};
use crate::markup::escaped;
use crate::plan::Paper;

const LOOK: &str = include_str!("look.css");
const SUM: &str = include_str!("sum.js");
const FIT: &str = include_str!("fit.js");
/// What every sheet as HTML has near its beginning.
pub const OPENING: &str = "<meta name=\"generator\" content=\"tautway sheet";

/// The page as HTML.
pub fn of(page: &Page, sheet: &Sheet, drawing: &Drawing, paper: Paper) -> String {
    let (size, wide, high) = match paper {
        Paper::Letter => ("letter", 215.9, 279.4),
        Paper::A4 => ("A4", 210.0, 297.0),
    };
    let mut html = format!(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         {OPENING} {}\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <title>{}</title>\n<style>\n@page {{ size: {size}; margin: 6.4mm; }}\n\
         :root {{ --wide: {:.1}mm; --high: {:.1}mm; --type: {}pt; }}\n{LOOK}</style>\n</head>\n\
         <body>\n<main>\n",
        escaped(sheet.version),
        escaped(&page.title),
        wide - 12.8,
        high - 12.8,
        type_size(page, paper),
    );
    header(&mut html, page);
    let (top, rest) = page.sections.split_at(page.sections.len().min(2));
    for section in top {
        write_section(&mut html, section, sheet, drawing);
    }
    html.push_str("<div class=\"columns\">\n");
    for section in rest {
        write_section(&mut html, section, sheet, drawing);
    }
    html.push_str("</div>\n<footer>\n");
    for line in &page.foot {
        let _ = writeln!(html, "<p>{}</p>", marked(line));
    }
    let _ = write!(
        html,
        "</footer>\n</main>\n<script>\n{FIT}{SUM}</script>\n</body>\n</html>\n"
    );
    html
}

/// Type size in points that fits the page, from what stands on it, for where no script runs: about
/// so many letters go on a page at 8 points, and their number falls with the square of the size.
fn type_size(page: &Page, paper: Paper) -> f64 {
    let room = match paper {
        Paper::Letter => 8000.0,
        Paper::A4 => 8700.0,
    };
    let size = 8.0 * (room / load(page)).sqrt();
    clamp((size * 10.0).floor() / 10.0, 5.5, 9.0)
}

/// Letters on the page, with a line's worth for every item and a blank.
fn load(page: &Page) -> f64 {
    let words = |text: &str| text.chars().count() as f64;
    let rows = |table: &Table| {
        let cells: f64 = table.rows.iter().flatten().map(|cell| words(cell)).sum();
        if table.figures {
            90.0 * (1.0 + table.rows.len() as f64)
        } else {
            1.3 * cells
        }
    };
    let item = |item: &Item| match item {
        Item::Say(text) | Item::Check(text) => words(text) + 30.0,
        Item::Loud(text) => 2.0 * words(text),
        Item::Caution { words: text, .. } => words(text) + 30.0,
        Item::Figures(figures) => 60.0 + 20.0 * figures.len() as f64,
        Item::Boxes(labels) => 60.0 * (1.0 + labels.len() as f64 / 3.0),
        Item::Table(table) => rows(table),
        Item::Drawing => 1300.0,
        Item::Calculator => 0.0,
    };
    let sections = page.sections.iter();
    let body: f64 = sections
        .flat_map(|section| &section.items)
        .map(item)
        .sum::<f64>();
    let foot: f64 = page.foot.iter().map(|line| words(line)).sum();
    body + 0.8 * foot + 60.0 * page.sections.len() as f64
}

fn header(html: &mut String, page: &Page) {
    let _ = writeln!(html, "<header>\n<h1>{}</h1>", marked(&page.title));
    html.push_str("<p class=\"head\">");
    for (label, value) in &page.head {
        let value = match value {
            Some(value) => format!("<b>{}</b>", marked(value)),
            None => "<span class=\"blank wide\"></span>".to_owned(),
        };
        let _ = write!(html, "<span>{} {value}</span> ", escaped(label));
    }
    html.push_str("</p>\n");
    if let Some(note) = &page.note {
        let _ = writeln!(html, "<p class=\"note\">{}</p>", marked(note));
    }
    html.push_str("</header>\n");
}

fn write_section(html: &mut String, section: &Section, sheet: &Sheet, drawing: &Drawing) {
    let _ = writeln!(
        html,
        "<section class=\"{}\">\n<h2><span>{}</span> {}</h2>",
        section.place.id(),
        section.number,
        escaped(section.place.heading())
    );
    for item in &section.items {
        write_item(html, item, sheet, drawing);
    }
    html.push_str("</section>\n");
}

fn write_item(html: &mut String, item: &Item, sheet: &Sheet, drawing: &Drawing) {
    let _ = match item {
        Item::Say(words) => writeln!(html, "<p>{}</p>", marked(words)),
        Item::Loud(words) => writeln!(html, "<p class=\"loud\">{}</p>", marked(words)),
        Item::Check(words) => writeln!(
            html,
            "<p class=\"check\"><span class=\"tick\"></span>{}</p>",
            marked(words)
        ),
        Item::Caution { id, words } => writeln!(
            html,
            "<p class=\"caution\" data-caution=\"{}\">{}</p>",
            escaped(id),
            marked(words)
        ),
        Item::Figures(figures) => {
            html.push_str("<div class=\"figures\">\n");
            for figure in figures {
                write_figure(html, figure);
            }
            writeln!(html, "</div>")
        }
        Item::Boxes(labels) => {
            html.push_str("<div class=\"boxes\">");
            for label in labels {
                let _ = write!(html, "<span>{}<i></i></span>", marked(label));
            }
            writeln!(html, "</div>")
        }
        Item::Table(table) => {
            write_table(html, table);
            Ok(())
        }
        Item::Drawing => writeln!(html, "<figure>{}</figure>", drawing.svg),
        Item::Calculator => {
            write_sum(html, sheet);
            Ok(())
        }
    };
}

fn write_figure(html: &mut String, figure: &Figure) {
    let small = match figure.small.as_str() {
        "" => String::new(),
        small => format!("<small>{}</small>", marked(small)),
    };
    let _ = writeln!(
        html,
        "<div><small>{}</small><b>{}</b>{small}</div>",
        marked(&figure.label),
        marked(&figure.value)
    );
}

fn write_table(html: &mut String, table: &Table) {
    let class = if table.figures { "numbers" } else { "words" };
    let _ = write!(html, "<table class=\"{class}\">\n<thead><tr>");
    let word_class = |cell: &str| {
        if cell.starts_with(char::is_alphabetic) {
            " class=\"word\""
        } else {
            ""
        }
    };
    for (column, word) in table.head.iter().enumerate() {
        let below = table.rows.first().and_then(|row| row.get(column));
        let class = word_class(below.map_or("", String::as_str));
        let _ = write!(html, "<th scope=\"col\"{class}>{}</th>", marked(word));
    }
    html.push_str("</tr></thead>\n<tbody>\n");
    for row in &table.rows {
        html.push_str("<tr>");
        for cell in row {
            match cell.as_str() {
                "" => html.push_str("<td class=\"write\"></td>"),
                cell => {
                    let _ = write!(html, "<td{}>{}</td>", word_class(cell), marked(cell));
                }
            }
        }
        html.push_str("</tr>\n");
    }
    html.push_str("</tbody>\n</table>\n");
}

/// A labelled form; its script multiplies by the taper that stands in the form.
fn write_sum(html: &mut String, sheet: &Sheet) {
    let (unit, step, digits) = match sheet.units {
        Units::Inch => ("in", "0.001", 4),
        Units::Metric => ("mm", "0.01", 3),
    };
    let _ = writeln!(
        html,
        "<form id=\"sum\" data-taper=\"{}\" data-digits=\"{digits}\" hidden>\n\
         <label for=\"standoff\">Standoff too much, {unit}</label> \
         <input id=\"standoff\" type=\"number\" inputmode=\"decimal\" step=\"{step}\"> \
         <output for=\"standoff\" id=\"dial\">\u{2013}</output>\n</form>",
        sheet.drawing.aim.si()
    );
}

/// Words with their marks and blanks as HTML.
fn marked(words: &str) -> String {
    escaped(words)
        .replace(STRONG.0, "<b>")
        .replace(STRONG.1, "</b>")
        .replace(BLANK, "<span class=\"blank\"></span>")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_a_person_writes_becomes_markup() {
        let nasty = "<script>alert('\"&')</script>\u{2}\u{3}";
        let clean = super::super::page::plain(nasty);
        let shown = marked(&clean);
        assert_eq!(
            shown,
            "&lt;script&gt;alert(&#39;&quot;&amp;&#39;)&lt;/script&gt;"
        );
    }

    #[test]
    fn marks_and_blanks_are_drawn() {
        let shown = marked(&format!("{} at {BLANK}", super::super::page::strong("off")));
        assert_eq!(shown, "<b>off</b> at <span class=\"blank\"></span>");
    }
}
