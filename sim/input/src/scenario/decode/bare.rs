//! Numbers without a unit: taken in their field's unit, in the units that their file is in.

use std::ops::Range;

use toml::de::{DeTable, DeValue};

use super::reading::{Bare, Reading};
use super::section::{Got, Section, plain_words};
use super::sense::EITHER;
use super::wordings::UNITS;
use crate::quantity::{Dimension, Fault, Units, field_unit, units_in};
use crate::scenario::Diagnostic;

/// Keys and tables of words, in which a unit is no sign of the file's.
const WORDS: &[&str] = &[
    "name", "note", "lathe", "job", "material", "measured", "meant",
];

impl Reading<'_> {
    /// Notes which units a text says it is in and how many of its numbers are in either.
    pub fn weigh(&self, table: &DeTable<'_>) {
        let said = table.iter().find(|(key, _)| key.get_ref() == "units");
        if let Some((_, value)) = said
            && let DeValue::String(said) = value.get_ref()
        {
            let said = plain_words(said);
            let row = UNITS.iter().find(|(words, _)| words.contains(&&*said));
            self.stated.set(row.map(|(_, units)| *units));
        }
        let mut weight = [0, 0];
        for (key, value) in table {
            weigh(key.get_ref(), value.get_ref(), &mut weight);
        }
        self.weight.set(weight);
    }
}

/// How many numbers of a text are in inch units, and in metric ones.
pub(crate) fn weight_of(text: &str) -> [usize; 2] {
    let mut weight = [0, 0];
    for unit in units_in(text) {
        match unit.of {
            Some(Units::Inch) => weight[0] += 1,
            Some(Units::Metric) => weight[1] += 1,
            None => {}
        }
    }
    weight
}

fn weigh(path: &str, value: &DeValue<'_>, weight: &mut [usize; 2]) {
    let last = path.rsplit('.').next().unwrap_or(path);
    if WORDS.contains(&last) || EITHER.contains(&path) {
        return;
    }
    match value {
        DeValue::String(text) => {
            let [inch, metric] = weight_of(text);
            weight[0] += inch;
            weight[1] += metric;
        }
        DeValue::Array(list) => {
            for item in list {
                weigh(path, item.get_ref(), weight);
            }
        }
        DeValue::Table(table) => {
            for (key, item) in table {
                weigh(&format!("{path}.{}", key.get_ref()), item.get_ref(), weight);
            }
        }
        _ => {}
    }
}

/// The unit of a field: what is tabled in N/mm2 wherever it is used is so without a word.
fn unit_of(path: &str, dimension: Dimension, units: Units) -> &'static str {
    match path {
        "cutting.specific_force" => "N/mm2",
        "cutting.edge_force" => "N/mm",
        _ => field_unit(dimension, units),
    }
}

impl Section<'_> {
    /// Reads a number of this dimension; one without a unit takes its field's, which is noted.
    pub fn read_number<T>(
        &self,
        key: &str,
        value: &DeValue<'_>,
        at: Range<usize>,
        example: &str,
        dimension: Dimension,
        parse: impl Fn(&str) -> Result<T, Fault>,
    ) -> Got<T> {
        let text = match value {
            DeValue::String(text) => text.to_string(),
            DeValue::Integer(number) => number.to_string(),
            DeValue::Float(number) => number.to_string(),
            _ => return self.read_value(key, value, at, example, parse),
        };
        let wanting = parse(&text).is_err_and(|fault| fault.is_of_a_bare_number());
        let path = self.key_path(key);
        let taken = self.reading.family().filter(|_| wanting).and_then(|units| {
            let said = format!("{} {}", text.trim(), unit_of(&path, dimension, units));
            Some((parse(&said).ok()?, said))
        });
        let Some((number, said)) = taken else {
            return self.read_value(key, value, at, example, parse);
        };
        let note = Diagnostic::bare(self.reading.source, at.clone(), &path, &said);
        self.reading.note(note);
        self.reading.bare.borrow_mut().push(Bare { at, said });
        Got::Given(number)
    }
}
