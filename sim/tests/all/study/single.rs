//! A trial by itself is the trial in its group: a single run of its lathe gives every number of the
//! record to the last bit.

use tautway_sim::cut::{BATCH, Operation, Options};
use tautway_sim::measure::{gauge, measure};
use tautway_sim::quantity::{Length, Quantity};
use tautway_sim::scenario::{Scenario, Source, StartSurface, lathe_named_in};
use tautway_sim::setup::Setup;
use tautway_sim::study::{PER_TURN, Study, Trial};
use tautway_sim::verdict::judge;

use crate::given::worked::{folder, scenario, text};

/// Every worked example of a job.
fn examples() -> Vec<String> {
    let files = std::fs::read_dir(folder()).expect("the worked examples");
    let names_a_lathe = |file: &String| {
        let text = text(file);
        let source = Source {
            name: file,
            text: &text,
        };
        file.ends_with(".toml") && lathe_named_in(source).is_ok()
    };
    let mut jobs: Vec<String> = files
        .map(|file| file.expect("a file"))
        .filter(|file| file.path().is_file())
        .map(|file| file.file_name().display().to_string())
        .filter(names_a_lathe)
        .collect();
    jobs.sort();
    jobs
}

fn on_threads<T: Send>(threads: usize, of: impl FnOnce() -> T + Send) -> T {
    let pool = rayon::ThreadPoolBuilder::new().num_threads(threads);
    pool.build().expect("threads").install(of)
}

/// The lathe of a trial, made to cut by itself as `predict --trial` has it.
fn by_itself(scenario: &Scenario, number: u64, study: &Study) -> (Scenario, u64) {
    let (mut drawn, luck) = study.scenario_of(number);
    let stock = scenario.job.passes.finish.iter().map(|set| set.si()).sum();
    drawn.job.work.start = StartSurface::Roughed {
        stock: Length::from_si(stock),
    };
    (drawn, luck)
}

fn is_the_same(file: &str, scenario: &Scenario, study: &Study, ways: &[Setup], trial: &Trial) {
    let (drawn, luck) = by_itself(scenario, trial.number, study);
    for (n, (setup, cut)) in ways.iter().zip(&trial.ways).enumerate() {
        let options = Options {
            per_turn: PER_TURN,
            seed: luck,
            run_in: study.run_in(n),
        };
        let operation = Operation::new(&drawn, *setup, options);
        let finished = operation.run();
        let (outcome, _) = measure(&drawn, setup, &operation, &finished);
        let what = (file, trial.number, setup);
        assert_eq!(outcome.measures, cut.measures, "{what:?}");
        assert_eq!(
            gauge(&drawn, setup, &operation, &finished),
            cut.measures,
            "{what:?}"
        );
        assert_eq!(
            judge(&drawn, setup, &outcome.measures),
            cut.verdict,
            "{what:?}"
        );
        let last = &finished.passes[finished.last_set];
        assert_eq!(last.taken, outcome.measures.taken, "{what:?}");
    }
}

#[test]
fn a_trial_by_itself_is_that_of_its_group_to_the_last_bit() {
    // The last of a block that isn't full, the first of one, and those beside the end of one.
    let last = BATCH as u64 + 3;
    let files = examples();
    assert!(files.len() > 12, "{files:?}");
    for file in files {
        let scenario = scenario(&file);
        let work = &scenario.job.work;
        let mut ways = Setup::all(work.kind, work.big_end);
        ways.retain(Setup::cuts);
        let options = Options {
            per_turn: PER_TURN,
            ..Options::default()
        };
        let study = Study::new(&scenario, &ways, options).expect("ranges to draw from");
        let groups = [1, 2, 7].map(|threads| on_threads(threads, || study.trials(1..last + 1)));
        assert_eq!(groups[0], groups[1], "{file}");
        assert_eq!(groups[0], groups[2], "{file}");
        for number in [1, 8, 9, last] {
            let trial = &groups[0][number as usize - 1];
            is_the_same(&file, &scenario, &study, &ways, trial);
        }
    }
}
