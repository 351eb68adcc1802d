//! The pictures of the README are of the program as it stands.
//!
//! Figures are compared byte for byte with what the commands write. A screenshot differs from one
//! browser and its fonts to the next, so what is held against the program is what was photographed:
//! everything that was served or written for it, as a fingerprint beside the pictures. A picture
//! that was not taken by this test, or is of another size, is found too.
//!
//! `TAUTWAY_WRITE=1 cargo test -p tautway --test browser -- gallery` makes all of them anew.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};
use std::{env, fs, thread};

use crate::digest::fingerprint;
use crate::picture;
use crate::served::Served;
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
    Bench,
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

const TO_DRIVE: &str = "document.querySelector('.drive').scrollIntoView()";
const TO_STEP_7: &str = "document.querySelector('#step-7 .pictures').scrollIntoView()";

fn shots() -> [Shot; 7] {
    use Subject::{Bench, Lesson, Page, Report};
    [
        shot("bench", Bench, (1366, 768)),
        shot("page", Page, (1920, 1080)),
        Shot {
            dark: true,
            first: TO_DRIVE,
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

/// All that the page's program tells a browser that opens the job and waits.
fn told(page: &Served) -> Vec<u8> {
    let mut all = Vec::new();
    let mut next = vec!["/".to_owned()];
    let mut seen: Vec<String> = Vec::new();
    // Every file, found as a browser finds it.
    while let Some(path) = next.pop() {
        if seen.contains(&path) {
            continue;
        }
        let came = page.get(&path);
        assert_eq!(came.status, 200, "{path}");
        let text = came.text();
        for part in text.split('"').skip(1).step_by(2) {
            let path = part.strip_prefix('.').unwrap_or(part);
            let file = [".js", ".css", ".svg"]
                .iter()
                .any(|end| path.ends_with(end));
            if file && path.starts_with('/') {
                next.push(path.to_owned());
            }
        }
        all.push(came.body);
        seen.push(path);
    }
    assert!(seen.len() > 8, "{seen:?}");
    let mut question = page.question();
    let ran = page.post("/api/run", &question).json();
    question["job"] = ran["job"].clone();
    question["lathe"] = ran["lathe"].clone();
    let settled = page.post("/api/refine", &question).events();
    let (last, _) = settled.last().expect("an end");
    assert_eq!(last, "done");
    all.push(ran.to_string().into_bytes());
    all.push(page.post("/api/figure/plan", &question).body);
    all.push(format!("{settled:?}").into_bytes());
    all.concat()
}

/// Where a browser finds a subject, and what it then has before it.
struct Posed {
    address: String,
    holds: Vec<u8>,
    ready: &'static str,
}

fn posed(subject: Subject, page: &Served, shop: &Workshop) -> Posed {
    let file = |name: &str| format!("file://{}", shop.path(name).display());
    let ran = |words: &[&str]| {
        let done = shop.run(words);
        assert!(code(&done) < 2, "{}", err(&done));
    };
    match subject {
        Subject::Bench => {
            ran(&["page", "tapered-socket.toml", "--out", "bench.html"]);
            Posed {
                address: file("bench.html"),
                holds: shop.read("bench.html").into_bytes(),
                ready: "document.querySelector('#bench').dataset.engine === 'ready'",
            }
        }
        Subject::Page => Posed {
            address: page.address(),
            holds: told(page),
            ready: "document.body.dataset.settled === 'yes' && !!document.querySelector('#plan svg')",
        },
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
fn screenshots_are_of_what_is_served_and_written_now() {
    let shop = Workshop::with_scenarios();
    // The worked example that the program carries: a file's name would have this machine's path.
    let page = Served::with(&[]);
    let mut list = format!(
        "# What each screenshot is of: fingerprint of all that was served or written for it, then\n\
         # the picture's size and fingerprint. Made anew by: {AGAIN}\n"
    );
    let shots = shots();
    let subjects = [
        Subject::Bench,
        Subject::Page,
        Subject::Lesson,
        Subject::Report,
    ];
    for subject in subjects {
        let posed = posed(subject, &page, &shop);
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
