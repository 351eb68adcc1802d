//! The page below the bench as a person has it, opened from the disk without a net: what to do live
//! after every change, forms with their faults, files in and out, shop tests, units.

use std::thread::sleep;
use std::time::{Duration, Instant};

use headless_chrome::Tab;
use serde_json::{Value, json};

use crate::tab::{self, Watched, watched};
use crate::workshop::{Workshop, code, err, out};

pub const JOB: &str = "tapered-socket.toml";
const READY: &str = "document.querySelector('#work').dataset.ready === 'yes'";

pub fn opened(shop: &Workshop, job: &str, size: (u32, u32)) -> Option<Watched> {
    let done = shop.run(&["page", job, "--out", "page.html", "--overwrite"]);
    // Of faulty files it is written all the same, to mend them in it.
    assert!(code(&done) <= 2, "{}", err(&done));
    let seen = watched(size, &[], "the page")?;
    let address = format!("file://{}", shop.path("page.html").display());
    seen.tab
        .navigate_to(&address)
        .and_then(|tab| tab.wait_until_navigated())
        .expect("the page opens");
    until(&seen.tab, READY);
    Some(seen)
}

pub fn ask(tab: &Tab, script: &str) -> Value {
    let told = tab.evaluate(script, true).expect(script);
    told.value.unwrap_or_default()
}

pub fn text(tab: &Tab, script: &str) -> String {
    let told = ask(tab, script);
    told.as_str().unwrap_or_default().to_owned()
}

/// Waits until a script tells something true.
pub fn until(tab: &Tab, script: &str) {
    let begun = Instant::now();
    while ask(tab, script) != Value::Bool(true) {
        assert!(
            begun.elapsed() < Duration::from_secs(120),
            "never: {script}"
        );
        sleep(Duration::from_millis(50));
    }
}

/// Types into a field as a hand does and waits until forms and files follow.
fn fill(tab: &Tab, field: &str, typed: &str) {
    let before = text(tab, "document.querySelector('#work').dataset.shown");
    ask(
        tab,
        &format!(
            "(() => {{ const field = document.querySelector('#{field}'); field.value = '{typed}'; \
             field.dispatchEvent(new Event('change', {{ bubbles: true }})); }})()"
        ),
    );
    until(
        tab,
        &format!("document.querySelector('#work').dataset.shown !== '{before}'"),
    );
}

/// Types into a field that stands beside job and lathe.
pub fn fill_in(tab: &Tab, field: &str, typed: &str) {
    let script = format!(
        "(() => {{ const field = document.querySelector('#{field}'); field.value = '{typed}'; \
         field.dispatchEvent(new Event('change')); }})()"
    );
    ask(tab, &script);
}

/// Drops files, as they come from a folder.
fn drop_files(tab: &Tab, files: &[(&str, &str)]) {
    let list: Vec<String> = files
        .iter()
        .map(|(name, text)| format!("new File([{}], {})", json!(text), json!(name)))
        .collect();
    ask(
        tab,
        &format!(
            "document.querySelector('#work').work.files.take([{}])",
            list.join(", ")
        ),
    );
}

pub fn click(tab: &Tab, what: &str) {
    ask(tab, &format!("document.querySelector('{what}').click()"));
}

/// What a button saves: the file's name and its text.
fn saved(tab: &Tab, button: &str) -> (String, String) {
    let both = text(
        tab,
        &format!(
            "new Promise((good) => {{ const made = URL.createObjectURL; let text = ''; \
             URL.createObjectURL = (blob) => {{ text = blob.text(); return made.call(URL, blob); }}; \
             HTMLAnchorElement.prototype.click = async function () {{ \
               good(JSON.stringify([this.download, await text])); }}; \
             document.querySelector('{button}').click(); }})"
        ),
    );
    serde_json::from_str(&both).expect("a name and a text")
}

#[test]
fn one_field_changed_and_saved_is_one_line_of_the_file() {
    let shop = Workshop::with_scenarios();
    let Some(seen) = opened(&shop, JOB, (1366, 768)) else {
        return;
    };
    let tab = &seen.tab;
    let before = [shop.read(JOB), shop.read("worn-lathe.toml")];
    drop_files(tab, &[(JOB, &before[0]), ("worn-lathe.toml", &before[1])]);
    fill(tab, "lathe-slide-drag", "17 lbf");
    let (name, lathe) = saved(tab, "#save-lathe");
    assert_eq!(name, "worn-lathe.toml");
    assert_eq!(
        lathe,
        before[1].replace("drag = \"14 lbf\"", "drag = \"17 lbf\"")
    );
    assert_eq!(saved(tab, "#save-job"), (JOB.to_owned(), before[0].clone()));
    shop.write("worn-lathe.toml", &lathe);
    let checked = shop.run(&["check", JOB]);
    assert_eq!(code(&checked), 0, "{}", err(&checked));
    let complaints = seen.complaints.lock().expect("the list");
    assert!(complaints.is_empty(), "{complaints:?}");
}

#[test]
fn what_to_do_follows_every_change_and_is_the_command_lines() {
    let shop = Workshop::with_scenarios();
    let Some(seen) = opened(&shop, JOB, (1366, 768)) else {
        return;
    };
    let tab = &seen.tab;
    let asked = seen.asked.lock().expect("the list").clone();
    ask(tab, "document.querySelector('#work').scrollIntoView()");
    fill(tab, "lathe-slide-drag", "40 lbf");
    assert_ne!(
        ask(tab, "document.querySelector('#answers').dataset.state"),
        "fresh"
    );
    until(
        tab,
        "document.querySelector('#answers').dataset.state === 'fresh'",
    );
    shop.edit("worn-lathe.toml", "14 lbf", "40 lbf");
    let done = shop.run(&["compare", JOB, "--trials", "50", "--format", "json"]);
    let ours: Value = serde_json::from_str(&out(&done)).expect("JSON");
    let theirs = text(tab, "document.querySelector('#answers').dataset.expect");
    let theirs: Value = serde_json::from_str(&theirs).expect("JSON");
    assert_eq!(ours["expect"]["way"], theirs["way"]);
    let number = |value: &Value| value["with_gauging"]["met"].as_f64();
    assert!(number(&theirs).is_some());
    assert_eq!(number(&ours["expect"]), number(&theirs));
    let page = shop.run(&["page", JOB, "--out", "then.html"]);
    assert_eq!(code(&page), 0, "{}", err(&page));
    let then = shop.read("then.html");
    let told = text(tab, "document.querySelector('#answers .told').innerHTML");
    let words = |html: &str| -> String {
        let mut words = String::new();
        let mut inside = false;
        for letter in html.chars() {
            match letter {
                '<' => inside = true,
                '>' => inside = false,
                letter if !inside => words.push(letter),
                _ => {}
            }
        }
        words.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let written = then.split("<div class=\"told\">").nth(1).expect("words");
    let written = written.split("</section>").next().expect("an end");
    assert_eq!(words(&told), words(written));
    // Nothing was asked of any net for it.
    let net = asked
        .iter()
        .filter(|address| address.starts_with("http"))
        .count();
    assert_eq!(net, 0, "{asked:?}");
}

#[test]
fn a_fault_stands_beside_its_field_and_is_gone_when_mended() {
    let shop = Workshop::with_scenarios();
    shop.edit("worn-lathe.toml", "drag = \"14 lbf\"", "drag = \"14 mm\"");
    let Some(seen) = opened(&shop, JOB, (1366, 768)) else {
        return;
    };
    let tab = &seen.tab;
    let said = text(
        tab,
        "document.querySelector('#lathe-slide-drag-fault').textContent",
    );
    assert!(said.contains("mm"), "{said}");
    assert_eq!(
        ask(tab, "document.querySelector('#tab-lathe').textContent"),
        "The lathe !"
    );
    assert_eq!(ask(tab, "document.querySelectorAll('.card').length"), 0);
    fill(tab, "lathe-slide-drag", "14 lbf");
    until(tab, "document.querySelectorAll('.card svg').length >= 4");
    assert_eq!(
        ask(
            tab,
            "document.querySelector('#lathe-slide-drag-fault').hidden"
        ),
        true
    );
    assert_eq!(
        ask(tab, "document.querySelector('#tab-lathe').textContent"),
        "The lathe"
    );
}

#[test]
fn a_job_without_its_lathe_asks_for_it_by_name_and_markup_in_it_stays_text() {
    let shop = Workshop::with_scenarios();
    let Some(seen) = opened(&shop, JOB, (1366, 768)) else {
        return;
    };
    let tab = &seen.tab;
    let job = shop
        .read("plug-cock.toml")
        .replace("plug of a cock", "<img src=x onerror=alert(1)>");
    drop_files(tab, &[("plug-cock.toml", &job)]);
    let said = text(tab, "document.querySelector('.files-status').textContent");
    assert!(said.contains("metric-lathe.toml"), "{said}");
    drop_files(
        tab,
        &[("metric-lathe.toml", &shop.read("metric-lathe.toml"))],
    );
    ask(tab, "document.querySelector('#work').scrollIntoView()");
    until(
        tab,
        "document.querySelector('#work').work.look.lathe.name === 'the 360 mm lathe'",
    );
    until(
        tab,
        "document.querySelector('#answers').dataset.state === 'fresh'",
    );
    let told = text(tab, "document.querySelector('#answers .told').textContent");
    assert!(told.contains("<img src=x"), "{told}");
    assert_eq!(
        ask(
            tab,
            "document.querySelectorAll('#answers .told img').length"
        ),
        0
    );
    drop_files(tab, &[("notes.txt", "nothing of the kind")]);
    let said = text(tab, "document.querySelector('.files-status').textContent");
    assert!(said.contains("neither"), "{said}");
}

#[test]
fn shop_tests_answer_at_once_and_go_into_the_lathe() {
    let shop = Workshop::with_scenarios();
    let Some(seen) = opened(&shop, JOB, (1366, 768)) else {
        return;
    };
    let tab = &seen.tab;
    click(tab, "#tab-tests");
    for field in [
        "start_toward",
        "start_away",
        "running_toward",
        "running_away",
    ] {
        fill_in(
            tab,
            &format!("tests-drag-{field}"),
            "22 lbf, 23 lbf, 22 lbf",
        );
    }
    until(
        tab,
        "document.querySelector('#panel-tests .told').textContent.includes('drag of the cross-slide')",
    );
    until(
        tab,
        "!document.querySelector('#panel-tests button').disabled",
    );
    click(tab, "#panel-tests .beside button");
    until(
        tab,
        "(document.querySelector('#lathe-slide-drag').value ?? '').includes('to')",
    );
    let (_, lathe) = saved(tab, "#save-lathe");
    assert!(
        lathe.contains("[measured]") && lathe.starts_with("# A 14 in lathe"),
        "{lathe}"
    );
    shop.write("worn-lathe.toml", &lathe);
    let checked = shop.run(&["check", JOB]);
    assert_eq!(code(&checked), 0, "{}", err(&checked));
}

#[test]
fn units_are_switched_in_picture_words_and_hints() {
    let shop = Workshop::with_scenarios();
    let Some(seen) = opened(&shop, JOB, (1366, 768)) else {
        return;
    };
    let tab = &seen.tab;
    let slack = "document.querySelector('[data-knob=slack] output').textContent";
    assert!(text(tab, slack).ends_with("in"));
    click(tab, "[data-units=metric]");
    until(tab, &format!("{slack}.endsWith('mm')"));
    ask(tab, "document.querySelector('#work').scrollIntoView()");
    until(
        tab,
        "document.querySelector('#answers').dataset.state === 'fresh'",
    );
    let told = text(tab, "document.querySelector('#answers .told').textContent");
    assert!(told.contains(" mm"), "{told}");
    let hint = "document.querySelector('#lathe-slide-weight-hint').textContent";
    assert!(text(tab, hint).contains(" N"), "{}", text(tab, hint));
    let (_, lathe) = saved(tab, "#save-lathe");
    assert_eq!(lathe, shop.read("worn-lathe.toml"));
}

#[test]
fn a_run_given_up_says_nothing_more_and_the_sheet_is_one_to_print() {
    let shop = Workshop::with_scenarios();
    let Some(seen) = opened(&shop, JOB, (1366, 768)) else {
        return;
    };
    let tab = &seen.tab;
    ask(tab, "document.querySelector('#work').scrollIntoView()");
    fill(tab, "lathe-slide-drag", "30 lbf");
    until(
        tab,
        "document.querySelector('#answers').dataset.state === 'working'",
    );
    until(tab, "document.querySelector('#answers progress').value > 0");
    let stop = "[...document.querySelectorAll('#answers button')].find((one) => one.textContent === 'Stop').click()";
    ask(tab, stop);
    let status = "document.querySelector('#answers [role=status]').textContent";
    let said = text(tab, status);
    assert!(said.starts_with("Stopped"), "{said}");
    sleep(Duration::from_millis(1500));
    assert_eq!(text(tab, status), said);
    assert_eq!(
        ask(tab, "document.querySelector('#answers').dataset.state"),
        "old"
    );
    click(tab, "[data-view=sheet]");
    until(
        tab,
        "document.querySelector('#answers').dataset.state === 'fresh'",
    );
    until(
        tab,
        "document.querySelector('iframe.sheet').contentDocument?.body?.textContent.includes('SETUP SHEET')",
    );
    let complaints = seen.complaints.lock().expect("the list");
    assert!(complaints.is_empty(), "{complaints:?}");
}

#[test]
fn nothing_is_wider_than_its_window_and_no_serious_finding() {
    let shop = Workshop::with_scenarios();
    let axe = tab::axe();
    for size in [(1366, 768), (390, 664)] {
        let Some(seen) = opened(&shop, JOB, size) else {
            return;
        };
        for dark in [false, true] {
            tab::scheme(&seen.tab, dark);
            for panel in [
                "answers", "job", "lathe", "tests", "gauging", "guide", "piece", "files",
            ] {
                click(&seen.tab, &format!("#tab-{panel}"));
                let within = "document.documentElement.scrollWidth <= innerWidth";
                assert_eq!(ask(&seen.tab, within), true, "{panel} at {size:?}");
                if let Some(axe) = &axe {
                    let found = tab::serious(&seen.tab, axe);
                    assert!(
                        found.is_empty(),
                        "{panel} at {size:?}, dark {dark}: {found:#?}"
                    );
                }
            }
        }
    }
}
