//! Forms beside job and lathe: what they tell is the command's, what is wrong is told of its field.

use serde_json::{Value, json};
use tautway_browser_engine::answer::answer;

use super::said::{by_command, on_page};
use crate::workshop::Workshop;

fn asked(question: &Value) -> Value {
    let told: Value = serde_json::from_str(&answer(&question.to_string())).expect("JSON");
    assert!(told["fault"].is_null(), "{question}: {told}");
    told
}

fn told(shop: &Workshop, of: &str, text: &str, units: &str) -> Value {
    asked(&json!({
        "ask": "told", "of": of, "text": text, "job": shop.read("tapered-socket.toml"),
        "lathe": shop.read("worn-lathe.toml"), "units": units, "seed": 1,
    }))
}

fn words(told: &Value) -> Vec<String> {
    on_page(told["said"].as_str().unwrap_or_else(|| panic!("{told}")))
}

/// A path, and what is typed there.
type Put = (&'static str, &'static str);

/// A form with these typed into it, one after another.
fn filled(of: &str, units: &str, typed: &[Put]) -> String {
    let blank = asked(&json!({ "ask": "form", "of": of, "units": units }));
    let text = blank["text"].as_str().expect("a text");
    let done = asked(&json!({ "ask": "fill", "of": of, "text": text, "put": typed }));
    done["text"].as_str().expect("a text").to_owned()
}

/// Paths and messages of what is wrong.
fn faults(told: &Value) -> Vec<(String, String)> {
    let text = |value: &Value| value.as_str().expect("words").to_owned();
    let list = told["faults"].as_array().expect("a list").iter();
    list.map(|one| (text(&one["path"]), text(&one["message"])))
        .collect()
}

#[test]
fn guide_readings_and_a_finished_piece_tell_what_their_commands_do() {
    let shop = Workshop::with_scenarios();
    let readings = "socket-after-setting.readings";
    let ours = by_command(&shop, &["guide", readings], &[]);
    assert_eq!(
        ours,
        words(&told(&shop, "readings", &shop.read(readings), "inch"))
    );
    let ours = by_command(&shop, &["guide", readings, "--units", "metric"], &[]);
    assert_eq!(
        ours,
        words(&told(&shop, "readings", &shop.read(readings), "metric"))
    );
    let piece = "short-start.gauged";
    let hint = " (few of its pieces came near: more --trials would say it better)";
    let ours = by_command(&shop, &["piece", piece], &[hint]);
    assert_eq!(
        ours,
        words(&told(&shop, "piece", &shop.read(piece), "inch"))
    );
}

#[test]
fn a_gauging_sum_tells_what_its_command_does() {
    let shop = Workshop::empty();
    let sums: [(&str, &[Put]); 8] = [
        (
            "standoff",
            &[
                ("taper", "1-1/2 in/ft"),
                ("read", "0.120 in"),
                ("kind", "inside"),
            ],
        ),
        ("standoff", &[("taper", "1:8"), ("step", "0.5 mm")]),
        (
            "blue",
            &[
                ("taper", "1-1/2 in/ft"),
                ("kind", "outside"),
                ("big_end", "headstock"),
                ("bears", "big"),
                ("shake", "0.003 in"),
                ("over", "2.5 in"),
            ],
        ),
        (
            "blue",
            &[
                ("taper", "1-1/2 in/ft"),
                ("kind", "outside"),
                ("big_end", "headstock"),
                ("bears", "small"),
            ],
        ),
        (
            "rolls",
            &[
                ("roll", "0.250 in"),
                ("low", "1.7702 in"),
                ("high", "1.9368 in"),
                ("high_blocks", "1 in"),
                ("wanted", "2 in/ft"),
            ],
        ),
        (
            "rolls",
            &[
                ("roll", "0.250 in"),
                ("low", "1.7702 in"),
                ("taper", "2 in/ft"),
                ("big_end_up", "yes"),
            ],
        ),
        (
            "balls",
            &[
                ("small", "0.500 in"),
                ("small_depth", "3.1 in"),
                ("big", "0.750 in"),
                ("big_depth", "1.47 in"),
            ],
        ),
        (
            "diameters",
            &[
                ("big", "1.502 in"),
                ("small", "1.000 in +- 0.001 in"),
                ("apart", "3 in"),
                ("with", "caliper"),
                ("beyond", "-1 in"),
                ("wanted", "2 in/ft"),
            ],
        ),
    ];
    for (sum, typed) in sums {
        for units in ["inch", "metric"] {
            let text = filled(sum, units, typed);
            let page = words(&told_bare(sum, &text, units));
            let mut args = vec![
                "gauging".to_owned(),
                sum.to_owned(),
                "--units".to_owned(),
                units.to_owned(),
            ];
            for (path, value) in typed {
                if *path == "big_end_up" {
                    args.push("--big-end-up".to_owned());
                    continue;
                }
                args.push(format!("--{}={value}", path.replace('_', "-")));
            }
            let args: Vec<&str> = args.iter().map(String::as_str).collect();
            let ours = by_command(&shop, &args, &[" (--shake, --over)", " (--mark)"]);
            assert_eq!(ours, page, "{args:?}");
        }
    }
}

fn told_bare(of: &str, text: &str, units: &str) -> Value {
    asked(&json!({
        "ask": "told", "of": of, "text": text, "job": "", "lathe": "", "units": units, "seed": 1,
    }))
}

#[test]
fn what_is_wrong_is_told_of_its_field_and_gone_when_mended() {
    let wrong: [(&str, &[Put], &str, &str); 8] = [
        (
            "readings",
            &[
                ("name", "a"),
                ("wanted.taper", "2 in/ft"),
                ("readout.step", "0.001 in"),
                (
                    "readings.rows",
                    "carriage in, slide in, direction\n0, 0, tailstock\n1, 0.16, tailstock\n2, 0.33, tailstock",
                ),
            ],
            "readout.reads",
            "diameter",
        ),
        (
            "standoff",
            &[("taper", "2 in/ft"), ("read", "0.1 lbf")],
            "read",
            "0.1 in",
        ),
        (
            "standoff",
            &[("taper", "no such"), ("read", "0.1 in")],
            "taper",
            "2 in/ft",
        ),
        (
            "standoff",
            &[("taper", "2 in/ft"), ("step", "-1 in")],
            "step",
            "1 in",
        ),
        (
            "diameters",
            &[("big", "1 in"), ("small", "2 in"), ("apart", "3 in")],
            "big",
            "3 in",
        ),
        (
            "balls",
            &[
                ("small", "0.5 in"),
                ("big", "0.75 in"),
                ("big_depth", "1.47 in"),
            ],
            "small_depth",
            "3.1 in",
        ),
        (
            "readings",
            &[
                ("name", "a"),
                ("wanted.taper", "2 in/ft"),
                ("readout.reads", "diameter"),
                ("readout.step", "1 lbf"),
                (
                    "readings.rows",
                    "carriage in, slide in, direction\n0, 0, tailstock\n1, 0.16, tailstock\n2, 0.33, tailstock",
                ),
            ],
            "readout.step",
            "0.001 in",
        ),
        (
            "readings",
            &[
                ("name", "a"),
                ("wanted.taper", "2 in/ft"),
                ("readout.reads", "diameter"),
                ("readout.step", "0.001 in"),
                (
                    "readings.rows",
                    "carriage in, slide in, direction\n0, 0, tailstock\n1, up, tailstock\n2, 0.33, tailstock",
                ),
            ],
            "readings.rows",
            "carriage in, slide in, direction\n0, 0, tailstock\n1, 0.16, tailstock\n2, 0.33, tailstock",
        ),
    ];
    for (of, typed, path, mended) in wrong {
        let text = filled(of, "inch", typed);
        let found = told_bare(of, &text, "inch");
        assert!(found["said"].is_null(), "{of}: {found}");
        let told = faults(&found);
        assert!(
            told.iter()
                .any(|(at, words)| at == path && !words.is_empty()),
            "{of} {path}: {told:?}"
        );
        let done =
            asked(&json!({ "ask": "fill", "of": of, "text": text, "put": [[path, mended]] }));
        let found = told_bare(of, done["text"].as_str().expect("a text"), "inch");
        assert!(found["said"].is_string(), "{of} {path}: {found}");
        assert!(
            faults(&found).iter().all(|(at, _)| at != path),
            "{of} {path}: {found}"
        );
    }
}

#[test]
fn a_form_begins_with_what_job_and_lathe_say() {
    let shop = Workshop::with_scenarios();
    let blank = |of: &str| {
        let [job, lathe] = ["tapered-socket.toml", "worn-lathe.toml"].map(|name| shop.read(name));
        asked(&json!({ "ask": "form", "of": of, "units": "inch", "job": job, "lathe": lathe }))
    };
    assert_eq!(blank("standoff")["values"]["taper"], "1-3/4 in/ft");
    assert_eq!(blank("standoff")["values"]["kind"], "inside");
    let readings = blank("readings");
    assert_eq!(
        readings["values"]["wanted.tolerance"],
        "+0.000 -0.030 in/ft"
    );
    assert_eq!(readings["values"]["wanted.big_end"], "tailstock");
}
