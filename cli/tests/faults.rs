//! One fault of each class with its exit code and first words, and the table of them in
//! DEVELOPERS.md.
//!
//! `TAUTWAY_WRITE=1 cargo test -p tautway --test faults` writes the table anew.

mod workshop;

use std::fmt::Write as _;
use std::fs;
use std::path::Path;

use workshop::{Workshop, code, err, out};

const BEGIN: &str = "<!-- written by cli/tests/faults.rs -->\n";
const END: &str = "<!-- ends here -->\n";

struct Fault {
    class: &'static str,
    code: i32,
    /// File, line as it is, line as it is made.
    edit: Option<(&'static str, &'static str, &'static str)>,
    command: &'static str,
}

const fn of(
    class: &'static str,
    code: i32,
    edit: Option<(&'static str, &'static str, &'static str)>,
    command: &'static str,
) -> Fault {
    Fault {
        class,
        code,
        edit,
        command,
    }
}

const JOB: &str = "job.toml";
const COMPARE: &str = "compare job.toml --trials 0";
const CHECK: &str = "check job.toml";
const LENGTH: &str = "length = \"3 in\"";

const FAULTS: &[Fault] = &[
    of("all in order", 0, None, COMPARE),
    of(
        "the drawing is not expected to be met",
        1,
        Some((
            JOB,
            "tolerance = \"+0.000 -0.030 in/ft\"",
            "tolerance = \"+-0.0000001 in/ft\"",
        )),
        COMPARE,
    ),
    of("a command that is none", 2, None, "compere job.toml"),
    of(
        "an option that is none",
        2,
        None,
        "compare job.toml --trails 0",
    ),
    of(
        "a value that an option can't have",
        2,
        None,
        "predict job.toml --feed up",
    ),
    of("not TOML", 2, Some((JOB, LENGTH, "length = 3 in")), CHECK),
    of("no unit", 2, Some((JOB, LENGTH, "length = \"3\"")), CHECK),
    of(
        "a unit of another kind",
        2,
        Some((JOB, LENGTH, "length = \"3 lbf\"")),
        CHECK,
    ),
    of(
        "a unit that is none",
        2,
        Some((JOB, LENGTH, "length = \"3 inchs\"")),
        CHECK,
    ),
    of(
        "out of range",
        2,
        Some((JOB, LENGTH, "length = \"-3 in\"")),
        CHECK,
    ),
    of(
        "the wrong kind of value",
        2,
        Some((JOB, LENGTH, "length = [\"3 in\"]")),
        CHECK,
    ),
    of("missing", 2, Some((JOB, LENGTH, "")), CHECK),
    of(
        "has to be known",
        2,
        Some((JOB, LENGTH, "length = \"don't know\"")),
        CHECK,
    ),
    of(
        "a key that is none",
        2,
        Some((JOB, LENGTH, "lenght = \"3 in\"")),
        CHECK,
    ),
    of(
        "a word that is none of the choices",
        2,
        Some((JOB, "kind = \"inside\"", "kind = \"insyde\"")),
        CHECK,
    ),
    of(
        "doesn't fit the rest",
        2,
        Some((JOB, LENGTH, "length = \"30 in\"")),
        CHECK,
    ),
    of(
        "too long a run",
        2,
        Some((JOB, "feed = \"0.005 in\"", "feed = \"0.000005 in\"")),
        CHECK,
    ),
    of(
        "looks like a slip: a warning alone",
        0,
        Some((JOB, "nose_radius = \"1/32 in\"", "nose_radius = \"1 in\"")),
        CHECK,
    ),
    of(
        "the lathe file is not there",
        2,
        Some((JOB, "lathe = \"lathe.toml\"", "lathe = \"lath.toml\"")),
        CHECK,
    ),
    of("the file is not there", 3, None, "compare jobb.toml"),
    of(
        "no place for the output",
        2,
        None,
        "sheet job.toml --out no/place/sheet.html",
    ),
    of("the output is there already", 2, None, "new --example"),
];

/// Exit code and the line that says it.
fn provoked(fault: &Fault) -> (i32, String) {
    let shop = Workshop::with_example();
    if let Some((file, from, to)) = fault.edit {
        let text = shop.read(file);
        // At the beginning of a line: `feed` is also the end of `rough_feed`.
        let (from, to) = (format!("\n{from}"), format!("\n{to}"));
        assert_eq!(text.matches(&from).count(), 1, "{from:?}");
        shop.write(file, text.replace(&from, &to));
    }
    let words: Vec<&str> = fault.command.split_whitespace().collect();
    let done = shop.run(&words);
    let said = err(&done);
    let line = |begin: &str| said.lines().find(|line| line.starts_with(begin));
    let first = line("error: ").or_else(|| line("warning: "));
    let first = first.unwrap_or_default().to_owned();
    if code(&done) > 1 {
        assert_eq!(out(&done), "", "{}", fault.class);
        assert!(!first.is_empty(), "{}: {said}", fault.class);
        let helps = ["help: ", "tip: ", "possible values"];
        assert!(helps.iter().any(|help| said.contains(help)), "{said}");
    }
    (code(&done), first)
}

#[test]
fn each_class_has_its_code_and_the_table_in_developers_md_is_current() {
    let mut now = "| code | class | for example | it says |\n|---|---|---|---|\n".to_owned();
    for fault in FAULTS {
        let (code, first) = provoked(fault);
        assert_eq!(code, fault.code, "{}: {first}", fault.class);
        let (_, _, example) = fault.edit.unwrap_or(("", "", fault.command));
        let example = if example.is_empty() {
            "the line left out"
        } else {
            example
        };
        let cell = |text: &str| text.replace('|', "\\|").replace("``", "");
        let _ = writeln!(
            now,
            "| {code} | {} | `{}` | {} |",
            fault.class,
            cell(example),
            cell(&first)
        );
    }
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../DEVELOPERS.md");
    let page = fs::read_to_string(&path).expect("DEVELOPERS.md");
    let (before, rest) = page.split_once(BEGIN).expect("the table begins");
    let (there, after) = rest.split_once(END).expect("the table ends");
    if std::env::var_os("TAUTWAY_WRITE").is_some() {
        fs::write(&path, format!("{before}{BEGIN}{now}{END}{after}")).expect("it is written");
        return;
    }
    assert!(
        there == now,
        "not current: run this test with TAUTWAY_WRITE=1\n{now}"
    );
}
