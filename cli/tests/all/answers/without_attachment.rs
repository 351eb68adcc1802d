//! The ways without the attachment on the screen, in JSON, and beside a sheet.

use std::fs;
use std::path::{Path, PathBuf};

use crate::workshop::{Workshop, code, err, out};
use serde_json::Value;

fn scenario(name: &str) -> String {
    let path: PathBuf = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../scenarios")
        .join(name);
    fs::read_to_string(&path).unwrap_or_else(|why| panic!("{}: {why}", path.display()))
}

/// A job beside the lathe that it names.
fn shop(job: &str, lathe: &str) -> Workshop {
    let shop = Workshop::empty();
    shop.write("job.toml", scenario(job));
    shop.write(lathe, scenario(lathe));
    shop
}

/// On one line, however the screen folds it.
fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn a_long_slow_outside_taper_is_made_with_the_tailstock_over_and_says_what_to_set() {
    let shop = shop("long-mandrel.toml", "toolroom-lathe.toml");
    let done = shop.run(&["compare", "job.toml", "--trials", "60", "--detail"]);
    assert_eq!(code(&done), 0, "{}", err(&done));
    let screen = out(&done);
    assert!(screen.lines().count() <= 60, "{screen}");
    let text = flat(&screen);
    for said in [
        "MAKE IT THIS WAY: between centres with the tailstock set over 0.2760 in toward you.",
        "STOP IF: the dog binds",
        "centres bearing on an edge; tailstock back to zero afterwards",
        "(the shop's rule, length times taper over 24, says the same)",
        "no backlash, no run-in",
        "many steps",
        "With the attachment, out: needs",
        "top slide (needs 9.6",
        "60 lathes tried",
    ] {
        assert!(
            text.to_lowercase().contains(&said.to_lowercase()),
            "{said}: {screen}"
        );
    }
    // Tried on as many lathes, it is told in the same words.
    let predicted = shop.run(&["predict", "job.toml", "--method", "tailstock"]);
    let predicted = flat(&out(&predicted));
    let expected = predicted
        .split("Taper: ")
        .nth(1)
        .and_then(|rest| rest.split(" lathes like").next())
        .expect("a taper");
    let sheet = shop.run(&["sheet", "job.toml"]);
    assert_eq!(code(&sheet), 0, "{}", err(&sheet));
    let said = flat(&out(&sheet));
    for part in [
        "Between centres with the tailstock set over 0.2760 in toward you",
        "exactly 0.27598 in",
        "between the centres' points 13.250 in",
        "a straight test bar as long as the piece between the centres",
        // 3 in of 0.5 in/ft: 0.125 in on diameter.
        "must read, per side 0.0625 in",
        // 0.015 in of stock: the plan ends with two of 0.003 in, so roughing leaves 0.012 in.
        "1 rough 0.0030",
        "4 last: by table 0.0030 0.0120 0.0240",
        "A dead centre: 600 rpm at most",
        "the dog binds",
        "Tailstock back, proved straight",
        "A prediction is not an inspection",
        expected,
    ] {
        assert!(said.contains(part), "{part}: {said}");
    }
    let json = shop.run(&["sheet", "job.toml", "--format", "json"]);
    let record: serde_json::Value = serde_json::from_str(&out(&json)).expect("JSON");
    let over = record["sheet"]["way"]["setting"]["over"].as_f64();
    // 13.25 in sin(atan(0.5 / 24)), in m.
    assert!((over.expect("an offset") - 13.25 * 0.0254 * 0.020_828_8).abs() < 1e-7);
}

#[test]
fn a_lathe_without_an_attachment_has_the_top_slide_for_a_seat() {
    let shop = shop("valve-seat.toml", "bare-lathe.toml");
    let done = shop.run(&[
        "compare", "job.toml", "--trials", "50", "--out", "report", "--detail",
    ]);
    assert_eq!(code(&done), 0, "{}", err(&done));
    let text = flat(&out(&done));
    for said in [
        "24 in/ft on diameter, 45 deg per side",
        "MAKE IT THIS WAY: top slide set over 45 deg per side, fed by hand",
        "few steps: swing it by its marks",
        "with the attachment, out: this lathe has no taper attachment",
        "offset centre or tailstock over (outside work only)",
    ] {
        assert!(text.contains(said), "{said}: {text}");
    }
    let names = shop.names("report");
    assert!(names.contains(&"report.txt".to_owned()), "{names:?}");
    assert!(
        !names.iter().any(|name| name.ends_with(".svg")),
        "{names:?}"
    );
    let sheet = shop.run(&["sheet", "job.toml"]);
    assert_eq!(code(&sheet), 0, "{}", err(&sheet));
    let said = flat(&out(&sheet));
    for part in [
        "Top slide set over 45 deg per side, fed by hand",
        "stroke needed 0.38 in (of 3 in)",
        "a straight bar in the spindle, indicator on the post, top slide run 1.000 in",
        // sin 45 deg.
        "must read, per side 0.70711 in",
        "Feed by hand",
        "Top slide back to its place",
    ] {
        assert!(said.contains(part), "{part}: {said}");
    }
    assert!(!said.contains("Attachment let go"), "there is none: {said}");
    // A way that is asked for is the attachment's.
    let asked = ["sheet", "job.toml", "--side", "front"];
    for command in [&asked[..], &["predict", "job.toml"]] {
        let done = shop.run(command);
        assert_eq!(code(&done), 1);
        let said = format!("{}{}", out(&done), err(&done));
        assert!(said.contains("no taper attachment"), "{said}");
    }
    let next = shop.run(&["lathe", "next", "job.toml"]);
    assert_eq!(code(&next), 2);
    assert!(err(&next).contains("no taper attachment"), "{}", err(&next));
}

#[test]
fn an_attachment_that_does_the_job_stands_first_and_the_others_a_line_each() {
    let shop = shop("taper-sleeve.toml", "toolroom-lathe.toml");
    let done = shop.run(&["compare", "job.toml", "--trials", "0"]);
    let text = flat(&out(&done));
    let (first, rest) = text
        .split_once("Without the attachment, which takes some steps itself:")
        .unwrap_or_else(|| panic!("{text}"));
    assert!(first.contains("CUT IT THIS WAY: turn from"), "{first}");
    assert!(
        rest.contains("tailstock over, 0.1820 in toward you"),
        "{rest}"
    );
    assert!(rest.contains("no backlash"), "{rest}");
    assert!(rest.contains("may miss its tolerance"), "{rest}");
    assert!(rest.contains("an offset centre, if there is one"), "{rest}");

    let value: Value = serde_json::from_str(&out(
        &shop.run(&["compare", "job.toml", "--trials", "50", "--format", "json"])
    ))
    .expect("JSON");
    let methods = value["without_attachment"].as_array().expect("a list");
    assert_eq!(methods.len(), 7);
    let tailstock = methods
        .iter()
        .find(|way| way["method"] == "tailstock")
        .expect("told");
    assert_eq!(tailstock["spread"]["trials"], 50);
    let taper = &tailstock["spread"]["taper"]["symmetric"];
    assert!(taper["lower"].as_f64() < taper["upper"].as_f64());
    // Inch: 7 in sin(atan(0.62426 / 24)).
    let over = tailstock["setting"]["over"].as_f64().expect("an offset") / 0.0254;
    let exact = 7.0 * (0.624_26_f64 / 24.0).atan().sin();
    assert!((over - exact).abs() < 1e-6, "{over} {exact}");
}

#[test]
fn one_way_without_the_attachment_is_told_alone_or_says_why_it_is_out() {
    let shop = shop("tapered-socket.toml", "worn-lathe.toml");
    let ask = |method: &str| {
        let done = shop.run(&["predict", "job.toml", "--method", method, "--trials", "0"]);
        (code(&done), flat(&out(&done)))
    };
    let (status, text) = ask("tailstock");
    assert_eq!(status, 1);
    assert!(
        text.contains("OUT: tailstock over. - outside work only"),
        "{text}"
    );
    let (status, text) = ask("top-slide");
    assert_eq!(status, 0);
    assert!(
        text.to_lowercase()
            .contains("top slide set over 4 deg 8 min"),
        "{text}"
    );
    assert!(text.contains("What can hurt:"), "{text}");
    let both = shop.run(&[
        "predict",
        "job.toml",
        "--method",
        "top-slide",
        "--feed",
        "headstock",
    ]);
    assert_eq!(code(&both), 2);
}

#[test]
fn another_way_has_its_sheet_when_it_is_asked_for_and_says_why_where_it_has_none() {
    let both = shop("long-core.toml", "toolroom-lathe.toml");
    let done = both.run(&["sheet", "job.toml", "--method", "two-set-ups"]);
    assert_eq!(code(&done), 0, "{}", err(&done));
    let told = flat(&out(&done));
    for part in [
        "joint 9.500 in from the big end",
        "bed clamp 4.000 in toward the tailstock",
        "goes 0.2000 in per side into the cut",
        "0.0120, 0.0060 short of that zero",
        "on 95 of 100 such lathes the second part stands",
        "STOP IF the bed clamp creeps",
    ] {
        assert_eq!(told.matches(part).count(), 1, "{part}: {told}");
    }
    // It is the one advised, and the same.
    let advised = both.run(&["sheet", "job.toml"]);
    assert_eq!(out(&advised), out(&done));

    let socket = shop("tapered-socket.toml", "worn-lathe.toml");
    for (method, parts) in [
        (
            "grinding",
            ["STOP IF the wheel", "to clean up", "hardly sparks"],
        ),
        ("lapping", ["for the feed marks", "blue first", "white rag"]),
    ] {
        let done = socket.run(&["sheet", "job.toml", "--method", method]);
        // The socket's tolerance is too wide to lap.
        if method == "lapping" {
            assert_eq!(code(&done), 1);
            assert!(
                err(&done).contains("no sheet: this way is out"),
                "{}",
                err(&done)
            );
            continue;
        }
        assert_eq!(code(&done), 0, "{}", err(&done));
        let told = flat(&out(&done));
        for part in parts {
            assert_eq!(told.matches(part).count(), 1, "{part}: {told}");
        }
        assert!(!told.contains("Touch off"), "{told}");
    }
    let close = scenario("tapered-socket.toml").replace("+0.000 -0.030 in/ft", "+-0.001 in/ft");
    socket.write("job.toml", close);
    let done = socket.run(&["sheet", "job.toml", "--method", "lapping"]);
    assert_eq!(code(&done), 0, "{}", err(&done));
    let told = flat(&out(&done));
    for part in ["for the feed marks", "blue first", "white rag"] {
        assert_eq!(told.matches(part).count(), 1, "{part}: {told}");
    }
    let done = socket.run(&["sheet", "job.toml", "--method", "reamer"]);
    assert_eq!(code(&done), 1, "{}", err(&done));
    assert!(err(&done).contains("no sheet"), "{}", err(&done));
}
