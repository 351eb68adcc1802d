//! What takes longer than a moment: what was assumed, the map of drag and slack, the trials. Told
//! as it comes, ended when nobody listens any more.

use std::ops::{ControlFlow, Range};

use axum::body::Bytes;
use rayon::ThreadPool;
use serde_json::{Value, json};
use tautway_sim::cut::BATCH;
use tautway_sim::regime_map::regime_map;
use tautway_sim::sensitivity::{Likely, sensitivity};
use tautway_sim::setup::{Pull, Setup};
use tautway_sim::spread::{Ending, Plan, propagate};
use tautway_sim::study::{Gathered, Study, deciding};
use tokio::sync::mpsc::Sender;

use super::answer::Answered;
use crate::screen;
use crate::trials::{self, RULE, Spread};

/// Part of the lathes that a range holds.
const COVERAGE: f64 = 0.95;
/// Trials before the first range is told.
const FIRST: u64 = 80;

/// One line of news.
pub type News = Result<Bytes, std::convert::Infallible>;

/// Where the news goes.
pub struct Listener(pub Sender<News>);

impl Listener {
    /// Whether anybody still wants to know.
    pub fn listens(&self) -> bool {
        !self.0.is_closed()
    }

    /// Tells one event; false when nobody listens.
    pub fn tell(&self, event: &str, value: &Value) -> bool {
        let text = format!("event: {event}\ndata: {value}\n\n");
        self.0.blocking_send(Ok(Bytes::from(text))).is_ok()
    }
}

/// Refines an answer until all is told or nobody listens.
pub fn refine(answered: &Answered, pool: &ThreadPool, to: &Listener) {
    let _ = steps(answered, pool, to);
}

/// The steps in the order in which they are of use; `None` when nobody listens any more.
fn steps(answered: &Answered, pool: &ThreadPool, to: &Listener) -> Option<()> {
    let chosen = &answered.chosen;
    let go_on = |told: bool| told.then_some(());
    if chosen.run.is_none() {
        // None of them can be cut: as many lathes for the other methods as they take.
        if answered.comparison.feasible().next().is_none() {
            go_on(methods(answered, None, u64::MAX, pool, to))?;
        }
        return go_on(to.tell("done", &json!({ "ending": "nothing to run" })));
    }
    let (scenario, options) = (&answered.scenario, answered.options);
    let units = answered.units();
    let likely = pool.install(|| sensitivity(scenario, &chosen.setup, options, units));
    go_on(to.tell(
        "likely",
        &json!({ "said": answered.said(Some(&likely), None, &[]), "likely": likely }),
    ))?;
    let away = std::iter::once(chosen)
        .chain(answered.comparison.feasible())
        .find(|way| way.pull == Pull::Away && way.out.is_empty());
    if let Some(away) = away {
        let map = regime_map(scenario, &away.setup, options);
        let looked_at = away.setup == chosen.setup;
        go_on(to.tell("map", &json!({ "map": map, "looked_at": looked_at })))?;
    }
    match tried(answered, &likely, pool, to) {
        Ok(Some(spread)) => {
            let told = json!({
                "ending": spread.ending,
                "outlook": spread.outlook,
                "mend": spread.mend,
                "first_order": spread.first_order,
            });
            go_on(to.tell("spread", &said(answered, &likely, &spread)))?;
            if answered.is_best {
                let trials = spread.outlook.trials;
                go_on(methods(
                    answered,
                    Some((&likely, &spread)),
                    trials,
                    pool,
                    to,
                ))?;
            }
            go_on(to.tell("done", &json!({ "ending": spread.ending, "spread": told })))
        }
        Ok(None) => None,
        Err(why) => go_on(to.tell("done", &json!({ "ending": "failed", "why": why }))),
    }
}

/// Tells the chances of the ways without the attachment, on the same lathes as the command line;
/// false when nobody listens.
fn methods(
    answered: &Answered,
    ways: Option<(&Likely, &Spread)>,
    count: u64,
    pool: &ThreadPool,
    to: &Listener,
) -> bool {
    if !to.listens() {
        return false;
    }
    let (scenario, comparison) = (&answered.scenario, &answered.comparison);
    let tried = trials::of_methods(
        scenario,
        &comparison.methods,
        answered.options,
        count,
        COVERAGE,
        pool,
    )
    .unwrap_or_default();
    let (likely, spread) = ways.unzip();
    let units = answered.units();
    to.tell(
        "methods",
        &json!({
            "said": answered.said(likely, spread, &tried),
            "methods": screen::said(&screen::methods(scenario, comparison, &tried, units)),
        }),
    )
}

/// The ways that lathes are tried on: as the command line does, the one looked at alone if it
/// isn't the best.
fn ways(answered: &Answered) -> Vec<Setup> {
    if answered.is_best {
        answered
            .comparison
            .feasible()
            .filter(|way| way.run.is_some())
            .map(|way| way.setup)
            .collect()
    } else {
        vec![answered.chosen.setup]
    }
}

/// Trials by the command line's own rule; `None` when nobody listens any more.
fn tried(
    answered: &Answered,
    likely: &Likely,
    pool: &ThreadPool,
    to: &Listener,
) -> Result<Option<Spread>, String> {
    let words = |failure: crate::failure::Failure| failure.words();
    let study =
        trials::study(&answered.scenario, &ways(answered), answered.options).map_err(words)?;
    let mut so_far = SoFar {
        gathered: Gathered::new(study.ways().count()),
        study,
        pool,
        to,
    };
    let ended = propagate(COVERAGE, Plan::Adaptive(RULE), |numbers| {
        let mut rows = Vec::new();
        let whole = so_far.block(numbers, &mut rows, |study, gathered| {
            let spread = Spread {
                outlook: gathered.outlook(study.seed(), COVERAGE).ok()?,
                study: study.clone(),
                rows: None,
                mend: None,
                ending: Ending::Complete,
                first_order: None,
            };
            Some(said(answered, likely, &spread))
        });
        if whole {
            ControlFlow::Continue(rows)
        } else {
            ControlFlow::Break(rows)
        }
    });
    if !to.listens() {
        return Ok(None);
    }
    let ending = ended.map_err(|fault| fault.to_string())?.ending;
    let SoFar {
        study, gathered, ..
    } = so_far;
    let outlook = gathered
        .outlook(study.seed(), COVERAGE)
        .map_err(|fault| fault.to_string())?;
    let mend = trials::shares(&study, &outlook, false, pool, &mut |_, _| to.listens());
    Ok(Some(Spread {
        study,
        rows: None,
        outlook,
        mend,
        ending,
        first_order: None,
    }))
}

/// The trials run so far.
struct SoFar<'a> {
    study: Study,
    gathered: Gathered,
    pool: &'a ThreadPool,
    to: &'a Listener,
}

impl SoFar<'_> {
    /// Runs a block in pieces and tells of each; false when nobody listens any more.
    fn block(
        &mut self,
        numbers: Range<u64>,
        rows: &mut Vec<Vec<f64>>,
        told: impl Fn(&Study, &Gathered) -> Option<Value>,
    ) -> bool {
        let piece = (BATCH * self.pool.current_num_threads()) as u64;
        let mut next = numbers.start + 1;
        let end = numbers.end + 1;
        while next < end {
            if !self.to.listens() {
                return false;
            }
            let until = (next + piece).min(end);
            for trial in &trials::of(&self.study, next..until, self.pool) {
                self.gathered.add(trial);
                rows.push(deciding(trial, 0).to_vec());
            }
            next = until;
        }
        let tried = self.gathered.trials();
        let news = if tried < FIRST {
            None
        } else {
            told(&self.study, &self.gathered)
        };
        let news = news.unwrap_or_else(|| json!({ "tried": tried }));
        self.to.tell("spread", &news)
    }
}

/// What so many lathes tell, in words.
fn said(answered: &Answered, likely: &Likely, spread: &Spread) -> Value {
    let ways: Vec<Value> = spread
        .study
        .ways()
        .zip(&spread.outlook.ways)
        .map(|(setup, way)| {
            json!({
                "key": super::answer::key(setup),
                "met": screen::of_100(&way.met),
            })
        })
        .collect();
    json!({
        "tried": spread.outlook.trials,
        "said": answered.said(Some(likely), Some(spread), &[]),
        "ways": ways,
    })
}
