//! How long 400 lathes with the plan take in a page, against the same asked natively of the same
//! machine on as many threads. Native is as the tests are built: `cargo test --release` holds it
//! against the program as it is given away.

use std::time::Instant;

use rayon::prelude::*;
use serde_json::{Value, json};
use tautway_browser_engine::answer::answer;

use crate::tab::watched;
use crate::workshop::{Workshop, code, err};

/// Lathes, and how many of them are asked for at a time.
const LATHES: u64 = 400;
const PIECE: usize = 16;
/// Runs of either, by turns.
const RUNS: usize = 3;
/// Times native that a page may take.
const MOST: f64 = 5.0;

fn median(mut times: Vec<f64>) -> f64 {
    times.sort_by(f64::total_cmp);
    times[times.len() / 2]
}

#[test]
fn four_hundred_lathes_with_the_plan_take_a_page_at_most_five_times_native() {
    let shop = Workshop::with_scenarios();
    let job = "tapered-socket.toml";
    let done = shop.run(&["page", job, "--out", "page.html"]);
    assert_eq!(code(&done), 0, "{}", err(&done));
    let texts = json!({
        "job": shop.read(job), "lathe": shop.read("worn-lathe.toml"), "seed": 1,
    });
    let asked = |more: Value| -> String {
        let mut all = texts.clone();
        for (key, value) in more.as_object().expect("a table") {
            all[key] = value.clone();
        }
        all.to_string()
    };
    // The first way's plan, as the page asks for it, on more lathes than one round has.
    let first = answer(&asked(
        json!({ "ask": "answer", "what": "compare", "found": [] }),
    ));
    let first: Value = serde_json::from_str(&first).expect("JSON");
    let wanted = &first["wanted"][0];
    let pieces: Vec<String> = (1..=LATHES)
        .step_by(PIECE)
        .map(|from| {
            let mut wanted = wanted.clone();
            wanted["from"] = json!(from);
            wanted["to"] = json!((from + PIECE as u64).min(LATHES + 1));
            asked(json!({ "ask": "cut", "wanted": wanted }))
        })
        .collect();
    let Some(seen) = watched((1366, 768), &[], "how long a page takes") else {
        return;
    };
    let address = format!("file://{}", shop.path("page.html").display());
    seen.tab
        .navigate_to(&address)
        .and_then(|tab| tab.wait_until_navigated())
        .expect("the page opens");
    // Workers as the page has them, each warm by one piece.
    let script = format!(
        "(async () => {{ while (document.querySelector('#work').dataset.ready !== 'yes') await new Promise((good) => setTimeout(good, 50)); \
         const pool = document.querySelector('#work').work.pool; const of = pool.desk.constructor; \
         const desk = document.querySelector('#bench').engine; \
         globalThis.hands = Array.from({{ length: pool.count }}, () => new of(desk.bytes, desk.address)); \
         globalThis.pieces = {}.map((one) => JSON.parse(one)); \
         globalThis.cut = async () => {{ const left = [...pieces]; const found = []; const begun = performance.now(); \
           await Promise.all(hands.map(async (hand) => {{ for (let at = left.length; at; at = left.length) {{ \
             const piece = left.shift(); found[pieces.indexOf(piece)] = await hand.ask(piece); }} }})); \
           return JSON.stringify([performance.now() - begun, found.flat().length]); }}; \
         await Promise.all(hands.map((hand) => hand.ask(pieces[0]))); return pool.count; }})()",
        json!(pieces)
    );
    let count = seen.tab.evaluate(&script, true).expect("workers").value;
    let count = count.and_then(|count| count.as_u64()).expect("how many") as usize;
    let pool = rayon::ThreadPoolBuilder::new().num_threads(count).build();
    let pool = pool.expect("threads");
    let (mut page, mut native) = (Vec::new(), Vec::new());
    for _ in 0..RUNS {
        let told = seen.tab.evaluate("cut()", true).expect("lathes").value;
        let told: Value =
            serde_json::from_str(told.unwrap_or_default().as_str().unwrap_or("")).expect("JSON");
        assert_eq!(told[1], LATHES, "lathes cut in the page");
        page.push(told[0].as_f64().expect("milliseconds"));
        let begun = Instant::now();
        let found: usize = pool.install(|| {
            let each = pieces.par_iter().map(|piece| {
                let told: Value = serde_json::from_str(&answer(piece)).expect("JSON");
                told.as_array().map_or(0, Vec::len)
            });
            each.sum()
        });
        native.push(1e3 * begun.elapsed().as_secs_f64());
        assert_eq!(found as u64, LATHES, "lathes cut natively");
    }
    let (page, native) = (median(page), median(native));
    let ratio = page / native;
    println!(
        "{LATHES} lathes with the plan, {count} threads: page {page:.0} ms, native {native:.0} ms, \
         {ratio:.1} times"
    );
    assert!(ratio <= MOST, "page {page:.0} ms, native {native:.0} ms");
}
