//! What the engine in a page expects of every worked example, its lathes cut in pieces by another
//! engine, against `compare --format json`: the same to the last digit.

use std::io::Write as _;
use std::path::Path;
use std::process::{Command, Stdio};

use rayon::prelude::*;
use serde_json::{Value, json};

use crate::unchecked;
use crate::workshop::{Workshop, code, err, out};

/// Every worked example that is a job, with the lathe that it names.
fn jobs(shop: &Workshop) -> Vec<(String, Value)> {
    let files = shop.names(".").into_iter();
    let of = files.filter_map(|name| {
        let job = name.ends_with(".toml").then(|| shop.read(&name))?;
        let named = job.lines().find_map(|line| line.strip_prefix("lathe = \""));
        let lathe = shop.read(named?.trim_end_matches('"'));
        Some((name, json!({ "job": job, "lathe": lathe, "seed": 1 })))
    });
    of.collect()
}

fn in_pieces(question: &Value) -> Value {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut run = Command::new("node")
        .arg(root.join("tests/all/page/pieces.mjs"))
        .arg(root.join("engine/kept/engine.wasm.gz"))
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("node starts");
    let mut input = run.stdin.take().expect("an input");
    writeln!(input, "{question}").expect("it reads");
    drop(input);
    let done = run.wait_with_output().expect("it ends");
    assert!(done.status.success());
    serde_json::from_slice(&done.stdout).expect("JSON")
}

fn expects(answer: &Value) -> Vec<Value> {
    let each = |list: &str| -> Vec<Value> {
        let ways = answer[list].as_array().expect("a list").iter();
        ways.map(|way| way["expect"].clone()).collect()
    };
    let mut all = vec![answer["expect"].clone()];
    all.extend(each("ways"));
    all.extend(each("without_attachment"));
    all
}

#[test]
fn a_page_expects_what_the_command_line_does_to_the_last_digit() {
    let node = Command::new("node").arg("--version").output();
    if !node.is_ok_and(|node| node.status.success()) {
        return unchecked::for_want_of("node", "what the engine in a page expects");
    }
    let shop = Workshop::with_scenarios();
    let jobs = jobs(&shop);
    assert!(jobs.len() >= 14, "{} jobs", jobs.len());
    let lathes: Vec<u64> = jobs
        .par_iter()
        .map(|(name, question)| {
            let theirs = in_pieces(question);
            let ours = shop.run(&["compare", name, "--trials", "50", "--format", "json"]);
            assert!(code(&ours) < 2, "{name}: {}", err(&ours));
            let ours: Value = serde_json::from_str(&out(&ours)).expect("JSON");
            let (ours, theirs_expect) = (expects(&ours), expects(&theirs["answer"]));
            assert_eq!(ours.len(), theirs_expect.len(), "{name}");
            for (at, (one, other)) in ours.iter().zip(&theirs_expect).enumerate() {
                assert!(
                    one == other,
                    "{name}, {at}: the command line expects\n{one:#}\nthe page\n{other:#}"
                );
            }
            assert!(
                theirs["answer"]["compare"].as_str().expect("words").len() > 500,
                "{name}"
            );
            theirs["lathes"].as_u64().expect("how many")
        })
        .collect();
    // Of jobs that are advised at all lathes were cut, and in pieces.
    assert!(
        lathes.iter().filter(|cut| **cut > 500).count() >= 12,
        "{lathes:?}"
    );
}
