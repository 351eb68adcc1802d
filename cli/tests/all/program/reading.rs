//! What the one reader takes and refuses: plain files of our kinds, of a size one writes by hand.

use std::io::Write as _;
use std::process::{Command, Stdio};

use crate::workshop::{Workshop, code, err, out};

#[test]
fn pipes_and_devices_are_no_files_and_standard_input_is_a_dash() {
    let shop = Workshop::with_example();
    let pipe = shop.path("pipe.toml");
    let made = Command::new("mkfifo").arg(&pipe).status();
    assert!(made.is_ok_and(|status| status.success()), "a pipe");
    for name in ["pipe.toml", "/dev/zero", "/dev/null"] {
        for command in ["check", "compare", "guide", "piece"] {
            let done = shop.run(&[command, name]);
            assert_eq!(code(&done), 2, "{command} {name}: {}", err(&done));
            assert!(err(&done).contains("is no plain file"), "{}", err(&done));
        }
    }
    let piped = |text: &str| {
        let mut run = Command::new(env!("CARGO_BIN_EXE_tautway"))
            .args(["check", "-"])
            .current_dir(shop.path("."))
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("the program");
        let mut into = run.stdin.take().expect("its input");
        into.write_all(text.as_bytes()).expect("it reads");
        drop(into);
        run.wait_with_output().expect("it ends")
    };
    for file in ["lathe.toml", "job.toml"] {
        let done = piped(&shop.read(file));
        assert_eq!(code(&done), 0, "{}", err(&done));
        assert!(out(&done).contains("standard input"), "{}", out(&done));
    }
    let done = piped("nonsense\n");
    assert_eq!(code(&done), 2);
    assert!(
        err(&done).contains("standard input is no file of"),
        "{}",
        err(&done)
    );
}

#[test]
fn what_is_plainly_another_file_is_told_in_one_line_and_not_shown() {
    let shop = Workshop::empty();
    shop.write("users", "root:x:0:0:root:/root:/bin/bash\nsecret:y:1000\n");
    shop.write("keys.env", "PASSWORD=hunter2\nTOKEN=\"abc\"\n");
    shop.write(
        "letter.txt",
        "Dear Sir,\n\nthe hunter2 you ordered is ready.\n",
    );
    for name in ["users", "keys.env", "letter.txt"] {
        for command in ["check", "compare", "guide", "piece"] {
            let done = shop.run(&[command, name]);
            let said = err(&done);
            assert_eq!(code(&done), 2, "{command} {name}: {said}");
            assert_eq!(said.lines().count(), 1, "{said}");
            assert!(said.contains("is no file of a lathe, a job"), "{said}");
            assert!(
                !said.contains("hunter2") && !said.contains("secret"),
                "{said}"
            );
        }
    }
}

#[test]
fn a_file_too_large_is_refused_and_readings_may_be_larger() {
    let shop = Workshop::with_scenarios();
    let more = |name: &str, bytes: usize| {
        let padded = format!("{}\n{}", shop.read(name), "# more\n".repeat(bytes / 7 + 1));
        shop.write("large.toml", padded);
        shop.run(&["check", "large.toml"])
    };
    let job = "tapered-socket.toml";
    assert_eq!(code(&more(job, 900_000)), 0);
    let done = more(job, 1 << 20);
    assert_eq!(code(&done), 2);
    assert!(err(&done).contains("larger than 1 MiB"), "{}", err(&done));
    assert_eq!(code(&more("socket-after-setting.readings", 3 << 20)), 0);
    let done = more("socket-after-setting.readings", 17 << 20);
    assert!(err(&done).contains("larger than 16 MiB"), "{}", err(&done));
}

#[test]
fn of_many_faults_fifty_are_told_and_the_rest_counted() {
    let shop = Workshop::with_example();
    let lathe = shop.read("lathe.toml");
    let faults: String = (0..70).map(|n| format!("wrong{n} = 3\n")).collect();
    shop.write("lathe.toml", format!("{faults}{lathe}"));
    let done = shop.run(&["check", "lathe.toml"]);
    let said = err(&done);
    assert_eq!(code(&done), 2);
    assert_eq!(said.matches("error: ").count(), 50, "{said}");
    assert!(said.contains("and 20 more of 70 errors"), "{said}");
}

#[test]
fn before_an_answer_a_few_warnings_are_told_and_check_tells_all() {
    let shop = Workshop::with_example();
    for (from, to) in [
        ("nose_radius = \"1/32 in\"", "nose_radius = \"0.3 in\""),
        ("rough = \"0.040 in\"", "rough = \"1.2 mm\""),
        ("from_jaws = \"1 in\"", "from_jaws = \"26 mm\""),
        (
            "room_headstock = \"1-1/4 in\"",
            "room_headstock = \"32 mm\"",
        ),
        ("room_tailstock = \"4 in\"", "room_tailstock = \"101 mm\""),
    ] {
        shop.edit("job.toml", from, to);
    }
    let done = shop.run(&["compare", "job.toml", "--trials", "0"]);
    let said = err(&done);
    assert!(code(&done) < 2, "{said}");
    assert_eq!(said.matches("warning: ").count(), 3, "{said}");
    assert!(
        said.contains("and 2 more warnings: `tautway check` tells all 5"),
        "{said}"
    );
    let done = shop.run(&["check", "job.toml"]);
    assert_eq!(err(&done).matches("warning: ").count(), 5, "{}", err(&done));
    assert!(
        out(&done).contains("with the 5 warnings above"),
        "{}",
        out(&done)
    );
    let done = shop.run(&["check", "job.toml", "--format", "json"]);
    let value: serde_json::Value = serde_json::from_str(&out(&done)).expect("JSON");
    assert_eq!(value["diagnostics"].as_array().map(Vec::len), Some(5));
}

#[test]
fn what_a_terminal_would_act_on_is_escaped() {
    let shop = Workshop::with_example();
    let name = "a\u{1b}[31m\u{202e}b.toml";
    let missing = shop.run(&["check", name]);
    shop.write(name, "name = \"x\"\nwrong = \"\u{1b}[2J\u{202e}\"\n");
    let wrong = shop.run(&["check", name]);
    for done in [missing, wrong] {
        assert!(code(&done) >= 2);
        let said = err(&done);
        assert!(!said.contains(['\u{1b}', '\u{202e}']), "{said:?}");
    }
}

#[test]
fn lathes_beyond_what_can_be_tried_are_refused_with_the_figure() {
    let shop = Workshop::with_example();
    let done = shop.run(&["compare", "job.toml", "--trials", "1000000000000"]);
    assert_eq!(code(&done), 2, "{}", err(&done));
    assert!(err(&done).contains("steps of the tool"), "{}", err(&done));
    assert!(
        err(&done).contains("are the most for this job"),
        "{}",
        err(&done)
    );
}
