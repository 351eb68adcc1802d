//! Reads shop notation.

use std::ops::Range;

use super::dimension::{Dimension, Speed};
use super::fault::{Fault, NO_UNIT};
use super::reader::{Amount, Reader, Reading, Sense};
use super::token::{self, finite};
use super::unit::Kind;
use crate::arithmetic::tan;

/// Reads one quantity, in SI.
pub(super) fn read(text: &str, dimension: Dimension) -> Result<f64, Fault> {
    whole(text)?.si(text, dimension)
}

/// Reads a spindle or cutting speed.
pub(super) fn read_speed(text: &str) -> Result<Speed, Fault> {
    const HINT: &str = "write `600 rpm`, `300 sfm` or `90 m/min`";
    let reading = whole(text)?;
    let fault = |at: &Range<usize>, message: String| {
        Err(Fault {
            at: at.clone(),
            message,
            hint: HINT.into(),
        })
    };
    if let Some((_, at)) = &reading.sense {
        return fault(at, format!("`{}` goes with a taper", &text[at.clone()]));
    }
    match &reading.amount {
        Amount::Of(value, unit) => {
            let speed = finite(value * unit.si, &reading.at)?;
            match unit.kind {
                Kind::TurnSpeed => Ok(Speed::Turns(speed)),
                Kind::SurfaceSpeed => Ok(Speed::Surface(speed)),
                kind => fault(
                    &unit.at,
                    format!(
                        "`{}` is {}, a speed is wanted",
                        &text[unit.at.clone()],
                        kind.noun()
                    ),
                ),
            }
        }
        Amount::Bare(_) => Err(Fault {
            at: reading.at.clone(),
            message: format!("a speed {NO_UNIT}"),
            hint: format!(
                "write `{0} rpm`, or of the cut `{0} sfm` or `{0} m/min`",
                text[reading.number.clone()].trim()
            ),
        }),
        Amount::Proportion(..) => fault(&reading.at, "a speed is wanted, not a proportion".into()),
    }
}

impl Reading {
    /// The value in SI as a number of this dimension.
    pub fn si(&self, text: &str, dimension: Dimension) -> Result<f64, Fault> {
        let written = |at: &Range<usize>| text[at.clone()].trim().to_string();
        let fault = |at: &Range<usize>, message: String, hint: String| {
            Err(Fault {
                at: at.clone(),
                message,
                hint,
            })
        };
        if let Some((_, at)) = &self.sense
            && dimension != Dimension::Taper
        {
            return fault(
                at,
                format!(
                    "`{}` goes with a taper, {} is wanted",
                    written(at),
                    dimension.noun()
                ),
                format!("leave it out: {}", dimension.examples()),
            );
        }
        let sense = self.sense.as_ref().map(|(sense, _)| *sense);
        let value = match &self.amount {
            Amount::Bare(value) if dimension == Dimension::Ratio => *value,
            Amount::Bare(_) => {
                return fault(
                    &self.at,
                    format!("{} {NO_UNIT}", dimension.noun()),
                    dimension.choices(&written(&self.number)),
                );
            }
            Amount::Proportion(over, under) if dimension == Dimension::Taper => {
                over / under * self.doubled(text)?
            }
            Amount::Proportion(..) => {
                return fault(
                    &self.at,
                    format!(
                        "`{}` is a taper, {} is wanted",
                        written(&self.at),
                        dimension.noun()
                    ),
                    dimension.examples().into(),
                );
            }
            Amount::Of(value, unit) if unit.kind.is(dimension) => {
                let doubled = if dimension == Dimension::Taper {
                    self.doubled(text)?
                } else {
                    1.0
                };
                value * unit.si * doubled
            }
            Amount::Of(value, unit)
                if dimension == Dimension::Taper && matches!(unit.kind, Kind::Angle(_)) =>
            {
                let angle = value * unit.si;
                let half = match sense {
                    Some(Sense::PerSide) => angle,
                    Some(Sense::Included) => angle / 2.0,
                    Some(Sense::OnDiameter) | None => {
                        return fault(
                            &self.at,
                            "this angle may be of one side or of both".into(),
                            format!(
                                "write `{0} {1} per side` (from the axis) or `{0} {1} included` \
                                 (across the whole cone)",
                                written(&self.number),
                                written(&unit.at)
                            ),
                        );
                    }
                };
                if half.abs() >= std::f64::consts::FRAC_PI_2 {
                    return fault(
                        &self.at,
                        "no cone is as blunt as that".into(),
                        "an angle per side is under 90 deg, an included one under 180 deg".into(),
                    );
                }
                2.0 * tan(half)
            }
            Amount::Of(_, unit) => {
                return fault(
                    &unit.at,
                    format!(
                        "`{}` is {}, {} is wanted",
                        written(&unit.at),
                        unit.kind.noun(),
                        dimension.noun()
                    ),
                    dimension.examples().into(),
                );
            }
        };
        finite(value, &self.at)
    }

    /// Two when the taper is given per side, as a taper is on diameter.
    fn doubled(&self, text: &str) -> Result<f64, Fault> {
        match &self.sense {
            Some((Sense::PerSide, _)) => Ok(2.0),
            Some((Sense::OnDiameter, _)) | None => Ok(1.0),
            Some((Sense::Included, at)) => Err(Fault {
                at: at.clone(),
                message: format!("`{}` goes with an angle", &text[at.clone()]),
                hint: "a taper is on diameter unless `per side` follows".into(),
            }),
        }
    }
}

/// Reads a text that is one quantity and nothing else.
fn whole(text: &str) -> Result<Reading, Fault> {
    let tokens = token::cut(text)?;
    let mut reader = Reader::new(text, &tokens);
    let reading = reader.reading()?;
    reader.end()?;
    Ok(reading)
}

impl Dimension {
    /// With its article, for messages.
    pub fn noun(self) -> &'static str {
        match self {
            Self::Length => "a length",
            Self::Angle => "an angle",
            Self::Taper => "a taper",
            Self::Force => "a force",
            Self::Stiffness => "a spring rate",
            Self::Pressure => "a pressure",
            Self::EdgeLoad => "a force along the edge",
            Self::Ratio => "a ratio",
        }
    }

    /// What would be right, by example.
    pub fn examples(self) -> &'static str {
        match self {
            Self::Length => "write `0.065 in`, `1-1/4 in`, `5 thou` or `2 mm`",
            Self::Angle => "write `15 deg` or `1 deg 47 min`",
            Self::Taper => "write `3/4 in/ft`, `62.5 mm/m`, `1:16` or `1 deg 47 min per side`",
            Self::Force => "write `20 lbf` or `90 N`",
            Self::Stiffness => "write `60 lbf/thou`, `10 N/um` or `100 N per 0.01 mm`",
            Self::Pressure => "write `90 psi`, `6 bar` or `2000 N/mm2`",
            Self::EdgeLoad => "write `20 N/mm` or `110 lbf/in`",
            Self::Ratio => "write a plain number such as `0.15`, or `15 %`",
        }
    }

    /// What a bare number may have meant.
    fn choices(self, number: &str) -> String {
        let units: &[&str] = match self {
            Self::Length => &["in", "thou", "mm"],
            Self::Angle => &["deg", "min"],
            Self::Taper => &["in/ft", "mm/m", "deg per side", "deg included"],
            Self::Force => &["lbf", "N"],
            Self::Stiffness => &["lbf/thou", "N/um"],
            Self::Pressure => &["psi", "bar", "MPa"],
            Self::EdgeLoad => &["lbf/in", "N/mm"],
            Self::Ratio => &["%"],
        };
        let last = units.len() - 1;
        let before: Vec<String> = units[..last]
            .iter()
            .map(|unit| format!("`{number} {unit}`"))
            .collect();
        if before.is_empty() {
            format!("write `{number} {}`", units[last])
        } else {
            format!("write {} or `{number} {}`", before.join(", "), units[last])
        }
    }
}
