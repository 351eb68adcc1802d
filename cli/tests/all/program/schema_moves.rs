//! What a file of hand moves may say, in words: current, and of one mind with who reads it.

use std::fs;
use std::path::Path;

use crate::workshop::{Workshop, code, err, out};

fn told() -> String {
    let done = Workshop::empty().run(&["tools", "schema", "moves"]);
    assert_eq!(code(&done), 0, "{}", err(&done));
    out(&done)
}

/// Every line that a line of the grammar stands for.
fn meant(line: &str) -> Vec<String> {
    // The innermost group first.
    let Some(close) = line.find([')', ']']) else {
        let amounts = [
            ("LENGTH", "1/4 in"),
            ("FORCE", "20 lbf"),
            ("PRESSURE", "60 psi"),
        ];
        let put = |line: String, (name, amount): &(&str, &str)| line.replace(name, amount);
        return vec![amounts.iter().fold(line.to_owned(), put)];
    };
    let open = line[..close].rfind(['(', '[']).expect("an opening");
    let inner = &line[open + 1..close];
    let choices: Vec<&str> = match &line[open..=open] {
        "[" => vec!["", inner],
        _ => inner.split(" | ").collect(),
    };
    let with = |choice| format!("{}{choice}{}", &line[..open], &line[close + 1..]);
    choices
        .into_iter()
        .flat_map(|choice| meant(&with(choice)))
        .collect()
}

#[test]
fn the_file_beside_the_schemas_is_current() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../scenarios/schema/moves.txt");
    let now = told();
    if std::env::var_os("TAUTWAY_WRITE").is_some() {
        fs::write(&path, &now).expect("it is written");
    }
    let there = fs::read_to_string(&path).unwrap_or_default();
    assert!(there == now, "run this test with TAUTWAY_WRITE=1");
}

#[test]
fn every_line_it_tells_is_read_and_no_other() {
    let told = told();
    let (head, lines) = told.split_once("\nmoves:\n").expect("head and moves");
    let shop = Workshop::with_scenarios();
    let read = |line: &str| {
        let first = "carriage 1 in toward the headstock";
        let text = format!(
            "name = \"a\"\nlathe = \"worn-lathe.toml\"\ntaper = \"1-3/4 in/ft\"\n[cylinder]\n\
             bore = \"1-1/16 in\"\ntoward = \"away\"\nmoves:\n{first}\n{line}\n{first}\n"
        );
        let text = match line {
            "reverse" => text.replace(&format!("{line}\n{first}"), "reverse\ncarriage 1 in"),
            _ => text,
        };
        shop.write("one.moves", &text);
        let done = shop.run(&["check", "one.moves"]);
        (code(&done), err(&done) + &out(&done))
    };
    let all: Vec<String> = lines.lines().flat_map(meant).collect();
    assert!(all.len() > 35, "{all:?}");
    for line in all {
        let (code, said) = read(&line);
        assert_eq!(code, 0, "{line}: {said}");
        let (code, _) = read(&format!("{line} sideways"));
        assert_eq!(code, 2, "{line} sideways");
    }
    for key in [
        "name = text, must be there",
        "cylinder.bore = a length, must be there",
    ] {
        assert!(head.contains(key), "{key}: {head}");
    }
}
