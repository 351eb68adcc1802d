//! `predict --inertia`: the last pass with the slide's weight, beside the same without.

mod workshop;

use serde_json::Value;
use workshop::{Workshop, err, out};

fn found(shop: &Workshop, more: &[&str]) -> Value {
    let asked = ["predict", "job.toml", "--trials", "0", "--format", "json"];
    let text = out(&shop.run(&[&asked, more].concat()));
    let told: Value = serde_json::from_str(&text).unwrap_or_else(|why| panic!("{why}:\n{text}"));
    told["ways"][0]["run"].clone()
}

#[test]
fn the_pass_is_made_again_only_when_asked_for_and_nothing_else_changes() {
    let shop = Workshop::with_example();
    let mut without = found(&shop, &[]);
    let mut with = found(&shop, &["--inertia"]);
    assert!(without["inertia"]["tried"].is_null());
    let tried = &with["inertia"]["tried"];
    let counts = tried["counts"].as_f64().expect("a share");
    assert!((0.0..=1.0).contains(&counts));
    assert!(tried["substeps"].as_u64() > Some(1000));
    for run in [&mut without, &mut with] {
        run["inertia"]["tried"].take();
    }
    assert_eq!(without, with);
}

#[test]
fn the_screen_puts_both_side_by_side() {
    let shop = Workshop::with_example();
    let asked = ["predict", "job.toml", "--trials", "0"];
    let without = out(&shop.run(&asked));
    assert!(!without.contains("reckoned in"));
    let with = out(&shop.run(&[&asked[..], &["--inertia"]].concat()));
    let page = with.split("reckoned in:").nth(1).expect("it is told");
    for line in [
        "without     with it",
        "left, per side",
        "waves",
        "round within",
    ] {
        assert!(page.contains(line), "{line} in\n{page}");
    }
    let refused = shop.run(&["predict", "job.toml", "--inertia", "--method", "top-slide"]);
    assert!(err(&refused).contains("--inertia"));
}
