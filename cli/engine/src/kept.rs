//! A comparison between questions: asked again with lathes that others cut, it goes on from there.
//!
//! What is kept saves work and changes nothing: an engine that starts afresh asks for the lathes it
//! lacks and comes to the same.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::sync::Mutex;

use serde_json::{Value, json};
use tautway_screens::screen;
use tautway_screens::sheet::{self, Form, Paper};
use tautway_screens::spread::MethodTried;
use tautway_sim::compare::{Advised, Comparison, compare};
use tautway_sim::cut::Options;
use tautway_sim::expect::{self, Of, Wanted};
use tautway_sim::method::{Method, MethodOutlook, MethodTrials, MethodWay, methods};
use tautway_sim::scenario::Scenario;
use tautway_sim::sensitivity::sensitivity;
use tautway_sim::sheet::{MethodSheet, Sheet};
use tautway_sim::study::{PER_TURN, Study, WayOfTrial};
use tautway_sim::thread::{LATHES, likely, moves, threading};
use tautway_words::{Block, Document};

use crate::asked::{Cut, Texts, What};
use crate::hands::{Alone, NoAnswer};
use crate::hold::Asked;
use crate::said::html;
use crate::{change, hold};

/// Trials of a method on a sheet, and the share of them that its taper is told of.
const METHOD_TRIALS: u64 = 200;
const COVERAGE: f64 = 0.95;
/// What tells the person at a command line what to type next.
const TYPED: [&str; 4] = [
    " More: --detail.",
    " (--detail)",
    " (--detail tells which)",
    " (tautway modify)",
];

thread_local! {
    static KEPT: RefCell<Option<Kept>> = const { RefCell::new(None) };
    static METHODS: RefCell<Option<(Texts, u64, Vec<MethodWay>)>> = const { RefCell::new(None) };
}

struct Kept {
    texts: Texts,
    seed: u64,
    comparison: Comparison,
    found: BTreeMap<String, Cut>,
    weighed: bool,
    helped: bool,
}

impl Kept {
    fn new(texts: &Texts, seed: u64, scenario: &Scenario) -> Self {
        Self {
            texts: texts.clone(),
            seed,
            comparison: compare(scenario, options(seed)),
            found: BTreeMap::new(),
            weighed: false,
            helped: false,
        }
    }

    /// Weighs as far as its lathes are there; the others.
    fn weigh(&mut self, scenario: &Scenario) -> Result<Vec<Wanted>, String> {
        let found = &self.found;
        let wanted = Mutex::new(Vec::new());
        let source = |asked: &Wanted| {
            let there = found.get(&key(asked));
            if there.is_none()
                && let Ok(mut wanted) = wanted.lock()
            {
                wanted.push(*asked);
            }
            there.cloned()
        };
        let all = self
            .comparison
            .weigh_from(scenario, options(self.seed), &source);
        self.weighed = all.map_err(told)?;
        wanted.into_inner().map_err(told)
    }
}

/// Answers, or tells which lathes are still wanted; `here` cuts them itself.
///
/// The job is that of the texts, and the same with what holds its slide.
pub fn answer(
    [scenario, held]: [&Scenario; 2],
    (texts, seed): (&Texts, u64),
    found: Vec<(Wanted, Cut)>,
    (what, here): (What, bool),
) -> Result<Value, String> {
    if what == What::Thread {
        return threaded(scenario, seed);
    }
    KEPT.with_borrow_mut(|kept| {
        let fits = |kept: &Kept| kept.texts == *texts && kept.seed == seed;
        if !kept.as_ref().is_some_and(fits) {
            *kept = Some(Kept::new(texts, seed, scenario));
        }
        let kept = kept.as_mut().ok_or("nothing is kept")?;
        for (wanted, cut) in found {
            kept.found.insert(key(&wanted), cut);
        }
        while !kept.weighed {
            let wanted = kept.weigh(scenario)?;
            if wanted.is_empty() {
                break;
            }
            if !here {
                return Ok(json!({ "wanted": wanted }));
            }
            for one in wanted {
                let cut = cut(scenario, (texts, seed), &one)?;
                kept.found.insert(key(&one), cut);
            }
        }
        kept.found.clear();
        match what {
            What::Sheet => return printed(scenario, &kept.comparison, seed),
            What::Preload => return holding(held, &kept.comparison, seed),
            What::Modify => return changing(scenario, &kept.comparison, seed),
            What::Compare | What::Thread => {}
        }
        if !kept.helped {
            let helped = kept.comparison.look_for_help(scenario, options(seed));
            helped.map_err(told)?;
            kept.helped = true;
        }
        Ok(of(scenario, &kept.comparison, seed))
    })
}

/// Cuts lathes of a plan.
pub fn cut(
    scenario: &Scenario,
    (texts, seed): (&Texts, u64),
    wanted: &Wanted,
) -> Result<Cut, String> {
    let options = options(seed);
    match wanted.of {
        Of::Attachment(_) => expect::cut(scenario, wanted, options).map_err(told),
        Of::Without(place) => METHODS.with_borrow_mut(|kept| {
            let fits = |(of, luck, _): &(Texts, u64, _)| of == texts && *luck == seed;
            if !kept.as_ref().is_some_and(fits) {
                *kept = Some((texts.clone(), seed, methods(scenario, options)));
            }
            let all = kept.iter().flat_map(|(.., ways)| ways);
            let method = Method::ALL.get(place);
            let way = { all }.find(|way| Some(&way.method) == method);
            let way = way.ok_or("there is no such way")?;
            way.cut(scenario, wanted, options).map_err(told)
        }),
    }
}

/// What a page says of a comparison: the first screen without what is typed at a command line, and
/// the plan of the thread, where the job has one.
pub fn on_a_page(scenario: &Scenario, comparison: &Comparison, seed: u64) -> Document {
    let units = scenario.job.units;
    let mut said = screen::compare(scenario, comparison, None, None, &[], units, false);
    if let Some(found) = threading(scenario, options(seed)) {
        let best = found.best();
        let moves = best.map_or(Vec::new(), |best| moves(scenario, best, options(seed)));
        let thread = screen::thread(&screen::ThreadTold {
            scenario,
            found: &found,
            likely: None,
            moves: &moves,
            units,
            detail: false,
        });
        said.push(Block::Heading("The thread, pass by pass".into()));
        let blocks = thread.blocks.into_iter();
        said.blocks
            .extend(blocks.filter(|block| !matches!(block, Block::Title(_))));
    }
    untyped(said)
}

/// A document without what is typed at a command line.
fn untyped(mut said: Document) -> Document {
    for hint in TYPED {
        said.leave_out(hint);
    }
    said
}

/// A document as an answer of its own.
fn alone(said: Document) -> Value {
    json!({ "said": html(&untyped(said)) })
}

/// The thread, its best way tried on many lathes.
fn threaded(scenario: &Scenario, seed: u64) -> Result<Value, String> {
    let options = options(seed);
    let found = threading(scenario, options).ok_or("this job has no thread to plan")?;
    let best = found.best();
    let likely = best.map(|best| likely(scenario, best, options, LATHES, &mut |_| true));
    let likely = likely.transpose().map_err(|why| why.to_string())?;
    let moves = best.map_or(Vec::new(), |best| moves(scenario, best, options));
    Ok(alone(screen::thread(&screen::ThreadTold {
        scenario,
        found: &found,
        likely: likely.as_ref(),
        moves: &moves,
        units: scenario.job.units,
        detail: false,
    })))
}

/// How to hold the slide; the comparison is of the bare job.
fn holding(held: &Scenario, comparison: &Comparison, seed: u64) -> Result<Value, String> {
    let bare = hold::bare(held);
    let units = bare.job.units;
    let Some(first) = comparison.best() else {
        let why = screen::compare(&bare, comparison, None, None, &[], units, false);
        return Ok(alone(why));
    };
    let setup = hold::way_to_hold(&bare, first.setup, options(seed));
    let first = (comparison, first);
    let found = hold::weigh(held, first, setup, &Asked::default(), options(seed), &Alone);
    let found = found.map_err(NoAnswer::words)?;
    let told = (&found.advice, &found.plan);
    Ok(alone(screen::preload(&bare, told, units, seed, false)))
}

/// What changes buy on the first way.
fn changing(scenario: &Scenario, comparison: &Comparison, seed: u64) -> Result<Value, String> {
    let units = scenario.job.units;
    let way = comparison.ways.first().ok_or("there is no such way")?;
    if let Some(why) = change::cannot(way, units) {
        let why = format!("{}.", why.join(". "));
        let mut said = Document::new();
        said.say("NOTHING TO TRY:", why);
        return Ok(alone(said));
    }
    let lathes = (change::LATHES, false);
    let found = change::weigh(scenario, way, None, lathes, options(seed), &Alone);
    let found = found.map_err(NoAnswer::words)?;
    let report = screen::Report {
        scenario,
        way,
        changes: &found.changes,
        bought: &found.bought,
        units,
        pairs: false,
        own: false,
        stopped: false,
    };
    Ok(alone(screen::modify(&report, false)))
}

/// A comparison in words and what it expects of each way.
fn of(scenario: &Scenario, comparison: &Comparison, seed: u64) -> Value {
    let said = on_a_page(scenario, comparison, seed);
    let next = comparison
        .best()
        .map(|way| html(&screen::next(scenario, way)));
    let ways = comparison.ways.iter();
    let ways: Vec<Value> = ways
        .map(|way| json!({ "setup": way.setup, "expect": way.expect }))
        .collect();
    let without = comparison.methods.iter();
    let without: Vec<Value> = without
        .map(|way| json!({ "method": way.method, "expect": way.expect }))
        .collect();
    json!({
        "compare": html(&said),
        "next": next,
        "expect": comparison.advised().and_then(|first| first.expect()),
        "ways": ways,
        "without_attachment": without,
    })
}

/// The sheet of what is advised, or why there is none.
fn printed(scenario: &Scenario, comparison: &Comparison, seed: u64) -> Result<Value, String> {
    let units = scenario.job.units;
    let options = options(seed);
    let form = Form::Html(Paper::of(units));
    let none = |why: &str| Ok(json!({ "none": why }));
    match comparison.advised() {
        Some(Advised::Method(way)) => {
            let Some(record) = MethodSheet::new(scenario, way, seed) else {
                return none("no sheet: this way is named, not worked out");
            };
            let taper = screen::taper_in_words(scenario, way, &tried(scenario, way, seed)?, units);
            Ok(json!({ "sheet": sheet::written_without(&record, &taper, form) }))
        }
        Some(Advised::Attachment(way)) => {
            let likely = sensitivity(scenario, &way.setup, options, units);
            match Sheet::new(scenario, way, Some(&likely), options) {
                Some(record) => Ok(json!({ "sheet": sheet::written(&record, form) })),
                None => none("no sheet: this way was not run"),
            }
        }
        None => none("no sheet: no way can be advised"),
    }
}

/// A method on the first of many lathes, as the command line tells its taper.
fn tried(scenario: &Scenario, way: &MethodWay, seed: u64) -> Result<Vec<MethodTried>, String> {
    let told_finely = Options {
        per_turn: PER_TURN,
        ..options(seed)
    };
    let study = Study::new(scenario, &[], told_finely).map_err(told)?;
    let Some(trials) = MethodTrials::new(&study, scenario, way).map_err(told)? else {
        return Ok(Vec::new());
    };
    let found: Vec<WayOfTrial> = (1..=METHOD_TRIALS).map(|n| trials.trial(n)).collect();
    let outlook = MethodOutlook::of(&found, COVERAGE).map_err(told)?;
    Ok(vec![MethodTried {
        method: way.method,
        outlook,
    }])
}

fn key(wanted: &Wanted) -> String {
    // A float's shortest digits tell it from every other.
    format!("{wanted:?}")
}

fn options(seed: u64) -> Options {
    Options {
        seed,
        ..Options::default()
    }
}

fn told(why: impl std::fmt::Debug) -> String {
    format!("{why:?}")
}
