//! The engine as a browser has it: question, lathe and job in, the record's bytes out, nothing imported.

use std::cell::RefCell;

use serde::Serialize;
use tautway_sim::compare::{compare, way};
use tautway_sim::cut::Options;
use tautway_sim::motion::motion;
use tautway_sim::readings::evaluate;
use tautway_sim::scenario::{Scenario, Source, decode, decode_readings};
use tautway_sim::setup::Setup;
use tautway_sim::study::{Gathered, Study};
use tautway_sim::thread::threading;

/// Answers one question on a job and its lathe:
///
/// - `ways SEED`: all ways, with the attachment and without;
/// - `way NUMBER SEED`: one way alone, and its moving picture;
/// - `trials FROM TO SEED`: trials of all ways that can be cut, and what they come to;
/// - `thread SEED`: the job's thread, every way;
/// - `readings`: readings of carriage and slide, in the job's place.
///
/// # Errors
/// What is wrong with the question or the texts, in words.
pub fn answer(question: &str, lathe: &str, job: &str) -> Result<String, String> {
    let mut words = question.split(' ');
    let what = words.next().unwrap_or_default();
    let numbers: Vec<u64> = words
        .map(|word| word.parse().map_err(|_| format!("{word} is no number")))
        .collect::<Result<_, _>>()?;
    let source = |name, text| Source { name, text };
    if what == "readings" {
        let (set, _) = decode_readings(source("readings", job)).map_err(told)?;
        return written(&evaluate(&set).map_err(|why| format!("{why:?}"))?);
    }
    let (scenario, _) = decode(source("job", job), source("lathe", lathe)).map_err(told)?;
    let options = |seed| Options {
        seed,
        ..Options::default()
    };
    match (what, numbers.as_slice()) {
        ("ways", &[seed]) => written(&compare(&scenario, options(seed))),
        ("way", &[number, seed]) => {
            let setup = *setups(&scenario)
                .get(number as usize)
                .ok_or("there is no such way")?;
            let way = way(&scenario, setup, Vec::new(), Vec::new(), options(seed));
            let run = way.run.as_ref();
            let frames = run.and_then(|run| motion(&scenario, run, options(seed)));
            written(&(&way, frames))
        }
        ("trials", &[from, to, seed]) => {
            let setups = setups(&scenario);
            let study = Study::new(&scenario, &setups, options(seed)).map_err(told)?;
            let trials = study.trials(from..to);
            let mut gathered = Gathered::new(setups.len());
            trials.iter().for_each(|trial| gathered.add(trial));
            written(&(&trials, gathered.outlook(seed, 0.95).map_err(told)?))
        }
        ("thread", &[seed]) => written(&threading(&scenario, options(seed))),
        _ => Err(format!("{question} is no question")),
    }
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

thread_local! {
    /// The question with its texts, nothing between them but a zero; then the answer.
    static TEXT: RefCell<Vec<u8>> = const { RefCell::new(Vec::new()) };
}

/// Appends a byte of the question.
#[unsafe(no_mangle)]
pub extern "C" fn put(byte: u32) {
    TEXT.with_borrow_mut(|text| text.push(byte as u8));
}

/// Puts the answer in the question's place and tells how many bytes it has.
#[unsafe(no_mangle)]
pub extern "C" fn ask() -> usize {
    TEXT.with_borrow_mut(|text| {
        let asked = String::from_utf8_lossy(text).into_owned();
        let parts: Vec<&str> = asked.split('\0').collect();
        let found = match parts[..] {
            [question, lathe, job] => answer(question, lathe, job),
            _ => Err("three texts are wanted".to_owned()),
        };
        *text = found.unwrap_or_else(|why| format!("error: {why}")).into();
        text.len()
    })
}

/// A byte of the answer.
#[unsafe(no_mangle)]
pub extern "C" fn get(place: usize) -> u32 {
    TEXT.with_borrow(|text| text.get(place).copied().unwrap_or_default().into())
}

/// Forgets the answer.
#[unsafe(no_mangle)]
pub extern "C" fn clear() {
    TEXT.with_borrow_mut(Vec::clear);
}
