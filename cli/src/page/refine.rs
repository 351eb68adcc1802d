//! What takes longer than a moment: what was assumed, the map of drag and slack, the trials. Told
//! as it comes, ended when nobody listens any more.

use axum::body::Bytes;
use rayon::ThreadPool;
use serde_json::{Value, json};
use tautway_sim::cut::BATCH;
use tautway_sim::regime_map::regime_map;
use tautway_sim::sensitivity::{Likely, sensitivity};
use tautway_sim::setup::{Pull, Setup};
use tautway_sim::spread::Ending;
use tautway_sim::study::{Gathered, Study, Trial};
use tokio::sync::mpsc::Sender;

use super::answer::Answered;
use crate::failure::Failure;
use crate::plan::Lathes;
use crate::trials::{self, Follower};
use tautway_screens::screen;
use tautway_screens::spread::Spread;

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
    // Where none can be cut with the attachment, a way without it stands first.
    let of_all = answered.is_best || answered.comparison.best().is_none();
    let weighed = of_all.then(|| weighed(answered, pool, to));
    let _ = steps(weighed.as_ref().unwrap_or(answered), pool, to);
}

/// The same with each way's plan played, the first way being what that puts first, as on the
/// command line. Where a range makes no distribution the ways stand as they were run.
fn weighed(answered: &Answered, pool: &ThreadPool, to: &Listener) -> Answered {
    let mut weighed = answered.clone();
    let comparison = &mut weighed.comparison;
    let listens = |_, _| to.listens();
    let played = pool.install(|| comparison.weigh(&answered.scenario, answered.options, &listens));
    let helped = played.and_then(|()| {
        pool.install(|| comparison.look_for_help(&answered.scenario, answered.options))
    });
    if let (Ok(()), Some(first)) = (helped, comparison.ways.first()) {
        weighed.chosen = first.clone();
    }
    weighed
}

/// The steps in the order in which they are of use; `None` when nobody listens any more.
fn steps(answered: &Answered, pool: &ThreadPool, to: &Listener) -> Option<()> {
    let chosen = &answered.chosen;
    let go_on = |told: bool| told.then_some(());
    if chosen.run.is_none() {
        // None of them can be cut: as many lathes for the other methods as they take.
        if answered.comparison.feasible().next().is_none() {
            go_on(methods(answered, None, pool, to))?;
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
                go_on(methods(answered, Some((&likely, &spread)), pool, to))?;
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
        Lathes::USUAL.without_attachment(ways.map(|(_, spread)| spread.outlook.trials)),
        Lathes::USUAL.coverage,
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
        trials::ways(&answered.comparison)
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
    let words = |failure: Failure| failure.words();
    let study =
        trials::study(&answered.scenario, &ways(answered), answered.options).map_err(words)?;
    let mut so_far = SoFar {
        gathered: Gathered::new(study.ways().count()),
        study: &study,
        answered,
        likely,
        to,
    };
    let piece = (BATCH * pool.current_num_threads()) as u64;
    let ended = trials::draw(&study, &Lathes::USUAL, (pool, piece), &mut so_far);
    if !to.listens() {
        return Ok(None);
    }
    let ending = ended.map_err(words)?;
    let outlook = so_far
        .gathered
        .outlook(study.seed(), Lathes::USUAL.coverage)
        .map_err(|fault| fault.to_string())?;
    let mend = trials::shares(&study, &outlook, false, pool, &mut |_, _| to.listens());
    Ok(Some(Spread {
        study,
        outlook,
        mend,
        ending,
        first_order: None,
    }))
}

/// The trials run so far, and who is told of them.
struct SoFar<'a> {
    study: &'a Study,
    gathered: Gathered,
    answered: &'a Answered,
    likely: &'a Likely,
    to: &'a Listener,
}

impl SoFar<'_> {
    /// What they tell already; nothing when they are too few.
    fn told(&self) -> Option<Value> {
        let coverage = Lathes::USUAL.coverage;
        let spread = Spread {
            outlook: self.gathered.outlook(self.study.seed(), coverage).ok()?,
            study: self.study.clone(),
            mend: None,
            ending: Ending::Complete,
            first_order: None,
        };
        Some(said(self.answered, self.likely, &spread))
    }
}

impl Follower for SoFar<'_> {
    fn goes_on(&self) -> bool {
        self.to.listens()
    }

    fn take(&mut self, trial: &Trial) -> Result<(), Failure> {
        self.gathered.add(trial);
        Ok(())
    }

    fn tried(&mut self, _: u64) {}

    fn block(&mut self) {
        let tried = self.gathered.trials();
        let news = if tried < FIRST { None } else { self.told() };
        let news = news.unwrap_or_else(|| json!({ "tried": tried }));
        self.to.tell("spread", &news);
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
