//! Faults are all reported at once, each at its place in the text, with what would be right.

use crate::given::scenario_texts;
use crate::given::scenario_texts::{JOB, LATHE, decode_pair, decoded, faults};
use proptest::prelude::*;
use tautway_sim::quantity::Quantity;
use tautway_sim::scenario::{Diagnostic, Severity, Source, decode_lathe};

fn text_of<'a>(fault: &Diagnostic, job: &'a str, lathe: &'a str) -> &'a str {
    if fault.file == "job.toml" { job } else { lathe }
}

fn line_of(text: &str, part: &str) -> usize {
    1 + text
        .lines()
        .position(|line| line.contains(part))
        .unwrap_or_else(|| panic!("no {part:?} in the text"))
}

/// The job with one line put in the place of the line that begins so.
fn with(text: &str, begins: &str, line: &str) -> String {
    assert!(
        text.lines().any(|l| l.starts_with(begins)),
        "no line begins {begins:?}"
    );
    text.lines()
        .map(|l| if l.starts_with(begins) { line } else { l })
        .collect::<Vec<_>>()
        .join("\n")
}

/// Decodes a changed job and returns the only fault: its message, label and hint, and what it
/// points at.
fn only(job: &str, lathe: &str) -> (Diagnostic, String) {
    let found = match decode_pair(job, lathe) {
        Ok((_, warnings)) => warnings,
        Err(faults) => faults,
    };
    assert_eq!(found.len(), 1, "{found:#?}");
    let at = text_of(&found[0], job, lathe)[found[0].span.clone()].to_owned();
    (found[0].clone(), at)
}

#[test]
fn seven_faults_in_one_pair_of_files_are_seven_pointed_diagnostics() {
    let lathe = with(LATHE, "slack", "slack = 80");
    let lathe = with(&lathe, "nose", "nose = \"scrwed on\"");
    let lathe = with(&lathe, "drag", "drag = \"-14 lbf\"");
    let job = with(JOB, "taper", "tapper = \"2 in/ft\"");
    let job = with(&job, "from_jaws", "from_jaws = \"3/8 lbf\"");
    let job = with(&job, "feed", "feed = \"0.005 inn\"");
    let job = with(&job, "material", "material = \"adamant\"");
    let found = faults(&job, &lathe);
    let places: Vec<_> = found
        .iter()
        .map(|f| (f.file.as_str(), f.line(text_of(f, &job, &lathe))))
        .collect();
    let wanted = [
        // That the taper is missing is no fault of its own.
        ("job.toml", line_of(&job, "tapper")),
        ("job.toml", line_of(&job, "material")),
        ("job.toml", line_of(&job, "from_jaws")),
        ("job.toml", line_of(&job, "feed")),
        ("lathe.toml", line_of(&lathe, "slack = 80")),
        ("lathe.toml", line_of(&lathe, "drag")),
        ("lathe.toml", line_of(&lathe, "nose")),
    ];
    assert_eq!(places, wanted, "{found:#?}");
    assert!(found.iter().all(|f| f.severity == Severity::Error));
    assert!(
        found
            .iter()
            .all(|f| !f.hint.is_empty() && !f.label.is_empty())
    );
    assert!(found[0].hint.contains("`taper`"), "{:?}", found[0]);
    assert!(found[6].hint.contains("\"screwed on\""), "{:?}", found[6]);
}

#[test]
fn a_bare_number_takes_its_field_s_unit_or_is_refused_with_both_readings() {
    for line in ["slack = 0.08", "slack = \"0.08\"", "slack = \".080\""] {
        let lathe = with(LATHE, "slack", line);
        let (note, at) = only(JOB, &lathe);
        assert_eq!(note.severity, Severity::Note);
        assert!(line.ends_with(&at), "{at}");
        assert!(note.taken_as().is_some_and(|said| said.ends_with("in")));
        let slack = decoded(JOB, &lathe).0.lathe.attachment.total_slack;
        scenario_texts::near(slack.expect("given").si(), 0.08 * scenario_texts::INCH);
    }
    for (line, points_at) in [("slack = 80", "80"), ("slack = \"80\"", "\"80\"")] {
        let (fault, at) = only(JOB, &with(LATHE, "slack", line));
        assert_eq!(fault.severity, Severity::Error);
        assert_eq!(at, points_at);
        assert!(
            fault.message.contains("may be 80 in or 80 thou"),
            "{fault:?}"
        );
    }
}

#[test]
fn the_units_of_a_bare_number_are_those_of_its_file() {
    let read = |text: &str| {
        let source = Source {
            name: "lathe.toml",
            text,
        };
        decode_lathe(source)
    };
    let metric =
        "name = \"a\"\nunits = \"metric\"\n[attachment]\nslack = \"1,6\"\n[slide]\ndrag = 80\n";
    let (lathe, found) = read(metric).expect("right");
    scenario_texts::near(lathe.attachment.total_slack.expect("given").si(), 1.6e-3);
    scenario_texts::near(lathe.slide.drag.si(), 80.0);
    assert!(
        found.iter().all(|d| d.severity == Severity::Note),
        "{found:#?}"
    );
    assert_eq!(found.len(), 2);
    // It says metric and is in inches: nobody knows what a bare one is.
    let odd = with(LATHE, "units", "units = \"metric\"");
    let found = read(&with(&odd, "slack", "slack = 1.6")).expect_err("in doubt");
    assert!(
        found[0].message.ends_with("a length needs its unit"),
        "{found:#?}"
    );
    assert!(found[0].hint.contains("1.6 in") && found[0].hint.contains("1.6 mm"));
    // A job says no units: its other numbers do.
    let job: String = JOB.replace(" in\"", " mm\"");
    let job = with(&job, "length", "length = 76.2");
    let found = faults(&job, LATHE);
    assert!(
        found.iter().any(|d| d.taken_as() == Some("76.2 mm")),
        "{found:#?}"
    );
}

#[test]
fn a_pure_number_may_be_bare() {
    let lathe = with(LATHE, "breakaway", "breakaway = 1.4");
    let breakaway = decoded(JOB, &lathe).0.lathe.slide.breakaway;
    scenario_texts::near(breakaway.si(), 1.4);
}

#[test]
fn a_fault_inside_a_string_points_into_it() {
    let (_, at) = only(
        JOB,
        &with(LATHE, "guide_travel", "guide_travel = \"11 inn\""),
    );
    assert_eq!(at, "inn");
    let (_, at) = only(JOB, &with(LATHE, "drag", "drag = '14 lbf to 22 lbx'"));
    assert_eq!(at, "lbx");
}

#[test]
fn a_value_that_lacks_its_quotes_does_not_hide_the_rest() {
    let lathe = with(LATHE, "slack", "slack = 0.08 in");
    let lathe = with(&lathe, "nose", "nose = \"glued\"");
    let found = faults(JOB, &lathe);
    let lines: Vec<_> = found.iter().map(|f| f.line(&lathe)).collect();
    assert_eq!(
        lines,
        [line_of(&lathe, "slack"), line_of(&lathe, "glued")],
        "{found:#?}"
    );
    assert!(
        found[0].hint.contains("slack = \"0.08 in\""),
        "{:?}",
        found[0]
    );
}

#[test]
fn a_key_given_twice_is_told_once() {
    let lathe = with(LATHE, "foot_slack", "slack = \"0.05 in\"");
    let (fault, _) = only(JOB, &lathe);
    assert!(fault.message.contains("twice"), "{fault:?}");
    assert_eq!(fault.line(&lathe), line_of(&lathe, "slack = \"0.05 in\""));
}

#[test]
fn what_has_to_be_known_cannot_be_left_open() {
    let (fault, at) = only(&with(JOB, "taper", "taper = \"don't know\""), LATHE);
    assert!(fault.message.contains("has to be known"), "{fault:?}");
    assert_eq!(at, "\"don't know\"");
    let (fault, _) = only(&with(JOB, "bar =", ""), LATHE);
    assert!(fault.message.contains("boring needs a bar"), "{fault:?}");
}

#[test]
fn a_key_in_the_wrong_table_is_sent_where_it_belongs() {
    let (fault, at) = only(JOB, &with(LATHE, "rear", "drag_change = 0.2"));
    assert_eq!(at, "drag_change");
    assert_eq!(fault.hint, "it belongs in [slide]");
}

#[test]
fn a_bore_as_big_as_the_small_end_is_no_fault() {
    let (_, warnings) = decoded(
        &with(JOB, "start", "start = { straight = \"2.500 in\" }"),
        LATHE,
    );
    assert_eq!(warnings, []);
}

#[test]
fn a_bar_nobody_measured_is_assumed_and_said_so() {
    let (scenario, warnings) = decoded(&with(JOB, "bar", "bar = \"don't know\""), LATHE);
    let bar = scenario.job.tool.bar.expect("assumed");
    scenario_texts::near(bar.diameter.si(), 1.5 * scenario_texts::INCH);
    assert_eq!(warnings.len(), 2, "{warnings:#?}");
}

#[test]
fn a_byte_order_mark_and_line_ends_of_either_kind_do_no_harm() {
    let job = format!("\u{feff}{}", JOB.replace('\n', "\r\n"));
    let (_, warnings) = decoded(&job, LATHE);
    assert_eq!(warnings, []);
    let (fault, at) = only(&job.replace("3.000 in", "3.000 inn"), LATHE);
    assert_eq!(
        (at.as_str(), fault.line(&job)),
        ("inn", line_of(JOB, "diameter ="))
    );
}

#[test]
fn an_empty_file_is_told_what_it_lacks() {
    let found = faults("", "");
    let messages: Vec<_> = found.iter().map(|f| f.message.as_str()).collect();
    assert_eq!(
        messages,
        [
            "`name` is missing from the top of the file",
            "`lathe` is missing from the top of the file",
            "the table [work] is missing",
            "`name` is missing from the top of the file",
            "`units` is missing from the top of the file",
        ]
    );
}

#[test]
fn values_out_of_range_are_refused() {
    for line in [
        "slack = \"-0.01 in\"",
        "drive_spring = \"0 lbf/thou\"",
        "screw_push_share = 1.8",
        "guide_travel = \"0 in\"",
        "slack = { low = \"0.09 in\", middle = \"0.08 in\", high = \"0.1 in\" }",
        "slack = true",
        "slack = [\"0.08 in\"]",
    ] {
        let lathe = LATHE
            .replace("slack = \"0.064 in +- 0.008 in\"\n", "")
            .replace("drive_spring = \"don't know\"\n", "")
            .replace("guide_travel = \"11 in\"\n", "")
            .replace("kind = \"telescoping\"", line);
        let (fault, _) = only(JOB, &lathe);
        assert_eq!(fault.severity, Severity::Error, "{line}");
        assert_eq!(fault.line(&lathe), line_of(&lathe, line));
    }
    let (fault, _) = only(JOB, &with(LATHE, "breakaway", "breakaway = 0.9"));
    assert!(
        fault.hint.contains("1 or more") || fault.hint.contains("1.0"),
        "{fault:?}"
    );
}

#[test]
fn pieces_that_do_not_fit_together_are_errors() {
    for (begins, line, says) in [
        (
            "gauge_plane",
            "gauge_plane = \"3.5 in\"",
            "outside the taper",
        ),
        ("diameter", "diameter = \"0.4 in\"", "comes to a point"),
        ("start", "start = { straight = \"2.6 in\" }", "stay uncut"),
        (
            "start",
            "start = { straight = \"3.1 in\" }",
            "nothing to cut",
        ),
        (
            "start",
            "start = { roughed = \"0.012 in\" }",
            "more than there is",
        ),
        (
            "start",
            "start = { straight = \"2 in\", roughed = \"0.02 in\" }",
            "one thing",
        ),
        (
            "bar",
            "bar = { diameter = \"2.4 in\", stick_out = \"6 in\" }",
            "doesn't go into",
        ),
        ("size_tol", "outside_diameter = \"3 in\"", "no wall"),
        ("held", "held = \"chuck and centre\"", "stand in the bore"),
        (
            "[tool]",
            "[preload]\ntoward = \"away\"\nweight = \"9 lbf\"\nrate = \"1 lbf/in\"\n[tool]",
            "with a spring",
        ),
        (
            "[tool]",
            "[preload]\ntoward = \"away\"\n[tool]",
            "one source",
        ),
        ("tolerance", "tolerance = \"0.010 in/ft\"", "two ends"),
        ("finish", "finish = []", "empty"),
        ("spring", "spring = \"many\"", "number of passes"),
        ("speed", "speed = \"0 rpm\"", "has to turn"),
        ("edge", "height = \"1.3 in\"", "above or below the work"),
        (
            "nose_radius",
            "nose_radius = \"0.2 in\"\nextra = 1",
            "no key `extra`",
        ),
    ] {
        let job = with(JOB, begins, line);
        let (fault, _) = only(&job, LATHE);
        assert!(fault.message.contains(says), "{line}: {fault:#?}");
        assert_eq!(fault.severity, Severity::Error, "{line}");
    }
    let short = with(
        &with(JOB, "length", "length = \"0.3 in\""),
        "nose_radius",
        "nose_radius = \"0.4 in\"",
    );
    let (fault, _) = only(&short, LATHE);
    assert!(fault.message.contains("nose radius is bigger"), "{fault:?}");
}

#[test]
fn a_bar_thinner_than_the_big_end_is_refused() {
    let job = with(JOB, "kind", "kind = \"outside\"");
    let job = with(&job, "bar", "");
    let job = with(&job, "start", "start = { straight = \"2.9 in\" }");
    let job = with(&job, "room_headstock", "room_headstock = \"1 in\"");
    let (fault, _) = only(&job, LATHE);
    assert!(fault.message.contains("stay uncut"), "{fault:?}");
    // 0.1 in on diameter at 2 in/ft is 0.6 in of length.
    assert!(fault.label.contains("0.6"), "{fault:?}");
}

#[test]
fn odd_but_possible_is_a_warning_at_its_line() {
    let preload = |lines: &str| format!("[preload]\ntoward = \"the operator\"\n{lines}\n\n[tool]");
    let strong = preload("cylinder = { bore = \"2 in\", pressure = \"90 psi\" }");
    let weight = preload("weight = \"120 lbf\"");
    for (begins, line, says) in [
        ("taper", "taper = \"4.5 in/ft\"\n", "steeper than the guide"),
        ("length", "length = \"23 in\"", "longer than two set-ups"),
        ("feed", "feed = \"0.07 in\"", "is a lot"),
        ("[tool]", strong.as_str(), "dangerous"),
        ("[tool]", weight.as_str(), "dangerous"),
        (
            "bar",
            "bar = { diameter = \"2.2 in\", stick_out = \"6 in\" }",
            "nearly fills",
        ),
        (
            "bar",
            "bar = { diameter = \"2 in\", stick_out = \"2 in\" }",
            "sticks out less",
        ),
        ("tolerance", "tolerance = \"don't know\"", "not known"),
    ] {
        let mut job = with(JOB, begins, line);
        if begins == "taper" || begins == "length" {
            job = with(&job, "diameter", "diameter = \"6 in\"");
        }
        if begins == "length" {
            job = with(
                &job,
                "bar",
                "bar = { diameter = \"2 in\", stick_out = \"25 in\" }",
            );
            job = with(&job, "start", "start = { roughed = \"0.02 in\" }");
        }
        let (_, warnings) = decoded(&job, LATHE);
        let wanted = warnings.iter().find(|w| w.message.contains(says));
        let wanted = wanted.unwrap_or_else(|| panic!("{line}: {warnings:#?}"));
        assert_eq!(wanted.severity, Severity::Warning);
        let key = line
            .lines()
            .nth(2)
            .unwrap_or(line.lines().next().expect("a line"));
        assert_eq!(wanted.line(&job), line_of(&job, key), "{wanted:#?}");
    }
    let coarse = with(JOB, "nose_radius", "nose_radius = \"0.002 in\"");
    let (_, warnings) = decoded(&coarse, LATHE);
    assert!(
        warnings
            .iter()
            .any(|w| w.message.contains("twice the nose")),
        "{warnings:#?}"
    );
}

#[test]
fn a_spread_that_reaches_below_nothing_is_cut_off_and_said_so() {
    let lathe = with(LATHE, "slack", "slack = \"0.002 in +- 0.005 in\"");
    let (scenario, warnings) = decoded(JOB, &lathe);
    let slack = scenario.lathe.attachment.total_slack.expect("given");
    assert_eq!(slack.low.si(), 0.0);
    assert_eq!(warnings.len(), 1, "{warnings:#?}");
}

#[test]
fn parts_that_do_not_add_up_are_doubted() {
    let parts = "shoe_slack = \"0.01 in\"\nthrust_slack = \"0.01 in\"\nnut_slack = \"0.01 in\"";
    let (fault, _) = only(JOB, &with(LATHE, "kind", parts));
    assert!(fault.message.contains("don't add up"), "{fault:?}");
}

fn all_found(job: &str, lathe: &str) -> Vec<Diagnostic> {
    match decode_pair(job, lathe) {
        Ok((_, warnings)) => warnings,
        Err(faults) => faults,
    }
}

/// A text with a piece cut out and something odd put in its place.
fn mutated(text: &'static str) -> impl Strategy<Value = String> {
    let pieces = prop::sample::select(vec![
        "",
        "\"",
        "'",
        "=",
        "[",
        "]",
        "{",
        "}",
        "\n",
        "#",
        "\\",
        "\u{e9}\u{2019}\u{1f600}",
        "\0",
        "-",
        "1e400",
        "nan",
        "inf",
        "0x",
        "in/ft",
        "don't know",
        "\"\"\"",
        "work.x = 1\n",
        "+-",
        "999999999999999999999999",
        "[work]\n",
        "1979-05-27",
    ]);
    (0..text.len(), 0_usize..40, pieces, any::<bool>()).prop_map(move |(at, cut, piece, quoted)| {
        let end = (at + cut).min(text.len());
        let middle = if quoted {
            format!("\"{piece}\"")
        } else {
            piece.to_owned()
        };
        format!("{}{middle}{}", &text[..at], &text[end..])
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    #[test]
    fn mutated_text_never_panics_and_points_into_itself(
        job in mutated(JOB),
        lathe in mutated(LATHE),
    ) {
        for fault in all_found(&job, &lathe) {
            let text = text_of(&fault, &job, &lathe);
            prop_assert!(text.get(fault.span.clone()).is_some(), "{fault:?}");
            prop_assert!(!fault.message.is_empty() && !fault.hint.is_empty());
        }
    }

    #[test]
    fn any_text_at_all_never_panics(job in "\\PC{0,200}", lathe in "[a-z=\"\\[\\]\n .0-9]{0,200}") {
        prop_assert!(decode_pair(&job, &lathe).is_err());
    }

    #[test]
    fn whatever_decodes_holds_finite_numbers_in_order(job in mutated(JOB), lathe in mutated(LATHE)) {
        if let Ok((mut scenario, _)) = decode_pair(&job, &lathe) {
            for parameter in scenario.parameters_mut() {
                let range = parameter.value.range_si();
                prop_assert!(range.iter().all(|si| si.is_finite()), "{}: {range:?}", parameter.key);
                prop_assert!(range.is_sorted(), "{}: {range:?}", parameter.key);
            }
            let (big, small) = scenario.job.work.end_diameters();
            prop_assert!(big > small);
        }
    }
}

#[test]
fn a_run_past_the_work_may_meet_the_centre() {
    // Outside, small end at the tailstock: 2 in/ft over 3 in to 0.5 in through, a centre beyond.
    let job = with(JOB, "kind", "kind = \"outside\"");
    let job = with(&job, "big_end", "big_end = \"headstock\"");
    let job = with(
        &job,
        "held",
        "held = \"chuck and centre\"\nbeyond = \"0.5 in\"",
    );
    let job = with(&job, "diameter", "diameter = \"1.000 in\"");
    let job = with(&job, "start", "start = { straight = \"1.1 in\" }");
    let job = with(&job, "room_headstock", "room_headstock = \"0.9 in\"");
    let job = with(&job, "bar", "");
    let found = |job: &str| {
        let (_, warnings) = decoded(job, LATHE);
        warnings
            .iter()
            .filter(|w| w.message.contains("over the tailstock centre"))
            .count()
    };
    assert_eq!(found(&job), 1);
    // Up to the end of the work is no such room, and stout work keeps the tool clear of it.
    assert_eq!(
        found(&with(&job, "room_tailstock", "room_tailstock = \"0.5 in\"")),
        0
    );
    let stout = with(&job, "diameter", "diameter = \"2.400 in\"");
    let stout = with(&stout, "start", "start = { straight = \"2.5 in\" }");
    assert_eq!(found(&stout), 0);
}

#[test]
fn a_number_beyond_any_lathe_is_refused_where_it_stands() {
    let lathe = with(LATHE, "slack", "slack = \"1e308 in\"");
    let (fault, at) = only(JOB, &lathe);
    assert_eq!(fault.severity, Severity::Error);
    assert!(
        fault.message.contains("no number one can compute with"),
        "{fault:?}"
    );
    assert!(at.contains("1e308"), "{at}");
}
