//! The page in a real browser: knobs, ranking and picture, broken values, saving and opening,
//! playing, a phone and a projector, and what a screen reader's rules find.

use std::fs;
use std::path::Path;
use std::sync::{Arc, Mutex};
use std::thread;
use std::time::{Duration, Instant};

use crate::served::{Served, scenarios};
use crate::tab;
use crate::tab::{Watched, watched};
use crate::workshop::Workshop;
use headless_chrome::protocol::cdp::Page;
use headless_chrome::{Browser, Tab};
use serde_json::{Value, json};

/// A page in a tab, with all that the browser complained of.
struct Seen {
    tab: Arc<Tab>,
    complaints: Arc<Mutex<Vec<String>>>,
    asked: Arc<Mutex<Vec<String>>>,
    _browser: Browser,
}

impl Seen {
    /// Opens an address in a window of this size; none where no browser is installed.
    fn open(address: &str, (width, height): (u32, u32), dark: bool) -> Option<Self> {
        let Watched {
            tab,
            complaints,
            asked,
            browser,
        } = watched((width, height), &[], "the page")?;
        tab::scheme(&tab, dark);
        tab.navigate_to(address).expect("the page");
        let seen = Self {
            tab,
            complaints,
            asked,
            _browser: browser,
        };
        seen.until("!!document.querySelector('.drive-sheet svg, .drive-sheet .empty')");
        Some(seen)
    }

    /// A value of the page.
    fn says(&self, expression: &str) -> Value {
        self.promised(&format!("Promise.resolve({expression})"))
    }

    /// A value that the page promises.
    fn promised(&self, expression: &str) -> Value {
        let wrapped = format!("{expression}.then((value) => JSON.stringify(value) ?? 'null')");
        let object = self.tab.evaluate(&wrapped, true).expect(expression);
        let text = object.value.unwrap_or_default();
        serde_json::from_str(text.as_str().unwrap_or("null")).expect("JSON")
    }

    /// Words of the page.
    fn text(&self, selector: &str) -> String {
        let found = self.says(&format!(
            "document.querySelector({selector:?})?.textContent"
        ));
        found.as_str().unwrap_or_default().to_owned()
    }

    /// Does something and doesn't look at what comes of it.
    fn does(&self, statement: &str) {
        self.says(&format!("(() => {{ {statement}; return 1; }})()"));
    }

    /// Waits until something holds.
    fn until(&self, holds: &str) {
        let begun = Instant::now();
        while self.says(holds) != json!(true) {
            assert!(
                begun.elapsed() < Duration::from_secs(60),
                "never: {holds}; status {:?}; {:?}",
                self.text("#status-words"),
                self.complaints.lock().expect("the list")
            );
            thread::sleep(Duration::from_millis(50));
        }
    }

    /// Types a value into a knob and waits for the answer to it.
    fn type_in(&self, knob: &str, value: &str) {
        let statement = format!(
            "const k = document.getElementById({knob:?}); k.value = {value:?}; \
             k.dispatchEvent(new Event('change', {{ bubbles: true }}))"
        );
        self.after(&statement);
    }

    /// Does something that asks the server, and waits for the answer.
    fn after(&self, statement: &str) {
        self.does(&format!(
            "window.answers = Number(document.body.dataset.answers); {statement}"
        ));
        self.until(
            "Number(document.body.dataset.answers) > window.answers \
             && !document.body.classList.contains('asking')",
        );
    }

    /// What the ranking shows: way, size, waves.
    fn ranking(&self) -> Vec<[String; 3]> {
        let rows = self.says(
            "[...document.querySelectorAll('table.ways tr[data-key]')].map((row) => [row.dataset.key, \
             ...[...row.querySelectorAll('.num')].slice(0, 2).map((cell) => cell.textContent)])",
        );
        serde_json::from_value(rows).expect("rows")
    }

    /// What the picture shows at a moment.
    fn picture(&self, moment: u32) -> String {
        self.does(&format!(
            "const s = document.getElementById('scrub'); s.value = {moment}; \
             s.dispatchEvent(new Event('input'))"
        ));
        self.text("#drive-words")
            + &self
                .says("document.querySelector('.drive-sheet svg').outerHTML")
                .to_string()
    }

    /// Nothing was complained of, and nothing left the page's own address.
    fn is_clean(&self, page: &Served) {
        let complaints = self.complaints.lock().expect("the list");
        assert!(complaints.is_empty(), "{complaints:?}");
        let own = page.address();
        let asked = self.asked.lock().expect("the list");
        assert!(asked.len() > 5, "{asked:?}");
        for url in asked.iter() {
            let stays = url.starts_with(&own)
                || url.starts_with(&format!("blob:{own}"))
                || url == "about:blank";
            assert!(stays, "{url} was asked for");
        }
    }
}

/// The rows that an answer of the server should show.
fn rows_of(told: &Value) -> Vec<[String; 3]> {
    let ways = told["answer"]["ways"].as_array().expect("ways");
    let word = |value: &Value| value.as_str().unwrap_or("–").to_owned();
    ways.iter()
        .map(|way| {
            let numbers = &way["numbers"];
            [
                word(&way["key"]),
                word(&numbers["size_error"]),
                word(&numbers["waves"]),
            ]
        })
        .collect()
}

#[test]
fn a_moved_knob_changes_ranking_and_picture_to_the_command_lines_numbers() {
    let page = Served::job("tapered-socket.toml");
    let Some(seen) = Seen::open(&page.address(), (1280, 900), false) else {
        return;
    };
    assert_eq!(seen.ranking(), rows_of(&page.turned(&[])));
    let before = seen.picture(300);
    // The records behind these rows are held against the command line's in page_answers.rs.
    seen.type_in("slack", "0.3 mm");
    let told = page.turned(&[("slack", "0.3 mm")]);
    assert_eq!(seen.ranking(), rows_of(&told));
    assert_ne!(seen.picture(300), before);
    seen.after("const k = document.getElementById('depth-slider'); k.value = 0.02; k.dispatchEvent(new Event('input'))");
    let told = page.turned(&[("slack", "0.3 mm"), ("depth", "0.020 in")]);
    assert_eq!(seen.ranking(), rows_of(&told));
    assert_eq!(
        seen.says("document.getElementById('depth').value"),
        "0.020 in"
    );
    // The spread follows, and the words with it.
    seen.until("document.body.dataset.settled === 'yes'");
    assert!(
        seen.text("#words").contains("lathes like yours"),
        "{}",
        seen.text("#words")
    );
    assert!(seen.text("#words").contains("Not an inspection"));
    seen.is_clean(&page);
}

#[test]
fn the_way_in_sight_comes_before_the_others_and_moves_with_the_knob() {
    let page = Served::job("tapered-socket.toml");
    let Some(seen) = Seen::open(&page.address(), (1280, 900), false) else {
        return;
    };
    let before = seen.picture(300);
    // The ranking is held back on its way, so that what comes without it can be looked at.
    seen.does(
        "const real = window.fetch; window.held = []; window.fetch = (address, how) => \
         String(address).endsWith('/api/run') ? new Promise((go) => window.held.push(() => \
         go(real(address, how)))) : real(address, how); const k = document.getElementById('slack'); \
         k.value = '0.3 mm'; k.dispatchEvent(new Event('change', { bubbles: true }))",
    );
    seen.until("window.held.length === 1");
    let told = page.turned(&[("slack", "0.3 mm")]);
    let rows = rows_of(&told);
    let key = told["answer"]["chosen"]["key"].as_str().expect("a key");
    let row = |rows: Vec<[String; 3]>| rows.into_iter().find(|row| row[0] == key);
    assert_eq!(row(seen.ranking()), row(rows.clone()));
    assert_ne!(seen.picture(300), before);
    assert_ne!(seen.ranking(), rows, "the others are still as before");
    let size = told["answer"]["chosen"]["numbers"]["size"].as_str();
    assert!(seen.text("#words").contains(size.expect("a size")));
    seen.does("window.held.forEach((go) => go())");
    seen.until("!document.body.classList.contains('asking')");
    assert_eq!(seen.ranking(), rows);
    seen.is_clean(&page);
}

#[test]
fn a_seed_can_be_set_and_a_wrong_one_is_told_at_its_knob() {
    let page = Served::job("tapered-socket.toml");
    let Some(seen) = Seen::open(&page.address(), (1280, 900), false) else {
        return;
    };
    let one = seen.ranking();
    let command = |ending: &str| {
        let typed = seen.text("#command");
        assert!(typed.starts_with("tautway compare "), "{typed}");
        assert!(typed.ends_with(ending), "{typed}");
    };
    command("tapered-socket.toml");
    seen.type_in("seed", "7");
    let mut question = page.question();
    question["seed"] = json!(7);
    assert_eq!(
        seen.ranking(),
        rows_of(&page.post("/api/run", &question).json())
    );
    assert_ne!(seen.ranking(), one);
    command("tapered-socket.toml --seed 7");
    seen.type_in("seed", "seven");
    assert!(seen.text("#seed-fault").contains("whole number"));
    seen.type_in("seed", "");
    assert_eq!(seen.ranking(), one);
    seen.is_clean(&page);
}

#[test]
fn before_and_after_are_told_beside_each_other() {
    let page = Served::job("tapered-socket.toml");
    let Some(seen) = Seen::open(&page.address(), (1280, 900), false) else {
        return;
    };
    seen.does("document.getElementById('pin').click()");
    seen.type_in("depth", "0.020 in");
    let changes = seen.says(
        "[...document.querySelectorAll('.changes tbody tr')].map((row) => \
         [...row.children].map((cell) => cell.textContent))",
    );
    let rows = changes.as_array().expect("rows");
    assert_eq!(
        rows[0],
        json!(["Last finishing pass, per side", "0.010 in", "0.020 in"])
    );
    let told = page.turned(&[("depth", "0.020 in")]);
    let finish = &told["answer"]["chosen"]["numbers"]["finish"];
    let size = &told["answer"]["chosen"]["numbers"]["size"];
    assert!(
        rows.iter().any(|row| row[2] == *finish || row[2] == *size),
        "{rows:?}"
    );
    assert_eq!(
        seen.says("document.querySelectorAll('#surface .curve.before').length"),
        2
    );
    seen.is_clean(&page);
}

#[test]
fn a_broken_value_shows_its_message_and_mending_it_clears_it() {
    let page = Served::job("tapered-socket.toml");
    let Some(seen) = Seen::open(&page.address(), (1280, 900), false) else {
        return;
    };
    seen.type_in("drag", "20");
    let told = page.turned(&[("drag", "20")]);
    let message = told["faults"][0]["message"].as_str().expect("words");
    assert!(
        seen.text("#drag-fault").contains(message),
        "{}",
        seen.text("#drag-fault")
    );
    assert!(seen.text("#faults").contains("drag = \"20\""));
    assert!(seen.text("#status-words").contains(message));
    assert_eq!(
        seen.says("document.getElementById('drag').getAttribute('aria-invalid')"),
        "true"
    );
    seen.type_in("drag", "24 lbf");
    assert_eq!(
        seen.says("document.getElementById('drag-fault').hidden"),
        true
    );
    assert_eq!(seen.ranking(), rows_of(&page.turned(&[("drag", "24 lbf")])));
    seen.is_clean(&page);
}

#[test]
fn what_is_saved_opens_again_as_it_was() {
    let page = Served::job("tapered-socket.toml");
    let Some(seen) = Seen::open(&page.address(), (1280, 900), false) else {
        return;
    };
    seen.type_in("drag", "33 lbf");
    let shop = Workshop::empty();
    seen.tab
        .call_method(Page::SetDownloadBehavior {
            behavior: Page::SetDownloadBehaviorBehaviorOption::Allow,
            download_path: Some(shop.path("").display().to_string()),
        })
        .expect("a place for downloads");
    let names = ["tapered-socket.toml", "worn-lathe.toml"];
    for (button, name) in ["save-job", "save-lathe"].into_iter().zip(names) {
        seen.does(&format!("document.getElementById({button:?}).click()"));
        let begun = Instant::now();
        while !shop.path(name).exists() {
            assert!(
                begun.elapsed() < Duration::from_secs(30),
                "{name} never came"
            );
            thread::sleep(Duration::from_millis(50));
        }
    }
    let told = page.turned(&[("drag", "33 lbf")]);
    assert_eq!(json!(shop.read(names[0])), told["job"]["text"]);
    assert_eq!(json!(shop.read(names[1])), told["lathe"]["text"]);
    assert!(shop.read(names[1]).contains("drag = \"33 lbf\""));
    let there = seen.ranking();
    // Another example in between, then both files as if chosen.
    seen.after("const e = document.getElementById('example'); e.value = 'taper-sleeve'; e.dispatchEvent(new Event('change'))");
    assert_ne!(seen.ranking(), there);
    let input = seen.tab.find_element("#open").expect("the file chooser");
    let files = names.map(|name| shop.path(name).display().to_string());
    let files = files.each_ref().map(String::as_str);
    input.set_input_files(&files).expect("files chosen");
    seen.until("document.getElementById('drag').value === '33 lbf'");
    assert_eq!(seen.ranking(), there);
    // Pasted texts do too.
    let text = fs::read_to_string(scenarios().join("plug-cock.toml")).expect("a job");
    let lathe = fs::read_to_string(scenarios().join("metric-lathe.toml")).expect("a lathe");
    seen.after(&format!(
        "const put = (id, text) => {{ const a = document.getElementById(id); a.value = text; \
         a.dispatchEvent(new Event('input')); }}; put('job-text', {text:?}); \
         put('lathe-text', {lathe:?}); document.getElementById('use-texts').click()"
    ));
    assert!(
        seen.text("#job-name").contains("plug of a cock"),
        "{}",
        seen.text("#job-name")
    );
    seen.is_clean(&page);
}

#[test]
fn the_motion_plays_from_reversal_through_run_in_to_the_cut() {
    let page = Served::job("tapered-socket.toml");
    let Some(seen) = Seen::open(&page.address(), (1280, 900), false) else {
        return;
    };
    for (moment, words) in [
        (10, "The carriage goes back"),
        (150, "slide stands still"),
        (430, "the slide follows the guide"),
        (750, "Cutting. The slide sits hard against the guide"),
    ] {
        let shown = seen.picture(moment);
        assert!(shown.contains(words), "{moment}: {}", &shown[..120]);
    }
    seen.does("document.querySelector('[data-key=\"front headstock forward\"] button').click()");
    seen.until("document.getElementById('status-words').textContent.includes('Looking at')");
    assert!(seen.picture(750).contains("floats in its slack"));
    let still = seen.picture(0);
    seen.does("document.getElementById('play').click()");
    assert_eq!(seen.text("#play"), "Pause");
    seen.until("Number(document.getElementById('scrub').value) > 60");
    seen.does("document.getElementById('play').click()");
    assert_eq!(seen.text("#play"), "Play");
    assert_ne!(
        seen.says("document.querySelector('.drive-sheet svg').outerHTML")
            .to_string(),
        still
    );
    assert!(seen.text("#larger").contains("Slack shown ×"));
    seen.is_clean(&page);
}

#[test]
fn the_moving_picture_needs_a_record_and_no_server() {
    let page = Served::job("tapered-socket.toml");
    let record = page.turned(&[])["answer"]["drive"].clone();
    drop(page);
    let assets = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/page/assets");
    let read = |name: &str| fs::read_to_string(assets.join(name)).expect(name);
    // As a lesson in one file would have it: the scripts one after the other, joined by nothing.
    let script: String = ["ink.js", "drive.js", "track.js", "player.js"]
        .map(read)
        .join("\n")
        .lines()
        .filter(|line| !line.starts_with("import ") && !line.starts_with("export {"))
        .map(|line| line.strip_prefix("export ").unwrap_or(line).to_owned() + "\n")
        .collect();
    let shop = Workshop::empty();
    shop.write(
        "lesson.html",
        format!(
            "<!doctype html><title>lesson</title><style>{}</style><div id=\"here\"></div>\
             <script type=\"module\">{script}\nnew Player(document.getElementById('here'))\
             .show({record});</script>",
            read("drawing.css")
        ),
    );
    let address = format!("file://{}", shop.path("lesson.html").display());
    let Some(seen) = Seen::open(&address, (900, 700), false) else {
        return;
    };
    assert!(
        seen.picture(750)
            .contains("The slide sits hard against the guide")
    );
    assert_eq!(
        seen.says("document.querySelectorAll('.fill').length >= 4"),
        true
    );
    assert!(seen.complaints.lock().expect("the list").is_empty());
}

#[test]
fn a_phone_and_a_projector_need_no_scrolling_sideways() {
    let page = Served::job("tapered-socket.toml");
    for size in [(360, 780), (1920, 1080)] {
        let Some(seen) = Seen::open(&page.address(), size, false) else {
            return;
        };
        seen.does(
            "document.querySelectorAll('details').forEach((folder) => { folder.open = true; })",
        );
        seen.until("document.querySelectorAll('details.figure svg').length >= 3");
        let wide = seen.says("[document.documentElement.scrollWidth, innerWidth]");
        assert!(wide[0].as_u64() <= wide[1].as_u64(), "{wide} at {size:?}");
        seen.is_clean(&page);
    }
}

#[test]
fn no_serious_finding_for_people_who_read_by_ear_or_keyboard() {
    let Some(axe) = tab::axe() else {
        return;
    };
    let page = Served::job("tapered-socket.toml");
    for (size, dark) in [
        ((1280, 900), false),
        ((1280, 900), true),
        ((360, 780), false),
        ((360, 780), true),
    ] {
        let Some(seen) = Seen::open(&page.address(), size, dark) else {
            return;
        };
        seen.does(
            "document.querySelectorAll('details').forEach((folder) => { folder.open = true; })",
        );
        seen.until("document.body.dataset.settled === 'yes'");
        seen.does("document.getElementById('pin').click()");
        seen.type_in("drag", "20");
        seen.type_in("drag", "30 lbf");
        let serious = tab::serious(&seen.tab, &axe);
        assert!(serious.is_empty(), "{size:?} dark {dark}: {serious:#?}");
    }
}
