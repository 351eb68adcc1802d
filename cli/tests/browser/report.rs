//! `--report`: one HTML file with words, figures, tables, raw data and the files it came from.

use headless_chrome::Tab;
use headless_chrome::protocol::cdp::Emulation;
use serde_json::Value;

use crate::lesson;
use crate::tab;
use crate::workshop::{Workshop, code, err, out};

fn asked(shop: &Workshop, more: &[&str]) -> std::process::Output {
    let words = [
        "compare",
        "job.toml",
        "--trials",
        "50",
        "--report",
        "report.html",
    ];
    shop.run(&[&words[..], more].concat())
}

#[test]
fn a_report_holds_the_screen_the_figures_the_numbers_and_what_it_came_from() {
    let shop = Workshop::with_example();
    let done = asked(&shop, &[]);
    assert!(code(&done) < 2, "{}", err(&done));
    let page = shop.read("report.html");
    // Every word of the screen, however it is folded.
    let plain = |text: &str| {
        let mut plain = String::new();
        let mut within = false;
        for letter in text.chars() {
            match letter {
                '<' => within = true,
                '>' => within = false,
                _ if !within => plain.push(letter),
                _ => {}
            }
        }
        let plain = plain
            .replace("&quot;", "\"")
            .replace("&#39;", "'")
            .replace("&amp;", "&");
        plain.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let said = plain(&page[page.find("<main>").expect("a body")..]);
    for paragraph in out(&done).split("\n\n").take(2) {
        for line in paragraph.lines() {
            // A table's columns stand apart on the screen, in cells of their own on the page.
            let tight = |text: &str| text.split_whitespace().collect::<String>();
            let line = line.trim().trim_start_matches("- ");
            assert!(tight(&said).contains(&tight(line)), "{line}\n{said}");
        }
    }
    assert!(page.matches("<svg").count() >= 5);
    for held in [
        "download=\"comparison.csv\"",
        "download=\"study.json\"",
        "job.toml",
        "lathe.toml",
    ] {
        assert!(page.contains(held), "{held}");
    }
    // Nothing is fetched: what looks like an address is the name of SVG's own words.
    for address in page.split("http").skip(1) {
        assert!(
            address.starts_with("://www.w3.org/"),
            "{}",
            &address[..60.min(address.len())]
        );
    }
    // The same files and seed give the same page.
    assert_eq!(code(&asked(&shop, &["--overwrite"])), code(&done));
    assert_eq!(shop.read("report.html"), page);
}

#[test]
fn a_report_replaces_only_a_report_and_only_when_asked() {
    let shop = Workshop::with_example();
    assert!(code(&asked(&shop, &[])) < 2);
    let again = asked(&shop, &[]);
    assert_eq!(code(&again), 2);
    assert!(err(&again).contains("--overwrite"), "{}", err(&again));
    shop.write("report.html", "my own page");
    let over = asked(&shop, &["--overwrite"]);
    assert_eq!(code(&over), 2);
    assert!(err(&over).contains("is no report"), "{}", err(&over));
    assert_eq!(shop.read("report.html"), "my own page");
}

#[test]
fn no_serious_finding_for_people_who_read_by_ear_or_keyboard() {
    let shop = Workshop::with_example();
    assert!(code(&asked(&shop, &[])) < 2);
    tab::reads_well(
        &shop.path("report.html"),
        "document.querySelectorAll('details').forEach((folder) => { folder.open = true; })",
        "the report",
    );
}

#[test]
fn the_bench_is_folded_away_and_starts_when_it_is_opened() {
    let shop = Workshop::with_example();
    assert!(code(&asked(&shop, &[])) < 2);
    let Some(seen) = tab::watched((1366, 768), &[], "the report") else {
        return;
    };
    let address = format!("file://{}", shop.path("report.html").display());
    seen.tab
        .navigate_to(&address)
        .and_then(|tab| tab.wait_until_navigated())
        .expect("the report opens");
    let ask = |script: &str| seen.tab.evaluate(script, true).expect(script).value;
    let none = ask("document.getElementById('bench').shadowRoot === null");
    assert_eq!(none, Some(true.into()));
    let cards = "new Promise((good) => { const fold = document.getElementById('two-cuts'); \
        fold.addEventListener('toggle', () => setTimeout(() => good(document.getElementById('bench') \
        .shadowRoot.querySelectorAll('.plan .pin').length), 3000)); fold.open = true; })";
    assert_eq!(ask(cards), Some(2.into()));
    let ready =
        ask("document.getElementById('bench').shadowRoot.getElementById('bench').dataset.engine");
    assert_eq!(ready, Some("ready".into()));
    let complaints = seen.complaints.lock().expect("the list");
    assert!(complaints.is_empty(), "{complaints:?}");
}

/// How wide a card's sheet is, px: A4 between the narrowest margins that are usual.
const SHEET: u32 = 703;

/// How many words stand in the stills as they are printed, and the size of the smallest, pt.
fn letters(tab: &Tab) -> (u64, f64) {
    tab.call_method(Emulation::SetEmulatedMedia {
        media: Some("print".to_owned()),
        features: None,
    })
    .expect("paper");
    let script = "(() => { dispatchEvent(new Event('beforeprint')); \
        const root = document.getElementById('bench').shadowRoot ?? document; \
        const sizes = [...root.querySelectorAll('.stills svg')].flatMap((svg) => { \
          const box = svg.getBoundingClientRect(), seen = svg.viewBox.baseVal; \
          const scale = Math.min(box.width / seen.width, box.height / seen.height); \
          return [...svg.querySelectorAll('text')].filter((one) => one.textContent && one.getBoundingClientRect().width > 0) \
            .map((one) => 0.75 * scale * parseFloat(getComputedStyle(one).fontSize)); }); \
        return JSON.stringify([sizes.length, Math.min(...sizes), [...root.querySelectorAll('.stills svg *')] \
          .filter((one) => [...one.attributes].some((a) => /NaN|Infinity/.test(a.value))).length]); })()";
    let told = tab.evaluate(script, false).expect(script).value;
    let told: Value =
        serde_json::from_str(told.unwrap_or_default().as_str().unwrap_or("")).expect("JSON");
    assert_eq!(told[2], 0, "{told}");
    let size = told[1].as_f64().unwrap_or_default();
    (told[0].as_u64().unwrap_or_default(), size)
}

#[test]
fn on_paper_stills_stand_in_letters_of_seven_points_at_least() {
    let shop = Workshop::with_example();
    assert!(code(&asked(&shop, &[])) < 2);
    let page = shop.run(&["page", "job.toml", "--out", "page.html"]);
    assert_eq!(code(&page), 0, "{}", err(&page));
    lesson::written(&shop, "job.toml");
    // The report's fold is closed: its stills are printed all the same.
    for file in ["report.html", "page.html", "lesson.html"] {
        let Some(seen) = tab::watched((SHEET, 900), &[], "the stills on paper") else {
            return;
        };
        seen.tab
            .navigate_to(&format!("file://{}", shop.path(file).display()))
            .and_then(|tab| tab.wait_until_navigated())
            .expect(file);
        let (words, least) = letters(&seen.tab);
        assert!(words > 20, "{file}: {words} words");
        assert!(least >= 7.0, "{file}: {least} pt");
        let complaints = seen.complaints.lock().expect("the list");
        assert!(complaints.is_empty(), "{file}: {complaints:?}");
    }
}

#[test]
fn the_bench_stands_under_the_figures_in_their_letters() {
    let shop = Workshop::with_example();
    assert!(code(&asked(&shop, &[])) < 2);
    let page = shop.read("report.html");
    let place = |words: &str| page.find(words).unwrap_or_else(|| panic!("{words}"));
    assert!(place(">Figures</h2>") < place("id=\"two-cuts\""));
    assert!(place("id=\"two-cuts\"") < place(">Raw data</h2>"));
    assert_eq!(page.matches("@font-face").count(), 2);
    let Some(seen) = tab::watched((1366, 768), &[], "the report") else {
        return;
    };
    seen.tab
        .navigate_to(&format!("file://{}", shop.path("report.html").display()))
        .and_then(|tab| tab.wait_until_navigated())
        .expect("the report opens");
    let script = "new Promise((good) => { const fold = document.getElementById('two-cuts'); fold.open = true; \
        fold.addEventListener('toggle', () => setTimeout(async () => { await document.fonts.ready; \
          const text = document.getElementById('bench').shadowRoot.querySelector('.plan text'); \
          good(getComputedStyle(text).fontFamily + ' ' + [...document.fonts].map((one) => one.status).join()); }, 1000)); })";
    let told = seen.tab.evaluate(script, true).expect(script).value;
    let told = told.unwrap_or_default();
    let told = told.as_str().unwrap_or("");
    assert!(told.starts_with("\"DejaVu Sans\""), "{told}");
    assert!(told.contains(" loaded"), "{told}");
}
