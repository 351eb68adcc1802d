//! What a page says to do before a script runs: the command line's way, without its hints, and the plan
//! of a thread.

use rayon::prelude::*;
use serde_json::Value;

use crate::workshop::{Workshop, code, err, out};

/// A text's words, one blank between them, without the marks of a page.
fn words(text: &str) -> String {
    let mut plain = String::new();
    let mut within = false;
    for letter in text.chars() {
        match letter {
            '<' => within = true,
            '>' => {
                within = false;
                plain.push(' ');
            }
            _ if !within => plain.push(letter),
            _ => {}
        }
    }
    let plain = plain.replace("&quot;", "\"").replace("&amp;", "&");
    plain.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn a_page_advises_the_way_that_compare_does_of_every_worked_example() {
    let shop = Workshop::with_scenarios();
    let jobs: Vec<String> = { shop.names(".").into_iter() }
        .filter(|name| name.ends_with(".toml") && shop.read(name).contains("\nlathe = \""))
        .collect();
    assert!(jobs.len() >= 14, "{jobs:?}");
    let advised: Vec<bool> = jobs
        .par_iter()
        .map(|job| {
            let name = job.trim_end_matches(".toml");
            let page = shop.run(&["page", job]);
            assert_eq!(code(&page), 0, "{job}: {}", err(&page));
            let page = shop.read(&format!("{name}.page.html"));
            let told = page.split("class=\"told\"").nth(1).expect("what to do");
            let told = words(told.split("</section>").next().expect("its end"));
            assert!(!told.contains("--"), "{job}: {told}");
            let is_thread = shop.read(job).contains("\n[thread]");
            assert_eq!(
                told.contains("The thread, pass by pass"),
                is_thread,
                "{job}"
            );
            if is_thread {
                assert!(told.contains("Find the groove again:"), "{job}: {told}");
            }
            let said = shop.run(&["compare", job, "--trials", "50"]);
            let said = words(&out(&said));
            let way = said.split(" THIS WAY:").nth(1).map(|rest| {
                let way = rest.split(" STOP IF:").next().unwrap_or(rest);
                way.split(" Why:").next().unwrap_or(way).to_owned()
            });
            if let Some(way) = &way {
                let here = told.split(" THIS WAY:").nth(1).expect(job);
                let tight = |text: &str| text.split_whitespace().collect::<String>();
                assert!(tight(here).starts_with(&tight(way)), "{job}: {way}\n{here}");
            }
            // The bench is of the attachment's first way, advised or not.
            let record = page.split("id=\"record\">").nth(1).expect("a record");
            let record = record.split("</script>").next().expect("its end");
            let record: Value = serde_json::from_str(record).expect("JSON");
            let ours = shop.run(&["compare", job, "--trials", "50", "--format", "json"]);
            let ours: Value = serde_json::from_str(&out(&ours)).expect("JSON");
            if !record["bench"].is_null() {
                let first = &ours["ways"][0]["setup"];
                assert_eq!(record["side"], first["side"], "{job}");
                assert_eq!(record["rotation"], first["rotation"], "{job}");
            }
            way.is_some()
        })
        .collect();
    assert!(
        advised.iter().filter(|is| **is).count() >= 12,
        "{advised:?}"
    );
}
