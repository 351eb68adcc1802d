//! Questions and their answers, both JSON.

use serde::{Deserialize, Serialize};
use tautway_sim::compare::{compare, way};
use tautway_sim::cut::Options;
use tautway_sim::motion::motion;
use tautway_sim::readings::evaluate;
use tautway_sim::scenario::{Diagnostic, Scenario, Severity, Source, decode, decode_readings};
use tautway_sim::setup::{Face, Feed, Rotation, Setup, Side};
use tautway_sim::study::{Gathered, Study, Trial};
use tautway_sim::thread::threading;

use crate::bench::{Bench, both};
use crate::knobs;

/// What is asked of a job and its lathe.
#[derive(Clone, Debug, PartialEq, Deserialize, Serialize)]
#[serde(tag = "ask", rename_all = "kebab-case", deny_unknown_fields)]
pub enum Question {
    /// Both cuts of the bench with knobs turned.
    Bench {
        /// The texts.
        #[serde(flatten)]
        texts: Texts,
        /// Knobs turned, in order: name and what is typed.
        #[serde(default)]
        set: Vec<(String, String)>,
        /// From which side it is cut.
        side: SideOfWork,
        /// How the spindle turns.
        rotation: Turning,
        /// One of them alone, 0 or 1, for two workers to share.
        #[serde(default)]
        only: Option<usize>,
        /// The work's luck.
        seed: u64,
    },
    /// All ways, with the attachment and without.
    Ways {
        /// The texts.
        #[serde(flatten)]
        texts: Texts,
        /// The work's luck.
        seed: u64,
    },
    /// One way alone, and its moving picture.
    Way {
        /// The texts.
        #[serde(flatten)]
        texts: Texts,
        /// Its place among those that cut.
        number: usize,
        /// The work's luck.
        seed: u64,
    },
    /// Lathes like the one described, from this one to before that one: for every way that cuts, or
    /// for the bench's two.
    Lathes {
        /// The texts.
        #[serde(flatten)]
        texts: Texts,
        /// Knobs turned.
        #[serde(default)]
        set: Vec<(String, String)>,
        /// Side and rotation of the bench; none for every way.
        #[serde(default)]
        bench: Option<(SideOfWork, Turning)>,
        /// The first.
        from: u64,
        /// After the last.
        to: u64,
        /// The draws' luck.
        seed: u64,
    },
    /// What lathes tried in pieces come to.
    Gather {
        /// The texts.
        #[serde(flatten)]
        texts: Texts,
        /// The trials, in order.
        trials: Vec<Trial>,
        /// The draws' luck.
        seed: u64,
    },
    /// The job's thread, every way.
    Thread {
        /// The texts.
        #[serde(flatten)]
        texts: Texts,
        /// The work's luck.
        seed: u64,
    },
    /// Readings of carriage and slide.
    Readings {
        /// The text.
        readings: String,
    },
}

/// Job and lathe as a person wrote them.
#[derive(Clone, Debug, PartialEq, Deserialize, Serialize)]
pub struct Texts {
    /// The job.
    pub job: String,
    /// The lathe.
    pub lathe: String,
}

impl From<Side> for SideOfWork {
    fn from(side: Side) -> Self {
        match side {
            Side::Front => Self::Front,
            Side::Rear => Self::Rear,
        }
    }
}

impl From<Rotation> for Turning {
    fn from(rotation: Rotation) -> Self {
        match rotation {
            Rotation::Forward => Self::Forward,
            Rotation::Reverse => Self::Reverse,
        }
    }
}

/// A [`Side`] as it is asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum SideOfWork {
    /// The operator's.
    Front,
    /// The far one.
    Rear,
}

/// A [`Rotation`] as it is asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Turning {
    /// The ordinary way.
    Forward,
    /// Reversed.
    Reverse,
}

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
            let setup = advised(&read, side, rotation);
            let out = setup.toward_in_x(true);
            let [job, lathe] = knobs::turn(&texts.job, &texts.lathe, &set, out)?;
            let turned = self::read(&Texts { job, lathe })?;
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
            let scenario = read(&Texts { job, lathe })?;
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
    read.map(|(scenario, _)| scenario)
        .map_err(|found| faults(&found))
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
