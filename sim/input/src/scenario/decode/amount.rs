//! Quantities under a key: plain, with a spread, or left open, each within what makes sense.

use std::ops::Range;

use toml::de::DeValue;

use super::section::{Got, Section, Words, finite};
use super::sense::Held;
use crate::quantity::Quantity;
use crate::quantity::{Spread, parse_band};
use crate::scenario::limits::Limits;
use crate::scenario::numbers::Row;
use crate::scenario::numbers::bounds::{self, Bounds};
use crate::scenario::want::Want;
use crate::scenario::{Band, Condition, Known, Origin, Severity, SpreadShape};

/// How a number may be spread, in the words of the standard that names them (JCGM 101).
const SHAPE: &Words<SpreadShape> = &[
    (&["normal"], SpreadShape::Mostly),
    (&["rectangular"], SpreadShape::Rectangular),
    (&["triangular"], SpreadShape::Triangular),
    (&["arcsine"], SpreadShape::Arcsine),
    (
        &["curvilinear trapezoid", "trapezoid"],
        SpreadShape::Trapezoid { within: 0.0 },
    ),
    (&["log-normal", "lognormal"], SpreadShape::LogNormal),
    (
        &["mean of readings", "t"],
        SpreadShape::Readings { count: 0 },
    ),
];

/// How such a quantity is written, for hints.
fn example<Q: Quantity>() -> &'static str {
    use crate::quantity::Dimension;
    match Q::DIMENSION {
        Dimension::Length => "\"0.070 in\"",
        Dimension::Angle => "\"15 deg\"",
        Dimension::Taper => "\"1-1/2 in/ft\"",
        Dimension::Force => "\"35 lbf\"",
        Dimension::Stiffness => "\"60 lbf/thou\"",
        Dimension::Pressure => "\"90 psi\"",
        Dimension::EdgeLoad => "\"20 N/mm\"",
        Dimension::Ratio => "0.6",
    }
}

fn plain<Q: Quantity>(text: &str) -> Result<Q, crate::quantity::Fault> {
    finite(text, Q::parse(text)?)
}

/// An error round a nominal of zero: one value counts both ways.
fn either_way<Q: Quantity>(known: Known<Q>) -> Known<Q> {
    let off = known.middle.si().abs();
    if known.low != known.high || off <= 0.0 {
        return known;
    }
    Known {
        middle: Q::from_si(0.0),
        low: Q::from_si(-off),
        high: Q::from_si(off),
        shape: SpreadShape::Mostly,
        origin: Origin::Given,
    }
}

impl Section<'_> {
    fn judge<Q: Quantity>(&self, key: &str, at: &Range<usize>, si: f64, limits: Limits) -> bool {
        let bounds = bounds::of(&self.key_path(key));
        self.judge_by::<Q>(key, at, si, limits, bounds)
    }

    /// Whether a number is what it may be; what it usually is not is doubted.
    fn judge_by<Q: Quantity>(
        &self,
        key: &str,
        at: &Range<usize>,
        si: f64,
        limits: Limits,
        bounds: Option<&'static Bounds>,
    ) -> bool {
        let units = self.reading.units.get();
        let path = self.key_path(key);
        if limits.keep_out(si) {
            let shown = Q::from_si(si).show(units);
            self.reading.error(
                at.clone(),
                format!("`{path}` can't be {shown}"),
                "out of range",
                limits.words::<Q>(units),
            );
            return false;
        }
        if let Some(bounds) = bounds {
            return self.reading.hold(&Held {
                path: &path,
                at,
                si,
                bounds,
                dimension: Q::DIMENSION,
            });
        }
        if si > limits.doubt {
            self.reading.report(
                Severity::Warning,
                at.clone(),
                format!("`{path}` of {} is a lot", Q::from_si(si).show(units)),
                "is this meant?",
                format!(
                    "more than {} is rare: check the digits and the unit",
                    Q::from_si(limits.doubt).show(units)
                ),
            );
        }
        true
    }

    /// Whether a quantity that was read in a way of its own is what its row lets it be.
    pub fn holds<Q: Quantity>(&self, key: &'static str, value: Q) -> bool {
        let at = self.reading.place(&self.key_path(key));
        self.judge::<Q>(key, &at, value.si(), Limits::ANY)
    }

    /// A plain quantity.
    pub fn quantity<Q: Quantity>(&self, key: &'static str, limits: Limits) -> Got<Q> {
        self.want(key, Want::Number(Q::DIMENSION));
        let Some((value, at)) = self.find(key) else {
            return Got::Open;
        };
        self.quantity_in(key, value, at, limits)
    }

    /// A plain quantity in a value that is already at hand, such as one of a list.
    pub fn quantity_in<Q: Quantity>(
        &self,
        key: &str,
        value: &DeValue<'_>,
        at: Range<usize>,
        limits: Limits,
    ) -> Got<Q> {
        let bounds = bounds::of(&self.key_path(key));
        self.quantity_by(key, value, at, limits, bounds)
    }

    /// The same where a key has numbers of several kinds.
    pub fn quantity_by<Q: Quantity>(
        &self,
        key: &str,
        value: &DeValue<'_>,
        at: Range<usize>,
        limits: Limits,
        bounds: Option<&'static Bounds>,
    ) -> Got<Q> {
        let dimension = Q::DIMENSION;
        match self.read_number(
            key,
            value,
            at.clone(),
            example::<Q>(),
            dimension,
            plain::<Q>,
        ) {
            Got::Given(q) if !self.judge_by::<Q>(key, &at, q.si(), limits, bounds) => Got::Faulty,
            got => got,
        }
    }

    /// A plain quantity with a default.
    pub fn quantity_or<Q: Quantity>(&self, key: &'static str, limits: Limits, default: Q) -> Q {
        self.quantity(key, limits).given().unwrap_or(default)
    }

    /// A quantity that has to be known. A fault is reported and not-a-number stands in: no check
    /// across keys fires on it, and no scenario comes out.
    pub fn required<Q: Quantity>(&self, key: &'static str, limits: Limits, example: &str) -> Q {
        match self.quantity(key, limits) {
            Got::Given(q) => return q,
            Got::Faulty => {}
            Got::Open => self.open(key, example),
        }
        Q::from_si(f64::NAN)
    }

    /// A number by its row, or what stands in for it on a lathe in this condition.
    pub fn number<Q: Quantity>(&self, row: &Row<Q>, condition: Condition) -> Known<Q> {
        self.number_or(row, row.of(condition))
    }

    /// A number by its row, or another default.
    pub fn number_or<Q: Quantity, D>(&self, row: &Row<Q, D>, default: Known<Q>) -> Known<Q> {
        self.number_given(row).given().unwrap_or(default)
    }

    /// A number by its row, if there is one.
    pub fn number_given<Q: Quantity, D>(&self, row: &Row<Q, D>) -> Got<Known<Q>> {
        let about = &row.about;
        debug_assert_eq!(self.key_path(about.name()), about.key);
        match self.measured::<Q>(about.name(), about.limits) {
            Got::Given(known) if about.both_ways => Got::Given(either_way(known)),
            got => got,
        }
    }

    /// A quantity with its spread, or the default.
    pub fn known<Q: Quantity>(
        &self,
        key: &'static str,
        limits: Limits,
        default: Known<Q>,
    ) -> Known<Q> {
        self.measured(key, limits).given().unwrap_or(default)
    }

    /// A quantity with its spread, if there is one: in one text, or as low, middle and high.
    pub fn measured<Q: Quantity>(&self, key: &'static str, limits: Limits) -> Got<Known<Q>> {
        self.want(key, Want::Spread(Q::DIMENSION));
        let Some((value, at)) = self.find(key) else {
            return Got::Open;
        };
        let known = if let DeValue::Table(_) = value {
            self.three(key, &at)
        } else {
            self.read_number(
                key,
                value,
                at.clone(),
                example::<Q>(),
                Q::DIMENSION,
                |text| {
                    let spread = Spread::<Q>::parse(text)?;
                    Ok(Known {
                        low: finite(text, spread.low())?,
                        middle: finite(text, spread.middle)?,
                        high: finite(text, spread.high())?,
                        shape: SpreadShape::Mostly,
                        origin: Origin::Given,
                    })
                },
            )
        };
        let Got::Given(mut known) = known else {
            return known;
        };
        // What is an error about nothing is as large as its spread.
        let size = match known.middle.si() {
            0.0 => known.high.si(),
            middle => middle,
        };
        if !self.judge::<Q>(key, &at, size, limits)
            || known.high.si() > limits.most && !self.judge::<Q>(key, &at, known.high.si(), limits)
        {
            return Got::Faulty;
        }
        if limits.keep_out(known.low.si()) {
            let floor = if limits.above {
                // A spring or a length can't be nothing: a tenth of the middle stands in.
                known.middle.si() / 10.0
            } else {
                limits.least
            };
            known.low = Q::from_si(floor);
            let units = self.reading.units.get();
            self.reading.report(
                Severity::Warning,
                at,
                format!("the spread of `{}` reaches too low", self.key_path(key)),
                format!("taken from {} up", known.low.show(units)),
                limits.words::<Q>(units),
            );
        }
        Got::Given(known)
    }

    /// `{ low = "...", middle = "...", high = "..." }`, with `shape = "rectangular"` or another.
    fn three<Q: Quantity>(&self, key: &'static str, at: &Range<usize>) -> Got<Known<Q>> {
        let table = self.table(key);
        let named = table.word("shape", SHAPE);
        let misnamed = matches!(named, Got::Faulty);
        let shape = named.given().unwrap_or_default();
        let [low, high] =
            ["low", "high"].map(|k| table.required::<Q>(k, Limits::ANY, example::<Q>()));
        // Where the ends say all, the middle may be left out.
        let between = match shape {
            // Whatever was meant, it is not the middle that is wrong.
            _ if misnamed => Some(low.si()),
            SpreadShape::Mostly | SpreadShape::Triangular => None,
            SpreadShape::LogNormal => Some((low.si() * high.si()).sqrt()),
            _ => Some(0.5 * (low.si() + high.si())),
        };
        let middle = match between {
            Some(between) => table.quantity_or("middle", Limits::ANY, Q::from_si(between)),
            None => table.required::<Q>("middle", Limits::ANY, example::<Q>()),
        };
        let shape = self.shape_in::<Q>(&table, shape, 0.5 * (high.si() - low.si()));
        table.finish();
        let all = [low.si(), middle.si(), high.si()];
        let Some(shape) = shape.filter(|_| !misnamed) else {
            return Got::Faulty;
        };
        if all.iter().any(|si| si.is_nan()) {
            return Got::Faulty;
        }
        if !all.is_sorted() {
            self.reading.error(
                at.clone(),
                format!(
                    "`{}`: low, middle and high are out of order",
                    self.key_path(key)
                ),
                "low should be the least, high the most",
                "put them in order, least first",
            );
            return Got::Faulty;
        }
        if shape == SpreadShape::LogNormal && low.si() <= 0.0 {
            self.reading.error(
                at.clone(),
                format!(
                    "`{}`: a log-normal number is above zero",
                    self.key_path(key)
                ),
                "low has to be above zero",
                "give a low above zero, or leave the shape out",
            );
            return Got::Faulty;
        }
        Got::Given(Known {
            middle,
            low,
            high,
            shape,
            origin: Origin::Given,
        })
    }

    /// What a shape needs besides its name.
    fn shape_in<Q: Quantity>(
        &self,
        table: &Section<'_>,
        shape: SpreadShape,
        half: f64,
    ) -> Option<SpreadShape> {
        match shape {
            SpreadShape::Trapezoid { .. } => {
                let within = table
                    .required::<Q>("within", Limits::NOT_NEGATIVE, example::<Q>())
                    .si();
                if within > half {
                    self.reading.error(
                        table.reading.place(&table.key_path("within")),
                        "`within` is more than half of the range",
                        "the two limits would overlap",
                        "say by how much low and high themselves may be off, either way",
                    );
                }
                (within <= half).then_some(SpreadShape::Trapezoid { within })
            }
            SpreadShape::Readings { .. } => table
                .count(
                    "readings",
                    "5",
                    3..=1000,
                    "a number of readings is wanted",
                    "write a whole number from 3 on",
                )
                .given()
                .map(|count| SpreadShape::Readings { count })
                .or_else(|| {
                    if !table.is_faulty_at("readings") {
                        table.open("readings", "5");
                    }
                    None
                }),
            plain => Some(plain),
        }
    }

    /// A tolerance with its signs.
    pub fn band<Q: Quantity>(&self, key: &'static str, example: &str) -> Got<Band<Q>> {
        self.want(key, Want::Band(Q::DIMENSION));
        let Some((value, at)) = self.find(key) else {
            return Got::Open;
        };
        let got = self.read_number(key, value, at, example, Q::DIMENSION, |text| {
            let (lower, upper) = parse_band::<Q>(text)?;
            Ok(Band {
                lower: finite(text, lower)?,
                upper: finite(text, upper)?,
            })
        });
        match got {
            Got::Given(band) if band.lower.si() > band.upper.si() => {
                self.reading.error(
                    self.reading.place(&self.key_path(key)),
                    format!(
                        "`{}`: the lower limit is above the upper",
                        self.key_path(key)
                    ),
                    "limits are the wrong way round",
                    "write the upper limit first, then the lower, each with its sign: \
                     \"+0.000 -0.030 in/ft\"",
                );
                Got::Faulty
            }
            Got::Given(band) => {
                let width = band.upper.si() - band.lower.si();
                let at = self.reading.place(&self.key_path(key));
                match self.judge::<Q>(key, &at, width, Limits::NOT_NEGATIVE) {
                    true => Got::Given(band),
                    false => Got::Faulty,
                }
            }
            got => got,
        }
    }
}
