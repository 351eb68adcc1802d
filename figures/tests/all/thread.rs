//! The drawings of a thread: read, deterministic, told in the person's units, at extremes.

use std::path::Path;

use crate::records::check;
use tautway_figures::{thread_passes, thread_section};
use tautway_sim::cut::Options;
use tautway_sim::quantity::{INCH, Units};
use tautway_sim::scenario::{Scenario, Source, decode};
use tautway_sim::thread::{Threading, threading};

const THOU: f64 = 1e-3 * INCH;

fn text(file: &str) -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../scenarios")
        .join(file);
    std::fs::read_to_string(&path).unwrap_or_else(|why| panic!("{}: {why}", path.display()))
}

fn found(job: &str, lathe: &str, change: impl Fn(String) -> String) -> (Scenario, Threading) {
    let (job, lathe) = (change(text(job)), text(lathe));
    let source = |name, text| Source { name, text };
    let (scenario, _) = decode(source("job", &job), source("lathe", &lathe)).expect("a right pair");
    let found = threading(&scenario, Options::default()).expect("a thread");
    (scenario, found)
}

#[test]
fn drawings_of_a_thread_read_and_are_the_same_each_time() {
    for (job, lathe) in [
        ("pipe-nipple.toml", "toolroom-lathe.toml"),
        ("threaded-plug.toml", "worn-lathe.toml"),
        ("threaded-socket.toml", "worn-lathe.toml"),
    ] {
        let (scenario, all) = found(job, lathe, |job| job);
        let best = all.best().expect("a way");
        let run = best.run.as_ref().expect("it is cut");
        for units in [Units::Inch, Units::Metric] {
            for lean in [None, Some(0.031)] {
                let draw = || thread_section(&scenario.job.work, best, run, lean, units);
                check(&draw());
                assert_eq!(draw(), draw());
                assert_eq!(draw().caption.contains("Vermilion"), lean.is_some());
            }
            check(&thread_passes(run, units));
            assert_eq!(thread_passes(run, units), thread_passes(run, units));
        }
    }
}

#[test]
fn an_error_too_small_to_see_is_drawn_larger_and_says_so() {
    let (scenario, all) = found("threaded-plug.toml", "worn-lathe.toml", |job| job);
    let best = all.best().expect("a way");
    let mut run = best.run.clone().expect("it is cut");
    let caption =
        |run: &_| thread_section(&scenario.job.work, best, run, None, Units::Inch).caption;
    assert!(
        caption(&run).contains("times larger than life"),
        "{}",
        caption(&run)
    );
    // The run's own error, half a thou.
    let shallow = -run.by_dial.depth_error / THOU;
    assert!((shallow - 0.5).abs() < 0.05, "{shallow}");
    assert!(
        caption(&run).contains(&format!(", {shallow:.1} thou shallow")),
        "{}",
        caption(&run)
    );
    run.by_dial.depth_error = -0.5 * best.profile.depth;
    assert!(
        caption(&run).contains("drawn to scale"),
        "{}",
        caption(&run)
    );
    for extreme in [0.0, 1e-12, 1e3, -1e3, f64::NAN] {
        run.by_dial.depth_error = extreme;
        check(&thread_section(
            &scenario.job.work,
            best,
            &run,
            None,
            Units::Metric,
        ));
    }
}

#[test]
fn round_roots_and_a_single_pass_are_drawn_too() {
    let (scenario, all) = found("threaded-plug.toml", "worn-lathe.toml", |job| {
        job.replace("root_flat", "root_radius")
            .replace("passes = 14", "passes = 1")
    });
    let best = all.best().expect("a way");
    let run = best.run.as_ref().expect("it is cut");
    check(&thread_section(
        &scenario.job.work,
        best,
        run,
        None,
        Units::Inch,
    ));
    let passes = thread_passes(run, Units::Inch);
    check(&passes);
    assert!(
        passes
            .caption
            .contains("2 of them with the dial left alone"),
        "{}",
        passes.caption
    );
}
