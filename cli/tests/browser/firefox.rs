//! Page and lesson in Firefox, from the disk, with its default settings: drawn, dragged, turned, kept.

use std::fs;
use std::io::{Read as _, Write as _};
use std::net::{TcpListener, TcpStream};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::thread::sleep;
use std::time::{Duration, Instant};

use serde_json::{Value, json};

use crate::lesson;
use crate::unchecked;
use crate::workshop::{Workshop, code, err};

/// How long anything may take, s.
const PATIENCE: u64 = 120;

/// A Firefox that is told what to do through its own port; it ends with it.
struct Firefox {
    run: Child,
    stream: TcpStream,
    sent: u64,
}

impl Drop for Firefox {
    fn drop(&mut self) {
        // It may have ended by itself.
        self.run.kill().ok();
        self.run.wait().ok();
    }
}

impl Firefox {
    /// Starts one with a profile of its own; none where it isn't installed.
    fn start(profile: &Path, what: &str) -> Option<Self> {
        let there = Command::new("firefox-esr")
            .arg("--version")
            .env("HOME", profile)
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .status();
        if !there.is_ok_and(|status| status.success()) {
            unchecked::for_want_of("firefox-esr", what);
            return None;
        }
        let free = TcpListener::bind("127.0.0.1:0").expect("a free port");
        let port = free.local_addr().expect("its number").port();
        drop(free);
        fs::create_dir_all(profile).expect("a profile");
        let told = format!("user_pref(\"marionette.port\", {port});\n");
        fs::write(profile.join("user.js"), told).expect("its port");
        let mut run = Command::new("firefox-esr")
            .args([
                "--headless",
                "--no-remote",
                "--marionette",
                "--window-size=1366,768",
            ])
            .arg("--profile")
            .arg(profile)
            .env("HOME", profile)
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .expect("Firefox starts");
        let begun = Instant::now();
        let stream = loop {
            if let Ok(stream) = TcpStream::connect(("127.0.0.1", port)) {
                break stream;
            }
            if begun.elapsed() > Duration::from_secs(PATIENCE) {
                run.kill().ok();
                panic!("Firefox never listened");
            }
            sleep(Duration::from_millis(100));
        };
        stream
            .set_read_timeout(Some(Duration::from_secs(PATIENCE)))
            .expect("patience");
        let mut firefox = Self {
            run,
            stream,
            sent: 0,
        };
        firefox.heard();
        firefox.tell("WebDriver:NewSession", &json!({}));
        Some(firefox)
    }

    /// A message: its length, a colon, and so many bytes of JSON.
    fn heard(&mut self) -> Value {
        let mut length = 0;
        loop {
            let mut byte = [0];
            self.stream.read_exact(&mut byte).expect("a length");
            match byte[0] {
                b':' => break,
                digit => length = 10 * length + usize::from(digit - b'0'),
            }
        }
        let mut bytes = vec![0; length];
        self.stream.read_exact(&mut bytes).expect("a message");
        serde_json::from_slice(&bytes).expect("JSON")
    }

    fn tell(&mut self, command: &str, about: &Value) -> Value {
        self.sent += 1;
        let text = json!([0, self.sent, command, about]).to_string();
        write!(self.stream, "{}:{text}", text.len()).expect("it hears");
        let told = self.heard();
        assert!(told[2].is_null(), "{command}: {}", told[2]);
        told[3].clone()
    }

    fn open(&mut self, file: &Path) {
        let url = format!("file://{}", file.display());
        self.tell("WebDriver:Navigate", &json!({ "url": url }));
    }

    fn says(&mut self, expression: &str) -> Value {
        let script = format!("return {expression};");
        let told = self.tell(
            "WebDriver:ExecuteScript",
            &json!({ "script": script, "args": [] }),
        );
        told["value"].clone()
    }

    fn does(&mut self, statement: &str) {
        self.says(&format!("(() => {{ {statement}; return 1; }})()"));
    }

    fn until(&mut self, holds: &str) {
        let begun = Instant::now();
        while self.says(holds) != json!(true) {
            assert!(
                begun.elapsed() < Duration::from_secs(PATIENCE),
                "never: {holds}"
            );
            sleep(Duration::from_millis(50));
        }
    }
}

/// A knob of a bench turned, and its carriage dragged, as scripts.
fn turned(bench: &str, knob: &str, to: &str) -> String {
    format!(
        "const knob = {bench}.querySelector('#knob-{knob}'); knob.value = '{to}'; \
         knob.dispatchEvent(new Event('input', {{ bubbles: true }}))"
    )
}

fn dragged(bench: &str) -> String {
    format!(
        "const plan = {bench}.querySelector('.plan'); const box = plan.getBoundingClientRect(); \
         plan.setPointerCapture = () => {{}}; \
         const at = (kind, x) => plan.dispatchEvent(new PointerEvent(kind, {{ bubbles: true, button: 0, pointerId: 1, \
         clientX: box.x + x, clientY: box.y + 200 }})); at('pointerdown', 100); at('pointermove', 140); at('pointerup', 140)"
    )
}

/// Numbers that are none, and words over each other, are Chromium's tests; here that it is drawn.
fn is_drawn(firefox: &mut Firefox, bench: &str) {
    let marks = firefox.says(&format!(
        "{bench}.querySelectorAll('svg path[d^=M]').length"
    ));
    assert!(marks.as_u64() > Some(40), "{marks} marks");
    let odd = firefox.says(&format!(
        "[...{bench}.querySelectorAll('svg *')].filter((one) => [...one.attributes].some((a) => /NaN|Infinity/.test(a.value))).length"
    ));
    assert_eq!(odd, 0);
}

#[test]
fn a_page_is_drawn_dragged_turned_and_kept_over_a_reload() {
    let shop = Workshop::with_scenarios();
    let done = shop.run(&["page", "tapered-socket.toml", "--out", "page.html"]);
    assert_eq!(code(&done), 0, "{}", err(&done));
    let Some(mut firefox) = Firefox::start(&shop.path("profile"), "the page in Firefox") else {
        return;
    };
    firefox.open(&shop.path("page.html"));
    let bench = "document.querySelector('#bench')";
    firefox.until(&format!("{bench}.dataset.engine === 'ready'"));
    firefox.until("document.querySelector('#work').dataset.ready === 'yes'");
    is_drawn(&mut firefox, bench);
    let fed = format!("{bench}.dataset.fed");
    let before = firefox.says(&fed);
    firefox.does(&dragged(bench));
    assert_ne!(firefox.says(&fed), before);
    let says = "document.querySelector('#says').textContent";
    let told = firefox.says(says);
    let told = told.as_str().expect("words");
    assert!(told.starts_with("Pulled in holds"), "{told}");
    firefox.does(&turned(bench, "drag", "50"));
    firefox.until(&format!("{bench}.dataset.answers === '1'"));
    let heavy = firefox.says(says);
    assert!(
        heavy
            .as_str()
            .is_some_and(|told| told.starts_with("Both hold")),
        "{heavy}"
    );
    firefox.until("location.hash.startsWith('#tautway-bench-')");
    sleep(Duration::from_millis(700));
    firefox.tell("WebDriver:Refresh", &json!({}));
    firefox.until(&format!("{bench}.dataset.answers === '1'"));
    assert_eq!(firefox.says(says), heavy);
    let shown = "document.querySelector('[data-knob=drag] output').textContent";
    assert_eq!(firefox.says(shown), "50 lbf");
    // What to do follows, its lathes cut in workers.
    firefox.does("document.querySelector('#answers').dataset.always = ''; document.querySelector('#work').work.answers.work()");
    firefox.until("document.querySelector('#answers').dataset.state === 'fresh'");
    let words = firefox.says("document.querySelector('#answers .told').textContent");
    assert!(
        words
            .as_str()
            .is_some_and(|words| words.contains("CUT IT THIS WAY")),
        "{words}"
    );
}

#[test]
fn a_lesson_is_live_checks_and_keeps() {
    let shop = Workshop::with_scenarios();
    lesson::written(&shop, "tapered-socket.toml");
    let Some(mut firefox) = Firefox::start(&shop.path("profile"), "the lesson in Firefox") else {
        return;
    };
    firefox.open(&shop.path("lesson.html"));
    firefox.until("document.querySelectorAll('.drive-sheet svg').length >= 5");
    for guess in 0..3 {
        firefox.does(&format!(
            "document.querySelectorAll('#step-bench fieldset')[{guess}].querySelector('input').click()"
        ));
    }
    let bench = "document.getElementById('bench').shadowRoot.getElementById('bench')";
    firefox.until(&format!("{bench}.dataset.engine === 'ready'"));
    is_drawn(&mut firefox, bench);
    let fed = format!("{bench}.dataset.fed");
    let before = firefox.says(&fed);
    firefox.does(&dragged(bench));
    assert_ne!(firefox.says(&fed), before);
    let outcome = format!("{bench}.querySelector('.card[data-cut=\"1\"] .outcome').textContent");
    let worn = firefox.says(&outcome);
    firefox.does(&turned(bench, "slack", "0"));
    firefox.until(&format!("{bench}.dataset.answers === '1'"));
    assert_ne!(firefox.says(&outcome), worn);
    firefox.does("document.querySelector('#step-8 .on-bench').open = true");
    firefox.until("document.getElementById('bench-8').shadowRoot?.getElementById('bench').dataset.answers === '1'");
    firefox.does(
        "const field = document.querySelector('#step-2 .write input'); field.value = '0.014'; \
         field.dispatchEvent(new Event('input', { bubbles: true })); document.querySelector('#step-2 .hold-against').click()",
    );
    assert_eq!(
        firefox.says("document.querySelector('#step-2 .held-against').textContent"),
        "✓ right"
    );
    firefox.tell("WebDriver:Refresh", &json!({}));
    firefox.until("document.querySelectorAll('.drive-sheet svg').length >= 5");
    assert_eq!(
        firefox.says("document.querySelector('#step-2 .write input').value"),
        "0.014"
    );
}
