//! `tautway piece`: what a finished piece tells, and what it says of a wrong file.

use std::fs;
use std::path::Path;

use crate::workshop::{Workshop, code, err, out};
use serde_json::Value;

fn shop() -> Workshop {
    let shop = Workshop::empty();
    let scenarios = Path::new(env!("CARGO_MANIFEST_DIR")).join("../scenarios");
    for name in [
        "short-start.gauged",
        "tapered-socket.toml",
        "worn-lathe.toml",
    ] {
        shop.write(
            name,
            fs::read(scenarios.join(name)).expect("a worked example"),
        );
    }
    shop
}

#[test]
fn the_worked_piece_tells_that_it_was_started_too_close() {
    let shop = shop();
    let done = shop.run(&["piece", "short-start.gauged", "--cuts", "40"]);
    assert_eq!(code(&done), 0, "{}", err(&done));
    let text = out(&done).split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("started too close"), "{text}");
    assert!(text.contains("outside the drawing's"), "{text}");
    let run = |threads: &str| {
        let words = [
            "piece",
            "short-start.gauged",
            "--cuts",
            "40",
            "--format",
            "json",
            "--threads",
        ];
        out(&shop.run(&[&words[..], &[threads]].concat()))
    };
    let one = run("1");
    // The same bytes on any number of threads.
    assert_eq!(one, run("3"));
    let record: Value = serde_json::from_str(&one).expect("JSON");
    assert_eq!(record["diagnosis"]["causes"][0]["cause"], "short_run_in");
    // Least squares through the five diameters, worked with numpy.polyfit: -1.6937 in/ft.
    let taper = 12.0 * record["fit"]["taper"]["value"].as_f64().expect("a number");
    assert!((taper - 1.6937).abs() < 5e-4, "{taper}");
}

#[test]
fn the_same_file_narrows_the_lathe() {
    let shop = shop();
    let done = shop.run(&[
        "lathe",
        "learn",
        "tapered-socket.toml",
        "short-start.gauged",
        "--draws",
        "60",
    ]);
    // Cut too close, it fits no lathe as described: that too is an answer.
    assert_eq!(code(&done), 3, "{}", out(&done));
    assert!(
        err(&done).contains("no lathe within the ranges"),
        "{}",
        err(&done)
    );
}

#[test]
fn a_wrong_file_is_pointed_at() {
    let shop = shop();
    let good = shop.read("short-start.gauged");
    for (from, to, says) in [
        ("job = \"tapered-socket.toml\"\n", "", "names no job"),
        (
            "diameter_off = \"0.0003 in\"\n",
            "",
            "`diameter_off` is missing",
        ),
        ("[\"0.70 in\", \"2.3988 in\"]", "[\"0.70 in\"]", "a pair"),
        (
            "\"0.70 in\", \"2.3988 in\"",
            "\"0.05 in\", \"2.3988 in\"",
            "at one place",
        ),
        ("\"2.3988 in\"", "\"239\"", "unit"),
        ("+- 0.06 in", "", "gauge's own error"),
        ("straight = ", "straigth = ", "straight"),
    ] {
        assert!(good.contains(from), "{from}");
        shop.write("wrong.gauged", good.replacen(from, to, 1));
        let done = shop.run(&["piece", "wrong.gauged"]);
        assert_eq!(code(&done), 2, "{to}: {}", err(&done));
        assert!(err(&done).contains(says), "{says}: {}", err(&done));
    }
}
