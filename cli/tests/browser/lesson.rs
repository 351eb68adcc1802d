//! The lesson as a person gets it: one file, no outside reference, cautions, answers apart, and in
//! a real browser without a net.

use std::ffi::OsStr;
use std::path::Path;
use std::process::Command;
use std::sync::{Arc, Mutex};
use std::thread;
use std::time::{Duration, Instant};

use crate::tab;
use crate::tab::{Watched, watched};
use crate::unchecked;
use crate::workshop::{Workshop, code, err, out};
use headless_chrome::types::PrintToPdfOptions;
use headless_chrome::{Browser, Tab};
use serde_json::{Value, json};

pub fn written(shop: &Workshop, job: &str) -> String {
    let done = shop.run(&["lesson", job, "--out", "lesson.html", "--overwrite"]);
    assert_eq!(code(&done), 0, "{}", err(&done));
    shop.read("lesson.html")
}

fn question_part(html: &str) -> &str {
    html.split("id=\"answers\"").next().expect("a first part")
}

#[test]
fn the_file_needs_nothing_else() {
    let shop = Workshop::with_scenarios();
    let html = written(&shop, "tapered-socket.toml");
    // What a drawing names in itself is fetched from nowhere.
    let own = html
        .replace("http://www.w3.org/2000/svg", "")
        .replace("http://www.w3.org/1999/xlink", "")
        .replace("url(#", "");
    for word in [
        "http:", "https:", "<link", "@import", "src=", "url(", "file:",
    ] {
        assert!(!own.contains(word), "{word}");
    }
    for part in own.split("href=\"").skip(1) {
        assert!(part.starts_with('#'), "{}", &part[..40]);
    }
    for word in ["meridian", "regime", "Sobol", "quantile", "passive force"] {
        assert!(!question_part(&own).contains(word), "{word}");
    }
    assert!(html.contains("A prediction is not an inspection"));
}

#[test]
fn safety_comes_first_and_every_caution_stands_where_the_hand_is() {
    let shop = Workshop::with_scenarios();
    for job in ["tapered-socket.toml", "plug-cock.toml", "close-bore.toml"] {
        let html = written(&shop, job);
        let done = shop.run(&["lesson", job, "--format", "json"]);
        let record: Value = serde_json::from_str(&out(&done)).expect("JSON");
        let cautions = record["lesson"]["cautions"].as_array().expect("cautions");
        assert!(cautions.len() > 8, "{job}");
        for caution in cautions {
            let id = caution["id"].as_str().expect("an id");
            let mark = format!("data-caution=\"{id}\"");
            assert!(question_part(&html).contains(&mark), "{id} of {job}");
        }
        let first = html.find("id=\"step-0\"").expect("step 0");
        let bench = html.find("id=\"step-bench\"").expect("the bench");
        let second = html.find("id=\"step-1\"").expect("step 1");
        assert!(first < bench && bench < second, "{job}");
        let safety = &html[first..bench];
        for words in [
            "Main switch OFF",
            "Never reach over a turning chuck",
            "Air off and bled",
        ] {
            assert!(safety.contains(words), "{words}");
        }
        for step in 0..=13 {
            assert!(
                html.contains(&format!("id=\"step-{step}\"")),
                "{step} of {job}"
            );
        }
    }
}

#[test]
fn answers_are_not_among_the_questions() {
    let shop = Workshop::with_scenarios();
    let html = written(&shop, "tapered-socket.toml");
    let questions = question_part(&html);
    let answers = html.split("id=\"answers\"").nth(1).expect("answers");
    for words in [
        "The rule: the guide pulls the tool in",
        "At the back nothing changes",
        "False: step 3",
        "The readout was right both times",
        "Pulled in holds its size",
    ] {
        assert!(!questions.contains(words), "{words}");
        assert!(answers.contains(words), "{words}");
    }
    assert!(html.contains("id=\"answers\" aria-labelledby=\"title-answers\" hidden"));
    assert!(html.contains("break-before: page"));
}

#[test]
fn numbers_are_those_of_the_comparison_and_the_sheet() {
    let shop = Workshop::with_scenarios();
    let json = |arguments: &[&str]| -> Value {
        let done = shop.run(arguments);
        serde_json::from_str(&out(&done)).expect("JSON")
    };
    let lesson = &json(&["lesson", "tapered-socket.toml", "--format", "json"])["lesson"];
    let sheet = &json(&["sheet", "tapered-socket.toml", "--format", "json"])["sheet"];
    for key in [
        "guide",
        "run_in",
        "standoff",
        "bears_big",
        "passes",
        "touch_off",
    ] {
        assert_eq!(lesson["sheet"][key], sheet[key], "{key}");
    }
    // By hand: 1-3/4 in/ft, +0.000 -0.030 in/ft, read over 3 in: aim 1.735 3 / 12 = 0.43375 in.
    let aim = sheet["guide"]["aim"].as_f64().expect("a number") / 0.0254;
    assert!((aim - 0.433_75).abs() < 1e-6, "{aim}");
    let html = written(&shop, "tapered-socket.toml");
    assert!(html.contains("0.4338 in") || html.contains("0.4337 in"));
    let lost = lesson["lost"]["total"].as_f64().expect("a number") / 0.0254;
    assert!(html.contains(&format!("{lost:.2} in")), "{lost}");
}

#[test]
fn it_is_written_over_nothing_but_a_lesson() {
    let shop = Workshop::with_scenarios();
    written(&shop, "plug-cock.toml");
    let again = shop.run(&["lesson", "plug-cock.toml", "--out", "lesson.html"]);
    assert_eq!(code(&again), 2);
    assert!(err(&again).contains("--overwrite"), "{}", err(&again));
    shop.write("notes.html", "mine");
    let other = shop.run(&[
        "lesson",
        "plug-cock.toml",
        "--out",
        "notes.html",
        "--overwrite",
    ]);
    assert_eq!(code(&other), 2);
    assert!(err(&other).contains("is no lesson"), "{}", err(&other));
    assert_eq!(shop.read("notes.html"), "mine");
    let none = shop.run(&["lesson", "valve-seat.toml"]);
    assert_eq!(code(&none), 1, "{}", err(&none));
    assert!(err(&none).contains("no lesson:"), "{}", err(&none));
    assert!(out(&none).is_empty());
}

/// The lesson in a tab of a browser without a net.
pub struct Seen {
    pub tab: Arc<Tab>,
    complaints: Arc<Mutex<Vec<String>>>,
    asked: Arc<Mutex<Vec<String>>>,
    _browser: Browser,
}

impl Seen {
    pub fn open(file: &Path, (width, height): (u32, u32)) -> Option<Self> {
        let Watched {
            tab,
            complaints,
            asked,
            browser,
        } = watched(
            (width, height),
            &["--host-resolver-rules=MAP * ~NOTFOUND"],
            "the lesson",
        )?;
        tab.navigate_to(&format!("file://{}", file.display()))
            .expect("the lesson");
        let seen = Self {
            tab,
            complaints,
            asked,
            _browser: browser,
        };
        seen.until("document.querySelectorAll('.drive-sheet svg').length >= 5");
        Some(seen)
    }

    pub fn says(&self, expression: &str) -> Value {
        let wrapped = format!("JSON.stringify({expression}) ?? 'null'");
        let object = self.tab.evaluate(&wrapped, false).expect(expression);
        let text = object.value.unwrap_or_default();
        serde_json::from_str(text.as_str().unwrap_or("null")).expect("JSON")
    }

    pub fn does(&self, statement: &str) {
        self.says(&format!("(() => {{ {statement}; return 1; }})()"));
    }

    pub fn until(&self, holds: &str) {
        let begun = Instant::now();
        while self.says(holds) != json!(true) {
            assert!(
                begun.elapsed() < Duration::from_secs(60),
                "never: {holds}; {:?}",
                self.complaints.lock().expect("the list")
            );
            thread::sleep(Duration::from_millis(50));
        }
    }

    /// Nothing was complained of and nothing but the file asked for.
    pub fn is_clean(&self) {
        let complaints = self.complaints.lock().expect("the list");
        assert!(complaints.is_empty(), "{complaints:?}");
        for url in self.asked.lock().expect("the list").iter() {
            let own = url.starts_with("file://") && url.contains("lesson.html");
            // The engine in the file, in workers.
            let made_here = url.starts_with("blob:null/") || url == "about:blank";
            assert!(own || made_here, "{url} was asked for");
        }
    }
}

#[test]
fn without_a_net_it_plays_both_ways_takes_numbers_and_shows_answers_when_asked() {
    let shop = Workshop::with_scenarios();
    written(&shop, "tapered-socket.toml");
    let Some(seen) = Seen::open(&shop.path("lesson.html"), (1280, 900)) else {
        return;
    };
    assert_eq!(
        seen.says("document.getElementById('answers').checkVisibility()"),
        false
    );
    // Every id once, every field named.
    let twice = seen.says(
        "[...document.querySelectorAll('[id]')].map((e) => e.id).filter((id, at, all) => \
         all.indexOf(id) !== at)",
    );
    assert_eq!(twice, json!([]));
    let nameless = seen.says(
        "[...document.querySelectorAll('input')].filter((e) => !e.labels?.length && \
         !e.getAttribute('aria-label')).length",
    );
    assert_eq!(nameless, 0);
    let pair =
        "[...document.querySelectorAll('#step-7 input[type=range]')].map((e) => Number(e.value))";
    seen.does("document.querySelector('#step-7 .play-both').click()");
    seen.until(&format!(
        "{pair}.length === 2 && {pair}.every((at) => at > 40)"
    ));
    assert!(
        seen.says("document.querySelector('#step-1 .small').textContent")
            .as_str()
            .is_some_and(|words| words.starts_with("Slack shown ×"))
    );
    let never = "document.querySelector('.never').hidden";
    assert_eq!(seen.says(never), true);
    seen.does("document.querySelector('[data-shows=wrong]').click()");
    assert_eq!(seen.says(never), false);
    let forces = seen.says("document.querySelector('.forces-tried .forces').textContent");
    assert!(
        forces
            .as_str()
            .is_some_and(|words| words.contains("into the cut")),
        "{forces}"
    );
    seen.does("document.querySelector('[data-shows=right]').click()");
    assert_eq!(seen.says(never), true);
    seen.does("const f = document.querySelector('#step-1 .write input'); f.value = '0.47 in'");
    seen.does("document.getElementById('show-answers').click()");
    assert_eq!(
        seen.says("document.getElementById('answers').checkVisibility()"),
        true
    );
    assert_eq!(
        seen.says("document.getElementById('show-answers').getAttribute('aria-expanded')"),
        "true"
    );
    seen.is_clean();
}

const BENCH: &str = "document.getElementById('bench').shadowRoot.getElementById('bench')";

fn marks(seen: &Seen, guess: usize, choice: usize) {
    seen.does(&format!(
        "document.querySelectorAll('#step-bench fieldset')[{guess}].querySelectorAll('input')[{choice}].click()"
    ));
}

#[test]
fn the_bench_waits_for_the_guess_then_it_is_dragged_turned_and_told() {
    let shop = Workshop::with_scenarios();
    let html = written(&shop, "tapered-socket.toml");
    for once in ["id=\"engine\"", "id=\"record\"", "id=\"worker\""] {
        assert_eq!(html.matches(once).count(), 1, "{once}");
    }
    // A page's engine, forms and all, and the lesson's own words and pictures on top.
    assert!(html.len() < 2_300_000, "{} bytes", html.len());
    for size in [(1366, 768), (390, 664)] {
        let Some(seen) = Seen::open(&shop.path("lesson.html"), size) else {
            return;
        };
        let of = |what: &str| seen.says(&format!("{BENCH}.{what}"));
        let says = "querySelector('#says')";
        let shown = |one: &str| {
            seen.says(&format!(
                "{BENCH}.{one}.checkVisibility({{ visibilityProperty: true }})"
            ))
        };
        marks(&seen, 0, 0);
        marks(&seen, 1, 1);
        assert_eq!(of("inert"), true);
        assert_eq!(shown(says), false);
        assert_eq!(shown("querySelector('.card .plan')"), true);
        assert_eq!(of("dataset.engine ?? null"), Value::Null);
        let told = "document.getElementById('bench-told').textContent";
        assert_eq!(seen.says(told), "");
        marks(&seen, 2, 1);
        assert_eq!(of("inert"), false);
        assert_eq!(shown(says), true);
        let words = seen.says(told);
        let words = words.as_str().expect("text");
        assert!(words.starts_with("Pulled in holds its size"), "{words}");
        let top = of("getBoundingClientRect().top");
        let whole = of("getBoundingClientRect().bottom <= innerHeight + 1");
        assert!(top.as_f64().is_some_and(|top| top > -1.0), "{top}");
        assert_eq!(whole, true, "{size:?}");
        // The carriage in the hand; both go along.
        let before = of("dataset.fed");
        seen.does(&format!(
            "const plan = {BENCH}.querySelector('.card.chosen .plan'); const box = plan.getBoundingClientRect(); \
             const [x, y] = [box.left + box.width / 2, box.top + box.height / 2]; \
             plan.setPointerCapture = () => {{}}; \
             const at = (kind, x) => plan.dispatchEvent(new PointerEvent(kind, {{ clientX: x, clientY: y, pointerId: 1, bubbles: true }})); \
             at('pointerdown', x); at('pointermove', x + 30); at('pointerup', x + 30)"
        ));
        assert_ne!(of("dataset.fed"), before);
        seen.until(&format!("{BENCH}.dataset.engine === 'ready'"));
        let waves = "querySelector('.card[data-cut=\"1\"] .outcome').textContent";
        let worn = of(waves);
        seen.does(&format!(
            "const knob = {BENCH}.querySelector('#knob-slack'); knob.value = '0'; \
             knob.dispatchEvent(new Event('input', {{ bubbles: true }}))"
        ));
        seen.until(&format!("Number({BENCH}.dataset.answers ?? 0) > 0"));
        assert_ne!(of(waves), worn);
        // The page keeps its own address, keys and scrolling.
        assert_eq!(seen.says("location.hash"), "");
        let fed = of("dataset.fed");
        seen.does(
            "document.body.dispatchEvent(new KeyboardEvent('keydown', { key: 'ArrowLeft', bubbles: true }))",
        );
        assert_eq!(of("dataset.fed"), fed);
        let free = "querySelector('.card.chosen .plan')";
        assert_eq!(
            seen.says(&format!("getComputedStyle({BENCH}.{free}).touchAction")),
            "pan-y"
        );
        seen.is_clean();
    }
}

#[test]
fn the_bench_of_a_lesson_is_its_own_two_cuts() {
    let shop = Workshop::with_scenarios();
    // One with a preload, which a lesson leaves off; one in the other units than its file's.
    for (job, units) in [
        ("air-into-the-cut.toml", &[][..]),
        ("tapered-socket.toml", &["--units", "metric"]),
    ] {
        let told = [&["lesson", job, "--format", "json"][..], units].concat();
        let told: Value = serde_json::from_str(&out(&shop.run(&told))).expect("JSON");
        let html = out(&shop.run(&[&["lesson", job][..], units].concat()));
        let record = html.split("id=\"record\">").nth(1).expect("a record");
        let record = record.split("</script>").next().expect("its end");
        let record: Value = serde_json::from_str(record).expect("JSON");
        assert_eq!(record["bench"]["units"], told["lesson"]["units"], "{job}");
        for (cut, name) in [(0, "pulled"), (1, "drawn")] {
            let ours = &told["lesson"][name]["outcome"]["measures"];
            let ours = if ours.is_null() {
                &told["lesson"][name]["outcome"]
            } else {
                ours
            };
            let theirs = &record["bench"]["cuts"][cut];
            assert_eq!(theirs["preload"], 0.0, "{job} {name}");
            assert_eq!(theirs["seat"], ours["seat"], "{job} {name}");
            assert_eq!(theirs["drag"], ours["drag"], "{job} {name}");
        }
        // A knob turned begins at the same texts.
        let asked = json!({
            "ask": "bench", "job": record["job"], "lathe": record["lathe"],
            "side": record["side"], "rotation": record["rotation"], "seed": record["seed"],
            "set": [],
        });
        let again = tautway_browser_engine::answer::answer(&asked.to_string());
        let again: Value = serde_json::from_str(&again).expect("JSON");
        assert_eq!(again, record["bench"], "{job}");
    }
}

#[test]
fn a_phone_and_a_projector_need_no_scrolling_sideways() {
    let shop = Workshop::with_scenarios();
    for job in ["tapered-socket.toml", "plug-cock.toml"] {
        written(&shop, job);
        for size in [(360, 780), (1920, 1080)] {
            let Some(seen) = Seen::open(&shop.path("lesson.html"), size) else {
                return;
            };
            seen.does("document.getElementById('show-answers').click()");
            let wide = seen.says("[document.documentElement.scrollWidth, innerWidth]");
            assert!(
                wide[0].as_u64() <= wide[1].as_u64(),
                "{wide} at {size:?} {job}"
            );
            seen.is_clean();
        }
    }
}

#[test]
fn no_serious_finding_for_people_who_read_by_ear_or_keyboard() {
    let shop = Workshop::with_scenarios();
    written(&shop, "tapered-socket.toml");
    tab::reads_well(
        &shop.path("lesson.html"),
        "document.getElementById('show-answers').click(); \
         for (const guess of document.querySelectorAll('#step-bench fieldset')) guess.querySelector('input').click()",
        "the lesson",
    );
}

#[test]
fn the_hand_out_prints_questions_first_and_answers_on_a_sheet_of_their_own() {
    let shop = Workshop::with_scenarios();
    written(&shop, "tapered-socket.toml");
    let Some(seen) = Seen::open(&shop.path("lesson.html"), (1280, 900)) else {
        return;
    };
    let pdf = seen
        .tab
        .print_to_pdf(Some(PrintToPdfOptions {
            prefer_css_page_size: Some(true),
            ..PrintToPdfOptions::default()
        }))
        .expect("a print");
    shop.write("lesson.pdf", pdf);
    let Ok(told) = Command::new("pdftotext")
        .args([shop.path("lesson.pdf").as_os_str(), OsStr::new("-")])
        .output()
    else {
        unchecked::for_want_of("pdftotext", "the print of a lesson");
        return;
    };
    let text = String::from_utf8_lossy(&told.stdout);
    let pages: Vec<&str> = text.split('\u{c}').collect();
    // A form feed ends every page.
    assert!(pages.len() <= 11, "{} pages", pages.len() - 1);
    for still in ["Run-in:", "Entry:", "Mid length:", "Exit:"] {
        let on = pages.iter().filter(|page| page.contains(still)).count();
        assert_eq!(on, 1, "{still}");
    }
    assert!(!text.contains("Pin touches nothing"));
    let answers = pages
        .iter()
        .position(|page| page.trim_start().starts_with("Answers, for the trainer"))
        .expect("a page that begins with the answers");
    let questions = pages[..answers].join("\n");
    assert!(!questions.contains("At the back nothing changes"));
    assert!(!questions.contains("Show the answers"));
    assert!(!questions.contains("Play"));
    assert!(pages[answers..].join("\n").contains("The rule:"));
}
