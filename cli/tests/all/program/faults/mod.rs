//! One fault of each kind with its exit code and what is said of it, and the table of them,
//! `index.md` beside this file. The faults stand in `cases.txt`.
//!
//! `TAUTWAY_WRITE=1 cargo test -p tautway --test all -- program::faults` writes the table anew.

use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::fs;
use std::path::{Path, PathBuf};

use crate::workshop::{Workshop, code, err, out};

const HEAD: &str = "# What it says when something is wrong

Written by the test that provokes each: `TAUTWAY_WRITE=1 cargo test -p tautway --test all -- \
program::faults`. A new kind is a line of `cases.txt`, on a worked example with one line made wrong. \
Code 0 is a warning, and the run goes on. The messages of the command line's own parser are told by \
its library; here stands one of each.
";

/// What is done wrong.
enum Wrong {
    /// Lines of the group's file as they are, and as they are made.
    Edits(Vec<(String, String)>),
    /// Something typed.
    Typed(String),
}

struct Fault {
    class: String,
    wrong: Wrong,
    says: String,
    code: i32,
}

struct Group {
    title: String,
    /// The worked example that is edited, and the command that reads it.
    file: String,
    command: String,
    faults: Vec<Fault>,
}

fn beside(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/all/program/faults")
        .join(name)
}

fn groups() -> Vec<Group> {
    let mut groups: Vec<Group> = Vec::new();
    let cases = fs::read_to_string(beside("cases.txt")).expect("the cases");
    let lines = cases.lines();
    for line in lines.filter(|line| !line.is_empty() && !line.starts_with('#')) {
        if let Some(head) = line.strip_prefix("== ") {
            let parts: Vec<_> = head.split(" == ").map(str::to_owned).collect();
            let [title, file, command] = parts.try_into().expect("title, file, command");
            groups.push(Group {
                title,
                file,
                command,
                faults: Vec::new(),
            });
            continue;
        }
        let parts: Vec<_> = line.split("||").map(str::trim).collect();
        let group = groups.last_mut().expect("a group");
        group.faults.push(fault(&parts));
    }
    groups
}

fn fault(parts: &[&str]) -> Fault {
    let wrong = match parts[1].strip_prefix('$') {
        Some(typed) => Wrong::Typed(typed.trim().to_owned()),
        None => Wrong::Edits(
            parts[1]
                .split(" && ")
                .map(|edit| {
                    let (from, to) = edit.split_once("=>").expect("from => to");
                    let whole = |text: &str| text.trim().replace("\\n", "\n");
                    (whole(from), whole(to))
                })
                .collect(),
        ),
    };
    Fault {
        class: parts[0].to_owned(),
        wrong,
        says: parts[2].to_owned(),
        code: parts
            .get(3)
            .map_or(2, |code| code.parse().expect("an exit code")),
    }
}

/// With the worked examples, a folder that isn't ours, and readings that tell nothing.
fn shop() -> Workshop {
    let shop = Workshop::with_scenarios();
    fs::create_dir(shop.path("folder")).expect("a directory");
    shop.write("folder/note.txt", "mine");
    shop.write("mine.html", "mine");
    let still = |rows: &str| {
        format!(
            "name = \"a\"\nunits = \"inch\"\n[wanted]\ntaper = \"2 in/ft\"\n[readout]\n\
             reads = \"diameter\"\nstep = \"0.0005 in\"\ndirection = \"headstock\"\n[readings]\n\
             rows = \"\"\"\ncarriage in, slide in\n{rows}\"\"\"\n"
        )
    };
    shop.write("bare.toml", "name = \"a\"\nlathe = \"worn-lathe.toml\"\n");
    let head = "name = \"a\"\nlathe = \"worn-lathe.toml\"\ntaper = \"2 in/ft\"\n";
    shop.write("none.moves", format!("{head}moves:\n# none yet\n"));
    let moves = "carriage 3 in toward the headstock\n";
    shop.write("nomoves.moves", format!("{head}{moves}"));
    let stop = "moves:\nlock shoe\ncarriage 1 in toward the headstock\n";
    shop.write("breaks.moves", format!("{head}{stop}"));
    let gauged = "units = \"inch\"\n[way]\nfeed = \"tailstock\"\n[gauged]\ntaken = \"0.0085 in +- 0.0003 in\"\n";
    shop.write("nameless.gauged", gauged);
    shop.write("one-place.readings", still("1, 0.1\n1, 0.1\n"));
    shop.write("still.readings", still("0, 0.1\n1, 0.1\n2, 0.1\n"));
    shop
}

/// Exit code and the line that says it.
fn provoked(group: &Group, fault: &Fault) -> Result<(i32, String), String> {
    let shop = shop();
    let class = &fault.class;
    let command = match &fault.wrong {
        Wrong::Typed(typed) => typed,
        Wrong::Edits(edits) => {
            let mut text = shop.read(&group.file);
            for (from, to) in edits {
                if !text.contains(from.as_str()) {
                    return Err(format!("{class}: no {from:?} in {}", group.file));
                }
                text = text.replacen(from.as_str(), to, 1);
            }
            // `\xff` stands for the byte, which no text may hold.
            let bytes: Vec<u8> = match text.split_once("\\xff") {
                Some((before, after)) => [before.as_bytes(), b"\xff", after.as_bytes()].concat(),
                None => text.into_bytes(),
            };
            shop.write(&group.file, bytes);
            &group.command
        }
    };
    let words: Vec<&str> = command.split_whitespace().collect();
    let done = shop.run(&words);
    let (code, said) = (code(&done), err(&done));
    if code != fault.code {
        return Err(format!("{class}: exit code {code}\n{said}"));
    }
    if said.contains("panicked") {
        return Err(format!("{class}: {said}"));
    }
    let mut lines = said.lines().filter(|line| !line.starts_with(' '));
    let line = if fault.says.is_empty() {
        ""
    } else {
        lines
            .find(|line| line.contains(&fault.says))
            .ok_or_else(|| format!("{class}: no {:?} in\n{said}", fault.says))?
    };
    let severity = if code == 0 && !line.is_empty() {
        "warning: "
    } else {
        "error: "
    };
    if code > 1 && !out(&done).is_empty() {
        return Err(format!("{class}: refused, and answered"));
    }
    if code > 1 || !line.is_empty() {
        let told = line.strip_prefix(severity);
        let told = told.ok_or_else(|| format!("{class}: no {severity}in {line:?}"))?;
        let helps = ["help: ", "tip: ", "possible values", "For more information"];
        if !helps.iter().any(|help| said.contains(help)) {
            return Err(format!("{class}: what would be right? {said}"));
        }
        return Ok((code, told.to_owned()));
    }
    Ok((code, String::new()))
}

/// A cell of the table: one line, its bars kept.
fn cell(text: &str) -> String {
    let lines: Vec<_> = text.lines().filter(|line| !line.is_empty()).collect();
    lines.join("; ").replace('|', "\\|").replace('`', "'")
}

fn example(wrong: &Wrong) -> String {
    match wrong {
        Wrong::Typed(typed) => format!("tautway {typed}").trim_end().to_owned(),
        Wrong::Edits(edits) => {
            let made = edits.iter().map(|(from, to)| {
                // Of lines that were put in, only these.
                let added = to
                    .strip_prefix(from.as_str())
                    .or(to.strip_suffix(from.as_str()));
                match added.unwrap_or(to).trim() {
                    "" => format!("without {from}"),
                    added => added.trim_end_matches(" #").to_owned(),
                }
            });
            made.collect::<Vec<_>>().join("; ")
        }
    }
}

#[test]
fn each_kind_has_its_code_and_the_table_beside_this_file_is_current() {
    let mut now = HEAD.to_owned();
    let mut wrong = Vec::new();
    for group in groups() {
        let _ = writeln!(
            now,
            "\n{}\n\n| code | kind | for example | it says |\n|---|---|---|---|",
            group.title
        );
        let mut said = BTreeSet::new();
        for fault in &group.faults {
            match provoked(&group, fault) {
                Ok((code, line)) => {
                    if !line.is_empty() && !said.insert(line.clone()) {
                        wrong.push(format!("{}: said of another kind too: {line}", fault.class));
                    }
                    let _ = writeln!(
                        now,
                        "| {code} | {} | `{}` | {} |",
                        cell(&fault.class),
                        cell(&example(&fault.wrong)),
                        cell(&line)
                    );
                }
                Err(why) => wrong.push(why),
            }
        }
    }
    assert!(
        wrong.is_empty(),
        "{}\n{} wrong",
        wrong.join("\n\n"),
        wrong.len()
    );
    let path = beside("index.md");
    if std::env::var_os("TAUTWAY_WRITE").is_some() {
        fs::write(&path, now).expect("it is written");
        return;
    }
    assert!(
        fs::read_to_string(&path).is_ok_and(|there| there == now),
        "not current: run this test with TAUTWAY_WRITE=1\n{now}"
    );
}
