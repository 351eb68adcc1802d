//! Gauging sums and tapers on the command line.

use crate::workshop::{Workshop, code, err, out};
use serde_json::Value;

fn answered(arguments: &[&str]) -> String {
    let done = Workshop::empty().run(arguments);
    assert_eq!(code(&done), 0, "{arguments:?}: {}", err(&done));
    out(&done)
}

fn refused(arguments: &[&str], wanted: &[&str]) {
    let done = Workshop::empty().run(arguments);
    assert_eq!(code(&done), 2, "{arguments:?}: {}", out(&done));
    for words in wanted {
        assert!(
            err(&done).contains(words),
            "no {words:?} in\n{}",
            err(&done)
        );
    }
}

fn has(text: &str, wanted: &[&str]) {
    let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
    for words in wanted {
        assert!(flat.contains(words), "no {words:?} in\n{text}");
    }
}

fn json(arguments: &[&str]) -> Value {
    let text = answered(&[arguments, &["--format", "json"]].concat());
    serde_json::from_str(&text).unwrap_or_else(|why| panic!("{why}:\n{text}"))
}

#[test]
fn a_taper_is_told_in_every_form() {
    let text = answered(&[
        "taper", "2", "in/ft", "--travel", "3 in", "--length", "2 in",
    ]);
    // Common practice, no source: half an inch on a diameter readout over 3 in. Two inches along
    // the axis are 2.00693 along the side: API Spec 7-2.
    has(
        &text,
        &[
            "2 in/ft",
            "1:6",
            "3.0000 in of carriage travel: 0.5000 in on a diameter readout, 0.2500 in per side",
            "2.0069 in along the side",
            "5 in bar",
        ],
    );
    // ASME B1.20.1: 1 deg 47' 23.7" for 1 in 16.
    let pipe = answered(&["taper", "1:16"]);
    has(
        &pipe,
        &[
            "0.75 in/ft",
            "1 deg 47 min 23.7 sec per side",
            "pipe thread",
        ],
    );
}

#[test]
fn a_standard_taper_is_told_with_its_source() {
    has(
        &answered(&["taper", "morse", "2"]),
        &["Morse 2, by ISO 296 and ASME B5.10", "0.59941 in/ft"],
    );
    has(
        &answered(&["taper", "--list"]),
        &["Jarno 20", "NC50", "7:24"],
    );
    let value = json(&["taper", "jarno", "10"]);
    assert_eq!(value["standard"]["name"], "Jarno 10");
    // US Navy NAVEDTRA 14345: 0.600 in/ft.
    let taper = value["taper"].as_f64().expect("a number");
    assert!((taper - 0.05).abs() < 1e-12);
}

#[test]
fn what_is_no_taper_is_refused_with_what_would_be_right() {
    refused(&["taper", "mrose", "2"], &["perhaps", "Morse 2"]);
    refused(&["taper", "5 deg"], &["5 deg per side", "^^^^^"]);
    refused(&["taper", "--", "-2 in/ft"], &["more than nothing"]);
    refused(&["taper"], &["TEXT"]);
}

#[test]
fn standoff_is_told_for_the_dial_with_its_table() {
    let args = [
        "fit", "standoff", "--taper", "2 in/ft", "--read", "0.060 in",
    ];
    let text = answered(&args);
    // Worked from similar triangles: 0.006 in a thou; a caliper's 0.002 in are 0.0004 in.
    has(
        &text,
        &[
            "0.0100 +- 0.0004 in on diameter, 0.0050 +- 0.0002 in per side",
            "I assumed: standoff 0.060 +- 0.002 in",
            "0.0600 in",
            "not an inspection",
            "Spindle stopped",
        ],
    );
    assert_eq!(
        text.lines()
            .filter(|line| line.starts_with("  ") && line.matches(" in").count() == 3)
            .count(),
        10
    );
    let bore = answered(&[&args[..], &["--kind", "inside"]].concat());
    has(
        &bore,
        &["too small on diameter", "toward you at the front wall"],
    );
    let metric = answered(&[
        "fit",
        "standoff",
        "--taper",
        "1:16",
        "--read",
        "1.6 mm +- 0.1 mm",
    ]);
    has(&metric, &["0.100 +- 0.007 mm on diameter"]);
    assert!(!metric.contains("I assumed"), "{metric}");
    let value = json(&args);
    let off = value["found"]["still_to_come_off_on_diameter"]["value"].as_f64();
    assert!((off.expect("a number") - 0.010 * 0.0254).abs() < 1e-12);
    assert_eq!(value["found"]["rows"].as_array().map(Vec::len), Some(10));
}

#[test]
fn a_standoff_the_gauge_cannot_tell_is_left_alone() {
    let text = answered(&[
        "fit", "standoff", "--taper", "2 in/ft", "--read", "0.001 in",
    ]);
    has(&text, &["At size as far as this can tell"]);
    let past = answered(&["fit", "standoff", "--taper", "2 in/ft", "--read=-0.060 in"]);
    has(&past, &["No cut brings it back"]);
    // A plug that goes in too far by 0.060 in comes out by facing that much off the mouth.
    let past = answered(&[
        "fit",
        "standoff",
        "--taper",
        "2 in/ft",
        "--kind",
        "inside",
        "--read=-0.060 in",
    ]);
    has(&past, &["Facing the mouth does, by 0.060"]);
}

#[test]
fn blue_says_which_way_and_how_far() {
    let args = [
        "fit",
        "blue",
        "--taper",
        "2 in/ft",
        "--kind",
        "outside",
        "--big-end",
        "headstock",
        "--bears",
        "big",
    ];
    let way = answered(&args);
    has(
        &way,
        &[
            "steeper than the gauge",
            "tailstock end toward the operator.",
            "rock the gauge",
        ],
    );
    let far = [
        &args[..],
        &[
            "--shake",
            "0.002 in +- 0.0003 in",
            "--over",
            "3 in +- 0.01 in",
        ],
        &["--guide-end", "10 in"],
    ]
    .concat();
    // Closed form: 0.002 in over 3 in are 0.008 in/ft; 10 in of guide move 0.0033 in.
    has(
        &answered(&far),
        &["by 0.0033 +- 0.0005 in", "0.0080 +- 0.0013 in/ft steeper"],
    );
    let rear = answered(&[&args[..], &["--side", "rear"]].concat());
    has(&rear, &["away from the operator"]);
    let even = [&args[..8], &["--bears", "all", "--over", "3 in"]].concat();
    has(&answered(&even), &["leave the guide where it is"]);
}

#[test]
fn rolls_balls_and_diameters_give_the_cone() {
    // Worked by hand on the 3-4-5 triangle, as in the tests of the formulas.
    let rolls = answered(&[
        "fit",
        "rolls",
        "--roll",
        "0.2 in",
        "--low",
        "1.6 in",
        "--high",
        "2.2 in",
        "--high-blocks",
        "0.4 in",
        "--length",
        "0.6 in",
    ]);
    has(
        &rolls,
        &[
            "Taper: 18.00",
            "Small end, at the plate: diameter 1.000",
            "Big end, above: diameter 1.90",
        ],
    );
    let balls = answered(&[
        "fit",
        "balls",
        "--small",
        "0.6 in",
        "--small-depth",
        "0.3 in",
        "--big",
        "1.2 in",
        "--big-depth",
        "-0.5 in",
    ]);
    has(&balls, &["Taper: 18.", ": diameter 1.65"]);
    let one = answered(&[
        "fit",
        "balls",
        "--big",
        "1.2 in",
        "--big-depth",
        "-0.5 in",
        "--taper",
        "18 in/ft",
    ]);
    has(&one, &[": diameter 1.65"]);
    // Common practice, no source: 0.502 in over 3 in at 2 in/ft is 0.008 in/ft steep.
    let two = answered(&[
        "fit",
        "diameters",
        "--big",
        "1.502 in +- 0 in",
        "--small",
        "1 in +- 0 in",
        "--apart",
        "3 in +- 0 in",
        "--wanted",
        "2 in/ft",
    ]);
    has(
        &two,
        &["2.0080 in/ft", "steeper than 2 in/ft by 0.0080 in/ft"],
    );
}

#[test]
fn numbers_no_cone_could_give_are_refused() {
    refused(
        &[
            "fit",
            "diameters",
            "--big",
            "1 in",
            "--small",
            "1.5 in",
            "--apart",
            "3 in",
        ],
        &["big diameter", "swap the two"],
    );
    refused(
        &["fit", "standoff", "--taper", "2 in/ft", "--read", "0.1"],
        &["a length needs its unit", "--read"],
    );
    refused(
        &["fit", "balls", "--big", "1 in", "--big-depth", "0.1 in"],
        &["--small"],
    );
}

/// One option given wrong, the others right: what it must say besides its help.
#[test]
fn every_length_of_every_sum_says_what_is_wrong_with_it() {
    const BLUE: &[&str] = &[
        "blue",
        "--taper",
        "2 in/ft",
        "--kind",
        "outside",
        "--big-end",
        "headstock",
        "--bears",
        "big",
        "--guide-end",
        "10 in",
    ];
    const ROLLS: &[&str] = &[
        "rolls",
        "--roll",
        "0.25 in",
        "--low",
        "1.7 in",
        "--high",
        "1.8 in",
        "--high-blocks",
        "1 in",
        "--low-blocks",
        "0 in",
        "--length",
        "2 in",
    ];
    const BALLS: &[&str] = &[
        "balls",
        "--small",
        "0.5 in",
        "--small-depth",
        "2.1 in",
        "--big",
        "0.75 in",
        "--big-depth",
        "0.22 in",
    ];
    const TWO: &[&str] = &[
        "diameters",
        "--big",
        "2 in",
        "--small",
        "1 in",
        "--apart",
        "3 in",
        "--beyond",
        "1 in",
    ];
    const STANDOFF: &[&str] = &[
        "standoff", "--taper", "2 in/ft", "--read", "0.1 in", "--step", "0.01 in",
    ];
    let shake = [BLUE, &["--shake", "0.002 in", "--over", "3 in"]].concat();
    let mark = [BLUE, &["--mark", "1 in", "--film", "0.0003 in"]].concat();
    let sums: [&[&str]; 6] = [STANDOFF, &shake, &mark, ROLLS, BALLS, TWO];
    // These may stand proud, toward the smaller, or on the plate.
    let may_be_less = ["--read", "--big-depth", "--beyond"];
    let mut tried = 0;
    for sum in sums {
        let lengths = (2..sum.len()).filter(|at| sum[*at].ends_with(" in"));
        for at in lengths {
            let option = sum[at - 1];
            let with = |value: &'static str| -> Vec<&str> {
                let mut given = [&["fit"], sum].concat();
                given[at + 1] = value;
                given
            };
            for (value, says) in [
                ("3", "a length needs its unit"),
                ("abc", "a number is wanted here"),
                ("", "a number is wanted here"),
                ("3 lbf", "`lbf` is a force, a length is wanted"),
            ] {
                refused(&with(value), &[option, says, "help: "]);
            }
            if !may_be_less.contains(&option) {
                refused(&with("-3 in"), &["error: ", "help: "]);
            }
            tried += 1;
        }
    }
    assert!(tried > 18, "{tried}");
    for (given, says) in [
        (
            &shake,
            "the distance from the bearing end to the indicator must be more than nothing",
        ),
        (&mark, "the film of blue must be more than nothing"),
    ] {
        let mut given = [&["fit"], &given[..]].concat();
        let last = given.len() - 1;
        given[last] = "0 in";
        refused(&given, &[says]);
    }
    let mut low = [&["fit"], ROLLS].concat();
    low[11] = "-1 in";
    refused(
        &low,
        &[
            "the lower blocks can't be less than nothing",
            "on the plate",
        ],
    );
}

#[test]
fn a_taper_asked_for_wrongly_says_what_would_be_right() {
    for (given, says) in [
        (&["2"][..], &["a taper needs its unit", "2 in/ft"][..]),
        (
            &["-2", "in/ft"],
            &["more than nothing", "leave out the sign"],
        ),
        (&["0", "in/ft"], &["more than nothing"]),
        (&["hello"], &["no standard taper", "3/4 in/ft"]),
        (&["5", "deg"], &["per side", "included"]),
        (&["2 lbf"], &["`lbf` is a force"]),
        (&[""], &["no standard taper", "3/4 in/ft"]),
        (
            &["2 in/ft", "--travel", "3"],
            &["--travel", "a length needs its unit"],
        ),
        (
            &["2 in/ft", "--travel", "-3 in"],
            &["--travel has to be more than nothing"],
        ),
        (
            &["2 in/ft", "--reading", "0 in"],
            &["--reading has to be more than nothing"],
        ),
        (
            &["2 in/ft", "--length", "far"],
            &["--length", "a number is wanted"],
        ),
    ] {
        refused(&[&["taper"], given].concat(), says);
    }
}
