//! `tautway page`: where its file goes, what it replaces and what it leaves alone.

use std::fs;
use std::path::Path;

use crate::workshop::{Workshop, code, err, out};

const JOB: &str = "tapered-socket.toml";
const PAGE: &str = "tapered-socket.page.html";

#[test]
fn the_page_stands_beside_its_job_and_is_made_anew_without_a_flag() {
    let shop = Workshop::with_scenarios();
    let first = shop.run(&["page", JOB]);
    assert_eq!((code(&first), out(&first)), (0, format!("{PAGE}\n")));
    let written = shop.read(PAGE);
    shop.edit(JOB, "tapered socket of a pump coupling", "another socket");
    let again = shop.run(&["page", JOB]);
    assert_eq!(code(&again), 0, "{}", err(&again));
    let now = shop.read(PAGE);
    assert!(now != written && now.contains("<title>another socket</title>"));
    assert!(now.len() < 2_200_000, "{} bytes", now.len());
}

#[test]
fn what_a_person_saved_or_wrote_is_never_replaced_unasked() {
    let shop = Workshop::with_scenarios();
    shop.write(PAGE, "my own page");
    let over = shop.run(&["page", JOB, "--overwrite"]);
    assert_eq!(code(&over), 2);
    assert!(err(&over).contains("is no page"), "{}", err(&over));
    assert_eq!(shop.read(PAGE), "my own page");
    shop.run(&["page", JOB, "--out", "other.html"]);
    let state = "<script type=\"text/plain\" id=\"state\">tautway-bench-x</script></body>";
    let saved = shop.read("other.html").replace("</body>", state);
    shop.write(PAGE, &saved);
    let kept = shop.run(&["page", JOB]);
    assert_eq!(code(&kept), 2);
    assert!(err(&kept).contains("--overwrite"), "{}", err(&kept));
    assert_eq!(shop.read(PAGE), saved);
    let over = shop.run(&["page", JOB, "--overwrite"]);
    assert_eq!(code(&over), 0, "{}", err(&over));
    let again = shop.run(&["page", JOB, "--out", "other.html"]);
    assert_eq!(code(&again), 2);
    assert!(err(&again).contains("--overwrite"), "{}", err(&again));
}

#[test]
fn without_a_job_it_is_the_worked_example_in_this_folder() {
    let shop = Workshop::empty();
    let done = shop.run(&["page"]);
    assert_eq!(code(&done), 0, "{}", err(&done));
    assert_eq!(out(&done), "tautway.page.html\n");
    assert_eq!(shop.names("."), ["tautway.page.html"]);
    assert!(shop.read("tautway.page.html").contains("tapered socket"));
}

#[test]
fn a_fault_in_the_files_can_be_mended_on_the_page_and_a_lathe_that_is_not_there_cannot() {
    let shop = Workshop::with_scenarios();
    shop.edit("worn-lathe.toml", "drag = \"14 lbf\"", "drag = \"14 mm\"");
    let done = shop.run(&["page", JOB]);
    assert_eq!(code(&done), 2);
    assert!(err(&done).contains("drag"), "{}", err(&done));
    assert!(shop.read(PAGE).contains("14 mm"));
    shop.edit(JOB, "worn-lathe.toml", "no-such-lathe.toml");
    let none = shop.run(&["page", JOB, "--out", "none.html"]);
    assert_eq!(code(&none), 2);
    assert!(!shop.path("none.html").exists());
}

#[test]
fn a_lathe_without_the_attachment_has_a_page_with_what_to_do() {
    let shop = Workshop::with_scenarios();
    let done = shop.run(&["page", "valve-seat.toml"]);
    assert_eq!(code(&done), 0, "{}", err(&done));
    let page = shop.read("valve-seat.page.html");
    assert!(!page.contains("\"bench\":{"));
    assert!(page.contains("class=\"told\""));
}

#[test]
fn the_scripts_are_few_and_all_of_them_are_checked() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/bench/assets");
    let list = fs::read_to_string(folder.join("tsconfig.json")).expect("a list");
    let mut lines = 0;
    for entry in fs::read_dir(folder).expect("the scripts") {
        let path = entry.expect("an entry").path();
        if path.extension().is_none_or(|ending| ending != "js") {
            continue;
        }
        let text = fs::read_to_string(&path).expect("a script");
        let name = path.file_name().expect("a name").display().to_string();
        lines += text.lines().count();
        // What draws is shared with the lesson, the worker has another world than a page.
        if !["ink.js", "worker.js"].contains(&name.as_str()) {
            assert!(text.starts_with("// @ts-check\n// "), "{name}");
            assert!(
                list.contains(&format!("\"{name}\"")),
                "{name} is not checked"
            );
        }
    }
    assert!((1500..=4000).contains(&lines), "{lines} lines");
}
