//! The forms beside job and lathe as a hand fills them in: the command's words beside them, a fault
//! beside its field and gone when mended, what was typed kept in the address.

use crate::page::{JOB, ask, click, fill_in, opened, text, until};
use crate::workshop::{Workshop, out};

/// The words of a command, one blank between them.
fn said(shop: &Workshop, args: &[&str]) -> String {
    let told = out(&shop.run(args));
    told.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn a_gauging_sum_answers_as_it_is_typed_and_stays_over_a_reload() {
    let shop = Workshop::with_scenarios();
    let Some(seen) = opened(&shop, JOB, (390, 844)) else {
        return;
    };
    let tab = &seen.tab;
    click(tab, "#tab-gauging");
    fill_in(tab, "standoff-read", "0.120 lbf");
    until(
        tab,
        "!document.querySelector('#standoff-read-fault').hidden",
    );
    let told = "document.querySelector('#panel-gauging section:not([hidden]) .told').textContent";
    assert_eq!(text(tab, told), "");
    fill_in(tab, "standoff-read", "0.120 in");
    until(tab, "document.querySelector('#standoff-read-fault').hidden");
    until(tab, &format!("{told} !== ''"));
    let ours = said(
        &shop,
        &[
            "gauging",
            "standoff",
            "--taper",
            "1-3/4 in/ft",
            "--read",
            "0.120 in",
            "--kind",
            "inside",
        ],
    );
    let first = text(tab, &format!("{told}.trim().split('\\n')[0]"));
    assert!(
        first.len() > 20 && ours.starts_with(&first),
        "{first}\n{ours}"
    );
    until(tab, "location.hash.length > 100");
    tab.reload(false, None).expect("it reloads");
    until(
        tab,
        "document.querySelector('#work')?.dataset.ready === 'yes' && \
         document.querySelector('#standoff-read').value === '0.120 in'",
    );
    until(tab, &format!("{told}.startsWith('Still to come off')"));
    let complaints = seen.complaints.lock().expect("the list");
    assert!(complaints.is_empty(), "{complaints:?}");
}

#[test]
fn a_finished_piece_and_a_preload_wait_until_they_are_asked_for() {
    let shop = Workshop::with_scenarios();
    let Some(seen) = opened(&shop, JOB, (1366, 768)) else {
        return;
    };
    let tab = &seen.tab;
    click(tab, "#tab-piece");
    for (field, typed) in [
        ("piece-way-feed", "tailstock"),
        (
            "piece-gauged-diameters",
            "0.05 in, 2.4928 in\\n2.65 in, 2.1287 in",
        ),
        ("piece-gauged-diameter_off", "0.0003 in"),
        ("piece-gauged-taken", "0.0090 in +- 0.0003 in"),
    ] {
        fill_in(tab, field, typed);
    }
    let told = "document.querySelector('#panel-piece .told').textContent";
    assert_eq!(text(tab, told), "");
    ask(
        tab,
        "[...document.querySelectorAll('#panel-piece button')].find((one) => one.textContent === 'Work it out').click()",
    );
    until(
        tab,
        &format!("{told}.includes('MOST LIKELY') || {told}.includes('How sure:')"),
    );
    click(tab, "#tab-answers");
    let held = "document.querySelector('[data-told=preload]').textContent";
    assert_eq!(text(tab, held), "");
    click(tab, "[data-view=preload]");
    until(tab, &format!("{held}.includes('WINDOW:')"));
    let hidden = "document.querySelector('[data-view=thread]').hidden";
    assert_eq!(ask(tab, hidden), true);
}
