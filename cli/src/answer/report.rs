//! An answer as one HTML file that needs nothing else: words, figures, tables, files and seed.

use std::fmt::Write;

use super::figures::Figure;
use crate::failure::Failure;
use crate::markup::escaped;
use crate::output::file::{self, Kind};
use crate::plan::Wanted;
use crate::texts::Text;

const LOOK: &str = include_str!("report.css");

/// What every report has near its beginning.
const OPENING: &str = "<meta name=\"generator\" content=\"tautway report";

/// What is written, for the messages about it.
pub const KIND: Kind = Kind {
    what: "report",
    option: "--report",
    example: "report.html",
    is_ours: |text| text.contains(OPENING),
};

/// Whether the report that was asked for may be written, before anything is run for it.
///
/// # Errors
/// When something is there that must not be replaced.
pub fn may_be_written(args: &Wanted) -> Result<(), Failure> {
    match &args.report {
        Some(path) => file::may_be_written(path, args.to.overwrite, &KIND),
        None => Ok(()),
    }
}

/// What stands in a report, whatever it is of.
pub struct Contents<'a> {
    /// Of what: the job's name.
    pub name: &'a str,
    /// The words of the screen.
    pub text: &'a str,
    /// The figures.
    pub figures: &'a [Figure],
    /// Tables to be read in it.
    pub tables: &'a [Table<'a>],
    /// Files to be saved from it.
    pub downloads: &'a [Download<'a>],
    /// What else there is to say of raw data.
    pub elsewhere: Option<&'a str>,
    /// The files it was made from.
    pub texts: &'a [Text],
    /// Luck of the run.
    pub seed: u64,
    /// Lathes tried, where some were.
    pub tried: Option<u64>,
}

/// A table of rows as CSV, shown with a column for each.
pub struct Table<'a> {
    /// Its heading.
    pub title: &'a str,
    /// What its columns are.
    pub about: &'a str,
    /// Its rows.
    pub csv: &'a str,
}

/// A file that the page carries.
pub struct Download<'a> {
    /// Its name.
    pub name: &'a str,
    /// Its type.
    pub kind: &'a str,
    /// What stands in it.
    pub text: &'a str,
}

/// The page.
///
/// # Errors
/// Never in practice: it is written to memory.
pub fn of(contents: &Contents<'_>) -> Result<String, Failure> {
    let mut html = format!(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         {OPENING} {}\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <title>{}</title>\n<style>\n{LOOK}</style>\n</head>\n<body>\n<main>\n",
        env!("CARGO_PKG_VERSION"),
        escaped(contents.name),
    );
    words(&mut html, contents.text);
    if !contents.figures.is_empty() {
        html.push_str("<h2>Figures</h2>\n");
    }
    for figure in contents.figures {
        let _ = writeln!(html, "<figure>{}</figure>", figure.drawing.svg);
    }
    for table in contents.tables {
        let _ = write!(
            html,
            "<h2>{}</h2>\n<p>{}</p>\n",
            escaped(table.title),
            escaped(table.about)
        );
        turned(&mut html, table.csv)?;
    }
    html.push_str("<h2>Raw data</h2>\n<ul>\n");
    for file in contents.downloads {
        download(&mut html, file);
    }
    if let Some(words) = contents.elsewhere {
        let _ = writeln!(html, "<li>{}</li>", escaped(words));
    }
    html.push_str("</ul>\n<h2>What it was made from</h2>\n");
    for text in contents.texts {
        let _ = writeln!(
            html,
            "<details><summary>{}</summary><pre tabindex=\"0\">{}</pre></details>",
            escaped(&text.file_name()),
            escaped(&text.text)
        );
    }
    let tried = contents
        .tried
        .map_or(String::new(), |tried| format!(", {tried} lathes tried"));
    let _ = write!(
        html,
        "<footer><p>tautway {}, seed {}{tried}. The same files, seed and version give the same \
         page.</p></footer>\n</main>\n</body>\n</html>\n",
        env!("CARGO_PKG_VERSION"),
        contents.seed
    );
    Ok(html)
}

/// The screen's paragraphs: a line that begins with blanks goes on with the one before, unless a
/// dash opens an item.
fn words(html: &mut String, text: &str) {
    let mut paragraphs: Vec<(bool, String)> = Vec::new();
    let mut fresh = true;
    for line in text.lines() {
        let item = line.strip_prefix("  - ");
        let goes_on = line.starts_with("    ") && !fresh;
        if line.trim().is_empty() {
            fresh = true;
            continue;
        }
        match (item, paragraphs.last_mut()) {
            (Some(item), _) => paragraphs.push((true, item.to_owned())),
            (None, Some((_, last))) if goes_on => {
                last.push(' ');
                last.push_str(line.trim());
            }
            _ => paragraphs.push((false, line.trim().to_owned())),
        }
        fresh = false;
    }
    let mut listing = false;
    for (place, (item, words)) in paragraphs.iter().enumerate() {
        if *item != listing {
            html.push_str(if *item { "<ul>\n" } else { "</ul>\n" });
            listing = *item;
        }
        let _ = if *item {
            writeln!(html, "<li>{}</li>", escaped(words))
        } else if place == 0 {
            writeln!(html, "<h1>{}</h1>", escaped(words))
        } else {
            writeln!(html, "<p{}>{}</p>", class(words), labelled(words))
        };
    }
    if listing {
        html.push_str("</ul>\n");
    }
}

fn class(words: &str) -> &'static str {
    if words.starts_with("STOP IF:") {
        " class=\"stop\""
    } else if words.starts_with("CUT IT THIS WAY:") {
        " class=\"first\""
    } else {
        ""
    }
}

/// The label before the first colon in bold, where it is a short one.
fn labelled(words: &str) -> String {
    match words.split_once(": ") {
        Some((label, rest)) if label.chars().count() <= 24 => {
            format!("<b>{}:</b> {}", escaped(label), escaped(rest))
        }
        _ => escaped(words),
    }
}

/// A table of rows as one of columns.
fn turned(html: &mut String, rows: &str) -> Result<(), Failure> {
    let fault = |why: csv::Error| Failure::Stopped(format!("can't read CSV: {why}"));
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .from_reader(rows.as_bytes());
    let rows: Vec<csv::StringRecord> = reader.records().collect::<Result<_, _>>().map_err(fault)?;
    let Some((names, ways)) = rows.split_first() else {
        return Ok(());
    };
    html.push_str("<div class=\"wide\" tabindex=\"0\"><table>\n<tbody>\n");
    for (place, name) in names.iter().enumerate() {
        if ways.iter().all(|way| way[place].is_empty()) {
            continue;
        }
        let _ = write!(
            html,
            "<tr><th scope=\"row\">{}</th>",
            escaped(&name.replace('_', " "))
        );
        for way in ways {
            let cell = &way[place];
            let class = if cell.parse::<f64>().is_ok() {
                ""
            } else {
                " class=\"word\""
            };
            let _ = write!(html, "<td{class}>{}</td>", escaped(cell));
        }
        html.push_str("</tr>\n");
    }
    html.push_str("</tbody>\n</table></div>\n");
    Ok(())
}

/// A link that saves what it carries.
fn download(html: &mut String, file: &Download<'_>) {
    let Download { name, kind, text } = file;
    let mut data = String::with_capacity(text.len() + text.len() / 4);
    for byte in text.bytes() {
        if byte.is_ascii_alphanumeric() || b"-_.,;:+/ ".contains(&byte) {
            data.push(char::from(byte));
        } else {
            let _ = write!(data, "%{byte:02X}");
        }
    }
    let _ = writeln!(
        html,
        "<li><a download=\"{name}\" href=\"data:{kind};charset=utf-8,{data}\">{name}</a></li>"
    );
}
