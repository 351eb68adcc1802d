//! Questions and their answers, both JSON.

use serde::Serialize;
use serde_json::{Value, json};
use tautway_sim::compare::{compare, way};
use tautway_sim::cut::Options;
use tautway_sim::motion::motion;
use tautway_sim::quantity::Units;
use tautway_sim::readings::evaluate;
use tautway_sim::scenario::{Diagnostic, Scenario, Severity, Source, decode, decode_readings};
use tautway_sim::setup::{Face, Feed, Rotation, Setup, Side};
use tautway_sim::study::{Gathered, Study};
use tautway_sim::thread::{cut_of, threading};

use crate::asked::{Question, SideOfWork, Texts, Turning};
use crate::bench::{Bench, both};
use crate::{fields, forms, hold, kept, knobs};

/// Answers; what can't be answered as `{"fault": ...}`.
pub fn answer(question: &str) -> String {
    let asked: Result<Question, _> = serde_json::from_str(question);
    let told = asked.map_err(|why| why.to_string()).and_then(found);
    told.unwrap_or_else(|fault| serde_json::json!({ "fault": fault }).to_string())
}

fn found(question: Question) -> Result<String, String> {
    let options = |seed| Options {
        seed,
        ..Options::default()
    };
    match question {
        Question::Bench {
            texts,
            set,
            side,
            rotation,
            only,
            seed,
        } => {
            let read = read(&texts)?;
            if !read.lathe.attachment.fitted {
                return Err("this lathe has no taper attachment fitted".to_owned());
            }
            let setup = advised(&read, side, rotation);
            let out = setup.toward_in_x(true);
            let [job, lathe] = knobs::turn(&texts.job, &texts.lathe, &set, out)?;
            let turned = self::read(&Texts {
                job,
                lathe,
                ..texts
            })?;
            written(&Bench::new(&turned, &setup, only, options(seed)))
        }
        Question::Ways { texts, seed } => written(&compare(&read(&texts)?, options(seed))),
        Question::Way {
            texts,
            number,
            seed,
        } => {
            let scenario = read(&texts)?;
            let setups = setups(&scenario);
            let setup = *setups.get(number).ok_or("there is no such way")?;
            let way = way(&scenario, setup, Vec::new(), Vec::new(), options(seed));
            let run = way.run.as_ref();
            let frames = run.and_then(|run| motion(&scenario, run, options(seed)));
            written(&(&way, frames))
        }
        Question::Lathes {
            texts,
            set,
            bench,
            from,
            to,
            seed,
        } => {
            let scenario = read(&texts)?;
            let setups = bench.map_or_else(
                || setups(&scenario),
                |(side, rotation)| both(&advised(&scenario, side, rotation)).to_vec(),
            );
            let out = setups[0].toward_in_x(true);
            let [job, lathe] = knobs::turn(&texts.job, &texts.lathe, &set, out)?;
            let scenario = read(&Texts {
                job,
                lathe,
                ..texts
            })?;
            let study = Study::new(&scenario, &setups, options(seed)).map_err(told)?;
            written(&study.trials(from..to))
        }
        Question::Gather {
            texts,
            trials,
            seed,
        } => {
            let mut gathered = Gathered::new(setups(&read(&texts)?).len());
            trials.iter().for_each(|trial| gathered.add(trial));
            written(&gathered.outlook(seed, 0.95).map_err(told)?)
        }
        Question::Answer {
            texts,
            what,
            found,
            here,
            seed,
        } => {
            let held = read(&Texts {
                bare: false,
                ..texts.clone()
            })?;
            let scenarios = [&read(&texts)?, &held];
            let whose = (&texts, seed);
            written(&kept::answer(scenarios, whose, found, (what, here))?)
        }
        Question::Cut {
            texts,
            wanted,
            seed,
        } => written(&kept::cut(&read(&texts)?, (&texts, seed), &wanted)?),
        Question::Fields => written(&fields::all()),
        Question::Look { texts } => written(&looked(&texts)),
        Question::Edit { mut texts, put } => {
            for (file, path, typed) in put {
                let text = match file {
                    fields::File::Job => &mut texts.job,
                    fields::File::Lathe => &mut texts.lathe,
                };
                let is_list = fields::is_list(&path);
                *text = fields::put(text, &path, &typed, is_list)?;
            }
            written(&json!({ "job": texts.job, "lathe": texts.lathe }))
        }
        Question::Turned {
            texts,
            set,
            side,
            rotation,
        } => {
            let out = advised(&read(&texts)?, side, rotation).toward_in_x(true);
            let [job, lathe] = knobs::turn(&texts.job, &texts.lathe, &set, out)?;
            written(&json!({ "job": job, "lathe": lathe }))
        }
        Question::Form {
            of,
            units,
            job,
            lathe,
        } => {
            let (text, groups) = forms::blank(of, units.into(), [&job, &lathe])?;
            let values = forms::values(of, &text);
            written(&json!({ "text": text, "groups": groups, "values": values }))
        }
        Question::Fill { of, mut text, put } => {
            for (path, typed) in put {
                text = forms::put(of, &text, &path, &typed)?;
            }
            written(&json!({ "text": text, "values": forms::values(of, &text) }))
        }
        Question::Told {
            of,
            text,
            texts,
            seed,
        } => {
            let scenario = read(&texts);
            let own = scenario.as_ref().map_or(Units::Inch, |read| read.job.units);
            let units = texts.units.map_or(own, Units::from);
            written(&forms::told::told(
                of,
                &text,
                (scenario, &texts.lathe),
                (units, seed),
            ))
        }
        Question::Thread { texts, seed } => written(&threading(&read(&texts)?, options(seed))),
        Question::Readings { readings } => {
            let source = Source {
                name: "readings",
                text: &readings,
            };
            let (set, _) = decode_readings(source).map_err(|found| faults(&found))?;
            written(&evaluate(&set).map_err(told)?)
        }
    }
}

/// The way of this side and rotation whose tool cuts; its feed is either.
fn advised(scenario: &Scenario, side: SideOfWork, rotation: Turning) -> Setup {
    let work = &scenario.job.work;
    let (side, rotation) = (
        match side {
            SideOfWork::Front => Side::Front,
            SideOfWork::Rear => Side::Rear,
        },
        match rotation {
            Turning::Forward => Rotation::Forward,
            Turning::Reverse => Rotation::Reverse,
        },
    );
    let up = Setup {
        kind: work.kind,
        big_end: work.big_end,
        side,
        feed: Feed::Headstock,
        rotation,
        face: Face::Up,
    };
    if up.cuts() {
        up
    } else {
        Setup {
            face: Face::Down,
            ..up
        }
    }
}

fn read(texts: &Texts) -> Result<Scenario, String> {
    let source = |name, text| Source { name, text };
    let read = decode(source("job", &texts.job), source("lathe", &texts.lathe));
    let mut scenario = read
        .map(|(scenario, _)| scenario)
        .map_err(|found| faults(&found))?;
    if let Some(units) = texts.units {
        scenario.job.units = units.into();
    }
    Ok(match texts.bare {
        true => hold::bare(&scenario),
        false => scenario,
    })
}

/// What stands in the texts, and what is wrong with them.
fn looked(texts: &Texts) -> Value {
    let source = |name, text| Source { name, text };
    let (scenario, found) = match decode(source("job", &texts.job), source("lathe", &texts.lathe)) {
        Ok((scenario, found)) => (Some(scenario), found),
        Err(found) => (None, found),
    };
    let advised = scenario.as_ref().map(|scenario| {
        json!({
            "name": scenario.job.name,
            "lathe": scenario.lathe.name,
            "units": scenario.job.units,
            "fitted": scenario.lathe.attachment.fitted,
            "condition": scenario.lathe.condition,
        })
    });
    json!({
        "job": fields::values(&texts.job),
        "lathe": fields::values(&texts.lathe),
        "faults": fields::faults(&found, &texts.job, &texts.lathe),
        "reads": advised,
        "threaded": scenario.as_ref().is_some_and(|scenario| cut_of(scenario).is_some()),
    })
}

/// What is wrong, a line each.
fn faults(found: &[Diagnostic]) -> String {
    let wrong = found.iter().filter(|one| one.severity == Severity::Error);
    let lines: Vec<&str> = wrong.map(|one| one.message.as_str()).collect();
    lines.join("\n")
}

fn setups(scenario: &Scenario) -> Vec<Setup> {
    let work = &scenario.job.work;
    let mut setups = Setup::all(work.kind, work.big_end);
    setups.retain(Setup::cuts);
    setups
}

fn told(why: impl std::fmt::Debug) -> String {
    format!("{why:?}")
}

fn written(record: &impl Serialize) -> Result<String, String> {
    serde_json::to_string(record).map_err(told)
}
