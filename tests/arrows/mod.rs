//! The stair: inside every crate a module imports only what is declared above it.

mod modules;

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use modules::{Crate, SELF};

/// Arrows that run back today, `crate::folder: from -> to`. An arrow that is gone must go from
/// here too, so the list only gets shorter.
const RUN_BACK: &[&str] = &[
    "cli: answer -> screen",
    "cli: arguments -> command",
    "cli: command -> page",
    "cli: failure -> terminal",
    "cli: lesson -> page",
    "cli: sheet -> screen",
    "cli: trials -> answer",
    "cli::answer: figures -> self",
    "cli::answer: json -> self",
    "cli::answer: report -> self",
    "cli::answer: table -> self",
    "cli::answer: trials -> self",
    "cli::arguments: change -> self",
    "cli::arguments: lathe -> self",
    "cli::arguments: lesson -> self",
    "cli::arguments: piece -> self",
    "cli::arguments: taper -> self",
    "cli::arguments: thread -> self",
    "cli::command::fit: blue -> self",
    "cli::command::fit: cones -> self",
    "cli::command::fit: standoff -> self",
    "cli::lesson: answers -> self",
    "cli::lesson: cards -> self",
    "cli::lesson: cut_steps -> self",
    "cli::lesson: end_steps -> self",
    "cli::lesson: first_steps -> self",
    "cli::page: answer -> picture",
    "cli::page: assets -> self",
    "cli::page: guard -> routes",
    "cli::page: question -> self",
    "cli::page: routes -> self",
    "cli::screen: compare -> predict",
    "cli::screen: method -> compare",
    "cli::screen::thread: at_the_lathe -> self",
    "cli::screen::thread: others -> self",
    "cli::sheet: after -> self",
    "cli::sheet: before -> self",
    "figures: drawing -> ink",
    "figures: font -> ink",
    "sim::advice: source -> window",
    "sim::cut: abreast -> room",
    "sim::cut: abreast -> self",
    "sim::cut: inertia -> self",
    "sim::cut: pass -> room",
    "sim::cut: pass -> self",
    "sim::cut: room -> self",
    "sim::cut: stock -> self",
    "sim::cut::abreast: hardness -> self",
    "sim::cut::abreast: hardness -> steps",
    "sim::cut::abreast: notes -> self",
    "sim::cut::abreast: notes -> steps",
    "sim::cut::abreast: steps -> self",
    "sim::cut::abreast: steps -> surface",
    "sim::cut::abreast: surface -> self",
    "sim::cutting: sites -> self",
    "sim::lanes: block -> self",
    "sim::machine: foot -> self",
    "sim::machine: guide -> self",
    "sim::machine: screw -> self",
    "sim::method: named -> self",
    "sim::method: side -> self",
    "sim::method: swings -> self",
    "sim::method: tailstock -> self",
    "sim::method: top_slide -> self",
    "sim::quantity: parse -> reader",
    "sim::quantity: parse -> self",
    "sim::quantity: reader -> self",
    "sim::quantity: show -> self",
    "sim::quantity: token -> self",
    "sim::quantity: unit -> self",
    "sim::readings: correction -> self",
    "sim::readings: guide -> self",
    "sim::readings: seated -> self",
    "sim::readings: test_cut -> self",
    "sim::readings: verdict -> self",
    "sim::rehearse: hazard -> record",
    "sim::rehearse: notice -> record",
    "sim::rehearse: record -> rig",
    "sim::rehearse: record -> self",
    "sim::rehearse: rig -> self",
    "sim::rehearse::rig: hand -> self",
    "sim::scenario: keys -> decode",
    "sim::scenario::decode: lathe -> taper_readings",
    "sim::scenario::decode: rows -> taper_readings",
    "sim::shop_tests::findings: slack -> self",
    "sim::shop_tests::findings: stiffness -> self",
    "sim::spread: distribution -> truncation",
    "sim::spread: student -> tails",
    "sim::thread: caution -> self",
    "sim::thread: course -> self",
    "sim::thread: record -> self",
];

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

#[test]
fn no_module_imports_what_stands_below_it() {
    let mut found = BTreeMap::new();
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
                let back = match (place(from), place(to)) {
                    (Some(from), Some(to)) => from < to,
                    // The folder's own file has no place in its list: round in a circle is back.
                    _ => to == SELF && folder.leads(SELF, from),
                };
                if back {
                    let words = words.iter().cloned().collect::<Vec<_>>();
                    found.insert(format!("{}: {from} -> {to}", folder.path), words);
                }
            }
        }
        counts.push(format!(
            "{member}: {} modules, {arrows} arrows",
            stair.modules()
        ));
    }
    println!("{}\n{} run back", counts.join("\n"), found.len());
    let known: BTreeSet<&str> = RUN_BACK.iter().copied().collect();
    let new: Vec<_> = found
        .iter()
        .filter(|(arrow, _)| !known.contains(arrow.as_str()))
        .map(|(arrow, words)| format!("{arrow}\n    {}", words.join("\n    ")))
        .collect();
    let gone: Vec<_> = known
        .into_iter()
        .filter(|arrow| !found.contains_key(*arrow))
        .collect();
    assert!(
        new.is_empty(),
        "a module may import only what is declared above it, and what its folder's own file \
         defines only where that file doesn't use it:\n{}",
        new.join("\n")
    );
    assert!(
        gone.is_empty(),
        "no longer true, strike out:\n{}",
        gone.join("\n")
    );
}
