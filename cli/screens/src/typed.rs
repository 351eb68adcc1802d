//! Quantities as typed, their faults pointed at.

use std::str::FromStr;

use tautway_sim::gauging::{Gauge, Gauged};
use tautway_sim::quantity::{Fault, Length, Quantity, Spread, Taper};
use tautway_sim::standard_taper::{self, StandardTaper};

/// A length, with its error where one was typed: `0.100 in +- 0.001 in`.
#[derive(Clone, Debug)]
pub struct TypedLength {
    /// m.
    pub value: f64,
    half: Option<f64>,
    /// Typed in metric units.
    pub metric: bool,
}

impl TypedLength {
    /// As measured; what error was not typed is that of a usual gauge.
    pub fn by(&self, gauge: Gauge) -> Gauged {
        match self.half {
            Some(half) => Gauged::given(self.value, half),
            None => Gauged::with(self.value, gauge),
        }
    }

    /// As measured; what error was not typed is none.
    pub fn nominal(&self) -> Gauged {
        Gauged::given(self.value, self.half.unwrap_or(0.0))
    }
}

impl FromStr for TypedLength {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let spread = Spread::<Length>::parse(text).map_err(|fault| pointed(text, &fault))?;
        Ok(Self {
            value: spread.middle.si(),
            half: has_spread(text).then(|| spread.half.si()),
            metric: is_metric(text),
        })
    }
}

/// A taper in any notation, with its error where one was typed, or a standard taper's name.
#[derive(Clone, Debug)]
pub struct TypedTaper {
    /// On diameter.
    pub taper: Taper,
    half: f64,
    /// Typed in metric units.
    pub metric: bool,
    /// Typed as the name of this one.
    pub standard: Option<StandardTaper>,
}

impl TypedTaper {
    /// As known.
    pub fn gauged(&self) -> Gauged {
        Gauged::given(self.taper.si(), self.half)
    }
}

impl FromStr for TypedTaper {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let unknown = match standard_taper::find(text) {
            Ok(standard) => {
                return Ok(Self {
                    taper: standard.taper,
                    half: 0.0,
                    metric: false,
                    standard: Some(standard),
                });
            }
            Err(unknown) => unknown,
        };
        let is_number = |c: char| c.is_ascii_digit() || ".+-".contains(c);
        if !text.trim_start().starts_with(is_number) {
            return Err(format!(
                "no standard taper is known by this name\n  help: perhaps {}; or write the \
                 taper: `3/4 in/ft`, `62.5 mm/m`, `1:16`, `1 deg 47 min per side`",
                unknown.nearest.join(", ")
            ));
        }
        let spread = Spread::<Taper>::parse(text).map_err(|fault| pointed(text, &fault))?;
        if spread.middle.si() <= 0.0 {
            return Err(
                "a taper is more than nothing\n  help: leave out the sign: which end is big \
                        is said apart"
                    .to_owned(),
            );
        }
        Ok(Self {
            taper: spread.middle,
            half: spread.half.si(),
            metric: is_metric(text),
            standard: None,
        })
    }
}

fn has_spread(text: &str) -> bool {
    ["+-", "+/-", "±", " to "]
        .iter()
        .any(|mark| text.contains(mark))
}

fn is_metric(text: &str) -> bool {
    ["mm", "cm", "um", "µm"]
        .iter()
        .any(|unit| text.to_lowercase().contains(unit))
}

/// The fault under its place in the text.
fn pointed(text: &str, fault: &Fault) -> String {
    let columns = |part: Option<&str>| part.unwrap_or_default().chars().count();
    let before = columns(text.get(..fault.at.start));
    let marked = columns(text.get(fault.at.clone())).max(1);
    format!(
        "{}\n  {text}\n  {}{}\n  help: {}",
        fault.message,
        " ".repeat(before),
        "^".repeat(marked),
        fault.hint
    )
}

/// A run-in as typed.
///
/// # Errors
/// When it is no length, or a negative one.
pub fn run_in(text: &str) -> Result<Length, String> {
    let length =
        Length::parse(text).map_err(|fault| format!("{}: {}", fault.message, fault.hint))?;
    if length.si() < 0.0 {
        return Err("a run-in can't be negative: write 0 in to start at the taper".to_owned());
    }
    Ok(length)
}
