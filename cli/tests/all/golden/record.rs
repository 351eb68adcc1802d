//! A command's answer as it is kept: long lists by a few values and a digest, what stands twice
//! once, a line for whatever fits on one.

use std::collections::{BTreeMap, HashMap};
use std::process::Output;

use crate::digest::fingerprint;
use serde_json::{Map, Value, json};

/// What a list must have to be shortened: entries, and bytes.
const LONG: (usize, usize) = (12, 400);
/// From how many bytes on a part that stands twice is written once.
const TWICE: usize = 240;
/// Longest line that holds a whole list or table.
const LINE: usize = 160;
const SAME: &str = "same as";

fn digest(bytes: &[u8]) -> String {
    format!("{:016x}", fingerprint(bytes))
}

/// What a run of the program came to: exit code, digest of every byte of its answer, the answer;
/// or, where it gave none, what it said.
pub fn of(done: &Output) -> Value {
    let exit = done.status.code().expect("it ended by itself");
    let Ok(record) = serde_json::from_slice::<Value>(&done.stdout) else {
        // Nothing to compute: words, on either stream, however they are wrapped.
        let said = [&done.stdout[..], &done.stderr].concat();
        let said = String::from_utf8(said).expect("UTF-8");
        let words: Vec<&str> = said.split_whitespace().collect();
        return json!({ "exit": exit, "said": words.join(" ") });
    };
    json!({ "exit": exit, "digest": digest(&done.stdout), "record": record })
}

/// Command to answer.
pub struct Answers(pub BTreeMap<String, Value>);

impl Answers {
    /// With every long list by its count, a few of its entries and its digest.
    pub fn shortened(whole: BTreeMap<String, Value>) -> Self {
        let short = |(command, value)| (command, short(value));
        Self(whole.into_iter().map(short).collect())
    }

    /// From the text that was kept.
    pub fn read(text: &str) -> Self {
        let kept: Value = serde_json::from_str(text).expect("a record that was written here");
        let Value::Object(answers) = &kept else {
            panic!("not a table of answers: {text}");
        };
        let whole = |(command, value): (&String, &Value)| (command.clone(), whole(value, &kept));
        Self(answers.iter().map(whole).collect())
    }

    /// The text to keep.
    pub fn written(&self) -> String {
        let mut seen = HashMap::new();
        let answers = self.0.iter().map(|(command, value)| {
            let place = format!("/{}", escaped(command));
            (command.clone(), once(value, &place, &mut seen))
        });
        let mut text = String::new();
        write(&Value::Object(answers.collect()), 0, &mut text);
        text.push('\n');
        text
    }
}

fn short(value: Value) -> Value {
    match value {
        Value::Array(list) => {
            let bytes = Value::Array(list.clone()).to_string();
            if list.len() <= LONG.0 || bytes.len() <= LONG.1 {
                return list.into_iter().map(short).collect();
            }
            let plain = list
                .iter()
                .all(|entry| !entry.is_array() && !entry.is_object());
            let shown = if plain { 7 } else { 3 };
            let last = list.len() - 1;
            let some = (0..shown).map(|at| short(list[at * last / (shown - 1)].clone()));
            json!({
                "entries": list.len(),
                "digest": digest(bytes.as_bytes()),
                "some": some.collect::<Vec<_>>(),
            })
        }
        Value::Object(table) => Value::Object(
            table
                .into_iter()
                .map(|(key, value)| (key, short(value)))
                .collect(),
        ),
        plain => plain,
    }
}

/// A record with the few entries of its long lists as those lists.
pub fn lengthened(value: Value) -> Value {
    match value {
        Value::Array(list) => list.into_iter().map(lengthened).collect(),
        Value::Object(mut table) => {
            if table.contains_key("digest")
                && let Some(some) = table.remove("some")
            {
                return lengthened(some);
            }
            let entries = table.into_iter();
            Value::Object(
                entries
                    .map(|(key, value)| (key, lengthened(value)))
                    .collect(),
            )
        }
        plain => plain,
    }
}

fn escaped(key: &str) -> String {
    key.replace('~', "~0").replace('/', "~1")
}

/// A part that stood before is named by its place.
fn once(value: &Value, place: &str, seen: &mut HashMap<String, String>) -> Value {
    if !value.is_array() && !value.is_object() {
        return value.clone();
    }
    let text = value.to_string();
    if text.len() >= TWICE {
        if let Some(before) = seen.get(&text) {
            return json!({ SAME: before });
        }
        seen.insert(text, place.to_owned());
    }
    match value {
        Value::Array(list) => list
            .iter()
            .enumerate()
            .map(|(at, entry)| once(entry, &format!("{place}/{at}"), seen))
            .collect(),
        Value::Object(table) => {
            let entry = |(key, value): (&String, &Value)| {
                let place = format!("{place}/{}", escaped(key));
                (key.clone(), once(value, &place, seen))
            };
            Value::Object(table.iter().map(entry).collect())
        }
        plain => plain.clone(),
    }
}

/// The other way round.
fn whole(value: &Value, kept: &Value) -> Value {
    match value {
        Value::Array(list) => list.iter().map(|entry| whole(entry, kept)).collect(),
        Value::Object(table) => {
            if let Some(place) = table.get(SAME).and_then(Value::as_str) {
                let there = kept.pointer(place);
                return whole(there.unwrap_or_else(|| panic!("nothing at {place}")), kept);
            }
            let entry = |(key, value): (&String, &Value)| (key.clone(), whole(value, kept));
            Value::Object(table.iter().map(entry).collect::<Map<_, _>>())
        }
        plain => plain.clone(),
    }
}

fn write(value: &Value, depth: usize, text: &mut String) {
    let line = value.to_string();
    let parts: Vec<(String, &Value)> = match value {
        Value::Array(list) => list.iter().map(|entry| (String::new(), entry)).collect(),
        Value::Object(table) => table
            .iter()
            .map(|(key, value)| (format!("{}: ", Value::from(key.as_str())), value))
            .collect(),
        _ => Vec::new(),
    };
    if parts.is_empty() || depth > 0 && line.len() + depth <= LINE {
        text.push_str(&line);
        return;
    }
    let ends = if value.is_array() { "[]" } else { "{}" };
    text.push_str(&ends[..1]);
    for (at, (key, value)) in parts.into_iter().enumerate() {
        text.push_str(if at == 0 { "\n" } else { ",\n" });
        text.push_str(&" ".repeat(depth + 1));
        text.push_str(&key);
        write(value, depth + 1, text);
    }
    text.push('\n');
    text.push_str(&" ".repeat(depth));
    text.push_str(&ends[1..]);
}
