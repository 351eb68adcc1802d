//! Puts numbers that were measured into a lathe file and leaves its comments and everything else as it is.

use tautway_sim::arithmetic::max;
use tautway_sim::quantity::{Dimension, Units};
use tautway_sim::readings::Reads;
use tautway_sim::shop_tests::Finding;
use tautway_sim::shop_tests::notation::written_range;
use toml_edit::{DocumentMut, InlineTable, Item, Table, Value, table};

/// Where the program says in a lathe file what gave each number.
pub const MEASURED: &str = "# Which test or finished job gave each number";

/// A number to be put in.
pub struct Change {
    /// The key: `slide.drag`.
    pub key: &'static str,
    /// What it measures.
    pub dimension: Dimension,
    /// Low, middle and high, SI.
    pub range: [f64; 3],
    /// The tests or the finished job it comes from; `None` for what was merely read.
    pub from: Option<String>,
}

impl Change {
    /// Of what shop tests gave.
    pub fn of(finding: &Finding) -> Self {
        let names: Vec<_> = finding.tests.iter().map(|test| test.name()).collect();
        Self {
            key: finding.key,
            dimension: finding.dimension,
            range: finding.range,
            from: (!names.is_empty()).then(|| names.join("; ")),
        }
    }
}

/// The lathe file with the changes in it, and what its readout counts where that became known.
///
/// # Errors
/// A text that is no TOML.
pub fn put(
    lathe: &str,
    units: Units,
    changes: &[Change],
    reads: Option<Reads>,
) -> Result<String, String> {
    let mut document: DocumentMut = lathe
        .parse()
        .map_err(|why: toml_edit::TomlError| why.to_string())?;
    for change in changes {
        let (place, key) = change.key.split_once('.').unwrap_or(("", change.key));
        set(&mut document, place, key, value(change, units));
        if let Some(from) = &change.from {
            note(&mut document, place, key, from);
        }
    }
    if let Some(reads) = reads {
        let word = match reads {
            Reads::Diameter => "diameter",
            Reads::Radius => "radius",
            Reads::Indicator => "indicator",
        };
        set(&mut document, "readout", "reads", Value::from(word));
    }
    Ok(document.to_string())
}

/// Puts a value in the place of the old, or behind the others.
fn set(document: &mut DocumentMut, place: &str, key: &str, mut value: Value) {
    let section = document.entry(place).or_insert_with(table);
    if section.as_table_like().is_none() {
        // It says "don't know" in place of the table.
        *section = table();
    }
    let Some(section) = section.as_table_like_mut() else {
        return;
    };
    if let Some(old) = section.get(key).and_then(Item::as_value) {
        keep_decor(old, &mut value);
    }
    section.insert(key, Item::Value(value));
}

const MORE_OF_MEASURED: &str = "\
, for sheet and comparison to say. Whoever changes a
# number by hand takes its line out.
";

/// Says in `[measured]` where a number comes from.
fn note(document: &mut DocumentMut, place: &str, key: &str, from: &str) {
    let measured = document.entry("measured").or_insert_with(|| {
        let mut table = Table::new();
        table
            .decor_mut()
            .set_prefix(format!("\n{MEASURED}{MORE_OF_MEASURED}"));
        Item::Table(table)
    });
    let Some(measured) = measured.as_table_like_mut() else {
        return;
    };
    let part = measured.entry(place).or_insert_with(|| {
        let mut table = Table::new();
        table.set_dotted(true);
        Item::Table(table)
    });
    if let Some(part) = part.as_table_like_mut() {
        part.insert(key, Item::Value(Value::from(from)));
    }
}

/// The comment behind the old value, at the same column where there is room.
fn keep_decor(old: &Value, value: &mut Value) {
    let decor = old.decor().clone();
    let suffix = decor.suffix().and_then(|raw| raw.as_str()).unwrap_or("");
    let comment = suffix.trim_start_matches(' ');
    let bare = |value: &Value| value.clone().decorated("", "").to_string().len();
    let column = bare(old) + suffix.len() - comment.len();
    let gap = column.saturating_sub(bare(value)).max(1);
    let shifted = comment
        .starts_with('#')
        .then(|| format!("{}{comment}", " ".repeat(gap)));
    *value.decor_mut() = decor;
    if let Some(shifted) = shifted {
        value.decor_mut().set_suffix(shifted);
    }
}

/// `"0.075 in"`, `"0.071 in to 0.079 in"`, or low, middle and high where they are uneven.
fn value(change: &Change, units: Units) -> Value {
    let [low, middle, high] = change.range;
    let (minus, plus) = (middle - low, high - middle);
    let [least, told, most] = written_range(change.range, change.dimension, units);
    if minus <= 0.0 && plus <= 0.0 {
        return Value::from(told);
    }
    if (plus - minus).abs() <= 0.01 * max(plus, minus) {
        return Value::from(format!("{least} to {most}"));
    }
    let mut three = InlineTable::new();
    for (key, text) in [("low", least), ("middle", told), ("high", most)] {
        three.insert(key, Value::from(text));
    }
    Value::from(three)
}
