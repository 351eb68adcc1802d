//! Numbers that are odd alone or beside another, and files that are odd as a whole.

use std::time::Instant;

use tautway_sim::scenario::{Diagnostic, Severity, Source, decode_lathe};

use crate::given::scenario_texts::{JOB, LATHE, decode_pair};

fn found(job: &str, lathe: &str) -> Vec<Diagnostic> {
    decode_pair(job, lathe).map_or_else(|found| found, |(_, found)| found)
}

fn with(text: &str, from: &str, to: &str) -> String {
    assert!(text.contains(from), "{from}");
    text.replace(from, to)
}

/// What is said of a changed job, and what it points at.
#[track_caller]
fn said(from: &str, to: &str) -> Vec<(Severity, String, String)> {
    let job = with(JOB, from, to);
    found(&job, LATHE)
        .into_iter()
        .map(|d| (d.severity, d.message, d.hint))
        .collect()
}

#[test]
fn a_slipped_unit_is_named() {
    for (from, to, meant) in [
        (
            "diameter = \"1-1/4 in\"",
            "diameter = \"1-1/4 mm\"",
            "did you mean 1-1/4 in?",
        ),
        (
            "length = \"3 in\"",
            "length = \"3 thou\"",
            "did you mean 3 in",
        ),
        (
            "feed = \"0.005 in\"",
            "feed = \"0.005 mm\"",
            "did you mean 0.005 in?",
        ),
        (
            "nose_radius = \"1/32 in\"",
            "nose_radius = \"0.8 in\"",
            "did you mean 0.8 mm?",
        ),
    ] {
        let said = said(from, to);
        assert!(
            said.iter().any(|(_, _, hint)| hint.contains(meant)),
            "{to}: {said:#?}"
        );
    }
}

#[test]
fn what_can_t_be_is_refused_with_the_reason() {
    for (from, to, message, hint) in [
        (
            "speed = \"250 sfm\"",
            "speed = \"1e160 rpm\"",
            "`passes.speed` can't be",
            "holds together",
        ),
        (
            "shape = \"80 degree diamond\"",
            "entering_angle = \"0.000001 deg\"",
            "`tool.entering_angle` can't be",
            "lie along the work",
        ),
        (
            "stick_out = \"6 in\"",
            "stick_out = \"40 in\"",
            "sticks out 32.0 times",
            "no bar that long",
        ),
        (
            "length = \"3 in\"",
            "length = \"3 thou\"",
            "`work.length` can't be",
            "no lathe",
        ),
    ] {
        let said = said(from, to);
        let one = said.iter().find(|(_, m, _)| m.contains(message));
        let (severity, _, why) = one.unwrap_or_else(|| panic!("{to}: {said:#?}"));
        assert_eq!(*severity, Severity::Error);
        assert!(why.contains(hint), "{why}");
    }
}

#[test]
fn numbers_that_do_not_go_together_are_doubted() {
    for (from, to, message) in [
        (
            "stick_out = \"6 in\"",
            "stick_out = \"7 in\"",
            "sticks out 5.6 times",
        ),
        (
            "finish = [\"0.010 in\", \"0.005 in\"]",
            "finish = \"0.0002 in\"",
            "is very little",
        ),
        ("speed = \"250 sfm\"", "speed = \"2900 rpm\"", "very fast"),
        (
            "speed = \"250 sfm\"",
            "speed = \"0.3 m/min\"",
            "is very little",
        ),
        (
            "size_tolerance = \"+-0.005 in\"",
            "size_tolerance = \"+-0.0001 in\"",
            "can't tell",
        ),
        (
            "held = \"chuck\"",
            "held = \"chuck\"\noutside_diameter = \"30 in\"",
            "many times as thick",
        ),
        (
            "from_jaws = \"1 in\"",
            "from_jaws = \"95 in\"",
            "times the length",
        ),
        (
            "feed = \"0.005 in\"",
            "feed = \"0.127 mm\"",
            "the rest of the file in inches",
        ),
        (
            "[passes]",
            "[preload]\ntoward = \"away\"\nweight = \"0.5 lbf\"\n[passes]",
            "out of proportion",
        ),
    ] {
        let said = said(from, to);
        let one = said.iter().find(|(_, m, _)| m.contains(message));
        let (severity, ..) = one.unwrap_or_else(|| panic!("{to}: {said:#?}"));
        assert_eq!(*severity, Severity::Warning, "{to}");
    }
    // Carbide stands further out.
    let carbide = said(
        "stick_out = \"6 in\"",
        "stick_out = \"8 in\", material = \"carbide\"",
    );
    assert!(carbide.is_empty(), "{carbide:#?}");
    // A finer dial than the pass is needed to set it.
    let coarse = with(LATHE, "step = \"0.0005 in\"", "step = \"0.005 in\"");
    let job = with(
        JOB,
        "\"0.010 in\", \"0.005 in\"",
        "\"0.010 in\", \"0.002 in\"",
    );
    let told = found(&job, &coarse);
    assert!(
        told.iter().any(|d| d.message.contains("less than a step")),
        "{told:#?}"
    );
    // The lathe alone.
    let heavy = with(
        LATHE,
        "drag = \"14 lbf to 22 lbf\"",
        "drag = \"14 lbf\"\nweight = \"3 lbf\"",
    );
    let source = Source {
        name: "lathe",
        text: &heavy,
    };
    let (_, told) = decode_lathe(source).expect("it can be");
    assert!(
        told.iter().any(|d| d.message.contains("slide's weight")),
        "{told:#?}"
    );
}

#[test]
fn what_is_meant_is_not_doubted_and_still_refused_where_it_can_t_be() {
    let long = with(JOB, "stick_out = \"6 in\"", "stick_out = \"8 in\"");
    assert_eq!(found(&long, LATHE).len(), 1);
    let meant = format!("meant = [\"tool.bar.stick_out\"]\n{long}");
    assert_eq!(found(&meant, LATHE), []);
    let longer = with(&meant, "stick_out = \"8 in\"", "stick_out = \"80 in\"");
    assert!(
        found(&longer, LATHE)
            .iter()
            .any(|d| d.severity == Severity::Error)
    );
    for (line, says) in [
        ("meant = [\"tool.bar.length\"]\n", "is not in this file"),
        ("meant = \"tool.bar.stick_out\"\n", "should be a list"),
        ("meant = [3]\n", "should be a list"),
    ] {
        let told = found(&format!("{line}{long}"), LATHE);
        assert!(
            told.iter().any(|d| d.message.contains(says)),
            "{line}: {told:#?}"
        );
    }
}

#[test]
fn names_that_can_t_be_shown_are_refused() {
    for (name, says) in [
        ("\"a\\u001b[31mb\"", "can't be shown"),
        ("\"a\\u202eb\"", "can't be shown"),
        ("\"two\\nlines\"", "can't be shown"),
        (&format!("\"{}\"", "n".repeat(201)), "201 characters"),
    ] {
        let job = with(
            JOB,
            "name = \"bore of a tapered coupling\"",
            &format!("name = {name}"),
        );
        let told = found(&job, LATHE);
        assert_eq!(told.len(), 1, "{told:#?}");
        assert!(told[0].message.contains(says), "{told:#?}");
    }
    let long = format!("name = \"{}\"", "é".repeat(200));
    let job = with(JOB, "name = \"bore of a tapered coupling\"", &long);
    assert_eq!(found(&job, LATHE), []);
}

/// Texts of twice the size take some twice the time, not four times: no seconds are asserted,
/// only that a large one ends before the tests are given up.
#[test]
fn large_and_deep_texts_are_read_through() {
    let began = Instant::now();
    for large in [
        "x = 3 in\n".repeat(60_000),
        "no key at all\n".repeat(50_000),
        (0..40_000)
            .map(|n| format!("key{n} = \"1 in\"\n"))
            .collect(),
        format!("a = {}", "[".repeat(300_000)),
        format!("a = {}{}", "[".repeat(200), "]".repeat(200)),
        "[a]\n".repeat(100_000),
        "=".repeat(500_000),
        format!("meant = [{}]\n", "\"work.length\", ".repeat(30_000)),
    ] {
        let told = found(&large, LATHE);
        assert!(!told.is_empty());
        assert!(
            told.iter()
                .all(|d| large.get(d.span.clone()).is_some() || d.file != "job.toml")
        );
        println!("{} bytes: {:?}", large.len(), began.elapsed());
    }
}

/// Of brackets within brackets the line is told that has them, and the rest is read all the same.
#[test]
fn a_fault_of_deep_nesting_stands_at_its_line() {
    let line = LATHE.lines().count() + 1;
    for deep in [
        format!("deep = {}{}", "[".repeat(200), "]".repeat(200)),
        format!("deep = {}", "[".repeat(5000)),
        format!("deep = {}1{}", "{ a = ".repeat(150), " }".repeat(150)),
    ] {
        let text = format!("{LATHE}{deep}\n[work]\n");
        let source = Source {
            name: "lathe",
            text: &text,
        };
        let told = decode_lathe(source).expect_err("too deep");
        let lines: Vec<usize> = told.iter().map(|d| d.line(&text)).collect();
        assert!(lines.contains(&line), "{}: {lines:?}", &deep[..20]);
        assert!(
            lines.iter().all(|at| (line..=line + 1).contains(at)),
            "{lines:?}"
        );
    }
}
