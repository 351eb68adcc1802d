//! The bench as a person has it: one file, opened from the disk without a net; dragged, turned,
//! reloaded; its first picture without an engine, its next from the engine in it.

use std::fs;
use std::thread::sleep;
use std::time::{Duration, Instant};

use headless_chrome::Tab;
use serde_json::Value;
use tautway_browser_engine::answer::answer;

use crate::tab::{self, Watched, watched};
use crate::workshop::{Workshop, code, err};

const WIDE: (u32, u32) = (1366, 768);

fn written(shop: &Workshop, job: &str) -> String {
    let done = shop.run(&["page", job, "--out", "bench.html", "--overwrite"]);
    assert_eq!(code(&done), 0, "{}", err(&done));
    shop.read("bench.html")
}

fn opened(shop: &Workshop, size: (u32, u32)) -> Option<Watched> {
    let seen = watched(size, &[], "the bench")?;
    open(&seen.tab, shop, "");
    Some(seen)
}

fn open(tab: &Tab, shop: &Workshop, more: &str) {
    // Another state of the same file alone would be no new page.
    tab.navigate_to("about:blank")
        .and_then(|tab| tab.wait_until_navigated())
        .expect("nothing opens");
    let address = format!("file://{}{more}", shop.path("bench.html").display());
    tab.navigate_to(&address)
        .and_then(|tab| tab.wait_until_navigated())
        .expect("the bench opens");
}

fn ask(tab: &Tab, script: &str) -> Value {
    let told = tab.evaluate(script, true).expect(script);
    told.value.unwrap_or_default()
}

/// Waits until a script tells something true.
fn until(tab: &Tab, script: &str) {
    let begun = Instant::now();
    while ask(tab, script) != Value::Bool(true) {
        assert!(begun.elapsed() < Duration::from_secs(60), "never: {script}");
        sleep(Duration::from_millis(50));
    }
}

/// The same value with every number as JavaScript has it.
fn plain(value: &Value) -> Value {
    match value {
        Value::Number(number) => serde_json::json!(number.as_f64().expect("a number")),
        Value::Array(list) => list.iter().map(plain).collect(),
        Value::Object(fields) => {
            let plain = fields.iter().map(|(name, one)| (name.clone(), plain(one)));
            Value::Object(plain.collect())
        }
        other => other.clone(),
    }
}

const READY: &str = "document.querySelector('#bench').dataset.engine === 'ready'";

/// Sets a knob as a hand does and waits for its cut.
fn turn(tab: &Tab, knob: &str, to: &str) {
    let before = ask(
        tab,
        "Number(document.querySelector('#bench').dataset.answers ?? 0)",
    );
    let script = format!(
        "(() => {{ const knob = document.querySelector('#knob-{knob}'); knob.value = '{to}'; \
         knob.dispatchEvent(new Event('input', {{ bubbles: true }})); }})()"
    );
    ask(tab, &script);
    until(
        tab,
        &format!("Number(document.querySelector('#bench').dataset.answers ?? 0) > {before}"),
    );
}

/// Every path, circle and word of the drawing, but the cut before a knob was turned: that is no part
/// of the state.
const DRAWN: &str = "[...document.querySelectorAll('.card svg *')].filter((one) => \
    !one.classList.contains('edge-before') && one.textContent !== 'before').map((one) => \
    ['d', 'cx', 'cy', 'x', 'y'].map((name) => one.getAttribute(name)).join() + one.textContent).join('\\n')";

#[test]
fn the_file_needs_nothing_else_and_replaces_only_its_own() {
    let shop = Workshop::with_scenarios();
    let page = written(&shop, "tapered-socket.toml");
    for word in ["<link", "@import", "src=", "url(http", "fetch(", "file:"] {
        assert!(!page.contains(word), "{word}");
    }
    for address in page.split("http").skip(1) {
        let known = ["://www.w3.org/", "-equiv="];
        assert!(
            known.iter().any(|known| address.starts_with(known)),
            "{}",
            &address[..60.min(address.len())]
        );
    }
    assert!(page.len() < 2_200_000, "{} bytes", page.len());
    assert!(page.contains("A prediction is not an inspection"));
    let stills = page.split("<noscript>").nth(1).expect("stills");
    let stills = stills.split("</noscript>").next().expect("an end");
    assert_eq!(stills.matches("<svg").count(), 2);
    let again = shop.run(&["page", "tapered-socket.toml", "--out", "bench.html"]);
    assert_eq!(code(&again), 2);
    assert!(err(&again).contains("--overwrite"), "{}", err(&again));
    shop.write("bench.html", "my own page");
    let over = shop.run(&[
        "page",
        "tapered-socket.toml",
        "--out",
        "bench.html",
        "--overwrite",
    ]);
    assert_eq!(code(&over), 2);
    assert!(err(&over).contains("is no page"), "{}", err(&over));
    assert_eq!(shop.read("bench.html"), "my own page");
}

#[test]
fn no_bench_without_an_attachment() {
    let shop = Workshop::with_scenarios();
    shop.edit("tapered-socket.toml", "worn-lathe.toml", "bare-lathe.toml");
    written(&shop, "tapered-socket.toml");
    let Some(seen) = opened(&shop, WIDE) else {
        return;
    };
    until(&seen.tab, READY);
    let said = ask(&seen.tab, "document.querySelector('.no-bench').textContent");
    assert!(said.as_str().expect("words").contains("no bench"), "{said}");
    let drawn = "document.querySelectorAll('.card').length";
    assert_eq!(ask(&seen.tab, drawn), 0);
    // One that is fitted after all is drawn at once.
    let fit = "document.querySelector('#lathe-attachment-kind')";
    until(
        &seen.tab,
        "document.querySelector('#work').dataset.ready === 'yes'",
    );
    let script = format!("{fit}.value = 'telescoping'; {fit}.dispatchEvent(new Event('change'));");
    ask(&seen.tab, &script);
    until(&seen.tab, &format!("{drawn} === 2"));
}

#[test]
fn the_first_picture_needs_no_engine() {
    let shop = Workshop::with_scenarios();
    let page = written(&shop, "tapered-socket.toml");
    // The engine taken out of the file.
    let (before, rest) = page.split_once("id=\"engine\">").expect("an engine");
    let (_, after) = rest.split_once("</script>").expect("its end");
    shop.write(
        "bench.html",
        format!("{before}id=\"engine\">AAAA</script>{after}"),
    );
    let Some(seen) = opened(&shop, WIDE) else {
        return;
    };
    let tab = &seen.tab;
    until(
        tab,
        "document.querySelector('#bench').dataset.engine === 'none'",
    );
    let cards = ask(
        tab,
        "[...document.querySelectorAll('.card')].map((card) => card.dataset.state).join()",
    );
    assert_eq!(cards, "held,floats");
    for words in [
        "the guide pushes the tool in with",
        "Pin touches nothing",
        "Pulled in holds",
        "can't run the engine",
    ] {
        let found = format!("document.querySelector('#bench').textContent.includes(\"{words}\")");
        assert_eq!(ask(tab, &found), Value::Bool(true), "{words}");
    }
}

#[test]
fn a_turned_knob_gives_the_cut_of_the_native_engine() {
    let shop = Workshop::with_scenarios();
    written(&shop, "tapered-socket.toml");
    let Some(seen) = opened(&shop, WIDE) else {
        return;
    };
    let tab = &seen.tab;
    until(tab, READY);
    let first = ask(tab, DRAWN);
    turn(tab, "drag", "60");
    let theirs = ask(
        tab,
        "new Promise((good) => { const engine = document.querySelector('#bench').engine; \
         const asked = JSON.parse(document.querySelector('#record').textContent); \
         const { job, lathe, side, rotation, seed } = asked; \
         engine.ask([0, 1].map((only) => ({ ask: 'bench', job, lathe, side, rotation, seed, only, set: [['drag', '60 lbf']] })), \
         ([one, other]) => good(JSON.stringify({ ...one, cuts: [...one.cuts, ...other.cuts] }))); })",
    );
    let ours = serde_json::json!({
        "ask": "bench", "job": shop.read("tapered-socket.toml"),
        "lathe": shop.read("worn-lathe.toml"), "side": "front", "rotation": "forward", "seed": 1,
        "set": [["drag", "60 lbf"]],
    });
    let theirs: Value = serde_json::from_str(theirs.as_str().expect("text")).expect("JSON");
    let ours: Value = serde_json::from_str(&answer(&ours.to_string())).expect("JSON");
    assert!(ours["fault"].is_null(), "{ours}");
    assert_eq!(plain(&theirs), plain(&ours));
    assert_eq!(ours["cuts"][1]["seat"], "other");
    // And it is what is shown: more drag holds the drawn-away cut on the back of the slack.
    let says = ask(tab, "document.querySelector('#says').textContent");
    assert_eq!(
        says,
        "Both hold: the pin stays tight on one wall from end to end."
    );
    assert_ne!(ask(tab, DRAWN), first);
    assert!(seen.complaints.lock().expect("the list").is_empty());
}

#[test]
fn while_a_knob_turns_the_newest_value_alone_is_computed() {
    let shop = Workshop::with_scenarios();
    written(&shop, "tapered-socket.toml");
    let Some(seen) = opened(&shop, WIDE) else {
        return;
    };
    let tab = &seen.tab;
    until(tab, READY);
    let turned = "(() => { const knob = document.querySelector('#knob-drag'); \
        for (let value = 20; value <= 50; value += 1) { knob.value = String(value); \
        knob.dispatchEvent(new Event('input', { bubbles: true })); } })()";
    ask(tab, turned);
    until(
        tab,
        "document.querySelector('#bench').dataset.answers === '2'",
    );
    sleep(Duration::from_millis(500));
    // The first value and the last, each shared by two workers.
    assert_eq!(
        ask(tab, "document.querySelector('#bench').dataset.asked"),
        "4"
    );
    assert_eq!(
        ask(tab, "document.querySelector('#bench').dataset.answers"),
        "2"
    );
    let shown = "document.querySelector('[data-knob=drag] output').textContent";
    assert_eq!(ask(tab, shown), "50 lbf");
    let says = "document.querySelector('#says').textContent.startsWith('Both hold')";
    assert_eq!(ask(tab, says), true);
}

#[test]
fn a_saved_page_opens_with_its_state_and_paper_has_four_stills() {
    let shop = Workshop::with_scenarios();
    written(&shop, "tapered-socket.toml");
    let Some(seen) = opened(&shop, WIDE) else {
        return;
    };
    let tab = &seen.tab;
    until(tab, READY);
    turn(tab, "slack", "0.03");
    let stills = ask(
        tab,
        "(() => { dispatchEvent(new Event('beforeprint')); const place = document.querySelector('.stills'); \
         const clips = [...place.querySelectorAll('clipPath')].map((one) => one.id); \
         const told = [place.querySelectorAll('figure').length, clips.length, new Set(clips).size, \
           [...place.querySelectorAll('figcaption')].map((one) => one.textContent.split(':')[0]).join()]; \
         dispatchEvent(new Event('afterprint')); return JSON.stringify([...told, place.children.length]); })()",
    );
    let stills: Value = serde_json::from_str(stills.as_str().expect("text")).expect("JSON");
    assert_eq!(stills[0], 4);
    assert_eq!(stills[1], stills[2], "{stills}");
    assert_eq!(stills[3], "Run-in,Entry,Mid length,Exit");
    assert_eq!(stills[4], 0);
    let saved = ask(
        tab,
        "new Promise((good) => { const made = URL.createObjectURL; \
         URL.createObjectURL = (blob) => { blob.text().then(good); return made.call(URL, blob); }; \
         HTMLAnchorElement.prototype.click = () => {}; \
         [...document.querySelectorAll('.folded button')].find((one) => one.textContent === 'Save page').click(); })",
    );
    shop.write("bench.html", saved.as_str().expect("a page"));
    open(tab, &shop, "");
    until(
        tab,
        "document.querySelector('#bench').dataset.answers === '1'",
    );
    let shown = "document.querySelector('[data-knob=slack] output').textContent";
    assert_eq!(ask(tab, shown), "0.030 in");
}

#[test]
fn what_cannot_be_meant_is_said_and_the_picture_stays() {
    let shop = Workshop::with_scenarios();
    written(&shop, "taper-sleeve.toml");
    let Some(seen) = opened(&shop, WIDE) else {
        return;
    };
    let tab = &seen.tab;
    until(tab, READY);
    let first = ask(tab, DRAWN);
    turn(tab, "depth", "0.02");
    let said = ask(tab, "document.querySelector('.trouble').textContent");
    let said = said.as_str().expect("words");
    assert!(
        said.contains("finishing passes take more than there is"),
        "{said}"
    );
    turn(tab, "depth", "0.004");
    assert_eq!(ask(tab, "document.querySelector('.trouble').hidden"), true);
    assert_eq!(ask(tab, DRAWN), first);
}

#[test]
fn dragging_the_carriage_asks_no_engine_and_moves_both() {
    let shop = Workshop::with_scenarios();
    written(&shop, "tapered-socket.toml");
    let Some(seen) = opened(&shop, WIDE) else {
        return;
    };
    let tab = &seen.tab;
    until(tab, READY);
    let places =
        "[...document.querySelectorAll('.plan')].map((plan) => Number(plan.dataset.tipX)).join()";
    let before = ask(tab, places);
    let dragged = "(() => { const plan = document.querySelector('.plan'); \
        const box = plan.getBoundingClientRect(); \
        const at = (kind, x) => plan.dispatchEvent(new PointerEvent(kind, { bubbles: true, button: 0, \
          pointerId: 1, clientX: box.x + x, clientY: box.y + 200 })); \
        plan.setPointerCapture = () => {}; at('pointerdown', 100); \
        for (let x = 100; x <= 140; x += 1) at('pointermove', x); at('pointerup', 140); })()";
    ask(tab, dragged);
    let after = ask(tab, places);
    let both = |told: &Value| -> Vec<f64> {
        let text = told.as_str().expect("places");
        text.split(',')
            .map(|one| one.parse().expect("px"))
            .collect()
    };
    let (before, after) = (both(&before), both(&after));
    // Pulled in feeds to the tailstock, drawn away to the headstock; one clock, one scale.
    assert!(
        (after[0] - before[0] - 40.0).abs() < 0.1,
        "{before:?} {after:?}"
    );
    assert!(
        (after[1] - before[1] + 40.0).abs() < 0.1,
        "{before:?} {after:?}"
    );
    let asked = ask(
        tab,
        "Number(document.querySelector('#bench').dataset.asked ?? 0)",
    );
    assert_eq!(asked, 0);
    // Keys do the same.
    ask(
        tab,
        "document.body.dispatchEvent(new KeyboardEvent('keydown', { key: 'ArrowLeft', bubbles: true }))",
    );
    assert!(both(&ask(tab, places))[0] < after[0]);
    assert_eq!(
        ask(
            tab,
            "Number(document.querySelector('#bench').dataset.asked ?? 0)"
        ),
        0
    );
}

#[test]
fn the_tip_goes_parallel_to_guide_and_wall_while_the_pin_is_held() {
    let shop = Workshop::with_scenarios();
    for job in ["tapered-socket.toml", "plug-cock.toml"] {
        written(&shop, job);
        let Some(seen) = opened(&shop, WIDE) else {
            return;
        };
        let slope = ask(
            &seen.tab,
            "(() => { const plan = document.querySelector('.plan'); \
             const range = document.querySelector('.clock input'); \
             const at = (place) => { range.value = place; range.dispatchEvent(new Event('input')); \
               const { tipX, tipY, pinX, pinY } = plan.dataset; return [tipX, tipY, pinX, pinY].map(Number); }; \
             const [a, b] = [at(600), at(800)]; \
             return JSON.stringify([(b[1] - a[1]) / (b[0] - a[0]), (b[3] - a[3]) / (b[2] - a[2])]); })()",
        );
        let slope: [f64; 2] = serde_json::from_str(slope.as_str().expect("text")).expect("two");
        assert!(slope[0].abs() > 0.03, "{job} {slope:?}");
        assert!((slope[0] - slope[1]).abs() < 0.01, "{job} {slope:?}");
    }
}

/// What is out of the screen or of its frame, or over one another, with the carriage at a place.
const IN_FRAME: &str = "(() => { const range = document.querySelector('.clock input'); range.value = PLACE; \
                 range.dispatchEvent(new Event('input')); const high = innerHeight, wide = innerWidth; \
                 const seen = [...document.querySelectorAll('#bench .plan, #bench .edge, #bench .clock, #bench .knobs, #says, .told-now')] \
                   .map((one) => [one.getAttribute('class') || one.id, one.getBoundingClientRect()]).filter(([, box]) => box.width > 0); \
                 const out = seen.filter(([, box]) => box.bottom > high + 1 || box.right > wide + 1 || box.left < -1 || box.top < -1); \
                 const edges = seen.filter(([name]) => name === 'edge').map(([, box]) => box.height); \
                 const words = [...document.querySelectorAll('#bench svg')].flatMap((svg) => { const frame = svg.getBoundingClientRect(); \
                   const shown = [...svg.querySelectorAll('text')].filter((text) => text.textContent && text.getBoundingClientRect().width > 0); \
                   const boxes = shown.map((text) => [text.textContent, text.getBoundingClientRect()]); \
                   const outside = boxes.filter(([, b]) => b.left < frame.left - 1 || b.right > frame.right + 1 || b.top < frame.top - 2 || b.bottom > frame.bottom + 2); \
                   const over = boxes.flatMap(([one, a], i) => boxes.slice(i + 1).filter(([, b]) => a.left < b.right - 1 && b.left < a.right - 1 && a.top < b.bottom - 2 && b.top < a.bottom - 2).map(([other]) => [one, other])); \
                   return [...outside.map(([words]) => ['outside', words]), ...over]; }); \
                 const odd = [...document.querySelectorAll('#bench svg *')].filter((one) => [...one.attributes].some((a) => /NaN|Infinity/.test(a.value))).length; \
                 return JSON.stringify({ out: out.map(([name]) => name), edges, words, odd, count: document.querySelectorAll('#bench svg text').length, scrolls: document.querySelector('#bench').scrollHeight > high + 1 }); })()";

#[test]
fn everything_is_in_one_screen_and_in_its_frame() {
    let shop = Workshop::with_scenarios();
    for (job, lathe) in [
        ("tapered-socket.toml", ""),
        ("plug-cock.toml", ""),
        ("taper-sleeve.toml", ""),
        ("tapered-socket.toml", "slack = \"0.5 in\""),
        ("tapered-socket.toml", "slack = \"0 in\""),
        ("tapered-socket.toml", "drag = \"0 lbf\""),
        ("air-into-the-cut.toml", ""),
    ] {
        if let Some((key, _)) = lathe.split_once(' ') {
            let text = shop.read("worn-lathe.toml");
            let line = text.lines().find(|line| line.starts_with(key));
            shop.edit("worn-lathe.toml", line.expect(key), lathe);
        }
        written(&shop, job);
        for size in [WIDE, (1024, 768), (390, 664)] {
            let Some(seen) = opened(&shop, size) else {
                return;
            };
            let tab = &seen.tab;
            let what = format!("{job} {lathe} {size:?}");
            for place in [0, 250, 620, 1000] {
                let found = ask(tab, &IN_FRAME.replace("PLACE", &place.to_string()));
                let what = format!("{what} {place}");
                let found: Value =
                    serde_json::from_str(found.as_str().expect("text")).expect("JSON");
                assert_eq!(found["out"], serde_json::json!([]), "{what} {found}");
                assert_eq!(found["words"], serde_json::json!([]), "{what} {found}");
                assert_eq!(found["odd"], 0, "{what} {found}");
                assert!(found["count"].as_u64() > Some(8), "{what} {found}");
                assert_eq!(found["scrolls"], false, "{what} {found}");
                let edges = found["edges"].as_array().expect("edges");
                assert_eq!(edges.len(), 2, "{what}");
                let least = if size == WIDE { 180.0 } else { 80.0 };
                for edge in edges {
                    assert!(edge.as_f64().expect("px") >= least, "{what} {found}");
                }
            }
        }
    }
}

#[test]
fn the_state_survives_a_reload_and_another_file_takes_it() {
    let shop = Workshop::with_scenarios();
    written(&shop, "tapered-socket.toml");
    let Some(seen) = opened(&shop, WIDE) else {
        return;
    };
    let tab = &seen.tab;
    until(tab, READY);
    turn(tab, "slack", "0.03");
    turn(tab, "weight", "25");
    ask(tab, "document.querySelector('[data-factor=\"5\"]').click()");
    until(tab, "location.hash.startsWith('#tautway-bench-')");
    sleep(Duration::from_millis(700));
    let told = "[...document.querySelectorAll('#bench h1, .knob output, #says, .fed-out')].map((one) => one.textContent) \
        .concat([...document.querySelectorAll('.knob input')].map((one) => [one.max, one.value])).join('|')";
    let (before, drawn) = (ask(tab, told), ask(tab, DRAWN));
    let hash = ask(tab, "location.hash");
    assert!(
        before.as_str().expect("text").contains("25 lbf"),
        "{before}"
    );
    tab.reload(false, None)
        .and_then(|tab| tab.wait_until_navigated())
        .expect("a reload");
    until(
        tab,
        "Number(document.querySelector('#bench').dataset.answers ?? 0) > 0",
    );
    assert_eq!(ask(tab, told), before);
    assert_eq!(ask(tab, DRAWN), drawn);
    // The same state in the file of another job.
    written(&shop, "plug-cock.toml");
    open(tab, &shop, hash.as_str().expect("text"));
    until(
        tab,
        "Number(document.querySelector('#bench').dataset.answers ?? 0) > 0",
    );
    assert_eq!(ask(tab, told), before);
}

#[test]
fn lathes_are_tried_in_pieces_and_a_run_given_up_says_nothing_more() {
    let shop = Workshop::with_scenarios();
    written(&shop, "tapered-socket.toml");
    let Some(seen) = opened(&shop, WIDE) else {
        return;
    };
    let tab = &seen.tab;
    until(tab, READY);
    let run = |to: u32, more: &str| {
        format!(
            "new Promise((good) => {{ const engine = document.querySelector('#bench').engine; \
             const asked = JSON.parse(document.querySelector('#record').textContent); \
             const {{ job, lathe, side, rotation, seed }} = asked; const said = []; \
             engine.lathes({{ ask: 'lathes', job, lathe, bench: [side, rotation], seed, set: [] }}, 1, {to}, \
             (done, all) => said.push(done + ' of ' + all), (trials) => good(JSON.stringify([said, trials]))); {more} }})"
        )
    };
    let whole = ask(tab, &run(41, ""));
    let whole: Value = serde_json::from_str(whole.as_str().expect("text")).expect("JSON");
    let said = whole[0].as_array().expect("progress");
    assert_eq!(said.len(), 3, "{said:?}");
    assert_eq!(said.last().expect("an end"), "40 of 40");
    let ours = serde_json::json!({
        "ask": "lathes", "job": shop.read("tapered-socket.toml"),
        "lathe": shop.read("worn-lathe.toml"), "bench": ["front", "forward"], "seed": 1,
        "from": 1, "to": 41, "set": [],
    });
    let ours: Value = serde_json::from_str(&answer(&ours.to_string())).expect("JSON");
    assert_eq!(plain(&whole[1]), plain(&ours));
    // Given up after its first words; what is said later than 100 ms after that is told.
    let given_up = "let late = 0; setTimeout(() => { engine.cancel(); const at = performance.now(); \
        const { push } = said; said.push = (words) => { if (performance.now() - at > 100) late += 1; \
        return push.call(said, words); }; setTimeout(() => good(String(late) + ' of ' + said.length), 1500); }, 60);";
    let told = ask(tab, &run(4001, given_up));
    assert!(told.as_str().expect("text").starts_with("0 of "), "{told}");
    // The knobs still turn.
    turn(tab, "drag", "30");
}

#[test]
fn no_serious_finding_on_the_bench() {
    let shop = Workshop::with_scenarios();
    written(&shop, "tapered-socket.toml");
    tab::reads_well(&shop.path("bench.html"), "", "the bench");
    // Nothing was left behind but the page.
    let size = fs::metadata(shop.path("bench.html")).expect("a file").len();
    assert!(size > 500_000, "{size}");
}
