//! The units a machinist writes, what each measures and how much SI it is.

use std::f64::consts::PI;

use super::dimension::{Dimension, Units};

/// The inch, m: exact by definition.
pub const INCH: f64 = 0.0254;
/// The foot, m: exact by definition.
pub const FOOT: f64 = 0.3048;
/// Inches in a foot.
pub const INCHES_PER_FOOT: f64 = 12.0;
/// A thousandth of an inch, m.
pub const THOU: f64 = 0.001 * INCH;
/// The millimetre, m.
pub const MM: f64 = 0.001;
/// Millimetres in an inch: exact by definition.
pub const MM_PER_INCH: f64 = 25.4;
/// K for a degree Fahrenheit of difference.
pub const FAHRENHEIT: f64 = 5.0 / 9.0;
/// The degree, rad.
pub const DEGREE: f64 = PI / 180.0;
/// The pound-force, N: exact, 0.45359237 kg x 9.80665 m/s2.
pub const LBF: f64 = 4.448_221_615_260_5;
/// Pound-force per thou, N/m.
pub const LBF_PER_THOU: f64 = LBF / (0.001 * INCH);
/// An inch per foot, as a ratio.
pub const INCH_PER_FOOT: f64 = 1.0 / 12.0;
/// Pound-force per square inch, Pa.
pub const PSI: f64 = LBF / (INCH * INCH);

/// What a unit measures, finer than [`Dimension`]: a feed is not just any length.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    Length,
    Area,
    /// Length per turn.
    Feed,
    /// With its rank: 0 for degrees, 1 for minutes, 2 for seconds, 3 for radians.
    Angle(u8),
    Taper,
    Force,
    ForcePerLength,
    Pressure,
    Ratio,
    Turn,
    TurnSpeed,
    SurfaceSpeed,
}

impl Kind {
    /// With its article, for messages.
    pub fn noun(self) -> &'static str {
        match self {
            Self::Length => "a length",
            Self::Area => "an area",
            Self::Feed => "a feed per turn",
            Self::Angle(_) => "an angle",
            Self::Taper => "a taper",
            Self::Force => "a force",
            Self::ForcePerLength => "a force per length",
            Self::Pressure => "a pressure",
            Self::Ratio => "a ratio",
            Self::Turn => "a turn",
            Self::TurnSpeed => "a spindle speed",
            Self::SurfaceSpeed => "a cutting speed",
        }
    }

    /// Whether a number in such a unit is a number of this dimension as it stands.
    pub fn is(self, dimension: Dimension) -> bool {
        matches!(
            (self, dimension),
            (Self::Length | Self::Feed, Dimension::Length)
                | (Self::Angle(_), Dimension::Angle)
                | (Self::Taper, Dimension::Taper)
                | (Self::Force, Dimension::Force)
                | (
                    Self::ForcePerLength,
                    Dimension::Stiffness | Dimension::EdgeLoad
                )
                | (Self::Pressure, Dimension::Pressure)
                | (Self::Ratio, Dimension::Ratio)
        )
    }
}

/// Spelling in small letters, what it measures, SI in one.
const UNITS: &[(&str, Kind, f64)] = &[
    ("in", Kind::Length, INCH),
    ("inch", Kind::Length, INCH),
    ("inches", Kind::Length, INCH),
    ("ft", Kind::Length, FOOT),
    ("foot", Kind::Length, FOOT),
    ("feet", Kind::Length, FOOT),
    ("thou", Kind::Length, INCH / 1e3),
    ("thous", Kind::Length, INCH / 1e3),
    ("thousandth", Kind::Length, INCH / 1e3),
    ("thousandths", Kind::Length, INCH / 1e3),
    ("tenth", Kind::Length, INCH / 1e4),
    ("tenths", Kind::Length, INCH / 1e4),
    ("uin", Kind::Length, INCH / 1e6),
    ("microinch", Kind::Length, INCH / 1e6),
    ("microinches", Kind::Length, INCH / 1e6),
    ("mm", Kind::Length, 1e-3),
    ("cm", Kind::Length, 1e-2),
    ("m", Kind::Length, 1.0),
    ("um", Kind::Length, 1e-6),
    ("micron", Kind::Length, 1e-6),
    ("microns", Kind::Length, 1e-6),
    ("in2", Kind::Area, INCH * INCH),
    ("inch2", Kind::Area, INCH * INCH),
    ("ft2", Kind::Area, FOOT * FOOT),
    ("mm2", Kind::Area, 1e-6),
    ("cm2", Kind::Area, 1e-4),
    ("m2", Kind::Area, 1.0),
    ("ipr", Kind::Feed, INCH),
    ("deg", Kind::Angle(0), PI / 180.0),
    ("degree", Kind::Angle(0), PI / 180.0),
    ("degrees", Kind::Angle(0), PI / 180.0),
    ("min", Kind::Angle(1), PI / 10_800.0),
    ("minute", Kind::Angle(1), PI / 10_800.0),
    ("minutes", Kind::Angle(1), PI / 10_800.0),
    ("sec", Kind::Angle(2), PI / 648_000.0),
    ("second", Kind::Angle(2), PI / 648_000.0),
    ("seconds", Kind::Angle(2), PI / 648_000.0),
    ("rad", Kind::Angle(3), 1.0),
    ("lbf", Kind::Force, LBF),
    ("lb", Kind::Force, LBF),
    ("lbs", Kind::Force, LBF),
    ("n", Kind::Force, 1.0),
    ("kn", Kind::Force, 1e3),
    ("kgf", Kind::Force, 9.806_65),
    ("psi", Kind::Pressure, PSI),
    ("bar", Kind::Pressure, 1e5),
    ("pa", Kind::Pressure, 1.0),
    ("kpa", Kind::Pressure, 1e3),
    ("mpa", Kind::Pressure, 1e6),
    ("tpf", Kind::Taper, INCH_PER_FOOT),
    ("percent", Kind::Ratio, 1e-2),
    ("rev", Kind::Turn, 1.0),
    ("turn", Kind::Turn, 1.0),
    ("turns", Kind::Turn, 1.0),
    ("rpm", Kind::TurnSpeed, 1.0 / 60.0),
    ("sfm", Kind::SurfaceSpeed, FOOT / 60.0),
];

/// Words that some use as a unit but that don't say which.
const UNCLEAR: &[(&str, &str)] = &[
    ("mil", "write `thou` or `mm`"),
    ("mils", "write `thou` or `mm`"),
    ("kg", "a weight is written as a force: `kgf`, `N` or `lbf`"),
    ("kip", "a force is written in `lbf`: one kip is `1000 lbf`"),
];

fn plain(word: &str) -> String {
    word.to_lowercase()
        .replace(['\u{b5}', '\u{3bc}'], "u")
        .replace('²', "2")
        .replace('^', "")
}

/// Finds a unit by its word; capitals don't matter.
pub(super) fn find(word: &str) -> Option<(Kind, f64)> {
    let word = plain(word);
    UNITS
        .iter()
        .find(|(spelling, ..)| *spelling == word)
        .map(|&(_, kind, si)| (kind, si))
}

/// Whose a unit is by its word: none for what both use.
pub(super) fn whose(word: &str) -> Option<Units> {
    match plain(word).as_str() {
        "in" | "inch" | "inches" | "ft" | "foot" | "feet" | "thou" | "thous" | "thousandth"
        | "thousandths" | "tenth" | "tenths" | "tpf" | "uin" | "microinch" | "microinches"
        | "in2" | "inch2" | "ft2" | "ipr" | "lbf" | "lb" | "lbs" | "psi" | "sfm" => {
            Some(Units::Inch)
        }
        "mm" | "cm" | "m" | "um" | "micron" | "microns" | "mm2" | "cm2" | "m2" | "n" | "kn"
        | "kgf" | "bar" | "pa" | "kpa" | "mpa" => Some(Units::Metric),
        _ => None,
    }
}

/// Finds a unit of time, which only ever stands after "per": SI in one.
pub(super) fn time(word: &str) -> Option<f64> {
    match plain(word).as_str() {
        "min" | "minute" => Some(60.0),
        "s" | "sec" | "second" => Some(1.0),
        _ => None,
    }
}

/// What to write in place of a word that is no unit.
pub(super) fn suggestion(word: &str) -> Option<String> {
    let word = plain(word);
    if let Some((_, hint)) = UNCLEAR.iter().find(|(unclear, _)| *unclear == word) {
        return Some((*hint).to_string());
    }
    let letters = word.chars().count();
    UNITS
        .iter()
        .map(|&(spelling, ..)| (strsim::osa_distance(&word, spelling), spelling))
        .min_by_key(|&(distance, _)| distance)
        .filter(|&(distance, _)| distance <= (letters / 2).clamp(1, 2) && distance < letters)
        .map(|(_, spelling)| {
            let spelling = match spelling {
                "n" => "N",
                "kn" => "kN",
                "pa" => "Pa",
                "kpa" => "kPa",
                "mpa" => "MPa",
                other => other,
            };
            format!("did you mean `{spelling}`?")
        })
}

/// The unit that dividing one by the other makes.
pub(super) fn quotient(over: Kind, under: Kind) -> Option<Kind> {
    match (over, under) {
        (Kind::Length, Kind::Length) => Some(Kind::Taper),
        (Kind::Length, Kind::Turn) => Some(Kind::Feed),
        (Kind::Force, Kind::Length) => Some(Kind::ForcePerLength),
        (Kind::Force, Kind::Area) => Some(Kind::Pressure),
        _ => None,
    }
}

/// The unit that dividing one by time makes.
pub(super) fn rate(over: Kind) -> Option<Kind> {
    match over {
        Kind::Length => Some(Kind::SurfaceSpeed),
        Kind::Turn => Some(Kind::TurnSpeed),
        _ => None,
    }
}
