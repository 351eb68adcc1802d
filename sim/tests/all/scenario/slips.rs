//! The unit of each number of each worked example swapped or dropped: how many slips are told.
//!
//! A slip counts as told where the file is refused or warned of. Swaps within a family and across
//! are counted apart, and also without the rule that a file keeps to one family, so that one sees
//! what the ranges and the proportions catch by themselves.

use std::collections::BTreeMap;

use tautway_sim::scenario::{
    Diagnostic, Severity, Source, decode, decode_finished, decode_lathe, decode_readings,
    decode_shop_tests, lathe_named_in,
};

use crate::given::worked::{folder, text};

/// Within a family: off by the size of the unit, or one quantity taken for another.
const WITHIN: &[(&str, &str)] = &[
    ("in", "thou"),
    ("thou", "in"),
    ("mm", "um"),
    ("um", "mm"),
    ("in/ft", "in"),
    ("in/in", "in"),
    ("mm/m", "mm"),
    ("lbf/in", "lbf/thou"),
    ("lbf/thou", "lbf/in"),
    ("N/um", "N/mm"),
    ("N/mm", "N/um"),
    ("N", "kN"),
    ("deg", "min"),
];

/// Across: the same figures in the other system.
const ACROSS: &[(&str, &str)] = &[
    ("in", "mm"),
    ("mm", "in"),
    ("thou", "um"),
    ("um", "thou"),
    ("in/ft", "mm/m"),
    ("mm/m", "in/ft"),
    ("in/in", "mm/m"),
    ("lbf", "N"),
    ("N", "lbf"),
    ("psi", "bar"),
    ("bar", "psi"),
    ("lbf/in", "N/mm"),
    ("lbf/thou", "N/um"),
    ("N/um", "lbf/thou"),
    ("N/mm", "lbf/in"),
    ("sfm", "m/min"),
    ("m/min", "sfm"),
];

/// Where a unit stands in a line: behind a digit and a space, in quotes, before a comment.
fn units_of(line: &str) -> Vec<(usize, &str)> {
    let key = line.split('=').next().unwrap_or("").trim();
    if ["name", "note", "lathe", "job", "units"].contains(&key) || line.starts_with('#') {
        return Vec::new();
    }
    let mut found = Vec::new();
    let mut quoted = false;
    let mut from = 0;
    for (at, c) in line.char_indices() {
        if c == '#' && !quoted {
            break;
        }
        if c == '"' {
            quoted = !quoted;
            from = at + 1;
        }
        if !quoted || at < from {
            continue;
        }
        let before = line[..at].ends_with(' ')
            && line[..at]
                .trim_end()
                .ends_with(|c: char| c.is_ascii_digit() || c == '.');
        if before && c.is_alphabetic() {
            let end = line[at..]
                .find(|c: char| !(c.is_alphanumeric() || c == '/'))
                .map_or(line.len(), |end| at + end);
            found.push((at, &line[at..end]));
            from = end;
        }
    }
    found
}

fn found(name: &str, text_of: &str) -> (bool, Vec<Diagnostic>) {
    let (values, mut found) = read(name, text_of);
    // What a standard's name brings is told, whatever stands in the lines.
    found.retain(|told| told.label != "from its standard");
    (values.is_none(), found)
}

/// The values of a file as read, none where it is refused, and what is told of it.
fn read(name: &str, text_of: &str) -> (Option<String>, Vec<Diagnostic>) {
    fn told<T: std::fmt::Debug>(
        read: Result<(T, Vec<Diagnostic>), Vec<Diagnostic>>,
    ) -> (Option<String>, Vec<Diagnostic>) {
        match read {
            Ok((values, found)) => (Some(format!("{values:?}")), found),
            Err(found) => (None, found),
        }
    }
    let source = Source {
        name,
        text: text_of,
    };
    let ending = name.rsplit_once('.').expect("an ending").1;
    match ending {
        "gauged" => told(decode_finished(source)),
        "readings" => told(decode_readings(source)),
        "tests" => told(decode_shop_tests(source)),
        _ if name.contains("lathe") => told(decode_lathe(source)),
        _ => {
            let lathe = lathe_named_in(source).expect("the lathe's name is left alone");
            let lathe = text(&lathe);
            let lathe = Source {
                name: "lathe",
                text: &lathe,
            };
            told(decode(source, lathe))
        }
    }
}

#[derive(Default)]
struct Tally {
    swaps: usize,
    told: usize,
    by_sense: usize,
    missed: Vec<String>,
    by_unit: BTreeMap<(String, String), [usize; 2]>,
}

fn tally(swaps: &[(&str, &str)], files: &[String]) -> Tally {
    let mut tally = Tally::default();
    for name in files {
        let whole = text(name);
        let (refused, before) = found(name, &whole);
        assert!(!refused && before.is_empty(), "{name}: {before:#?}");
        for (number, line) in whole.lines().enumerate() {
            for (at, unit) in units_of(line) {
                for (_, other) in swaps.iter().filter(|(from, _)| *from == unit) {
                    let slipped = format!("{}{other}{}", &line[..at], &line[at + unit.len()..]);
                    let text: Vec<&str> = whole
                        .lines()
                        .enumerate()
                        .map(|(n, l)| if n == number { slipped.as_str() } else { l })
                        .collect();
                    let (refused, after) = found(name, &text.join("\n"));
                    let told = refused || !after.is_empty();
                    let family = |d: &Diagnostic| d.message.contains("the rest of the file in");
                    let by_sense = refused || after.iter().any(|d| !family(d));
                    tally.swaps += 1;
                    tally.told += usize::from(told);
                    tally.by_sense += usize::from(by_sense);
                    let pair = (unit.to_owned(), (*other).to_owned());
                    let count = tally.by_unit.entry(pair).or_default();
                    count[0] += usize::from(told);
                    count[1] += 1;
                    if !told {
                        tally.missed.push(format!("{name}: {}", slipped.trim()));
                    }
                    if told && !by_sense && std::env::var_os("TAUTWAY_SLIPS").is_some() {
                        println!("by family alone: {name}: {}", slipped.trim());
                    }
                }
            }
        }
    }
    tally
}

fn files() -> Vec<String> {
    let mut files: Vec<String> = std::fs::read_dir(folder())
        .expect("the worked examples")
        .map(|entry| {
            entry
                .expect("a file")
                .file_name()
                .to_string_lossy()
                .into_owned()
        })
        .filter(|name| {
            ["toml", "gauged", "readings", "tests"]
                .iter()
                .any(|ending| name.ends_with(&format!(".{ending}")))
        })
        .collect();
    files.sort();
    assert!(files.len() > 20, "{files:?}");
    files
}

#[test]
fn of_a_hundred_slipped_units_ninety_five_are_told_within_a_family_and_across() {
    let files = files();
    for (what, swaps) in [("within a family", WITHIN), ("across", ACROSS)] {
        let tally = tally(swaps, &files);
        println!(
            "{what}: {} of {} slips told ({:.1} of 100), {} of them without the rule of one family",
            tally.told,
            tally.swaps,
            100.0 * tally.told as f64 / tally.swaps as f64,
            tally.by_sense
        );
        for ((from, to), [told, all]) in &tally.by_unit {
            println!("    {from} -> {to}: {told} of {all}");
        }
        for missed in &tally.missed {
            println!("    not told: {missed}");
        }
        assert!(tally.swaps > 200, "{}", tally.swaps);
        assert!(100 * tally.told >= 95 * tally.swaps, "{what}");
    }
}

/// What comes of a number whose unit was dropped.
#[derive(Default)]
struct Dropped {
    same: usize,
    refused: usize,
    doubted: usize,
    silent: Vec<String>,
}

#[test]
fn a_number_without_its_unit_is_never_silently_another() {
    let mut came = Dropped::default();
    for name in &files() {
        let whole = text(name);
        let (values, _) = read(name, &whole);
        for (number, line) in whole.lines().enumerate() {
            let units = units_of(line);
            // One after the other, and all of a line.
            let mut slipped: Vec<String> = units
                .iter()
                .map(|(at, unit)| format!("{}{}", &line[..at - 1], &line[at + unit.len()..]))
                .collect();
            if units.len() > 1 {
                let mut all = line.to_owned();
                for (at, unit) in units.iter().rev() {
                    all.replace_range(at - 1..at + unit.len(), "");
                }
                slipped.push(all);
            }
            for slipped in slipped {
                let text: Vec<&str> = whole
                    .lines()
                    .enumerate()
                    .map(|(n, l)| if n == number { slipped.as_str() } else { l })
                    .collect();
                let (read, found) = read(name, &text.join("\n"));
                if read.is_none() {
                    came.refused += 1;
                } else if read == values {
                    came.same += 1;
                } else if found.iter().any(|d| d.severity == Severity::Warning) {
                    came.doubted += 1;
                } else {
                    came.silent.push(format!("{name}: {}", slipped.trim()));
                }
            }
        }
    }
    let Dropped {
        same,
        refused,
        doubted,
        silent,
    } = came;
    println!(
        "units dropped: {same} taken as they were, {refused} refused, {doubted} another and \
         doubted, {} another without a word",
        silent.len()
    );
    for one in &silent {
        println!("    another: {one}");
    }
    assert!(same > 200, "{same}");
    assert_eq!(silent, Vec::<String>::new());
}
