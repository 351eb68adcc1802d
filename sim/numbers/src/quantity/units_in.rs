//! Which units stand in a text, whose they are, and what the same figures would be in others.

use std::ops::Range;

use super::dimension::{Dimension, Units};
use super::reader::{Amount, Reader};
use super::token::{self, Sort};
use super::unit::{self, Kind};

/// A unit as it stands in a text.
#[derive(Clone, Debug, PartialEq)]
pub struct UnitAt {
    /// Its place in the text.
    pub at: Range<usize>,
    /// Whose it is; none where both use it, or one over one of the other.
    pub of: Option<Units>,
    /// SI in one.
    pub si: f64,
    /// Several units make up one number, as in `1 deg 47 min`.
    pub compound: bool,
}

/// Every unit in a text, as far as it can be read.
pub fn units_in(text: &str) -> Vec<UnitAt> {
    let Ok(tokens) = token::cut(text) else {
        return Vec::new();
    };
    let mut reader = Reader::new(text, &tokens);
    reader.band = true;
    let mut found = Vec::new();
    while !reader.done() {
        if reader.mark('±').is_some() || reader.mark('/').is_some() || reader.word("to") {
            continue;
        }
        let Ok(reading) = reader.reading() else {
            break;
        };
        if let Amount::Of(_, unit) = reading.amount {
            found.push(UnitAt {
                of: whose(&text[unit.at.clone()]),
                at: unit.at,
                si: unit.si,
                compound: unit.compound,
            });
        }
    }
    found
}

/// Whose a unit is by the words in it.
fn whose(unit: &str) -> Option<Units> {
    let tokens = token::cut(unit).ok()?;
    let mut of = None;
    for token in tokens {
        let one = match token.sort {
            Sort::Mark('"') => Units::Inch,
            Sort::Word => match unit::whose(&unit[token.at]) {
                Some(one) => one,
                None => continue,
            },
            _ => continue,
        };
        if of.is_some_and(|other| other != one) {
            return None;
        }
        of = Some(one);
    }
    of
}

/// Units that a shop may have meant, in the order asked: SI in one.
const OTHERS: &[(&str, Kind)] = &[
    ("in", Kind::Length),
    ("thou", Kind::Length),
    ("mm", Kind::Length),
    ("um", Kind::Length),
    ("in/ft", Kind::Taper),
    ("mm/m", Kind::Taper),
    ("in/in", Kind::Taper),
    ("deg", Kind::Angle(0)),
    ("min", Kind::Angle(1)),
    ("lbf", Kind::Force),
    ("N", Kind::Force),
    ("lbf/thou", Kind::ForcePerLength),
    ("lbf/in", Kind::ForcePerLength),
    ("N/um", Kind::ForcePerLength),
    ("N/mm", Kind::ForcePerLength),
    ("psi", Kind::Pressure),
    ("bar", Kind::Pressure),
    ("MPa", Kind::Pressure),
    ("sfm", Kind::SurfaceSpeed),
    ("m/min", Kind::SurfaceSpeed),
];

/// The unit that a field of such numbers is in where nobody says which; none of a ratio.
pub fn field_unit(dimension: Dimension, units: Units) -> &'static str {
    let [inch, metric] = match dimension {
        Dimension::Length => ["in", "mm"],
        Dimension::Angle => ["deg"; 2],
        Dimension::Taper => ["in/ft", "mm/m"],
        Dimension::Force => ["lbf", "N"],
        Dimension::Stiffness => ["lbf/thou", "N/um"],
        Dimension::Pressure => ["psi", "bar"],
        Dimension::EdgeLoad => ["lbf/in", "N/mm"],
        Dimension::Ratio => [""; 2],
    };
    match units {
        Units::Inch => inch,
        Units::Metric => metric,
    }
}

/// Those of every kind of field, in the order tried where nobody knows which kind it is.
pub fn field_units(units: Units) -> [&'static str; 6] {
    [
        Dimension::Length,
        Dimension::Force,
        Dimension::Taper,
        Dimension::Stiffness,
        Dimension::Pressure,
        Dimension::Angle,
    ]
    .map(|dimension| field_unit(dimension, units))
}

/// The units that a number of this dimension is commonly written in, and SI in one of each.
pub fn common_units(dimension: Dimension) -> impl Iterator<Item = (&'static str, f64)> {
    common(move |kind| kind.is(dimension))
}

/// The same of a cutting speed.
pub fn speed_units() -> impl Iterator<Item = (&'static str, f64)> {
    common(|kind| kind == Kind::SurfaceSpeed)
}

fn common(wanted: impl Fn(Kind) -> bool) -> impl Iterator<Item = (&'static str, f64)> {
    OTHERS
        .iter()
        .filter(move |(_, kind)| wanted(*kind))
        .filter_map(|(name, _)| {
            let one = units_in(&format!("1 {name}"));
            Some((*name, one.first()?.si))
        })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn units_are_found_with_their_place_and_whose_they_are() {
        for (text, wanted) in [
            ("0.080 in", vec![("in", Some(Units::Inch))]),
            ("+0.000 -0.030 in/ft", vec![("in/ft", Some(Units::Inch))]),
            (
                "0.080 in +- 0.2 mm",
                vec![("in", Some(Units::Inch)), ("mm", Some(Units::Metric))],
            ),
            ("14 lbf to 22 lbf", vec![("lbf", Some(Units::Inch)); 2]),
            (
                "100 N per 0.01 mm",
                vec![("N per 0.01 mm", Some(Units::Metric))],
            ),
            ("5 N/in", vec![("N/in", None)]),
            ("1-3/8\"", vec![("\"", Some(Units::Inch))]),
            ("1:16", vec![]),
            ("1 in 10", vec![]),
            ("half a thou", vec![("thou", Some(Units::Inch))]),
            ("15 %", vec![("%", None)]),
            ("300 sfm", vec![("sfm", Some(Units::Inch))]),
            ("600 rpm", vec![("rpm", None)]),
            ("nothing here", vec![]),
        ] {
            let found: Vec<_> = units_in(text)
                .into_iter()
                .map(|unit| (&text[unit.at], unit.of))
                .collect();
            assert_eq!(found, wanted, "{text}");
        }
    }

    #[test]
    fn every_common_unit_is_one() {
        let lengths: Vec<_> = common_units(Dimension::Length).collect();
        assert_eq!(lengths[0], ("in", unit::INCH));
        assert_eq!(lengths.len(), 4);
        assert_eq!(speed_units().count(), 2);
        for dimension in [
            Dimension::Angle,
            Dimension::Taper,
            Dimension::Force,
            Dimension::Stiffness,
            Dimension::Pressure,
            Dimension::EdgeLoad,
        ] {
            assert!(common_units(dimension).count() > 1, "{dimension:?}");
        }
    }
}
