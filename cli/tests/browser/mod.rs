//! A real browser's tab, with all that it complains of and asks for.

use std::ffi::OsStr;
use std::path::PathBuf;
use std::process::{Command, Stdio};
use std::sync::{Arc, Mutex};
use std::time::Duration;

use headless_chrome::protocol::cdp::types::Event;
use headless_chrome::protocol::cdp::{Emulation, Network};
use headless_chrome::{Browser, LaunchOptions, Tab};

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
        println!("NOT CHECKED: chromium is not installed, so nobody looked at {what}");
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
