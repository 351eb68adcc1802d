//! All voices say the same of a way: every answer's `expect` of one job, and the words it begins with.

use std::collections::BTreeMap;

use rayon::prelude::*;
use serde_json::Value;

use super::{cases, room};
use crate::workshop::{code, err, out};

/// Commands that speak of the job as it stands, seed and start as usual.
const VOICES: [&str; 5] = ["compare", "predict", "sheet", "lathe next", "modify"];

/// Everything that an answer expects of a way: with the attachment, by its setup; without, by its
/// method; and what it expects of what it advises.
#[derive(Default)]
struct Said {
    ways: Vec<(String, Value)>,
    advised: Option<Value>,
}

fn said(record: &Value) -> Said {
    let mut said = Said::default();
    let mut add = |key: String, expect: &Value| {
        if !expect.is_null() {
            said.ways.push((key, expect.clone()));
        }
    };
    for way in record["ways"].as_array().into_iter().flatten() {
        add(way["setup"].to_string(), &way["expect"]);
    }
    for way in record["without_attachment"]
        .as_array()
        .into_iter()
        .flatten()
    {
        add(way["method"].to_string(), &way["expect"]);
    }
    if record.get("setup").is_some() {
        add(record["setup"].to_string(), &record["expect"]);
    }
    let advised = &record["expect"];
    said.advised = (!advised.is_null()).then(|| advised.clone());
    said
}

/// Holds the answers of one job against each other.
pub fn agree(job: &str, answers: &BTreeMap<String, Value>) {
    let mut first: BTreeMap<String, (String, Value)> = BTreeMap::new();
    let file = format!("{job}.toml");
    for (command, answer) in answers {
        let plain = VOICES.iter().any(|voice| {
            let rest = command.strip_prefix(&format!("{voice} {file}"));
            rest.is_some_and(|rest| {
                let more = rest.trim().trim_start_matches("--trials 50").trim();
                more.is_empty() || more.starts_with("--method") || more.starts_with("--feed")
            })
        });
        if !plain {
            continue;
        }
        let said = said(&answer["record"]);
        if let Some(advised) = &said.advised {
            let known = said.ways.is_empty() || said.ways.iter().any(|(_, e)| e == advised);
            assert!(known, "{command}: what it advises is none of its ways");
        }
        for (way, expect) in said.ways {
            let (before, kept) = first
                .entry(way.clone())
                .or_insert_with(|| (command.clone(), expect.clone()));
            assert!(
                *kept == expect,
                "of {way} {before} expects\n{kept:#}\n{command}\n{expect:#}"
            );
        }
    }
}

#[test]
fn every_voice_begins_with_the_same_words() {
    let shop = room();
    let jobs: Vec<String> = cases::all(&shop)
        .into_iter()
        .filter_map(|case| {
            let command = case.commands.iter().find(|c| c.starts_with("compare "))?;
            command.split(' ').nth(1).map(str::to_owned)
        })
        .collect();
    assert!(jobs.len() > 10, "{jobs:?}");
    let told: Vec<usize> = jobs.par_iter().map(|job| voices_of(job)).collect();
    assert!(
        told.iter().filter(|voices| **voices == 4).count() > 8,
        "{told:?}"
    );
}

/// How many voices spoke of one job, all with the same verdict and chance.
fn voices_of(job: &str) -> usize {
    let shop = room();
    let flat = |arguments: &[&str]| {
        let done = shop.run(arguments);
        assert!(code(&done) < 2, "{arguments:?}: {}", err(&done));
        out(&done).split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let verdicts = [
        "IN REACH IF GAUGED: ",
        "IN REACH: ",
        "ON THE EDGE: ",
        "OUT OF REACH: ",
    ];
    let verdict = |text: &str| {
        let at = verdicts.iter().filter_map(|name| text.find(name)).min()?;
        let end = text[at..].find("of 100")? + at + "of 100".len();
        Some(text[at..end].to_owned())
    };
    let compared = verdict(&flat(&["compare", job])).unwrap_or_else(|| panic!("{job}: no verdict"));
    // Without the attachment first, the others speak of it all the same, or of nothing.
    let json = flat(&["compare", job, "--trials", "50", "--format", "json"]);
    let json: Value = serde_json::from_str(&json).expect("JSON");
    if json["expect"] != json["ways"][0]["expect"] {
        return 1;
    }
    let others: [&[&str]; 3] = [
        &["sheet", job],
        &["lathe", "next", job],
        &["modify", job, "--trials", "50"],
    ];
    for arguments in others {
        let text = flat(arguments);
        assert_eq!(
            verdict(&text).as_ref(),
            Some(&compared),
            "{arguments:?}: {text}"
        );
    }
    4
}
