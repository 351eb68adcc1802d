//! The pictures of the README are of the program as it stands.
//!
//! Figures are compared byte for byte with what the commands write. A screenshot differs from one
//! browser and its fonts to the next, so what is held against the program is what was photographed:
//! everything that was written for it, as a fingerprint beside the pictures. A picture
//! that was not taken by this test, or is of another size, is found too.
//!
//! `TAUTWAY_WRITE=1 cargo test -p tautway --test browser -- gallery` makes all of them anew.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};
use std::{env, fs, thread};

use crate::digest::fingerprint;
use crate::picture;
use crate::tab;
use crate::tab::{Watched, watched};
use crate::workshop::{Workshop, code, err};
use headless_chrome::protocol::cdp::Page;
use serde_json::{Value, json};

/// Largest picture, bytes.
const LARGEST: u64 = 250_000;
const AGAIN: &str = "TAUTWAY_WRITE=1 cargo test -p tautway --test browser -- gallery";
const PHOTOGRAPHED: &str = "photographed.txt";

fn gallery() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../figures/gallery")
}

fn writes() -> bool {
    env::var_os("TAUTWAY_WRITE").is_some()
}

/// A figure: its name in the gallery, the command, and the file that the command writes.
const FIGURES: [(&str, &[&str], &str); 7] = [
    (
        "tapered-socket-surfaces",
        &["compare", "tapered-socket.toml", "--trials", "0"],
        "surfaces.png",
    ),
    (
        "tapered-socket-setup",
        &["compare", "tapered-socket.toml", "--trials", "0"],
        "setup.png",
    ),
    (
        "tapered-socket-cut",
        &["compare", "tapered-socket.toml", "--trials", "0"],
        "cut-front-to-headstock-forward.png",
    ),
    (
        "tapered-socket-preload",
        &["preload", "tapered-socket.toml"],
        "preload.png",
    ),
    (
        "pipe-nipple-passes",
        &["thread", "pipe-nipple.toml"],
        "thread-passes.png",
    ),
    (
        "socket-readings",
        &["readings", "socket-after-setting.readings"],
        "readings.png",
    ),
    (
        "zero-too-early-moves",
        &["rehearse", "zero-too-early.moves"],
        "rehearsal.png",
    ),
];

#[test]
fn figures_are_what_the_commands_write() {
    let shop = Workshop::with_scenarios();
    let mut before: &[&str] = &[];
    let mut stale = Vec::new();
    for (name, command, file) in FIGURES {
        if command != before {
            let done = shop.run(&[command, &["--out", command[0]]].concat());
            assert!(code(&done) < 2, "{command:?}: {}", err(&done));
            before = command;
        }
        let drawn = fs::read(shop.path(command[0]).join(file)).unwrap_or_else(|why| {
            panic!(
                "{file} of {command:?}: {why}; there are {:?}",
                shop.names(command[0])
            )
        });
        let there = gallery().join(format!("{name}.png"));
        if writes() {
            fs::write(&there, &drawn).expect("a picture");
        } else if fs::read(&there).ok().as_deref() != Some(&drawn) {
            stale.push(name);
        }
    }
    assert!(stale.is_empty(), "{stale:?} are not as drawn now: {AGAIN}");
}

/// What is photographed.
#[derive(Clone, Copy, PartialEq)]
enum Subject {
    Page,
    Lesson,
    Report,
}

/// A screenshot: its name, of what, window, dark or light, and what is done before.
struct Shot {
    name: &'static str,
    of: Subject,
    window: (u32, u32),
    dark: bool,
    first: &'static str,
}

const fn shot(name: &'static str, of: Subject, window: (u32, u32)) -> Shot {
    Shot {
        name,
        of,
        window,
        dark: false,
        first: "",
    }
}

const TO_ANSWERS: &str = "document.querySelector('#work').scrollIntoView()";
const TO_LATHE: &str = "document.querySelector('#tab-lathe').click(); \
    document.querySelector('#work').scrollIntoView()";
const TO_STEP_7: &str = "document.querySelector('#step-7 .pictures').scrollIntoView()";

fn shots() -> [Shot; 7] {
    use Subject::{Lesson, Page, Report};
    [
        shot("bench", Page, (1366, 768)),
        Shot {
            first: TO_ANSWERS,
            ..shot("page", Page, (1920, 1080))
        },
        Shot {
            dark: true,
            first: TO_LATHE,
            ..shot("page-dark", Page, (1280, 900))
        },
        shot("page-phone", Page, (390, 844)),
        Shot {
            first: TO_STEP_7,
            ..shot("lesson", Lesson, (1280, 900))
        },
        Shot {
            first: TO_STEP_7,
            ..shot("lesson-phone", Lesson, (390, 844))
        },
        shot("report", Report, (1280, 900)),
    ]
}

/// Where a browser finds a subject, and what it then has before it.
struct Posed {
    address: String,
    holds: Vec<u8>,
    ready: &'static str,
}

fn posed(subject: Subject, shop: &Workshop) -> Posed {
    let file = |name: &str| format!("file://{}", shop.path(name).display());
    let ran = |words: &[&str]| {
        let done = shop.run(words);
        assert!(code(&done) < 2, "{}", err(&done));
    };
    match subject {
        Subject::Page => {
            ran(&["page", "tapered-socket.toml"]);
            Posed {
                address: file("tapered-socket.page.html"),
                holds: shop.read("tapered-socket.page.html").into_bytes(),
                ready: "document.querySelector('#work').dataset.ready === 'yes'",
            }
        }
        Subject::Lesson => {
            ran(&["lesson", "tapered-socket.toml", "--out", "lesson.html"]);
            Posed {
                address: file("lesson.html"),
                holds: shop.read("lesson.html").into_bytes(),
                ready: "document.querySelectorAll('.drive-sheet svg').length >= 5",
            }
        }
        Subject::Report => {
            ran(&[
                "compare",
                "tapered-socket.toml",
                "--trials",
                "100",
                "--report",
                "report.html",
            ]);
            Posed {
                address: file("report.html"),
                holds: shop.read("report.html").into_bytes(),
                ready: "document.readyState === 'complete'",
            }
        }
    }
}

/// Takes the picture; none where no browser is installed.
fn taken(shot: &Shot, posed: &Posed) -> Option<Vec<u8>> {
    let Watched { tab, browser, .. } = watched(shot.window, &["--hide-scrollbars"], shot.name)?;
    tab::scheme(&tab, shot.dark);
    tab.navigate_to(&posed.address).expect("an address");
    let says = |expression: &str| -> Value {
        let object = tab.evaluate(expression, false).expect(expression);
        object.value.unwrap_or_default()
    };
    let begun = Instant::now();
    while says(&format!("Boolean({})", posed.ready)) != json!(true) {
        assert!(begun.elapsed() < Duration::from_secs(120), "{}", shot.name);
        thread::sleep(Duration::from_millis(100));
    }
    if !shot.first.is_empty() {
        says(shot.first);
    }
    // Two frames, so that what was scrolled to is painted.
    thread::sleep(Duration::from_millis(500));
    let format = Page::CaptureScreenshotFormatOption::Png;
    let screenshot = tab.capture_screenshot(format, None, None, true);
    drop(browser);
    Some(picture::small(&screenshot.expect("a screenshot")))
}

#[test]
fn screenshots_are_of_what_is_written_now() {
    let shop = Workshop::with_scenarios();
    let mut list = format!(
        "# What each screenshot is of: fingerprint of all that was written for it, then\n\
         # the picture's size and fingerprint. Made anew by: {AGAIN}\n"
    );
    let shots = shots();
    for subject in [Subject::Page, Subject::Lesson, Subject::Report] {
        let posed = posed(subject, &shop);
        let of = fingerprint(&posed.holds);
        for shot in shots.iter().filter(|shot| shot.of == subject) {
            let there = gallery().join(format!("{}.png", shot.name));
            if writes() {
                let picture = taken(shot, &posed).expect("a browser, for new pictures");
                fs::write(&there, picture).expect("a picture");
            }
            let picture = fs::read(&there).unwrap_or_else(|why| panic!("{why}: {AGAIN}"));
            let (width, height) = picture::size(&picture);
            assert_eq!((width, height), shot.window, "{}", shot.name);
            let print = fingerprint(&picture);
            let name = shot.name;
            let _ = writeln!(list, "{name} {of:016x} {width}x{height} {print:016x}");
        }
    }
    let there = gallery().join(PHOTOGRAPHED);
    if writes() {
        fs::write(&there, &list).expect("the list");
    }
    let kept = fs::read_to_string(&there).unwrap_or_default();
    assert_eq!(
        kept, list,
        "page, lesson or report have changed since they were photographed: {AGAIN}, and look"
    );
}

#[test]
fn every_picture_is_small_and_shown_in_the_readme() {
    if writes() {
        // The others are still at it.
        return;
    }
    let readme = fs::read_to_string(gallery().join("../../README.md")).expect("README.md");
    let mut wanted: Vec<String> = FIGURES
        .iter()
        .map(|(name, ..)| format!("{name}.png"))
        .collect();
    wanted.extend(shots().iter().map(|shot| format!("{}.png", shot.name)));
    wanted.push(PHOTOGRAPHED.to_owned());
    wanted.sort();
    let mut there: Vec<String> = Vec::new();
    for entry in fs::read_dir(gallery()).expect("the gallery") {
        let entry = entry.expect("an entry");
        let name = entry.file_name().display().to_string();
        let long = entry.metadata().expect("its size").len();
        assert!(long < LARGEST, "{name} is {long} bytes long");
        let shown = readme.contains(&format!("figures/gallery/{name}"));
        assert!(shown || name == PHOTOGRAPHED, "README doesn't show {name}");
        there.push(name);
    }
    there.sort();
    assert_eq!(there, wanted);
}
