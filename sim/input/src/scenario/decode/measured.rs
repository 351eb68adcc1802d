//! The lathe file's table `[measured]`: which test or finished job each number came from.
//!
//! `attachment.slack = "test 1, reversal"` says so of `slack` in `[attachment]`. `tautway lathe`
//! writes it; whoever changes the number by hand takes the line out.

use std::ops::Range;

use toml::de::DeValue;

use super::section::Section;
use crate::scenario::want::Want;
use crate::scenario::{Measured, Severity};

const EXAMPLE: &str = "attachment.slack = \"test 1, reversal\"";

/// Reads the table once all others are read, so that it is known which numbers are there.
pub(super) fn read(top: &Section<'_>) -> Vec<Measured> {
    top.want("measured", Want::Sources);
    let mut found = Vec::new();
    match top.find("measured") {
        None => {}
        Some((value, at)) => walk(top, "", value, at, &mut found),
    }
    found
}

fn walk(
    top: &Section<'_>,
    key: &str,
    value: &DeValue<'_>,
    at: Range<usize>,
    found: &mut Vec<Measured>,
) {
    match value {
        DeValue::Table(table) => {
            for (name, value) in table {
                let name = name.get_ref();
                let inner = if key.is_empty() {
                    name.to_string()
                } else {
                    format!("{key}.{name}")
                };
                walk(top, &inner, value.get_ref(), value.span(), found);
            }
        }
        DeValue::String(by) if !key.is_empty() && !by.trim().is_empty() => {
            if top.reading.has(key) {
                found.push(Measured {
                    key: key.to_owned(),
                    by: by.split_whitespace().collect::<Vec<_>>().join(" "),
                });
            } else {
                top.reading.report(
                    Severity::Warning,
                    at,
                    format!("`{key}` is said to be measured and is not in this file"),
                    "of no number",
                    format!(
                        "take the line out, or write the number: {EXAMPLE} wants `slack` in \
                             [attachment]"
                    ),
                );
            }
        }
        _ => top.reading.error(
            at,
            "[measured] says in a few words what each number came from",
            "no words in quotes",
            format!("write it like this: {EXAMPLE}"),
        ),
    }
}
