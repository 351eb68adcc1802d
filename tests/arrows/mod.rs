//! The stair: inside every crate a module imports only what is declared above it.

mod modules;

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use modules::{Crate, SELF};

/// Arrows between siblings that run back today, `crate::folder: from -> to`. An arrow that is gone
/// must go from here too, so the list only gets shorter.
const RUN_BACK: &[&str] = &[];

/// Children that name what their folder's own file defines, while that file uses them: round in a
/// circle. The same rule: what is gone must go.
const ROUND: &[&str] = &[];

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .parent()
        .expect("the workspace")
        .to_owned()
}

/// The crates of the workspace by folder, as `Cargo.toml` lists them.
fn members() -> Vec<String> {
    let text = fs::read_to_string(root().join("Cargo.toml")).expect("the workspace's manifest");
    let list = text
        .split_once("members = [")
        .and_then(|(_, rest)| rest.split_once(']'))
        .expect("a list of members")
        .0;
    list.split(',')
        .map(|name| name.trim().trim_matches('"').to_owned())
        .filter(|name| !name.is_empty())
        .collect()
}

/// A crate's first file; the crate of checks has none with modules.
fn first_file(member: &str) -> Option<PathBuf> {
    ["src/lib.rs", "src/main.rs"]
        .iter()
        .map(|file| root().join(member).join(file))
        .find(|path| path.exists())
}

/// Every arrow that runs back, by what it is called, with the words that make it; between siblings
/// and round through a folder's own file.
fn found() -> [BTreeMap<String, String>; 2] {
    let mut found = [BTreeMap::new(), BTreeMap::new()];
    let mut counts = Vec::new();
    for member in members() {
        let Some(file) = first_file(&member) else {
            assert_eq!(member, "tests", "{member} has neither lib.rs nor main.rs");
            continue;
        };
        let stair = Crate::read(&member, &file);
        let mut arrows = 0;
        for folder in stair.folders() {
            arrows += folder.arrows.len();
            println!("{}", folder.list());
            let place = |name: &str| folder.order.iter().position(|other| other == name);
            for ((from, to), words) in &folder.arrows {
                let kind = match (place(from), place(to)) {
                    (Some(from), Some(to)) if from < to => 0,
                    (Some(_), None) if to == SELF && folder.leads(SELF, from) => 1,
                    _ => continue,
                };
                let words: Vec<_> = words.iter().map(String::as_str).collect();
                let name = format!("{}: {from} -> {to}", folder.path);
                found[kind].insert(name, words.join("\n    "));
            }
        }
        counts.push(format!(
            "{member}: {} modules, {arrows} arrows",
            stair.modules()
        ));
    }
    println!("{}", counts.join("\n"));
    found
}

/// Holds what was found against what is known.
fn only_known(found: &BTreeMap<String, String>, known: &[&str], rule: &str) {
    println!("{} run back", found.len());
    let known: BTreeSet<&str> = known.iter().copied().collect();
    let new: Vec<_> = found
        .iter()
        .filter(|(arrow, _)| !known.contains(arrow.as_str()))
        .map(|(arrow, words)| format!("{arrow}\n    {words}"))
        .collect();
    let gone: Vec<_> = known
        .into_iter()
        .filter(|arrow| !found.contains_key(*arrow))
        .collect();
    assert!(new.is_empty(), "{rule}:\n{}", new.join("\n"));
    assert!(
        gone.is_empty(),
        "no longer true, strike out:\n{}",
        gone.join("\n")
    );
}

#[test]
fn no_module_imports_what_stands_below_it() {
    let [back, _] = found();
    only_known(
        &back,
        RUN_BACK,
        "a module may import only what is declared above it",
    );
}

#[test]
fn no_file_uses_children_that_use_it() {
    let [_, round] = found();
    only_known(
        &round,
        ROUND,
        "what a folder's children share stands in a child above them, not in the folder's own file",
    );
}
