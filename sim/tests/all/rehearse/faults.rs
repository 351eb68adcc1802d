//! Every fault of a moves file is pointed at, all at once, each with what would be right; no text
//! makes the decoder stumble.

use proptest::prelude::*;
use tautway_sim::rehearse::{Move, Push, Script, decode, lathe_named_in, rehearse};
use tautway_sim::scenario::{Diagnostic, Severity, Source, Toward};
use tautway_sim::setup::Feed;

const LATHE: &str = include_str!("../../../../scenarios/worn-lathe.toml");
const EXAMPLE: &str = include_str!("../../../../scenarios/zero-too-early.moves");
const INCH: f64 = 0.0254;

fn tried(text: &str) -> Result<(Script, Vec<Diagnostic>), Vec<Diagnostic>> {
    let moves = Source {
        name: "a.moves",
        text,
    };
    let lathe = Source {
        name: "worn-lathe.toml",
        text: LATHE,
    };
    decode(moves, lathe)
}

fn with(head: &str, moves: &str) -> String {
    format!("name = \"a\"\nlathe = \"worn-lathe.toml\"\ntaper = \"2 in/ft\"\n{head}moves:\n{moves}")
}

const AIR: &str = "[cylinder]\nbore = \"1-1/16 in\"\ntoward = \"toward the operator\"\n";

/// What each fault points at, and its hint.
fn faults(text: &str) -> Vec<(String, String)> {
    let found = match tried(text) {
        Ok((_, found)) | Err(found) => found,
    };
    found
        .iter()
        .map(|d| (text[d.span.clone()].to_owned(), d.hint.clone()))
        .collect()
}

/// The one fault of one line of moves.
fn fault(line: &str) -> (String, String) {
    let found = faults(&with("", &format!("{line}\n")));
    assert_eq!(found.len(), 1, "{line}: {found:?}");
    found[0].clone()
}

fn moves(lines: &str) -> Vec<Move> {
    let (script, found) = tried(&with(AIR, lines)).unwrap_or_else(|f| panic!("{f:#?}"));
    assert!(found.is_empty(), "{found:#?}");
    script.moves.iter().map(|spoken| spoken.action).collect()
}

#[test]
fn every_move_is_understood() {
    let read = moves(
        "carriage 3 in toward the headstock\nreverse\ncarriage 3 in\nDial In 10 thou\n\
         dial out 0.5 mm\ntop slide in 5 thou\ntop slide out 1/8\"\nlock slide\nunlock the slide\n\
         lock top slide\nunlock top slide\nzero the readout\nzero dial\nuncouple\ncouple\n\
         bump slide toward the operator\nbump slide away with 30 lbf\n\
         bump the slide away from the operator by 0.1 in\nbump slide away 20 lbf\nclamp foot\n\
         let the foot go\nlock shoe\nunlock shoe\nair on 60 psi\nair off\ncross feed in\n\
         cross feed out # and a remark\n   \n# a whole line of it\ncarriage 1 in towards tailstock\n",
    );
    assert_eq!(read.len(), 27);
    let Move::Carriage { toward, travel } = read[1] else {
        panic!("{:?}", read[1]);
    };
    assert_eq!(toward, Feed::Tailstock);
    assert!((travel - 3.0 * INCH).abs() < 1e-12);
    let Move::Dial { toward, by } = read[2] else {
        panic!("{:?}", read[2]);
    };
    assert_eq!(toward, Toward::Away);
    assert!((by - 0.010 * INCH).abs() < 1e-12);
    let pushes: Vec<_> = read
        .iter()
        .filter_map(|m| match m {
            Move::Bump { push, .. } => Some(*push),
            _ => None,
        })
        .collect();
    assert!(matches!(
        pushes[..],
        [Push::ToFace, Push::With(_), Push::By(_), Push::With(_)]
    ));
}

#[test]
fn faults_of_single_moves_are_pointed_at_with_what_would_be_right() {
    for (line, at, hint) in [
        (
            "carrige 3 in toward the headstock",
            "carrige 3 in toward the headstock",
            "`carriage`",
        ),
        ("unlok slide", "unlok slide", "`unlock slide`"),
        ("zero the readot", "zero the readot", "`zero readout`"),
        ("whistle", "whistle", "the moves are: carriage, dial in"),
        ("carriage 3 in", "carriage 3 in", "toward the headstock"),
        (
            "carriage toward the headstock",
            "carriage toward the headstock",
            "carriage 3 in",
        ),
        ("carriage 80 toward the headstock", "80", "`80 in`"),
        ("carriage 3 lbf toward the headstock", "lbf", "0.065 in"),
        (
            "carriage -3 in toward the headstock",
            "-3 in",
            "without a sign",
        ),
        (
            "carriage 0 in toward the headstock",
            "0 in",
            "without a sign",
        ),
        ("carriage 900 in toward the headstock", "900 in", "200 in"),
        (
            "carriage 3 in toward the operator",
            "operator",
            "toward the tailstock",
        ),
        ("dial in 10", "10", "`10 thou`"),
        ("dial in", "dial in", "dial in 0.010 in"),
        ("dial 0.010 in", "dial 0.010 in", "dial in"),
        ("lock slide now", "now", "one move a line"),
        ("reverse", "reverse", "first carriage move"),
        ("bump slide", "bump slide", "bump slide away"),
        ("bump slide sideways", "sideways", "bump slide away"),
        ("bump slide away with 3 in", "in", "20 lbf"),
        ("bump slide away by 3 lbf", "lbf", "0.065 in"),
        ("bump slide away 2000 lbf", "2000 lbf", "check the digits"),
        ("air on 60 psi", "air on 60 psi", "[cylinder]"),
        ("air off", "air off", "[cylinder]"),
    ] {
        let (place, help) = fault(line);
        assert_eq!(place, at, "{line}: {help}");
        assert!(help.contains(hint), "{line}: {help}");
    }
}

#[test]
fn a_bare_amount_takes_the_unit_of_its_file_and_says_so() {
    let tried = |head: &str, lines: &str| {
        let (script, found) = tried(&with(head, lines)).unwrap_or_else(|f| panic!("{f:#?}"));
        let notes = found.iter().filter(|d| d.severity == Severity::Note);
        let all: Vec<_> = notes.map(|d| d.message.clone()).collect();
        let travels = script.moves.iter().map(|spoken| match spoken.action {
            Move::Carriage { travel, .. } => travel,
            Move::Dial { by, .. } => by,
            ref other => panic!("{other:?}"),
        });
        (travels.collect::<Vec<_>>(), all)
    };
    let (travels, said) = tried("", "carriage 3 toward the headstock\ndial in 0.010\n");
    assert_eq!(travels, [3.0 * INCH, 0.01 * INCH]);
    assert!(said[0].ends_with("taken as 3 in") && said[1].ends_with("taken as 0.010 in"));
    // Where the other moves are metric, it is; where both are there, nobody knows.
    let metric = "units = \"metric\"\n";
    let (travels, said) = tried(metric, "carriage 80 mm toward the headstock\n");
    assert_eq!((travels, said.len()), (vec![0.08], 0));
    let (travels, said) = tried(metric, "carriage 80 toward the headstock\n");
    assert_eq!(travels, [0.08]);
    assert!(said[0].ends_with("taken as 80 mm"), "{said:?}");
    // No hand turns a carriage 80 in: that is another unit, and is refused.
    let (place, hint) = fault("carriage 80 toward the headstock");
    assert_eq!(place, "80");
    assert!(hint.contains("80 in") && hint.contains("80 mm"), "{hint}");
}

#[test]
fn a_move_that_leans_on_earlier_ones_is_checked_against_them() {
    let two_ways = "carriage 3 in toward the headstock\nreverse\n\
                    carriage 3 in toward the headstock\n";
    let found = faults(&with("", two_ways));
    assert_eq!(found.len(), 1, "{found:?}");
    assert!(found[0].1.contains("leave out the `reverse`"));
    let trailing = "carriage 3 in toward the headstock\nreverse\n";
    let (_, warnings) = tried(&with("", trailing)).expect("a warning only");
    assert_eq!(warnings.len(), 1);
    assert_eq!(warnings[0].severity, Severity::Warning);
}

#[test]
fn all_faults_of_head_and_moves_come_at_once_in_reading_order() {
    let text = "name = \"a\"\nlathe = \"worn-lathe.toml\"\ntapr = \"2 in/ft\"\nbig_end = \"left\"\n\
                [start]\nroom_headstock = \"40 in\"\n[cylinder]\nbore = \"1 in\"\n\
                rod = \"2 in\"\nmoves:\ndial in 3\nfly\nair on 5 lbf\n";
    let found = tried(text).expect_err("faults");
    let lines: Vec<_> = found.iter().map(|d| d.line(text)).collect();
    assert_eq!(lines, [3, 4, 6, 7, 9, 11, 12, 13], "{found:#?}");
    assert!(found[0].hint.contains("`taper`"));
}

#[test]
fn a_text_without_moves_says_so() {
    let head = "name = \"a\"\nlathe = \"worn-lathe.toml\"\ntaper = \"2 in/ft\"\n";
    let found = faults(&format!(
        "{head}carriage 3 in toward the headstock\nzero dial\n"
    ));
    assert_eq!(found.len(), 1, "{found:?}");
    assert_eq!(found[0].0, "carriage 3 in toward the headstock");
    assert!(found[0].1.contains("`moves:`"));
    let found = faults(&format!("{head}moves:\n# none yet\n"));
    assert_eq!(found.len(), 1, "{found:?}");
    assert!(found[0].1.contains("one move a line"));
}

#[test]
fn faults_of_the_lathe_come_with_those_of_the_moves() {
    let moves = with("", "fly\n");
    let lathe = "name = \"x\"\nunits = \"inch\"\n[slide]\ndrag = \"20\"\n";
    let found = decode(
        Source {
            name: "a.moves",
            text: &moves,
        },
        Source {
            name: "lathe.toml",
            text: lathe,
        },
    )
    .expect_err("faults");
    let files: Vec<_> = found.iter().map(|d| d.file.as_str()).collect();
    assert_eq!(files, ["a.moves", "lathe.toml"]);
}

#[test]
fn a_taper_steeper_than_the_guide_is_doubted() {
    let text = with("", "zero dial\n").replace("2 in/ft", "8 in/ft");
    let (_, warnings) = tried(&text).expect("a warning only");
    assert_eq!(&text[warnings[0].span.clone()], "\"8 in/ft\"");
}

#[test]
fn the_lathe_is_found_in_the_head() {
    let source = |text| Source {
        name: "a.moves",
        text,
    };
    assert_eq!(
        lathe_named_in(source(EXAMPLE)).as_deref(),
        Ok("worn-lathe.toml")
    );
    let found = lathe_named_in(source("name = \"a\"\nmoves:\nzero dial\n")).expect_err("none");
    assert!(found[0].hint.contains("lathe"), "{found:?}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn no_text_makes_it_stumble(text in "\\PC{0,200}") {
        let _ = tried(&text);
        let _ = lathe_named_in(Source { name: "a", text: &text });
    }

    #[test]
    fn mutated_examples_are_read_or_pointed_at(
        at in 0..EXAMPLE.len(), drop in 0..12_usize, put in "[\\PC\n]{0,6}"
    ) {
        let mut from = at;
        while !EXAMPLE.is_char_boundary(from) { from -= 1; }
        let mut to = (from + drop).min(EXAMPLE.len());
        while !EXAMPLE.is_char_boundary(to) { to += 1; }
        let text = format!("{}{put}{}", &EXAMPLE[..from], &EXAMPLE[to..]);
        match tried(&text) {
            Ok((script, _)) => {
                let made = rehearse(&script);
                prop_assert!(made.steps.len() <= script.moves.len());
            }
            Err(found) => {
                prop_assert!(found.iter().any(|d| d.severity == Severity::Error));
                for d in &found {
                    prop_assert!(!d.message.is_empty() && !d.hint.is_empty());
                    if d.file == "a.moves" {
                        prop_assert!(text.get(d.span.clone()).is_some());
                    }
                }
            }
        }
    }
}
