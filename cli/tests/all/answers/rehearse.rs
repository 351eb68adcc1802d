//! Hand moves at the command line: forms, exit codes, the directory, faults pointed at.

use crate::workshop::{Workshop, code, err, out};
use serde_json::Value;

const EXAMPLES: [(&str, &str); 2] = [
    (
        "zero.moves",
        include_str!("../../../../scenarios/zero-too-early.moves"),
    ),
    (
        "reversal.moves",
        include_str!("../../../../scenarios/reversal.moves"),
    ),
];

fn shop() -> Workshop {
    let shop = Workshop::empty();
    shop.write(
        "worn-lathe.toml",
        include_str!("../../../../scenarios/worn-lathe.toml"),
    );
    for (name, text) in EXAMPLES {
        shop.write(name, text);
    }
    shop
}

fn json(text: &str) -> Value {
    serde_json::from_str(text).unwrap_or_else(|why| panic!("{why}:\n{text}"))
}

#[test]
fn the_examples_are_rehearsed_and_warn_where_the_zero_is_early() {
    let shop = shop();
    for (name, _) in EXAMPLES {
        let done = shop.run(&["rehearse", name]);
        assert_eq!(code(&done), 0, "{}", err(&done));
        let text = out(&done);
        assert!(text.contains("STOP IF: the spindle can start"), "{text}");
        assert!(text.contains("What can hurt:"), "{text}");
        for line in text.lines() {
            assert!(line.chars().count() <= 92, "{line}");
        }
    }
    let text = out(&shop.run(&["rehearse", "zero.moves"]));
    assert!(
        text.contains("2 WATCH: Zeroed before the slack is taken up"),
        "{text}"
    );
    assert!(text.contains("reads as 1.75"), "{text}");
}

#[test]
fn json_and_csv_have_a_record_for_each_move() {
    let shop = shop();
    let value = json(&out(&shop.run(&[
        "rehearse",
        "zero.moves",
        "--format",
        "json",
    ])));
    let steps = value["rehearsal"]["steps"].as_array().expect("steps");
    assert_eq!(steps.len(), 7);
    assert_eq!(steps[1]["notices"][0]["id"], "zeroed-early");
    assert!(steps[2]["lost"]["stood_still"].as_f64().expect("a number") > 0.02);
    let text = out(&shop.run(&[
        "rehearse",
        "zero.moves",
        "--format",
        "csv",
        "--units",
        "metric",
    ]));
    let mut lines = csv::Reader::from_reader(text.as_bytes());
    let headings = lines.headers().expect("headings").clone();
    for wanted in [
        "readout_toward_operator_um",
        "stood_still_mm",
        "bears",
        "notices",
    ] {
        assert!(headings.iter().any(|h| h == wanted), "{headings:?}");
    }
    // The start and seven moves.
    assert_eq!(lines.records().count(), 8);
}

#[test]
fn a_move_that_breaks_something_is_exit_code_one_and_pointed_at() {
    let shop = shop();
    shop.write(
        "broken.moves",
        "name = \"tied\"\nlathe = \"worn-lathe.toml\"\ntaper = \"2 in/ft\"\nmoves:\n\
         lock shoe\ncarriage 1 in toward the headstock\nzero dial\n",
    );
    let done = shop.run(&["rehearse", "broken.moves"]);
    assert_eq!(code(&done), 1, "{}", err(&done));
    assert!(
        out(&done).contains("STOPPED: before move 2 (line 6)"),
        "{}",
        out(&done)
    );
    assert!(out(&done).contains("tied to the bed"));
    assert!(err(&done).contains("broken.moves:6:1"), "{}", err(&done));
    let value = json(&out(&shop.run(&[
        "rehearse",
        "broken.moves",
        "--format",
        "json",
    ])));
    assert_eq!(value["rehearsal"]["broken"]["id"], "carriage-tied-to-bed");
    let csv = out(&shop.run(&["rehearse", "broken.moves", "--format", "csv"]));
    assert!(csv.contains("not made"), "{csv}");
}

#[test]
fn the_directory_has_report_records_and_figure() {
    let shop = shop();
    let arguments = ["rehearse", "reversal.moves", "--out", "report"];
    let done = shop.run(&arguments);
    assert_eq!(code(&done), 0, "{}", err(&done));
    let names = [
        "rehearsal.csv",
        "rehearsal.json",
        "rehearsal.png",
        "rehearsal.svg",
        "report.html",
        "report.txt",
        "tautway-output.txt",
    ];
    assert_eq!(shop.names("report"), names);
    assert_eq!(code(&shop.run(&arguments)), 2, "it is there already");
    let again = shop.run(&[
        "rehearse",
        "reversal.moves",
        "--out",
        "report",
        "--overwrite",
    ]);
    assert_eq!(code(&again), 0, "{}", err(&again));
}

#[test]
fn every_fault_is_shown_at_once_and_nothing_is_run() {
    let shop = shop();
    shop.write(
        "bad.moves",
        "name = \"bad\"\nlathe = \"worn-lathe.toml\"\ntaper = \"2 inn\"\nmoves:\nfly\ndial in 3\n",
    );
    let done = shop.run(&["rehearse", "bad.moves"]);
    assert_eq!(code(&done), 2);
    assert_eq!(out(&done), "");
    for place in ["bad.moves:3:", "bad.moves:5:1", "bad.moves:6:9", "3 errors"] {
        assert!(err(&done).contains(place), "no {place} in\n{}", err(&done));
    }
}

#[test]
fn a_lathe_that_is_not_there_is_pointed_at_in_the_head() {
    let shop = shop();
    shop.edit(
        "zero.moves",
        "lathe = \"worn-lathe.toml\"",
        "lathe = \"other.toml\"",
    );
    let done = shop.run(&["rehearse", "zero.moves"]);
    assert_eq!(code(&done), 2, "{}", err(&done));
    assert!(
        err(&done).contains("there is no lathe file other.toml"),
        "{}",
        err(&done)
    );
    assert_eq!(code(&shop.run(&["rehearse", "nothing.moves"])), 3);
}

/// One wrong line after a right one: what is said, and that it is pointed at.
#[test]
fn a_move_said_wrongly_is_pointed_at_with_what_would_be_right() {
    let shop = Workshop::with_example();
    let head = "name = \"x\"\nlathe = \"lathe.toml\"\ntaper = \"2 in/ft\"\n\
                big_end = \"tailstock\"\nmoves:\ncarriage 1 in toward the headstock\n";
    for (line, says) in [
        ("carriage 80", "write `80 in`, `80 thou` or `80 mm`"),
        ("carriage -3 in", "the direction is said in words"),
        ("carriage 0 in", "not above zero"),
        ("carriage far", "a number is wanted here"),
        (
            "carriage",
            "write it like this: carriage 3 in toward the headstock",
        ),
        ("carriage 900 in", "at most 200 in"),
        ("dial in 5", "a length needs its unit"),
        ("dial 5 thou", "`dial in`"),
        (
            "bump slide",
            "`bump slide toward the operator` or `bump slide away`",
        ),
        ("bump slide away with 90", "write `90 lbf` or `90 N`"),
        ("air on -5 psi", "`air off` is for none"),
        ("air on 200", "a pressure needs its unit"),
        ("zero", "`zero readout` or `zero dial`"),
        ("lock", "`lock slide` or `lock top slide` or `lock shoe`"),
        ("hello world", "the moves are: carriage"),
    ] {
        shop.write("wrong.moves", format!("{head}{line}\n"));
        let done = shop.run(&["rehearse", "wrong.moves"]);
        assert_eq!(code(&done), 2, "{line}");
        let told = err(&done);
        assert!(told.contains("wrong.moves:7:"), "{told}");
        assert!(told.contains(says), "no {says:?} in\n{told}");
        assert_eq!(out(&done), "");
    }
}
