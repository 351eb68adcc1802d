//! The worked examples with lines lost, doubled, moved or brought in from each other: the decoder
//! always comes back, and what it lets pass can be run.

use std::sync::{Mutex, PoisonError};

use crate::given::worked::{folder, text};
use proptest::prelude::*;
use proptest::test_runner::TestRunner;
use tautway_sim::compare::compare;
use tautway_sim::cut::Options;
use tautway_sim::scenario::{Scenario, Source, decode, lathe_named_in};

/// Comparisons are dear: no more than these are run.
const RUNS: usize = 12;

/// What was run already, not to run it again.
static DONE: Mutex<Vec<String>> = Mutex::new(Vec::new());

/// Every job with its lathe, as text.
fn pairs() -> Vec<[String; 2]> {
    let mut names: Vec<String> = std::fs::read_dir(folder())
        .expect("scenarios")
        .map(|entry| entry.expect("an entry").file_name().display().to_string())
        .filter(|name| name.ends_with(".toml") && text(name).contains("[work]"))
        .collect();
    names.sort();
    assert!(names.len() > 10);
    let lathe = |job: &str| {
        lathe_named_in(Source {
            name: "job",
            text: job,
        })
        .expect("a lathe")
    };
    names
        .iter()
        .map(|name| text(name))
        .map(|job| [job.clone(), text(&lathe(&job))])
        .collect()
}

/// What happens to a line.
#[derive(Clone, Debug)]
enum Change {
    Lost(usize),
    Doubled(usize),
    Swapped(usize, usize),
    /// The line of another file in its place.
    Brought(usize, usize, usize),
    /// The end of it cut off.
    Short(usize, usize),
}

fn change() -> impl Strategy<Value = Change> {
    let any = any::<usize>;
    prop_oneof![
        3 => any().prop_map(Change::Lost),
        1 => any().prop_map(Change::Doubled),
        2 => (any(), any()).prop_map(|(a, b)| Change::Swapped(a, b)),
        2 => (any(), any(), any()).prop_map(|(a, b, c)| Change::Brought(a, b, c)),
        1 => (any(), any()).prop_map(|(a, b)| Change::Short(a, b)),
    ]
}

fn changed(text: &str, others: &[[String; 2]], which: usize, changes: &[Change]) -> String {
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    for change in changes {
        let count = lines.len();
        if count < 2 {
            break;
        }
        match *change {
            Change::Lost(a) => drop(lines.remove(a % count)),
            Change::Doubled(a) => lines.insert(a % count, lines[a % count].clone()),
            Change::Swapped(a, b) => lines.swap(a % count, b % count),
            Change::Brought(a, b, c) => {
                let other: Vec<&str> = others[b % others.len()][which].lines().collect();
                lines[a % count] = other[c % other.len()].to_owned();
            }
            Change::Short(a, b) => {
                let line = &mut lines[a % count];
                let ends: Vec<usize> = line.char_indices().map(|(at, _)| at).collect();
                if let Some(at) = ends.get(b % ends.len().max(1)) {
                    line.truncate(*at);
                }
            }
        }
    }
    lines.join("\n")
}

fn read(job: &str, lathe: &str) -> Option<Scenario> {
    let source = |name, text| Source { name, text };
    match decode(source("job", job), source("lathe", lathe)) {
        Ok((scenario, _)) => Some(scenario),
        Err(found) => {
            for fault in found {
                let text = if fault.file == "job" { job } else { lathe };
                assert!(text.get(fault.span.clone()).is_some(), "{fault:?}");
            }
            None
        }
    }
}

/// What is wrong with a mutated pair.
fn looked_at(job: &str, lathe: &str) -> Result<(), TestCaseError> {
    let Some(scenario) = read(job, lathe) else {
        return Ok(());
    };
    let told = format!("{scenario:?}");
    prop_assert!(!told.contains("NaN"), "{told}\n{job}\n{lathe}");
    {
        let mut done = DONE.lock().unwrap_or_else(PoisonError::into_inner);
        if done.len() >= RUNS || done.contains(&told) {
            return Ok(());
        }
        done.push(told);
    }
    let found = format!("{:?}", compare(&scenario, Options::default()));
    let at = found
        .find("NaN")
        .map(|at| &found[at.saturating_sub(300)..at + 3]);
    prop_assert!(at.is_none(), "{at:?} of\n{job}\n{lathe}");
    Ok(())
}

#[test]
fn what_passes_the_decoder_runs_and_every_number_of_it_is_one() {
    let pairs = pairs();
    let config = ProptestConfig {
        failure_persistence: None,
        ..ProptestConfig::with_cases(1500)
    };
    let changes = (
        any::<usize>(),
        prop::collection::vec(change(), 0..4),
        prop::collection::vec(change(), 0..3),
    );
    let ran = TestRunner::new(config).run(&changes, |(pair, of_job, of_lathe)| {
        let [job, lathe] = &pairs[pair % pairs.len()];
        let job = changed(job, &pairs, 0, &of_job);
        let lathe = changed(lathe, &pairs, 1, &of_lathe);
        looked_at(&job, &lathe)
    });
    if let Err(why) = ran {
        panic!("{why}");
    }
    let done = DONE.lock().unwrap_or_else(PoisonError::into_inner).len();
    assert_eq!(done, RUNS, "too few were right");
}
