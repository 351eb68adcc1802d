//! The engine that stands in every page against the native build: the same bytes to the same
//! questions, and made of the sources as they are.
//!
//! The module that is kept in the tree is run in node; where a compiler for WebAssembly of the same
//! version is installed it is made anew and compared. What can't be looked at is said; where
//! `TAUTWAY_CI` is set it fails.

use std::env;
use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use serde_json::{Value, json};
use tautway_browser_engine::answer::answer;

const KEPT: &str = "cli/engine/kept/engine.wasm.gz";
const RENEW: &str = "bash cli/engine/make";

fn root() -> PathBuf {
    let above = Path::new(env!("CARGO_MANIFEST_DIR")).parent();
    above.expect("the workspace").to_owned()
}

fn text(name: &str) -> String {
    fs::read_to_string(root().join("scenarios").join(name)).expect(name)
}

/// A question on a job and its lathe.
fn of(job: &str, lathe: &str, mut question: Value) -> Value {
    question["job"] = json!(text(job));
    question["lathe"] = json!(text(lathe));
    question
}

/// What is asked.
fn asked() -> Vec<Value> {
    let socket = |question| of("tapered-socket.toml", "worn-lathe.toml", question);
    let bench = |set: Value| json!({ "ask": "bench", "set": set, "side": "front", "rotation": "forward", "seed": 1 });
    vec![
        socket(json!({ "ask": "ways", "seed": 1 })),
        socket(json!({ "ask": "way", "number": 0, "seed": 3 })),
        of(
            "plug-cock.toml",
            "metric-lathe.toml",
            json!({ "ask": "way", "number": 3, "seed": 1 }),
        ),
        socket(json!({ "ask": "lathes", "from": 1, "to": 41, "seed": 7 })),
        of(
            "snug-slide-socket.toml",
            "snug-lathe.toml",
            json!({ "ask": "lathes", "from": 4711, "to": 4730, "seed": 2 }),
        ),
        of(
            "taper-sleeve.toml",
            "toolroom-lathe.toml",
            json!({ "ask": "ways", "seed": 2 }),
        ),
        of(
            "valve-seat.toml",
            "bare-lathe.toml",
            json!({ "ask": "ways", "seed": 5 }),
        ),
        of(
            "pipe-nipple.toml",
            "toolroom-lathe.toml",
            json!({ "ask": "thread", "seed": 1 }),
        ),
        json!({ "ask": "readings", "readings": text("socket-after-setting.readings") }),
        socket(json!({ "ask": "answer", "what": "compare", "here": true, "seed": 1 })),
        socket(json!({ "ask": "answer", "what": "sheet", "here": true, "seed": 1 })),
        socket(json!({
            "ask": "answer", "what": "compare", "here": true, "seed": 1, "units": "metric",
        })),
        of(
            "valve-seat.toml",
            "bare-lathe.toml",
            json!({ "ask": "answer", "what": "sheet", "here": true, "seed": 1 }),
        ),
        json!({ "ask": "fields" }),
        socket(json!({ "ask": "look" })),
        socket(
            json!({ "ask": "edit", "put": [["lathe", "slide.drag", "17 lbf"], ["job", "passes.finish", ""]] }),
        ),
        json!({ "ask": "form", "of": "tests", "units": "metric" }),
        json!({ "ask": "told", "of": "tests", "text": text("worn-lathe.tests"), "job": "", "lathe": text("worn-lathe.toml"), "seed": 1 }),
        socket(json!({ "ask": "form", "of": "readings", "units": "inch" })),
        socket(
            json!({ "ask": "told", "of": "piece", "text": text("short-start.gauged"), "seed": 1 }),
        ),
        socket(
            json!({ "ask": "told", "of": "standoff", "text": "taper = '2 in/ft'\nread = '0.1 in'", "seed": 1 }),
        ),
        socket(
            json!({ "ask": "answer", "what": "preload", "bare": true, "here": true, "seed": 1 }),
        ),
        socket(bench(json!([]))),
        socket(bench(json!([
            ["slack", "0.02 in"],
            ["weight", "25 lbf"],
            ["depth", "0.004 in"]
        ]))),
        of(
            "plug-cock.toml",
            "metric-lathe.toml",
            bench(json!([["drag", "0 N"]])),
        ),
        of(
            "spring-held-cone.toml",
            "worn-lathe.toml",
            bench(json!([["feed", "0.003 in"]])),
        ),
    ]
}

/// Says what nobody looked at, past the test's captured output; in CI that won't do.
fn not_checked(what: &str) {
    assert!(env::var_os("TAUTWAY_CI").is_none(), "NOT CHECKED: {what}");
    writeln!(std::io::stderr(), "NOT CHECKED: {what}").expect("an error output");
}

fn make(what: &str) -> Option<String> {
    let done = Command::new("bash")
        .args(["cli/engine/make", what])
        .current_dir(root())
        .output()
        .ok()?;
    let told = String::from_utf8(done.stdout).expect("text");
    done.status.success().then(|| told.trim().to_owned())
}

/// A line of what is told of the kept module.
fn made_of(what: &str) -> String {
    let told = fs::read_to_string(root().join("cli/engine/kept/made-of")).expect("made-of");
    let mut lines = told.lines();
    let found = lines.find_map(|line| line.strip_prefix(what)?.strip_prefix(' '));
    found.expect(what).to_owned()
}

#[test]
fn the_kept_module_is_made_of_the_sources_as_they_are() {
    let Some(sources) = make("sources") else {
        return not_checked("no shell tells what the kept engine should be made of");
    };
    assert!(
        made_of("sources") == sources,
        "{KEPT} is stale: sim, cli/engine, the lock file or cli/engine/make changed since it was \
         made; renew it with `{RENEW}`"
    );
}

/// An answer without its drawings: their letters are outlines where the whole workspace is built, as
/// for pictures in pixels, and text in a page, which has the font.
fn without_drawings(answer: &str) -> String {
    let mut parts = answer.split("<svg");
    let mut kept = parts.next().unwrap_or_default().to_owned();
    for part in parts {
        let (_, after) = part.split_once("</svg>").expect("a drawing ends");
        kept.push_str(after);
    }
    kept
}

#[test]
fn the_kept_module_gives_the_bytes_of_the_native_build() {
    let node = Command::new("node").arg("--version").output();
    if !node.is_ok_and(|node| node.status.success()) {
        return not_checked("node is not installed, so nobody ran the kept engine");
    }
    let asked = asked();
    let lines: Vec<String> = asked.iter().map(|one| format!("{one}\n")).collect();
    let mut run = Command::new("node")
        .arg(root().join("tests/wasm.mjs"))
        .arg(root().join(KEPT))
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("node starts");
    let mut input = run.stdin.take().expect("an input");
    input
        .write_all(lines.concat().as_bytes())
        .expect("it reads");
    drop(input);
    let done = run.wait_with_output().expect("it ends");
    assert!(done.status.success());
    let told = String::from_utf8(done.stdout).expect("text");
    let theirs: Vec<&str> = told.lines().collect();
    assert_eq!(theirs.len(), asked.len());
    for ((asked, line), theirs) in asked.iter().zip(&lines).zip(&theirs) {
        let ours = answer(line.trim_end());
        let what = &asked["ask"];
        assert!(!ours.starts_with("{\"fault\""), "{what}: {ours}");
        assert!(ours.len() > 1000, "{what}: {ours}");
        assert!(
            without_drawings(&ours) == without_drawings(theirs),
            "{what}: the kept engine gives other bytes; renew it with `{RENEW}`"
        );
    }
}

/// Trials shared out in pieces are those of one run, and come to the same.
#[test]
fn pieces_of_sixteen_lathes_join_to_the_whole() {
    let ask = |question: Value| -> Value {
        let question = of("tapered-socket.toml", "worn-lathe.toml", question);
        serde_json::from_str(&answer(&question.to_string())).expect("JSON")
    };
    let lathes = |from, to| ask(json!({ "ask": "lathes", "from": from, "to": to, "seed": 7 }));
    let whole = lathes(1, 41);
    let mut joined = Vec::new();
    for (from, to) in [(1, 17), (17, 33), (33, 41)] {
        joined.extend(lathes(from, to).as_array().expect("a list").clone());
    }
    assert_eq!(whole.as_array().expect("a list").len(), 40);
    assert_eq!(whole, Value::Array(joined.clone()));
    let gathered = ask(json!({ "ask": "gather", "trials": joined, "seed": 7 }));
    assert!(
        gathered["fault"].is_null() && gathered.is_object(),
        "{gathered}"
    );
}

#[test]
fn the_module_made_anew_is_the_kept_one() {
    let compiler = make("compiler").unwrap_or_else(|| "none".to_owned());
    let kept = made_of("compiler");
    if compiler != kept {
        return not_checked(&format!(
            "the engine made anew: kept is one of {kept}, here is {compiler}"
        ));
    }
    let made = make("module").expect("the engine is built");
    let kept = Command::new("gzip")
        .args(["-d", "-c", KEPT])
        .current_dir(root())
        .output();
    let kept = kept.expect("gzip").stdout;
    let made = fs::read(root().join(made)).expect("the engine");
    assert!(
        made == kept,
        "the engine made anew has {} bytes, other than the {} kept; renew it with `{RENEW}`",
        made.len(),
        kept.len()
    );
}
