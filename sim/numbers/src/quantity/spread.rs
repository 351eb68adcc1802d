//! Reads how well a number is known, and the band that a drawing allows.

use crate::arithmetic::{max, min, tan};

use schemars::JsonSchema;
use serde::Serialize;

use super::dimension::Dimension;
use super::fault::Fault;
use super::reader::{Amount, Reader, Reading};
use super::token;
use super::token::finite;
use super::unit::Kind;
use super::{Quantity, Taper};

/// A number as a person knows it: a middle and how far off it may be either way.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Spread<Q> {
    /// The middle.
    pub middle: Q,
    /// Half the width of the range, never negative; zero when no spread was given.
    pub half: Q,
}

impl<Q: Quantity> Spread<Q> {
    /// Reads `0.065 in`, `0.065 in +- 0.010 in`, `0.065 +- 0.010 in`, `20 lbf +- 25 %` or
    /// `0.070 in to 0.090 in`.
    ///
    /// `+-` may be written `±` or `+/-`. A unit written once goes for both numbers. A spread in
    /// per cent is a share of the middle, except that for a ratio itself given in per cent
    /// (`15 % +- 5 %`) it is added to it. The spread of a taper is on diameter unless `per side`
    /// follows, as the taper is.
    ///
    /// # Errors
    /// A [`Fault`] that points into `text` and says what would be right.
    pub fn parse(text: &str) -> Result<Self, Fault> {
        let tokens = token::cut(text)?;
        let mut reader = Reader::new(text, &tokens);
        let mut first = reader.reading()?;
        if reader.done() {
            return Ok(Self {
                middle: Q::from_si(first.si(text, Q::DIMENSION)?),
                half: Q::from_si(0.0),
            });
        }
        let plus_minus = reader.mark('±').is_some();
        if !plus_minus && !reader.word("to") {
            return Err(reader.fault(
                "`+-` or `to` is wanted here",
                "write a spread as `0.065 in +- 0.010 in` or as `0.055 in to 0.075 in`",
            ));
        }
        let mut second = reader.reading()?;
        reader.end()?;
        let share = plus_minus && is_per_cent(&second) && !is_per_cent(&first);
        if !share {
            lend(&mut first, &mut second);
        }
        let (middle, half) = if plus_minus {
            let middle = first.si(text, Q::DIMENSION)?;
            (middle, half::<Q>(text, middle, &second, share)?)
        } else {
            let (low, high) = (
                first.si(text, Q::DIMENSION)?,
                second.si(text, Q::DIMENSION)?,
            );
            if low > high {
                return Err(Fault {
                    at: first.at.start..second.at.end,
                    message: "this range runs backward".into(),
                    hint: "write the smaller first, `0.070 in to 0.090 in`; behind a minus sign \
                           the larger figure is the smaller number"
                        .into(),
                });
            }
            (low / 2.0 + high / 2.0, high / 2.0 - low / 2.0)
        };
        Ok(Self {
            middle: Q::from_si(middle),
            half: Q::from_si(half),
        })
    }

    /// The least of the range.
    pub fn low(self) -> Q {
        Q::from_si(self.middle.si() - self.half.si())
    }

    /// The most of the range.
    pub fn high(self) -> Q {
        Q::from_si(self.middle.si() + self.half.si())
    }
}

/// Half the width in SI, from what stands behind `+-`.
fn half<Q: Quantity>(text: &str, middle: f64, second: &Reading, share: bool) -> Result<f64, Fault> {
    if second.sign.is_some() {
        return Err(Fault {
            at: second.at.clone(),
            message: "a spread goes both ways and has no sign of its own".into(),
            hint: "write `0.065 in +- 0.010 in`".into(),
        });
    }
    if share {
        let part = second.si(text, Dimension::Ratio)?;
        return finite(middle.abs() * part, &second.at);
    }
    if let Amount::Proportion(..) = second.amount {
        return Err(difference(second, "a spread"));
    }
    let half = second.si(text, Q::DIMENSION)?;
    if Q::DIMENSION != Dimension::Taper || !is_angle(second) {
        return Ok(half);
    }
    // An angle either way is not the same taper either way: half of the whole swing.
    let side = Taper::from_si(middle).half_angle();
    let off = Taper::from_si(half).half_angle();
    if side.abs() + off >= std::f64::consts::FRAC_PI_2 {
        return Err(Fault {
            at: second.at.clone(),
            message: "no cone is as blunt as that".into(),
            hint: "an angle per side is under 90 deg with its spread".into(),
        });
    }
    Ok(tan(side + off) - tan(side - off))
}

/// Reads a tolerance with its signs, as lower and upper deviation: `+0.000 -0.030 in/ft`,
/// `0 / +0.030 in/ft`, `+0.5 thou -1 thou`, `+-0.010 in/ft`.
///
/// The ends may come in any order. A unit written once goes for both, and zero needs neither unit
/// nor sign. The band of a taper is a difference of taper, on diameter unless `per side` follows.
///
/// # Errors
/// A [`Fault`] that points into `text` and says what would be right. Two plus or two minus signs
/// are a fit's band off to one side of the nominal, `+0.0015 / +0.0005 in`, and are taken.
pub fn parse_band<Q: Quantity>(text: &str) -> Result<(Q, Q), Fault> {
    const HINT: &str = "write both ends, such as `+0.010 -0.030` or `0 / +0.030`, or the same both \
                        ways, `+- 0.010`, and the unit";
    let tokens = token::cut(text)?;
    let mut reader = Reader::new(text, &tokens);
    reader.band = true;
    if reader.mark('±').is_some() {
        let both = reader.reading()?;
        reader.end()?;
        if both.sign.is_some() {
            return Err(Fault {
                at: both.at,
                message: "one sign too many".into(),
                hint: HINT.into(),
            });
        }
        let off = deviation::<Q>(text, &both)?;
        return Ok((Q::from_si(0.0 - off), Q::from_si(off)));
    }
    let mut first = reader.reading()?;
    if reader.done() {
        return Err(Fault {
            at: first.at,
            message: "a band has two ends".into(),
            hint: HINT.into(),
        });
    }
    if reader.mark('/').is_none() {
        reader.word("to");
    }
    let mut second = reader.reading()?;
    reader.end()?;
    let all = first.at.start..second.at.end;
    lend(&mut first, &mut second);
    let (one, other) = (
        deviation::<Q>(text, &first)?,
        deviation::<Q>(text, &second)?,
    );
    for (end, off) in [(&first, one), (&second, other)] {
        if end.sign.is_none() && off != 0.0 {
            return Err(Fault {
                at: end.number.clone(),
                message: "this end of the band needs its sign".into(),
                hint: HINT.into(),
            });
        }
    }
    if one == other {
        return Err(Fault {
            at: all,
            message: "both ends are the same: a band of no width".into(),
            hint: HINT.into(),
        });
    }
    // Adding zero makes minus zero plain.
    let (lower, upper) = (min(one, other) + 0.0, max(one, other) + 0.0);
    Ok((Q::from_si(lower), Q::from_si(upper)))
}

/// One end of a band, in SI.
fn deviation<Q: Quantity>(text: &str, end: &Reading) -> Result<f64, Fault> {
    match &end.amount {
        Amount::Bare(0.0) => Ok(0.0),
        Amount::Proportion(..) => Err(difference(end, "a tolerance")),
        Amount::Of(..) if Q::DIMENSION == Dimension::Taper && is_angle(end) => {
            Err(difference(end, "a tolerance"))
        }
        _ => end.si(text, Q::DIMENSION),
    }
}

fn difference(reading: &Reading, what: &str) -> Fault {
    Fault {
        at: reading.at.clone(),
        message: format!("{what} of a taper is a difference on diameter, which this is not"),
        hint: "write it as `0.030 in/ft` or `2.5 mm/m`".into(),
    }
}

fn is_per_cent(reading: &Reading) -> bool {
    matches!(&reading.amount, Amount::Of(_, unit) if unit.kind == Kind::Ratio)
}

fn is_angle(reading: &Reading) -> bool {
    matches!(&reading.amount, Amount::Of(_, unit) if matches!(unit.kind, Kind::Angle(_)))
}

/// Lets a unit, or which angle is meant, that is written once go for both numbers.
fn lend(first: &mut Reading, second: &mut Reading) {
    fn from(lender: &Reading, borrower: &mut Reading) {
        if let (Amount::Bare(value), Amount::Of(_, unit)) = (&borrower.amount, &lender.amount)
            && !unit.compound
            && borrower.sense.is_none()
        {
            borrower.amount = Amount::Of(*value, unit.clone());
            borrower.sense.clone_from(&lender.sense);
        } else if is_angle(borrower) && is_angle(lender) && borrower.sense.is_none() {
            borrower.sense.clone_from(&lender.sense);
        }
    }
    from(first, second);
    from(second, first);
}
