//! One answer for the page: the ways ranked, the words of the command line, the drive in motion.

use serde_json::{Value, json};
use tautway_sim::compare::{Comparison, Way};
use tautway_sim::cut::Options;
use tautway_sim::drag_map::job_on_map;
use tautway_sim::method::Advised;
use tautway_sim::quantity::Units;
use tautway_sim::scenario::{Scenario, Toward};
use tautway_sim::setup::{Feed, Pull, Rotation, Setup, Side};

use super::picture;
use crate::answer::json;
use crate::screen::{self, Said, words};

/// What was run.
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
        likely: Option<&tautway_sim::mattered::Likely>,
        spread: Option<&crate::trials::Spread>,
    ) -> Vec<Said> {
        let units = self.units();
        if self.is_best || self.comparison.best().is_none() && !self.chosen.out.is_empty() {
            screen::compare_said(&self.scenario, &self.comparison, likely, spread, units)
        } else {
            screen::predict_said(&self.scenario, &self.chosen, likely, spread, units)
        }
    }

    /// As the page wants it.
    pub fn told(&self) -> Value {
        let units = self.units();
        let ways: Vec<Value> = self
            .comparison
            .ways
            .iter()
            .map(|way| self.row(way))
            .collect();
        let records: Vec<Value> = self
            .comparison
            .ways
            .iter()
            .map(|way| json::of_way(way, false))
            .collect();
        let chosen = &self.chosen;
        let on_map = (chosen.pull == Pull::Away && chosen.out.is_empty())
            .then(|| job_on_map(&self.scenario, &chosen.setup, self.options))
            .flatten();
        json!({
            "name": self.scenario.job.name,
            "lathe": self.scenario.lathe.name,
            "note": self.scenario.job.note,
            "seed": self.options.seed,
            "is_best": self.is_best,
            "none": self.comparison.best().is_none(),
            "without": matches!(self.comparison.advised(), Some(Advised::Method(_))),
            "said": self.said(None, None),
            "text": screen::compare(&self.scenario, &self.comparison, None, None, &[], units, false),
            "cautions": chosen.cautions,
            "ways": ways,
            "records": records,
            "chosen": self.row(chosen),
            "setup": chosen.setup,
            "drive": picture::drive(&self.scenario, chosen, self.options),
            "surface": picture::surface(chosen),
            "on_map": on_map,
        })
    }

    /// One way as a row of the ranking.
    fn row(&self, way: &Way) -> Value {
        let units = self.units();
        let tapers = words::Tapers::of(&self.scenario, units);
        let best = self.comparison.best();
        let cost = match best {
            Some(best) if best.setup == way.setup => "the one to take".to_owned(),
            Some(best) => words::cost(way, best, tapers, units),
            None => words::cost(way, way, tapers, units),
        };
        let numbers = way.run.as_ref().map(|run| {
            let o = &run.outcome;
            json!({
                "size": words::size(&way.setup, o, units),
                "finish": words::finish(run, &self.scenario, units),
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

/// Which way a preload acts, as the plan wants it.
pub fn preload_toward(scenario: &Scenario) -> Option<Toward> {
    scenario.job.preload.map(|preload| preload.toward)
}
