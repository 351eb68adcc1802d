//! Faults in [thread] and [lead_screw]: each at its place, with what would be right.

use crate::given::worked::text;
use tautway_sim::quantity::Quantity;
use tautway_sim::scenario::{
    Diagnostic, Hand, Infeed, Lead, PassPlan, Root, Scenario, Severity, Source, decode,
};

const JOB: &str = "threaded-plug.toml";

fn decoded(job: &str, lathe: &str) -> Result<(Scenario, Vec<Diagnostic>), Vec<Diagnostic>> {
    let source = |name, text| Source { name, text };
    decode(source("job.toml", job), source("lathe.toml", lathe))
}

/// The plug with one line of it replaced.
fn with(from: &str, to: &str) -> String {
    let job = text(JOB);
    assert_eq!(job.matches(from).count(), 1, "{from}");
    job.replace(from, to)
}

/// The only thing found in a job: its severity, its whole message and what it points at.
fn only(job: &str) -> (Severity, String, String) {
    let found = match decoded(job, &text("worn-lathe.toml")) {
        Ok((_, warnings)) => warnings,
        Err(faults) => faults,
    };
    assert_eq!(found.len(), 1, "{found:#?}");
    let one = &found[0];
    let said = format!("{} | {} | {}", one.message, one.label, one.hint);
    (one.severity, said, job[one.span.clone()].to_owned())
}

fn fault(from: &str, to: &str, points_at: &str, says: &[&str]) {
    let (severity, said, at) = only(&with(from, to));
    assert_eq!(severity, Severity::Error, "{said}");
    // Quotes belong to the value or not, as the fault lies in the text or in its size.
    let bare = |text: &str| text.trim_matches('"').to_owned();
    assert_eq!(bare(&at), bare(points_at), "{said}");
    for part in says {
        assert!(said.contains(part), "no {part:?} in {said}");
    }
}

#[test]
fn each_fault_points_at_its_place_and_says_what_would_be_right() {
    let form = "form = \"60 degree\"";
    fault(
        form,
        "form = \"60 degre\"",
        "\"60 degre\"",
        &["60 degree", "did you mean"],
    );
    let threads = "threads_per_inch = 8";
    fault(
        threads,
        "threads_per_inch = \"eight\"",
        "eight",
        &["14", "11-1/2"],
    );
    fault(threads, "threads_per_inch = 0", "0", &["1/4 to 200"]);
    fault(
        threads,
        "threads_per_inch = 8\npitch = \"3 mm\"",
        "\"3 mm\"",
        &["both given", "leave out one"],
    );
    fault(threads, "pitch = \"3\"", "3", &["unit"]);
    fault(
        threads,
        "threads_per_inch = \"1/4\"",
        "\"1/4\"",
        &["shorter than one turn"],
    );
    let crest = "crest_flat = \"0.030 in\"";
    fault(
        crest,
        "crest_flat = \"0.120 in\"",
        "\"0.120 in\"",
        &["leave no thread"],
    );
    fault(crest, "crest_flat = \"-1 in\"", "-1 in", &["zero or more"]);
    fault(
        crest,
        "crest_flat = \"0.030 in\"\ndepth = \"0.2 in\"",
        "\"0.2 in\"",
        &["deeper than its flanks meet"],
    );
    fault(
        "root_flat = \"0.020 in\"",
        "root_flat = \"0.020 in\"\nroot_radius = \"0.01 in\"",
        "\"0.01 in\"",
        &["flat or round, not both"],
    );
    let passes = "passes = 14";
    fault(passes, "passes = 0", "0", &["from 1 to 60", "passes = 8"]);
    fault(passes, "passes = []", "[]", &["one pass at least"]);
    fault(
        passes,
        "passes = [\"0.010 in\", \"6\"]",
        "6",
        &["may be 6 in or 6 thou", "unit"],
    );
    fault(
        passes,
        "passes = [\"0.010 in\", \"0.006 in\"]",
        "[\"0.010 in\", \"0.006 in\"]",
        &["don't add up", "0.0160 in", "0.0649 in"],
    );
    fault(
        passes,
        "passes = 14\ninfeed_angle = \"29 deg\"",
        "\"29 deg\"",
        &["goes with an infeed along the flank"],
    );
    fault(
        passes,
        "passes = 14\ninfeed = \"along the flank\"\ninfeed_angle = \"31 deg\"",
        "\"31 deg\"",
        &["leans more than the flank", "30 deg"],
    );
    fault(
        passes,
        "passes = 14\nflank_angle = \"30 deg\"\nbig_end_flank = \"7 deg\"",
        "\"30 deg\"",
        &["either or"],
    );
    fault(passes, "passes = 14\ncrowding = 0.5", "0.5", &["1 or more"]);
    fault(passes, "pases = 14", "pases", &["passes"]);
    fault(
        "tailstock_end = \"open\"",
        "tailstock_end = \"shut\"",
        "\"shut\"",
        &["groove", "runs out"],
    );
    let lead = "lead_tolerance = \"0.0015 in/in\"";
    fault(
        lead,
        "lead_tolerance = \"0.0015\"",
        "0.0015",
        &["0.0015 in/in"],
    );
    fault(
        lead,
        "lead_tolerance = \"0.0015 in\"",
        "in",
        &["0.0015 in/in"],
    );
    fault(
        lead,
        "lead_tolerance = \"0.0015 in/in\"\ndog_reach = \"1 in\"",
        // What is missing is pointed at where it belongs.
        &text(JOB)[thread_table()],
        &["dog_radius"],
    );
}

/// Where the table stands.
fn thread_table() -> std::ops::Range<usize> {
    let job = text(JOB);
    let at = job.find("[thread]").expect("the table");
    at..at + "[thread]".len()
}

#[test]
fn nowhere_to_start_is_a_fault_of_the_ends() {
    let job = with("headstock_end = \"groove\"", "headstock_end = \"runs out\"")
        .replace("tailstock_end = \"open\"", "tailstock_end = \"runs out\"");
    let (_, said, _) = only(&job);
    assert!(said.contains("start at neither end"), "{said}");
}

#[test]
fn a_form_without_its_pitch_and_a_pitch_without_its_form_are_asked_for() {
    let (_, said, _) = only(&with("threads_per_inch = 8\n", ""));
    assert!(said.contains("threads_per_inch = 14"), "{said}");
    let (_, said, _) = only(&with("form = \"60 degree\"\n", ""));
    assert!(said.contains("form = \"taper pipe\""), "{said}");
    let own = with("form = \"60 degree\"", "form = \"own\"");
    let (_, said, _) = only(&own);
    assert!(said.contains("flank_angle"), "{said}");
}

#[test]
fn a_standard_form_fixes_its_pitch_and_knows_its_tapers() {
    let rotary = with("form = \"60 degree\"", "form = \"V-0.055\"")
        .replace("crest_flat = \"0.030 in\"\nroot_flat = \"0.020 in\"\n", "");
    let (_, said, at) = only(&rotary);
    assert!(
        said.contains("6 threads per inch") && at == "8",
        "{said} {at}"
    );
    let right = rotary.replace("threads_per_inch = 8\n", "");
    let (scenario, warnings) = decoded(&right, &text("worn-lathe.toml")).expect("it is right");
    assert!(warnings.is_empty(), "{warnings:?}");
    let cut = scenario.job.thread.and_then(|t| t.cut).expect("a thread");
    assert_eq!(cut.lead, Lead::PerInch(6.0));
    assert!(cut.form.from_memory);
    let (severity, said, _) = only(&right.replace("\"V-0.055\"", "\"V-0.040\""));
    assert_eq!(severity, Severity::Warning);
    assert!(said.contains("3 in/ft"), "{said}");
}

#[test]
fn a_thread_through_the_wall_or_the_small_end_is_a_fault() {
    let socket = text("threaded-socket.toml");
    let thin = socket.replace(
        "outside_diameter = \"3 in\"",
        "outside_diameter = \"1.9 in\"",
    );
    let found = decoded(&thin, &text("worn-lathe.toml")).expect_err("no wall is left");
    assert!(
        found.iter().any(|f| f.message.contains("through the wall")),
        "{found:#?}"
    );
    let job = with("diameter = \"2.000 in\"", "diameter = \"0.300 in\"");
    let (_, said, _) = only(&job);
    assert!(said.contains("through the small end"), "{said}");
}

#[test]
fn the_hand_alone_still_says_only_the_hand() {
    let job = text("plug-cock.toml") + "\n[thread]\nhand = \"left\"\n";
    let (scenario, warnings) = decoded(&job, &text("metric-lathe.toml")).expect("it is right");
    assert!(warnings.is_empty());
    let thread = scenario.job.thread.expect("a thread");
    assert_eq!((thread.hand, thread.cut), (Hand::Left, None));
}

#[test]
fn what_is_left_out_has_the_forms_own_numbers() {
    let (scenario, _) = decoded(&text("pipe-nipple.toml"), &text("toolroom-lathe.toml"))
        .expect("the nipple is right");
    let cut = scenario.job.thread.and_then(|t| t.cut).expect("a thread");
    assert_eq!(cut.lead, Lead::PerInch(11.5));
    assert_eq!(cut.infeed, Infeed::Square);
    assert_eq!(cut.plan, PassPlan::ConstantArea(Some(12)));
    // ASME B1.20.1, from memory: 0.033 P off crest and root, a flat of 0.0381 P.
    let pitch = 0.0254 / 11.5;
    assert!((cut.form.crest_flat.si() / pitch - 0.0381).abs() < 1e-4);
    assert_eq!(cut.form.root, Root::Flat(cut.form.crest_flat));
    assert!(scenario.lathe.lead_screw.assumed);
}

#[test]
fn the_lead_screw_is_the_lathes() {
    let screw = "\n[lead_screw]\nthreads_per_inch = 4\ndial_lines = 16\ndial_turn = \"8 in\"\n";
    let lathe = text("worn-lathe.toml") + screw;
    let (scenario, _) = decoded(&text(JOB), &lathe).expect("it is right");
    let screw = scenario.lathe.lead_screw;
    assert_eq!(
        (screw.lead, screw.dial_lines, screw.assumed),
        (Lead::PerInch(4.0), 16, false)
    );
    let wrong = lathe.replace("dial_lines = 16", "dial_lines = 0");
    let found = decoded(&text(JOB), &wrong).expect_err("no lines");
    assert_eq!(found.len(), 1);
    assert_eq!(&wrong[found[0].span.clone()], "0");
}
