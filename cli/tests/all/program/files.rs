//! Wrong and right files: what is said, where it points, and the exit code.

use std::process::Stdio;

use crate::workshop::{Workshop, code, err, out};
use serde_json::Value;

#[test]
fn an_example_can_be_written_and_checked() {
    let shop = Workshop::with_example();
    assert_eq!(shop.names("."), ["job.toml", "lathe.toml"]);
    for file in ["job.toml", "lathe.toml"] {
        let checked = shop.run(&["check", file]);
        assert_eq!(code(&checked), 0, "{}", err(&checked));
        assert!(
            out(&checked).starts_with("no mistakes found: "),
            "{}",
            out(&checked)
        );
        assert_eq!(err(&checked), "");
    }
}

#[test]
fn seven_faults_in_a_pair_are_seven_pointed_diagnostics() {
    let shop = Workshop::with_example();
    let faults = [
        ("job.toml", "taper = \"1-1/2 in/ft\"", "taper = \"2 in\""),
        ("job.toml", "length = \"2-1/2 in\"", "length = \"3 inn\""),
        (
            "job.toml",
            "material = \"4140 30 HRC\"",
            "material = \"4141\"",
        ),
        ("job.toml", "edge = \"fresh\"", "egde = \"fresh\""),
        ("job.toml", "speed = \"250 sfm\"", "speed = \"250 mph\""),
        (
            "lathe.toml",
            "guide_travel = \"11 in\"",
            "guide_travel = \"-11 in\"",
        ),
        ("lathe.toml", "nose = \"cam lock\"", "nose = \"glued\""),
    ];
    let mut places = Vec::new();
    for (file, from, to) in faults {
        shop.edit(file, from, to);
    }
    for (file, _, to) in faults {
        let line = 1 + shop
            .read(file)
            .lines()
            .position(|l| l.starts_with(to))
            .expect("there");
        places.push(format!("{file}:{line}:"));
    }
    let checked = shop.run(&["check", "job.toml"]);
    let said = err(&checked);
    assert_eq!(code(&checked), 2, "{said}");
    assert_eq!(out(&checked), "");
    for place in &places {
        assert!(said.contains(place.as_str()), "no {place} in\n{said}");
    }
    assert_eq!(said.matches("error: ").count(), 7, "{said}");
    assert_eq!(said.matches("= help: ").count(), 7, "{said}");

    let json = shop.run(&["check", "job.toml", "--format", "json"]);
    assert_eq!(code(&json), 2);
    let value: Value = serde_json::from_str(&out(&json)).expect("JSON");
    assert_eq!(value["in_order"], false);
    let listed: Vec<_> = value["diagnostics"]
        .as_array()
        .expect("a list")
        .iter()
        .map(|d| format!("{}:{}:", d["file"].as_str().expect("a name"), d["line"]))
        .collect();
    let sorted = |mut list: Vec<String>| {
        list.sort();
        list
    };
    assert_eq!(sorted(listed), sorted(places));
    // A run refuses the same files with the same words.
    let run = shop.run(&["compare", "job.toml"]);
    assert_eq!((code(&run), err(&run)), (2, said));
}

#[test]
fn a_missing_lathe_file_is_pointed_at_with_the_faults_of_the_job() {
    let shop = Workshop::with_example();
    shop.edit("job.toml", "\"lathe.toml\"", "\"lath.toml\"");
    shop.edit("job.toml", "length = \"2-1/2 in\"", "length = \"3 inn\"");
    let checked = shop.run(&["check", "job.toml"]);
    let said = err(&checked);
    assert_eq!(code(&checked), 2, "{said}");
    assert!(said.contains("there is no lathe file lath.toml"), "{said}");
    assert!(said.contains("job.toml:3:10"), "{said}");
    assert_eq!(said.matches("error: ").count(), 2, "{said}");
}

#[test]
fn the_lathe_is_looked_for_beside_the_job_whatever_the_path_is_called() {
    let shop = Workshop::empty();
    let made = shop.run(&["new", "Größe 3 in", "--example"]);
    assert_eq!(code(&made), 0, "{}", err(&made));
    assert!(
        out(&made).contains("tautway compare 'Größe 3 in/job.toml'"),
        "{}",
        out(&made)
    );
    let checked = shop.run(&["check", "Größe 3 in/job.toml"]);
    assert_eq!(code(&checked), 0, "{}", err(&checked));
}

#[test]
fn a_file_that_is_not_there_or_is_no_job_is_told_apart() {
    let shop = Workshop::with_example();
    let cases: [(&[&str], i32, &str); 5] = [
        (&["compare", "jobb.toml"], 3, "there is no file jobb.toml"),
        (&["compare", "no/job.toml"], 3, "there is no directory no"),
        (&["compare", "."], 2, "is a directory"),
        (
            &["compare", "lathe.toml"],
            2,
            "describes a lathe, not a job",
        ),
        (
            &["predict", "job.toml", "--feed", "up"],
            2,
            "headstock, tailstock",
        ),
    ];
    for (arguments, wanted, words) in cases {
        let done = shop.run(arguments);
        let said = err(&done);
        assert_eq!(code(&done), wanted, "{arguments:?}: {said}");
        assert!(said.contains(words), "{arguments:?}: {said}");
        assert_eq!(out(&done), "");
    }
}

#[test]
fn text_that_is_not_utf8_is_pointed_at() {
    let shop = Workshop::with_example();
    shop.write("job.toml", b"name = \"a\"\nlathe = \"\xe9\"\n");
    let checked = shop.run(&["check", "job.toml"]);
    assert_eq!(code(&checked), 2);
    assert!(
        err(&checked).contains("job.toml:2:10: this is not UTF-8"),
        "{}",
        err(&checked)
    );
}

#[test]
fn new_writes_over_nothing_unless_told_to() {
    let shop = Workshop::with_example();
    shop.write("job.toml", "mine");
    let again = shop.run(&["new", "--example"]);
    assert_eq!(code(&again), 2);
    assert!(err(&again).contains("lathe.toml and job.toml are there already"));
    assert_eq!(shop.read("job.toml"), "mine");
    // What the program didn't write stays even then.
    let told = shop.run(&["new", "--example", "--overwrite"]);
    assert_eq!(code(&told), 2);
    assert!(err(&told).contains("no job file that tautway wrote"));
    assert_eq!(shop.read("job.toml"), "mine");
    shop.write("job.toml", "# One taper to make.\n");
    let told = shop.run(&["new", "--example", "--overwrite"]);
    assert_eq!(code(&told), 0, "{}", err(&told));
    assert!(shop.read("job.toml").contains("[work]"));
    assert_eq!(shop.names("."), ["job.toml", "lathe.toml"]);
}

#[test]
fn new_needs_a_terminal_or_the_example() {
    let shop = Workshop::empty();
    let done = shop.run(&["new", "somewhere"]);
    assert_eq!(code(&done), 2);
    assert!(err(&done).contains("--example"), "{}", err(&done));
    assert!(shop.names(".").is_empty());
}

#[test]
fn new_reads_answers_a_line_each_where_there_is_no_terminal() {
    let shop = Workshop::empty();
    let fed = |lines: &str| {
        shop.write("lines", lines);
        let lines = std::fs::File::open(shop.path("lines")).expect("a file");
        let mut program = shop.program();
        program.args(["new", "somewhere"]).stdin(lines);
        program.output().expect("the program")
    };
    let first = fed("inch\nworn\ntelescoping\ninside\n");
    assert_eq!(code(&first), 3);
    assert!(err(&first).contains("the 4 answers so far are kept"));
    assert!(out(&first).contains("(1 inch, 2 metric)? inch\n"));
    let long = out(&first).lines().map(|line| line.chars().count()).max();
    // What was typed comes after a prompt that is wrapped.
    assert!(long <= Some(80 + "telescoping".len()), "{}", out(&first));
    // The same command goes on with them, to both files.
    let rest = "tailstock\n2 in/ft\n3\n2-1/2\n\n4140 30 HRC\nstraight 1.95\n\nquit\n";
    let then = fed(rest);
    assert!(!out(&then).contains("inch, 2 metric"), "{}", out(&then));
    assert!(out(&then).contains("Taken as 2-1/2 in."), "{}", out(&then));
    assert!(
        shop.names(".").contains(&"somewhere.answers".to_owned()),
        "{}",
        err(&then)
    );
}

#[test]
fn colour_is_for_terminals_alone() {
    let shop = Workshop::with_example();
    shop.edit("job.toml", "length = \"2-1/2 in\"", "length = \"3 inn\"");
    let said = shop.run(&["check", "job.toml"]);
    assert!(!err(&said).contains('\u{1b}'), "{}", err(&said));
}

#[test]
fn help_teaches_with_an_example() {
    let shop = Workshop::empty();
    for command in ["compare", "predict", "check", "new"] {
        let help = shop.run(&[command, "--help"]);
        assert_eq!(code(&help), 0);
        let example = format!("Example:\n  tautway {command} ");
        assert!(out(&help).contains(&example), "{}", out(&help));
    }
    let bare = shop
        .program()
        .stdin(Stdio::null())
        .output()
        .expect("the program starts");
    assert_eq!(code(&bare), 2);
}
