//! The house rules that a machine can check.

use std::fs;
use std::path::{Path, PathBuf};

/// The crates of the engine, from above; `sim` is their face.
const ENGINE: [&str; 4] = ["sim/numbers", "sim/input", "sim/engine", "sim/shop"];

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .parent()
        .expect("the workspace")
        .to_owned()
}

/// Every Rust file of the workspace.
fn sources() -> Vec<PathBuf> {
    fn walk(folder: &Path, found: &mut Vec<PathBuf>) {
        for entry in fs::read_dir(folder).expect("a folder of the workspace") {
            let path = entry.expect("an entry").path();
            if path.is_dir() && path.file_name().is_some_and(|name| name != "target") {
                walk(&path, found);
            } else if path.extension().is_some_and(|kind| kind == "rs") {
                found.push(path);
            }
        }
    }
    let mut found = Vec::new();
    for part in ["sim", "figures", "cli", "tests"] {
        walk(&root().join(part), &mut found);
    }
    found.sort();
    assert!(found.len() > 50, "too few sources found: {}", found.len());
    found
}

#[test]
fn every_file_says_first_what_it_is_for() {
    let silent: Vec<_> = sources()
        .into_iter()
        .filter(|path| !fs::read_to_string(path).expect("text").starts_with("//! "))
        .collect();
    assert!(silent.is_empty(), "no //! at the top: {silent:?}");
}

#[test]
fn files_stay_short() {
    let long: Vec<_> = sources()
        .into_iter()
        .map(|path| {
            (
                fs::read_to_string(&path).expect("text").lines().count(),
                path,
            )
        })
        .filter(|(lines, _)| *lines > 560)
        .collect();
    assert!(long.is_empty(), "over 560 lines: {long:?}");
}

#[test]
fn the_physics_does_no_input_or_output() {
    let banned = [
        "std::fs",
        "std::env",
        "std::io",
        "std::time",
        "std::net",
        "println!",
        "eprintln!",
        "thread_rng",
    ];
    let tests = root().join("sim/tests");
    for path in sources()
        .into_iter()
        .filter(|path| path.starts_with(root().join("sim")) && !path.starts_with(&tests))
    {
        let text = fs::read_to_string(&path).expect("text");
        for word in banned {
            assert!(!text.contains(word), "{word} in {}", path.display());
        }
    }
}

/// Clippy sees the types and denies the methods (`.clippy.toml`); this looks that it is told to,
/// and at what it can't see: another way to the system's functions.
#[test]
fn floating_point_is_the_same_everywhere() {
    let settings = fs::read_to_string(root().join(".clippy.toml")).expect(".clippy.toml");
    for method in [
        "sin", "cos", "tan", "asin", "acos", "atan", "atan2", "sin_cos", "sinh", "cosh", "tanh",
        "asinh", "acosh", "atanh", "exp", "exp2", "exp_m1", "ln", "ln_1p", "log", "log2", "log10",
        "powf", "powi", "hypot", "cbrt", "mul_add", "min", "max", "clamp",
    ] {
        assert!(
            settings.contains(&format!("\"f64::{method}\"")),
            "{method} is allowed"
        );
    }
    let crates = ENGINE.map(|part| (part, "lib.rs"));
    for (part, front) in crates
        .into_iter()
        .chain([("figures", "lib.rs"), ("cli", "main.rs")])
    {
        let product = root().join(part).join("src");
        let front = fs::read_to_string(product.join(front)).expect("text");
        let denied = "#![cfg_attr(not(test), deny(clippy::disallowed_methods))]";
        assert!(front.contains(denied), "{part} may call what differs");
        for path in sources().iter().filter(|path| path.starts_with(&product)) {
            let text = fs::read_to_string(path).expect("text");
            assert!(!text.contains("clippy::disallowed_methods") || text == front);
            let is_home = path.ends_with("sim/numbers/src/arithmetic.rs");
            for word in ["libm::", "num_traits", "algebraic_", ".mul_add("] {
                assert!(
                    is_home || !text.contains(word),
                    "{word} in {}",
                    path.display()
                );
            }
        }
    }
}

#[test]
fn nothing_else_stands_at_the_top() {
    let allowed = [
        "Cargo.toml",
        "Cargo.lock",
        "README.md",
        "DEVELOPERS.md",
        "LICENSE-MIT",
        "LICENSE-APACHE",
        "sim",
        "figures",
        "cli",
        "tests",
        "scenarios",
        "target",
    ];
    for entry in fs::read_dir(root()).expect("the workspace") {
        let name = entry.expect("an entry").file_name();
        let name = name.to_string_lossy();
        assert!(
            name.starts_with('.') || allowed.contains(&name.as_ref()),
            "{name}"
        );
    }
}

#[test]
fn every_worked_example_says_that_its_numbers_are_invented() {
    for entry in fs::read_dir(root().join("scenarios")).expect("scenarios") {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            continue;
        }
        let text = fs::read_to_string(&path).expect("text").to_lowercase();
        assert!(text.contains("invented"), "{}", path.display());
    }
}

#[test]
fn the_code_map_names_every_module_of_the_engine() {
    let map = fs::read_to_string(root().join("DEVELOPERS.md")).expect("DEVELOPERS.md");
    for part in ENGINE {
        let front = root().join(part).join("src/lib.rs");
        let front = fs::read_to_string(front).expect("a crate of the engine");
        for module in front
            .lines()
            .filter_map(|line| line.strip_prefix("pub mod "))
        {
            let name = module.trim_end_matches(';');
            assert!(
                map.contains(&format!("`{name}`")),
                "{name} is not in DEVELOPERS.md"
            );
        }
    }
}

#[test]
fn the_page_for_contributors_stays_short() {
    let page = fs::read_to_string(root().join("DEVELOPERS.md")).expect("DEVELOPERS.md");
    assert!(
        page.len() <= 18_000,
        "DEVELOPERS.md has {} bytes",
        page.len()
    );
}

#[test]
fn the_page_for_contributors_names_no_file_that_is_gone() {
    let page = fs::read_to_string(root().join("DEVELOPERS.md")).expect("DEVELOPERS.md");
    let mut seen = 0;
    for place in page.split(|mark: char| mark.is_whitespace() || "`,;()".contains(mark)) {
        let place = place.trim_end_matches(['.', ':']);
        let ours = [
            "cli/",
            "sim/",
            "figures/",
            "tests/",
            "scenarios/",
            ".cargo/",
            ".ci/",
        ];
        if ours.iter().any(|part| place.starts_with(part)) {
            assert!(
                root().join(place).exists(),
                "{place} is in DEVELOPERS.md and not there"
            );
            seen += 1;
        }
    }
    assert!(seen > 25, "{seen}");
}

/// The rows of the table in DEVELOPERS.md that begins with this line, each cut at its bars.
fn rows(head: &str) -> Vec<Vec<String>> {
    let page = fs::read_to_string(root().join("DEVELOPERS.md")).expect("DEVELOPERS.md");
    let (_, rest) = page.split_once(head).expect("the table");
    let rows: Vec<Vec<String>> = rest
        .lines()
        .skip(2)
        .take_while(|line| line.starts_with('|'))
        .map(|line| line.split('|').map(|cell| cell.trim().to_owned()).collect())
        .collect();
    assert!(rows.len() > 8, "{rows:?}");
    rows
}

/// What stands between backticks.
fn quoted(cell: &str) -> Vec<&str> {
    cell.split('`').skip(1).step_by(2).collect()
}

#[test]
fn the_code_map_names_no_module_that_is_gone() {
    for row in rows("| module | what it is |") {
        let names = quoted(&row[1]);
        assert!(!names.is_empty(), "{row:?}");
        for name in names {
            let there = ENGINE.iter().any(|part| {
                let engine = root().join(part).join("src");
                engine.join(format!("{name}.rs")).exists()
                    || engine.join(name).join("mod.rs").exists()
            });
            assert!(there, "{name} is in the code map and not in sim");
        }
    }
}

#[test]
fn the_table_of_tests_names_what_is_there() {
    for row in rows("| class | where | what |") {
        for place in quoted(&row[2]).iter().filter(|place| place.contains('/')) {
            let (folder, file) = place.rsplit_once('/').expect("a folder");
            let (before, after) = file.split_once('*').unwrap_or((file, ""));
            let found = fs::read_dir(root().join(folder))
                .unwrap_or_else(|why| panic!("{folder}: {why}"))
                .map(|entry| entry.expect("an entry").file_name().display().to_string())
                .any(|name| name.starts_with(before) && name.ends_with(after));
            assert!(found, "{place} is in the table of tests and not there");
        }
    }
}

/// A file of a crate without its tests: what stands before `#[cfg(test)]`, comments and texts left out.
fn product(text: &str) -> impl Iterator<Item = (usize, String)> {
    text.lines()
        .take_while(|line| line.trim() != "#[cfg(test)]")
        .enumerate()
        .map(|(at, line)| (at + 1, line.split("//").next().unwrap_or("").to_owned()))
}

/// Numbers of a line, with the marks beside each: `("*", 12.0, ")")`.
fn numbers(line: &str) -> Vec<(Option<char>, f64, Option<char>)> {
    let is_part = |c: char| c.is_ascii_alphanumeric() || c == '.' || c == '_';
    let mut found = Vec::new();
    let mut from = 0;
    while let Some(start) = line[from..].find(|c: char| c.is_ascii_digit()) {
        let start = from + start;
        let stops = |from: usize| {
            line[from..]
                .find(|c: char| !is_part(c))
                .map_or(line.len(), |length| from + length)
        };
        let mut end = stops(start);
        if line[start..end].ends_with('e') && line[end..].starts_with('-') {
            end = stops(end + 1);
        }
        from = end;
        let before = line[..start].chars().next_back();
        let word = line[start..end].replace('_', "");
        let (Ok(number), false) = (word.parse::<f64>(), before.is_some_and(is_part)) else {
            continue;
        };
        if !word.contains(['.', 'e']) {
            continue;
        }
        let mark = |beside: &str, back: bool| {
            let beside = beside.trim();
            if back {
                beside.chars().next_back()
            } else {
                beside.chars().next()
            }
        };
        found.push((
            mark(&line[..start], true),
            number,
            mark(&line[end..], false),
        ));
    }
    found
}

/// Foot, pound-force and what is made of them, in SI or in one another. Mass and gravity are no
/// units of the shop.
const SHOP_UNITS: [f64; 7] = [
    0.3048,
    304.8,
    4.448_221_615_260_5,
    4.448,
    6_894.757,
    175_126.8,
    175.126_8,
];

/// Whether the digits are those of an inch or of a half, a quarter or an eighth of one, in whatever
/// decimal: 25.4, 254e-6, 12.7e-6.
fn is_inch(number: f64) -> bool {
    let digits = format!("{number:e}");
    let (digits, _) = digits.split_once('e').unwrap_or((&digits, ""));
    ["2.54", "1.27", "6.35", "3.175"].contains(&digits)
}

/// Twelves that are not the inches in a foot: the variance of a rectangle and of a line, a taper of
/// one in twelve, a share of a turn, room in a drawing.
const OTHER_TWELVES: [(&str, &str); 6] = [
    (
        "sim/numbers/src/spread/distribution.rs",
        "powi(upper - lower, 2) / 12.0",
    ),
    ("sim/engine/src/measure/filter.rs", "12.0 * sum(&moments)"),
    (
        "sim/shop/src/readings/spread.rs",
        "self.step * self.step / 12.0",
    ),
    ("sim/shop/src/readings/line.rs", "step * step / 12.0"),
    ("sim/input/src/standard_taper.rs", "1.0 / 12.0"),
    ("figures/src/thread.rs", "f64::from(i) / 12.0"),
];

#[test]
fn the_numbers_of_a_line_are_found_with_their_marks() {
    assert_eq!(
        numbers("let x = m / 0.025_4 * y12.0 + [25.4e-6];"),
        [
            (Some('/'), 0.0254, Some('*')),
            (Some('['), 25.4e-6, Some(']'))
        ]
    );
    assert!(
        [0.0254, 25.4e-6, 254e-6, 12.7e-6, 25.4]
            .into_iter()
            .all(is_inch)
    );
    assert!(![0.254_1, 25.0, 12.0].into_iter().any(is_inch));
    assert_eq!(numbers("1..12.max(3)"), []);
}

#[test]
fn shop_units_stand_in_quantity_alone() {
    let home = root().join("sim/numbers/src/quantity");
    let mut typed = Vec::new();
    let mut seen = 0;
    let mut twelves = [false; OTHER_TWELVES.len()];
    for path in sources() {
        let place = path.strip_prefix(root()).expect("a source").to_owned();
        let is_test = !place.iter().any(|part| part == "src") || place.ends_with("tests.rs");
        if is_test || path.starts_with(&home) {
            continue;
        }
        seen += 1;
        let text = fs::read_to_string(&path).expect("text");
        for (at, line) in product(&text) {
            for (before, number, after) in numbers(&line) {
                let close = |unit: &f64| (number / unit - 1.0).abs() < 1e-5;
                let is_unit = is_inch(number) || SHOP_UNITS.iter().any(close);
                let scales = matches!(before, Some('*' | '/')) || matches!(after, Some('*' | '/'));
                let in_feet = ["in/ft", "in_per_ft", "per_foot", "factor:"];
                let is_foot = number == 12.0
                    // Twelve inches are a length like any other.
                    && !line.contains("12.0 * INCH")
                    && (scales || in_feet.iter().any(|word| line.contains(word)));
                let known = OTHER_TWELVES
                    .iter()
                    .position(|(file, words)| place == Path::new(file) && line.contains(words));
                match known {
                    Some(known) if is_foot => twelves[known] = true,
                    _ if is_unit || is_foot => {
                        typed.push(format!("{}:{at}: {number}", place.display()));
                    }
                    _ => {}
                }
            }
        }
    }
    assert!(seen > 100, "{seen}");
    assert!(
        typed.is_empty(),
        "take the constants of `quantity`:\n{}",
        typed.join("\n")
    );
    for (found, (file, _)) in twelves.iter().zip(OTHER_TWELVES) {
        assert!(found, "{file} has no such twelve any more");
    }
}
