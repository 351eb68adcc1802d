//! The setup sheet printed by a browser: one page, and letters that are read at arm's length.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use super::{BORE, html, of};
use crate::unchecked;
use crate::workshop::Workshop;

fn scenarios() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../scenarios")
}

/// Every job among the worked examples.
fn jobs() -> Vec<PathBuf> {
    let mut jobs: Vec<PathBuf> = fs::read_dir(scenarios())
        .expect("the worked examples")
        .map(|entry| entry.expect("an entry").path())
        .filter(|path| path.extension().is_some_and(|kind| kind == "toml"))
        .filter(|path| {
            let text = fs::read_to_string(path).unwrap_or_default();
            text.lines().any(|line| line.starts_with("lathe ="))
        })
        .collect();
    jobs.sort();
    assert!(!jobs.is_empty());
    jobs
}

/// Chromium's name here, if it is here.
fn chromium() -> Option<&'static str> {
    ["chromium", "chromium-browser"].into_iter().find(|name| {
        let asked = Command::new(name)
            .arg("--version")
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .status();
        asked.is_ok_and(|status| status.success())
    })
}

/// Pages of a page printed to PDF, and the size of the first, in points.
fn printed(browser: &str, shop: &Workshop, page: &str) -> (usize, String) {
    let pdf = shop.path("printed.pdf");
    let done = Command::new(browser)
        .args([
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            "--no-pdf-header-footer",
        ])
        .arg(format!(
            "--user-data-dir={}",
            shop.path("profile").display()
        ))
        .arg(format!("--print-to-pdf={}", pdf.display()))
        .arg(format!("file://{}", shop.path(page).display()))
        .output()
        .expect("the browser starts");
    let bytes = fs::read(&pdf)
        .unwrap_or_else(|why| panic!("{why}: {}", String::from_utf8_lossy(&done.stderr)));
    fs::remove_file(&pdf).expect("it goes");
    let text = String::from_utf8_lossy(&bytes);
    let pages = text.matches("/Type /Page\n").count();
    let size = text
        .split("/MediaBox [")
        .nth(1)
        .and_then(|rest| rest.split(']').next());
    (pages, size.unwrap_or_default().to_owned())
}

/// The page's letters, and wider ones that a machine may have alone, as its look names them.
const LETTERS: [&str; 2] = [
    "Arial, \"Liberation Sans\", Helvetica, \"DejaVu Sans\", sans-serif",
    "\"DejaVu Sans\", Verdana, sans-serif",
];
/// Width of a line in [`LETTERS`] against its height, above which they are the wider ones:
/// measured 15.9 and 18.1.
const WIDE: f64 = 17.0;

/// Whether letters are the wider ones on this machine.
fn wide(browser: &str, shop: &Workshop, letters: &str) -> bool {
    let line = "Start past the small end, every pass";
    let page = format!(
        "<!DOCTYPE html><p><span id=a style='font: 100px {letters}; white-space: nowrap'>{line}\
         </span><script>document.documentElement.style.width = \
         document.getElementById('a').getBoundingClientRect().width + 'pt';</script>"
    );
    shop.write("letters.html", page);
    let width = set_by_script(browser, shop, "letters.html", "style=\"width: ");
    println!("{letters}: {width}");
    width > 100.0 * WIDE
}

/// Size of the body's letters once the page has fitted itself, in points.
fn letters(browser: &str, shop: &Workshop, page: &str) -> f64 {
    set_by_script(browser, shop, page, "style=\"--type: ")
}

/// A number of points that a page's script sets.
fn set_by_script(browser: &str, shop: &Workshop, page: &str, before: &str) -> f64 {
    let done = Command::new(browser)
        .args(["--headless", "--no-sandbox", "--disable-gpu", "--dump-dom"])
        .arg("--window-size=1000,1400")
        .arg(format!(
            "--user-data-dir={}",
            shop.path("profile").display()
        ))
        .arg(format!("file://{}", shop.path(page).display()))
        .output()
        .expect("the browser starts");
    let text = String::from_utf8_lossy(&done.stdout).into_owned();
    let size = text
        .split(before)
        .nth(1)
        .and_then(|rest| rest.split("pt").next());
    size.and_then(|size| size.parse().ok())
        .unwrap_or_else(|| panic!("no size in {}", &text[..text.len().min(300)]))
}

#[test]
fn one_page_on_letter_and_a4_for_every_scenario_where_chromium_is_installed() {
    let Some(browser) = chromium() else {
        unchecked::for_want_of("chromium", "how many pages a sheet has");
        return;
    };
    let shop = Workshop::with_scenarios();
    let two = "<p>one</p><p style=\"break-before: page\">two</p>";
    shop.write("page.html", two);
    assert_eq!(
        printed(browser, &shop, "page.html").0,
        2,
        "pages are counted"
    );
    // A4 as PDF has it, rounded up or down by the browser.
    let papers = [
        ("letter", "0 0 612 792", ""),
        ("a4", "0 0 594.95996 841.91998", "0 0 595 842"),
    ];
    // Nine points, or eight where there are wider letters alone.
    let least = LETTERS.map(|letters| match wide(browser, &shop, letters) {
        false => 9.0,
        true => 8.0,
    });
    if least[1] > 8.0 {
        unchecked::for_want_of("font of wide letters", "a sheet set in one");
    }
    for job in jobs() {
        let name = job.file_name().expect("a name").display().to_string();
        for (paper, size, or) in papers {
            let page = html(&shop, &[&name, "--paper", paper]);
            let script = page
                .find("<script>")
                .expect("it fits the letters to the page");
            let still = format!("{}</body></html>", &page[..script]);
            assert_eq!(page.matches(LETTERS[0]).count(), 1, "{name}");
            for (family, least) in LETTERS.into_iter().zip(least) {
                shop.write("page.html", page.replace(LETTERS[0], family));
                let type_size = letters(browser, &shop, "page.html");
                println!("{name} on {paper}: {type_size} points in {family}");
                assert!(
                    type_size >= least - 1e-9,
                    "{name} on {paper}: letters of {type_size} points in {family}"
                );
            }
            for (page, how) in [(page, "as it is"), (still, "where no script runs")] {
                shop.write("page.html", page);
                let (pages, printed) = printed(browser, &shop, "page.html");
                assert_eq!(pages, 1, "{name} on {paper}, {how}");
                assert!(
                    printed == size || printed == or,
                    "{name}: {printed} on {paper}"
                );
            }
        }
    }
}

#[test]
fn a_crowded_sheet_is_still_one_page_where_chromium_is_installed() {
    let Some(browser) = chromium() else {
        unchecked::for_want_of("chromium", "how many pages a sheet has");
        return;
    };
    let shop = Workshop::with_scenarios();
    let long = "a socket with a very long name that somebody wrote down in full ".repeat(3);
    let file = "air-too-weak.toml";
    let named = shop.read(file);
    let name = named
        .lines()
        .find(|line| line.starts_with("name"))
        .expect("a name");
    shop.edit(file, name, &format!("name = \"{long}\""));
    shop.edit(file, "rough = \"0.040 in\"", "rough = \"0.020 in\"");
    shop.edit(
        file,
        "finish = [\"0.010 in\"]",
        "finish = [\"0.015 in\", \"0.012 in\", \"0.010 in\", \"0.010 in\"]",
    );
    shop.edit(file, "material = \"4140 30 HRC\"", "material = \"bronze\"");
    shop.edit(
        file,
        "room_headstock = \"1.5 in\"",
        "room_headstock = \"0.2 in\"",
    );
    for paper in ["letter", "a4"] {
        let job = of(file, &BORE);
        shop.write(
            "page.html",
            html(&shop, &[&job[..], &["--paper", paper]].concat()),
        );
        assert_eq!(printed(browser, &shop, "page.html").0, 1, "{paper}");
    }
}
