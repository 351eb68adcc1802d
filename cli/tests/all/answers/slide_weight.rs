//! `predict --inertia`: the last pass with the slide's weight, beside the same without.

use crate::workshop::{Workshop, err, out};
use serde_json::Value;

fn found(shop: &Workshop, more: &[&str]) -> Value {
    tried(shop, "0", more)
}

fn tried(shop: &Workshop, trials: &str, more: &[&str]) -> Value {
    let asked = [
        "predict", "job.toml", "--trials", trials, "--format", "json",
    ];
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
    let damped = tried["damped"].as_array().expect("with each damping");
    assert_eq!(damped.len(), 3);
    for damped in damped {
        let counts = damped["counts"].as_f64().expect("a share");
        assert!((0.0..=1.0).contains(&counts));
        assert!(damped["substeps"].as_u64() > Some(1000));
    }
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
    let with = with.split_whitespace().collect::<Vec<_>>().join(" ");
    let page = with.split("reckoned in:").nth(1).expect("it is told");
    for line in [
        "without with it the same within",
        "left, per side",
        "waves",
        "round within",
    ] {
        assert!(page.contains(line), "{line} in\n{page}");
    }
    let refused = shop.run(&["predict", "job.toml", "--inertia", "--method", "top-slide"]);
    assert!(err(&refused).contains("--inertia"));
}

#[test]
fn it_is_held_against_the_lathes_tried_where_there_are_any() {
    let shop = Workshop::with_example();
    let by = |run: &Value| -> Vec<String> {
        let held = run["inertia"]["tried"]["held"].as_array().expect("three");
        let by = |held: &Value| held["by"].as_str().expect("a word").to_owned();
        held.iter().map(by).collect()
    };
    let with_lathes = tried(&shop, "50", &["--inertia"]);
    assert_eq!(by(&with_lathes), ["lathes"; 3]);
    // The lathe is worn and mostly assumed: what comes with the weight lies well within.
    assert_eq!(with_lathes["inertia"]["tried"]["differs"], false);
    // Without them the drawing's size tolerance says so, and what one sees of the rest.
    let drawn = found(&shop, &["--inertia"]);
    assert_eq!(by(&drawn), ["drawing", "sight", "sight"]);
    shop.edit("job.toml", "size_tolerance", "# size_tolerance");
    let without = found(&shop, &["--inertia"]);
    assert_eq!(by(&without), ["sight"; 3]);
}

#[test]
fn the_doubt_names_what_comes_otherwise_and_by_what() {
    let shop = Workshop::with_scenarios();
    // Fast, and drawn away: the slide floats, and nothing on the drawing asks for its size.
    const JOB: &str = "tapered-socket.toml";
    shop.edit(JOB, "speed = \"200 rpm\"", "speed = \"3000 rpm\"");
    let asked = [
        "predict",
        JOB,
        "--inertia",
        "--feed",
        "headstock",
        "--rotation",
        "reverse",
        "--trials",
    ];
    let said = |trials: &str| {
        let page = out(&shop.run(&[&asked[..], &[trials]].concat()));
        page.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let page = said("0");
    assert!(
        page.contains("reckoned in it comes out otherwise"),
        "{page}"
    );
    assert!(page.contains("by more than 0.0003 in"), "{page}");
    let page = said("50");
    assert!(!page.contains("by more than 0.0003 in"), "{page}");
}
