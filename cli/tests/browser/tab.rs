//! A real browser's tab, with all that it complains of and asks for, and what the rules find that
//! accessibility is judged by.

use crate::unchecked;
use std::ffi::OsStr;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::{Arc, Mutex};
use std::time::Duration;

use headless_chrome::protocol::cdp::types::Event;
use headless_chrome::protocol::cdp::{Emulation, Network};
use headless_chrome::{Browser, LaunchOptions, Tab};
use serde_json::Value;

/// The browser, if one is installed.
fn chromium() -> Option<PathBuf> {
    ["/usr/bin/chromium", "/usr/bin/chromium-browser"]
        .into_iter()
        .map(PathBuf::from)
        .find(|path| {
            let asked = Command::new(path)
                .arg("--version")
                .stdout(Stdio::null())
                .stderr(Stdio::null())
                .status();
            asked.is_ok_and(|status| status.success())
        })
}

/// An empty tab.
pub struct Watched {
    pub tab: Arc<Tab>,
    /// What the browser complained of.
    pub complaints: Arc<Mutex<Vec<String>>>,
    /// Every address it asked for.
    pub asked: Arc<Mutex<Vec<String>>>,
    /// Closes with it.
    pub browser: Browser,
}

/// Opens a tab in a window of this size, the browser started with these switches besides; none
/// where no browser is installed, and then it says that nobody looked at `what`.
pub fn watched((width, height): (u32, u32), switches: &[&str], what: &str) -> Option<Watched> {
    let Some(path) = chromium() else {
        unchecked::for_want_of("chromium", what);
        return None;
    };
    let options = LaunchOptions::default_builder()
        .path(Some(path))
        .sandbox(false)
        .window_size(Some((width, height)))
        .idle_browser_timeout(Duration::from_secs(300))
        .args(
            ["--disable-gpu"]
                .iter()
                .chain(switches)
                .map(OsStr::new)
                .collect(),
        )
        .build()
        .expect("options");
    let browser = Browser::new(options).expect("the browser starts");
    let tab = browser.new_tab().expect("a tab");
    let complaints = Arc::new(Mutex::new(Vec::new()));
    let asked = Arc::new(Mutex::new(Vec::new()));
    let (told, requests) = (Arc::clone(&complaints), Arc::clone(&asked));
    tab.add_event_listener(Arc::new(move |event: &Event| match event {
        Event::RuntimeExceptionThrown(thrown) => {
            let words = format!("{:?}", thrown.params.exception_details);
            told.lock().expect("the list").push(words);
        }
        Event::LogEntryAdded(entry) => {
            let words = format!("{:?}", entry.params.entry);
            told.lock().expect("the list").push(words);
        }
        Event::NetworkRequestWillBeSent(sent) => {
            let url = sent.params.request.url.clone();
            requests.lock().expect("the list").push(url);
        }
        _ => {}
    }))
    .expect("a listener");
    tab.enable_log().expect("a log");
    tab.enable_runtime().expect("a runtime");
    tab.call_method(Network::Enable {
        max_total_buffer_size: None,
        max_resource_buffer_size: None,
        max_post_data_size: None,
        report_direct_socket_traffic: None,
        enable_durable_messages: None,
    })
    .expect("a network log");
    tab.call_method(Emulation::SetDeviceMetricsOverride {
        width,
        height,
        device_scale_factor: 1.0,
        mobile: width < 600,
        scale: None,
        screen_width: None,
        screen_height: None,
        position_x: None,
        position_y: None,
        dont_set_visible_size: None,
        screen_orientation: None,
        viewport: None,
        display_feature: None,
        device_posture: None,
    })
    .expect("a size");
    Some(Watched {
        tab,
        complaints,
        asked,
        browser,
    })
}

/// Shows the tab as a person sees it whose system is light or dark.
pub fn scheme(tab: &Tab, dark: bool) {
    tab.call_method(Emulation::SetEmulatedMedia {
        media: None,
        features: Some(vec![Emulation::MediaFeature {
            name: "prefers-color-scheme".to_owned(),
            value: if dark { "dark" } else { "light" }.to_owned(),
        }]),
    })
    .expect("a scheme");
}

/// The rules of a screen reader's peer, fetched by `.ci/run`.
pub fn axe() -> Option<String> {
    let place = Path::new(env!("CARGO_MANIFEST_DIR")).join("../target/axe/axe.min.js");
    let text = fs::read_to_string(place).ok();
    if text.is_none() {
        unchecked::for_want_of(
            "target/axe/axe.min.js",
            "what people read by ear or keyboard",
        );
    }
    text
}

/// What those rules find serious in the tab as it stands.
pub fn serious(tab: &Tab, axe: &str) -> Vec<Value> {
    tab.evaluate(axe, false).expect("the rules are read");
    let asked = "axe.run(document, { resultTypes: ['violations'] }).then((found) => \
         JSON.stringify(found.violations.map((v) => [v.impact, v.id, v.nodes.slice(0, 3).map((n) \
         => n.html.slice(0, 160) + ' ' + n.failureSummary)])))";
    let told = tab.evaluate(asked, true).expect("findings").value;
    let told = told.unwrap_or_default();
    let found: Vec<Value> = serde_json::from_str(told.as_str().unwrap_or("")).expect("JSON");
    found
        .into_iter()
        .filter(|one| ["serious", "critical"].contains(&one[0].as_str().unwrap_or("")))
        .collect()
}

/// Opens a file of its own in windows small and large, light and dark, prepares each, and wants
/// nothing serious found.
pub fn reads_well(file: &Path, prepare: &str, what: &str) {
    let Some(axe) = axe() else { return };
    for (size, dark) in [
        ((1280, 900), false),
        ((1280, 900), true),
        ((360, 780), false),
        ((360, 780), true),
    ] {
        let Some(seen) = watched(size, &[], what) else {
            return;
        };
        scheme(&seen.tab, dark);
        seen.tab
            .navigate_to(&format!("file://{}", file.display()))
            .and_then(|tab| tab.wait_until_navigated())
            .expect(what);
        seen.tab.evaluate(prepare, false).expect(prepare);
        let found = serious(&seen.tab, &axe);
        assert!(found.is_empty(), "{what} {size:?} dark {dark}: {found:#?}");
    }
}
