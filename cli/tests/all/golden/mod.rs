//! Every command's JSON on every worked example, held byte for byte against the records kept in
//! `records`: what changes an answer anywhere is seen here, and how much.
//!
//! `TAUTWAY_WRITE=1 cargo test -p tautway --test all -- golden` writes the records anew and says what
//! changed. `TAUTWAY_GOLDEN_SUMMARY=1` leaves out the list of single places and tells the whole
//! summary. `TAUTWAY_GOLDEN_AGAINST=PROGRAM` holds the program against another build of it instead
//! of the records kept, nothing shortened.

mod cases;
mod difference;
mod record;
mod voices;

use std::collections::BTreeMap;
use std::env;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use crate::workshop::Workshop;
use cases::Case;
use difference::Differences;
use rayon::prelude::*;
use record::Answers;
use serde_json::Value;

/// Every answer kept: the command and what it answered, long lists by a few of their entries.
pub fn kept() -> Vec<(String, Value)> {
    let files = fs::read_dir(folder()).expect("the records");
    let mut all = Vec::new();
    for file in files {
        let text = fs::read_to_string(file.expect("an entry").path()).expect("text");
        all.extend(Answers::read(&text).0.into_iter().map(|(command, answer)| {
            let record = record::lengthened(answer["record"].clone());
            (command, record)
        }));
    }
    all.retain(|(_, record)| !record.is_null());
    all
}

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/all/golden/records")
}

/// What a program says to every command of one case.
fn answers(program: &Path, shop: &Workshop, case: &Case) -> BTreeMap<String, Value> {
    case.commands
        .iter()
        .map(|command| {
            let mut run = Command::new(program);
            run.current_dir(shop.path("."))
                .args(cases::words(command))
                .args(["--format", "json"])
                .stdin(Stdio::null());
            let done = run.output().expect("the program starts");
            (command.clone(), record::of(&done))
        })
        .collect()
}

/// The room every case is run in: the worked examples and the few files that go with them.
fn room() -> Workshop {
    let shop = Workshop::with_scenarios();
    for (name, text) in cases::FILES {
        shop.write(name, text);
    }
    shop
}

#[test]
fn every_answer_is_the_one_kept() {
    let ours = Path::new(env!("CARGO_BIN_EXE_tautway"));
    let cases = cases::all(&room());
    let others = env::var_os("TAUTWAY_GOLDEN_AGAINST").map(PathBuf::from);
    let writing = env::var_os("TAUTWAY_WRITE").is_some();
    let found: Vec<Differences> = cases
        .par_iter()
        .map(|case| {
            let shop = room();
            let now = answers(ours, &shop, case);
            voices::agree(&case.name, &now);
            let mut found = Differences::default();
            if let Some(others) = &others {
                found.hold(&case.name, &answers(others, &shop, case), &now);
                return found;
            }
            let now = Answers::shortened(now);
            let path = folder().join(format!("{}.json", case.name));
            let kept = fs::read_to_string(&path).unwrap_or_else(|_| "{}".to_owned());
            found.hold(&case.name, &Answers::read(&kept).0, &now.0);
            let text = now.written();
            if text != kept {
                found.other_bytes(&path);
                if writing {
                    fs::write(&path, text).expect("the record is written");
                }
            }
            found
        })
        .collect();
    let mut all = Differences::default();
    found.into_iter().for_each(|found| all.add(found));
    if others.is_none() {
        gone(&cases, writing, &mut all);
    }
    let told = all.told(env::var_os("TAUTWAY_GOLDEN_SUMMARY").is_some());
    assert!(writing || all.none(), "{told}");
    println!("{told}");
}

/// Records of cases that are no more.
fn gone(cases: &[Case], writing: bool, all: &mut Differences) {
    for entry in fs::read_dir(folder()).expect("the records") {
        let path = entry.expect("an entry").path();
        let known = cases
            .iter()
            .any(|case| path.file_stem().is_some_and(|stem| *stem == *case.name));
        if !known {
            all.other_bytes(&path);
            if writing {
                fs::remove_file(&path).expect("the record goes");
            }
        }
    }
}

#[test]
fn shortened_and_written_records_come_back_as_they_were() {
    let long: Vec<Value> = (0..1000).map(|i| Value::from(f64::from(i) / 7.0)).collect();
    let part =
        serde_json::json!({ "name": "x".repeat(400), "long": long, "small": [-0.0, 1e-300] });
    let answers = BTreeMap::from([
        (
            "a b/c".to_owned(),
            serde_json::json!({ "record": { "one": part, "two": 2 } }),
        ),
        (
            "d".to_owned(),
            serde_json::json!({ "record": [part, true, null] }),
        ),
    ]);
    let short = Answers::shortened(answers);
    let text = short.written();
    assert!(text.len() < 2500 && text.contains("same as"), "{text}");
    assert!(text.contains("-0.0"), "{text}");
    assert_eq!(Answers::read(&text).0, short.0);
    assert_eq!(Answers::read(&text).written(), text);
}

#[test]
fn differences_are_told_by_place_key_and_size() {
    let of = |force: f64, seat: &str, last: f64| {
        let mut long = vec![0.0; 1000];
        long[500] = last;
        let record = serde_json::json!({
            "ways": [{ "force": 5.0, "depth": 1e-3 }, { "force": force, "seat": seat }],
            "line": long,
        });
        Answers::shortened(BTreeMap::from([("predict a".to_owned(), record)])).0
    };
    let old = of(7.0, "first face", 0.0);
    let mut same = Differences::default();
    same.hold("a", &old, &of(7.0, "first face", 0.0));
    assert!(same.none());
    let mut found = Differences::default();
    found.hold("a", &old, &of(7.25, "other face", 1e-9));
    assert!(!found.none());
    let told = found.told(false);
    for part in [
        "a: predict a: /ways/1/force: 7.0 -> 7.25",
        "2.500e-1, force, 1 number",
        "seat: \"first face\" -> \"other face\"",
        "line, 1 long list",
    ] {
        assert!(told.contains(part), "no {part:?} in\n{told}");
    }
    let mut lost = Differences::default();
    lost.hold("a", &old, &BTreeMap::new());
    assert!(
        lost.told(false).contains("a: predict a: gone"),
        "{}",
        lost.told(false)
    );
}
