//! What is wrong with a form, beside the field that it is of.

use serde::Serialize;
use tautway_sim::gauging::Refusal;
use tautway_sim::scenario::{Diagnostic, Severity};

use super::Form;
use crate::fields;

/// What is wrong with a form.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Fault {
    severity: &'static str,
    /// The field; nothing where it is none's own.
    path: String,
    message: String,
    hint: String,
}

impl Fault {
    pub(super) fn of(path: &str, message: &str, hint: &str) -> Self {
        Self {
            severity: "error",
            path: path.to_owned(),
            message: message.to_owned(),
            hint: hint.to_owned(),
        }
    }

    /// One that is told under its place in what was typed, which stands in the field here.
    pub(super) fn pointed(path: &str, why: &str) -> Self {
        let message = why.lines().next().unwrap_or(why);
        let hint = why.split_once("help: ").map_or("", |(_, hint)| hint);
        let hint = hint.split_whitespace().collect::<Vec<_>>().join(" ");
        Self::of(path, message, &hint)
    }

    pub(super) fn refused(of: Form, refusal: &Refusal) -> Self {
        let row = of
            .rows()
            .iter()
            .find(|row| row.about.contains(&refusal.about));
        Self::of(
            row.map_or("", |row| row.path),
            &refusal.message,
            &refusal.hint,
        )
    }

    pub(super) fn decoded(of: Form, found: &[Diagnostic], text: &str) -> Vec<Self> {
        let wrong = found.iter().filter(|one| one.severity != Severity::Note);
        let fault = wrong.map(|one| Self {
            severity: match one.severity {
                Severity::Error => "error",
                _ => "warning",
            },
            path: place(of, &fields::path_at(text, one.span.start), &one.message),
            message: one.message.clone(),
            hint: one.hint.clone(),
        });
        fault.collect()
    }
}

/// The field that a fault is of: where a key or its table is missing, the first of it.
fn place(of: Form, at: &str, message: &str) -> String {
    let named = |word: &str| message.contains(&format!("`{word}`"));
    let mut rows = of.rows().iter().filter(|row| !row.rare);
    let missing = rows.find(|row| match row.path.split_once('.') {
        Some((table, key)) => {
            at == table && (named(key) || named(row.path))
                || at.is_empty() && message.contains(&format!("[{table}]"))
        }
        None => at.is_empty() && named(row.path),
    });
    missing.map_or(at, |row| row.path).to_owned()
}
