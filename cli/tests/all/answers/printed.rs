//! Sheet, hand-out and report as PDF, read back: pages, paper, words in order, fonts, the same bytes.

use std::fs;
use std::path::Path;
use std::process::Command;

use crate::unchecked;
use crate::workshop::{Workshop, code, err};

/// What a tool of poppler says of a file; nothing where it isn't here.
fn told(tool: &str, arguments: &[&str], file: &Path) -> Option<String> {
    let Ok(done) = Command::new(tool).args(arguments).arg(file).output() else {
        unchecked::for_want_of(tool, "what a PDF has in it");
        return None;
    };
    assert!(done.status.success(), "{}", err(&done));
    Some(String::from_utf8_lossy(&done.stdout).into_owned())
}

/// A row of what `pdfinfo` says.
fn row<'t>(info: &'t str, key: &str) -> &'t str {
    let mut rows = info.lines().filter_map(|line| line.split_once(':'));
    let found = rows.find(|(name, _)| *name == key);
    found.map(|(_, value)| value.trim()).expect(key)
}

/// The pages' words as they were set, line by line.
fn pages(file: &Path) -> Option<Vec<String>> {
    let out = Command::new("pdftotext")
        .arg("-raw")
        .arg(file)
        .arg("-")
        .output();
    let Ok(done) = out else {
        unchecked::for_want_of("pdftotext", "the words of a PDF");
        return None;
    };
    let text = String::from_utf8_lossy(&done.stdout);
    let pages = text.split('\u{c}').filter(|page| !page.is_empty());
    Some(pages.map(str::to_owned).collect())
}

/// The same on one line.
fn words(file: &Path) -> Option<String> {
    let text = pages(file)?.join(" ");
    Some(text.split_whitespace().collect::<Vec<_>>().join(" "))
}

/// Every one of these, each behind the one before.
fn in_order(text: &str, these: &[&str]) {
    let mut from = 0;
    for one in these {
        let at = text[from..].find(one);
        let at = at.unwrap_or_else(|| panic!("no {one:?} behind {:?}", &text[..from]));
        from += at + one.len();
    }
}

fn write(shop: &Workshop, arguments: &[&str]) {
    let done = shop.run(arguments);
    assert!(code(&done) < 2, "{arguments:?}: {}", err(&done));
}

/// Every job among the worked examples.
fn jobs(shop: &Workshop) -> Vec<String> {
    let names = shop.names(".");
    let jobs = names.into_iter().filter(|name| {
        let is_job = |text: String| text.lines().any(|line| line.starts_with("lathe ="));
        name.ends_with(".toml") && is_job(shop.read(name))
    });
    let jobs: Vec<String> = jobs.collect();
    assert!(jobs.len() > 8, "{jobs:?}");
    jobs
}

#[test]
fn every_sheet_is_one_page_on_both_papers_in_both_units_with_its_faces_in_it() {
    let shop = Workshop::with_scenarios();
    let mut seen = 0;
    for job in jobs(&shop) {
        for (units, paper, size) in [
            ("inch", None, "612 x 792"),
            ("metric", None, "595.276 x 841.89"),
            ("inch", Some("a4"), "595.276 x 841.89"),
            ("metric", Some("letter"), "612 x 792"),
        ] {
            let mut run = vec!["sheet", &job, "--units", units, "--out", "sheet.pdf"];
            run.extend(paper.into_iter().flat_map(|paper| ["--paper", paper]));
            run.push("--overwrite");
            let done = shop.run(&run);
            if err(&done).contains("no sheet") {
                continue;
            }
            assert!(code(&done) < 2, "{run:?}: {}", err(&done));
            let file = shop.path("sheet.pdf");
            let Some(info) = told("pdfinfo", &[], &file) else {
                return;
            };
            assert_eq!(row(&info, "Pages"), "1", "{run:?}");
            assert!(row(&info, "Page size").starts_with(size), "{run:?}: {info}");
            seen += 1;
        }
        let Some(fonts) = told("pdffonts", &[], &shop.path("sheet.pdf")) else {
            return;
        };
        let rows: Vec<&str> = fonts.lines().skip(2).collect();
        assert_eq!(rows.len(), 2, "{job}: {fonts}");
        // Embedded, cut down, and read back as letters.
        let whole = |row: &&str| row.contains("DejaVuSans") && row.contains(" yes yes yes ");
        assert!(rows.iter().all(whole), "{job}: {fonts}");
    }
    assert!(seen > 40, "{seen}");
}

#[test]
fn a_sheet_says_in_order_what_its_text_says() {
    let shop = Workshop::with_scenarios();
    for job in ["tapered-socket.toml", "pipe-nipple.toml"] {
        write(&shop, &["sheet", job, "--out", "sheet.pdf", "--overwrite"]);
        write(&shop, &["sheet", job, "--out", "sheet.txt", "--overwrite"]);
        let Some(found) = words(&shop.path("sheet.pdf")) else {
            return;
        };
        let text = shop.read("sheet.txt");
        // The headings stand in capitals in text.
        let headings: Vec<String> = text
            .lines()
            .filter_map(|line| line.split_once(". "))
            .filter(|(number, name)| {
                number.trim().parse::<u8>().is_ok() && *name == name.to_uppercase()
            })
            .map(|(number, name)| format!("{} {name}", number.trim()))
            .collect();
        assert!(headings.len() > 8, "{headings:?}");
        let capitals = found.to_uppercase();
        in_order(
            &capitals,
            &headings.iter().map(String::as_str).collect::<Vec<_>>(),
        );
        // No word of the text is missing, but for what a pencil writes.
        for word in text.split_whitespace().filter(|word| *word != "->") {
            let bare = word.trim_matches(|c: char| "[]_()!,.:;-".contains(c));
            assert!(capitals.contains(&bare.to_uppercase()), "{job}: {word}");
        }
    }
    write(
        &shop,
        &[
            "sheet",
            "tapered-socket.toml",
            "--out",
            "sheet.pdf",
            "--overwrite",
        ],
    );
    let Some(info) = told("pdfinfo", &[], &shop.path("sheet.pdf")) else {
        return;
    };
    assert_eq!(row(&info, "Title"), "tapered socket of a pump coupling");
    assert!(!info.contains("Date"), "{info}");
}

#[test]
fn a_crowded_sheet_is_still_one_page() {
    let shop = Workshop::with_scenarios();
    let file = "air-too-weak.toml";
    let text = shop.read(file);
    let name = text.lines().find(|line| line.starts_with("name"));
    let long = "a socket with a very long name that somebody wrote down in full ".repeat(3);
    shop.edit(file, name.expect("a name"), &format!("name = \"{long}\""));
    let finish = format!("finish = [{}]", ["\"0.010 in\""; 14].join(", "));
    shop.edit(file, "finish = [\"0.010 in\"]", &finish);
    for paper in ["letter", "a4"] {
        let run = [
            "sheet",
            file,
            "--paper",
            paper,
            "--out",
            "sheet.pdf",
            "--overwrite",
        ];
        write(&shop, &run);
        let Some(info) = told("pdfinfo", &[], &shop.path("sheet.pdf")) else {
            return;
        };
        assert_eq!(row(&info, "Pages"), "1", "{paper}");
    }
}

#[test]
fn the_same_files_give_the_same_bytes_on_any_number_of_threads() {
    let shop = Workshop::with_scenarios();
    let of: [(&[&str], &str, bool); 3] = [
        (&["sheet", "tapered-socket.toml"], "--out", true),
        (&["lesson", "plug-cock.toml"], "--out", false),
        (
            &["compare", "tapered-socket.toml", "--trials", "50"],
            "--report",
            true,
        ),
    ];
    for (command, option, threads) in of {
        let bytes = |threads: &[&str]| {
            let file = ["made.pdf", "--overwrite"];
            write(&shop, &[command, &[option], &file, threads].concat());
            let bytes = fs::read(shop.path("made.pdf")).expect("a file");
            fs::remove_file(shop.path("made.pdf")).expect("it goes");
            bytes
        };
        let once = bytes(&[]);
        assert!(once.starts_with(b"%PDF-"), "{command:?}");
        assert!(once == bytes(&[]), "{command:?}");
        if threads {
            for number in ["1", "2"] {
                assert!(
                    once == bytes(&["--threads", number]),
                    "{command:?} on {number}"
                );
            }
        }
    }
    // To another program they go as they are.
    let piped = shop.run(&["sheet", "tapered-socket.toml", "--format", "pdf"]);
    write(
        &shop,
        &["sheet", "tapered-socket.toml", "--out", "sheet.pdf"],
    );
    assert!(piped.stdout == fs::read(shop.path("sheet.pdf")).expect("a file"));
}

#[test]
fn the_hand_out_asks_first_and_answers_on_sheets_of_their_own() {
    let shop = Workshop::with_scenarios();
    for (units, size) in [("metric", "A4"), ("inch", "letter")] {
        let run = ["lesson", "tapered-socket.toml", "--units", units];
        write(
            &shop,
            &[&run[..], &["--out", "lesson.pdf", "--overwrite"]].concat(),
        );
        let Some(info) = told("pdfinfo", &[], &shop.path("lesson.pdf")) else {
            return;
        };
        assert!(row(&info, "Page size").contains(size), "{info}");
    }
    let Some(pages) = pages(&shop.path("lesson.pdf")) else {
        return;
    };
    assert!((8..=16).contains(&pages.len()), "{}", pages.len());
    let answers = pages
        .iter()
        .position(|page| page.starts_with("Answers, for the trainer"));
    let answers = answers.expect("a page that begins with the answers");
    let questions = pages[..answers].join("\n");
    assert!(!questions.contains("The rule:") && !questions.contains("At the back nothing changes"));
    assert!(pages[answers..].join("\n").contains("The rule:"));
    in_order(
        &words(&shop.path("lesson.pdf")).expect("words"),
        &[
            "a lesson on the taper attachment",
            "0 Safety",
            "One minute on the bench",
            "1 Where does the motion go?",
            "Expected here",
            "True or false?",
            "Now alone: the setup sheet of this job",
            "Answers, for the trainer",
        ],
    );
    for (at, page) in pages.iter().enumerate() {
        let number = format!("page {} of {}", at + 1, pages.len());
        assert!(page.contains(&number), "{number} in {page}");
    }
}

#[test]
fn a_report_has_words_tables_files_and_its_raw_data_attached() {
    let shop = Workshop::with_scenarios();
    let run = [
        "compare",
        "tapered-socket.toml",
        "--trials",
        "50",
        "--report",
    ];
    write(&shop, &[&run[..], &["report.pdf"]].concat());
    let file = shop.path("report.pdf");
    let Some(found) = words(&file) else {
        return;
    };
    in_order(
        &found,
        &[
            "tapered socket of a pump coupling",
            "CUT IT THIS WAY",
            "STOP IF",
            "Figures",
            "Numbers of every way",
            "Raw data",
            "comparison.csv, attached to this file",
            "What it was made from",
            "tapered-socket.toml",
            "worn-lathe.toml",
            "seed 1, 50 lathes tried",
        ],
    );
    let Some(attached) = told("pdfdetach", &["-list"], &file) else {
        return;
    };
    assert!(
        attached.contains("comparison.csv") && attached.contains(".json"),
        "{attached}"
    );
    // Beside it the same as a page.
    write(&shop, &[&run[..], &["report.html"]].concat());
    assert!(shop.read("report.html").starts_with("<!DOCTYPE html>"));
}
