//! What is written: whole or not at all, by one run of several, and over nothing but what the
//! program wrote.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Child, Output, Stdio};
use std::thread;
use std::time::{Duration, Instant};

use crate::workshop::{Workshop, code, err, out};

/// Long enough for the slowest of these on a busy machine; beyond, it hangs.
const HANGS: Duration = Duration::from_secs(240);
const MARKER: &str = "tautway-output.txt";

fn started(shop: &Workshop, arguments: &[&str]) -> Child {
    shop.program()
        .args(arguments)
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts")
}

/// The rooms in which something is being written, or was left.
fn rooms(shop: &Workshop) -> Vec<String> {
    let mut names = shop.names(".");
    names.retain(|name| name.starts_with(".tautway-"));
    names
}

/// Waits until a run writes in a room other than `but` and has begun with the trials.
fn until_it_writes(shop: &Workshop, child: &mut Child, but: &str) -> String {
    let begun = Instant::now();
    loop {
        let filled = rooms(shop).into_iter().find(|room| {
            if room == but {
                return false;
            }
            let rows = shop.path(room).join("new/trials.jsonl");
            fs::metadata(rows).is_ok_and(|about| about.len() > 0)
        });
        if let Some(room) = filled {
            return room;
        }
        assert!(begun.elapsed() < HANGS, "it doesn't begin to write");
        assert!(child.try_wait().expect("a child").is_none(), "it ended");
        thread::sleep(Duration::from_millis(5));
    }
}

fn killed(mut child: Child) {
    child.kill().expect("it is ours");
    child.wait().expect("it ends");
}

const LONG: [&str; 6] = [
    "compare", "job.toml", "--trials", "1000000", "--out", "report",
];
const SHORT: [&str; 6] = ["compare", "job.toml", "--trials", "0", "--out", "report"];

#[test]
#[cfg(unix)]
fn what_a_killed_run_left_is_named_and_cleared_away_by_the_next_and_a_living_ones_is_not() {
    let shop = Workshop::with_example();
    let mut dead = started(&shop, &LONG);
    let left = until_it_writes(&shop, &mut dead, "");
    killed(dead);
    assert!(!shop.path("report").exists());
    assert_eq!(rooms(&shop).as_slice(), std::slice::from_ref(&left));

    let mut living = started(&shop, &LONG);
    let room = until_it_writes(&shop, &mut living, &left);
    // The second run has cleared away what the first one left; a third leaves the second alone.
    assert_eq!(rooms(&shop).as_slice(), std::slice::from_ref(&room));
    let done = shop.run(&SHORT);
    assert!(code(&done) < 2, "{}", err(&done));
    assert!(!err(&done).contains("killed"), "{}", err(&done));
    assert!(shop.names("report").contains(&"comparison.json".to_owned()));
    assert_eq!(rooms(&shop).as_slice(), std::slice::from_ref(&room));
    living.kill().expect("it is ours");
    let said = err(&living.wait_with_output().expect("it ends"));
    assert!(said.contains(&left) && said.contains("killed"), "{said}");

    // Any command that writes there clears it away and says so.
    let done = shop.run(&["lathe", "blank", "--write", "a.tests"]);
    assert_eq!(code(&done), 0, "{}", err(&done));
    assert!(err(&done).contains(&room), "{}", err(&done));
    assert!(
        err(&done).contains("begun to write report"),
        "{}",
        err(&done)
    );
    assert_eq!(
        shop.names("."),
        ["a.tests", "job.toml", "lathe.toml", "report"]
    );
}

/// What a run leaves that is killed between putting the old folder aside and giving the new one
/// its name: a moment too short to be hit from outside, so its traces are laid here.
#[test]
fn what_a_killed_run_had_put_aside_comes_back() {
    let shop = Workshop::with_example();
    assert!(code(&shop.run(&SHORT)) < 2);
    let before = shop.read("report/report.txt");
    let room = shop.path(".tautway-abc");
    fs::create_dir_all(room.join("new")).expect("a directory");
    fs::write(room.join("held"), "held by a run of tautway, for report\n").expect("a file");
    fs::write(room.join("new/report.txt"), "half").expect("a file");
    fs::rename(shop.path("report"), room.join("old")).expect("it moves");
    let again = shop.run(&SHORT);
    assert_eq!(code(&again), 2, "{}", err(&again));
    assert!(err(&again).contains("note: put "), "{}", err(&again));
    assert!(
        err(&again).contains("report is there already"),
        "{}",
        err(&again)
    );
    assert_eq!(shop.read("report/report.txt"), before);
    assert!(rooms(&shop).is_empty());
    // What only looks like ours stays.
    fs::create_dir(shop.path(".tautway-mine")).expect("a directory");
    shop.write(".tautway-mine/held", "by me");
    assert_eq!(code(&shop.run(&SHORT)), 2);
    assert_eq!(rooms(&shop), [".tautway-mine"]);
}

/// Every file of a folder with its bytes.
fn files(folder: &Path) -> Vec<(String, Vec<u8>)> {
    let mut files: Vec<_> = fs::read_dir(folder)
        .expect("a folder")
        .map(|entry| {
            let path = entry.expect("an entry").path();
            let name = path.file_name().expect("a name").display().to_string();
            (name, fs::read(&path).expect("a file"))
        })
        .collect();
    files.sort();
    files
}

/// Runs several at once; how each ended.
fn race(shop: &Workshop, runs: &[Vec<&str>]) -> Vec<Output> {
    let children: Vec<Child> = runs.iter().map(|run| started(shop, run)).collect();
    let wait = |child: Child| child.wait_with_output().expect("it ends");
    children.into_iter().map(wait).collect()
}

/// Rehearsals in inches and millimetres by turns: different bytes under the same names.
fn rehearsals<'a>(out: &'a str, more: &[&'a str]) -> Vec<Vec<&'a str>> {
    let run = |at: usize| {
        let units = ["inch", "metric"][at % 2];
        let run = ["rehearse", "reversal.moves", "--units", units, "--out", out];
        [&run[..], more].concat()
    };
    (0..6).map(run).collect()
}

#[test]
fn of_runs_that_write_to_one_folder_at_once_one_stands_whole() {
    let shop = Workshop::with_scenarios();
    let alone = |units: &'static str| {
        let run = [
            "rehearse",
            "reversal.moves",
            "--units",
            units,
            "--out",
            units,
        ];
        assert_eq!(code(&shop.run(&run)), 0);
        files(&shop.path(units))
    };
    let (inch, metric) = (alone("inch"), alone("metric"));
    assert_ne!(inch, metric);
    for round in 0..5 {
        let to = format!("to-{round}");
        // None may replace: exactly one wins.
        let done = race(&shop, &rehearsals(&to, &[]));
        let won = done.iter().filter(|one| code(one) == 0).count();
        assert_eq!(won, 1, "{:?}", done.iter().map(err).collect::<Vec<_>>());
        for one in done.iter().filter(|one| code(one) != 0) {
            assert_eq!(code(one), 2, "{}", err(one));
            assert!(err(one).contains("is there already"), "{}", err(one));
        }
        let stands = files(&shop.path(&to));
        assert!(stands == inch || stands == metric);
        // Each may replace: all are done, and one stands.
        for one in race(&shop, &rehearsals(&to, &["--overwrite"])) {
            assert_eq!(code(&one), 0, "{}", err(&one));
        }
        let stands = files(&shop.path(&to));
        assert!(stands == inch || stands == metric);
        assert!(rooms(&shop).is_empty(), "{:?}", rooms(&shop));
    }
}

#[test]
fn of_runs_that_write_to_one_file_at_once_one_stands_whole() {
    let shop = Workshop::empty();
    let alone = |units: &'static str| out(&shop.run(&["lathe", "blank", "--units", units]));
    let both = [alone("inch"), alone("metric")];
    for round in 0..5 {
        let to = format!("{round}.tests");
        let runs = |more: &[&'static str]| -> Vec<Vec<String>> {
            let run = |at: usize| {
                let units = ["inch", "metric"][at % 2];
                let run = ["lathe", "blank", "--units", units, "--write", &to];
                let all = run.iter().chain(more);
                all.map(|word| (*word).to_owned()).collect()
            };
            (0..8).map(run).collect()
        };
        let raced = |more: &[&'static str]| {
            let runs = runs(more);
            let runs: Vec<Vec<&str>> = runs
                .iter()
                .map(|run| run.iter().map(String::as_str).collect())
                .collect();
            race(&shop, &runs)
        };
        let done = raced(&[]);
        let won = done.iter().filter(|one| code(one) == 0).count();
        assert_eq!(won, 1, "{:?}", done.iter().map(err).collect::<Vec<_>>());
        for one in done.iter().filter(|one| code(one) != 0) {
            assert_eq!(code(one), 2, "{}", err(one));
        }
        assert!(both.contains(&shop.read(&to)));
        for one in raced(&["--overwrite"]) {
            assert_eq!(code(&one), 0, "{}", err(&one));
        }
        assert!(both.contains(&shop.read(&to)));
        assert!(rooms(&shop).is_empty());
    }
}

#[test]
fn a_folder_is_known_by_its_marker_and_only_the_files_named_there_are_replaced() {
    let shop = Workshop::with_scenarios();
    let run = |more: &[&str]| {
        let run = ["rehearse", "reversal.moves", "--out", "a"];
        shop.run(&[&run[..], more].concat())
    };
    let refused = |what: &str| {
        let before = files(&shop.path("a"));
        let done = run(&["--overwrite"]);
        assert_eq!(code(&done), 2, "{what}: {}", err(&done));
        assert!(
            err(&done).contains("holds files of another kind"),
            "{}",
            err(&done)
        );
        assert!(err(&done).contains(what), "{what}: {}", err(&done));
        assert_eq!(files(&shop.path("a")), before);
    };
    assert_eq!(code(&run(&[])), 0);
    let marker = shop.read(&format!("a/{MARKER}"));
    for (name, bytes) in files(&shop.path("a")) {
        let line = format!("{:>10} {name}\n", bytes.len());
        assert_eq!(marker.contains(&line), name != MARKER, "{name}\n{marker}");
    }
    // Names that another command gives are not of this answer.
    shop.write("a/comparison.csv", "mine");
    refused("comparison.csv");
    fs::remove_file(shop.path("a/comparison.csv")).expect("it goes");
    // A file that was changed or taken away is no fault.
    shop.write("a/report.txt", "changed");
    fs::remove_file(shop.path("a/rehearsal.csv")).expect("it goes");
    assert_eq!(code(&run(&["--overwrite"])), 0);
    assert!(shop.read("a/report.txt").len() > 10);
    // The same files without their marker are anybody's.
    fs::remove_file(shop.path(&format!("a/{MARKER}"))).expect("it goes");
    refused("rehearsal.csv");
    shop.write(&format!("a/{MARKER}"), "I wrote this myself");
    refused("rehearsal.csv");
}

#[test]
#[cfg(unix)]
fn a_link_or_a_folder_under_a_name_of_ours_is_somebody_elses() {
    let shop = Workshop::with_scenarios();
    let run = ["rehearse", "reversal.moves", "--out", "a", "--overwrite"];
    assert_eq!(code(&shop.run(&run)), 0);
    shop.write("kept.csv", "mine");
    let name = shop.path("a/rehearsal.csv");
    fs::remove_file(&name).expect("it goes");
    std::os::unix::fs::symlink(shop.path("kept.csv"), &name).expect("a link");
    let done = shop.run(&run);
    assert_eq!(code(&done), 2, "{}", err(&done));
    fs::remove_file(&name).expect("it goes");
    fs::create_dir(&name).expect("a folder");
    let done = shop.run(&run);
    assert_eq!(code(&done), 2, "{}", err(&done));
    assert!(err(&done).contains("rehearsal.csv"), "{}", err(&done));
    assert_eq!(shop.read("kept.csv"), "mine");
}

/// Every command that writes one file, the option that names it, and what it says of another's.
const ONE_FILE: [(&[&str], &str, &str); 8] = [
    (
        &["thread", "pipe-nipple.toml", "--trials", "0"],
        "--report",
        "report",
    ),
    (
        &["compare", "tapered-socket.toml", "--trials", "0"],
        "--report",
        "report",
    ),
    (
        &["predict", "tapered-socket.toml", "--trials", "0"],
        "--report",
        "report",
    ),
    (&["sheet", "plug-cock.toml"], "--out", "setup sheet"),
    (&["lesson", "plug-cock.toml"], "--out", "lesson"),
    (&["lathe", "blank"], "--write", "blank file of shop tests"),
    (
        &["lathe", "update", "worn-lathe.tests", "--from", "worn"],
        "--write",
        "lathe file that tautway wrote",
    ),
    (
        &[
            "lathe",
            "learn",
            "tapered-socket.toml",
            "gauged.toml",
            "--draws",
            "400",
        ],
        "--write",
        "lathe file that tautway wrote",
    ),
];

#[test]
fn no_command_writes_over_a_file_that_the_program_did_not_write() {
    let shop = Workshop::with_scenarios();
    let job = shop.read("tapered-socket.toml");
    let lathe = shop.read("snug-lathe.toml");
    let gauged = "units = \"inch\"\n[way]\nfeed = \"tailstock\"\n[gauged]\n\
                  taper = \"1.736 in/ft +- 0.003 in/ft\"\n";
    shop.write("gauged.toml", gauged);
    shop.write("notes.html", "mine");
    shop.write("print.pdf", "%PDF-1.7 (another program)");
    for (command, option, what) in ONE_FILE {
        // Under a name that such a file may have.
        let theirs = match option {
            "--write" => ["tapered-socket.toml", "snug-lathe.toml"],
            _ => ["notes.html", "print.pdf"],
        };
        for own in theirs {
            let done = shop.run(&[command, &[option, own, "--overwrite"]].concat());
            let said = err(&done);
            assert_eq!(code(&done), 2, "{command:?}: {said}");
            let words = format!("{own} is there already and is no {what}");
            assert!(said.contains(&words), "{command:?}: {said}");
        }
        // Its own is replaced, when asked.
        let own = format!("own{}", command.join("-").len());
        let write = |more: &[&str]| shop.run(&[command, &[option, &own], more].concat());
        let done = write(&[]);
        assert!(code(&done) < 2, "{command:?}: {}", err(&done));
        let first = fs::read(shop.path(&own)).expect("a file");
        let again = write(&[]);
        assert_eq!(code(&again), 2, "{command:?}: {}", err(&again));
        assert!(err(&again).contains("--overwrite"), "{}", err(&again));
        let over = write(&["--overwrite"]);
        assert!(code(&over) < 2, "{command:?}: {}", err(&over));
        assert_eq!(fs::read(shop.path(&own)).expect("a file"), first);
        fs::remove_file(shop.path(&own)).expect("it goes");
    }
    assert_eq!(shop.read("tapered-socket.toml"), job);
    assert_eq!(shop.read("snug-lathe.toml"), lathe);
    assert_eq!(shop.read("notes.html"), "mine");
    assert_eq!(shop.read("print.pdf"), "%PDF-1.7 (another program)");
    assert!(rooms(&shop).is_empty());
}

#[test]
fn nothing_is_written_over_what_the_answer_is_made_from() {
    let shop = Workshop::with_example();
    assert_eq!(
        code(&shop.run(&["lathe", "blank", "--write", "a.tests"])),
        0
    );
    let refused = |arguments: &[&str], what: &str| {
        let done = shop.run(arguments);
        assert_eq!(code(&done), 2, "{arguments:?}: {}", err(&done));
        assert!(err(&done).contains(what), "{arguments:?}: {}", err(&done));
    };
    let lathe = shop.read("lathe.toml");
    for name in ["lathe.toml", "./lathe.toml"] {
        refused(
            &[
                "lathe",
                "update",
                "a.tests",
                "--from",
                "lathe.toml",
                "--write",
                name,
                "--overwrite",
            ],
            "is what this answer is made from",
        );
    }
    assert_eq!(shop.read("lathe.toml"), lathe);
    // A filled-in form holds readings: no blank one goes over it.
    shop.edit("a.tests", "[foot]", "[foot] # mine");
    let filled = shop
        .read("a.tests")
        .replacen("lost = \"not done\"", "lost = [\"0.3 in\"]", 1);
    shop.write("a.tests", &filled);
    refused(
        &["lathe", "blank", "--write", "a.tests", "--overwrite"],
        "is no blank file of shop tests",
    );
    assert_eq!(shop.read("a.tests"), filled);
    // Parts are no place for their whole.
    for (part, from) in [("one", "1"), ("two", "31")] {
        let run = [
            "compare", "job.toml", "--from", from, "--count", "30", "--out", part,
        ];
        assert!(code(&shop.run(&run)) < 2);
    }
    let before = files(&shop.path("one"));
    refused(
        &["join", "one", "two", "--out", "one", "--overwrite"],
        "one holds what this answer is made from",
    );
    assert!(files(&shop.path("one")) == before);
}

#[test]
fn a_pair_is_written_whole_or_not_at_all() {
    let shop = Workshop::with_example();
    let lathe = shop.read("lathe.toml").replace("the lathe", "our lathe");
    shop.write("lathe.toml", &lathe);
    shop.write("job.toml", "mine");
    let done = shop.run(&["new", "--example", "--overwrite"]);
    assert_eq!(code(&done), 2, "{}", err(&done));
    assert!(err(&done).contains("job.toml is there already and is no job file"));
    assert_eq!(shop.read("job.toml"), "mine");
    assert_eq!(shop.read("lathe.toml"), lathe);
    // Into a directory that is made for it, by several at once.
    let done = race(&shop, &vec![vec!["new", "pair", "--example"]; 5]);
    assert_eq!(done.iter().filter(|one| code(one) == 0).count(), 1);
    assert_eq!(shop.names("pair"), ["job.toml", "lathe.toml"]);
    assert!(rooms(&shop).is_empty());
}

/// Every command that writes a folder.
const FOLDER: [&[&str]; 8] = [
    &["compare", "tapered-socket.toml"],
    &["predict", "tapered-socket.toml"],
    &["predict", "tapered-socket.toml", "--method", "top-slide"],
    &["preload", "tapered-socket.toml"],
    &["modify", "tapered-socket.toml"],
    &["thread", "pipe-nipple.toml"],
    &["readings", "socket-after-setting.readings"],
    &["rehearse", "reversal.moves"],
];

#[test]
fn no_command_writes_over_a_folder_that_the_program_did_not_write() {
    let shop = Workshop::with_scenarios();
    fs::create_dir(shop.path("mine")).expect("a directory");
    // A name that the program gives is no licence.
    shop.write("mine/report.txt", "mine");
    for command in FOLDER {
        for more in [&[][..], &["--overwrite"]] {
            let done = shop.run(&[command, &["--out", "mine"], more].concat());
            assert_eq!(code(&done), 2, "{command:?}: {}", err(&done));
            let words = "mine holds files of another kind, such as report.txt";
            assert!(err(&done).contains(words), "{command:?}: {}", err(&done));
        }
    }
    assert_eq!(shop.names("mine"), ["report.txt"]);
    assert_eq!(shop.read("mine/report.txt"), "mine");
}

/// Every file of the program's source.
fn sources(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).expect("a folder") {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            sources(&path, found);
        } else if path.extension().is_some_and(|end| end == "rs") {
            found.push(path);
        }
    }
}

/// Whether the file is a module that only tests have.
fn is_a_test(path: &Path) -> bool {
    let (Some(folder), Some(name)) = (path.parent(), path.file_stem()) else {
        return false;
    };
    let above = [folder.join("mod.rs"), folder.with_extension("rs")];
    let above = above
        .iter()
        .find_map(|above| fs::read_to_string(above).ok());
    let line = format!("#[cfg(test)]\nmod {};", name.display());
    above.is_some_and(|above| above.contains(&line))
}

#[test]
fn nothing_else_in_the_program_writes() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut found = Vec::new();
    sources(&root, &mut found);
    let mut seen = 0;
    for path in found {
        // What tests the program is not the program.
        if is_a_test(&path) {
            continue;
        }
        let text = fs::read_to_string(&path).expect("text");
        let text = text
            .split("#[cfg(test)]\nmod tests")
            .next()
            .expect("a part");
        let is_output = path.starts_with(root.join("output"));
        for word in [
            "fs::write",
            "File::create",
            "OpenOptions",
            "create_dir",
            "fs::rename",
            "fs::copy",
            "hard_link",
            "tempfile",
        ] {
            assert!(
                is_output || !text.contains(word),
                "{word} in {}",
                path.display()
            );
            seen += usize::from(is_output && text.contains(word));
        }
    }
    assert!(seen > 5, "what is looked for is what is used");
}
