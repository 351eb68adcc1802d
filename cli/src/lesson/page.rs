//! What a step of the lesson is made of, and how it becomes markup.
//!
//! Words are marked plainly: `*bold*`. Every word goes through [`marked`]; only drawings, which the
//! program made itself, go in as they are.

use std::fmt::Write;

use tautway_sim::caution::Caution;

use crate::markup::escaped;

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
    fn words(self) -> (&'static str, &'static str) {
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

/// A number to measure.
pub struct Measure {
    /// What.
    pub what: String,
    /// What this lathe is expected to give.
    pub expected: String,
}

/// What stands in a step besides words.
pub enum Piece {
    /// A paragraph.
    Say(String),
    /// Numbers to measure.
    Measures(Vec<Measure>),
    /// A line to write an answer on.
    Blank(String),
    /// One of several to tick.
    Choose(String, Vec<&'static str>),
    /// Things to tick off.
    Ticks(Vec<String>),
    /// A table; an empty cell is a blank to write in.
    Table(Vec<String>, Vec<Vec<String>>),
    /// Markup of the program's own.
    Drawn(String),
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
    pub pieces: Vec<Piece>,
    /// The answer, apart from it.
    pub answer: Vec<Piece>,
}

/// Shorthand for a number to measure.
pub fn measure(what: impl Into<String>, expected: impl Into<String>) -> Measure {
    Measure {
        what: what.into(),
        expected: expected.into(),
    }
}

/// Shorthand for a paragraph.
pub fn say(words: impl Into<String>) -> Piece {
    Piece::Say(words.into())
}

/// Words as markup: `*bold*` between stars.
pub fn marked(words: &str) -> String {
    let mut out = String::new();
    for (at, part) in escaped(words).split('*').enumerate() {
        let bold = at % 2 == 1;
        out.push_str(if bold { "<b>" } else { "" });
        out.push_str(part);
        out.push_str(if bold { "</b>" } else { "" });
    }
    out
}

/// A step with its question, without its answer.
pub fn write_step(html: &mut String, step: &Step) {
    let (class, state) = step.state.words();
    let n = step.number;
    let _ = write!(
        html,
        "<section class=\"step\" id=\"step-{n}\" aria-labelledby=\"title-{n}\">\n\
         <h2 id=\"title-{n}\"><span class=\"number\">{n}</span> {}</h2>\n\
         <p class=\"state {class}\">{}</p>\n<p class=\"question\">{}</p>\n",
        marked(step.title),
        marked(state),
        marked(&step.question)
    );
    for caution in &step.cautions {
        let _ = writeln!(
            html,
            "<p class=\"caution\" data-caution=\"{}\"><b>STOP IF</b> {}. {}</p>",
            caution.id,
            marked(caution.stop_if),
            marked(caution.advice)
        );
    }
    if !step.hands.is_empty() {
        html.push_str("<h3>At the lathe</h3>\n<ol>\n");
        for hand in &step.hands {
            let _ = writeln!(html, "<li>{}</li>", marked(hand));
        }
        html.push_str("</ol>\n");
    }
    write_pieces(html, &step.pieces, &format!("{n}"));
    html.push_str("</section>\n");
}

/// The answer to a step.
pub fn write_answer(html: &mut String, step: &Step) {
    if step.answer.is_empty() {
        return;
    }
    let _ = writeln!(
        html,
        "<h3 class=\"answer-to\">{} {}</h3>",
        step.number,
        marked(step.title)
    );
    write_pieces(html, &step.answer, &format!("a{}", step.number));
}

/// Pieces in their order; `id` keeps the fields of one step apart from another's.
pub fn write_pieces(html: &mut String, pieces: &[Piece], id: &str) {
    for (at, piece) in pieces.iter().enumerate() {
        let id = format!("f{id}-{at}");
        match piece {
            Piece::Say(words) => {
                let _ = writeln!(html, "<p>{}</p>", marked(words));
            }
            Piece::Measures(rows) => measures(html, rows),
            Piece::Blank(words) => {
                let _ = writeln!(
                    html,
                    "<p class=\"blank\"><label for=\"{id}\">{}</label> \
                     <input id=\"{id}\" type=\"text\" autocomplete=\"off\"></p>",
                    marked(words)
                );
            }
            Piece::Choose(words, choices) => {
                let _ = write!(
                    html,
                    "<fieldset class=\"choose\"><legend>{}</legend>",
                    marked(words)
                );
                for choice in choices {
                    let _ = write!(
                        html,
                        "<label><input type=\"radio\" name=\"{id}\"> {}</label> ",
                        marked(choice)
                    );
                }
                html.push_str("</fieldset>\n");
            }
            Piece::Ticks(things) => {
                html.push_str("<ul class=\"ticks\">\n");
                for thing in things {
                    let _ = writeln!(
                        html,
                        "<li><label><input type=\"checkbox\"> <span>{}</span></label></li>",
                        marked(thing)
                    );
                }
                html.push_str("</ul>\n");
            }
            Piece::Table(head, rows) => table(html, head, rows),
            Piece::Drawn(markup) => html.push_str(markup),
        }
    }
}

fn field(what: &str) -> String {
    format!(
        "<input type=\"text\" autocomplete=\"off\" aria-label=\"{}\">",
        escaped(&what.replace('*', ""))
    )
}

fn measures(html: &mut String, rows: &[Measure]) {
    html.push_str(
        "<table class=\"measures\"><thead><tr><th scope=\"col\">What</th>\
         <th scope=\"col\">Expected here</th><th scope=\"col\">Measured</th></tr></thead><tbody>\n",
    );
    for row in rows {
        let _ = writeln!(
            html,
            "<tr><th scope=\"row\">{}</th><td class=\"num\">{}</td><td class=\"write\">{}</td></tr>",
            marked(&row.what),
            marked(&row.expected),
            field(&format!("measured: {}", row.what))
        );
    }
    html.push_str("</tbody></table>\n");
}

fn table(html: &mut String, head: &[String], rows: &[Vec<String>]) {
    html.push_str("<table><thead><tr>");
    for word in head {
        let _ = write!(html, "<th scope=\"col\">{}</th>", marked(word));
    }
    html.push_str("</tr></thead><tbody>\n");
    for row in rows {
        html.push_str("<tr>");
        for (column, cell) in row.iter().enumerate() {
            if cell.is_empty() {
                let what = format!(
                    "{}, {}",
                    row[0],
                    head.get(column).map_or("", String::as_str)
                );
                let _ = write!(html, "<td class=\"write\">{}</td>", field(&what));
            } else if column == 0 {
                let _ = write!(html, "<th scope=\"row\">{}</th>", marked(cell));
            } else {
                let _ = write!(html, "<td class=\"num\">{}</td>", marked(cell));
            }
        }
        html.push_str("</tr>\n");
    }
    html.push_str("</tbody></table>\n");
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_a_person_writes_becomes_markup() {
        assert_eq!(
            marked("<script>\"&\"</script> *loud*"),
            "&lt;script&gt;&quot;&amp;&quot;&lt;/script&gt; <b>loud</b>"
        );
    }

    #[test]
    fn an_empty_cell_is_a_blank_with_a_name() {
        let mut html = String::new();
        table(
            &mut html,
            &["depth".to_owned(), "which wins".to_owned()],
            &[vec!["0.005 in".to_owned(), String::new()]],
        );
        assert!(
            html.contains("aria-label=\"0.005 in, which wins\""),
            "{html}"
        );
    }
}
