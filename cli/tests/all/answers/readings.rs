//! `tautway guide`: the answer, its exit code, its files, faults pointed at.

use crate::workshop::{Workshop, code, err, out};
use serde_json::Value;

const GUIDE: &str = include_str!("../../../../sim/tests/all/given/guide.toml");

fn shop() -> Workshop {
    let shop = Workshop::empty();
    shop.write("guide.toml", GUIDE);
    shop
}

#[test]
fn the_screen_says_what_is_set_what_to_do_and_what_can_hurt() {
    let shop = shop();
    let said = shop.run(&["readings", "guide.toml"]);
    assert_eq!(code(&said), 1, "{}", err(&said));
    let text = out(&said);
    for part in [
        "Really set, on diameter: 2.008",
        "FAILED: outside 1.9700 in/ft to 2.0000 in/ft",
        "away from you",
        "Wild: row 11",
        "Slack not taken up: row 8",
        "reads per side",
        "spindle stopped",
        "Never reach over a turning chuck",
    ] {
        assert!(
            text.split_whitespace()
                .collect::<Vec<_>>()
                .join(" ")
                .contains(part),
            "no {part:?} in\n{text}"
        );
    }
    assert!(text.lines().count() <= 30, "{text}");
    // The caution stands before any advice.
    assert!(text.find("STOP IF") < text.find("Nudge"));
}

#[test]
fn one_direction_says_that_lost_motion_cannot_be_known() {
    let shop = shop();
    let one: String = GUIDE
        .lines()
        .filter(|line| !line.contains("     headstock"))
        .map(|line| format!("{line}\n"))
        .collect();
    shop.write("guide.toml", one);
    let text = out(&shop.run(&["readings", "guide.toml"]));
    let wanted = "lost motion can't be known from readings in one direction";
    assert!(text.replace("\n    ", " ").contains(wanted), "{text}");
}

#[test]
fn a_tolerance_that_is_proven_is_exit_code_zero() {
    let shop = shop();
    shop.edit("guide.toml", "+0.000 -0.030", "+0.030 -0.000");
    let said = shop.run(&["readings", "guide.toml", "--units", "metric"]);
    assert_eq!(code(&said), 0, "{}", out(&said));
    assert!(
        out(&said).contains("PROVEN: within 166.667 mm/m"),
        "{}",
        out(&said)
    );
}

#[test]
fn json_and_the_directory_hold_the_same_record() {
    let shop = shop();
    let said = shop.run(&[
        "readings",
        "guide.toml",
        "--format",
        "json",
        "--out",
        "kept",
    ]);
    let value: Value = serde_json::from_str(&out(&said)).expect("JSON");
    let taper = value["found"]["taper"]["value"].as_f64().expect("a taper");
    assert!((12.0 * taper - 2.0084).abs() < 1e-3, "{taper}");
    assert_eq!(value["found"]["readings"][10]["taken"], "wild");
    assert_eq!(value["cautions"].as_array().map(Vec::len), Some(2));
    assert_eq!(
        shop.names("kept"),
        [
            "readings.json",
            "readings.png",
            "readings.svg",
            "report.html",
            "report.txt",
            "tautway-output.txt"
        ]
    );
    assert_eq!(shop.read("kept/readings.json"), out(&said));
}

#[test]
fn a_bad_row_is_pointed_at() {
    let shop = shop();
    shop.edit("guide.toml", "0.3345 ", "0.3345in/ft ");
    let said = shop.run(&["readings", "guide.toml"]);
    assert_eq!(code(&said), 2);
    assert!(err(&said).contains("guide.toml:27:"), "{}", err(&said));
    assert!(err(&said).contains("row 3"), "{}", err(&said));
    assert_eq!(out(&said), "");
}

#[test]
fn slack_as_long_as_the_travel_is_told_with_what_to_do() {
    let shop = shop();
    let head = GUIDE.split("rows = ").next().expect("a head");
    // Invented: turned at 3 in with 2.6 in lost, so only the last place may be seated.
    let rows = "rows = \"\"\"\ncarriage in   slide in   direction\n\
                0.000  0.0000  tailstock\n1.000  0.1670  tailstock\n2.000  0.3335  tailstock\n\
                3.000  0.5000  tailstock\n2.000  0.5000  headstock\n1.000  0.5000  headstock\n\
                0.000  0.4335  headstock\n\"\"\"\n";
    shop.write("guide.toml", format!("{head}{rows}"));
    let said = shop.run(&["readings", "guide.toml"]);
    let text = out(&said).replace("\n    ", " ");
    for part in [
        "Really set, on diameter: 1.99",
        "1.6 in of carriage travel at least",
        "SLACK NEAR THE TRAVEL READ: toward the headstock (rows 5 to 7) the slide stood still for \
         about 1.6 in of the 2 in read",
        "Go 2 1/4 in past the first place",
        "read in one direction only",
        "A single misreading of less than",
    ] {
        assert!(text.contains(part), "no {part:?} in\n{text}");
    }
    assert!(
        !text.contains("Slack not taken up: row"),
        "told once: {text}"
    );
}
