//! The schemas of the files: current, taken by a general validator, and of one mind with the
//! decoder about every key.

use std::fs;
use std::path::{Path, PathBuf};

use crate::workshop::{Workshop, code, err, out};
use jsonschema::Validator;
use serde_json::{Map, Value, json};
use tautway_sim::scenario::{
    Diagnostic, Source, decode, decode_finished, decode_lathe, decode_readings, decode_sample,
    decode_shop_tests,
};
use toml_edit::{DocumentMut, Item, Value as Toml};

fn scenarios() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../scenarios")
}

fn schema(kind: &str) -> Value {
    let done = Workshop::empty().run(&["schema", kind]);
    assert_eq!(code(&done), 0, "{}", err(&done));
    serde_json::from_str(&out(&done)).expect("JSON")
}

fn validator(kind: &str) -> Validator {
    let schema = schema(kind);
    jsonschema::meta::validate(&schema).expect("a schema after JSON Schema 2020-12");
    jsonschema::validator_for(&schema).expect("a schema")
}

fn of_item(item: &Item) -> Value {
    match item {
        Item::Value(value) => of_value(value),
        Item::Table(table) => Value::Object(
            table
                .iter()
                .map(|(key, item)| (key.to_owned(), of_item(item)))
                .collect(),
        ),
        other => panic!("not in these files: {other:?}"),
    }
}

fn of_value(value: &Toml) -> Value {
    match value {
        Toml::String(text) => json!(text.value()),
        Toml::Integer(number) => json!(number.value()),
        Toml::Float(number) => json!(number.value()),
        Toml::Boolean(flag) => json!(flag.value()),
        Toml::Array(list) => list.iter().map(of_value).collect(),
        Toml::InlineTable(table) => Value::Object(
            table
                .iter()
                .map(|(key, value)| (key.to_owned(), of_value(value)))
                .collect::<Map<_, _>>(),
        ),
        Toml::Datetime(_) => panic!("no dates in these files"),
    }
}

fn parsed(text: &str) -> Value {
    of_item(text.parse::<DocumentMut>().expect("TOML").as_item())
}

/// What the decoder finds wrong.
fn faults(kind: &str, text: &str) -> Vec<Diagnostic> {
    let source = |name, text| Source { name, text };
    let found = match kind {
        "lathe" => decode_lathe(source("it", text)).map(|(_, found)| found),
        "readings" => decode_readings(source("it", text)).map(|(_, found)| found),
        "sample" => decode_sample(source("it", text)).map(|(_, found)| found),
        "tests" => decode_shop_tests(source("it", text)).map(|(_, found)| found),
        "piece" => decode_finished(source("it", text)).map(|(_, found)| found),
        _ => decode(
            source("it", text),
            source("lathe", "name = \"a\"\nunits = \"inch\""),
        )
        .map(|(_, found)| found),
    };
    let mut found = found.unwrap_or_else(|found| found);
    found.retain(|fault| fault.file == "it");
    found
}

/// Every table of a schema with its path, the top first.
fn tables(schema: &Value) -> Vec<(String, &Map<String, Value>)> {
    fn walk<'s>(at: &'s Value, path: &str, found: &mut Vec<(String, &'s Map<String, Value>)>) {
        for choice in at["anyOf"].as_array().into_iter().flatten() {
            walk(choice, path, found);
        }
        let Some(keys) = at["properties"].as_object() else {
            return;
        };
        // A number's own table is the same for all.
        if keys.contains_key("low") {
            return;
        }
        found.push((path.to_owned(), keys));
        for (key, inner) in keys {
            let path = if path.is_empty() {
                key.clone()
            } else {
                format!("{path}.{key}")
            };
            walk(inner, &path, found);
        }
    }
    let mut found = Vec::new();
    walk(schema, "", &mut found);
    found
}

/// A text with one line in one table, and the tables around it.
fn with(table: &str, line: &str) -> String {
    match table {
        "" => line.to_owned(),
        // Only inside work is asked about a bar, and only a whole thread about its parts.
        "tool.bar" => format!("[work]\nkind = \"inside\"\n[tool.bar]\n{line}"),
        "thread" if !line.starts_with("form") => format!("[thread]\nform = \"own\"\n{line}"),
        _ => format!("[{table}]\n{line}"),
    }
}

#[test]
fn the_files_beside_the_worked_examples_are_current() {
    for kind in ["job", "lathe", "readings", "sample", "tests", "piece"] {
        let path = scenarios().join(format!("schema/{kind}.json"));
        let now = out(&Workshop::empty().run(&["schema", kind]));
        if std::env::var_os("TAUTWAY_WRITE").is_some() {
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
fn every_worked_example_and_what_new_writes_is_valid() {
    let shop = Workshop::with_example();
    let (job, lathe) = (validator("job"), validator("lathe"));
    let mut texts = vec![shop.read("job.toml"), shop.read("lathe.toml")];
    for entry in fs::read_dir(scenarios()).expect("scenarios") {
        let path = entry.expect("an entry").path();
        if path.extension().is_some_and(|end| end == "toml") {
            texts.push(fs::read_to_string(&path).expect("text"));
        }
    }
    assert!(texts.len() > 15);
    for text in texts {
        let kind = if text.contains("[work]") {
            &job
        } else {
            &lathe
        };
        let found: Vec<_> = kind
            .iter_errors(&parsed(&text))
            .map(|error| format!("{}: {error}", error.instance_path()))
            .collect();
        assert!(found.is_empty(), "{found:?} in\n{text}");
    }
}

#[test]
fn every_worked_file_of_readings_and_what_a_blank_says_is_valid() {
    let mut count = 0;
    for (kind, ending) in [
        ("readings", "readings"),
        ("sample", "sample"),
        ("tests", "tests"),
        ("piece", "gauged"),
    ] {
        let valid = validator(kind);
        let files = fs::read_dir(scenarios()).expect("scenarios");
        let files = files.map(|entry| entry.expect("an entry").path());
        for path in files.filter(|path| path.extension().is_some_and(|end| end == ending)) {
            let text = fs::read_to_string(&path).expect("text");
            let found: Vec<_> = valid
                .iter_errors(&parsed(&text))
                .map(|error| format!("{}: {error}", error.instance_path()))
                .collect();
            assert!(found.is_empty(), "{found:?} in {}", path.display());
            // A key that the decoder doesn't know is none of the schema's.
            let wrong = format!("lenght = \"3 in\"\n{text}");
            assert!(!valid.is_valid(&parsed(&wrong)), "{}", path.display());
            let wrong = text.replacen("units = \"inch\"", "units = \"cubits\"", 1);
            assert!(!valid.is_valid(&parsed(&wrong)), "{}", path.display());
            count += 1;
        }
    }
    assert!(count >= 4, "{count} files");
}

#[test]
fn decoder_and_schema_know_the_same_keys_and_refuse_any_other() {
    for (kind, least) in [
        ("job", 90),
        ("lathe", 60),
        ("readings", 20),
        ("sample", 18),
        ("tests", 45),
        ("piece", 20),
    ] {
        let schema = schema(kind);
        let valid = validator(kind);
        let mut count = 0;
        for (table, keys) in tables(&schema) {
            let text = with(&table, "zqxjk = 1");
            let unknown = |found: &Diagnostic| found.label == "unknown key";
            let refused: Vec<_> = faults(kind, &text).into_iter().filter(unknown).collect();
            assert_eq!(refused.len(), 1, "{refused:?} of\n{text}");
            // The decoder's own list: "[work] knows beyond, big_end, ...".
            let (_, list) = refused[0].hint.split_once(" knows ").expect("a list");
            let mut known: Vec<&str> = list.split(", ").collect();
            let mut ours: Vec<&str> = keys.keys().map(String::as_str).collect();
            known.sort_unstable();
            ours.sort_unstable();
            assert_eq!(known, ours, "[{table}] of a {kind}");
            let about =
                |error: &jsonschema::ValidationError<'_>| error.to_string().contains("zqxjk");
            assert!(
                valid.iter_errors(&parsed(&text)).any(|e| about(&e)),
                "{text}"
            );
            for key in keys.keys() {
                let text = with(&table, &format!("{key} = \"7 potatoes\""));
                let unknown: Vec<_> = faults(kind, &text).into_iter().filter(unknown).collect();
                assert!(unknown.is_empty(), "{unknown:?}");
                count += 1;
            }
        }
        assert!(count > least, "{count} keys of a {kind}");
    }
}

#[test]
fn the_decoder_takes_every_word_that_the_schema_lists() {
    let mut count = 0;
    for kind in ["job", "lathe"] {
        let schema = schema(kind);
        for (table, keys) in tables(&schema) {
            for (key, what) in keys {
                let choices = what["anyOf"].as_array().into_iter().flatten();
                for word in
                    choices.flat_map(|choice| choice["enum"].as_array().into_iter().flatten())
                {
                    let text = with(&table, &format!("{key} = {word}"));
                    let path = if table.is_empty() {
                        key.clone()
                    } else {
                        format!("{table}.{key}")
                    };
                    let refused = format!("`{path}` can't be");
                    let found = faults(kind, &text);
                    assert!(
                        !found
                            .iter()
                            .any(|fault| fault.message.starts_with(&refused)),
                        "{text}\n{found:?}"
                    );
                    count += 1;
                }
            }
        }
    }
    assert!(count > 80, "{count} words");
}

#[test]
fn both_refuse_what_is_of_the_wrong_kind_or_missing() {
    let shop = Workshop::with_example();
    let wrong: [(&str, &str, &str); 9] = [
        ("job.toml", "kind = \"inside\"", "kind = \"sideways\""),
        ("job.toml", "length = \"2-1/2 in\"", "length = true"),
        ("job.toml", "length = \"2-1/2 in\"", "length = [\"3 in\"]"),
        ("job.toml", "material = \"4140 30 HRC\"", ""),
        ("job.toml", "spring = 0", "spring = 21"),
        (
            "job.toml",
            "finish = [\"0.010 in\", \"0.005 in\"]",
            "finish = []",
        ),
        ("lathe.toml", "units = \"inch\"", ""),
        ("lathe.toml", "reverse = true", "reverse = 1"),
        (
            "lathe.toml",
            "slack = \"0.064 in +- 0.008 in\"",
            "slack = { low = \"0.05 in\", hgih = \"0.07 in\" }",
        ),
    ];
    for (file, from, to) in wrong {
        let kind = file.trim_end_matches(".toml");
        let text = shop.read(file);
        // The first at the beginning of a line: `slack` is also the end of `foot_slack`.
        let text = text.replacen(&format!("\n{from}"), &format!("\n{to}"), 1);
        assert_ne!(text, shop.read(file), "{from}");
        assert!(
            !validator(kind).is_valid(&parsed(&text)),
            "{to} passes the schema"
        );
        let done = {
            let shop = Workshop::with_example();
            shop.write(file, &text);
            shop.run(&["check", file])
        };
        assert_eq!(code(&done), 2, "{to} passes the decoder: {}", out(&done));
    }
}
