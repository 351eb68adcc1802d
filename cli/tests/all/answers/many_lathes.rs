//! Many lathes like the one described: the same bytes on any threads and from any parts, one trial
//! again by itself, and how ranges and chances are told.

use std::collections::BTreeMap;
use std::fs;

use crate::workshop::{Workshop, code, err, out};
use serde_json::Value;

/// A light job on a lathe that nobody measured, shared with the engine's tests.
const JOB: &str = include_str!("../../../../sim/tests/all/given/many/job.toml");
const LATHE: &str = include_str!("../../../../sim/tests/all/given/many/lathe.toml");
const SOCKET: &str = include_str!("../../../../scenarios/tapered-socket.toml");
const WORN: &str = include_str!("../../../../scenarios/worn-lathe.toml");

fn shop() -> Workshop {
    let shop = Workshop::empty();
    shop.write("job.toml", JOB);
    shop.write("lathe.toml", LATHE);
    shop.write("tapered-socket.toml", SOCKET);
    shop.write("worn-lathe.toml", WORN);
    shop
}

fn json(text: &str) -> Value {
    serde_json::from_str(text).unwrap_or_else(|why| panic!("{why}:\n{text}"))
}

/// Compares and writes a directory; what the screen says.
fn compared(shop: &Workshop, to: &str, more: &[&str]) -> String {
    let done = shop.run(&[&["compare", "job.toml", "--out", to], more].concat());
    assert!(code(&done) < 2, "{more:?}: {}", err(&done));
    out(&done)
}

fn part(shop: &Workshop, to: &str, from: u64, count: u64) {
    let [from, count] = [from, count].map(|n| n.to_string());
    compared(shop, to, &["--from", &from, "--count", &count]);
}

fn joined(shop: &Workshop, to: &str, parts: &[&str]) -> String {
    let done = shop.run(&[&["join", "--out", to], parts].concat());
    assert!(code(&done) < 2, "{parts:?}: {}", err(&done));
    out(&done)
}

/// Every file of a directory.
fn files(shop: &Workshop, directory: &str) -> BTreeMap<String, Vec<u8>> {
    let read = |name: String| {
        let path = shop.path(directory).join(&name);
        let bytes = fs::read(&path).expect("a file");
        (name, bytes)
    };
    shop.names(directory).into_iter().map(read).collect()
}

/// Says which file differs, not all of its bytes.
fn assert_same(shop: &Workshop, one: &str, other: &str) {
    let (one_files, other_files) = (files(shop, one), files(shop, other));
    assert!(
        one_files.keys().eq(other_files.keys()),
        "{one} and {other}: {:?}, {:?}",
        one_files.keys(),
        other_files.keys()
    );
    for (name, bytes) in &one_files {
        assert!(*bytes == other_files[name], "{name} of {one} and {other}");
    }
}

fn trials(shop: &Workshop, directory: &str) -> Vec<Value> {
    let text = shop.read(&format!("{directory}/trials.jsonl"));
    text.lines().map(json).collect()
}

#[test]
fn a_whole_run_gives_the_same_bytes_on_one_two_three_and_seven_threads() {
    let shop = shop();
    let mut said = Vec::new();
    for threads in ["1", "2", "3", "7"] {
        said.push(compared(
            &shop,
            threads,
            &["--trials", "60", "--threads", threads],
        ));
        assert_same(&shop, "1", threads);
    }
    assert!(said.iter().all(|text| *text == said[0]));
    let names = shop.names("1");
    for name in [
        "trials.jsonl",
        "trials.csv",
        "study.json",
        "spread.svg",
        "mend.png",
    ] {
        assert!(names.iter().any(|n| n == name), "no {name} in {names:?}");
    }
    let trials = trials(&shop, "1");
    assert_eq!(trials.len(), 60);
    assert!(
        (1..=60).eq(trials
            .iter()
            .map(|t| t["number"].as_u64().expect("a number")))
    );
    // It is the seed that decides, not nothing at all.
    compared(&shop, "other", &["--trials", "60", "--seed", "2"]);
    assert_ne!(shop.read("1/trials.jsonl"), shop.read("other/trials.jsonl"));
}

#[test]
fn parts_of_any_split_in_any_order_join_to_the_bytes_of_one_run() {
    let shop = shop();
    let said = compared(&shop, "whole", &["--trials", "72"]);
    part(&shop, "a", 1, 11);
    part(&shop, "b", 12, 40);
    part(&shop, "c", 52, 21);
    part(&shop, "d", 12, 61);
    for (to, parts) in [
        ("abc", &["a", "b", "c"][..]),
        ("cab", &["c", "a", "b"]),
        ("da", &["d", "a"]),
    ] {
        assert_eq!(joined(&shop, to, parts), said, "{parts:?}");
        assert_same(&shop, "whole", to);
    }
    // Named from elsewhere the job is the same.
    let job = shop.path("job.toml").display().to_string();
    let done = shop.run(&["compare", &job, "--out", "named", "--trials", "72"]);
    assert_eq!(out(&done), said);
    assert_same(&shop, "whole", "named");
    // A whole joined with nothing is itself.
    assert_eq!(joined(&shop, "itself", &["whole"]), said);
    assert_same(&shop, "whole", "itself");
}

#[test]
fn what_is_no_whole_is_refused_with_a_pointed_error_and_nothing_is_written() {
    let shop = shop();
    part(&shop, "a", 1, 20);
    part(&shop, "b", 21, 20);
    part(&shop, "c", 41, 20);
    compared(
        &shop,
        "seed",
        &["--from", "21", "--count", "20", "--seed", "2"],
    );
    compared(
        &shop,
        "coverage",
        &["--from", "21", "--count", "20", "--coverage", "80"],
    );
    shop.edit("job.toml", "length = \"12 mm\"", "length = \"13 mm\"");
    part(&shop, "job", 21, 20);
    compared(&shop, "none", &["--trials", "0"]);

    let copy = |to: &str, change: &dyn Fn(Vec<String>) -> Vec<String>| {
        fs::create_dir(shop.path(to)).expect("a directory");
        for name in ["study.json", "trials.jsonl"] {
            shop.write(&format!("{to}/{name}"), shop.read(&format!("b/{name}")));
        }
        let text = shop.read("b/trials.jsonl");
        let lines = change(text.lines().map(str::to_owned).collect());
        shop.write(&format!("{to}/trials.jsonl"), lines.join("\n") + "\n");
    };
    let at = |to: &str, line: usize, change: &dyn Fn(&mut Value)| {
        copy(to, &|mut lines| {
            let mut value = json(&lines[line - 1]);
            change(&mut value);
            lines[line - 1] = value.to_string();
            lines
        });
    };
    copy("cut-off", &|mut lines| {
        let half = lines[6].len() / 2;
        lines[6].truncate(half);
        lines
    });
    copy("short", &|mut lines| {
        lines.pop();
        lines
    });
    copy("twice", &|mut lines| {
        lines[4] = lines[3].clone();
        lines
    });
    at("word", 3, &|trial| trial["luck"] = "much".into());
    at("fewer-ways", 5, &|trial| {
        trial["ways"].as_array_mut().expect("ways").pop();
    });
    at("fewer-values", 5, &|trial| {
        trial["values"].as_array_mut().expect("values").pop();
    });
    copy("altered", &|mut lines| {
        let at = lines[8].find("\"taken\":").expect("it is there") + 12;
        let digit = &lines[8][at..=at];
        let other = if digit == "1" { "2" } else { "1" };
        lines[8].replace_range(at..=at, other);
        lines
    });
    copy("no-record", &|lines| lines);
    fs::remove_file(shop.path("no-record/study.json")).expect("it was there");
    copy("no-trials", &|lines| lines);
    fs::remove_file(shop.path("no-trials/trials.jsonl")).expect("it was there");

    let before = shop.names(".");
    for (parts, wanted, words) in [
        (&["a", "c"][..], 2, "c: trials 21 to 40 are missing"),
        (&["b", "c"], 2, "b: trials 1 to 20 are missing"),
        (&["a", "b", "b"], 2, "b: trial 21 is there twice"),
        (&["a", "seed"], 2, "a and seed are not of one whole"),
        (&["a", "coverage"], 2, "a and coverage are not of one whole"),
        (&["a", "job"], 2, "a and job are not of one whole"),
        (&["a", "cut-off"], 2, "cut-off/trials.jsonl:7: "),
        (&["a", "word"], 2, "word/trials.jsonl:3: "),
        (&["a", "altered"], 2, "altered/trials.jsonl:9: not as"),
        (&["a", "short"], 2, "short: trials 21 to 40 are wanted"),
        (&["a", "twice"], 2, "twice: trials 21 to 40 are wanted"),
        (&["a", "fewer-ways"], 2, "fewer-ways/trials.jsonl:5: "),
        (&["a", "fewer-values"], 2, "fewer-values/trials.jsonl:5: "),
        (&["a", "no-record"], 3, "no file no-record/study.json"),
        (&["a", "no-trials"], 3, "no file no-trials/trials.jsonl"),
        (&["a", "none"], 3, "no file none/study.json"),
        (&["a", "nowhere"], 3, "no file nowhere/study.json"),
    ] {
        let done = shop.run(&[&["join", "--out", "joined"], parts].concat());
        let said = err(&done);
        assert_eq!(code(&done), wanted, "{parts:?}: {said}");
        assert!(said.contains(words), "{parts:?}: {said}");
        assert_eq!(out(&done), "", "{parts:?}");
        assert_eq!(shop.names("."), before, "{parts:?}");
    }
}

#[test]
fn one_trial_again_by_itself_tells_the_measures_of_its_record() {
    let shop = shop();
    for job in ["job.toml", "tapered-socket.toml"] {
        let to = format!("{job}-report");
        let done = shop.run(&[
            "compare", job, "--trials", "50", "--seed", "4", "--out", &to,
        ]);
        assert!(code(&done) < 2, "{}", err(&done));
        let all = trials(&shop, &to);
        for number in [1, 7, 50] {
            let n = number.to_string();
            let arguments = ["predict", job, "--trial", &n, "--seed", "4"];
            let alone = shop.run(&[&arguments[..], &["--format", "json"]].concat());
            assert!(code(&alone) < 2, "{}", err(&alone));
            let alone = json(&out(&alone));
            let outcome = alone["ways"][0]["run"]["outcome"].as_object();
            let outcome = outcome.expect("it was run");
            let record = all[number - 1]["ways"][0].as_object().expect("a record");
            assert!(outcome["taper"].is_number());
            for (measure, value) in record.iter().filter(|(name, _)| *name != "verdict") {
                assert_eq!(&outcome[measure], value, "{job}, trial {n}: {measure}");
            }
            let said = out(&shop.run(&arguments));
            assert!(said.contains(&format!("Trial {n} of seed 4, ")), "{said}");
        }
    }
}

#[test]
fn trials_are_told_on_the_screen_in_json_and_in_csv_as_counted_by_hand() {
    let shop = shop();
    let arguments = ["compare", "job.toml", "--trials", "60", "--seed", "9"];
    let run = |more: &[&str]| {
        let done = shop.run(&[&arguments[..], more].concat());
        assert!(code(&done) < 2, "{}", err(&done));
        out(&done)
    };
    let text = run(&["--out", "report", "--detail"]);
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        text.contains("seed 9, 60 lathes tried, ranges hold 95 of 100"),
        "{text}"
    );
    let value = json(&run(&["--format", "json"]));
    let outlook = &value["spread"]["outlook"];
    assert_eq!(
        (&outlook["trials"], &outlook["seed"]),
        (&60.into(), &9.into())
    );
    assert_eq!(outlook["probability"], 0.95);
    let trials = trials(&shop, "report");
    let table = run(&["--format", "csv"]);
    let mut rows = csv::Reader::from_reader(table.as_bytes());
    let headings = rows.headers().expect("headings").clone();
    for (at, row) in rows.records().enumerate() {
        let row = row.expect("a row");
        let number = |heading: &str| -> f64 {
            let column = headings.iter().position(|h| h == heading);
            let field = &row[column.unwrap_or_else(|| panic!("no {heading}"))];
            field
                .parse()
                .unwrap_or_else(|_| panic!("{heading}: {field}"))
        };
        assert_eq!(number("trials"), 60.0);
        let way = &outlook["ways"][at];
        let met = |trial: &&Value| {
            let verdict = &trial["ways"][at]["verdict"];
            ["taper", "size", "waves"]
                .iter()
                .all(|what| verdict[*what] != Value::Bool(false))
        };
        let counted = trials.iter().filter(met).count();
        assert_eq!(way["met"]["in_trials"], counted, "way {at}");
        assert!((number("share_drawing_met_percent") - counted as f64 / 0.6).abs() < 1e-4);
        // From the 2nd to the 59th of 60 in order; mm/m and um from SI.
        for (measure, unit, scale) in [
            ("taper", "mm_per_m", 1e3),
            ("size_error", "um", 1e6),
            ("waves", "um", 1e6),
        ] {
            let mut values: Vec<f64> = trials
                .iter()
                .map(|trial| trial["ways"][at][measure].as_f64().expect("a number"))
                .collect();
            values.sort_by(f64::total_cmp);
            for (end, wanted) in [("least", values[1]), ("most", values[58])] {
                let found = number(&format!("{measure}_{end}_{unit}"));
                let off = (found - scale * wanted).abs();
                assert!(off <= 1e-6 * found.abs(), "{measure} {end}: {found}");
            }
        }
    }
    // A range that holds fewer lathes is narrower.
    let fewer = json(&run(&["--format", "json", "--coverage", "80 %"]));
    let ends = |value: &Value| {
        let range = &value["spread"]["outlook"]["ways"][0]["taper"]["symmetric"];
        ["lower", "upper"].map(|end| range[end].as_f64().expect("a number"))
    };
    let (wide, narrow) = (ends(&value), ends(&fewer));
    assert!(wide[0] < narrow[0] && narrow[1] < wide[1]);
    assert!(run(&["--coverage", "80"]).contains("ranges hold 80 of 100"));
}

#[test]
fn no_trials_give_no_ranges_and_no_files_of_them() {
    let shop = shop();
    let text = compared(&shop, "report", &["--trials", "0"]);
    assert!(text.contains("within tolerance.\n"), "{text}");
    for words in ["lathes", "of 100"] {
        let rest = text.split("I assumed").next().expect("the answer");
        assert!(!rest.contains(words), "{words}: {text}");
    }
    assert!(!text.contains("lathes tried"), "{text}");
    let names = shop.names("report");
    for name in [
        "trials.csv",
        "trials.jsonl",
        "study.json",
        "spread.svg",
        "mend.svg",
    ] {
        assert!(names.iter().all(|n| n != name), "{name}");
    }
    assert_eq!(
        json(&shop.read("report/comparison.json"))["spread"],
        Value::Null
    );
}

#[test]
fn numbers_of_trials_that_tell_nothing_are_refused_with_what_would_be_right() {
    let shop = shop();
    let before = shop.names(".");
    for (arguments, words) in [
        (
            &["--trials", "10"][..],
            "write 50 or more, 0 for none, or auto",
        ),
        (&["--trials", "many"], "write a whole number"),
        (&["--trials=-5"], "write a whole number"),
        (&["--coverage", "120"], "from 50 to 99 per cent"),
        (&["--coverage", "0.95"], "from 50 to 99 per cent"),
        (&["--from", "3"], "--trials"),
        (&["--count", "30", "--out", "report"], "write 50 or more"),
        (&["--from", "1", "--count", "30"], "--folder"),
        (&["--from", "0", "--count", "30", "--out", "report"], "1.."),
        (&["--threads", "0"], "1.."),
        // A range for 99 of 100 leaves one out at least; for 95, one of 11.
        (&["--trials", "50", "--coverage", "99"], "at least 51"),
        (
            &["--from", "1", "--count", "10", "--out", "report"],
            "at least 11",
        ),
    ] {
        let done = shop.run(&[&["compare", "job.toml"], arguments].concat());
        let said = err(&done);
        assert_eq!(code(&done), 2, "{arguments:?}: {said}");
        assert!(said.contains(words), "{arguments:?}: {said}");
        assert_eq!(out(&done), "", "{arguments:?}");
        assert_eq!(shop.names("."), before, "{arguments:?}");
    }
}

#[test]
fn a_table_that_makes_no_distribution_is_pointed_at_by_check() {
    let shop = shop();
    for (given, words) in [
        (
            r#"{ low = "1 mm", high = "2 mm", shape = "curvilinear trapezoid" }"#,
            "within",
        ),
        (
            r#"{ low = "2 mm", high = "1 mm", shape = "rectangular" }"#,
            "out of order",
        ),
        (r#"{ low = "1 mm", high = "2 mm", shape = "bell" }"#, "bell"),
    ] {
        let line = format!("[attachment]\nfoot_slack = {given}");
        shop.write("lathe.toml", LATHE.replace("[attachment]", &line));
        let place = shop.read("lathe.toml");
        let place = 1 + place
            .lines()
            .position(|line| line.starts_with("foot_slack"))
            .expect("it is there");
        let done = shop.run(&["check", "job.toml"]);
        let said = err(&done);
        assert_eq!(code(&done), 2, "{given}: {said}");
        assert!(said.contains(&format!("lathe.toml:{place}:")), "{said}");
        assert!(said.contains(words), "{given}: {said}");
        assert_eq!(said.matches("error: ").count(), 1, "{said}");
    }
}

#[test]
fn the_first_screen_of_the_worn_lathe_names_how_many_were_tried_and_stays_short() {
    let shop = shop();
    let done = shop.run(&["compare", "tapered-socket.toml"]);
    let text = out(&done);
    assert!(
        text.lines().count() <= 24,
        "{}\n{text}",
        text.lines().count()
    );
    assert!(
        text.lines().all(|line| line.chars().count() <= 80),
        "{text}"
    );
    let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(flat.contains("seed 1, 320 lathes)"), "{text}");
    // The verdict is the first thing after what is made; then what to do, in the order of the hand.
    let at = |words: &str| {
        flat.find(words)
            .unwrap_or_else(|| panic!("no {words} in {text}"))
    };
    let order = [
        "IN REACH IF GAUGED: ",
        "CUT IT THIS WAY: ",
        "STOP IF: ",
        "Start at least ",
        "Aim the guide ",
        "Last passes: ",
        "still left on, per side",
        "turn the dial in, per side",
        "Not: draw-away toward the headstock",
        "Mend first: ",
    ]
    .map(at);
    assert!(order.is_sorted(), "{text}");
    // All that was said before stands behind --detail, where lathes tried are counted too.
    let whole = out(&shop.run(&["compare", "tapered-socket.toml", "--detail"]));
    assert!(whole.contains("IN REACH IF GAUGED: ") && whole.contains("The other ways, on"));
    assert!(whole.contains(" lathes tried"), "{whole}");
}

#[test]
fn a_job_that_nothing_is_gauged_in_is_not_said_to_float() {
    let shop = shop();
    let job = shop.read("tapered-socket.toml");
    shop.write("own.toml", format!("{job}\n[gauge]\nkind = \"none\"\n"));
    let text = out(&shop.run(&["compare", "own.toml"]));
    let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        flat.contains("Nothing is gauged before the last pass."),
        "{text}"
    );
    assert!(!flat.contains("The slide floats: gauging"), "{text}");
    assert!(
        flat.contains("No table: the job says that nothing is gauged."),
        "{text}"
    );
}

#[cfg(target_os = "linux")]
mod stopped {
    use std::process::{Command, Stdio};
    use std::thread;
    use std::time::{Duration, Instant};

    use super::*;

    #[test]
    fn an_interrupted_study_soon_tells_what_was_done_so_far_and_says_so() {
        let shop = shop();
        let child = shop
            .program()
            .args(["compare", "job.toml", "--trials", "100000"])
            .args(["--threads", "3", "--out", "report"])
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("the program starts");
        // The trials are on when there is a room for their rows.
        let started = Instant::now();
        let has_room = || {
            shop.names(".")
                .iter()
                .any(|name| name.starts_with(".tautway"))
        };
        while !has_room() {
            assert!(started.elapsed() < Duration::from_secs(120), "no trials");
            thread::sleep(Duration::from_millis(5));
        }
        thread::sleep(Duration::from_secs(2));
        let asked = Instant::now();
        let sent = Command::new("kill")
            .args(["-INT", &child.id().to_string()])
            .status();
        assert!(sent.expect("kill").success());
        let done = child.wait_with_output().expect("it ends");
        assert!(asked.elapsed() < Duration::from_secs(30));
        assert_eq!(code(&done), 3, "{}", err(&done));
        let said = out(&done).split_whitespace().collect::<Vec<_>>().join(" ");
        let so_far = trials(&shop, "report").len();
        assert!((11..100_000).contains(&so_far), "{so_far}");
        let words = format!("you stopped it after {so_far} lathes");
        assert!(said.contains(&words), "{words}: {said}");
        assert!(said.contains(&format!("{so_far} lathes tried")), "{said}");
        let record = json(&shop.read("report/study.json"));
        assert_eq!(record["ending"], "stopped");
        assert_eq!(record["count"], so_far);
        let spread = &json(&shop.read("report/comparison.json"))["spread"];
        assert_eq!(spread["ending"], "stopped");
        assert_eq!(spread["outlook"]["trials"], so_far);
        assert_eq!(spread["mend"], Value::Null);
    }
}
