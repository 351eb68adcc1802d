//! One answer for the page: the ways ranked, the words of the command line, the drive in motion.

use serde_json::{Value, json};
use tautway_sim::compare::{Advised, Comparison, Way};
use tautway_sim::cut::Options;
use tautway_sim::quantity::Units;
use tautway_sim::regime_map::job_on_map;
use tautway_sim::scenario::Scenario;
use tautway_sim::sensitivity::Likely;
use tautway_sim::setup::{Feed, Pull, Rotation, Setup, Side};

use super::picture;
use crate::answer::{json, of_file};
use tautway_screens::screen::{self, Said, finish, words};
use tautway_screens::spread::{MethodTried, Spread};

/// One way run by itself: what is told before the others are run.
pub struct First {
    /// The scenario.
    pub scenario: Scenario,
    /// How it was run.
    pub options: Options,
    /// The way.
    pub way: Way,
}

impl First {
    /// As the page wants it: the parts of a whole answer that are about this way.
    pub fn told(&self) -> Value {
        let units = self.scenario.job.units;
        let mut told = looked_at(&self.scenario, &self.way, self.options);
        told["said"] = json!(screen::said(&screen::predict(
            &self.scenario,
            &self.way,
            None,
            None,
            units,
            false
        )));
        told["chosen"] = row(&self.scenario, &self.way, None);
        told["record"] = json::of_way(&self.way, false);
        told
    }
}

/// What is told and drawn of the way that is looked at.
fn looked_at(scenario: &Scenario, way: &Way, options: Options) -> Value {
    let on_map = (way.pull == Pull::Away && way.out.is_empty())
        .then(|| job_on_map(scenario, &way.setup, options))
        .flatten();
    json!({
        "name": scenario.job.name,
        "lathe": scenario.lathe.name,
        "note": scenario.job.note,
        "seed": options.seed,
        "cautions": way.cautions,
        "setup": way.setup,
        "drive": picture::drive(scenario, way, options),
        "surface": picture::surface(way),
        "on_map": on_map,
    })
}

/// What was run.
#[derive(Clone)]
pub struct Answered {
    /// The scenario.
    pub scenario: Scenario,
    /// How it was run.
    pub options: Options,
    /// Every way.
    pub comparison: Comparison,
    /// The one looked at.
    pub chosen: Way,
    /// Whether it is the one advised.
    pub is_best: bool,
}

impl Answered {
    /// Units to answer in.
    pub fn units(&self) -> Units {
        self.scenario.job.units
    }

    /// The words of the screen, with what is known of the spread so far.
    pub fn said(
        &self,
        likely: Option<&Likely>,
        spread: Option<&Spread>,
        methods: &[MethodTried],
    ) -> Vec<Said> {
        let units = self.units();
        let (scenario, chosen) = (&self.scenario, &self.chosen);
        // A first screen reads the plan played, and tells no other lathes.
        let played = self.comparison.advised().and_then(|first| first.expect());
        let spread = spread.filter(|_| played.is_none());
        let of_all = self.comparison.best().is_none() && !chosen.out.is_empty();
        screen::said(&if self.is_best || of_all {
            let all = &self.comparison;
            screen::compare(scenario, all, likely, spread, methods, units, false)
        } else {
            screen::predict(scenario, chosen, likely, spread, units, false)
        })
    }

    /// As the page wants it.
    pub fn told(&self) -> Value {
        let units = self.units();
        let row = |way: &Way| row(&self.scenario, way, self.comparison.best());
        let ways: Vec<Value> = self.comparison.ways.iter().map(row).collect();
        let records: Vec<Value> = self
            .comparison
            .ways
            .iter()
            .map(|way| json::of_way(way, false))
            .collect();
        let mut told = looked_at(&self.scenario, &self.chosen, self.options);
        let more = json!({
            "is_best": self.is_best,
            "none": self.comparison.best().is_none(),
            "without": matches!(self.comparison.advised(), Some(Advised::Method(_))),
            "said": self.said(None, None, &[]),
            "methods": screen::said(&screen::methods(&self.scenario, &self.comparison, &[], units)),
            "text": of_file(&screen::compare(&self.scenario, &self.comparison, None, None, &[], units, false)),
            "ways": ways,
            "records": records,
            "chosen": row(&self.chosen),
        });
        if let (Value::Object(told), Value::Object(more)) = (&mut told, more) {
            told.extend(more);
        }
        told
    }
}

/// One way as a row of the ranking, held against the best where that is known.
fn row(scenario: &Scenario, way: &Way, best: Option<&Way>) -> Value {
    let units = scenario.job.units;
    let tapers = words::Tapers::of(scenario, units);
    let cost = match best {
        Some(best) if best.setup == way.setup => "the one to take".to_owned(),
        Some(best) => words::cost(way, best, tapers, units),
        None => words::cost(way, way, tapers, units),
    };
    let numbers = way.run.as_ref().map(|run| {
        let o = &run.outcome;
        json!({
            "size": words::size(&way.setup, o, units),
            "finish": finish::finish(run, scenario, units),
            "seat": words::seat(o, units),
            "taper": tapers.show(o.taper),
            "waves": words::height(o.waves, units),
            "size_error": words::signed_height(o.size_error, units),
            "push_off": words::forces(o.push_off, units),
            "drag": words::forces(o.drag, units),
        })
    });
    let setup = &way.setup;
    json!({
        "key": key(setup),
        "short": words::short(setup),
        "whole": words::way(setup),
        "side": setup.side,
        "feed": setup.feed,
        "rotation": setup.rotation,
        "pull": way.pull,
        "lost": words::about(way.start.lost, units),
        "cost": cost,
        "out": way.out.iter().map(|reason| reason.words(units)).collect::<Vec<_>>(),
        "forbidden": way.forbidden,
        "met": way.verdict.map(|verdict| verdict.met()),
        "cautions": way.cautions.iter().map(|c| c.short).collect::<Vec<_>>(),
        "also": way.also.iter().map(words::short).collect::<Vec<_>>(),
        "numbers": numbers,
    })
}

/// A setup in three words, the same for every page: "front tailstock forward".
pub fn key(setup: &Setup) -> String {
    let side = match setup.side {
        Side::Front => "front",
        Side::Rear => "rear",
    };
    let feed = match setup.feed {
        Feed::Headstock => "headstock",
        Feed::Tailstock => "tailstock",
    };
    let rotation = match setup.rotation {
        Rotation::Forward => "forward",
        Rotation::Reverse => "reverse",
    };
    format!("{side} {feed} {rotation}")
}
