//! What README promises: every command has its row, every line on the worked examples runs, and so
//! does every worked example.

use std::fs;
use std::path::{Path, PathBuf};

use crate::workshop::{Workshop, code, err, out};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

fn readme() -> String {
    fs::read_to_string(root().join("README.md")).expect("README.md")
}

/// A workshop with the worked examples in `scenarios`, as in a clone.
pub(super) fn in_a_clone() -> Workshop {
    let shop = Workshop::empty();
    fs::create_dir(shop.path("scenarios")).expect("a directory");
    for name in examples() {
        let text = fs::read(root().join("scenarios").join(&name)).expect("a file");
        shop.write(&format!("scenarios/{name}"), text);
    }
    shop
}

fn examples() -> Vec<String> {
    let mut names: Vec<String> = fs::read_dir(root().join("scenarios"))
        .expect("scenarios")
        .map(|entry| entry.expect("an entry").path())
        .filter(|path| path.is_file())
        .map(|path| path.file_name().expect("a name").display().to_string())
        .collect();
    names.sort();
    assert!(names.len() > 20, "{names:?}");
    names
}

/// A run without trials, where the command tries lathes.
fn quick(words: &[&str]) -> Vec<String> {
    let mut words: Vec<String> = words.iter().map(ToString::to_string).collect();
    if matches!(words[0].as_str(), "compare" | "predict") {
        words.extend(["--trials".to_owned(), "0".to_owned()]);
    }
    words
}

#[test]
fn every_command_has_a_row() {
    // A shell is told every command that there is; former words have no row.
    let text = out(&Workshop::empty().run(&["tools", "completions", "bash"]));
    let names: Vec<&str> = text
        .lines()
        .filter_map(|line| line.trim().strip_prefix("tautway,")?.strip_suffix(')'))
        .filter(|name| !matches!(*name, "help" | "thread"))
        .collect();
    assert!(names.len() > 15, "{names:?}");
    let readme = readme();
    for name in names {
        let row = |line: &str| {
            line.starts_with("| `tautway ") && line.contains(&format!("tautway {name}"))
        };
        assert!(readme.lines().any(row), "README has no row for {name}");
    }
    assert!(readme.lines().count() <= 120, "a first page is short");
}

#[test]
fn the_first_screen_is_what_the_program_says() {
    let said = out(&in_a_clone().run(&["compare", "scenarios/tapered-socket.toml"]));
    let shown: Vec<String> = said
        .lines()
        .map(|line| format!("    {line}").trim_end().to_owned())
        .collect();
    assert!(
        readme().contains(&shown.join("\n")),
        "README shows other than\n{said}"
    );
}

#[test]
fn every_line_on_the_worked_examples_runs_as_it_stands() {
    let shop = in_a_clone();
    let mut count = 0;
    for line in readme().lines() {
        let Some(typed) = line
            .strip_prefix("    ")
            .filter(|t| t.contains("scenarios/"))
        else {
            continue;
        };
        let typed = typed.split(" #").next().unwrap_or(typed);
        let words = typed
            .strip_prefix("cargo run --release -- ")
            .or_else(|| typed.strip_prefix("tautway "))
            .unwrap_or_else(|| panic!("what is {typed}"));
        let words = quick(&words.split_whitespace().collect::<Vec<_>>());
        let done = shop.run(&words.iter().map(String::as_str).collect::<Vec<_>>());
        assert!(code(&done) < 2, "{typed}: {}", err(&done));
        assert!(out(&done).lines().count() > 5, "{typed}: {}", out(&done));
        count += 1;
    }
    assert!(count >= 5, "{count} lines");
}

#[test]
fn every_worked_example_runs() {
    let shop = in_a_clone();
    let mut count = 0;
    for name in examples() {
        let file = format!("scenarios/{name}");
        let text = shop.read(&file);
        let (_, ending) = name.rsplit_once('.').expect("an ending");
        let words = match ending {
            "moves" => vec!["rehearse", &file],
            "readings" => vec!["guide", &file],
            "gauged" => vec!["piece", &file],
            "tests" => vec!["lathe", "update", &file, "--from", "worn"],
            _ if text.contains("[thread]") && text.contains("form =") => vec!["thread", &file],
            _ if text.contains("[work]") => vec!["compare", &file],
            // A lathe runs with the jobs that name it.
            _ => continue,
        };
        let words = quick(&words);
        let done = shop.run(&words.iter().map(String::as_str).collect::<Vec<_>>());
        assert!(code(&done) < 2, "{words:?}: {}", err(&done));
        assert!(out(&done).lines().count() > 3, "{words:?}");
        count += 1;
    }
    assert!(count > 15, "{count} examples");
}
