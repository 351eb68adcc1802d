//! `tautway thread` at the command line: screen, files, exit codes, wrong input.

use std::fs;
use std::path::Path;

use crate::workshop::{Workshop, code, err, out};
use serde_json::Value;

fn shop() -> Workshop {
    let shop = Workshop::empty();
    let scenarios = Path::new(env!("CARGO_MANIFEST_DIR")).join("../scenarios");
    for name in [
        "pipe-nipple.toml",
        "threaded-plug.toml",
        "threaded-socket.toml",
        "plug-cock.toml",
        "toolroom-lathe.toml",
        "worn-lathe.toml",
        "metric-lathe.toml",
    ] {
        shop.write(
            name,
            fs::read(scenarios.join(name)).expect("a worked example"),
        );
    }
    shop
}

/// On one line, however the screen folds it.
fn said(shop: &Workshop, arguments: &[&str]) -> (i32, String) {
    let done = shop.run(arguments);
    let text = out(&done).split_whitespace().collect::<Vec<_>>().join(" ");
    (code(&done), text)
}

#[test]
fn the_screen_says_first_what_to_do_and_what_can_hurt() {
    let shop = shop();
    let (done, text) = said(&shop, &["thread", "pipe-nipple.toml", "--trials", "50"]);
    assert_eq!(done, 0, "{text}");
    let mut at = 0;
    for part in [
        "CUT IT THIS WAY: with the attachment",
        "STOP IF:",
        "Start every pass at least",
        "Tool: square to the spindle's axis, not to the cone",
        "Passes:",
        "CHANGES SEAT",
        "Find the groove again:",
        "Depth: by the dial alone",
        "Standoff:",
        "Taper:",
        "Lead: nothing from the guide",
        "The other ways:",
        "tailstock over by 0.2499 in toward you: usable; the pitch comes out short by 0.0005 in",
        "(488 in a million)",
        "with the top slide set over: out",
        "they cut a left-hand thread",
        "Why:",
        "I assumed:",
        "A prediction is not an inspection",
    ] {
        let found = text[at..].find(part);
        at += found.unwrap_or_else(|| panic!("no {part:?} after {at} in {text}"));
    }
}

#[test]
fn the_page_speaks_the_shops_words() {
    let shop = shop();
    for job in [
        "pipe-nipple.toml",
        "threaded-plug.toml",
        "threaded-socket.toml",
    ] {
        let (_, text) = said(&shop, &["thread", job, "--detail", "--trials", "50"]);
        let lower = text.to_lowercase();
        for word in [
            "meridian",
            "regime",
            "sobol",
            "quantile",
            "passive force",
            "chain",
            "anchor",
            "follower",
            "nan",
            "inf ",
        ] {
            assert!(!lower.contains(word), "{word} in {text}");
        }
    }
}

#[test]
fn in_reverse_and_in_a_bore_its_cautions_are_read_where_the_advice_is() {
    let shop = shop();
    let (done, text) = said(&shop, &["thread", "threaded-socket.toml", "--trials", "0"]);
    assert_eq!(done, 0, "{text}");
    assert!(text.contains("thread from the inside out (toward the tailstock)"));
    assert!(text.contains("spindle reversed"));
    assert!(text.contains("STOP IF: the tool is not clear of the work before the half-nut"));
    assert!(text.contains("no hand, file or cloth at the work or in a bore"));
    assert!(text.contains("top slide 29 deg off square to the axis"));
    assert!(
        !text.contains("of 100 such lathes"),
        "no lathes were asked for"
    );
}

#[test]
fn labour_and_what_puts_each_way_behind_are_told_in_words() {
    let shop = shop();
    let given = Path::new(env!("CARGO_MANIFEST_DIR")).join("../sim/tests/all/given/bung");
    for name in ["job.toml", "lathe.toml"] {
        shop.write(
            name,
            fs::read(given.join(name)).expect("a job of the engine's tests"),
        );
    }
    let (done, text) = said(&shop, &["thread", "job.toml", "--trials", "0"]);
    assert_eq!(done, 0, "{text}");
    for part in [
        "Labour: 18 passes, no seating by hand; about 20 minutes in all",
        "seat by hand; behind, for the slide would be seated by hand 13 times beside the dog",
        "together 0.0015 in an inch, allowed 0.0012 in an inch: OUT",
        "behind, for it doesn't meet the drawing",
        "those without a hand at the slide come first, then the quicker",
    ] {
        assert!(text.contains(part), "no {part:?} in {text}");
    }
    let (_, text) = said(&shop, &["thread", "threaded-plug.toml", "--trials", "0"]);
    for part in [
        "the slide seated by hand 17 times, beside the dog, spindle stopped",
        "in spite of 17 seatings by hand beside the dog: no plainer way meets the drawing",
        "behind, for it takes about 75 minutes against about 30 minutes, gauged 27 times",
    ] {
        assert!(text.contains(part), "no {part:?} in {text}");
    }
}

#[test]
fn a_start_at_a_blind_bottom_says_so() {
    let shop = shop();
    let asked =
        |shop: &Workshop| said(shop, &["thread", "threaded-socket.toml", "--trials", "0"]).1;
    let text = asked(&shop);
    for part in [
        "seating by hand at the bottom of the bore",
        "a blind one leaves 1 in past the thread",
        "the tool waits in its groove, out of sight, while the slide is seated",
        "no room at the bottom of the bore: seat by hand",
    ] {
        assert!(text.contains(part), "no {part:?} in {text}");
    }
    let room = "room_headstock = \"1 in\"";
    shop.edit(
        "threaded-socket.toml",
        room,
        "room_headstock = \"1-1/2 in\"",
    );
    let bar = "stick_out = \"3-1/2 in\"";
    shop.edit("threaded-socket.toml", bar, "stick_out = \"4-1/2 in\"");
    shop.edit(
        "threaded-socket.toml",
        "from_jaws = \"0.5 in\"",
        "from_jaws = \"1.5 in\"",
    );
    let text = asked(&shop);
    assert!(
        text.contains("look that 1.5 in past the thread are really there before a blind bottom"),
        "{text}"
    );
    let groove = "headstock_end = \"groove\"";
    shop.edit(
        "threaded-socket.toml",
        groove,
        "headstock_end = \"runs out\"",
    );
    let text = asked(&shop);
    assert!(
        text.contains("it starts at the bottom of the bore, with no groove there"),
        "{text}"
    );
}

#[test]
fn too_steep_for_the_tailstock_is_told_by_its_numbers() {
    let shop = shop();
    let (_, text) = said(&shop, &["thread", "threaded-plug.toml", "--trials", "0"]);
    // Exact: 1 - cos(atan(1.515 / 24)) = 0.00198, the guide aimed at the middle of the tolerance.
    assert!(
        text.contains("not usable; the pitch comes out short by 0.0020 in"),
        "{text}"
    );
    assert!(text.contains("allowed 0.0015 in an inch: OUT"), "{text}");
}

#[test]
fn a_thread_that_misses_the_drawing_returns_one() {
    let shop = shop();
    shop.edit(
        "threaded-plug.toml",
        "tolerance = \"+0.030 -0.000 in/ft\"",
        "tolerance = \"+0.0001 -0.0001 in/ft\"",
    );
    let (done, text) = said(&shop, &["thread", "threaded-plug.toml", "--trials", "0"]);
    assert_eq!(done, 1, "{text}");
    assert!(text.contains("out of tolerance"), "{text}");
}

#[test]
fn a_screwed_on_chuck_leaves_no_way_out_of_the_bore_and_says_so() {
    let shop = shop();
    shop.edit(
        "worn-lathe.toml",
        "nose = \"cam lock\"",
        "nose = \"screwed on\"",
    );
    shop.edit(
        "threaded-socket.toml",
        "tailstock_end = \"open\"",
        "tailstock_end = \"runs out\"",
    );
    let (done, text) = said(&shop, &["thread", "threaded-socket.toml"]);
    assert_eq!(done, 1);
    assert!(
        text.contains("THERE IS NO WAY TO CUT THIS THREAD"),
        "{text}"
    );
    assert!(
        text.contains("reverse can unscrew a screwed-on chuck"),
        "{text}"
    );
}

#[test]
fn a_pitch_the_dial_never_meets_keeps_the_half_nut_closed() {
    let shop = shop();
    shop.edit(
        "threaded-plug.toml",
        "threads_per_inch = 8",
        "pitch = \"3 mm\"",
    );
    let (_, text) = said(
        &shop,
        &["thread", "threaded-plug.toml", "--trials", "0", "--detail"],
    );
    assert!(
        text.contains("keep the half-nut closed to the last pass"),
        "{text}"
    );
    assert!(
        text.contains("reversing with the half-nut closed"),
        "{text}"
    );
}

#[test]
fn all_forms_of_the_answer_agree_and_the_directory_is_whole() {
    let shop = shop();
    let job = "pipe-nipple.toml";
    let run = |more: &[&str]| {
        let done = shop.run(&[&["thread", job, "--trials", "50"], more].concat());
        assert_eq!(code(&done), 0, "{}", err(&done));
        out(&done)
    };
    let text = run(&["--out", "report"]);
    assert_eq!(
        shop.names("report"),
        [
            "passes.csv",
            "report.html",
            "report.txt",
            "tautway-output.txt",
            "thread-passes.png",
            "thread-passes.svg",
            "thread-section.png",
            "thread-section.svg",
            "thread.csv",
            "thread.json",
        ]
    );
    assert_eq!(shop.read("report/report.txt"), text);
    let json = run(&["--format", "json"]);
    assert_eq!(shop.read("report/thread.json"), json);
    let csv = run(&["--format", "csv"]);
    assert_eq!(shop.read("report/thread.csv"), csv);
    let value: Value = serde_json::from_str(&json).expect("JSON");
    let ways = value["thread"]["ways"].as_array().expect("ways");
    assert_eq!(csv.lines().count(), ways.len() + 1);
    assert_eq!(ways[0]["method"], "attachment");
    let run_of = &ways[0]["run"];
    let passes = run_of["passes"].as_array().expect("passes").len()
        + run_of["by_gauge"].as_array().expect("passes").len();
    assert_eq!(shop.read("report/passes.csv").lines().count(), passes + 1);
    assert!(run_of["passes"][0].get("turns").is_none());
    assert!(ways[2]["run"].is_null() && ways[2]["why_not"][0].is_string());
    // Again only when told to.
    let again = shop.run(&["thread", job, "--trials", "0", "--out", "report"]);
    assert_eq!(code(&again), 2);
    assert!(err(&again).contains("--overwrite"), "{}", err(&again));
    run(&["--out", "report", "--overwrite"]);
}

#[test]
fn metric_answers_have_no_inches_in_them() {
    let shop = shop();
    shop.edit(
        "pipe-nipple.toml",
        "threads_per_inch = \"11-1/2\"",
        "pitch = \"2.2 mm\"",
    );
    shop.edit(
        "toolroom-lathe.toml",
        "[posts]",
        "[lead_screw]\npitch = \"6 mm\"\ndial_lines = 4\ndial_turn = \"168 mm\"\n\n[posts]",
    );
    let arguments = [
        "thread",
        "pipe-nipple.toml",
        "--units",
        "metric",
        "--trials",
        "50",
    ];
    let (done, text) = said(&shop, &arguments);
    assert_eq!(done, 0, "{text}");
    for word in ["lbf", " thou", "0 in ", "in/ft", "psi", " inches"] {
        assert!(!text.contains(word), "{word} in {text}");
    }
}

#[test]
fn wrong_input_is_told_with_what_would_be_right() {
    let shop = shop();
    let done = shop.run(&["thread", "plug-cock.toml"]);
    assert_eq!((code(&done), out(&done).as_str()), (2, ""));
    assert!(err(&done).contains("no table [thread]"), "{}", err(&done));
    assert!(
        err(&done).contains("threads_per_inch = 14"),
        "{}",
        err(&done)
    );
    shop.write(
        "bare.toml",
        shop.read("plug-cock.toml") + "\n[thread]\nhand = \"right\"\n",
    );
    let done = shop.run(&["thread", "bare.toml"]);
    assert_eq!(code(&done), 2);
    assert!(err(&done).contains("the hand alone"), "{}", err(&done));
    shop.edit("threaded-plug.toml", "passes = 14", "passes = 140");
    shop.edit(
        "threaded-plug.toml",
        "form = \"60 degree\"",
        "form = \"square\"",
    );
    let done = shop.run(&["thread", "threaded-plug.toml"]);
    assert_eq!(code(&done), 2);
    for part in ["threaded-plug.toml:", "from 1 to 60", "taper pipe"] {
        assert!(err(&done).contains(part), "no {part} in {}", err(&done));
    }
    let done = shop.run(&["thread", "pipe-nipple.toml", "--trials", "3"]);
    assert_eq!(code(&done), 2);
    assert!(err(&done).contains("50 or more"), "{}", err(&done));
    let done = shop.run(&["thread", "nothing.toml"]);
    assert_eq!(code(&done), 3);
}

#[test]
fn the_report_holds_words_figures_tables_and_files() {
    let shop = shop();
    let job = "pipe-nipple.toml";
    let run = [
        "thread", job, "--trials", "50", "--report", "a.html", "--out", "a",
    ];
    let done = shop.run(&run);
    assert_eq!(code(&done), 0, "{}", err(&done));
    assert!(
        err(&done).contains("wrote the report a.html"),
        "{}",
        err(&done)
    );
    let page = shop.read("a.html");
    assert_eq!(shop.read("a/report.html"), page);
    assert!(page.starts_with("<!DOCTYPE html>") && page.ends_with("</html>\n"));
    let first = out(&done).lines().next().expect("words").to_owned();
    assert!(page.contains(&format!("<h1>{first}</h1>")), "{first}");
    for figure in ["thread-section.svg", "thread-passes.svg"] {
        assert!(
            page.contains(&shop.read(&format!("a/{figure}"))),
            "{figure}"
        );
    }
    // A row a pass in the file, a column in the page.
    let passes = shop.read("a/passes.csv");
    let (_, table) = page
        .split_once("<h2>Numbers of every pass of the thread</h2>")
        .expect("passes");
    let (row, _) = table.split_once("</tr>").expect("a row");
    assert!(
        row.contains("<th scope=\"row\" class=\"word\">number</th>"),
        "{row}"
    );
    assert_eq!(row.matches("<td").count(), passes.lines().count() - 1);
    for held in [
        "<h2>Numbers of every way to cut the thread</h2>",
        "download=\"thread.csv\"",
        "download=\"passes.csv\"",
        "download=\"thread.json\"",
        "<summary>pipe-nipple.toml</summary>",
        "<summary>toolroom-lathe.toml</summary>",
        ", 50 lathes tried.",
    ] {
        assert!(page.contains(held), "{held}");
    }
}
