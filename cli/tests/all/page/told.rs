//! What the page tells when it is asked of thread, preload and changes: the very words of the command.

use rayon::prelude::*;
use serde_json::{Value, json};
use tautway_browser_engine::answer::answer;

use super::said::{by_command, on_page};
use crate::workshop::Workshop;

/// What the command line adds of itself.
const TYPED: [&str; 3] = [
    " (--detail tells which)",
    " (--detail)",
    " (tautway modify)",
];

fn of(shop: &Workshop, job: &str, what: &str) -> Value {
    let text = shop.read(job);
    let lathe = text.lines().find_map(|l| l.strip_prefix("lathe = \""));
    let lathe = shop.read(lathe.expect("a lathe").trim_end_matches('"'));
    let question = json!({
        "ask": "answer", "what": what, "job": text, "lathe": lathe, "seed": 1, "here": true,
        "bare": what == "preload",
    });
    serde_json::from_str(&answer(&question.to_string())).expect("JSON")
}

#[test]
fn thread_preload_and_changes_are_told_as_the_command_tells_them() {
    let shop = Workshop::with_scenarios();
    let asked = [
        ("thread", "threaded-socket.toml"),
        ("preload", "tapered-socket.toml"),
        ("preload", "air-out-of-the-cut.toml"),
        ("modify", "plug-cock.toml"),
    ];
    asked.par_iter().for_each(|(what, job)| {
        let ours = by_command(&shop, &[what, job], &TYPED);
        let theirs = of(&shop, job, what);
        let theirs = on_page(
            theirs["said"]
                .as_str()
                .unwrap_or_else(|| panic!("{theirs}")),
        );
        assert!(ours.len() > 100, "{what} {job}");
        assert_eq!(ours, theirs, "{what} {job}");
    });
}

#[test]
fn a_job_without_a_thread_has_none_to_tell() {
    let shop = Workshop::with_scenarios();
    let told = of(&shop, "tapered-socket.toml", "thread");
    assert_eq!(told["fault"], "this job has no thread to plan");
}
