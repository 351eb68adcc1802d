//! What each key of the person's files is, in the shop's words.

use std::collections::BTreeMap;

use tautway_sim::scenario::numbers;

/// What each key is: as the example says it beside the line, else as the shop calls the number.
pub fn descriptions(example: &str) -> BTreeMap<String, String> {
    let mut said = BTreeMap::new();
    for about in numbers::all().map(|row| row.about()) {
        said.entry(about.key.to_owned())
            .or_insert_with(|| about.words.to_owned());
    }
    let mut path = String::new();
    for line in example.lines() {
        if let Some(inner) = line.strip_prefix('[') {
            path = format!("{}.", inner.trim_end_matches(']'));
        }
        let Some((key, rest)) = line.split_once(" = ") else {
            continue;
        };
        if let Some((_, words)) = rest.rsplit_once(" # ").filter(|_| !key.starts_with('#')) {
            said.insert(format!("{path}{key}"), words.to_owned());
        }
    }
    // Beside their lines these lean on the value that stands before them.
    for (key, words) in [
        (
            "work.gauge_plane",
            "where the size is measured: an end, or how far from the big end",
        ),
        ("work.diameter", "at the gauge plane"),
        (
            "work.start",
            "what it is cut from: a straight hole or bar, or the taper roughed",
        ),
        ("tool.bar", "the boring bar, for inside work"),
    ] {
        said.insert(key.to_owned(), words.to_owned());
    }
    said
}
