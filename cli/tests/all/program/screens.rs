//! What a pipe gets: eighty columns, no escape; and with colour the same letters.

use std::process::Command;

use crate::workshop::{Workshop, err, out};

/// What has a screen of its own, on the worked examples.
const SCREENS: [&str; 17] = [
    "compare tapered-socket.toml --trials 50",
    "compare valve-seat.toml --trials 50 --detail",
    "compare taper-sleeve.toml --trials 0 --detail",
    "predict tapered-socket.toml --trials 50 --detail",
    "predict tapered-socket.toml --trials 0 --feed headstock --inertia",
    "predict long-mandrel.toml --trials 50 --method tailstock",
    "preload air-out-of-the-cut.toml --trials 50 --detail",
    "modify tapered-socket.toml --trials 50",
    "sheet tapered-socket.toml",
    "thread threaded-plug.toml --trials 50",
    "lathe next tapered-socket.toml",
    "lathe update worn-lathe.tests --from worn-lathe.toml --job tapered-socket.toml",
    "rehearse zero-too-early.moves",
    "readings socket-after-setting.readings",
    "piece short-start.gauged --cuts 20",
    "taper --list",
    "fit standoff --taper 1:16 --read 0.060in",
];

#[test]
fn a_pipe_gets_eighty_columns_and_no_escape() {
    let shop = Workshop::with_scenarios();
    for screen in SCREENS {
        let words: Vec<&str> = screen.split(' ').collect();
        let done = shop.run(&words);
        let text = out(&done);
        assert!(!text.is_empty(), "{screen}: {}", err(&done));
        assert!(!text.contains('\u{1b}'), "{screen}: {text}");
        for line in text.lines() {
            assert!(line.chars().count() <= 80, "{screen}: {line}");
        }
    }
}

#[test]
fn colour_is_given_where_asked_for_and_changes_no_letter() {
    let shop = Workshop::with_scenarios();
    let words = ["compare", "tapered-socket.toml", "--trials", "50"];
    let plain = out(&shop.run(&words));
    let coloured = out(&shop.run(&[&words[..], &["--color", "always"]].concat()));
    assert!(coloured.contains("\u{1b}[1;33mSTOP IF:"), "{coloured}");
    let mut letters = String::new();
    for (at, part) in coloured.split('\u{1b}').enumerate() {
        let code = if at == 0 {
            0
        } else {
            part.find('m').expect("a code") + 1
        };
        letters.push_str(&part[code..]);
    }
    assert_eq!(letters, plain);
    assert_eq!(
        out(&shop.run(&[&words[..], &["--color", "never"]].concat())),
        plain
    );
}

/// `script` (util-linux) gives the program a terminal.
#[test]
#[cfg(target_os = "linux")]
fn at_a_terminal_it_is_coloured_unless_told_otherwise_and_follows_its_width() {
    let shop = Workshop::with_scenarios();
    let at_terminal = |columns: u16, no_colour: bool| {
        let program = env!("CARGO_BIN_EXE_tautway");
        let asked = format!(
            "stty rows 50 cols {columns}; {program} compare tapered-socket.toml --trials 0"
        );
        let mut script = Command::new("script");
        script
            .args(["-qec", &asked, "/dev/null"])
            .current_dir(shop.path("."))
            .env("TERM", "xterm-256color")
            .env_remove("NO_COLOR");
        if no_colour {
            script.env("NO_COLOR", "1");
        }
        out(&script.output().expect("util-linux's script"))
    };
    let wide = at_terminal(200, true);
    assert!(!wide.contains("\u{1b}[1m"), "{wide}");
    let longest = |text: &str| {
        text.lines()
            .map(|line| line.trim_end().chars().count())
            .max()
    };
    assert!(
        (85..=92).contains(&longest(&wide).expect("lines")),
        "{wide}"
    );
    let narrow = at_terminal(40, true);
    assert!(
        (66..=72).contains(&longest(&narrow).expect("lines")),
        "{narrow}"
    );
    assert!(at_terminal(100, false).contains("\u{1b}[1;33mSTOP IF:"));
}
