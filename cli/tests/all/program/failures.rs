//! What can go wrong around the program: no room, no place, no listener, killed halfway, odd names,
//! and numbers at the edge of sense.

use std::fs::{self, File, OpenOptions};
use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Command, Output, Stdio};
use std::thread;
use std::time::{Duration, Instant};

use crate::workshop::{Workshop, code, err, out};
use serde_json::Value;

/// Long enough for the slowest of these on a busy machine; beyond, it hangs.
const HANGS: Duration = Duration::from_secs(240);

/// Runs it and fails where it doesn't end.
fn run(shop: &Workshop, arguments: &[&str]) -> Output {
    let (told, said) = (shop.path(".told"), shop.path(".said"));
    let mut child = shop
        .program()
        .args(arguments)
        .stdin(Stdio::null())
        .stdout(File::create(&told).expect("a file"))
        .stderr(File::create(&said).expect("a file"))
        .spawn()
        .expect("the program starts");
    let started = Instant::now();
    let status = loop {
        if let Some(status) = child.try_wait().expect("a child") {
            break status;
        }
        if started.elapsed() > HANGS {
            child.kill().expect("it is ours");
            panic!("{arguments:?} hangs");
        }
        thread::sleep(Duration::from_millis(10));
    };
    let output = Output {
        status,
        stdout: fs::read(&told).expect("stdout"),
        stderr: fs::read(&said).expect("stderr"),
    };
    let _ = (fs::remove_file(told), fs::remove_file(said));
    output
}

#[test]
#[cfg(target_os = "linux")]
fn a_full_disk_under_the_answer_is_told() {
    let shop = Workshop::with_example();
    for arguments in [
        &["taper", "2", "in/ft"][..],
        &["schema", "job"],
        &["compare", "job.toml", "--trials", "0"],
    ] {
        let full = OpenOptions::new().write(true).open("/dev/full");
        let done = shop
            .program()
            .args(arguments)
            .stdout(full.expect("the device that is always full"))
            .output()
            .expect("the program starts");
        assert_eq!(code(&done), 3, "{arguments:?}");
        let said = err(&done);
        assert!(said.contains("error: can't write the answer: "), "{said}");
    }
}

/// Runs it where no file may grow beyond so many blocks of 512 bytes: to the program a disk that is
/// full by then, for whoever runs the tests. The signal that goes with it is turned off, as no disk
/// sends one.
#[cfg(unix)]
fn run_cramped(shop: &Workshop, blocks: u32, arguments: &[&str]) -> Output {
    // `ulimit -f` counts in 512 bytes by POSIX; a shell that takes 1024 leaves twice the room.
    let script = format!("trap '' XFSZ; ulimit -f {blocks} || exit 99; exec \"$0\" \"$@\"");
    let done = Command::new("/bin/sh")
        .args(["-c", &script])
        .arg(shop.program().get_program())
        .args(arguments)
        .current_dir(shop.path("."))
        .stdin(Stdio::null())
        .output()
        .expect("a shell");
    assert_ne!(code(&done), 99, "{}", err(&done));
    done
}

#[test]
#[cfg(unix)]
fn a_full_disk_under_a_file_or_folder_is_told_and_leaves_nothing() {
    let shop = Workshop::with_scenarios();
    let before = shop.names(".");
    const JOB: &str = "tapered-socket.toml";
    let compare = ["compare", JOB, "--trials", "0"];
    for (blocks, more) in [
        (8, &["--out", "new"][..]),
        (8, &["--report", "new.html"]),
        // Nothing at all fits.
        (0, &["--out", "new"]),
        (0, &["--report", "new.html"]),
    ] {
        refused_whole(&shop, &before, blocks, &[&compare[..], more].concat());
    }
    // The rows of the trials come first, and long before the rest.
    let trials = ["compare", JOB, "--trials", "60", "--out", "new"];
    refused_whole(&shop, &before, 8, &trials);
    for arguments in [
        &["sheet", JOB, "--out", "new.html"][..],
        &["lesson", JOB, "--out", "new.html"],
        &["lathe", "blank", "--write", "new.tests"],
        &[
            "lathe",
            "update",
            "worn-lathe.tests",
            "--from",
            "worn",
            "--write",
            "new.toml",
        ],
        &["rehearse", "reversal.moves", "--out", "new"],
        &["readings", "socket-after-setting.readings", "--out", "new"],
        &["thread", "pipe-nipple.toml", "--out", "new"],
        &["new", "new", "--example"],
    ] {
        refused_whole(&shop, &before, 1, arguments);
    }
}

/// It says what it couldn't write, and nothing but what was there before is there.
#[cfg(unix)]
fn refused_whole(shop: &Workshop, before: &[String], blocks: u32, arguments: &[&str]) {
    let done = run_cramped(shop, blocks, arguments);
    let said = err(&done);
    assert_eq!(code(&done), 3, "{arguments:?}: {said}");
    assert!(
        said.contains("error: can't write new"),
        "{arguments:?}: {said}"
    );
    assert!(!said.contains("panicked"), "{said}");
    assert_eq!(shop.names("."), before, "{arguments:?}");
}

#[test]
#[cfg(target_os = "linux")]
fn a_folder_that_nobody_may_write_into_is_told() {
    use std::os::unix::fs::PermissionsExt as _;

    let shop = Workshop::with_scenarios();
    fs::create_dir(shop.path("shut")).expect("a directory");
    let closed = fs::Permissions::from_mode(0o555);
    fs::set_permissions(shop.path("shut"), closed).expect("it is ours");
    // Root writes there all the same; into /proc nobody does.
    let is_root = File::create(shop.path("shut/probe")).is_ok();
    let place = if is_root { "/proc" } else { "shut" };
    let at = |name: &str| format!("{place}/{name}");
    const JOB: &str = "tapered-socket.toml";
    for (command, option, name) in [
        (&["compare", JOB, "--trials", "0"][..], "--out", "report"),
        (&["compare", JOB, "--trials", "60"], "--out", "report"),
        (&["compare", JOB, "--trials", "0"], "--report", "a.html"),
        (&["sheet", JOB], "--out", "a.html"),
        (&["lesson", JOB], "--out", "a.html"),
        (&["lathe", "blank"], "--write", "a.tests"),
    ] {
        let done = run(&shop, &[command, &[option, &at(name)]].concat());
        let said = err(&done);
        assert_eq!(code(&done), 3, "{command:?} {option}: {said}");
        assert!(
            said.contains(&format!("error: can't write {place}")),
            "{said}"
        );
        assert!(!shop.path(&at(name)).exists());
    }
    let done = run(&shop, &["new", &at("pair"), "--example"]);
    assert_eq!(code(&done), 3, "{}", err(&done));
    assert!(err(&done).contains("error: can't make"), "{}", err(&done));
}

#[test]
fn no_place_for_the_output_is_told_before_anything_else_and_leaves_nothing() {
    let shop = Workshop::with_example();
    shop.write("taken", "mine");
    // A file stands where a directory would have to: nobody can write there, not even root.
    for arguments in [
        &[
            "compare",
            "job.toml",
            "--trials",
            "0",
            "--out",
            "taken/report",
        ][..],
        &["compare", "job.toml", "--trials", "0", "--out", "taken"],
        &[
            "compare",
            "job.toml",
            "--trials",
            "0",
            "--report",
            "taken/report.html",
        ],
        &["sheet", "job.toml", "--out", "taken/sheet.html"],
        &["new", "taken/place", "--example"],
    ] {
        let done = run(&shop, arguments);
        let said = err(&done);
        assert!((2..=3).contains(&code(&done)), "{arguments:?}: {said}");
        assert!(said.contains("error: ") && said.contains("taken"), "{said}");
        assert!(!said.contains("panicked"), "{said}");
    }
    assert_eq!(shop.names("."), ["job.toml", "lathe.toml", "taken"]);
    assert_eq!(shop.read("taken"), "mine");
}

#[test]
#[cfg(unix)]
fn killed_halfway_nothing_stands_under_the_name_and_the_next_run_is_not_in_its_way() {
    let shop = Workshop::with_example();
    let mut child = shop
        .program()
        .args([
            "compare", "job.toml", "--trials", "1000000", "--out", "report",
        ])
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .expect("the program starts");
    let started = Instant::now();
    // The rows of the trials go into a sibling as they come.
    while !shop
        .names(".")
        .iter()
        .any(|name| name.starts_with(".tautway-"))
    {
        assert!(started.elapsed() < HANGS, "it doesn't begin to write");
        assert!(child.try_wait().expect("a child").is_none(), "it ended");
        thread::sleep(Duration::from_millis(5));
    }
    thread::sleep(Duration::from_millis(300));
    // The signal that nothing can be done against.
    child.kill().expect("it is ours");
    child.wait().expect("it ends");
    assert!(!shop.path("report").exists());
    let done = run(
        &shop,
        &["compare", "job.toml", "--trials", "0", "--out", "report"],
    );
    assert!(code(&done) < 2, "{}", err(&done));
    assert!(shop.names("report").contains(&"comparison.json".to_owned()));
}

#[test]
fn a_reader_that_has_seen_enough_is_no_fault() {
    let shop = Workshop::with_example();
    for arguments in [
        &[
            "compare", "job.toml", "--trials", "0", "--format", "json", "--detail",
        ][..],
        &["taper", "--list"],
        &["completions", "bash"],
    ] {
        let mut child = shop
            .program()
            .args(arguments)
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("the program starts");
        let mut first = String::new();
        let mut stdout = BufReader::with_capacity(64, child.stdout.take().expect("stdout"));
        stdout.read_line(&mut first).expect("a line");
        drop(stdout);
        let done = child.wait_with_output().expect("it ends");
        assert!(!first.is_empty());
        assert!(code(&done) < 2, "{arguments:?}: {}", err(&done));
        assert!(!err(&done).contains("error"), "{}", err(&done));
    }
}

#[test]
fn names_with_spaces_and_letters_of_any_alphabet_work_throughout() {
    let shop = Workshop::empty();
    let place = "Größe 3 in – конус";
    assert_eq!(code(&shop.run(&["new", place, "--example"])), 0);
    let job = format!("{place}/job.toml");
    let folder = format!("{place}/Bericht für Jörg");
    let page = format!("{place}/лист 1.html");
    let report = format!("{place}/alles.html");
    for arguments in [
        &[
            "compare", &job, "--trials", "0", "--out", &folder, "--report", &report,
        ][..],
        &["sheet", &job, "--out", &page],
        &["check", &job],
    ] {
        let done = run(&shop, arguments);
        assert!(code(&done) < 2, "{}", err(&done));
    }
    assert!(shop.names(&folder).len() > 5);
    for file in [&page, &report] {
        assert!(shop.read(file).starts_with("<!DOCTYPE html>"), "{file}");
    }
}

/// Lists of numbers in which one could not be written.
fn holes(value: &Value, path: &str, found: &mut Vec<String>) {
    match value {
        Value::Array(list) => {
            let numbers = list.iter().any(Value::is_number);
            if numbers && list.iter().any(Value::is_null) {
                found.push(path.to_owned());
            }
            for one in list {
                holes(one, path, found);
            }
        }
        Value::Object(map) => {
            for (key, one) in map {
                holes(one, &format!("{path}.{key}"), found);
            }
        }
        _ => {}
    }
}

/// A pair with these lines in place of those of the same keys.
fn extreme(lines: &[(&str, &str, &str)]) -> Workshop {
    let shop = Workshop::with_example();
    for (file, key, value) in lines {
        let text = shop.read(file);
        let old = text
            .lines()
            .find(|line| line.starts_with(&format!("{key} = ")))
            .unwrap_or_else(|| panic!("no {key} in {file}"));
        shop.write(file, text.replacen(old, &format!("{key} = {value}"), 1));
    }
    shop
}

/// A lathe without slack, friction and give.
const IDEAL: &[(&str, &str, &str)] = &[
    ("lathe.toml", "slack", "\"0 in\""),
    ("lathe.toml", "foot_slack", "\"0 in\""),
    ("lathe.toml", "drag", "\"0 lbf\""),
    ("lathe.toml", "drive_spring", "\"1000000000 lbf/thou\""),
];

/// No number in it is none, and no list lacks one.
fn all_numbers(what: &str, told: &str) {
    let inside = told.replace("information", "").replace(" infeed", "");
    // The engine's letters are no words.
    let inside = match inside.split_once("id=\"engine\">") {
        Some((before, rest)) => {
            let (_, after) = rest.split_once('<').expect("its end");
            format!("{before}{after}")
        }
        None => inside,
    };
    for word in ["NaN", "nan ", " inf", "-inf"] {
        assert!(!inside.contains(word), "{word:?} for {what} in\n{told}");
    }
    if told.starts_with('{') {
        let mut found = Vec::new();
        let value: Value = serde_json::from_str(told).expect("JSON");
        holes(&value, "", &mut found);
        assert!(found.is_empty(), "{what}: {found:?}");
    }
}

#[test]
fn every_command_answers_for_a_lathe_without_slack_friction_and_give() {
    let shop = extreme(IDEAL);
    shop.write("a.moves", MOVES);
    for arguments in [
        &["predict", "job.toml", "--trials", "50", "--inertia"][..],
        &["compare", "job.toml", "--trials", "50", "--first-order"],
        &[
            "predict",
            "job.toml",
            "--feed",
            "tailstock",
            "--trials",
            "0",
        ],
        &["sheet", "job.toml"],
        &["lesson", "job.toml"],
        &["preload", "job.toml", "--trials", "50"],
        &["lathe", "next", "job.toml"],
        &["rehearse", "a.moves"],
    ] {
        let read = if arguments[0] == "lesson" {
            "html"
        } else {
            "text"
        };
        for format in ["json", read] {
            let done = run(&shop, &[arguments, &["--format", format]].concat());
            let (said, told) = (err(&done), out(&done));
            assert!(code(&done) < 2, "{arguments:?}: {said}");
            assert!(!said.contains("panicked"), "{arguments:?}: {said}");
            assert!(told.len() > 100, "{arguments:?}: {told}");
            all_numbers(&format!("{arguments:?}"), &told);
        }
    }
}

const MOVES: &str = "\
name = \"a\"
lathe = \"lathe.toml\"
taper = \"2 in/ft\"
big_end = \"tailstock\"
moves:
carriage 2 in toward the headstock
reverse
zero readout
carriage 1 in
";

#[test]
fn numbers_at_the_edge_of_sense_give_a_result_or_a_pointed_fault() {
    const JOB: &str = "job.toml";
    const LATHE: &str = "lathe.toml";
    let cases: [&[(&str, &str, &str)]; 16] = [
        &[
            (LATHE, "slack", "\"0 in\""),
            (LATHE, "foot_slack", "\"0 in\""),
        ],
        &[(LATHE, "drag", "\"0 lbf\"")],
        &[
            (LATHE, "slack", "\"0 in\""),
            (LATHE, "foot_slack", "\"0 in\""),
            (LATHE, "drag", "\"0 lbf\""),
        ],
        &[
            (JOB, "taper", "\"0.000001 in/ft\""),
            (JOB, "tolerance", "\"+-0.0000001 in/ft\""),
        ],
        &[(LATHE, "drive_spring", "\"1000000000 lbf/thou\"")],
        &[(LATHE, "drive_spring", "\"0.000001 lbf/thou\"")],
        &[(LATHE, "drag", "\"1000000 lbf\"")],
        &[(LATHE, "slack", "\"20 in\"")],
        &[(JOB, "nose_radius", "\"0.0000001 in\"")],
        &[(JOB, "feed", "\"0.0005 in\"")],
        &[
            (JOB, "room_headstock", "\"0 in\""),
            (JOB, "room_tailstock", "\"0 in\""),
        ],
        &[(JOB, "speed", "\"0.0001 rpm\"")],
        &[(JOB, "spring", "20")],
        &[(LATHE, "steepest", "\"0.001 in/ft\"")],
        &[(JOB, "taper", "\"0 in/ft\"")],
        IDEAL,
    ];
    for lines in cases {
        let shop = extreme(lines);
        for form in ["json", "text"] {
            let done = run(&shop, &["compare", JOB, "--trials", "0", "--format", form]);
            let (said, told) = (err(&done), out(&done));
            assert!(code(&done) <= 2, "{lines:?}: {said}");
            assert!(!said.contains("panicked"), "{lines:?}: {said}");
            if code(&done) == 2 {
                assert!(
                    said.contains(".toml:") && said.contains("= help: "),
                    "{said}"
                );
                break;
            }
            all_numbers(&format!("{lines:?}"), &told);
        }
    }
}

#[test]
fn billions_of_turns_are_refused_with_their_number_at_the_key_that_makes_them() {
    for (key, value, words) in [
        ("feed", "\"0.000000001 in\"", "5.0 billion turns"),
        ("rough", "\"0.0000001 in\"", "roughing passes"),
        ("feed", "\"1e-30 in\"", "turns of the work"),
    ] {
        let shop = extreme(&[("job.toml", key, value)]);
        for command in ["check", "compare"] {
            let done = run(&shop, &[command, "job.toml"]);
            let said = err(&done);
            assert_eq!(code(&done), 2, "{said}");
            assert!(said.contains(words), "{words}: {said}");
            let line = shop
                .read("job.toml")
                .lines()
                .position(|line| line.starts_with(&format!("{key} = ")))
                .expect("the key");
            assert!(said.contains(&format!("job.toml:{}:", line + 1)), "{said}");
        }
    }
}

#[test]
fn a_folder_in_place_of_a_file_and_a_device_in_place_of_text_are_told() {
    let shop = Workshop::with_example();
    fs::create_dir(shop.path("folder.toml")).expect("a directory");
    shop.edit("job.toml", "\"lathe.toml\"", "\"folder.toml\"");
    let done = run(&shop, &["compare", "job.toml"]);
    assert!((2..=3).contains(&code(&done)));
    assert!(
        err(&done).contains("folder.toml is a directory"),
        "{}",
        err(&done)
    );
    if Path::new("/dev/null").exists() {
        let done = run(&shop, &["check", "/dev/null"]);
        assert_eq!(code(&done), 2, "{}", err(&done));
    }
}
