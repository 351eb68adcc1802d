//! The worked examples besides jobs: readings, shop tests, hand moves; each is known for what it is
//! and shows what it says it teaches.

use crate::workshop::{Workshop, code, err, out};
use serde_json::Value;

/// On one line, however the screen folds it.
fn said(shop: &Workshop, arguments: &[&str]) -> (i32, String) {
    let done = shop.run(arguments);
    let text = out(&done).split_whitespace().collect::<Vec<_>>().join(" ");
    (code(&done), text)
}

#[test]
fn check_knows_every_worked_example_for_what_it_is() {
    let shop = Workshop::with_scenarios();
    let kinds = [
        (".gauged", "finished job"),
        (".moves", "hand moves"),
        (".readings", "readings"),
        (".sample", "swept sample"),
        (".tests", "shop tests"),
        (".toml", "lathe"),
    ];
    for name in shop.names(".") {
        let done = shop.run(&["check", &name]);
        assert_eq!(code(&done), 0, "{name}: {}", err(&done));
        assert_eq!(err(&done), "", "{name}: not a word of warning");
        let text = out(&done);
        let (_, kind) = kinds
            .iter()
            .find(|(ending, _)| name.ends_with(ending))
            .unwrap_or_else(|| panic!("{name} is of no kind"));
        assert!(
            text.starts_with(&format!("no mistakes found: {name}")),
            "{text}"
        );
        assert!(text.contains(kind), "{text}");
    }
    shop.write(
        "gauged",
        "units = \"inch\"\n[way]\nfeed = \"tailstock\"\n[gauged]\n\
         taken = \"0.0085 in +- 0.0003 in\"\n",
    );
    let (done, text) = said(&shop, &["check", "gauged"]);
    assert_eq!((done, text.contains("finished job")), (0, true), "{text}");
    // Known by what stands in them, not by their names.
    for name in [
        "worn-lathe.tests",
        "socket-after-setting.readings",
        "old-plug.sample",
    ] {
        shop.write("some.toml", shop.read(name));
        assert_eq!(said(&shop, &["check", "some.toml"]).0, 0, "{name}");
    }
    let blank = shop.run(&["lathe", "blank"]);
    shop.write("blank.toml", out(&blank));
    let (done, text) = said(&shop, &["check", "blank.toml"]);
    assert_eq!(done, 0);
    assert!(text.contains("shop tests, none filled in"), "{text}");
}

#[test]
fn check_tells_every_fault_of_readings_moves_and_shop_tests_at_once_each_at_its_place() {
    let shop = Workshop::with_scenarios();
    let readings = "socket-after-setting.readings";
    shop.edit(
        readings,
        "end_radius = \"10 in\"",
        "end_radius = \"10 inn\"",
    );
    shop.edit(readings, "  2.000        0.2930 ", "  2.000        0.29x30");
    shop.edit(readings, "tolerance = \"+0.000", "tolerence = \"+0.000");
    let moves = "reversal.moves";
    shop.edit(moves, "taper = \"1-3/4 in/ft\"", "taper = \"2 inn\"");
    shop.edit(moves, "carriage 1/2 in    ", "carriage sideways  ");
    shop.edit(moves, "\nlock slide\n", "\nlokc slide\n");
    let tests = "worn-lathe.tests";
    shop.edit(
        tests,
        "start_away = [\"18 lbf\"",
        "start_away = [\"18 inn\"",
    );
    shop.edit(tests, "scale = \"1 lbf\"", "scale = \"1 in\"");
    shop.edit(tests, "toward_tailstock = ", "toward_tailstok = ");
    for (name, places) in [
        (readings, [":12:1", ":19:18", ":29:20"]),
        (moves, [":6:12", ":18:10", ":26:1"]),
        (tests, [":12:12", ":30:19", ":39:1"]),
    ] {
        let done = shop.run(&["check", name]);
        assert_eq!(code(&done), 2, "{name}");
        let told = err(&done);
        assert!(told.matches("error: ").count() >= 3, "{told}");
        for place in places {
            assert!(
                told.contains(&format!("{name}{place}")),
                "{place} in {told}"
            );
        }
        assert_eq!(out(&done), "");
        let json = out(&shop.run(&["check", name, "--format", "json"]));
        let value: Value = serde_json::from_str(&json).expect("JSON");
        assert!(
            value.to_string().matches("\"error\"").count() >= 3,
            "{json}"
        );
    }
}

#[test]
fn the_guide_set_by_its_scale_is_out_inside_and_the_bad_rows_are_named() {
    let shop = Workshop::with_scenarios();
    let (done, text) = said(&shop, &["readings", "socket-after-setting.readings"]);
    assert_eq!(done, 1, "{text}");
    // By hand: 0.879 in on diameter over 6 in is 1.758 in/ft, 0.008 in/ft over what was wanted.
    for part in [
        "Really set, on diameter: 1.758",
        "+0.008",
        "FAILED: outside 1.7200 in/ft to 1.7500 in/ft",
        "Wild: row 11",
        "Slack not taken up: row 8",
        "Lost on reversal: 0.48",
        "A single misreading of less than",
    ] {
        assert!(text.contains(part), "no {part:?} in {text}");
    }
}

#[test]
fn a_run_turned_back_too_soon_is_left_out_and_the_answer_says_how_far_to_run_past() {
    let shop = Workshop::with_scenarios();
    let (_, text) = said(&shop, &["readings", "slack-as-long-as-the-travel.readings"]);
    for part in [
        "Really set, on diameter: 0.74",
        "SLACK NEAR THE TRAVEL READ: toward the headstock (rows 5 to 7)",
        "1.74 in of the 2 in read",
        "Go 2 3/8 in past the first place",
    ] {
        assert!(text.contains(part), "no {part:?} in {text}");
    }
}

/// From one word to measured numbers: the same job's intervals narrow, and sheet and comparison say
/// by what.
#[test]
fn a_worn_lathe_then_three_tests_the_intervals_narrow_and_the_sheet_says_by_what() {
    let shop = Workshop::with_scenarios();
    shop.write(
        "one-word.toml",
        "name = \"the old 14 in lathe\"\nunits = \"inch\"\ncondition = \"worn\"\n\
         [spindle]\nnose = \"cam lock\"\n",
    );
    let written = shop.run(&[
        "lathe",
        "update",
        "worn-lathe.tests",
        "--from",
        "one-word.toml",
        "--write",
        "measured.toml",
    ]);
    assert_eq!(code(&written), 0, "{}", err(&written));
    let file = shop.read("measured.toml");
    for line in [
        "[measured]",
        "slide.drag = \"test 4, drag\"",
        "attachment.slack = \"test 1, reversal; test 9, two-way cut\"",
    ] {
        assert!(file.lines().any(|l| l == line), "no {line} in\n{file}");
    }
    // What the file says of its own readout goes with the step.
    assert!(file.contains("reads = \"indicator\""), "{file}");
    assert_eq!(err(&shop.run(&["check", "measured.toml"])), "");
    let job = shop.read("tapered-socket.toml");
    let way = [
        "--side",
        "front",
        "--feed",
        "tailstock",
        "--rotation",
        "forward",
    ];
    let sheet = |lathe: &str, format: &str| {
        shop.write("job.toml", job.replace("worn-lathe.toml", lathe));
        let done = shop.run(&[&["sheet", "job.toml", "--format", format], &way[..]].concat());
        assert!(code(&done) < 2, "{}", err(&done));
        out(&done)
    };
    let within = |lathe: &str| {
        let value: Value = serde_json::from_str(&sheet(lathe, "json")).expect("JSON");
        let expected = &value["sheet"]["expected"];
        ["taper_within", "size_within"].map(|key| expected[key].as_f64().expect("a width"))
    };
    let (before, after) = (within("one-word.toml"), within("measured.toml"));
    println!("{before:?} {after:?}");
    assert!(after[0] < 0.7 * before[0] && after[1] < before[1]);
    let told = "Measured, and narrowed by it: slack of foot and rod (test 1, reversal); setting of \
                the guide (test 7, guide true); all slack along the cross-slide (test 1, reversal; \
                test 9, two-way cut); drag to start it over drag to keep it moving, drag of the \
                cross-slide (test 4, drag).";
    let flat = |text: String| text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(!flat(sheet("one-word.toml", "text")).contains("Measured, and"));
    let text = flat(sheet("measured.toml", "text"));
    assert!(text.contains(told), "{text}");
    assert!(sheet("measured.toml", "html").contains("narrowed by it:"));
    let (_, compared) = said(&shop, &["compare", "job.toml", "--detail"]);
    assert!(
        compared.contains("Measured: slack of foot and rod (test 1, reversal)"),
        "{compared}"
    );
    // A number changed by hand and its line taken out is measured no more; a line without its
    // number is told.
    shop.edit("measured.toml", "slide.drag = \"test 4, drag\"\n", "");
    assert!(!flat(sheet("measured.toml", "text")).contains("drag of the cross-slide (test 4"));
    shop.edit(
        "measured.toml",
        "[measured]",
        "[measured]\nattachment.nut_slack = \"test 3\"",
    );
    let odd = shop.run(&["check", "measured.toml"]);
    assert!(
        err(&odd).contains("`attachment.nut_slack` is said to be measured and is not in this file"),
        "{}",
        err(&odd)
    );
}

#[test]
fn a_readouts_step_alone_is_asked_about() {
    let shop = Workshop::with_scenarios();
    let lathe = "name = \"a\"\nunits = \"inch\"\n[readout]\nstep = \"0.0005 in\"\n";
    shop.write("lathe.toml", lathe);
    let done = shop.run(&["check", "lathe.toml"]);
    assert_eq!(code(&done), 0);
    let told = err(&done);
    assert!(told.contains("lathe.toml:4:8"), "{told}");
    assert!(
        told.contains("is this step on diameter or per side?"),
        "{told}"
    );
    assert!(told.contains("reads = \"diameter\""), "{told}");
    for reads in ["diameter", "radius", "indicator"] {
        shop.write("lathe.toml", format!("{lathe}reads = \"{reads}\"\n"));
        let done = shop.run(&["check", "lathe.toml"]);
        assert_eq!((code(&done), err(&done).as_str()), (0, ""), "{reads}");
    }
    shop.write("lathe.toml", format!("{lathe}reads = \"both\"\n"));
    let done = shop.run(&["check", "lathe.toml"]);
    assert_eq!(code(&done), 2);
    assert!(err(&done).contains("choose one of"), "{}", err(&done));
    // On the sheet a per-side step counts twice on diameter.
    let step = |reads: &str| {
        shop.write("lathe.toml", format!("{lathe}reads = \"{reads}\"\n"));
        let job = shop.read("tapered-socket.toml");
        shop.write("job.toml", job.replace("worn-lathe.toml", "lathe.toml"));
        let way = [
            "--side",
            "front",
            "--feed",
            "tailstock",
            "--rotation",
            "forward",
        ];
        let done = shop.run(&[&["sheet", "job.toml", "--format", "json"], &way[..]].concat());
        let value: Value = serde_json::from_str(&out(&done)).expect("JSON");
        value["sheet"]["guide"]["step"].as_f64().expect("a step") / 0.0254
    };
    assert!((step("diameter") - 0.0005).abs() < 1e-12);
    assert!((step("radius") - 0.0010).abs() < 1e-12);
}
