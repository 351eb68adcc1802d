//! `tautway lathe`: forms, readings to a lathe file, the next test, what a finished job taught.

use crate::workshop::{Workshop, code, err, out};
use serde_json::Value;

/// Fills in a reading of the blank file.
fn fill(shop: &Workshop, table: &str, key: &str, value: &str) {
    let text = shop.read("tests.toml");
    let from = text.find(&format!("[{table}]")).expect("the table");
    let line = from + text[from..].find(&format!("\n{key} =")).expect("the key") + 1;
    let end = line + text[line..].find('\n').expect("a line");
    let filled = format!("{}{key} = {value}{}", &text[..line], &text[end..]);
    shop.write("tests.toml", filled);
}

/// Invented readings of tests 1, 4 and 9.
fn with_tests() -> Workshop {
    let shop = Workshop::with_example();
    let blank = shop.run(&["lathe", "blank", "--write", "tests.toml"]);
    assert_eq!(code(&blank), 0, "{}", err(&blank));
    let readings = [
        ("reversal", "middle", r#"["1.02 in", "1.00 in", "1.01 in"]"#),
        (
            "reversal_slow",
            "middle",
            r#"["3.80 in", "3.70 in", "3.75 in"]"#,
        ),
        ("drag", "start_toward", r#"["24 lbf", "25 lbf", "24 lbf"]"#),
        (
            "drag",
            "running_toward",
            r#"["19 lbf", "20 lbf", "20 lbf"]"#,
        ),
        (
            "two_way_cut",
            "toward_headstock",
            r#"["1.985 in", "1.9855 in"]"#,
        ),
        (
            "two_way_cut",
            "toward_tailstock",
            r#"["2.135 in", "2.136 in"]"#,
        ),
    ];
    for (table, key, value) in readings {
        fill(&shop, table, key, value);
    }
    shop
}

#[test]
fn the_form_has_every_test_with_safety_first_and_the_least_marked() {
    let shop = Workshop::empty();
    let form = out(&shop.run(&["lathe", "form"]));
    let safety = form.find("main switch off").expect("safety");
    for number in 1..=12 {
        let least = [1, 4, 9].contains(&number);
        let star = if least { "*" } else { " " };
        let title = format!("\n{star} TEST {number}: ");
        assert!(form.find(&title).expect("each test") > safety);
    }
    for line in form.lines().filter(|line| line.contains("lost, middle")) {
        assert_eq!(line.matches("[____").count(), 3);
    }
    assert!(form.lines().all(|line| line.chars().count() <= 96));
}

#[test]
fn a_blank_file_is_a_right_file_in_both_units() {
    let shop = Workshop::empty();
    for units in ["inch", "metric"] {
        let name = format!("{units}.toml");
        let args = ["lathe", "blank", "--units", units, "--write", &name];
        assert_eq!(code(&shop.run(&args)), 0);
        let read = shop.run(&["lathe", "update", &name, "--from", "worn"]);
        assert_eq!(code(&read), 0, "{}", err(&read));
        assert!(out(&read).starts_with("TESTS DONE: none"), "{}", out(&read));
        assert_eq!(err(&read), "");
    }
}

#[test]
fn tests_become_a_lathe_file_that_keeps_its_comments() {
    let shop = with_tests();
    shop.edit(
        "lathe.toml",
        "# Further tables",
        "# Kept by hand. Further tables",
    );
    let args = ["lathe", "update", "tests.toml", "--from", "lathe.toml"];
    let shown = shop.run(&args);
    assert!(out(&shown).contains("NOTHING WRITTEN"), "{}", out(&shown));
    let before = shop.read("lathe.toml");
    let write =
        |name: &str, more: &[&str]| shop.run(&[&args[..], &["--write", name], more].concat());
    // Never over the file it starts from, asked or not.
    for more in [&[][..], &["--overwrite"]] {
        let refused = write("lathe.toml", more);
        assert_eq!(code(&refused), 2);
        assert!(
            err(&refused).contains("give another name"),
            "{}",
            err(&refused)
        );
        assert_eq!(shop.read("lathe.toml"), before);
    }
    shop.write("lathe-2.toml", &before);
    let refused = write("lathe-2.toml", &[]);
    assert_eq!(code(&refused), 2);
    assert!(err(&refused).contains("--overwrite"));
    assert_eq!(shop.read("lathe-2.toml"), before);

    let written = write("lathe-2.toml", &["--overwrite"]);
    assert_eq!(code(&written), 0, "{}", err(&written));
    let after = shop.read("lathe-2.toml");
    assert!(after.contains("# Kept by hand."));
    let comments = |text: &str| -> Vec<String> {
        text.lines()
            .filter_map(|line| line.split_once('#'))
            .map(|(_, comment)| comment.trim().to_owned())
            .collect()
    };
    // Nothing is lost, and what is added is said of the new table alone.
    let mut kept = comments(&after);
    let added = kept
        .iter()
        .position(|c| c.starts_with("Which test or finished job"));
    kept.drain(added.expect("what [measured] is")..=added.unwrap_or(0) + 1);
    assert_eq!(comments(&before), kept);
    // What was not tested is as it was.
    for line in before.lines().filter(|l| !l.trim_start().starts_with('#')) {
        let key = line.split(['=', '#']).next().unwrap_or("").trim();
        if !["slack", "foot_slack", "drag", "breakaway", "step"].contains(&key) {
            assert!(after.contains(line), "{line}");
        }
    }
    shop.write("lathe.toml", &after);
    let checked = shop.run(&["check", "job.toml"]);
    assert_eq!(code(&checked), 0, "{}", err(&checked));
    assert_eq!(
        shop.names("."),
        ["job.toml", "lathe-2.toml", "lathe.toml", "tests.toml"]
    );
}

#[test]
fn one_word_and_three_tests_make_a_new_lathe_file() {
    let shop = with_tests();
    let done = shop.run(&[
        "lathe",
        "update",
        "tests.toml",
        "--from",
        "worn",
        "--write",
        "new.toml",
        "--format",
        "json",
    ]);
    assert_eq!(code(&done), 0, "{}", err(&done));
    let value: Value = serde_json::from_str(&out(&done)).expect("JSON");
    let findings = value["found"]["findings"].as_array().expect("a list");
    let of = |key: &str| {
        let found = findings.iter().find(|f| f["key"] == key).expect(key);
        [0, 1, 2].map(|i| found["range"][i].as_f64().expect("a number"))
    };
    // Made up as 0.075 in of slack and 0.10 in at the foot.
    let inch = 0.0254;
    let slack = of("attachment.slack");
    assert!(slack[0] < 0.075 * inch && 0.075 * inch < slack[2] + 0.002 * inch);
    let foot = of("attachment.foot_slack");
    assert!(foot[0] < 0.10 * inch && 0.10 * inch < foot[2]);
    let checked = shop.run(&["check", "new.toml"]);
    assert_eq!(code(&checked), 0, "{}", err(&checked));
    assert!(shop.read("new.toml").contains("condition = \"worn\""));
    let wrong = shop.run(&["lathe", "update", "tests.toml", "--from", "wornn"]);
    assert_eq!(code(&wrong), 2);
    assert!(err(&wrong).contains("good, ordinary, worn, junk"));
}

#[test]
fn the_same_job_is_told_before_and_after() {
    let shop = with_tests();
    fill(
        &shop,
        "guide",
        "zero",
        r#"["0.0005 in/ft", "-0.0005 in/ft", "0.0002 in/ft"]"#,
    );
    let args = [
        "lathe",
        "update",
        "tests.toml",
        "--from",
        "worn",
        "--job",
        "job.toml",
    ];
    let told = shop.run(&args);
    assert_eq!(code(&told), 0, "{}", err(&told));
    let said = out(&told);
    let flat = said.split_whitespace().collect::<Vec<_>>().join(" ");
    for wanted in ["THE SAME JOB BEFORE: ", " NOW: "] {
        assert!(flat.contains(wanted), "no {wanted:?} in\n{said}");
    }
    // As a comparison says it on the lathe as written.
    let written = shop.run(&[&args[..], &["--write", "lathe.toml", "--overwrite"]].concat());
    assert_eq!(code(&written), 0, "{}", err(&written));
    let first = out(&shop.run(&["compare", "job.toml"]));
    let first = first.split_whitespace().collect::<Vec<_>>().join(" ");
    let now = &flat[flat.find(" NOW: ").expect("it is there") + 6..];
    let chance = &now[..now.find("of 100").expect("a chance")];
    assert!(first.contains(chance), "{chance:?} in\n{first}");
}

#[test]
fn faults_of_a_tests_file_are_pointed_at_all_at_once() {
    let shop = with_tests();
    fill(&shop, "reversal", "middle", r#"["1.02 inn", "1.00 in"]"#);
    fill(&shop, "drag", "start_toward", r#"["24 in"]"#);
    fill(&shop, "spring", "forces", r#"["30 lbf", "45 lbf"]"#);
    fill(
        &shop,
        "spring",
        "post_pulled",
        r#"["1 thou", "2 thou", "3 thou"]"#,
    );
    fill(&shop, "set_taken", "taken", r#"["0.0085 in"]"#);
    shop.edit("tests.toml", "start_away =", "start_awya =");
    let done = shop.run(&["lathe", "update", "tests.toml", "--from", "worn"]);
    assert_eq!(code(&done), 2);
    let said = err(&done);
    for wanted in [
        "middle = [\"1.02 inn\"",
        "start_toward = [\"24 in\"]",
        "3 readings for 2 forces",
        "did you mean `start_away`?",
        "`set` is missing",
    ] {
        assert!(said.contains(wanted), "no {wanted:?} in\n{said}");
    }
    assert_eq!(said.matches("error: ").count(), 5, "{said}");
    assert_eq!(out(&done), "");
}

#[test]
fn the_next_test_is_named_for_a_job() {
    let shop = Workshop::with_example();
    let done = shop.run(&["lathe", "next", "job.toml", "--feed", "tailstock"]);
    assert_eq!(code(&done), 0, "{}", err(&done));
    let said = out(&done);
    assert!(
        said.contains("AS THINGS STAND:")
            && said.contains("DO NEXT: ")
            && said.contains("  - test "),
        "{said}"
    );
    let json = shop.run(&[
        "lathe",
        "next",
        "job.toml",
        "--feed",
        "tailstock",
        "--format",
        "json",
    ]);
    let value: Value = serde_json::from_str(&out(&json)).expect("JSON");
    let steps = value["worth"]["steps"].as_array().expect("steps");
    let saves: Vec<f64> = steps
        .iter()
        .map(|s| s["saves"].as_f64().expect("min"))
        .collect();
    assert!(
        saves.len() > 3 && saves.is_sorted_by(|a, b| a >= b),
        "{saves:?}"
    );
    let met = steps[0]["met"]["met"].as_f64().expect("a share");
    assert!((0.0..=1.0).contains(&met));
}

const GAUGED: &str = "units = \"inch\"\n[way]\nfeed = \"tailstock\"\n[gauged]\n\
                      taper = \"1.486 in/ft +- 0.003 in/ft\"\n";

#[test]
fn learning_shows_before_and_after_and_writes_only_where_told() {
    let shop = Workshop::with_example();
    shop.write("gauged.toml", GAUGED);
    let before = shop.read("lathe.toml");
    let args = [
        "lathe",
        "learn",
        "job.toml",
        "gauged.toml",
        "--draws",
        "400",
    ];
    let shown = shop.run(&args);
    assert_eq!(code(&shown), 0, "{}", err(&shown));
    let said = out(&shown);
    assert!(said.contains("400 lathes like yours"), "{said}");
    // What the drawing is worth stands behind --detail.
    assert!(!said.contains("worth "), "{said}");
    let detailed = out(&shop.run(&[&args[..], &["--detail"]].concat()));
    assert!(
        detailed.contains("400 lathes were drawn") && detailed.contains("worth "),
        "{detailed}"
    );
    // The same bytes on any number of threads.
    assert_eq!(
        said,
        out(&shop.run(&[&args[..], &["--threads", "1"]].concat()))
    );
    assert!(
        said.contains("setting of the guide: ") && said.contains(" -> "),
        "{said}"
    );
    assert!(said.contains("NOTHING WRITTEN"), "{said}");
    assert_eq!(shop.read("lathe.toml"), before);
    assert_eq!(shop.names("."), ["gauged.toml", "job.toml", "lathe.toml"]);

    let mut writing = args.to_vec();
    writing.extend(["--write", "lathe-2.toml"]);
    let written = shop.run(&writing);
    assert_eq!(code(&written), 0, "{}", err(&written));
    assert_eq!(shop.read("lathe.toml"), before);
    let learned = shop.read("lathe-2.toml");
    assert!(
        learned.contains("setting_error = ")
            && learned.contains("attachment.setting_error = 'finished job \"")
    );
    assert_eq!(code(&shop.run(&["check", "lathe-2.toml"])), 0);
    assert_eq!(code(&shop.run(&writing)), 2);
}

#[test]
fn two_pieces_teach_more_than_one_and_of_one_lathe_only() {
    let shop = Workshop::with_example();
    // A taper of which one piece teaches much already.
    shop.edit("job.toml", "taper = \"1-1/2 in/ft\"", "taper = \"2 in/ft\"");
    shop.edit("job.toml", "length = \"2-1/2 in\"", "length = \"3 in\"");
    let gauged = GAUGED.replace("1.486", "1.986");
    shop.write("gauged.toml", &gauged);
    let width = |more: &[&str]| -> f64 {
        let args = ["lathe", "learn", "job.toml", "gauged.toml"];
        let how = ["--draws", "400", "--format", "json"];
        let done = shop.run(&[&args[..], more, &how[..]].concat());
        assert_eq!(code(&done), 0, "{}", err(&done));
        let value: Value = serde_json::from_str(&out(&done)).expect("JSON");
        let numbers = value["learned"]["numbers"].as_array().expect("numbers");
        let is = |number: &&Value| number["key"] == "attachment.setting_error";
        let after = &numbers.iter().find(is).expect("in doubt")["after"];
        after[2].as_f64().expect("an end") - after[0].as_f64().expect("an end")
    };
    // Of two readings alike the guide's setting is known better.
    let (one, two) = (width(&[]), width(&["gauged.toml"]));
    assert!(two < 0.9 * one, "{two} {one}");

    shop.write(
        "other.toml",
        shop.read("lathe.toml").replace("worn", "good"),
    );
    let job = shop.read("job.toml").replace("lathe.toml", "other.toml");
    shop.write("other-job.toml", job);
    shop.write(
        "other.gauged",
        format!("job = \"other-job.toml\"\n{gauged}"),
    );
    let args = ["lathe", "learn", "job.toml", "gauged.toml", "other.gauged"];
    let done = shop.run(&args);
    assert_eq!(code(&done), 2, "{}", err(&done));
    assert!(err(&done).contains("another lathe"), "{}", err(&done));
}

#[test]
fn a_job_that_tells_nothing_teaches_nothing_and_an_impossible_one_is_refused() {
    let shop = Workshop::with_example();
    shop.write("gauged.toml", GAUGED.replace("0.003 in/ft", "9 in/ft"));
    let args = [
        "lathe",
        "learn",
        "job.toml",
        "gauged.toml",
        "--draws",
        "100",
    ];
    let mut writing = args.to_vec();
    writing.extend(["--write", "same.toml"]);
    let nothing = shop.run(&writing);
    assert_eq!(code(&nothing), 0, "{}", err(&nothing));
    assert!(
        out(&nothing).contains("LEARNED: nothing"),
        "{}",
        out(&nothing)
    );
    assert_eq!(shop.read("same.toml"), shop.read("lathe.toml"));
    shop.write("gauged.toml", GAUGED.replace("1.486", "2.0"));
    let far = shop.run(&args);
    assert_eq!(code(&far), 3);
    assert!(
        err(&far).contains("no lathe within the ranges"),
        "{}",
        err(&far)
    );
    assert_eq!(out(&far), "");
}

#[test]
fn asking_needs_a_terminal_and_a_place_to_write() {
    let shop = Workshop::empty();
    let nowhere = shop.run(&["lathe", "ask"]);
    assert_eq!(code(&nowhere), 2);
    assert!(err(&nowhere).contains("--out"));
    let nobody = shop.run(&["lathe", "ask", "--write", "tests.toml"]);
    assert_eq!(code(&nobody), 2);
    assert!(err(&nobody).contains("terminal"));
    assert!(shop.names(".").is_empty());
}
