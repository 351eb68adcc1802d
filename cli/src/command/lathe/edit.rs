//! Puts numbers into a lathe file and leaves its comments and everything else as it is.

use tautway_sim::quantity::{Dimension, Units};
use tautway_sim::scenario::{Diagnostic, Lathe, Source, decode_lathe};
use tautway_sim::shop_tests::notation::written;
use toml_edit::{DocumentMut, InlineTable, Item, Value, table};

use crate::failure::Failure;
use crate::texts::{self, Text};

/// A number to be put in.
pub struct Change {
    /// The key: `slide.drag`.
    pub key: &'static str,
    /// What it measures.
    pub dimension: Dimension,
    /// Low, middle and high, SI.
    pub range: [f64; 3],
    /// Where it comes from, told behind a line that is new.
    pub from: String,
}

/// The lathe file with the changes in it, checked by reading it again.
///
/// # Errors
/// When the result is no lathe file; its faults are shown.
pub fn put(lathe: &Text, units: Units, changes: &[Change]) -> Result<(String, Lathe), Failure> {
    let mut document: DocumentMut = lathe
        .text
        .parse()
        .map_err(|why| Failure::Stopped(format!("can't take {} apart: {why}", lathe.name)))?;
    for change in changes {
        let (place, key) = change.key.split_once('.').unwrap_or(("", change.key));
        let section = document.entry(place).or_insert_with(table);
        if section.as_table_like().is_none() {
            // It says "don't know" in place of the table.
            *section = table();
        }
        let Some(section) = section.as_table_like_mut() else {
            continue;
        };
        let mut value = value(change, units);
        match section.get(key).and_then(Item::as_value) {
            Some(old) => *value.decor_mut() = old.decor().clone(),
            None => value.decor_mut().set_suffix(format!(" # {}", change.from)),
        }
        section.insert(key, Item::Value(value));
    }
    let text = document.to_string();
    match decode_lathe(Source {
        name: &lathe.name,
        text: &text,
    }) {
        Ok((read, _)) => Ok((text, read)),
        Err(found) => Err(unreadable(&found, lathe, text)),
    }
}

fn unreadable(found: &[Diagnostic], lathe: &Text, text: String) -> Failure {
    let text = Text {
        name: lathe.name.clone(),
        text,
    };
    texts::show(found, &[text]);
    Failure::Shown
}

/// `"0.075 in"`, `"0.075 in +- 0.004 in"`, or low, middle and high where they are uneven.
fn value(change: &Change, units: Units) -> Value {
    let [low, middle, high] = change.range;
    let show = |si: f64| written(si, change.dimension, units);
    let (minus, plus) = (middle - low, high - middle);
    if minus <= 0.0 && plus <= 0.0 {
        return Value::from(show(middle));
    }
    if (plus - minus).abs() <= 0.01 * plus.max(minus) {
        return Value::from(format!("{} +- {}", show(middle), show(plus)));
    }
    let mut three = InlineTable::new();
    for (key, si) in [("low", low), ("middle", middle), ("high", high)] {
        three.insert(key, Value::from(show(si)));
    }
    Value::from(three)
}
