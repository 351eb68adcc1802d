//! What a job takes over by name: a standard taper, its ends and thread, a material, a start.

use tautway_sim::quantity::Quantity;
use tautway_sim::scenario::{Kind, Severity, StartSurface, ThreadEnd};

use crate::given::scenario_texts::{INCH, JOB, LATHE, decode_pair, decoded, faults, near};

fn with(text: &str, from: &str, to: &str) -> String {
    assert!(text.contains(from), "{from}");
    text.replace(from, to)
}

/// The job without the lines that begin so.
fn without(text: &str, keys: &[&str]) -> String {
    text.lines()
        .filter(|line| !keys.iter().any(|key| line.starts_with(&format!("{key} ="))))
        .map(|line| format!("{line}\n"))
        .collect()
}

const OF_THE_STANDARD: &[&str] = &[
    "length",
    "diameter",
    "gauge_plane",
    "tolerance",
    "size_tolerance",
    "start",
    "bar",
    "from_jaws",
];

fn pipe(taper: &str, kind: &str) -> String {
    let job = without(JOB, OF_THE_STANDARD);
    let job = with(&job, "taper = \"2 in/ft\"", &format!("taper = \"{taper}\""));
    with(&job, "kind = \"inside\"", &format!("kind = \"{kind}\""))
}

#[test]
fn standard_tapers_are_known_by_name_in_a_job() {
    for (name, rate) in [
        ("Morse 3", 0.60235),
        ("No. 3 Morse", 0.60235),
        ("#3 Morse", 0.60235),
        ("3MT", 0.60235),
        ("MT3", 0.60235),
        ("Jacobs 6", 0.62292),
        ("7:24 No. 40", 3.5),
        ("R8", 3.554_713),
        ("BSPT 1-1/2", 0.75),
        ("Jarno 10", 0.6),
    ] {
        let job = with(JOB, "taper = \"2 in/ft\"", &format!("taper = \"{name}\""));
        let job = with(&job, "+0.000 -0.030 in/ft", "+0.000 -0.010 in/ft");
        let job = with(&job, "2.400 in", "1.500 in");
        let (scenario, _) = decode_pair(&job, LATHE).unwrap_or_else(|f| panic!("{name}: {f:#?}"));
        let read = scenario.job.work.taper;
        let rate = rate / 12.0;
        assert!(
            (tautway_sim::quantity::Quantity::si(read) - rate).abs() < 1e-6,
            "{name}"
        );
    }
}

/// ASME B1.20.1, 1-1/2 in: E0 1.79609, threads 0.8 of the pitch high, L2 0.7235, L1 0.420.
#[test]
fn a_pipe_thread_brings_its_crests_its_length_and_where_it_runs_out() {
    let (scenario, found) = decoded(&pipe("pipe thread 1-1/2", "outside"), LATHE);
    let work = &scenario.job.work;
    near(work.taper.si(), 1.0 / 16.0);
    let high = 0.8 / 11.5;
    let close = |si: f64, inch: f64| assert!((si / INCH - inch).abs() < 6e-5, "{}", si / INCH);
    close(work.diameter.si(), 1.79609 + high);
    close(work.length.si(), 0.7235);
    assert_eq!(work.gauge_plane, work.length, "measured at the small end");
    let cut = scenario.job.thread.expect("a thread").cut.expect("cut");
    near(cut.lead.si(), INCH / 11.5);
    assert_eq!(cut.form.name, "taper pipe");
    // Its big end is toward the tailstock in this job: there it runs out into the pipe.
    assert_eq!(cut.tailstock_end, ThreadEnd::RunsOut);
    assert_eq!(cut.headstock_end, ThreadEnd::Open);
    let told: Vec<_> = found
        .iter()
        .filter(|d| d.severity == Severity::Note)
        .collect();
    assert_eq!(told.len(), 2, "{found:#?}");
    assert!(
        told.iter()
            .all(|d| d.message.contains("ASME B1.20.1, from memory"))
    );

    let bore = "bar = { diameter = \"1 in\", stick_out = \"3 in\" }\n";
    let inside = with(
        &pipe("pipe thread 1-1/2", "inside"),
        "[tool]\n",
        &format!("[tool]\n{bore}"),
    );
    let (scenario, _) = decoded(&inside, LATHE);
    let work = &scenario.job.work;
    assert_eq!(work.kind, Kind::Inside);
    close(work.diameter.si(), 1.79609 + 0.42 / 16.0 - high);
    close(work.length.si(), 0.42 + 3.0 / 11.5);
    let cut = scenario.job.thread.expect("a thread").cut.expect("cut");
    assert_eq!(cut.headstock_end, ThreadEnd::RunsOut);
}

/// ISO 7-1, 1-1/2: 47.803 mm at the gauge plane 12.7 mm in, 11 threads an inch.
#[test]
fn a_metric_pipe_thread_does_too_and_what_is_given_counts() {
    let (scenario, _) = decoded(&pipe("BSPT 1-1/2", "outside"), LATHE);
    near(
        scenario.job.work.diameter.si(),
        (47.803 - 12.7 / 16.0) * 1e-3,
    );
    let cut = scenario.job.thread.expect("a thread").cut.expect("cut");
    assert_eq!(cut.form.name, "55 degree rounded");
    near(cut.lead.si(), INCH / 11.0);
    let own = with(
        &pipe("BSPT 1-1/2", "outside"),
        "material",
        "length = \"1 in\"\ndiameter = \"1.9 in\"\nmaterial",
    );
    let (scenario, _) = decoded(&own, LATHE);
    near(scenario.job.work.length.si(), INCH);
    near(scenario.job.work.diameter.si(), 1.9 * INCH);
    assert_eq!(scenario.job.work.gauge_plane.si(), 0.0, "at the big end");
}

#[test]
fn a_socket_of_a_named_taper_has_its_big_end_and_one_without_an_end_wants_it() {
    let bar = "[tool]\nbar = { diameter = \"1/2 in\", stick_out = \"4 in\" }\n";
    let socket = |taper| with(&pipe(taper, "inside"), "[tool]\n", bar);
    let (scenario, _) = decoded(&socket("Morse 3"), LATHE);
    near(scenario.job.work.diameter.si(), 0.938 * INCH);
    near(scenario.job.work.length.si(), 3.1875 * INCH);
    assert!(scenario.job.thread.is_none());
    let missing = faults(&socket("R8"), LATHE);
    assert!(
        missing
            .iter()
            .any(|d| d.message.contains("`length` is missing"))
    );
    let missing = faults(&socket("7:24"), LATHE);
    assert_eq!(
        missing
            .iter()
            .filter(|d| d.message.contains("is missing"))
            .count(),
        2
    );
}

#[test]
fn materials_go_by_their_usual_names() {
    for (said, row) in [
        ("mild steel", "1018"),
        ("CRS", "1018"),
        ("C45", "1045"),
        ("EN8", "1045"),
        ("chromoly", "4140 annealed"),
        ("prehard", "4140 30 HRC"),
        ("stainless steel", "304"),
        ("cast iron", "grey iron"),
        ("SG iron", "ductile iron"),
        ("Aluminum", "6061"),
        ("brass", "360 brass"),
        ("gunmetal", "bronze"),
    ] {
        let job = with(JOB, "4140 30 HRC", said);
        let (scenario, _) = decode_pair(&job, LATHE).unwrap_or_else(|f| panic!("{said}: {f:#?}"));
        assert_eq!(scenario.job.work.material, row, "{said}");
    }
}

#[test]
fn a_start_is_as_found() {
    for (said, run_out) in [
        ("worn seat", 0.003),
        ("cast", 0.040),
        ("flame cut", 0.060),
        ("4 jaw", 0.001),
        ("cold drawn", 0.003),
        ("hot rolled", 0.015),
    ] {
        let job = with(JOB, "turned in this setting", said);
        let (scenario, _) = decoded(&job, LATHE);
        near(scenario.job.work.run_out.si(), run_out * INCH);
    }
    let tapered = |text: &str| {
        with(
            JOB,
            "start = { straight = \"2.400 in\" }",
            &format!("start = {{ {text} }}"),
        )
    };
    // A bore of 1.5 in/ft opened to 2: 0.05 in per side at the big end, 0.0125 less over 3 in.
    let (scenario, _) = decoded(
        &tapered("taper = \"1.5 in/ft\", diameter = \"2.850 in\""),
        LATHE,
    );
    let StartSurface::Tapered { taper, .. } = scenario.job.work.start else {
        panic!("a taper");
    };
    near(taper.si(), 1.5 / 12.0);
    let [at_big, at_small] = scenario.job.work.stock_at_ends();
    near(at_big, 0.075 * INCH);
    near(at_small, 0.0125 * INCH);
    for (text, says) in [
        ("taper = \"1.5 in/ft\"", "`diameter` is missing"),
        ("diameter = \"2.9 in\"", "`taper` is missing"),
        (
            "taper = \"1.0 in/ft\", diameter = \"2.850 in\"",
            "leaves nothing to cut at the small end",
        ),
        (
            "taper = \"1.5 in/ft\", diameter = \"2.850 in\", roughed = \"0.02 in\"",
            "should say one thing",
        ),
    ] {
        let told = faults(&tapered(text), LATHE);
        assert!(
            told.iter().any(|d| d.message.contains(says)),
            "{text}: {told:#?}"
        );
    }
}
