//! The setup sheet as a person gets it: order, cautions, numbers, escapes, files, and one page.

mod printed;

use crate::tab;
use crate::workshop::{Workshop, code, err, out};
use serde_json::Value;

const SECTIONS: [&str; 13] = [
    "The taper",
    "What can hurt",
    "The way",
    "Check the lathe",
    "Set the guide",
    "The tool",
    "Run-in, every pass",
    "Touch off",
    "Passes",
    "Gauge between",
    "Preload",
    "If you see",
    "Afterwards",
];

fn html(shop: &Workshop, arguments: &[&str]) -> String {
    let given = [&["sheet"], arguments, &["--format", "html"]].concat();
    let done = shop.run(&given);
    assert!(code(&done) <= 1, "{}", err(&done));
    out(&done)
}

fn json(shop: &Workshop, arguments: &[&str]) -> Value {
    let given = [&["sheet"], arguments, &["--format", "json"]].concat();
    let done = shop.run(&given);
    assert!(code(&done) <= 1, "{}", err(&done));
    serde_json::from_str(&out(&done)).expect("JSON")
}

/// One way, so that the others need not be run.
const BORE: [&str; 6] = [
    "--side",
    "front",
    "--feed",
    "tailstock",
    "--rotation",
    "forward",
];

fn of<'a>(job: &'a str, way: &[&'a str]) -> Vec<&'a str> {
    [&[job], way].concat()
}

#[test]
fn sections_come_in_the_order_of_the_work_in_text_and_html() {
    let shop = Workshop::with_scenarios();
    let job = of("air-out-of-the-cut.toml", &BORE);
    let page = html(&shop, &job);
    let text = out(&shop.run(&[&["sheet"], &job[..]].concat()));
    let mut from = (0, 0);
    for (at, name) in SECTIONS.iter().enumerate() {
        let heading = format!("<span class=\"number\">{}</span> {name}</h2>", at + 1);
        let line = format!("{:2}. {}\n", at + 1, name.to_uppercase());
        let find = |whole: &str, part: &str, from: usize| {
            whole[from..]
                .find(part)
                .unwrap_or_else(|| panic!("{part:?} in order in\n{whole}"))
                + from
        };
        from = (find(&page, &heading, from.0), find(&text, &line, from.1));
    }
    for line in text.lines() {
        assert!(line.chars().count() <= 100, "{line}");
    }
    assert!(text.contains("[__________]"), "there are boxes to write in");
}

#[test]
fn without_a_preload_the_numbers_run_on_without_a_gap() {
    let shop = Workshop::with_scenarios();
    let job = of("tapered-socket.toml", &BORE);
    let page = html(&shop, &job);
    let text = out(&shop.run(&[&["sheet"], &job[..]].concat()));
    let without = SECTIONS.iter().filter(|name| **name != "Preload");
    for (at, name) in without.enumerate() {
        let heading = format!("<span class=\"number\">{}</span> {name}</h2>", at + 1);
        assert!(page.contains(&heading), "{heading}");
        let line = format!("\n{:2}. {}\n", at + 1, name.to_uppercase());
        assert!(text.contains(&line), "{line} in\n{text}");
    }
    assert!(!page.contains("Preload</h2>"));
}

#[test]
fn hand_seating_is_told_in_the_words_for_the_way_it_goes() {
    let shop = Workshop::with_scenarios();
    for end in ["headstock = \"1.5 in\"", "tailstock = \"6 in\""] {
        let key = end.split(' ').next().unwrap_or_default();
        shop.edit(
            "tapered-socket.toml",
            &format!("room_{end}"),
            &format!("room_{key} = \"0.2 in\""),
        );
    }
    for (feed, side, toward, words) in [
        ("tailstock", "front", "away", "push it away from you"),
        ("headstock", "front", "operator", "pull it toward you"),
        ("tailstock", "rear", "operator", "pull it toward you"),
        ("headstock", "rear", "away", "push it away from you"),
    ] {
        let way = ["--side", side, "--feed", feed];
        let job = of("tapered-socket.toml", &way);
        let record = json(&shop, &job);
        let told = record["sheet"]["run_in"]["hand_toward"]
            .to_string()
            .to_lowercase();
        assert!(told.contains(toward), "{told}");
        let page = html(&shop, &job);
        assert_eq!(page.matches(words).count(), 2, "{feed} {side}: {words}");
    }
}

#[test]
fn every_caution_of_the_way_stands_once_in_each_form_with_what_to_do() {
    let shop = Workshop::with_scenarios();
    let ways: [&[&str]; 2] = [
        &BORE,
        &[
            "--side",
            "front",
            "--feed",
            "headstock",
            "--rotation",
            "forward",
        ],
    ];
    for job in ["air-too-weak.toml", "plug-cock.toml"] {
        for way in ways {
            let job = of(job, way);
            let record = json(&shop, &job);
            let page = html(&shop, &job);
            let text = out(&shop.run(&[&["sheet"], &job[..]].concat()));
            let words = text.split_whitespace().collect::<Vec<_>>().join(" ");
            let cautions = record["sheet"]["cautions"].as_array().expect("cautions");
            assert!(cautions.len() > 3, "some don't go into the box");
            for caution in cautions {
                let id = caution["id"].as_str().expect("an id");
                let marked = format!("data-caution=\"{id}\"");
                assert_eq!(page.matches(&marked).count(), 1, "{id}");
                for part in ["stop_if", "advice"] {
                    let part = caution[part].as_str().expect("words");
                    assert_eq!(words.matches(part).count(), 1, "{part:?} in\n{words}");
                }
            }
            let red = &page[page.find("class=\"hurt\"").expect("the box")..];
            let red = &red[..red.find("</section>").expect("its end")];
            assert_eq!(red.matches("data-caution").count(), 3);
            assert!(words.contains("A prediction is not an inspection"));
        }
    }
}

#[test]
fn numbers_on_the_page_are_those_of_the_record() {
    let shop = Workshop::with_scenarios();
    let job = of("tapered-socket.toml", &BORE);
    let sheet = &json(&shop, &job)["sheet"];
    let page = html(&shop, &job);
    // The first cell of a row heads it.
    let page = page
        .replace("<th scope=\"row\">", "<td>")
        .replace("</th>", "</td>");
    let inches = |value: &Value| value.as_f64().expect("a number") / 0.0254;
    for row in sheet["standoff"].as_array().expect("rows") {
        let cells = ["standoff", "on_diameter", "per_side"]
            .map(|key| format!("<td>{:.4}</td>", inches(&row[key])))
            .concat();
        assert!(page.contains(&cells), "{cells}");
    }
    let passes = sheet["passes"].as_array().expect("passes");
    let last = passes.last().expect("a pass");
    let cells = format!(
        "<td>{:.4}</td><td>{:.4}</td><td>{:.4}</td><td>{:.4}</td>",
        inches(&last["set"]),
        inches(&last["dial"]),
        2.0 * inches(&last["dial"]),
        inches(&last["feed"])
    );
    assert!(page.contains(&cells), "{cells}");
    let proves = sheet["guide"]["proves"].as_array().expect("a band");
    let band = format!(
        "<b>{:.4} to {:.4}</b>",
        inches(&proves[0]),
        inches(&proves[1])
    );
    assert!(page.contains(&band), "{band}");
    let nudge = format!(
        "<b>{:.1} thou</b>",
        1e3 * inches(&sheet["guide"]["nudge"]["at_end"])
    );
    assert!(page.contains(&nudge), "{nudge}");
    let taper = sheet["drawing"]["aim"].as_f64().expect("a taper");
    assert!(page.contains(&format!("data-taper=\"{taper}\"")));
}

#[test]
fn a_guide_is_aimed_exactly_and_a_coarse_indicator_is_said_to_prove_nothing() {
    let shop = Workshop::with_scenarios();
    let lathe = shop.read("worn-lathe.toml");
    let sheet = |step: &str| {
        let readout = format!("{lathe}\n[readout]\nstep = \"{step}\"\nreads = \"diameter\"\n");
        shop.write("worn-lathe.toml", readout);
        html(&shop, &of("tapered-socket.toml", &BORE))
    };
    // 1.735 in/ft, read over 3 in; steps of half a thou lie to either side of it.
    let fine = sheet("0.0005 in");
    assert!(fine.contains("<b>0.43375 in</b>") && fine.contains("nearest step 0.4335"));
    assert!(!fine.contains("can&#39;t prove") && !fine.contains("can't prove"));
    let coarse = sheet("0.020 in");
    assert!(
        coarse.contains("your indicator can't prove this"),
        "{coarse}"
    );
    assert!(coarse.contains("a finer one or a longer run"));
}

#[test]
fn a_threads_sheet_has_every_pass_the_half_nut_and_the_gauge() {
    let shop = Workshop::with_scenarios();
    let record = json(&shop, &["pipe-nipple.toml"]);
    let text = out(&shop.run(&["sheet", "pipe-nipple.toml"]));
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    let passes = record["sheet"]["thread"]["passes"]
        .as_array()
        .expect("passes");
    let planned = passes.iter().filter(|pass| pass["by_gauge"] == false);
    for pass in planned {
        let inch = |key: &str| pass[key].as_f64().expect("a length") / 0.0254;
        let row = format!("{} {:.4} {:.4}", pass["number"], inch("set"), inch("dial"));
        assert!(text.contains(&row), "{row} in {text}");
    }
    // 11-1/2 threads an inch on a screw of 8: two of the eight lines.
    for part in [
        "Half-nut: at one line of the dial, after that at this or every 4th from it (2 of 8 do)",
        "A turn short is 0.0027 per side",
        "tool clear, out",
    ] {
        assert!(text.contains(part), "{part} in {text}");
    }
    let cautions = record["sheet"]["cautions"].as_array().expect("cautions");
    for caution in cautions {
        let stop = caution["stop_if"].as_str().expect("words");
        assert_eq!(text.matches(stop).count(), 1, "{stop} in {text}");
    }
}

#[test]
fn what_a_person_writes_never_becomes_markup() {
    let shop = Workshop::with_scenarios();
    shop.edit(
        "tapered-socket.toml",
        "name = \"tapered socket of a pump coupling\"",
        "name = \"<script>alert(1)</script> & <b>'socket' \\\"x\\\"\"",
    );
    let page = html(&shop, &of("tapered-socket.toml", &BORE));
    let body = &page[page.find("<body>").expect("a body")..];
    assert_eq!(page.matches("<script>").count(), 1, "its own alone");
    assert!(!body.contains("<b>'socket'"));
    let escaped = "&lt;script&gt;alert(1)&lt;/script&gt; &amp; &lt;b&gt;'socket' &quot;x&quot;";
    assert!(
        body.contains(&format!("<h1>SETUP SHEET: {escaped}</h1>")),
        "{body}"
    );
}

#[test]
fn the_page_needs_nothing_else() {
    let shop = Workshop::with_scenarios();
    let page = html(&shop, &of("tapered-socket.toml", &BORE));
    for outside in ["src=", "<link", "@import", "url(", "fetch(", "XMLHttp"] {
        // A drawing may point into itself.
        let own = page.matches("url(#").count();
        let all = page.matches(outside).count();
        assert_eq!(all, if outside == "url(" { own } else { 0 }, "{outside}");
    }
    for address in page.split("http").skip(1) {
        assert!(
            address.starts_with("://www.w3.org/"),
            "http{}",
            &address[..30]
        );
    }
    assert!(page.contains("<label for=\"standoff\">") && page.contains("id=\"dial\""));
}

#[test]
fn a_sheet_is_written_whole_replaces_only_a_sheet_and_only_when_told() {
    let shop = Workshop::with_scenarios();
    let sheet = |more: &[&str]| {
        shop.run(&[&["sheet"], &of("tapered-socket.toml", &BORE)[..], more].concat())
    };
    let first = sheet(&["--out", "a.html"]);
    assert_eq!(
        (code(&first), out(&first).as_str()),
        (0, ""),
        "{}",
        err(&first)
    );
    let written = shop.read("a.html");
    assert!(written.starts_with("<!DOCTYPE html>") && written.ends_with("</html>\n"));
    let again = sheet(&["--out", "a.html"]);
    assert_eq!(code(&again), 2);
    assert!(err(&again).contains("--overwrite"), "{}", err(&again));
    assert_eq!(code(&sheet(&["--out", "a.html", "--overwrite"])), 0);
    assert_eq!(shop.read("a.html"), written, "the same again");
    // Never over anything else, least of all the person's own files.
    let job = shop.read("tapered-socket.toml");
    shop.write("mine.html", "mine");
    for (own, why) in [
        (
            "tapered-socket.toml",
            "a setup sheet is not written as .toml",
        ),
        ("mine.html", "no setup sheet"),
    ] {
        let over = sheet(&["--out", own, "--overwrite"]);
        assert_eq!(code(&over), 2);
        assert!(err(&over).contains(why), "{}", err(&over));
    }
    assert_eq!(shop.read("mine.html"), "mine");
    assert_eq!(shop.read("tapered-socket.toml"), job);
    assert_eq!(code(&sheet(&["--out", "missing/a.html"])), 2);
    for (name, begins) in [("b.txt", "SETUP SHEET"), ("b.json", "{")] {
        assert_eq!(code(&sheet(&["--out", name])), 0);
        assert!(shop.read(name).starts_with(begins));
        assert_eq!(
            code(&sheet(&["--out", name, "--overwrite"])),
            0,
            "{name} is a sheet too"
        );
    }
    assert!(
        shop.names(".")
            .iter()
            .all(|name| !name.starts_with(".tautway"))
    );
}

#[test]
fn there_is_no_sheet_for_a_way_that_pushes_into_the_cut_or_cannot_be_cut() {
    let shop = Workshop::with_scenarios();
    let into = [
        &["sheet", "air-into-the-cut.toml", "--out", "a.html"],
        &BORE[..],
    ]
    .concat();
    let into = shop.run(&into);
    assert_eq!(code(&into), 1);
    assert!(
        err(&into).contains("no sheet: this way must not be cut"),
        "{}",
        err(&into)
    );
    assert!(
        err(&into).contains("pushes the tool into the work"),
        "{}",
        err(&into)
    );
    shop.edit(
        "worn-lathe.toml",
        "nose = \"cam lock\"",
        "nose = \"screwed on\"",
    );
    let reversed = [
        "--side",
        "rear",
        "--feed",
        "tailstock",
        "--rotation",
        "reverse",
    ];
    let reversed = [&["sheet", "tapered-socket.toml"], &reversed[..]].concat();
    let reversed = shop.run(&reversed);
    assert_eq!((code(&reversed), out(&reversed).as_str()), (1, ""));
    assert!(err(&reversed).contains("unscrew"), "{}", err(&reversed));
    assert!(!shop.path("a.html").exists());
}

#[test]
fn a_way_that_is_not_expected_to_meet_the_drawing_says_so_on_its_sheet() {
    let shop = Workshop::with_scenarios();
    let job = of("tapered-socket.toml", &BORE);
    let loud = "Not expected to meet the drawing: size out.";
    assert!(!html(&shop, &job).contains("Not expected"));
    shop.edit(
        "tapered-socket.toml",
        "diameter = \"2.500 in\"",
        "diameter = \"2.500 in\"\nsize_tolerance = \"+-0.0001 in\"",
    );
    assert_eq!(
        json(&shop, &job)["sheet"]["expected"]["verdict"]["size"],
        false
    );
    assert!(html(&shop, &job).contains(loud));
    assert_eq!(code(&shop.run(&[&["sheet"], &job[..]].concat())), 1);
}

#[test]
fn no_serious_finding_for_people_who_read_by_ear_or_keyboard() {
    let shop = Workshop::with_scenarios();
    for job in ["tapered-socket.toml", "plug-cock.toml"] {
        shop.write("page.html", html(&shop, &[job]));
        tab::reads_well(&shop.path("page.html"), "1", "the sheet");
    }
}
