//! The uncertain numbers of a scenario as distributions, with what they have in common.

use std::fmt;

use schemars::JsonSchema;
use serde::Serialize;

use crate::arithmetic::{ln, max, min};
use crate::quantity::Dimension;
pub use crate::scenario::numbers::Part;
use crate::scenario::{Origin, Parameter, Scenario, SpreadShape};
use crate::spread::{Distribution, DistributionFault, NORMAL_95, SharedFactor};

/// Correlation of the slacks that were only picked by the lathe's condition: a worn lathe is worn
/// all over (a guess).
const WORN_ALIKE: f64 = 0.5;
/// Number of what those slacks share.
const WEAR: u32 = 1;
/// How far a range may lie askew and still count as even, or as even in the logarithm.
const EVEN: f64 = 0.1;

/// One uncertain number of a scenario.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Uncertain {
    /// Its number, the place of its draws.
    pub number: u32,
    /// The key in the person's files.
    pub key: &'static str,
    /// What the shop calls it.
    pub words: &'static str,
    /// The shop test that measures it.
    pub test: Option<&'static str>,
    /// Given by the person, or assumed.
    pub origin: Origin,
    /// What it belongs to.
    pub part: Part,
    /// What it measures.
    pub dimension: Dimension,
    /// How it is spread, in SI.
    pub distribution: Distribution,
}

impl Uncertain {
    /// Whether it is uncertain at all.
    pub fn varies(&self) -> bool {
        !matches!(self.distribution, Distribution::Fixed { .. })
    }
}

/// A range that makes no distribution.
#[derive(Clone, Debug, PartialEq)]
pub struct RangeFault {
    /// The key of the number, in the person's files.
    pub key: &'static str,
    /// Why.
    pub fault: DistributionFault,
}

impl fmt::Display for RangeFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "the range of `{}`: {}", self.key, self.fault)
    }
}

impl std::error::Error for RangeFault {}

/// Every uncertain number of a scenario, in the order of its parameters, and what some share.
pub(super) fn quantities(
    scenario: &mut Scenario,
) -> Result<(Vec<Uncertain>, Vec<SharedFactor>), RangeFault> {
    let mut quantities = Vec::new();
    let mut worn = Vec::new();
    for parameter in scenario.parameters_mut() {
        let distribution = distribution_of(&parameter)?;
        let open = !matches!(distribution, Distribution::Fixed { .. });
        let origin = parameter.value.origin();
        let picked = parameter.row.about().wears && origin == Origin::Assumed && open;
        if picked {
            worn.push(parameter.number as usize);
        }
        quantities.push(Uncertain {
            number: parameter.number,
            key: parameter.key,
            words: parameter.words,
            test: parameter.test,
            origin,
            part: if picked {
                Part::Wear
            } else {
                parameter.row.about().part
            },
            dimension: parameter.value.dimension(),
            distribution,
        });
    }
    // One left alone keeps its share in the wear: measuring the others must not shift its draws.
    let factors = SharedFactor::new(WEAR, worn, WORN_ALIKE)
        .into_iter()
        .collect();
    Ok((quantities, factors))
}

/// How a number is spread.
///
/// # Errors
/// A range that makes no distribution.
pub(crate) fn distribution_of(parameter: &Parameter) -> Result<Distribution, RangeFault> {
    distribution(parameter).map_err(|fault| RangeFault {
        key: parameter.key,
        fault,
    })
}

/// How a number is spread: by its shape, and where that says nothing else, 95 in 100 from low to
/// high, as many below the middle as above, and nothing that can't be.
fn distribution(parameter: &Parameter) -> Result<Distribution, DistributionFault> {
    let [low, middle, high] = parameter.value.range_si();
    if low >= high {
        return Distribution::Fixed { value: middle }.checked();
    }
    let deviation = (high - low) / (2.0 * NORMAL_95);
    let whole = match parameter.value.shape() {
        SpreadShape::Mostly => mostly(low, middle, high),
        SpreadShape::Rectangular => Distribution::Rectangular {
            lower: low,
            upper: high,
        },
        SpreadShape::Triangular => Distribution::Triangular {
            lower: low,
            mode: middle,
            upper: high,
        },
        SpreadShape::Arcsine => Distribution::Arcsine {
            lower: low,
            upper: high,
        },
        SpreadShape::Trapezoid { within } => Distribution::CurvilinearTrapezoid {
            lower: low,
            upper: high,
            inexactness: within,
        },
        SpreadShape::LogNormal => Distribution::log_normal_between(low, high)?,
        SpreadShape::Readings { count } => {
            let degrees_of_freedom = f64::from(count - 1);
            let unit = Distribution::ScaledT {
                degrees_of_freedom,
                centre: 0.0,
                scale: 1.0,
            };
            Distribution::ScaledT {
                degrees_of_freedom,
                centre: middle,
                scale: deviation * NORMAL_95 / unit.quantile(0.975),
            }
        }
    };
    // What can't be negative isn't: a spring or a force isn't nothing either.
    let floor = if low >= 0.0 {
        min(low, middle / 10.0)
    } else {
        f64::NEG_INFINITY
    };
    match parameter.row.about().drawn_within {
        Some([least, most]) => whole.within(least, most),
        None if floor.is_finite() && reaches_below(&whole, floor) => {
            whole.within(floor, f64::INFINITY)
        }
        None => whole.checked(),
    }
}

fn reaches_below(distribution: &Distribution, floor: f64) -> bool {
    distribution.quantile(1e-12) < floor
}

/// Normal, log-normal or split, whichever the three figures come nearest to.
fn mostly(low: f64, middle: f64, high: f64) -> Distribution {
    let (below, above) = (middle - low, high - middle);
    let alike = |a: f64, b: f64| (a - b).abs() <= EVEN * max(a, b);
    if alike(below, above) {
        return Distribution::Normal {
            mean: 0.5 * (low + high),
            standard_deviation: (high - low) / (2.0 * NORMAL_95),
        };
    }
    if low > 0.0 && alike(ln(middle / low), ln(high / middle)) {
        return Distribution::LogNormal {
            median: (low * high).sqrt(),
            factor: (high / low).sqrt(),
        };
    }
    Distribution::SplitNormal {
        median: middle,
        below: below / NORMAL_95,
        above: above / NORMAL_95,
    }
}
