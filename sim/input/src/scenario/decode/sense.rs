//! Whether a number is what such a number usually is, and which slip it looks like where it isn't.

use std::ops::Range;

use toml::de::DeValue;

use super::reading::Reading;
use super::section::Section;
use crate::quantity::{Dimension, Speed, Units, common_units, speed_units, units_in};
use crate::scenario::diagnostic::UNCLEAR;
use crate::scenario::numbers::bounds::{self, Bounds};
use crate::scenario::want::Want;
use crate::scenario::{Diagnostic, Severity};

/// One number of a file, held against its row.
pub(crate) struct Held<'a> {
    /// The key with its tables.
    pub path: &'a str,
    /// Where its value stands.
    pub at: &'a Range<usize>,
    /// What it is, in SI.
    pub si: f64,
    pub bounds: &'static Bounds,
    pub dimension: Dimension,
}

impl Reading<'_> {
    /// Refuses what can't be and doubts what is not usual; whether it can be.
    pub fn hold(&self, held: &Held<'_>) -> bool {
        let units = self.units.get();
        let show = |si: f64| held.dimension.show(si, units);
        let others: Vec<_> = common_units(held.dimension).collect();
        self.hold_in(held, &others, &show)
    }

    /// The same of a speed.
    pub fn hold_speed(&self, path: &str, at: &Range<usize>, speed: Speed) -> bool {
        let units = self.units.get();
        let (si, bounds) = match speed {
            Speed::Turns(turns) => (turns, &bounds::TURNS),
            Speed::Surface(speed) => (speed, &bounds::CUTTING_SPEED),
        };
        let held = Held {
            path,
            at,
            si,
            bounds,
            dimension: Dimension::Ratio,
        };
        let others: Vec<_> = match speed {
            Speed::Turns(_) => Vec::new(),
            Speed::Surface(_) => speed_units().collect(),
        };
        let show = |si: f64| match speed {
            Speed::Turns(_) => Speed::Turns(si).show(units),
            Speed::Surface(_) => Speed::Surface(si).show(units),
        };
        self.hold_in(&held, &others, &show)
    }

    fn hold_in(
        &self,
        held: &Held<'_>,
        others: &[(&'static str, f64)],
        show: &dyn Fn(f64) -> String,
    ) -> bool {
        let Held {
            path, at, bounds, ..
        } = *held;
        let [least, most] = bounds.usual.map(show);
        if self.is_unclear(held, others, show) {
            return false;
        }
        let slip = match &self.meant(held, others)[..] {
            [] => String::new(),
            meant => format!("did you mean {}? ", meant.join(", or ")),
        };
        if bounds.keep_out(held.si) {
            let [least, most] = bounds.hard.map(show);
            self.error(
                at.clone(),
                format!("`{path}` can't be {}", show(held.si)),
                format!("out of range: {least} to {most}"),
                format!("{slip}{}", bounds.why),
            );
            return false;
        }
        if !bounds.is_usual(held.si) {
            let much = if held.si.abs() > bounds.usual[1] {
                "a lot"
            } else {
                "very little"
            };
            self.report(
                Severity::Warning,
                at.clone(),
                format!("`{path}` of {} is {much}", show(held.si)),
                "is this meant?",
                format!(
                    "{slip}it usually is from {least} to {most}: check the digits and the unit"
                ),
            );
        }
        true
    }

    /// Refuses a bare number that is not usual in its field's unit and would be in another, and one
    /// of what is sold in either family's units that would be usual in both.
    fn is_unclear(
        &self,
        held: &Held<'_>,
        others: &[(&'static str, f64)],
        show: &dyn Fn(f64) -> String,
    ) -> bool {
        let Some(said) = self.taken_at(held.at) else {
            return false;
        };
        let usual = held.bounds.is_usual(held.si);
        let mut meant = self.meant(held, others);
        if usual {
            // Air is in bar, no force of a cut.
            meant.retain(|meant| !meant.ends_with(" bar"));
        }
        if meant.is_empty() || usual && !EITHER.contains(&held.path) {
            return false;
        }
        let readings: Vec<String> = std::iter::once(said.clone()).chain(meant).collect();
        let [least, most] = held.bounds.usual.map(show);
        self.error(
            held.at.clone(),
            format!("`{}` {UNCLEAR} {}", held.path, readings.join(" or ")),
            "no unit",
            match usual {
                true => format!("both could be: write the unit, `{said}` if that is meant"),
                false => format!(
                    "write the unit, `{}` perhaps: it usually is from {least} to {most}",
                    readings[1]
                ),
            },
        );
        true
    }

    /// The same figures in other units where they would be usual: `1.375 in`.
    fn meant(&self, held: &Held<'_>, others: &[(&'static str, f64)]) -> Vec<String> {
        let taken = self.taken_at(held.at);
        let raw = self.source.text.get(held.at.clone()).unwrap_or("");
        let text = taken.as_deref().unwrap_or(unquoted(raw));
        let found = units_in(text);
        let Some(first) = found.first() else {
            return Vec::new();
        };
        let unit = &text[first.at.clone()];
        if found
            .iter()
            .any(|other| text[other.at.clone()] != *unit || other.compound)
        {
            return Vec::new();
        }
        let mut meant: Vec<String> = Vec::new();
        for (name, si) in others {
            if (si / first.si - 1.0).abs() > 1e-6
                && held.bounds.is_usual(held.si / first.si * si)
                && held.si != 0.0
            {
                let mut said = text.to_owned();
                for other in found.iter().rev() {
                    said.replace_range(other.at.clone(), &spaced(text, other.at.start, name));
                }
                meant.push(said.trim().to_owned());
            }
        }
        meant.truncate(2);
        meant
    }

    /// Doubts what is in a unit of another family than the rest of its file.
    ///
    /// What is sold and tabled in millimetres wherever it is used, such as the noses of inserts and
    /// the force tables, may stand in either. The units that the file says it is in count as two.
    pub fn families(&self) -> Vec<Diagnostic> {
        let seen = self.units_seen.borrow();
        let count = |units: Units| {
            let said = usize::from(self.units.get() == units) * 2;
            said + seen.iter().filter(|seen| seen.of == units).count()
        };
        let (inch, metric) = (count(Units::Inch), count(Units::Metric));
        let rest = match inch >= metric {
            true => Units::Inch,
            false => Units::Metric,
        };
        let few = inch.min(metric);
        if few == 0 || inch.max(metric) < 2 * few {
            return Vec::new();
        }
        let (other, those) = match rest {
            Units::Inch => ("millimetres and newtons", "inches and pounds"),
            Units::Metric => ("inches and pounds", "millimetres and newtons"),
        };
        let odd = seen
            .iter()
            .filter(|seen| seen.of != rest && !EITHER.contains(&seen.path.as_str()));
        odd.map(|seen| Diagnostic {
            severity: Severity::Warning,
            file: self.source.name.to_owned(),
            span: seen.at.clone(),
            message: format!(
                "`{}` is in {other}, the rest of the file in {those}",
                seen.path
            ),
            label: "is this unit meant?".to_owned(),
            hint: "write it in the units of the rest, so that no slip hides among them".to_owned(),
        })
        .collect()
    }
}

/// Reads `meant = ["tool.bar.stick_out"]`: the numbers of this file that are odd and meant so.
/// Nothing is doubted of them any more; what can't be is refused all the same.
pub(super) fn meant(top: &Section<'_>) {
    const EXAMPLE: &str = "[\"tool.bar.stick_out\"]";
    top.want("meant", Want::Keys);
    let Some((value, at)) = top.find("meant") else {
        return;
    };
    let DeValue::Array(list) = value else {
        top.wrong_type("meant", value, at, "a list of keys in quotes", EXAMPLE);
        return;
    };
    for key in list {
        match key.get_ref() {
            DeValue::String(path) if top.reading.has(path) => {
                top.reading.meant.borrow_mut().push(path.to_string());
            }
            DeValue::String(path) => top.reading.error(
                key.span(),
                format!("`{path}` is said to be meant and is not in this file"),
                "of no number",
                format!("name a number with its table: meant = {EXAMPLE}"),
            ),
            other => {
                top.wrong_type(
                    "meant",
                    other,
                    key.span(),
                    "a list of keys in quotes",
                    EXAMPLE,
                );
            }
        }
    }
}

/// Tabled, or sold by its size in millimetres, wherever it is used.
pub(super) const EITHER: &[&str] = &[
    "cutting.specific_force",
    "cutting.edge_force",
    "tool.nose_radius",
    "tool.edge_radius",
];

fn spaced(text: &str, at: usize, unit: &str) -> String {
    match text[..at].ends_with(char::is_whitespace) {
        true => unit.to_owned(),
        false => format!(" {unit}"),
    }
}

/// A value of the file without its quotes.
fn unquoted(raw: &str) -> &str {
    let quote = |c: char| c == '"' || c == '\'';
    match raw.chars().next() {
        Some(first) if quote(first) && raw.len() > 1 => {
            raw[1..].strip_suffix(first).unwrap_or(&raw[1..])
        }
        _ => raw,
    }
}
