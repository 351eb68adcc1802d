//! What a learner and a trainer do with a lesson: benches in the steps, numbers checked and kept, one
//! step a screen, an answer at a time, a hand-out on either paper.

use std::fs;
use std::process::Command;

use headless_chrome::types::PrintToPdfOptions;
use serde_json::{Value, json};

use crate::lesson::{Seen, written};
use crate::unchecked;
use crate::workshop::Workshop;

/// Steps that speak of a cut, and the knob in hand there.
const BENCHES: [(usize, &str); 5] = [
    (6, "depth"),
    (7, "slack"),
    (8, "drag"),
    (9, "depth"),
    (11, "weight"),
];

fn seen(shop: &Workshop, job: &str) -> Option<Seen> {
    written(shop, job);
    Seen::open(&shop.path("lesson.html"), (1366, 768))
}

fn types(seen: &Seen, step: &str, at: usize, words: &str) {
    seen.does(&format!(
        "const field = document.querySelectorAll('#{step} input[type=text]')[{at}]; field.value = '{words}'; \
         field.dispatchEvent(new Event('input', {{ bubbles: true }}))"
    ));
}

/// What is said of a step's fields after they were checked.
fn checked(seen: &Seen, step: &str) -> (Vec<String>, String) {
    seen.does(&format!(
        "document.querySelector('#{step} .hold-against').click()"
    ));
    let told = seen.says(&format!(
        "[[...document.querySelectorAll('#{step} .held-against')].map((one) => one.textContent), \
         document.querySelector('#{step} .held-all').textContent]"
    ));
    let marks = told[0].as_array().expect("marks").iter();
    let marks = marks.map(|mark| mark.as_str().expect("words").to_owned());
    (marks.collect(), told[1].as_str().expect("words").to_owned())
}

#[test]
fn the_bench_is_live_in_every_step_that_speaks_of_a_cut_and_each_turns_its_own() {
    let shop = Workshop::with_scenarios();
    let Some(seen) = seen(&shop, "tapered-socket.toml") else {
        return;
    };
    let of = |step: usize, what: &str| {
        seen.says(&format!(
            "document.getElementById('bench-{step}').shadowRoot?.getElementById('bench').{what} ?? null"
        ))
    };
    for (step, knob) in BENCHES {
        // It tells nothing till it is opened.
        assert_eq!(of(step, "dataset.drawn"), Value::Null, "{step}");
        seen.does(&format!(
            "document.querySelector('#step-{step} .on-bench').open = true"
        ));
        seen.until(&format!(
            "document.getElementById('bench-{step}').shadowRoot?.getElementById('bench').dataset.engine === 'ready'"
        ));
        let chosen = of(step, "querySelector('.knob.chosen').dataset.knob");
        assert_eq!(chosen, knob, "{step}");
        assert_eq!(
            of(step, "querySelectorAll('.plan .pin').length"),
            2,
            "{step}"
        );
    }
    // The snugged gib of step 8 is turned to already, beside the cut before.
    seen.until("document.getElementById('bench-8').shadowRoot.getElementById('bench').dataset.answers === '1'");
    let drag = "querySelector('[data-knob=drag] output').textContent";
    assert_ne!(of(8, drag), of(7, drag));
    assert!(of(8, "querySelectorAll('.edge-before').length").as_u64() > Some(0));
    // Two turned at once: each gets its own answer.
    let outcome = "querySelector('.card[data-cut=\"1\"] .outcome').textContent";
    let before = [of(6, outcome), of(7, outcome)];
    seen.does(
        "for (const [step, knob, to] of [[6, 'depth', 0.003], [7, 'slack', 0]]) { \
         const range = document.getElementById(`bench-${step}`).shadowRoot.getElementById(`knob-${knob}`); \
         range.value = String(to); range.dispatchEvent(new Event('input', { bubbles: true })); }",
    );
    seen.until(
        "[6, 7].every((step) => document.getElementById(`bench-${step}`).shadowRoot.getElementById('bench').dataset.answers === '1')",
    );
    let after = [of(6, outcome), of(7, outcome)];
    assert!(
        before[0] != after[0] && before[1] != after[1] && after[0] != after[1],
        "{after:?}"
    );
    seen.is_clean();
}

#[test]
fn either_scrubber_moves_both_pictures() {
    let shop = Workshop::with_scenarios();
    let Some(seen) = seen(&shop, "tapered-socket.toml") else {
        return;
    };
    let at =
        "[...document.querySelectorAll('#step-7 .transport input')].map((e) => Number(e.value))";
    for (which, to) in [(0, 310), (1, 880)] {
        seen.does(&format!(
            "const scrub = document.querySelectorAll('#step-7 .transport input')[{which}]; scrub.value = {to}; \
             scrub.dispatchEvent(new Event('input'))"
        ));
        assert_eq!(seen.says(at), json!([to, to]));
    }
}

#[test]
fn numbers_are_checked_when_asked_and_the_tolerance_is_told() {
    let shop = Workshop::with_scenarios();
    let Some(seen) = seen(&shop, "tapered-socket.toml") else {
        return;
    };
    let expected = seen.says(
        "[...document.querySelectorAll('#step-2 .measures tbody tr')].map((row) => row.children[1].textContent)",
    );
    assert_eq!(expected[0], "0.0117 in");
    assert_eq!(expected[3], "0.0700 in");
    for (at, words) in [".0130", "0.33 mm", "12 lbf", "0.1", "about"]
        .iter()
        .enumerate()
    {
        types(&seen, "step-2", at, words);
    }
    assert_eq!(
        seen.says("document.querySelectorAll('.held-against').length"),
        0
    );
    let (marks, all) = checked(&seen, "step-2");
    assert_eq!(
        marks,
        [
            "✓ right",
            "✓ right",
            "✗ that is a force; a length is expected",
            "✗ off by +0.0300 in (43 %)",
            "✗ no number in it"
        ]
    );
    assert!(
        all.starts_with(
            "2 right, 3 off, 1 still empty. Right is within 20 % of what is expected, or 0.001 in"
        ),
        "{all}"
    );
    // Typed anew, what was said of it is gone.
    types(&seen, "step-2", 3, "0.09");
    assert_eq!(
        seen.says("document.querySelectorAll('#step-2 .held-against').length"),
        4
    );
    // What can be reckoned is held closer, choices and words too.
    let blank = |words: &str, at: usize| {
        let field = format!(
            "[...document.querySelectorAll('#step-4 .blank')].findIndex((one) => one.textContent.includes('{words}'))"
        );
        let place = seen.says(&field).as_u64().expect(words);
        assert!(place < 9, "{place}");
        seen.does(&format!(
            "document.querySelectorAll('#step-4 .blank input')[{place}].id = 'blank-{at}'"
        ));
    };
    blank("what taper on diameter", 0);
    let right = seen.says(
        "JSON.parse(document.getElementById('checked').textContent).steps['step-4'].blanks[0][1]",
    );
    let right = right.as_str().expect("a taper").to_owned();
    assert!(right.ends_with("in/ft"), "{right}");
    let ratio: f64 = right.trim_end_matches(" in/ft").parse().expect("a number");
    let put = |words: &str| {
        seen.does(&format!(
            "const field = document.getElementById('blank-0'); field.value = '{words}'; \
             field.dispatchEvent(new Event('input', {{ bubbles: true }}))"
        ));
    };
    put(&format!("{:.4}", 1.05 * ratio));
    let (marks, all) = checked(&seen, "step-4");
    assert!(
        marks[0].starts_with("✗ off by +") && marks[0].ends_with("(5 %)"),
        "{marks:?}"
    );
    assert!(all.contains("Right is within 1 %"), "{all}");
    put(&right);
    assert_eq!(checked(&seen, "step-4").0, ["✓ right"]);
    seen.does("document.querySelector('#true-or-false fieldset input').click()");
    assert_eq!(checked(&seen, "true-or-false").0, ["✗ not that one"]);
    // Every right answer stands under a question of the page.
    let lost = seen.says(
        "Object.entries(JSON.parse(document.getElementById('checked').textContent).steps).flatMap(([step, { blanks }]) => \
         blanks.map(([asked]) => asked).filter((asked) => ![...document.querySelectorAll(`#${step} :is(legend, label, input)`)] \
         .some((one) => (one.getAttribute('aria-label') ?? one.textContent).trim() === asked)))",
    );
    assert_eq!(lost, json!([]));
    seen.is_clean();
}

#[test]
fn what_is_typed_is_kept_for_its_own_lesson_and_given_away_as_text() {
    let shop = Workshop::with_scenarios();
    let Some(seen) = seen(&shop, "tapered-socket.toml") else {
        return;
    };
    let open = || {
        let address = format!("file://{}", shop.path("lesson.html").display());
        seen.tab
            .navigate_to(&address)
            .expect("the lesson")
            .wait_until_navigated()
            .expect("it");
        seen.until("document.querySelectorAll('.drive-sheet svg').length >= 2");
    };
    let first = "document.querySelector('#step-1 .write input').value";
    let guess = "document.querySelectorAll('#true-or-false fieldset input')[1].checked";
    types(&seen, "step-1", 0, "0.97 in");
    seen.does("document.querySelectorAll('#true-or-false fieldset input')[1].click()");
    checked(&seen, "step-1");
    let text = seen.says(
        "(() => { document.getElementById('copy-kept').click(); return document.getElementById('kept-text').value; })()",
    );
    let text = text.as_str().expect("text");
    assert!(text.starts_with("Lesson: tapered socket"), "{text}");
    assert!(text.contains("first time: 0.97 in (right)\n"), "{text}");
    assert!(text.contains("True or false?\n"), "{text}");
    let saved = seen.tab.evaluate(
        "new Promise((good) => { const made = URL.createObjectURL; \
         URL.createObjectURL = (blob) => { blob.text().then(good); return made.call(URL, blob); }; \
         HTMLAnchorElement.prototype.click = () => {}; document.getElementById('save-kept').click(); })",
        true,
    );
    assert_eq!(saved.expect("a file").value, Some(text.into()));
    open();
    assert_eq!(seen.says(first), "0.97 in");
    assert_eq!(seen.says(guess), true);
    // Another job in the same place, and the same job with another number in it.
    written(&shop, "plug-cock.toml");
    open();
    assert_eq!(seen.says(first), "");
    assert_eq!(seen.says(guess), false);
    shop.edit("worn-lathe.toml", "drag = \"14 lbf\"", "drag = \"15 lbf\"");
    written(&shop, "tapered-socket.toml");
    open();
    assert_eq!(seen.says(first), "");
    shop.edit("worn-lathe.toml", "drag = \"15 lbf\"", "drag = \"14 lbf\"");
    written(&shop, "tapered-socket.toml");
    open();
    assert_eq!(seen.says(first), "0.97 in");
    seen.does("globalThis.confirm = () => true; document.getElementById('clear-kept').click()");
    assert_eq!(seen.says(first), "");
    open();
    assert_eq!(seen.says(first), "");
}

#[test]
fn one_step_a_screen_by_keys_and_an_answer_at_a_time() {
    let shop = Workshop::with_scenarios();
    let Some(seen) = seen(&shop, "tapered-socket.toml") else {
        return;
    };
    let shown = "[...document.querySelectorAll('main > *')].filter((one) => one.checkVisibility()).map((one) => one.id)";
    let key = |key: &str, on: &str| {
        seen.does(&format!(
            "{on}.dispatchEvent(new KeyboardEvent('keydown', {{ key: '{key}', bubbles: true, composed: true, cancelable: true }}))"
        ));
    };
    let all = seen.says(shown).as_array().map_or(0, Vec::len);
    assert!(all > 15, "{all}");
    key("ArrowRight", "document.body");
    assert_eq!(seen.says(shown).as_array().map_or(0, Vec::len), all);
    seen.does("scrollTo(0, 0); document.querySelector('.turn-screens').click()");
    assert_eq!(seen.says(shown), json!(["step-0"]));
    assert_eq!(
        seen.says("document.querySelector('header').checkVisibility()"),
        false
    );
    key("ArrowRight", "document.body");
    assert_eq!(seen.says(shown), json!(["step-bench"]));
    key("ArrowRight", "document.body");
    assert_eq!(seen.says(shown), json!(["step-1"]));
    // A field and a scrubber keep their arrows.
    key(
        "ArrowRight",
        "document.querySelector('#step-1 .write input')",
    );
    key(
        "ArrowRight",
        "document.querySelector('#step-1 .transport input')",
    );
    assert_eq!(seen.says(shown), json!(["step-1"]));
    key("ArrowLeft", "document.body");
    assert_eq!(seen.says(shown), json!(["step-bench"]));
    // A clicker's key reads to the end of the screen first.
    seen.does("document.getElementById('screen-on').click()");
    key("PageDown", "document.body");
    assert_eq!(seen.says(shown), json!(["step-1"]));
    seen.does("scrollTo(0, document.documentElement.scrollHeight)");
    key("PageDown", "document.body");
    assert_eq!(seen.says(shown), json!(["step-2"]));
    let size = "parseFloat(getComputedStyle(document.querySelector('#step-2 p')).fontSize)";
    let before = seen.says(size).as_f64().expect("px");
    seen.does("document.querySelector('#screen-bar .turn-large').click()");
    let after = seen.says(size).as_f64().expect("px");
    assert!(after > 1.25 * before, "{before} {after}");
    // Nothing is cut off to the side in large letters.
    let wide = seen.says("[document.documentElement.scrollWidth, innerWidth]");
    assert!(wide[0].as_u64() <= wide[1].as_u64(), "{wide}");
    let here = "document.querySelector('#step-2 .answer-here')";
    assert_eq!(seen.says(&format!("{here}.textContent")), "");
    seen.does("document.querySelector('#step-2 .show-one').click()");
    let told = seen.says(&format!("{here}.textContent"));
    assert!(
        told.as_str()
            .is_some_and(|told| told.starts_with("Here the joints come to")),
        "{told}"
    );
    assert_eq!(
        seen.says("document.getElementById('answers').checkVisibility()"),
        false
    );
    assert_eq!(
        seen.says("document.querySelector('#step-3 .answer-here').textContent"),
        ""
    );
    seen.does("document.querySelector('#step-2 .show-one').click()");
    assert_eq!(seen.says(&format!("{here}.textContent")), "");
    key("Escape", "document.body");
    assert_eq!(seen.says(shown).as_array().map_or(0, Vec::len), all);
    seen.is_clean();
}

#[test]
fn the_hand_out_has_ten_pages_at_most_on_either_paper() {
    let shop = Workshop::with_scenarios();
    for job in [
        "tapered-socket.toml",
        "plug-cock.toml",
        "threaded-plug.toml",
    ] {
        let Some(seen) = seen(&shop, job) else {
            return;
        };
        // As a trainer would leave it: a step a screen, an answer and a bench open.
        seen.does(
            "document.querySelector('.turn-screens').click(); document.querySelector('#step-6 .show-one').click(); \
             document.querySelector('#step-6 .on-bench').open = true",
        );
        for (paper, width, height) in [("A4", 8.27, 11.69), ("letter", 8.5, 11.0)] {
            let pdf = seen.tab.print_to_pdf(Some(PrintToPdfOptions {
                paper_width: Some(width),
                paper_height: Some(height),
                ..PrintToPdfOptions::default()
            }));
            fs::write(shop.path("lesson.pdf"), pdf.expect("a print")).expect("a file");
            let told = Command::new("pdftotext")
                .arg("-layout")
                .arg(shop.path("lesson.pdf"))
                .arg("-")
                .output();
            let Ok(told) = told else {
                unchecked::for_want_of("pdftotext", "the print of a lesson");
                return;
            };
            let text = String::from_utf8_lossy(&told.stdout);
            let pages = text.matches('\u{c}').count();
            assert!((6..=10).contains(&pages), "{job} {paper}: {pages} pages");
            let questions = text
                .split("Answers, for the trainer")
                .next()
                .expect("a part");
            for words in ["13 Put back", "True or false?", "Mid length:"] {
                let found = questions.split_whitespace().collect::<Vec<_>>().join(" ");
                assert!(found.contains(words), "{job} {paper}: {words}");
            }
            assert!(
                !questions.contains("They are alike at about"),
                "{job} {paper}"
            );
            assert!(!questions.contains("see it on the bench"), "{job} {paper}");
        }
    }
}
