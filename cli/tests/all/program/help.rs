//! The help of every command, the manual and the words for a shell, told by one source.

use crate::workshop::{Workshop, code, err, out};

/// The commands below one, as its help lists them.
fn below(shop: &Workshop, of: &[String]) -> Vec<Vec<String>> {
    let text = help(shop, of);
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

fn help(shop: &Workshop, of: &[String]) -> String {
    let mut words: Vec<&str> = of.iter().map(String::as_str).collect();
    words.push("--help");
    let done = shop.run(&words);
    assert_eq!(code(&done), 0, "{}", err(&done));
    out(&done)
}

/// Every command at any depth.
fn every(shop: &Workshop) -> Vec<Vec<String>> {
    let mut all = below(shop, &[]);
    let mut next = 0;
    while next < all.len() {
        all.extend(below(shop, &all[next].clone()));
        next += 1;
    }
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
fn the_manual_has_a_page_for_every_command_and_says_what_its_help_says() {
    let shop = Workshop::empty();
    let whole = out(&shop.run(&["manual"]));
    assert!(whole.contains(".SH NAME\ntautway \\-"), "{whole}");
    for command in every(&shop) {
        let mut words = vec!["manual"];
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
    let done = shop.run(&["manual", "lathe", "compere"]);
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
        let done = shop.run(&["completions", shell]);
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
    for words in [&["--help"][..], &["manual"]] {
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
