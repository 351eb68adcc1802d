//! One word, one sense: every option by the commands that have it, held against each other, and the
//! table of them, `options.md` beside this file.
//!
//! `TAUTWAY_WRITE=1 cargo test -p tautway --test all -- program::options` writes the table anew.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;
use std::fs;
use std::path::Path;
use std::process::Stdio;

use super::help::every;
use crate::workshop::{Workshop, code, err, out};

const HEAD: &str = "# Which command has which option

Written by a test: `TAUTWAY_WRITE=1 cargo test -p tautway --test all -- program::options`. What an \
option says begins alike in every command that has it, up to the first colon, semicolon or bracket; \
no two options begin alike.

| option | it says | commands |
|---|---|---|
";

/// One option in the help of a command.
#[derive(Clone, Debug)]
struct Listed {
    command: String,
    short: Option<String>,
    name: String,
    says: String,
}

/// The options that the help of a command lists.
fn of(shop: &Workshop, command: &[String]) -> Vec<Listed> {
    let mut words: Vec<&str> = command.iter().map(String::as_str).collect();
    words.push("-h");
    let text = out(&shop.run(&words));
    let (_, options) = text.split_once("\nOptions:\n").expect("options");
    let mut found: Vec<Listed> = Vec::new();
    for line in options.lines().take_while(|line| !line.is_empty()) {
        let begins = line.trim_start();
        if !begins.starts_with('-') || line.len() - begins.len() > 6 {
            let last = found.last_mut().expect("an option before its words");
            last.says = format!("{} {begins}", last.says).trim().to_owned();
            continue;
        }
        let (short, long) = match begins.split_once(", ") {
            Some((short, long)) if short.len() == 2 => (Some(short.to_owned()), long),
            _ => (None, begins),
        };
        let name = long.split([' ', '[']).next().expect("a name");
        let says = long.split_once("  ").map_or("", |(_, says)| says.trim());
        found.push(Listed {
            command: command.join(" "),
            short,
            name: name.to_owned(),
            says: says.to_owned(),
        });
    }
    assert!(found.len() > 1, "{command:?}: {text}");
    found
}

fn all(shop: &Workshop) -> Vec<Listed> {
    let commands = every(shop);
    let found = commands.iter().flat_map(|command| of(shop, command));
    found.collect()
}

/// What an option says, without what is its command's own.
fn sense(says: &str) -> &str {
    says.split([':', ';', '[']).next().unwrap_or(says).trim()
}

#[test]
fn one_name_has_one_sense_and_one_sense_one_name() {
    let shop = Workshop::empty();
    let mut by_name: BTreeMap<String, Vec<Listed>> = BTreeMap::new();
    for one in all(&shop) {
        by_name.entry(one.name.clone()).or_default().push(one);
    }
    assert!(by_name.len() > 60, "{}", by_name.len());
    let mut wrong = Vec::new();
    let mut senses: BTreeMap<String, &str> = BTreeMap::new();
    let mut shorts: BTreeMap<&str, &str> = BTreeMap::new();
    let mut table = HEAD.to_owned();
    for (name, listed) in &by_name {
        let own: BTreeSet<&str> = listed.iter().map(|one| sense(&one.says)).collect();
        if own.len() > 1 || own.contains("") {
            let places = listed.iter().map(|o| format!("{}: {}", o.command, o.says));
            wrong.push(format!(
                "{name}\n  {}",
                places.collect::<Vec<_>>().join("\n  ")
            ));
        }
        let sense = sense(&listed[0].says);
        if let Some(other) = senses.insert(sense.to_lowercase(), name) {
            wrong.push(format!("{name} and {other} both say: {sense}"));
        }
        let short: BTreeSet<_> = listed.iter().map(|one| one.short.as_deref()).collect();
        if short.len() > 1 {
            wrong.push(format!(
                "{name}: its short form in some commands only: {short:?}"
            ));
        }
        let short = short.into_iter().next().flatten();
        if let Some(short) = short
            && let Some(other) = shorts.insert(short, name)
        {
            wrong.push(format!("{short} is {name} and {other}"));
        }
        let everywhere = listed.len() == every(&shop).len();
        let commands: Vec<&str> = listed.iter().map(|one| one.command.as_str()).collect();
        let _ = writeln!(
            table,
            "| `{}{name}` | {} | {} |",
            short.map_or(String::new(), |short| format!("{short}, ")),
            sense.replace('|', "\\|"),
            if everywhere {
                "all".to_owned()
            } else {
                commands.join(", ")
            }
        );
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n\n"));
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/all/program/options.md");
    if std::env::var_os("TAUTWAY_WRITE").is_some() {
        fs::write(&path, &table).expect("it is written");
    }
    assert!(
        fs::read_to_string(&path).is_ok_and(|there| there == table),
        "not current: run this test with TAUTWAY_WRITE=1\n{table}"
    );
}

/// What is done to files, lathes and luck has one name wherever a command does it.
#[test]
fn what_is_common_to_commands_goes_by_one_name() {
    let found = all(&Workshop::empty());
    let commands = |name: &str| -> BTreeSet<&str> {
        let of = found.iter().filter(|one| one.name == name);
        of.map(|one| one.command.as_str()).collect()
    };
    for (name, least) in [
        ("--trials", 6),
        ("--coverage", 3),
        ("--out", 6),
        ("--folder", 7),
        ("--overwrite", 13),
        ("--seed", 10),
        ("--threads", 9),
        ("--units", 13),
        ("--detail", 5),
        ("--format", 18),
        ("--quiet", 25),
    ] {
        let has = commands(name);
        assert!(has.len() >= least, "{name}: {has:?}");
    }
    // Who writes can be told to replace.
    let writes = &commands("--out") | &commands("--folder");
    assert!(writes.is_subset(&commands("--overwrite")), "{writes:?}");
    for former in [
        "--write", "--sure", "--cuts", "--draws", "--count", "--lathes",
    ] {
        assert!(commands(former).is_empty(), "{former} is listed");
    }
}

/// A few words to each command, in former words and in today's.
#[test]
fn former_names_of_options_give_the_same_answer_with_one_hint() {
    let shop = Workshop::with_scenarios();
    let taken = "units = \"inch\"\n[way]\nfeed = \"tailstock\"\n[gauged]\ntaken = \"0.0085 in +- 0.0003 in\"\n";
    shop.write("taken.gauged", taken);
    for (former, now, hint) in [
        (
            "piece short-start.gauged --cuts 20",
            "piece short-start.gauged --trials 20",
            "`--cuts` is `--trials` now",
        ),
        (
            "preload plug-cock.toml --trials 50 --sure 90",
            "preload plug-cock.toml --trials 50 --coverage 90",
            "`--sure` is `--coverage` now",
        ),
        (
            "readings socket-after-setting.readings --out a",
            "guide socket-after-setting.readings --folder b",
            "`tautway readings` is `tautway guide` now, `--out` is `--folder` now",
        ),
        (
            "lathe update worn-lathe.tests --from worn --write c.toml",
            "lathe update worn-lathe.tests --from worn --out d.toml",
            "`--write` is `--out` now",
        ),
        (
            "gauging balls --small 0.5in --small-depth 3.1in --large 0.75in --large-depth 1.47in",
            "gauging balls --small 0.5in --small-depth 3.1in --big 0.75in --big-depth 1.47in",
            "`--large` is `--big` now, `--large-depth` is `--big-depth` now",
        ),
        (
            "lathe learn tapered-socket.toml taken.gauged --trials 100",
            "lathe learn taken.gauged --job tapered-socket.toml --trials 100",
            "`tautway lathe learn JOB FILE` is `tautway lathe learn FILE --job JOB` now",
        ),
        (
            "blank tests --write=e.tests",
            "blank tests -o f.tests",
            "`--write` is `--out` now",
        ),
    ] {
        let [old, new] = [former, now].map(|line| {
            let done = shop.run(&line.split(' ').collect::<Vec<_>>());
            assert!(code(&done) < 2, "{line}: {}", err(&done));
            done
        });
        let plain = |text: String| {
            let named = [
                ("c.toml", "d.toml"),
                ("e.tests", "f.tests"),
                ("files to a", "files to b"),
            ];
            named.iter().fold(text, |text, (a, b)| text.replace(a, b))
        };
        assert_eq!(code(&old), code(&new));
        assert_eq!(plain(out(&old)), out(&new), "{former}");
        let (first, rest) = match err(&old).split_once('\n') {
            Some((first, rest)) => (first.to_owned(), rest.to_owned()),
            None => panic!("{former}: no hint"),
        };
        assert_eq!(first, format!("hint: {hint}"));
        assert_eq!(plain(rest), err(&new));
        let mut quiet: Vec<&str> = former.split(' ').chain(["-q", "--overwrite"]).collect();
        let writes = [" --out", " --write"]
            .iter()
            .any(|name| former.contains(name));
        if !writes {
            quiet.pop();
        }
        let quiet = shop.run(&quiet);
        assert_eq!(err(&quiet), "", "{former}");
        assert_eq!(out(&quiet), out(&old));
    }
    assert_eq!(shop.read("c.toml"), shop.read("d.toml"));
    assert_eq!(shop.names("a"), shop.names("b"));
}

/// Runs the program with a text on standard input.
fn fed(shop: &Workshop, line: &str, text: &str) -> std::process::Output {
    use std::io::Write as _;
    let mut program = shop.program();
    program.args(line.split(' ')).stdin(Stdio::piped());
    program.stdout(Stdio::piped()).stderr(Stdio::piped());
    let mut running = program.spawn().expect("the program starts");
    let mut input = running.stdin.take().expect("a pipe");
    input.write_all(text.as_bytes()).expect("it reads");
    drop(input);
    running.wait_with_output().expect("it ends")
}

#[test]
fn any_file_comes_from_standard_input_and_a_job_finds_its_lathe_here() {
    let shop = Workshop::with_scenarios();
    for (line, file) in [
        ("check FILE", "tapered-socket.toml"),
        ("check FILE", "worn-lathe.toml"),
        ("predict FILE --trials 0 --feed headstock", "plug-cock.toml"),
        ("guide FILE", "socket-after-setting.readings"),
        ("rehearse FILE", "reversal.moves"),
        ("piece FILE --trials 20", "short-start.gauged"),
        ("lathe update FILE --from worn", "worn-lathe.tests"),
        (
            "lathe update worn-lathe.tests --from FILE",
            "worn-lathe.toml",
        ),
    ] {
        let named = shop.run(&line.replace("FILE", file).split(' ').collect::<Vec<_>>());
        let piped = fed(&shop, &line.replace("FILE", "-"), &shop.read(file));
        assert_eq!(code(&piped), code(&named), "{line}: {}", err(&piped));
        let plain = |text: String| {
            let text = text.replace("standard input", file);
            text.split_whitespace().collect::<Vec<_>>().join(" ")
        };
        assert!(!out(&named).is_empty());
        assert_eq!(plain(out(&piped)), plain(out(&named)), "{line}");
    }
    let twice = fed(&shop, "check - -", &shop.read("worn-lathe.toml"));
    assert_eq!(code(&twice), 2);
    assert!(err(&twice).contains("as one file only"), "{}", err(&twice));
}

#[test]
fn a_single_file_goes_to_standard_output() {
    let shop = Workshop::with_scenarios();
    for line in [
        "sheet plug-cock.toml --feed headstock --format html",
        "lathe update worn-lathe.tests --from worn",
        "blank piece",
        "lesson plug-cock.toml --format json",
    ] {
        let words: Vec<&str> = line.split(' ').collect();
        let to = |file| shop.run(&[&words[..], &["--out", file]].concat());
        let (file, piped) = (to("file"), to("-"));
        assert!(code(&piped) < 2, "{line}: {}", err(&piped));
        assert_eq!(code(&file), code(&piped));
        assert_eq!(out(&piped), shop.read("file"), "{line}");
        assert!(!err(&piped).contains("wrote"), "{}", err(&piped));
        fs::remove_file(shop.path("file")).expect("it was written");
        assert!(!shop.path("-").exists());
    }
    let asked = shop.run(&["lathe", "ask", "--out", "-"]);
    assert_eq!(code(&asked), 2, "{}", err(&asked));
}
