//! Answers in every form: ranked words, JSON, CSV, and the directory that is whole or not there.

use std::io::{BufRead, BufReader};
use std::process::Stdio;

use crate::workshop::{Workshop, code, err, out};
use serde_json::Value;

const FIGURES: [&str; 4] = ["setup", "lost-motion", "surfaces", "drag-map"];

fn json(text: &str) -> Value {
    serde_json::from_str(text).unwrap_or_else(|why| panic!("{why}:\n{text}"))
}

/// Heading to field for each row.
fn rows(text: &str) -> Vec<Vec<(String, String)>> {
    assert!(text.contains("\r\n"), "RFC 4180 ends lines with CRLF");
    let mut lines = csv::Reader::from_reader(text.as_bytes());
    let headings = lines.headers().expect("headings").clone();
    lines
        .records()
        .map(|row| {
            let row = row.expect("as many fields as headings");
            let pairs = headings.iter().zip(row.iter());
            pairs.map(|(h, f)| (h.to_owned(), f.to_owned())).collect()
        })
        .collect()
}

fn field<'a>(row: &'a [(String, String)], heading: &str) -> &'a str {
    let found = row.iter().find(|(h, _)| h == heading);
    &found.unwrap_or_else(|| panic!("no {heading} in {row:?}")).1
}

#[test]
fn the_example_is_compared_and_the_exit_code_is_the_verdict_of_the_best_way() {
    let shop = Workshop::with_example();
    let text = shop.run(&["compare", "job.toml"]);
    assert!(out(&text).contains("CUT IT THIS WAY: "), "{}", out(&text));
    assert!(out(&text).contains("lathes like yours"), "{}", out(&text));
    assert!(!out(&text).contains('\u{1b}'));
    let value = json(&out(&shop.run(&["compare", "job.toml", "--format", "json"])));
    let met = value["ways"][0]["met"].as_bool().expect("the best was run");
    assert_eq!(code(&text), i32::from(!met));
}

#[test]
fn a_drawing_that_no_way_meets_is_exit_code_one() {
    let shop = Workshop::with_example();
    shop.edit(
        "job.toml",
        "size_tolerance = \"+-0.005 in\"",
        "size_tolerance = \"+-0.00001 in\"",
    );
    let text = shop.run(&["compare", "job.toml"]);
    assert_eq!(code(&text), 1, "{}{}", out(&text), err(&text));
    let one = shop.run(&["predict", "job.toml"]);
    assert_eq!(code(&one), 1, "{}{}", out(&one), err(&one));
}

#[test]
fn a_way_that_cannot_be_cut_says_why_and_is_exit_code_one() {
    let shop = Workshop::with_example();
    shop.edit("lathe.toml", "reverse = true", "reverse = false");
    let done = shop.run(&["predict", "job.toml", "--rotation", "reverse"]);
    assert_eq!(code(&done), 1, "{}", err(&done));
    assert!(out(&done).contains("no reverse"), "{}", out(&done));
}

#[test]
fn predict_takes_the_way_that_is_asked_for() {
    let shop = Workshop::with_example();
    let asked: [(&[&str], [&str; 3]); 3] = [
        (
            &[
                "--feed",
                "headstock",
                "--rotation",
                "forward",
                "--side",
                "front",
            ],
            ["front", "headstock", "forward"],
        ),
        (
            &[
                "--side",
                "rear",
                "--feed",
                "tailstock",
                "--rotation",
                "forward",
            ],
            ["rear", "tailstock", "forward"],
        ),
        (
            &[
                "--rotation",
                "reverse",
                "--feed",
                "headstock",
                "--side",
                "rear",
            ],
            ["rear", "headstock", "reverse"],
        ),
    ];
    for (choice, wanted) in asked {
        let arguments = [&["predict", "job.toml", "--format", "json"], choice].concat();
        let value = json(&out(&shop.run(&arguments)));
        let setup = &value["ways"][0]["setup"];
        assert_eq!([&setup["side"], &setup["feed"], &setup["rotation"]], wanted);
        assert_eq!(value["ways"].as_array().map(Vec::len), Some(1));
    }
    let best = json(&out(&shop.run(&["predict", "job.toml", "--format", "json"])));
    let all = json(&out(&shop.run(&["compare", "job.toml", "--format", "json"])));
    assert_eq!(best["ways"][0], all["ways"][0]);
}

#[test]
fn json_holds_version_seed_scenario_and_the_long_lists_only_in_detail() {
    let shop = Workshop::with_example();
    let brief = shop.run(&["compare", "job.toml", "--format", "json", "--seed", "7"]);
    let value = json(&out(&brief));
    assert_eq!(value["seed"], 7);
    assert_eq!(value["version"], env!("CARGO_PKG_VERSION"));
    assert_eq!(value["scenario"]["job"]["work"]["kind"], "inside");
    assert!(value["diagnostics"].is_array());
    let run = &value["ways"][0]["run"];
    assert!(run["outcome"]["taper"].is_f64());
    assert!(run["profile"]["z"].is_null() && run["passes"][0]["turns"].is_null());
    let full = shop.run(&[
        "compare", "job.toml", "--format", "json", "--seed", "7", "--detail",
    ]);
    let run = &json(&out(&full))["ways"][0]["run"];
    assert!(run["profile"]["z"].as_array().is_some_and(|z| z.len() > 10));
    assert!(
        run["passes"][0]["turns"]
            .as_array()
            .is_some_and(|t| t.len() > 10)
    );
    // The same seed gives the same bytes.
    let again = shop.run(&["compare", "job.toml", "--format", "json", "--seed", "7"]);
    assert_eq!(out(&again), out(&brief));
}

#[test]
fn csv_has_a_row_a_way_with_the_unit_in_every_heading_of_a_number() {
    let shop = Workshop::with_example();
    let metric = shop.run(&[
        "compare", "job.toml", "--format", "csv", "--units", "metric",
    ]);
    let inch = shop.run(&["compare", "job.toml", "--format", "csv"]);
    let value = json(&out(&shop.run(&["compare", "job.toml", "--format", "json"])));
    let (metric, inch) = (rows(&out(&metric)), rows(&out(&inch)));
    let ways = value["ways"].as_array().expect("ways");
    assert_eq!((metric.len(), inch.len()), (ways.len(), ways.len()));
    for (index, way) in ways.iter().enumerate() {
        assert_eq!(field(&metric[index], "rank"), (index + 1).to_string());
        assert_eq!(field(&metric[index], "feed"), way["setup"]["feed"]);
        let outcome = &way["run"]["outcome"];
        // Exact by definition: 25.4 mm to the inch, 12 in to the foot.
        for (table, heading, name, scale) in [
            (&metric, "waves_um", "waves", 1e6),
            (&metric, "taper_mm_per_m", "taper", 1e3),
            (&inch, "waves_thou", "waves", 1e3 / 0.0254),
            (&inch, "taper_in_per_ft", "taper", 12.0),
        ] {
            let told: f64 = field(&table[index], heading).parse().expect("a number");
            let wanted = scale * outcome[name].as_f64().expect("a number");
            assert!(
                (told - wanted).abs() <= 1e-6 * wanted.abs(),
                "{heading} {told} {wanted}"
            );
        }
    }
}

#[test]
fn the_units_of_the_words_can_be_chosen() {
    let shop = Workshop::with_example();
    let inch = out(&shop.run(&["compare", "job.toml"]));
    let metric = out(&shop.run(&["compare", "job.toml", "--units", "metric"]));
    assert!(inch.contains("in/ft") && !inch.contains("mm/m"), "{inch}");
    assert!(
        metric.contains("mm/m") && !metric.contains("in/ft"),
        "{metric}"
    );
}

#[test]
fn out_holds_report_records_and_every_figure() {
    let shop = Workshop::with_example();
    let done = shop.run(&["compare", "job.toml", "--out", "report"]);
    assert!(code(&done) <= 1, "{}", err(&done));
    let names = shop.names("report");
    for figure in FIGURES {
        for end in ["svg", "png"] {
            assert!(names.contains(&format!("{figure}.{end}")), "{names:?}");
        }
    }
    let value = json(&shop.read("report/comparison.json"));
    let runs = value["ways"].as_array().expect("ways").iter();
    let cuts = runs.filter(|way| !way["run"].is_null()).count();
    let drawn = names
        .iter()
        .filter(|n| n.starts_with("cut-") && n.ends_with(".svg"));
    assert_eq!(drawn.count(), cuts);
    assert_eq!(shop.read("report/report.txt"), out(&done));
    assert!(!rows(&shop.read("report/comparison.csv")).is_empty());
    assert_eq!(shop.names("."), ["job.toml", "lathe.toml", "report"]);
}

#[test]
fn out_replaces_only_what_it_wrote_and_only_when_told() {
    let shop = Workshop::with_example();
    let run =
        |more: &[&str]| shop.run(&[&["predict", "job.toml", "--out", "report"], more].concat());
    assert!(code(&run(&[])) <= 1);
    shop.write("report/report.txt", "old");
    let again = run(&[]);
    assert_eq!(
        (code(&again), out(&again).as_str()),
        (2, ""),
        "{}",
        err(&again)
    );
    assert_eq!(shop.read("report/report.txt"), "old");
    assert!(code(&run(&["--overwrite"])) <= 1);
    assert_ne!(shop.read("report/report.txt"), "old");
    shop.write("report/holiday.txt", "mine");
    let other = run(&["--overwrite"]);
    assert_eq!(code(&other), 2);
    assert!(err(&other).contains("holiday.txt"), "{}", err(&other));
    assert_eq!(shop.read("report/holiday.txt"), "mine");
    let nowhere = shop.run(&["compare", "job.toml", "--out", "no/report"]);
    assert_eq!(code(&nowhere), 2);
    assert_eq!(shop.names("."), ["job.toml", "lathe.toml", "report"]);
}

#[test]
fn a_closed_pipe_is_no_error() {
    let shop = Workshop::with_example();
    let mut child = shop
        .program()
        .args(["compare", "job.toml", "--format", "json", "--detail"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    let mut first = String::new();
    let mut pipe = BufReader::new(child.stdout.take().expect("a pipe"));
    pipe.read_line(&mut first).expect("a line");
    drop(pipe);
    let done = child.wait_with_output().expect("it ends");
    assert_eq!(first.trim(), "{");
    assert!(code(&done) <= 1, "{}", err(&done));
    assert_eq!(err(&done), "");
}

#[cfg(target_os = "linux")]
mod on_linux {
    use super::*;
    use std::fs::{self, File};
    use std::process::Command;
    use std::thread;
    use std::time::{Duration, Instant};

    #[test]
    fn a_full_disk_is_exit_code_three() {
        let shop = Workshop::with_example();
        let full = File::options()
            .write(true)
            .open("/dev/full")
            .expect("/dev/full");
        let done = shop
            .program()
            .args(["compare", "job.toml"])
            .stdout(full)
            .output()
            .expect("the program starts");
        assert_eq!(code(&done), 3);
        assert!(
            err(&done).contains("can't write the answer"),
            "{}",
            err(&done)
        );
    }

    #[test]
    fn an_out_directory_that_cannot_be_written_leaves_nothing() {
        let shop = Workshop::with_example();
        // /proc takes no directories, whoever asks.
        let done = shop.run(&["predict", "job.toml", "--out", "/proc/report"]);
        assert_eq!(code(&done), 3, "{}", err(&done));
        assert!(
            err(&done).contains("can't write /proc/report"),
            "{}",
            err(&done)
        );
        assert_eq!(out(&done), "");
        assert_eq!(shop.names("."), ["job.toml", "lathe.toml"]);
    }

    #[test]
    fn an_interrupted_run_says_so_and_leaves_nothing() {
        let shop = Workshop::with_example();
        let child = shop
            .program()
            .args(["compare", "job.toml", "--out", "report"])
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("the program starts");
        let stat = format!("/proc/{}/status", child.id());
        // Until the handler is there: the bit of SIGINT, number 2, among the caught signals.
        let started = Instant::now();
        while !catches_interrupts(&fs::read_to_string(&stat).unwrap_or_default()) {
            assert!(started.elapsed() < Duration::from_secs(60), "no handler");
            thread::sleep(Duration::from_millis(1));
        }
        let sent = Command::new("kill")
            .args(["-INT", &child.id().to_string()])
            .status();
        assert!(sent.expect("kill").success());
        let done = child.wait_with_output().expect("it ends");
        assert_eq!(code(&done), 3, "{}", err(&done));
        assert!(err(&done).contains("interrupted:"), "{}", err(&done));
        assert!(err(&done).contains("nothing was written"), "{}", err(&done));
        assert_eq!(out(&done), "");
        assert_eq!(shop.names("."), ["job.toml", "lathe.toml"]);
    }

    fn catches_interrupts(status: &str) -> bool {
        let caught = status.lines().find_map(|line| line.strip_prefix("SigCgt:"));
        let mask = caught.and_then(|mask| u64::from_str_radix(mask.trim(), 16).ok());
        mask.is_some_and(|mask| mask & 0b10 != 0)
    }
}
