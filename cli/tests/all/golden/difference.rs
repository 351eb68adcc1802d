//! Where two sets of answers differ: every place, and how much by the name of what changed.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::path::Path;

use serde_json::Value;

/// Single places and words that are told at most, unless all are asked for.
const TOLD: usize = 40;

/// What became of the numbers of one name.
struct Change {
    count: usize,
    most: f64,
    place: String,
}

/// All that differs.
#[derive(Default)]
pub struct Differences {
    /// Each place with what stood and what stands there.
    places: Vec<String>,
    /// Numbers by their key.
    numbers: BTreeMap<String, Change>,
    /// Words, flags and whatever else is no number, what came and what went.
    words: Vec<String>,
    /// Long lists, of which only some values are kept, by their key.
    lists: BTreeMap<String, usize>,
    /// Answers with the same values in other bytes.
    bytes: Vec<String>,
    files: Vec<String>,
}

impl Differences {
    /// Whether nothing differs.
    pub fn none(&self) -> bool {
        self.places.is_empty() && self.bytes.is_empty() && self.files.is_empty()
    }

    /// A file that isn't what would be written.
    pub fn other_bytes(&mut self, path: &Path) {
        let name = path.file_name().expect("a file").display().to_string();
        self.files.push(name);
    }

    /// Holds what was said against what is said.
    pub fn hold(
        &mut self,
        case: &str,
        old: &BTreeMap<String, Value>,
        new: &BTreeMap<String, Value>,
    ) {
        let mut commands: Vec<_> = old.keys().chain(new.keys()).collect();
        commands.sort();
        commands.dedup();
        for command in commands {
            let head = format!("{case}: {command}");
            match (old.get(command), new.get(command)) {
                (Some(old), Some(new)) => {
                    let before = self.places.len();
                    self.walk(&head, "", command, old, new);
                    if self.places.len() == before && old["digest"] != new["digest"] {
                        self.bytes.push(head);
                    }
                }
                (Some(_), None) => self.word(format!("{head}: gone")),
                _ => self.word(format!("{head}: new")),
            }
        }
    }

    fn word(&mut self, told: String) {
        self.places.push(told.clone());
        self.words.push(told);
    }

    fn walk(&mut self, head: &str, path: &str, key: &str, old: &Value, new: &Value) {
        match (old, new) {
            (Value::Object(olds), Value::Object(news)) => {
                if let (Some(before), Some(after)) = (olds.get("entries"), news.get("entries"))
                    && olds["digest"] != news["digest"]
                {
                    *self.lists.entry(key.to_owned()).or_default() += 1;
                    self.places.push(format!(
                        "{head}: {path}: a long list, {before} -> {after} entries"
                    ));
                }
                for (inner, old) in olds.iter().filter(|(inner, _)| *inner != "digest") {
                    let path = format!("{path}/{inner}");
                    let name = if inner == "some" { key } else { inner };
                    match news.get(inner) {
                        Some(new) => self.walk(head, &path, name, old, new),
                        None => self.word(format!("{head}: {path}: gone")),
                    }
                }
                for inner in news.keys().filter(|inner| !olds.contains_key(*inner)) {
                    self.word(format!("{head}: {path}/{inner}: new"));
                }
            }
            (Value::Array(olds), Value::Array(news)) => {
                if olds.len() != news.len() {
                    let (before, after) = (olds.len(), news.len());
                    self.word(format!("{head}: {path}: {before} -> {after} entries"));
                }
                for (at, (old, new)) in olds.iter().zip(news).enumerate() {
                    self.walk(head, &format!("{path}/{at}"), key, old, new);
                }
            }
            // As written: a nought that changed its sign is a change too.
            (Value::Number(a), Value::Number(b)) if a.to_string() != b.to_string() => {
                self.number(format!("{head}: {path}: {a} -> {b}"), key, old, new);
            }
            _ if old != new => self.word(format!("{head}: {path}: {old} -> {new}")),
            _ => {}
        }
    }

    fn number(&mut self, told: String, key: &str, old: &Value, new: &Value) {
        let by = match (old.as_f64(), new.as_f64()) {
            (Some(old), Some(new)) => (new - old).abs(),
            _ => f64::INFINITY,
        };
        self.places.push(told.clone());
        let one = || Change {
            count: 0,
            most: -1.0,
            place: String::new(),
        };
        let change = self.numbers.entry(key.to_owned()).or_insert_with(one);
        change.count += 1;
        if by > change.most {
            (change.most, change.place) = (by, told);
        }
    }

    /// Takes in another's.
    pub fn add(&mut self, other: Self) {
        self.places.extend(other.places);
        self.words.extend(other.words);
        self.bytes.extend(other.bytes);
        self.files.extend(other.files);
        for (key, count) in other.lists {
            *self.lists.entry(key).or_default() += count;
        }
        for (key, change) in other.numbers {
            match self.numbers.get_mut(&key) {
                None => drop(self.numbers.insert(key, change)),
                Some(ours) => {
                    ours.count += change.count;
                    if change.most > ours.most {
                        (ours.most, ours.place) = (change.most, change.place);
                    }
                }
            }
        }
    }

    /// In words: places, then numbers by name, the largest change first, then what is no number.
    pub fn told(&self, summary_alone: bool) -> String {
        if self.none() {
            return "every answer is the one kept\n".to_owned();
        }
        let mut text = String::new();
        let most = if summary_alone { usize::MAX } else { TOLD };
        if !summary_alone {
            part(&mut text, "places that differ", &self.places, most);
        }
        let mut numbers: Vec<_> = self.numbers.iter().collect();
        numbers.sort_by(|a, b| b.1.most.total_cmp(&a.1.most));
        let numbers: Vec<String> = numbers
            .into_iter()
            .map(|(key, Change { count, most, place })| {
                let many = if *count == 1 { "" } else { "s" };
                format!("{most:.3e}, {key}, {count} number{many}: {place}")
            })
            .collect();
        part(
            &mut text,
            "numbers by key, largest change first",
            &numbers,
            usize::MAX,
        );
        let lists = self.lists.iter().map(|(key, count)| {
            let many = if *count == 1 { "" } else { "s" };
            format!("{key}, {count} long list{many}")
        });
        part(
            &mut text,
            "long lists",
            &lists.collect::<Vec<_>>(),
            usize::MAX,
        );
        part(
            &mut text,
            "words, flags, what came and went",
            &self.words,
            most,
        );
        part(&mut text, "same values in other bytes", &self.bytes, most);
        part(
            &mut text,
            "files that would be written anew",
            &self.files,
            most,
        );
        text.push_str("TAUTWAY_WRITE=1 writes the records anew.\n");
        text
    }
}

fn part(text: &mut String, title: &str, lines: &[String], most: usize) {
    if lines.is_empty() {
        return;
    }
    let _ = writeln!(text, "{title} ({}):", lines.len());
    for line in lines.iter().take(most) {
        let _ = writeln!(text, "  {line}");
    }
    if lines.len() > most {
        let _ = writeln!(text, "  and {} more", lines.len() - most);
    }
}
