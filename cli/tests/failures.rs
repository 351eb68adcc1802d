//! What can go wrong around the program: no room, no place, no listener, killed halfway, odd names,
//! and numbers at the edge of sense.

mod workshop;

use std::fs::{self, File, OpenOptions};
use std::io::{BufRead, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use std::thread;
use std::time::{Duration, Instant};

use serde_json::Value;
use workshop::{Workshop, code, err, out};

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

/// A file system of its own, taken away again.
struct Small(PathBuf);

impl Small {
    fn mount(at: PathBuf) -> Option<Self> {
        fs::create_dir(&at).expect("a directory");
        let done = Command::new("mount")
            .args(["-t", "tmpfs", "-o", "size=64k", "tmpfs"])
            .arg(&at)
            .output();
        done.is_ok_and(|done| done.status.success())
            .then_some(Self(at))
    }
}

impl Drop for Small {
    fn drop(&mut self) {
        let _ = Command::new("umount").arg(&self.0).status();
    }
}

#[test]
#[cfg(target_os = "linux")]
fn a_full_disk_under_out_leaves_nothing() {
    let shop = Workshop::with_example();
    let Some(small) = Small::mount(shop.path("small")) else {
        println!("left out: only root may mount a small file system here");
        return;
    };
    for arguments in [
        &[
            "compare",
            "job.toml",
            "--trials",
            "0",
            "--out",
            "small/report",
        ][..],
        &[
            "compare",
            "job.toml",
            "--trials",
            "0",
            "--report",
            "small/report.html",
        ],
    ] {
        let done = run(&shop, arguments);
        let said = err(&done);
        assert_eq!(code(&done), 3, "{said}");
        assert!(said.contains("can't write small/report"), "{said}");
        assert_eq!(shop.names("small"), [""; 0], "nothing is left");
    }
    drop(small);
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

#[test]
fn numbers_at_the_edge_of_sense_give_a_result_or_a_pointed_fault() {
    const JOB: &str = "job.toml";
    const LATHE: &str = "lathe.toml";
    let cases: [&[(&str, &str, &str)]; 14] = [
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
            for word in ["NaN", "nan ", " inf", "-inf"] {
                let inside = told.replace("information", "").replace(" infeed", "");
                assert!(!inside.contains(word), "{word:?} for {lines:?} in\n{told}");
            }
            if form == "json" {
                let mut found = Vec::new();
                let value: Value = serde_json::from_str(&told).expect("JSON");
                holes(&value, "", &mut found);
                assert!(found.is_empty(), "{lines:?}: {found:?}");
            }
        }
    }
}

#[test]
fn billions_of_turns_are_refused_with_their_number_at_the_key_that_makes_them() {
    for (key, value, words) in [
        ("feed", "\"0.000000001 in\"", "6.0 billion turns"),
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
