//! The files of a lathe, a job and the shop tests that the program writes, known by their openings.

use tautway_sim::scenario::{Source, decode_shop_tests};

use tautway_browser_engine::measured::MEASURED;

use crate::output::file::Kind;

const LATHE_OPENING: &str = "# One lathe with its taper attachment.";
const JOB_OPENING: &str = "# One taper to make.";
const TESTS_OPENING: &str = "# Shop tests of one lathe.";
const READINGS_OPENING: &str = "# Readings of the guide, to be filled in.";
const PIECE_OPENING: &str = "# A finished piece, to be filled in.";

/// A lathe file: as `new` writes it, or with numbers that `lathe` put into one.
pub const LATHE: Kind = Kind {
    what: "lathe file that tautway wrote",
    option: "--out",
    example: "lathe.toml",
    is_ours: |text| text.starts_with(LATHE_OPENING) || text.contains(MEASURED),
};

/// A job file as `new` writes it.
pub const JOB: Kind = Kind {
    what: "job file that tautway wrote",
    option: "new",
    example: "job.toml",
    is_ours: |text| text.starts_with(JOB_OPENING),
};

/// Readings of shop tests, asked for at the terminal.
pub const TESTS: Kind = Kind {
    what: "file of shop tests that tautway wrote",
    option: "--out",
    example: "tests.toml",
    is_ours: |text| text.starts_with(TESTS_OPENING),
};

/// The same with nothing filled in yet.
pub const BLANK: Kind = Kind {
    what: "blank file of shop tests",
    is_ours: |text| {
        let source = Source { name: "", text };
        let blank = decode_shop_tests(source).is_ok_and(|(tests, _)| tests.done().is_empty());
        (TESTS.is_ours)(text) && blank
    },
    ..TESTS
};

/// A blank for readings of the guide, with nothing filled in yet.
pub const READINGS: Kind = Kind {
    what: "blank file of readings",
    option: "--out",
    example: "guide.readings",
    is_ours: |text| text.starts_with(READINGS_OPENING) && is_unfilled(text),
};

/// A blank for a finished piece, with nothing filled in yet.
pub const PIECE: Kind = Kind {
    what: "blank file of a finished piece",
    option: "--out",
    example: "piece.gauged",
    is_ours: |text| text.starts_with(PIECE_OPENING) && is_unfilled(text),
};

/// Whether a blank says its units and nothing else.
fn is_unfilled(text: &str) -> bool {
    let table = text.parse::<toml_edit::DocumentMut>();
    table.is_ok_and(|document| {
        let filled = |key: &str, item: &toml_edit::Item| match item.as_table() {
            Some(table) => table.iter().any(|(key, item)| {
                let rows = item.as_str().is_some_and(|rows| {
                    let own = rows
                        .lines()
                        .filter(|line| !line.trim_start().starts_with('#'));
                    key == "rows" && own.filter(|line| !line.trim().is_empty()).count() <= 1
                });
                !rows
            }),
            None => key != "units",
        };
        !document.iter().any(|(key, item)| filled(key, item))
    })
}

#[cfg(test)]
mod tests {
    use tautway_sim::quantity::Units;
    use tautway_sim::scenario::template::{self, JobAnswers, LatheAnswers};
    use tautway_sim::shop_tests::form;

    use super::*;

    #[test]
    fn what_is_written_is_known_again() {
        let lathe = template::lathe(&LatheAnswers::default());
        let job = template::job(&JobAnswers::default());
        for units in [Units::Inch, Units::Metric] {
            let blank = form::blank(units);
            let filled = blank.replacen("middle = \"not done\"", "middle = [\"1 in\"]", 1);
            assert_ne!(blank, filled);
            for (kind, ours) in [
                (&LATHE, [true, false, false, false]),
                (&JOB, [false, true, false, false]),
                (&TESTS, [false, false, true, true]),
                (&BLANK, [false, false, true, false]),
            ] {
                let known = [&lathe, &job, &blank, &filled].map(|text| (kind.is_ours)(text));
                assert_eq!(known, ours, "{}", kind.what);
            }
        }
    }
}
