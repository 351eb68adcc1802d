//! The five knobs of the bench: which key of which text each one turns, in whose units, how far.

use serde::Serialize;
use tautway_sim::motion::Motion;
use tautway_sim::quantity::{INCH, LBF, Quantity, Units};
use tautway_sim::scenario::{Known, PreloadSource, Scenario, Toward};
use tautway_sim::setup::Setup;
use toml_edit::DocumentMut;

use crate::edit;

/// A knob in one system of units.
struct Scale {
    unit: &'static str,
    si: f64,
    most: f64,
    step: f64,
    decimals: usize,
}

/// What a knob turns.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Turns {
    Lathe(&'static [&'static str]),
    Job(&'static [&'static str]),
    /// A weight on a cord out of the cut; none of it takes the preload away.
    Weight,
}

struct Knob {
    id: &'static str,
    words: &'static str,
    turns: Turns,
    inch: Scale,
    metric: Scale,
}

const fn scale(unit: &'static str, si: f64, most: f64, step: f64, decimals: usize) -> Scale {
    Scale {
        unit,
        si,
        most,
        step,
        decimals,
    }
}

const MM: f64 = 1e-3;

const KNOBS: [Knob; 5] = [
    Knob {
        id: "slack",
        words: "slack",
        turns: Turns::Lathe(&["attachment", "slack"]),
        inch: scale("in", INCH, 0.15, 0.002, 3),
        metric: scale("mm", MM, 4.0, 0.05, 2),
    },
    Knob {
        id: "drag",
        words: "drag of the slide",
        turns: Turns::Lathe(&["slide", "drag"]),
        inch: scale("lbf", LBF, 80.0, 1.0, 0),
        metric: scale("N", 1.0, 360.0, 5.0, 0),
    },
    Knob {
        id: "depth",
        words: "depth set",
        turns: Turns::Job(&["passes", "finish"]),
        inch: scale("in", INCH, 0.04, 0.0005, 4),
        metric: scale("mm", MM, 1.0, 0.01, 2),
    },
    Knob {
        id: "feed",
        words: "feed a turn",
        turns: Turns::Job(&["passes", "feed"]),
        inch: scale("in", INCH, 0.016, 0.0005, 4),
        metric: scale("mm", MM, 0.4, 0.01, 2),
    },
    Knob {
        id: "weight",
        words: "weight on a cord",
        turns: Turns::Weight,
        inch: scale("lbf", LBF, 80.0, 1.0, 0),
        metric: scale("N", 1.0, 360.0, 5.0, 0),
    },
];

/// A knob as it stands, in the job's units.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Stands {
    /// Its name in a question.
    pub id: &'static str,
    /// What the shop calls it.
    pub words: &'static str,
    /// Its unit, as it is typed.
    pub unit: &'static str,
    /// What a unit is in SI.
    pub si: f64,
    /// Where it stands, in the unit.
    pub at: f64,
    /// Least and most of what it stands for, in the unit.
    pub range: [f64; 2],
    /// Least and most that it turns to.
    pub turns: [f64; 2],
    /// A notch.
    pub step: f64,
    /// Decimals that are shown.
    pub decimals: usize,
}

/// Every knob as the scenario has it.
pub fn stand(scenario: &Scenario, setup: &Setup, motion: Option<&Motion>) -> Vec<Stands> {
    let slack = || motion.map_or(0.0, |motion| motion.gaps.iter().map(|gap| gap.slack).sum());
    let whole = scenario.lathe.attachment.total_slack.as_ref();
    let out = || {
        tautway_sim::machine::preload::PreloadForce::new(scenario.job.preload.as_ref(), setup).out
    };
    let passes = &scenario.job.passes;
    let of = |knob: &Knob| match knob.id {
        "slack" => whole.map_or_else(|| [slack(); 3], range),
        "drag" => range(&scenario.lathe.slide.drag),
        "depth" => [passes.finish.last().map_or(0.0, |last| last.si()); 3],
        "feed" => [passes.feed.si(); 3],
        _ => [out(); 3],
    };
    KNOBS
        .iter()
        .map(|knob| {
            let scale = match scenario.job.units {
                Units::Inch => &knob.inch,
                Units::Metric => &knob.metric,
            };
            let [low, at, high] = of(knob).map(|si| tidy(si / scale.si));
            // A cut of no depth or no feed is none.
            let least = match knob.turns {
                Turns::Job(_) => scale.step,
                _ => 0.0,
            };
            Stands {
                id: knob.id,
                words: match (knob.turns, scenario.job.preload.map(|hold| hold.source)) {
                    (Turns::Weight, Some(PreloadSource::Cylinder { .. })) => "air cylinder",
                    (Turns::Weight, Some(PreloadSource::Spring { .. })) => "spring",
                    _ => knob.words,
                },
                unit: scale.unit,
                si: scale.si,
                at,
                range: [low, high],
                turns: [
                    if at < least { at } else { least },
                    if at > scale.most { at } else { scale.most },
                ],
                step: scale.step,
                decimals: scale.decimals,
            }
        })
        .collect()
}

fn range<Q: Quantity>(known: &Known<Q>) -> [f64; 3] {
    [known.low, known.middle, known.high].map(Quantity::si)
}

/// Without what a change of units leaves behind the sixth decimal.
fn tidy(value: f64) -> f64 {
    (value * 1e6).round() / 1e6 + 0.0
}

/// Turns knobs in the two texts, `(name, text)` each, comments kept; an empty text takes the key away.
///
/// # Errors
/// A knob that isn't there, a text that is no TOML.
pub fn turn(
    job: &str,
    lathe: &str,
    set: &[(String, String)],
    out: Toward,
) -> Result<[String; 2], String> {
    let parsed = |text: &str| text.parse::<DocumentMut>().map_err(|why| why.to_string());
    let (mut job, mut lathe) = (parsed(job)?, parsed(lathe)?);
    for (id, text) in set {
        let knob = KNOBS.iter().find(|knob| knob.id == id);
        let put = |document: &mut DocumentMut, path: &[&str]| match text.as_str() {
            "" => edit::remove(document, path),
            text => edit::put(document, path, text),
        };
        match knob.ok_or_else(|| format!("there is no knob {id}"))?.turns {
            Turns::Lathe(path) => put(&mut lathe, path),
            Turns::Job(path) => put(&mut job, path),
            Turns::Weight => {
                edit::remove(&mut job, &["preload"]);
                if !text.is_empty() {
                    let toward = match out {
                        Toward::Operator => "toward the operator",
                        Toward::Away => "away from the operator",
                    };
                    put(&mut job, &["preload", "weight"]);
                    edit::put(&mut job, &["preload", "toward"], toward);
                }
            }
        }
    }
    Ok([job.to_string(), lathe.to_string()])
}
