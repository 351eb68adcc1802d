//! Changes that let a person see better: a gauge between the passes, a finer one, a finer indicator.

use super::change::{Change, Effect, Undone};
use crate::quantity::{INCH, Length, Quantity, Units, show};
use crate::scenario::defaults;
use crate::scenario::{Gauge, GaugeKind, Kind, Scenario};

/// A gauge or a step counts as coarser when it is so by this factor.
const WORSE: f64 = 1.1;

/// Better eyes: a gauge between the passes, a finer one, a finer indicator on the guide.
pub(super) fn better_eyes(scenario: &Scenario) -> Vec<Change> {
    let (job, units) = (&scenario.job, scenario.job.units);
    let mut all = Vec::new();
    let (kind, name) = match job.work.kind {
        Kind::Inside => (GaugeKind::BoreGauge, "a bore gauge"),
        Kind::Outside => (GaugeKind::Micrometer, "a micrometer"),
    };
    let within = defaults::gauge_within(kind);
    if job.gauge.kind.is_none() || job.gauge.within.si() > WORSE * within.si() {
        all.push(Change {
            id: "better-gauge",
            words: format!(
                "gauge before the last pass with {name} good to {} on diameter",
                within.show(units)
            ),
            does: "how well it reads is common practice, no source".to_owned(),
            minutes: 5.0,
            undone: Undone::Easily,
            effects: vec![Effect::Gauge {
                gauge: Gauge {
                    kind: Some(kind),
                    within,
                },
            }],
        });
    }
    let fine = match units {
        Units::Inch => 0.0001 * INCH,
        Units::Metric => 0.002e-3,
    };
    if scenario.lathe.readout_step.si() > WORSE * fine {
        all.push(Change {
            id: "finer-indicator",
            words: format!(
                "set and nudge the guide by an indicator of {}",
                show::dial(Length::from_si(fine), units)
            ),
            does: "half a step either way is left by each setting, a guess".to_owned(),
            minutes: 5.0,
            undone: Undone::Easily,
            effects: vec![Effect::Indicator { step: fine }],
        });
    }
    all
}
