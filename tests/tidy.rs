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
