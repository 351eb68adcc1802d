//! The help of every command, the manual and the words for a shell, told by one source.

use std::fs;
use std::path::{Path, PathBuf};

use crate::workshop::{Workshop, code, err, out};

/// The commands below one, as its help lists them.
fn below(shop: &Workshop, of: &[String]) -> Vec<Vec<String>> {
    let text = help(shop, of);
    if of.is_empty() {
        let (grouped, more) = of_the_program(&text);
        return grouped
            .into_iter()
            .chain(more)
            .map(|name| vec![name])
            .collect();
    }
    let Some((_, rest)) = text.split_once("\nCommands:\n") else {
        return Vec::new();
    };
    rest.lines()
        .take_while(|line| !line.is_empty())
        .filter(|line| line.starts_with("  ") && !line.starts_with("   "))
        .filter_map(|line| line.split_whitespace().next())
        .filter(|name| *name != "help")
        .map(|name| [of, &[name.to_owned()]].concat())
        .collect()
}

/// The commands that the program's own help lists in groups, and those it names after them.
fn of_the_program(help: &str) -> (Vec<String>, Vec<String>) {
    let (_, groups) = help.split_once("\nBefore the cut:\n").expect("groups");
    let (groups, more) = groups.split_once("\nMore: ").expect("more");
    let (more, _) = more.split_once("\n\n").expect("options after it");
    let listed = groups
        .lines()
        .filter_map(|line| line.strip_prefix("  ")?.split_whitespace().next())
        .map(str::to_owned);
    // What is in brackets says what a command is for.
    let mut depth = 0;
    let plain: String = more
        .chars()
        .filter(|c| {
            depth += i32::from(*c == '(');
            let keep = depth == 0;
            depth -= i32::from(*c == ')');
            keep
        })
        .collect();
    let (plain, _) = plain.split_once('.').expect("a sentence");
    let named = plain
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !matches!(*word, ""))
        .map(str::to_owned);
    (listed.collect(), named.collect())
}

fn help(shop: &Workshop, of: &[String]) -> String {
    let mut words: Vec<&str> = of.iter().map(String::as_str).collect();
    words.push("--help");
    let done = shop.run(&words);
    assert_eq!(code(&done), 0, "{}", err(&done));
    out(&done)
}

/// Every command at any depth that does something.
pub(super) fn every(shop: &Workshop) -> Vec<Vec<String>> {
    let mut all = below(shop, &[]);
    let mut next = 0;
    while next < all.len() {
        all.extend(below(shop, &all[next].clone()));
        next += 1;
    }
    let groups: Vec<_> = all
        .iter()
        .filter(|one| one.len() > 1)
        .map(|one| one[0].clone())
        .collect();
    all.retain(|one| one.len() > 1 || !groups.contains(&one[0]));
    assert!(all.len() > 25, "{all:?}");
    all
}

#[test]
fn the_help_of_every_command_has_an_example_of_it() {
    let shop = Workshop::empty();
    for command in every(&shop) {
        let text = help(&shop, &command);
        let (_, example) = text
            .split_once("Example")
            .unwrap_or_else(|| panic!("no example for {command:?}"));
        let line = format!("tautway {}", command.join(" "));
        assert!(example.contains(&line), "{line} in{example}");
    }
}

#[test]
fn at_most_fourteen_commands_are_in_sight_and_every_one_is_named_once() {
    let shop = Workshop::empty();
    let (grouped, more) = of_the_program(&help(&shop, &[]));
    assert!(grouped.len() <= 14, "{grouped:?}");
    // A shell is told every command that there is.
    let shells = out(&shop.run(&["tools", "completions", "bash"]));
    let known = |name: &String| shells.contains(&format!("tautway__subcmd__{name}"));
    let all: Vec<_> = grouped.iter().chain(&more).collect();
    for name in &all {
        assert!(known(name), "{name} is no command");
        assert_eq!(
            all.iter().filter(|other| other == &name).count(),
            1,
            "{name}"
        );
    }
    let mut there: Vec<_> = shells
        .lines()
        .filter_map(|line| line.trim().strip_prefix("tautway,")?.strip_suffix(')'))
        .filter(|name| !matches!(*name, "help" | "thread"))
        .collect();
    there.sort_unstable();
    let mut named: Vec<_> = all.iter().map(|name| name.as_str()).collect();
    named.sort_unstable();
    assert_eq!(named, there);
}

#[test]
fn former_words_give_the_same_answer_with_one_hint() {
    let shop = Workshop::with_scenarios();
    let standoff = [
        "standoff", "--taper", "2 in/ft", "--read", "0.1 in", "--kind", "inside",
    ];
    let readings = ["socket-after-setting.readings"];
    for (former, now, rest) in [
        (&["fit"][..], &["gauging"][..], &standoff[..]),
        (&["readings"], &["guide"], &readings),
        (&["lathe", "blank"], &["blank", "tests"], &[]),
        (&["schema"], &["tools", "schema"], &["lathe"]),
        (&["manual"], &["tools", "manual"], &["compare"]),
        (&["completions"], &["tools", "completions"], &["fish"]),
    ] {
        let [old, new] = [former, now].map(|words| shop.run(&[words, rest].concat()));
        assert_eq!(code(&old), code(&new));
        assert_eq!(out(&old), out(&new));
        assert!(!out(&new).is_empty());
        let hint = format!(
            "hint: `tautway {}` is `tautway {}` now\n",
            former.join(" "),
            now.join(" ")
        );
        assert_eq!((err(&old), err(&new)), (hint, String::new()));
    }
}

#[test]
fn the_manual_has_a_page_for_every_command_and_says_what_its_help_says() {
    let shop = Workshop::empty();
    let whole = out(&shop.run(&["tools", "manual"]));
    assert!(whole.contains(".SH NAME\ntautway \\-"), "{whole}");
    for command in every(&shop) {
        let mut words = vec!["tools", "manual"];
        words.extend(command.iter().map(String::as_str));
        let done = shop.run(&words);
        assert_eq!(code(&done), 0, "{}", err(&done));
        let page = out(&done);
        let name = format!("tautway\\-{} \\-", command.join("\\-"));
        assert!(page.contains(&name), "{name} in\n{page}");
        assert!(page.contains("Example"), "{page}");
        if command.len() == 1 {
            assert!(
                whole.contains(&format!("tautway\\-{}(1)", command[0])),
                "{whole}"
            );
        }
    }
    let done = shop.run(&["tools", "manual", "lathe", "compere"]);
    assert_eq!(code(&done), 2);
    assert!(
        err(&done).contains("tautway lathe has no command compere"),
        "{}",
        err(&done)
    );
}

#[test]
fn every_shell_is_told_every_command() {
    let shop = Workshop::empty();
    let commands = below(&shop, &[]);
    for shell in ["bash", "elvish", "fish", "powershell", "zsh"] {
        let done = shop.run(&["tools", "completions", shell]);
        assert_eq!(code(&done), 0, "{}", err(&done));
        let text = out(&done);
        for command in &commands {
            assert!(text.contains(&command[0]), "{} in {shell}", command[0]);
        }
    }
}

#[test]
fn help_and_manual_name_every_exit_code() {
    let shop = Workshop::empty();
    for words in [&["--help"][..], &["tools", "manual"]] {
        let text = out(&shop.run(words));
        let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
        let (_, codes) = text
            .split_once("What it returns to a script: ")
            .unwrap_or_else(|| panic!("{words:?} names none"));
        for code in [
            "0 done",
            "1 the drawing is not expected to be met or a hand move would break something",
            "2 the files or the command are not right",
            "3 it could not run",
        ] {
            assert!(codes.contains(code), "{code} for {words:?} in {codes}");
        }
    }
}

/// Every file of a folder, at any depth.
fn files(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).expect("a folder") {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            files(&path, found);
        } else {
            found.push(path);
        }
    }
}

#[test]
fn what_was_typed_is_known_to_the_arguments_alone_and_a_plan_to_all_else() {
    let source = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut found = Vec::new();
    files(&source, &mut found);
    let mut seen = 0;
    for path in found {
        let Ok(text) = fs::read_to_string(&path) else {
            continue;
        };
        let may = ["arguments", "arguments.rs", "main.rs"]
            .iter()
            .any(|place| path.starts_with(source.join(place)));
        for word in ["clap::", "arguments::"] {
            assert!(may || !text.contains(word), "{word} in {}", path.display());
            seen += usize::from(text.contains(word));
        }
    }
    assert!(seen > 10, "what is looked for is what is used: {seen}");
}
