//! Which form a file is written in: its ending says it, and may not contradict `--format`.

use std::path::Path;

use crate::failure::Failure;
use crate::plan::{LessonFormat, ReportFormat, SheetFormat};

/// The endings that a file may have.
pub struct Endings<F: 'static> {
    /// What is written.
    what: &'static str,
    /// Each with the form that it stands for.
    of: &'static [(&'static str, F)],
}

/// Of a setup sheet.
pub const SHEET: Endings<SheetFormat> = Endings {
    what: "a setup sheet",
    of: &[
        ("txt", SheetFormat::Text),
        ("html", SheetFormat::Html),
        ("htm", SheetFormat::Html),
        ("pdf", SheetFormat::Pdf),
        ("json", SheetFormat::Json),
    ],
};

/// Of a lesson.
pub const LESSON: Endings<LessonFormat> = Endings {
    what: "a lesson",
    of: &[
        ("html", LessonFormat::Html),
        ("htm", LessonFormat::Html),
        ("pdf", LessonFormat::Pdf),
        ("json", LessonFormat::Json),
    ],
};

/// Of a report.
pub const REPORT: Endings<ReportFormat> = Endings {
    what: "a report",
    of: &[
        ("html", ReportFormat::Html),
        ("htm", ReportFormat::Html),
        ("pdf", ReportFormat::Pdf),
    ],
};

/// Of a page.
pub const PAGE: Endings<()> = Endings {
    what: "a page",
    of: &[("html", ()), ("htm", ())],
};

impl<F: Copy + PartialEq> Endings<F> {
    /// The form of a file by its ending and by what `--format` asks for; none where neither says it.
    ///
    /// # Errors
    /// When its ending stands for no form, or for another than the one asked for.
    pub fn form(&self, file: Option<&Path>, asked: Option<F>) -> Result<Option<F>, Failure> {
        let Some((file, ending)) = file.and_then(|file| Some((file, file.extension()?))) else {
            return Ok(asked);
        };
        let ending = ending.to_string_lossy();
        let same = |(known, _): &&(&str, F)| ending.eq_ignore_ascii_case(known);
        let shown = file.display();
        let Some((_, form)) = self.of.iter().find(same) else {
            return Err(Failure::Input(format!(
                "{shown}: {} is not written as .{ending}\n  help: let its name end in {}",
                self.what,
                self.listed(|_| true)
            )));
        };
        match asked {
            Some(asked) if asked != *form => Err(Failure::Input(format!(
                "{shown} ends in .{ending}, and --format asks for another form\n  help: leave \
                 --format out, or let the name end in {}",
                self.listed(|form| form == asked)
            ))),
            _ => Ok(Some(*form)),
        }
    }

    /// ".html, .htm or .pdf".
    fn listed(&self, which: impl Fn(F) -> bool) -> String {
        let endings = self.of.iter().filter(|(_, form)| which(*form));
        let endings: Vec<String> = endings.map(|(ending, _)| format!(".{ending}")).collect();
        match endings.split_last() {
            Some((last, [])) => last.clone(),
            Some((last, rest)) => format!("{} or {last}", rest.join(", ")),
            None => String::new(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_ending_and_a_format_say_the_same_or_nothing_is_written() {
        let form = |file: &str, asked| SHEET.form(Some(Path::new(file)), asked);
        for (file, asked, told) in [
            ("sheet.pdf", None, Some(SheetFormat::Pdf)),
            ("Sheet.PDF", Some(SheetFormat::Pdf), Some(SheetFormat::Pdf)),
            ("sheet.htm", None, Some(SheetFormat::Html)),
            ("sheet", None, None),
            ("sheet", Some(SheetFormat::Json), Some(SheetFormat::Json)),
            ("my.sheets/sheet", None, None),
        ] {
            assert_eq!(form(file, asked).ok(), Some(told), "{file}");
        }
        assert_eq!(SHEET.form(None, None).ok(), Some(None));
        let said = |file: &str, asked| form(file, asked).expect_err(file).words();
        let wrong = said("sheet.pdf", Some(SheetFormat::Html));
        assert!(wrong.contains("end in .html or .htm"), "{wrong}");
        let none = said("sheet.docx", None);
        assert!(none.contains(".txt, .html, .htm, .pdf or .json"), "{none}");
    }
}
