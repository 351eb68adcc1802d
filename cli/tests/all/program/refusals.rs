//! What a script reads: exit codes alike in every command, refusals as JSON where JSON was asked for,
//! many files checked at once.

use std::collections::BTreeSet;

use crate::workshop::{Workshop, code, err, out};
use serde_json::Value;

use super::help::every;

/// Every command that reads a file, with words that go with it; FILE is the file.
const READS: &[(&str, &str)] = &[
    ("compare FILE --trials 0", "job"),
    ("predict FILE --trials 0", "job"),
    ("preload FILE --trials 50", "job"),
    ("modify FILE --trials 50", "job"),
    ("sheet FILE", "job"),
    ("lesson FILE", "job"),
    ("check FILE", "job"),
    ("thread FILE", "job"),
    ("lathe next FILE", "job"),
    ("page FILE", "job"),
    ("guide FILE", "readings"),
    ("rehearse FILE", "moves"),
    ("piece FILE", "gauged"),
    ("lathe learn FILE", "gauged"),
    ("lathe update FILE --from worn", "tests"),
];

/// Commands that read no file of a person's.
const READS_NONE: [&str; 15] = [
    "new",
    "blank",
    "lathe form",
    "lathe ask",
    "taper",
    "gauging standoff",
    "gauging blue",
    "gauging rolls",
    "gauging balls",
    "gauging diameters",
    "tools join",
    "tools schema",
    "tools manual",
    "tools completions",
    "thread",
];

fn run(shop: &Workshop, line: &str, more: &[&str]) -> std::process::Output {
    let words: Vec<&str> = line.split(' ').chain(more.iter().copied()).collect();
    shop.run(&words)
}

/// A shop with a file of each kind in which a line is wrong.
fn shop() -> Workshop {
    let shop = Workshop::with_scenarios();
    for (kind, from, line) in [
        ("job", "tapered-socket.toml", "lenght = \"3 in\"\n"),
        (
            "readings",
            "socket-after-setting.readings",
            "lenght = \"3 in\"\n",
        ),
        ("moves", "reversal.moves", "lenght = \"3 in\"\n"),
        ("gauged", "short-start.gauged", "lenght = \"3 in\"\n"),
        ("tests", "worn-lathe.tests", "lenght = \"3 in\"\n"),
    ] {
        shop.write(
            &format!("wrong.{kind}"),
            format!("{line}{}", shop.read(from)),
        );
    }
    shop
}

/// One JSON value on standard output, that of a refusal.
fn refusal(done: &std::process::Output, line: &str) -> Value {
    let text = out(done);
    let value: Value = serde_json::from_str(&text)
        .unwrap_or_else(|why| panic!("{line}: {why} in {text:?}, {}", err(done)));
    assert!(value["error"]["message"].is_string(), "{line}: {text}");
    assert!(value["error"]["places"].is_array(), "{line}: {text}");
    value["error"].clone()
}

#[test]
fn every_command_gives_the_same_codes_and_its_refusals_as_json() {
    let shop = shop();
    let mut tried = BTreeSet::new();
    for (line, kind) in READS {
        let (command, _) = line.split_once(" FILE").expect("a file");
        tried.insert(command.to_owned());
        let takes_format = out(&run(&shop, command, &["-h"])).contains("--format");
        for (file, wanted) in [(format!("wrong.{kind}"), 2), ("no-such-file".to_owned(), 3)] {
            let typed = line.replace("FILE", &file);
            let plain = run(&shop, &typed, &[]);
            assert_eq!(code(&plain), wanted, "{typed}: {}", err(&plain));
            // A page is made of a faulty job all the same: it can be mended there.
            let is_page = command == "page" && wanted == 2;
            assert_eq!(out(&plain).is_empty(), !is_page, "{typed}: {}", out(&plain));
            assert!(err(&plain).contains("help: "), "{typed}: {}", err(&plain));
            if !takes_format {
                continue;
            }
            let json = run(&shop, &typed, &["--format", "json"]);
            assert_eq!(code(&json), wanted, "{typed}");
            assert_eq!(
                err(&json),
                if command == "check" && wanted == 2 {
                    String::new()
                } else {
                    err(&plain)
                }
            );
            if command == "check" && wanted == 2 {
                continue;
            }
            let error = refusal(&json, &typed);
            assert_eq!(
                error["kind"],
                if wanted == 2 { "files" } else { "stopped" },
                "{typed}"
            );
            let places = error["places"].as_array().expect("places");
            assert_eq!(places.len(), wanted as usize % 3 / 2, "{error:#}");
            for place in places {
                assert_eq!(place["file"], file.as_str(), "{place}");
                assert_eq!(
                    (&place["line"], &place["column"]),
                    (&1.into(), &1.into()),
                    "{place}"
                );
                assert_eq!(place["key"], "lenght", "{place}");
                assert!(
                    place["message"].as_str().is_some_and(|m| !m.is_empty()),
                    "{place}"
                );
                assert!(
                    place["hint"].as_str().is_some_and(|m| !m.is_empty()),
                    "{place}"
                );
            }
        }
    }
    tried.extend(READS_NONE.map(str::to_owned));
    for command in every(&shop) {
        let name = command.join(" ");
        assert!(tried.contains(&name), "{name} was not tried");
        let help = run(&shop, &name, &["--help"]);
        assert_eq!(code(&help), 0, "{name}");
        let unknown = run(&shop, &name, &["--zqxjk", "--format=json"]);
        assert_eq!(code(&unknown), 2, "{name}");
        let error = refusal(&unknown, &name);
        assert_eq!(error["kind"], "command", "{name}");
        assert!(
            error["message"]
                .as_str()
                .is_some_and(|m| m.contains("--zqxjk")),
            "{error}"
        );
    }
    // What can't be written is what could not be run, whoever writes.
    for line in ["sheet plug-cock.toml --feed headstock", "blank piece"] {
        let done = run(&shop, line, &["--out", "no/place/file"]);
        assert_eq!(code(&done), 2, "{line}: {}", err(&done));
    }
}

#[test]
fn a_place_in_a_table_is_told_by_its_key() {
    let shop = Workshop::with_scenarios();
    shop.edit(
        "tapered-socket.toml",
        "length = \"2-3/4 in\"",
        "length = \"3 inchs\"",
    );
    let done = run(&shop, "compare tapered-socket.toml --format json", &[]);
    let error = refusal(&done, "compare");
    let text = shop.read("tapered-socket.toml");
    let line = 1 + text
        .lines()
        .position(|line| line.contains("inchs"))
        .expect("a line");
    let place = &error["places"][0];
    assert_eq!(place["key"], "work.length", "{error:#}");
    assert_eq!(place["line"], line);
    assert!(
        place["column"].as_u64().is_some_and(|column| column > 9),
        "{place}"
    );
}

#[test]
fn many_files_are_checked_each_by_its_name_and_the_worst_is_returned() {
    let shop = shop();
    let done = run(
        &shop,
        "check worn-lathe.toml plug-cock.toml reversal.moves",
        &[],
    );
    assert_eq!(code(&done), 0, "{}", err(&done));
    for name in ["worn-lathe.toml", "plug-cock.toml", "reversal.moves"] {
        assert!(out(&done).contains(name), "{}", out(&done));
    }
    let wrong = run(&shop, "check worn-lathe.toml wrong.job wrong.tests", &[]);
    assert_eq!(code(&wrong), 2);
    for name in ["wrong.job:1:1", "wrong.tests:1:1"] {
        assert!(err(&wrong).contains(name), "{}", err(&wrong));
    }
    assert!(out(&wrong).contains("worn-lathe.toml"), "{}", out(&wrong));
    for line in [
        "check none wrong.job",
        "check wrong.job none",
        "check none worn-lathe.toml",
    ] {
        let worst = run(&shop, line, &[]);
        assert_eq!(code(&worst), 3, "{line}");
        assert!(
            err(&worst).contains("there is no file none"),
            "{}",
            err(&worst)
        );
        let json = run(&shop, line, &["--format", "json"]);
        assert_eq!(code(&json), 3, "{line}");
        let value: Value = serde_json::from_str(&out(&json)).expect("one JSON value");
        assert_eq!(value["in_order"], false);
        let told = value["diagnostics"].as_array().expect("a list");
        assert!(told.iter().any(|one| one["file"] == "none"), "{value:#}");
        assert!(
            value["files"].as_array().map_or(0, Vec::len) > 1,
            "{value:#}"
        );
    }
}

#[test]
#[cfg(target_os = "linux")]
fn a_click_on_a_desktop_opens_the_page_and_nothing_else_does() {
    use std::os::unix::fs::PermissionsExt;
    use std::process::Stdio;
    let started = |screen: bool, words: &[&str], input: Stdio| {
        let shop = Workshop::empty();
        let opened = shop.path("opened");
        let script = format!("#!/bin/sh\nprintf %s \"$1\" > '{}'\n", opened.display());
        std::fs::create_dir(shop.path("bin")).expect("a directory");
        shop.write("bin/xdg-open", script);
        let xdg = shop.path("bin/xdg-open");
        std::fs::set_permissions(xdg, std::fs::Permissions::from_mode(0o755)).expect("a script");
        let path = format!("{}:/usr/bin:/bin", shop.path("bin").display());
        let mut program = shop.program();
        program.args(words).stdin(input).env("PATH", path);
        program.env_remove("WAYLAND_DISPLAY").env_remove("DISPLAY");
        if screen {
            program.env("DISPLAY", ":9");
        }
        let done = program.output().expect("the program starts");
        // The browser's starter runs beside the program.
        for _ in 0..100 {
            if !shop.path("tautway.page.html").exists() || opened.exists() {
                break;
            }
            std::thread::sleep(std::time::Duration::from_millis(50));
        }
        (
            code(&done),
            shop.path("tautway.page.html").exists(),
            opened.exists(),
        )
    };
    assert_eq!(started(true, &[], Stdio::null()), (0, true, true));
    assert_eq!(started(false, &[], Stdio::null()), (2, false, false));
    assert_eq!(started(true, &[], Stdio::piped()), (2, false, false));
    assert_eq!(
        started(true, &["compere"], Stdio::null()),
        (2, false, false)
    );
}

#[test]
fn where_there_is_nothing_to_answer_json_says_so_too() {
    let shop = Workshop::with_scenarios();
    for line in [
        "modify valve-seat.toml --trials 50",
        "preload valve-seat.toml --trials 50",
        "sheet valve-seat.toml --feed headstock",
        "lesson valve-seat.toml",
    ] {
        let done = run(&shop, line, &["--format", "json"]);
        assert_eq!(code(&done), 1, "{line}: {}", err(&done));
        let error = refusal(&done, line);
        assert_eq!(error["kind"], "nothing", "{line}");
        let message = error["message"].as_str().unwrap_or_default();
        assert!(message.len() > 20, "{line}");
        assert!(error["hint"].is_string(), "{line}: {message}");
    }
}
