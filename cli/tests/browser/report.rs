//! `--report`: one HTML file with words, figures, tables, raw data and the files it came from.

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
