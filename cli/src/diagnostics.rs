//! Draws diagnostics as text: the file and line, the line itself, and what would be right.

use annotate_snippets::{
    AnnotationKind, Group, Level, Message, Renderer, Snippet, normalize_untrusted_str,
};
use tautway_sim::scenario::{Diagnostic, Severity, Source};

/// All diagnostics as one text for a terminal or a file, in the order given. `sources` are the
/// texts they point into; one that points into a text not among them is told without its line.
pub fn render(diagnostics: &[Diagnostic], sources: &[Source<'_>], colour: bool) -> String {
    let renderer = if colour {
        Renderer::styled()
    } else {
        Renderer::plain()
    };
    let mut out = String::new();
    for diagnostic in diagnostics {
        let report = [group(diagnostic, sources)];
        out.push_str(&renderer.render(&report));
        out.push_str("\n\n");
    }
    out
}

fn group<'a>(diagnostic: &'a Diagnostic, sources: &[Source<'a>]) -> Group<'a> {
    let level = match diagnostic.severity {
        Severity::Error => Level::ERROR,
        Severity::Warning => Level::WARNING,
        Severity::Note => Level::NOTE,
    };
    let hint: Message<'a> = Level::HELP.message(normalize_untrusted_str(&diagnostic.hint));
    let source = sources.iter().find(|source| source.name == diagnostic.file);
    // A line that nobody wrote is not shown whole: then its place is told in words.
    let too_long =
        source.filter(|source| line_around(source.text, diagnostic.span.start) >= LONGEST);
    let message = match too_long {
        Some(source) => format!(
            "{}:{}: {}",
            source.name,
            diagnostic.line(source.text),
            diagnostic.message
        ),
        None => diagnostic.message.clone(),
    };
    let title = level.primary_title(normalize_untrusted_str(&message));
    let Some(source) = source.filter(|_| too_long.is_none()) else {
        return Group::with_title(title).element(hint);
    };
    let place = AnnotationKind::Primary
        .span(within(&diagnostic.span, source.text))
        .label(normalize_untrusted_str(&diagnostic.label));
    let snippet = Snippet::source(source.text)
        .path(source.name)
        .annotation(place);
    title.element(snippet).element(hint)
}

/// Bytes of a line, beyond which it is not shown.
const LONGEST: usize = 1000;

/// How long the line around a place is.
fn line_around(text: &str, at: usize) -> usize {
    let bytes = text.as_bytes();
    let at = at.min(bytes.len());
    let end = |byte: &u8| *byte == b'\n';
    let before = bytes[..at]
        .iter()
        .rev()
        .take(LONGEST)
        .position(end)
        .unwrap_or(LONGEST.min(at));
    before
        + bytes[at..]
            .iter()
            .take(LONGEST)
            .position(end)
            .unwrap_or(LONGEST.min(bytes.len() - at))
}

/// The span, kept inside the text and on one line: a whole table is pointed at by its head.
fn within(span: &std::ops::Range<usize>, text: &str) -> std::ops::Range<usize> {
    let start = span.start.min(text.len());
    let end = span.end.clamp(start, text.len());
    let line = text
        .get(start..end)
        .and_then(|part| part.find('\n'))
        .map_or(end, |at| start + at);
    start..line
}

#[cfg(test)]
mod tests {
    use super::*;
    use tautway_sim::scenario::decode;

    const LATHE: Source<'_> = Source {
        name: "lathe.toml",
        text: "name = \"a\"\nunits = \"inch\"\n\n[attachment]\nslack = \"0.08 inn\"\n",
    };
    const JOB: Source<'_> = Source {
        name: "job.toml",
        text: "name = \"b\"\nlathe = \"lathe.toml\"\n\n[work]\nkind = \"outside\"\n\
               big_end = \"headstock\"\ntapr = \"2 in/ft\"\ntolerance = \"+-0.01 in/ft\"\n\
               length = \"3 in\"\ndiameter = \"3 in\"\nmaterial = \"1018\"\n",
    };

    fn drawn(colour: bool) -> String {
        let found = decode(JOB, LATHE).expect_err("two faults");
        render(&found, &[JOB, LATHE], colour)
    }

    #[test]
    fn each_fault_shows_file_line_text_and_hint() {
        let text = drawn(false);
        for wanted in [
            "job.toml:7:1",
            "tapr = \"2 in/ft\"",
            "did you mean `taper`?",
            "lathe.toml:5:15",
            "slack = \"0.08 inn\"",
        ] {
            assert!(text.contains(wanted), "no {wanted:?} in\n{text}");
        }
        assert_eq!(text.matches("error: ").count(), 2, "{text}");
    }

    #[test]
    fn colour_only_where_asked_for() {
        assert!(!drawn(false).contains('\u{1b}'));
        assert!(drawn(true).contains('\u{1b}'));
    }

    #[test]
    fn control_characters_of_a_file_do_not_reach_the_terminal() {
        let odd = Source {
            name: "odd.toml",
            text: "name = \"\\u001b[31m\"\nunits = \"\\u001b[2J\"\n",
        };
        let found = decode(JOB, odd).expect_err("units are wrong");
        let text = render(&found, &[JOB, odd], false);
        assert!(!text.contains('\u{1b}'), "{text:?}");
    }

    #[test]
    fn of_a_line_that_nobody_wrote_the_place_alone_is_told() {
        let text = format!("{}x = {}\n", LATHE.text, "[".repeat(5000));
        let long = Source {
            name: "lathe.toml",
            text: &text,
        };
        let found = decode(JOB, long).expect_err("faults");
        let drawn = render(&found, &[JOB, long], false);
        assert!(drawn.contains("lathe.toml:6: "), "{drawn}");
        assert!(!drawn.contains("[[[[["), "{drawn}");
    }

    #[test]
    fn a_fault_in_a_text_not_at_hand_is_still_told() {
        let found = decode(JOB, LATHE).expect_err("two faults");
        let text = render(&found, &[], false);
        assert!(text.contains("did you mean `taper`?"), "{text}");
    }
}
