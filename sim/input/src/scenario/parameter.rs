//! The uncertain numbers of a scenario, so that one loop can vary them all.

use super::numbers::{self, Number};
use super::{Origin, Scenario, SpreadShape, Vary};
use crate::quantity::{Dimension, Units};

/// One uncertain number as it stands in a scenario.
#[derive(Clone, Copy)]
pub struct Parameter {
    /// Its number, the same in every scenario and version: random draws go by it.
    pub number: u32,
    /// The key in the person's files: `slide.drag`.
    pub key: &'static str,
    /// What the shop calls it.
    pub words: &'static str,
    /// The shop test that measures it, if one does.
    pub test: Option<&'static str>,
    /// Its row.
    pub row: &'static dyn Number,
    /// What it was when it was looked up.
    pub value: Value,
}

/// A number with its range, whatever it measures.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Value {
    range: [f64; 3],
    shape: SpreadShape,
    origin: Origin,
    dimension: Dimension,
}

impl Value {
    fn of(known: &dyn Vary) -> Self {
        Self {
            range: known.range_si(),
            shape: known.shape(),
            origin: known.origin(),
            dimension: known.dimension(),
        }
    }

    /// Low, middle and high in SI.
    pub fn range_si(&self) -> [f64; 3] {
        self.range
    }

    /// How it is spread over that range.
    pub fn shape(&self) -> SpreadShape {
        self.shape
    }

    /// Whether it was assumed.
    pub fn origin(&self) -> Origin {
        self.origin
    }

    /// What it measures.
    pub fn dimension(&self) -> Dimension {
        self.dimension
    }

    /// Such a number in shop notation, from SI, in the person's units.
    pub fn show_si(&self, si: f64, units: Units) -> String {
        self.dimension.show(si, units)
    }

    /// Low, middle and high in shop notation, in the person's units.
    pub fn show(&self, units: Units) -> [String; 3] {
        self.range.map(|si| self.show_si(si, units))
    }
}

impl Parameter {
    /// Replaces the middle, in SI, where the scenario has the number.
    pub fn set_si(&self, scenario: &mut Scenario, si: f64) {
        if let Some(known) = found(self.row, scenario) {
            known.set_si(si);
        }
    }

    /// Replaces low, middle and high, in SI, where the scenario has the number.
    pub fn set_range_si(&self, scenario: &mut Scenario, range: [f64; 3]) {
        if let Some(known) = found(self.row, scenario) {
            known.set_range_si(range);
        }
    }
}

fn found<'a>(row: &dyn Number, scenario: &'a mut Scenario) -> Option<&'a mut dyn Vary> {
    row.find(&mut scenario.lathe, &mut scenario.job)
}

fn parameters(
    scenario: &mut Scenario,
    rows: impl Iterator<Item = &'static dyn Number>,
) -> Vec<Parameter> {
    rows.filter_map(|row| {
        let value = Value::of(found(row, scenario)?);
        let about = row.about();
        Some(Parameter {
            number: about.number,
            key: about.key,
            words: about.words,
            test: about.test.map(|test| test.name()),
            row,
            value,
        })
    })
    .collect()
}

impl Scenario {
    /// What the shop calls each number of the lathe that was measured, beside what gave it,
    /// those of one source together.
    pub fn measured_in_words(&self) -> Vec<(String, Vec<String>)> {
        let mut all: Vec<(String, Vec<String>)> = Vec::new();
        let mut scenario = self.clone();
        let parameters = scenario.parameters_mut();
        for measured in &self.lathe.measured {
            let parameter = parameters
                .iter()
                .find(|parameter| parameter.key == measured.key);
            let words = parameter.map_or(measured.key.as_str(), |parameter| parameter.words);
            match all.iter_mut().find(|(by, _)| *by == measured.by) {
                Some((_, numbers)) => numbers.push(words.to_owned()),
                None => all.push((measured.by.clone(), vec![words.to_owned()])),
            }
        }
        all
    }

    /// Every uncertain number that a way with the attachment draws, lathe first, in a fixed order.
    /// Parts that a measured total overrides are left out, for they change nothing.
    pub fn parameters_mut(&mut self) -> Vec<Parameter> {
        parameters(self, numbers::with_attachment())
    }

    /// The uncertain numbers that only the ways without the attachment know, in a fixed order.
    pub fn method_parameters_mut(&mut self) -> Vec<Parameter> {
        parameters(self, numbers::without_attachment())
    }
}
