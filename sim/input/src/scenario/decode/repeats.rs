//! Readings with their repeats, and what says that nothing was read.

use std::ops::Range;

use toml::de::DeValue;

use super::section::{Got, Section, plain_words};
use crate::quantity::Quantity;
use crate::scenario::Severity;
use crate::scenario::limits::Limits;
use crate::scenario::want::Want;

/// Whether it says that a test was not done.
pub(super) fn is_not_done(value: &DeValue<'_>) -> bool {
    matches!(value, DeValue::String(text) if matches!(plain_words(text).as_str(), "not done" | "-"))
}

impl Section<'_> {
    /// Repeats of one reading: a list, or one alone; empty when not done. SI.
    pub(super) fn repeats<Q: Quantity>(&self, key: &'static str, limits: Limits) -> Vec<f64> {
        let all = self.listed::<Q>(key, limits);
        self.alike::<Q>(key, &all);
        all.into_iter().map(|(si, _)| si).collect()
    }

    /// Readings in a list, whatever they are of; empty when not done. SI.
    pub(super) fn readings<Q: Quantity>(&self, key: &'static str, limits: Limits) -> Vec<f64> {
        let all = self.listed::<Q>(key, limits);
        all.into_iter().map(|(si, _)| si).collect()
    }

    fn listed<Q: Quantity>(&self, key: &'static str, limits: Limits) -> Vec<(f64, Range<usize>)> {
        self.want(key, Want::Repeats(Q::DIMENSION));
        let Some((value, at)) = self.find(key) else {
            return Vec::new();
        };
        if is_not_done(value) {
            return Vec::new();
        }
        let one = |value: &DeValue<'_>, at: Range<usize>| match self.quantity_in::<Q>(
            key,
            value,
            at.clone(),
            limits,
        ) {
            Got::Given(q) => Some((q.si(), at)),
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

    /// Doubts a repeat that is many times the others, or they it.
    fn alike<Q: Quantity>(&self, key: &str, all: &[(f64, Range<usize>)]) {
        /// More than chance makes of one reading [guess].
        const APART: f64 = 8.0;
        let mut sizes: Vec<f64> = all.iter().map(|(si, _)| si.abs()).collect();
        sizes.sort_by(f64::total_cmp);
        let Some(middle) = sizes.get(sizes.len() / 2).copied() else {
            return;
        };
        for (si, at) in all {
            let size = si.abs();
            if size > 0.0 && middle > 0.0 && !(1.0 / APART..=APART).contains(&(size / middle)) {
                let shown = |si: f64| Q::from_si(si).show(self.reading.units.get());
                self.reading.report(
                    Severity::Warning,
                    at.clone(),
                    format!(
                        "`{}`: {} is no repeat of {}",
                        self.key_path(key),
                        shown(*si),
                        shown(middle)
                    ),
                    "far from the others",
                    "check the digits and the unit",
                );
            }
        }
    }

    /// A plain quantity, 0 when it isn't there or not done. SI.
    pub(super) fn one<Q: Quantity>(&self, key: &'static str, limits: Limits) -> f64 {
        self.want(key, Want::Number(Q::DIMENSION));
        match self.find(key) {
            Some((value, at)) if !is_not_done(value) => self
                .quantity_in::<Q>(key, value, at, limits)
                .given()
                .map_or(0.0, Q::si),
            _ => 0.0,
        }
    }
}
