//! Tables as CSV (RFC 4180): headings of one system, the unit of every number at the end of its own.
//!
//! With a decimal comma the fields are parted by semicolons, as spreadsheets of such places have it.

use std::io::Write;
use std::sync::OnceLock;

use csv::{Terminator, WriterBuilder};
use serde_json::{Value, json};
use tautway_sim::quantity::{DEGREE, Dimension, INCH, INCHES_PER_FOOT, LBF, PSI, Units};

use crate::failure::Failure;
use crate::plan::Decimal;

/// As asked for when the program began.
static DECIMAL: OnceLock<Decimal> = OnceLock::new();

/// Asks for a decimal sign, once.
pub fn ask_for(decimal: Decimal) {
    let _ = DECIMAL.set(decimal);
}

fn decimal() -> Decimal {
    DECIMAL.get().copied().unwrap_or_default()
}

/// SI to the person's units, and the unit as a heading has it.
#[derive(Clone, Copy)]
pub struct Scale(f64, &'static str);

/// The units of a table.
pub struct Scales {
    pub length: Scale,
    pub height: Scale,
    pub roughness: Scale,
    pub taper: Scale,
    pub force: Scale,
    pub spring: Scale,
    pub edge_load: Scale,
    pub pressure: Scale,
}

/// A part of a whole: who gives way, on how many lathes.
pub const SHARE: Scale = Scale(100.0, "percent");
/// How many times another number.
const RATIO: Scale = Scale(1.0, "ratio");
const ANGLE: Scale = Scale(1.0 / DEGREE, "deg");
/// Pascals in a bar, by definition.
const BAR: f64 = 1e5;
/// What a way asks of the hand, in either system.
pub const MINUTES: Scale = Scale(1.0 / 60.0, "minutes");

impl Scales {
    pub fn of(units: Units) -> Self {
        match units {
            Units::Inch => Self {
                length: Scale(1.0 / INCH, "in"),
                height: Scale(1e3 / INCH, "thou"),
                roughness: Scale(1e6 / INCH, "uin"),
                taper: Scale(INCHES_PER_FOOT, "in_per_ft"),
                force: Scale(1.0 / LBF, "lbf"),
                spring: Scale(1e-3 * INCH / LBF, "lbf_per_thou"),
                edge_load: Scale(INCH / LBF, "lbf_per_in"),
                pressure: Scale(1.0 / PSI, "psi"),
            },
            Units::Metric => Self {
                length: Scale(1e3, "mm"),
                height: Scale(1e6, "um"),
                roughness: Scale(1e6, "um"),
                taper: Scale(1e3, "mm_per_m"),
                force: Scale(1.0, "N"),
                spring: Scale(1e-6, "N_per_um"),
                edge_load: Scale(1e-3, "N_per_mm"),
                pressure: Scale(1.0 / BAR, "bar"),
            },
        }
    }

    /// That of a number of the lathe or the job.
    pub fn of_kind(&self, dimension: Dimension) -> Scale {
        match dimension {
            Dimension::Length => self.length,
            Dimension::Angle => ANGLE,
            Dimension::Taper => self.taper,
            Dimension::Ratio => RATIO,
            Dimension::Force => self.force,
            Dimension::Stiffness => self.spring,
            Dimension::Pressure => self.pressure,
            Dimension::EdgeLoad => self.edge_load,
        }
    }
}

/// One row in the making: headings and fields side by side.
#[derive(Default)]
pub struct Row {
    headings: Vec<String>,
    fields: Vec<Field>,
}

/// A field, with a decimal point where it is a number.
struct Field {
    text: String,
    is_number: bool,
}

impl Field {
    fn written(&self, decimal: Decimal) -> String {
        match (self.is_number, decimal) {
            (true, Decimal::Comma) => self.text.replace('.', ","),
            _ => self.text.clone(),
        }
    }
}

impl Row {
    /// A word, or a count.
    pub fn word(&mut self, heading: &str, field: impl Into<String>) {
        self.headings.push(heading.to_owned());
        self.fields.push(Field {
            text: field.into(),
            is_number: false,
        });
    }

    pub fn flag(&mut self, heading: &str, flag: Option<bool>) {
        self.word(heading, flag.map_or("", |f| if f { "yes" } else { "no" }));
    }

    /// A number, empty when there is none.
    pub fn number(&mut self, heading: &str, scale: Scale, si: Option<f64>) {
        let field = si
            .map(|si| si * scale.0)
            .filter(|value| value.is_finite())
            .map_or(String::new(), |value| format!("{}", rounded(value)));
        self.headings.push(format!("{heading}_{}", scale.1));
        self.fields.push(Field {
            text: field,
            is_number: true,
        });
    }
}

impl Row {
    /// Headings with their fields.
    pub fn cells(&self) -> impl Iterator<Item = (&str, &str)> {
        let headings = self.headings.iter().map(String::as_str);
        headings.zip(self.fields.iter().map(|field| field.text.as_str()))
    }
}

/// To seven digits: more than anybody knows, and no noise from changing units.
fn rounded(value: f64) -> f64 {
    format!("{value:.6e}").parse().unwrap_or(value)
}

/// Rows under the headings of the first.
///
/// # Errors
/// Never in practice: they are written to memory.
pub fn written(rows: impl Iterator<Item = Row>) -> Result<String, Failure> {
    let mut table = Table::new(Vec::new());
    let fault = |why: &dyn std::fmt::Display| Failure::Stopped(format!("can't write CSV: {why}"));
    for row in rows {
        table.add(&row).map_err(|w| fault(&w))?;
    }
    let bytes = table.writer.into_inner().map_err(|w| fault(&w))?;
    String::from_utf8(bytes).map_err(|w| fault(&w))
}

/// Rows under the headings of the first, written as they come.
pub struct Table<W: Write> {
    writer: csv::Writer<W>,
    headed: bool,
}

impl<W: Write> Table<W> {
    pub fn new(to: W) -> Self {
        Self {
            writer: WriterBuilder::new()
                .terminator(Terminator::CRLF)
                .delimiter(match decimal() {
                    Decimal::Point => b',',
                    Decimal::Comma => b';',
                })
                .from_writer(to),
            headed: false,
        }
    }

    pub fn add(&mut self, row: &Row) -> csv::Result<()> {
        if !self.headed {
            self.writer.write_record(&row.headings)?;
            self.headed = true;
        }
        let fields = row.fields.iter().map(|field| field.written(decimal()));
        self.writer.write_record(fields)
    }

    pub fn flush(&mut self) -> std::io::Result<()> {
        self.writer.flush()
    }
}

/// A unit enum by the name it has in JSON.
pub fn name(value: impl serde::Serialize) -> String {
    match json!(value) {
        Value::String(name) => name,
        other => other.to_string(),
    }
}
