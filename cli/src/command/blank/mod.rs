//! `tautway blank`: files to be filled in, for shop tests, readings of the guide, a finished piece.

use tautway_sim::quantity::Units;
use tautway_sim::shop_tests::form;

use crate::command::own_files::{BLANK, PIECE, READINGS};
use crate::failure::{Failure, Verdict};
use crate::output::file::{self, Kind};
use crate::plan::{Blank, BlankKind};
use crate::terminal;

/// A blank, what it is, and the command that reads it once it is filled in.
fn of(what: BlankKind, units: Units) -> (String, &'static Kind, &'static str) {
    let text = |inch: &str, metric: &str| match units {
        Units::Inch => inch.to_owned(),
        Units::Metric => metric.to_owned(),
    };
    match what {
        BlankKind::Tests => (form::blank(units), &BLANK, "lathe update FILE --from worn"),
        BlankKind::Readings => (
            text(
                include_str!("inch.readings"),
                include_str!("metric.readings"),
            ),
            &READINGS,
            "guide FILE",
        ),
        BlankKind::Piece => (
            text(include_str!("inch.gauged"), include_str!("metric.gauged")),
            &PIECE,
            "piece FILE",
        ),
    }
}

/// Tells the blank, or writes it to a file.
///
/// # Errors
/// When it can't be written.
pub fn blank(plan: &Blank) -> Result<Verdict, Failure> {
    let (text, kind, then) = of(plan.what, plan.units);
    match &plan.file.write {
        None => terminal::answer(&text)?,
        Some(path) => {
            file::write(path, plan.file.overwrite, &text, kind)?;
            if file::is_standard_output(path) {
                return Ok(Verdict::Done);
            }
            let path = path.display().to_string();
            let then = then.replace("FILE", &path);
            terminal::answer(&format!("Wrote {path}. Fill it in, then: tautway {then}\n"))?;
        }
    }
    Ok(Verdict::Done)
}

#[cfg(test)]
mod tests {
    use tautway_sim::scenario::{Source, decode_finished, decode_readings};

    use super::*;

    /// With every example taken: what stands behind `# ` and looks like a line of the file.
    fn filled(text: &str) -> String {
        let line = |line: &str| match line.strip_prefix("# ") {
            Some(example) if example.contains(" = ") => example.to_owned(),
            Some(row) if row.starts_with(|c: char| c.is_ascii_digit()) => row.to_owned(),
            _ => line.to_owned(),
        };
        text.lines().map(line).collect::<Vec<_>>().join("\n")
    }

    #[test]
    fn a_blank_is_known_again_and_filled_with_its_examples_it_is_read() {
        for units in [Units::Inch, Units::Metric] {
            let [readings, piece] = [BlankKind::Readings, BlankKind::Piece].map(|what| {
                let (text, kind, _) = of(what, units);
                assert!((kind.is_ours)(&text), "{text}");
                let filled = filled(&text);
                assert!(
                    !(kind.is_ours)(&filled),
                    "what is filled in isn't ours to replace"
                );
                filled
            });
            let source = |text| Source { name: "a", text };
            let (read, _) = decode_readings(source(&readings)).expect("it is right");
            assert_eq!((read.units, read.readings.len()), (units, 8));
            let (piece, found) = decode_finished(source(&piece)).expect("it is right");
            assert_eq!((piece.gauged.units, piece.diameters.len()), (units, 3));
            assert!(found.is_empty(), "{found:?}");
        }
    }
}
