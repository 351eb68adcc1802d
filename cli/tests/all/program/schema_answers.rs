//! The schemas of what the commands answer: current, and of one mind with every answer kept.

use std::fs;
use std::path::Path;

use crate::golden;
use crate::workshop::{Workshop, code, err, out};
use jsonschema::Validator;
use serde_json::{Value, json};

const ANSWERS: [&str; 17] = [
    "check",
    "compare",
    "gauging",
    "guide",
    "lathe-learn",
    "lathe-next",
    "lathe-update",
    "lesson",
    "modify",
    "piece",
    "predict",
    "preload",
    "refusal",
    "rehearse",
    "sheet",
    "taper",
    "thread",
];

fn schema(name: &str) -> String {
    let done = Workshop::empty().run(&["tools", "schema", &format!("answers/{name}")]);
    assert_eq!(code(&done), 0, "{}", err(&done));
    out(&done)
}

fn validator(name: &str) -> Validator {
    let schema: Value = serde_json::from_str(&schema(name)).expect("JSON");
    jsonschema::meta::validate(&schema).expect("a schema after JSON Schema 2020-12");
    jsonschema::validator_for(&schema).expect("a schema")
}

fn faults(valid: &Validator, answer: &Value) -> Vec<String> {
    let found = valid.iter_errors(answer);
    found
        .map(|fault| format!("{}: {fault:.300}", fault.instance_path()))
        .collect()
}

/// Which schema an answer goes by: that of the command in today's words, or of a refusal.
fn name(command: &str, answer: &Value) -> String {
    if answer.get("error").is_some() {
        return "refusal".to_owned();
    }
    let mut words = command.split_whitespace();
    match words.next().expect("a command") {
        "fit" => "gauging".to_owned(),
        "readings" => "guide".to_owned(),
        "lathe" => format!("lathe-{}", words.next().expect("a command of lathe")),
        same => same.to_owned(),
    }
}

/// Every answer kept by its schema's name, with its command.
fn kept(of: &str) -> Vec<(String, Value)> {
    let mut all = golden::kept();
    all.retain(|(command, answer)| name(command, answer) == of);
    all
}

#[test]
fn the_files_beside_those_of_the_inputs_are_current() {
    let scenarios = Path::new(env!("CARGO_MANIFEST_DIR")).join("../scenarios/schema");
    for answer in ANSWERS {
        let path = scenarios.join(format!("answers/{answer}.json"));
        let now = schema(answer);
        if std::env::var_os("TAUTWAY_WRITE").is_some() {
            fs::create_dir_all(scenarios.join("answers")).expect("the folder");
            fs::write(&path, &now).expect("the schema is written");
        }
        let there = fs::read_to_string(&path).unwrap_or_default();
        assert!(
            there == now,
            "{} is not current: run this test with TAUTWAY_WRITE=1",
            path.display()
        );
    }
}

#[test]
fn every_answer_kept_is_valid_and_none_with_a_key_less_or_of_another_kind() {
    let all = golden::kept();
    let named = all.iter().map(|(command, answer)| name(command, answer));
    assert!(named.into_iter().all(|name| ANSWERS.contains(&&name[..])));
    for of in ANSWERS {
        let valid = validator(of);
        let kept = kept(of);
        assert!(!kept.is_empty(), "no {of} is kept");
        for (command, answer) in &kept {
            let found = faults(&valid, answer);
            assert!(found.is_empty(), "{command}: {found:#?}");
        }
        let (command, whole) = &kept[0];
        for key in whole.as_object().expect("a table").keys() {
            let mut less = whole.clone();
            less.as_object_mut().map(|table| table.remove(key));
            assert!(!valid.is_valid(&less), "{command} without {key}");
            let mut other = whole.clone();
            other[key] = json!({ "potatoes": [7] });
            assert!(!valid.is_valid(&other), "{command} with another {key}");
        }
    }
}

#[test]
fn answers_that_are_not_kept_are_valid_with_every_list() {
    let shop = Workshop::with_scenarios();
    for (of, command) in [
        (
            "compare",
            "compare plug-cock.toml --trials 50 --seed 5 --detail",
        ),
        (
            "compare",
            "compare threaded-socket.toml --trials 0 --detail",
        ),
        (
            "predict",
            "predict hose-tail.toml --trials 50 --detail --first-order",
        ),
        ("sheet", "sheet valve-seat.toml"),
        ("taper", "taper jarno 7"),
        ("rehearse", "rehearse reversal.moves"),
        ("refusal", "compare nothing.toml"),
    ] {
        let mut words: Vec<&str> = command.split(' ').collect();
        words.extend(["--format", "json"]);
        let done = shop.run(&words);
        let answer: Value = serde_json::from_str(&out(&done)).expect("JSON");
        let found = faults(&validator(of), &answer);
        assert!(found.is_empty(), "{command}: {found:#?}");
    }
}

/// Numbers and lists of numbers of a schema that say nothing about themselves.
fn unsaid(schema: &Value) -> Vec<String> {
    let mut found = Vec::new();
    let definitions = schema["$defs"].as_object().expect("definitions");
    for (table, of) in definitions {
        for (key, what) in of["properties"].as_object().into_iter().flatten() {
            if what.get("description").is_none() {
                found.push(format!("{table}.{key}"));
            }
        }
    }
    found
}

#[test]
fn every_key_says_what_it_is() {
    for of in ANSWERS {
        let schema: Value = serde_json::from_str(&schema(of)).expect("JSON");
        let found = unsaid(&schema);
        assert!(found.is_empty(), "{of}: {found:?}");
    }
}
