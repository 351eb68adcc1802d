//! Readings with their repeats, and what says that nothing was read.

use toml::de::DeValue;

use super::section::{Got, Section, plain_words};
use crate::quantity::Quantity;
use crate::scenario::limits::Limits;

/// Whether it says that a test was not done.
pub(super) fn is_not_done(value: &DeValue<'_>) -> bool {
    matches!(value, DeValue::String(text) if matches!(plain_words(text).as_str(), "not done" | "-"))
}

impl Section<'_> {
    /// Repeats of a reading: a list, or one alone; empty when not done. SI.
    pub(super) fn repeats<Q: Quantity>(&self, key: &'static str, limits: Limits) -> Vec<f64> {
        let Some((value, at)) = self.find(key) else {
            return Vec::new();
        };
        if is_not_done(value) {
            return Vec::new();
        }
        let one = |value: &DeValue<'_>, at| match self.quantity_in::<Q>(key, value, at, limits) {
            Got::Given(q) => Some(q.si()),
            Got::Open | Got::Faulty => None,
        };
        match value {
            DeValue::Array(list) => list
                .iter()
                .filter(|item| !is_not_done(item.get_ref()))
                .filter_map(|item| one(item.get_ref(), item.span()))
                .collect(),
            single => one(single, at).into_iter().collect(),
        }
    }

    /// A plain quantity, 0 when it isn't there or not done. SI.
    pub(super) fn one<Q: Quantity>(&self, key: &'static str, limits: Limits) -> f64 {
        match self.find(key) {
            Some((value, at)) if !is_not_done(value) => self
                .quantity_in::<Q>(key, value, at, limits)
                .given()
                .map_or(0.0, Q::si),
            _ => 0.0,
        }
    }
}
