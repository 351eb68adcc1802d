//! What a job takes over from the standard taper that it names: ends, length and thread.

use toml::de::DeValue;

use super::section::{Got, Section};
use crate::quantity::{Length, Quantity};
use crate::scenario::limits::Limits;
use crate::scenario::{Diagnostic, Kind, Severity};
use crate::standard_taper::{self, Piece, StandardTaper};

/// The standard taper that `taper` names in a table.
pub(super) fn named(table: &Section<'_>) -> Option<StandardTaper> {
    match table.find("taper") {
        Some((DeValue::String(text), _)) => standard_taper::find(text).ok(),
        _ => None,
    }
}

/// A standard taper with what it fixes of this piece.
pub(super) struct Fixed<'a> {
    standard: Option<&'a StandardTaper>,
    piece: Option<Piece>,
}

impl<'a> Fixed<'a> {
    pub fn new(standard: Option<&'a StandardTaper>, kind: Kind) -> Self {
        Self {
            standard,
            piece: standard.and_then(|standard| standard.piece(kind == Kind::Inside)),
        }
    }

    /// The length as given, or the standard's.
    pub fn length(&self, work: &Section<'_>) -> Length {
        let fixed = self.piece.and_then(|piece| piece.length);
        self.or_required(work, "length", fixed, "\"3 in\"")
    }

    /// The diameter as given, or the standard's, and whether that is the one at the small end. One
    /// that is measured elsewhere has to be given.
    pub fn diameter(&self, work: &Section<'_>, plane_is_given: bool) -> (Length, bool) {
        let piece = self.piece.filter(|_| !plane_is_given);
        let given = work.find("diameter").is_some();
        let fixed = piece.map(|piece| piece.diameter);
        let diameter = self.or_required(work, "diameter", fixed, "\"2.000 in\"");
        let at_small_end = !given && piece.is_some_and(|piece| piece.at_small_end);
        (diameter, at_small_end)
    }

    fn or_required(
        &self,
        work: &Section<'_>,
        key: &'static str,
        fixed: Option<f64>,
        example: &str,
    ) -> Length {
        match (work.quantity::<Length>(key, Limits::POSITIVE), fixed) {
            (Got::Given(length), _) => length,
            (Got::Open, Some(fixed)) => {
                self.note(
                    work,
                    key,
                    &Length::from_si(fixed).show(work.reading.units.get()),
                );
                Length::from_si(fixed)
            }
            (Got::Open, None) => {
                work.open(key, example);
                Length::from_si(f64::NAN)
            }
            (Got::Faulty, _) => Length::from_si(f64::NAN),
        }
    }

    /// Reads back what was taken over.
    fn note(&self, work: &Section<'_>, key: &str, said: &str) {
        let Some(standard) = self.standard else {
            return;
        };
        let memory = match standard.from_memory {
            true => ", from memory",
            false => "",
        };
        work.reading.note(Diagnostic {
            severity: Severity::Note,
            file: work.reading.source.name.to_owned(),
            span: work.reading.place("work.taper"),
            message: format!(
                "`{}` is that of {}: {said} ({}{memory})",
                work.key_path(key),
                standard.name,
                standard.source
            ),
            label: "from its standard".to_owned(),
            hint: format!("write `{key}` if the drawing has another"),
        });
    }
}
