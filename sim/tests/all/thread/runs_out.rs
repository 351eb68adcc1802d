//! Threads that run out in stock of their own diameter.

use crate::given::even_work::near;
use crate::given::worked::{scenario, text};
use tautway_sim::cut::Options;
use tautway_sim::quantity::{INCH, Quantity};
use tautway_sim::scenario::{Diagnostic, Scenario, Severity, Source, decode};
use tautway_sim::standard_taper::{FLAT_CRESTS, all};
use tautway_sim::thread::threading;

/// Outside diameters of pipe by its nominal size, in: ASME B36.10 (from memory).
const PIPES: [(&str, f64); 17] = [
    ("1/16", 0.3125),
    ("1/8", 0.405),
    ("1/4", 0.540),
    ("3/8", 0.675),
    ("1/2", 0.840),
    ("3/4", 1.050),
    ("1", 1.315),
    ("1-1/4", 1.660),
    ("1-1/2", 1.900),
    ("2", 2.375),
    ("2-1/2", 2.875),
    ("3", 3.500),
    ("3-1/2", 4.000),
    ("4", 4.500),
    ("5", 5.563),
    ("6", 6.625),
    ("8", 8.625),
];

#[test]
fn every_size_has_two_flat_crests_in_pipe_of_its_own_diameter_as_the_standard_counts() {
    // The effective length holds two usable threads that aren't full at the crest [ASME B1.20.1, from
    // memory]: the cone over the crests meets the pipe two threads before its end.
    for (size, pipe) in PIPES {
        let name = format!("pipe thread {size}");
        let all = all();
        let one = all.iter().find(|one| one.name == name).expect(size);
        let thread = one.thread.expect("a thread");
        let end = thread.crest + thread.length / 16.0;
        let flat = 16.0 * (end - pipe * INCH) / (INCH / thread.threads);
        near(flat, FLAT_CRESTS, 1e-6);
    }
}

fn with(start: &str) -> Result<(Scenario, Vec<Diagnostic>), Vec<Diagnostic>> {
    let job = text("hose-tail.toml").replacen("1.660 in", start, 1);
    let lathe = text("toolroom-lathe.toml");
    let source = |name, text| Source { name, text };
    decode(source("job", &job), source("lathe", &lathe))
}

#[test]
fn pipe_of_its_own_size_is_taken_thinner_is_doubted_and_much_thinner_refused() {
    let taken = with("1.660 in").expect("taken").1;
    assert!(taken.iter().all(|found| found.severity == Severity::Note));
    let doubted = with("1.655 in").expect("taken").1;
    assert!(doubted.iter().any(|found| {
        found.severity == Severity::Warning && found.message.contains("flat crests")
    }));
    let refused = with("1.640 in").expect_err("half of it uncut");
    assert!(refused.iter().any(|found| found.message.contains("uncut")));
}

#[test]
fn how_it_runs_out_is_in_the_record() {
    let (job, _) = with("1.660 in").expect("taken");
    let found = threading(&job, Options::default()).expect("a thread");
    let run_out = found.run_out.expect("it runs out");
    near(run_out.threads, 2.0, 1e-6);
    near(run_out.length, 2.0 / 11.5 * INCH, 1e-6);
    let full = scenario("pipe-nipple.toml");
    assert_eq!(full.job.work.thin_at_big_end(), 0.0);
    let plain = scenario("tapered-socket.toml");
    assert!(plain.job.work.taper.si() > 0.0 && plain.job.work.thin_at_big_end() == 0.0);
}
