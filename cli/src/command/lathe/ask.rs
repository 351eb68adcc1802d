//! `tautway lathe ask`: the readings asked for at the terminal.

use std::io;

use tautway_sim::quantity::Units;
use tautway_sim::scenario::{Diagnostic, Severity, Source, decode_shop_tests};
use tautway_sim::shop_tests::form;
use toml_edit::{Array, DocumentMut, Item, Value};

use crate::command::draft::Draft;
use crate::command::new::Stopped;
use crate::command::new::person::{AtTerminal, Person};
use crate::command::new::question::{
    Bare, Ended, WORDS, Word, either, in_the_field_s_unit, in_words, parts, points_at, taken, word,
};
use crate::command::own_files::TESTS;
use crate::failure::Failure;
use crate::output::file;
use crate::plan::Write;
use crate::terminal;

/// What is asked for: key, words, and whether there are repeats.
const QUESTIONS: &[(&str, &str, bool)] = &[
    ("name", "What does the shop call this lathe", false),
    (
        "steps.slide",
        "How finely does the indicator on the slide read",
        false,
    ),
    (
        "steps.reads",
        "What does that count: diameter (0.200 when the slide moves 0.100), radius or indicator",
        false,
    ),
    (
        "steps.carriage",
        "How finely was carriage travel read",
        false,
    ),
    (
        "steps.scale",
        "How finely does the spring scale read",
        false,
    ),
    ("steps.gauge", "How finely does the micrometer read", false),
    (
        "reversal.taper",
        "Test 1: the taper the guide stands at",
        false,
    ),
    (
        "reversal.slide_moved",
        "How far was the slide let move before reading",
        false,
    ),
    (
        "reversal.middle",
        "Carriage travel lost in the middle of the guide",
        true,
    ),
    (
        "reversal.headstock_end",
        "The same near its headstock end",
        true,
    ),
    (
        "reversal.tailstock_end",
        "The same near its tailstock end",
        true,
    ),
    (
        "reversal_slow.taper",
        "The slow taper, if you did it there too",
        false,
    ),
    (
        "reversal_slow.middle",
        "Carriage travel lost at the slow taper",
        true,
    ),
    (
        "foot.lost",
        "Test 2: carriage travel before the guide bar stands still",
        true,
    ),
    ("parts.dial", "Test 3: what the cross dial loses", true),
    (
        "parts.dial_at_ends",
        "The same near the ends of the stroke",
        true,
    ),
    ("parts.thrust", "End float of screw or yoke", true),
    ("parts.shoe", "Shoe on the guide, square to the bar", true),
    (
        "drag.start_toward",
        "Test 4: pull that starts the slide, toward you",
        true,
    ),
    ("drag.start_away", "The same, away from you", true),
    (
        "drag.running_toward",
        "Pull that keeps it creeping, toward you",
        true,
    ),
    ("drag.running_away", "The same, away from you", true),
    (
        "drag.along",
        "The same at five places along the stroke",
        true,
    ),
    ("spring.forces", "Test 5: the pulls of one run", true),
    (
        "spring.post_pulled",
        "How far the tool post went, pulled, run after run",
        true,
    ),
    ("spring.post_pushed", "The same, pushed", true),
    (
        "spring.slide_pulled",
        "How far the slide went, pulled",
        true,
    ),
    ("spring.slide_pushed", "The same, pushed", true),
    ("bar.tip_force", "Test 6: the pull at the bar's tip", false),
    ("bar.tip_moved", "How far the tip went", true),
    (
        "bar.chuck_force",
        "The pull on the work at the chuck",
        false,
    ),
    ("bar.chuck_moved", "How far the work went there", true),
    (
        "bar.centre_force",
        "The pull on the work at the centre",
        false,
    ),
    ("bar.centre_moved", "How far the work went there", true),
    (
        "bar.reach",
        "From the tip to the middle of the slide",
        false,
    ),
    ("bar.wag", "How far the tip wags without force", true),
    (
        "guide.zero",
        "Test 7: taper left with the guide at zero, with its sign",
        true,
    ),
    (
        "straight_cut.headstock_end",
        "Test 8: diameter at the headstock end",
        true,
    ),
    (
        "straight_cut.tailstock_end",
        "Diameter at the tailstock end",
        true,
    ),
    ("straight_cut.apart", "How far apart those two are", false),
    (
        "two_way_cut.toward_headstock",
        "Test 9: diameter fed toward the headstock",
        true,
    ),
    (
        "two_way_cut.toward_tailstock",
        "Diameter fed toward the tailstock",
        true,
    ),
    ("two_way_cut.waves", "Waves: none or seen", false),
    ("set_taken.set", "Test 10: set, per side", false),
    ("set_taken.taken", "Taken, per side", true),
    (
        "carriage_rock.moved",
        "Test 11: what the post moves between a push at either end of the carriage",
        true,
    ),
    ("two_cuts.material", "Test 12: what was cut", false),
    ("two_cuts.taper", "The taper the guide stood at", false),
    ("two_cuts.nose_radius", "The tool's nose radius", false),
    ("two_cuts.feed", "The feed per turn", false),
    ("two_cuts.pulled_in_set", "Pulled in: set, per side", false),
    ("two_cuts.pulled_in_taken", "Taken, per side", true),
    (
        "two_cuts.drawn_away_set",
        "Drawn away: set, per side",
        false,
    ),
    ("two_cuts.drawn_away_taken", "Taken, per side", true),
];

/// Asks and writes.
///
/// # Errors
/// When nobody can be asked or the file can't be written.
pub fn ask(units: Units, args: &Write) -> Result<(), Failure> {
    let Some(path) = &args.write else {
        return Err(Failure::Input(
            "there is no place for the readings\n  help: name a file: tautway lathe ask --out \
             tests.toml"
                .to_owned(),
        ));
    };
    if file::is_standard_output(path) {
        return Err(Failure::Input(
            "the questions are asked on standard output, so the readings can't go there\n  help: \
             name a file: tautway lathe ask --out tests.toml"
                .to_owned(),
        ));
    }
    file::may_be_written(path, args.overwrite, &TESTS)?;
    let Some(mut someone) = AtTerminal::new() else {
        return Err(Failure::Input(
            "`tautway lathe ask` asks questions and needs a terminal for it\n  help: or answers \
             on standard input, a line each; `tautway blank tests` writes the file to fill in"
                .to_owned(),
        ));
    };
    let mut draft = Draft::beside(path)?;
    let text = interview(&mut someone, units, &mut draft).map_err(|stopped| {
        let why = match stopped {
            Stopped::Failed(failure) => return failure,
            Stopped::Ended(Ended::Terminal(why)) => format!("can't ask: {why}"),
            Stopped::Ended(Ended::Early) => "the answers ended before the questions".to_owned(),
            Stopped::Ended(Ended::Quit) => "stopped".to_owned(),
        };
        Failure::Stopped(match draft.is_empty() {
            true => format!("{why}; nothing was written"),
            false => format!("{why}; {}", draft.told()),
        })
    })?;
    file::write(path, args.overwrite, &text, &TESTS)?;
    draft.done();
    let path = path.display();
    terminal::answer(&format!(
        "Wrote {path}. Next: tautway lathe update {path} --from worn\n"
    ))
}

/// Asks every question; each answer is checked at once.
fn interview(person: &mut dyn Person, units: Units, draft: &mut Draft) -> Result<String, Stopped> {
    person.tell(&format!(
        "Press Enter for \"not done\". Repeats go on one line with commas between, or pasted. {WORDS}"
    ))?;
    if let Some(told) = draft.going_on() {
        person.tell(&told)?;
    }
    let mut text = form::blank(units);
    let mut before: Vec<(usize, String)> = Vec::new();
    let mut skipped: Vec<&str> = Vec::new();
    let mut at = 0;
    while let Some((key, words, repeats)) = QUESTIONS.get(at).copied() {
        let test = key.split('.').next().unwrap_or(key);
        if skipped.contains(&test) {
            at += 1;
            continue;
        }
        let line = match draft.given(key) {
            Some(line) => line,
            None => {
                let many = if repeats { " (each repeat)" } else { "" };
                let line = person.ask(&format!("{words}{many}?"))?;
                line.ok_or(Ended::Early)?
            }
        };
        let said = line.trim();
        match word(said) {
            Some(Word::Quit) => return Err(Ended::Quit.into()),
            Some(Word::Skip) => skipped.push(test),
            Some(Word::Help) => {
                let number = place_of(test);
                person.tell(&format!(
                    "  {number} `tautway lathe form` tells how.\n  {WORDS}"
                ))?;
            }
            Some(Word::Back) => match before.pop() {
                Some((place, text_then)) => {
                    text = text_then;
                    at = place;
                    draft.forget(QUESTIONS[at].0)?;
                }
                None => person.tell("  This is the first.")?,
            },
            None => {
                let known = draft.given(key).is_some();
                match answered(person, &text, (key, repeats), said, units, known)? {
                    Some(tried) => {
                        draft.keep(key, said)?;
                        before.push((at, std::mem::replace(&mut text, tried)));
                        at += 1;
                    }
                    None => draft.forget(key)?,
                }
            }
        }
    }
    Ok(text)
}

/// What a question belongs to.
fn place_of(test: &str) -> String {
    let first = QUESTIONS
        .iter()
        .find(|(key, words, _)| key.starts_with(test) && words.starts_with("Test"));
    first.map_or_else(String::new, |(_, words, _)| {
        let number = words.split(':').next().unwrap_or(words);
        format!("It is of {}.", number.to_lowercase())
    })
}

/// The file with this answer, if it is right; else what would be right is told.
fn answered(
    person: &mut dyn Person,
    text: &str,
    (key, repeats): (&str, bool),
    said: &str,
    units: Units,
    quietly: bool,
) -> io::Result<Option<String>> {
    if said.is_empty() {
        return Ok(Some(text.to_owned()));
    }
    let try_out = |said: &str| {
        let tried = with(text, key, said, repeats, units);
        let source = Source {
            name: "the readings",
            text: &tried,
        };
        let mut found = decode_shop_tests(source).map_or_else(|f| f, |(_, f)| f);
        found.retain(|d| points_at(&tried, d, key));
        (tried, found)
    };
    let (mut tried, mut found) = try_out(said);
    if let Some(unclear) = found.iter().find(|d| d.is_unclear()) {
        person.tell(&format!("  Needed: the unit. {}.", either(unclear)))?;
        return Ok(None);
    }
    if found.iter().any(Diagnostic::is_of_a_bare_number) {
        match in_the_field_s_unit(said, units, |said| try_out(&said).1) {
            Bare::Is(said) => {
                if !quietly {
                    person.tell(&format!("  Taken as {said}."))?;
                }
                (tried, found) = try_out(&said);
            }
            Bare::Odd(said, warning) => {
                person.tell(&format!("  Needed: the unit. {said}? {warning}."))?;
                return Ok(None);
            }
            Bare::Not => {}
        }
    }
    if let Some(fault) = found.iter().find(|d| d.severity == Severity::Error) {
        person.tell(&format!("  Needed: {}.", in_words(fault)))?;
        return Ok(None);
    }
    if let Some(taken) = taken(&found).filter(|_| !quietly) {
        person.tell(&taken)?;
    }
    let doubt = found.iter().find(|d| d.severity == Severity::Warning);
    if let Some(doubt) = doubt.filter(|_| !quietly) {
        person.tell(&format!("  OK, but check: {}.", in_words(doubt)))?;
    }
    Ok(Some(tried))
}

/// The file with an answer in it.
fn with(text: &str, key: &str, said: &str, repeats: bool, units: Units) -> String {
    let Ok(mut document) = text.parse::<DocumentMut>() else {
        return text.to_owned();
    };
    let mut value = if repeats {
        Value::from(parts(said, units).into_iter().collect::<Array>())
    } else {
        Value::from(said)
    };
    let (place, name) = key.split_once('.').unwrap_or(("", key));
    let item = if place.is_empty() {
        &mut document[name]
    } else {
        &mut document[place][name]
    };
    if let Some(old) = item.as_value() {
        *value.decor_mut() = old.decor().clone();
    }
    *item = Item::Value(value);
    document.to_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    struct Script(std::vec::IntoIter<String>, Vec<String>);

    impl Person for Script {
        fn tell(&mut self, line: &str) -> io::Result<()> {
            self.1.push(line.to_owned());
            Ok(())
        }
        fn ask(&mut self, _: &str) -> io::Result<Option<String>> {
            Ok(self.0.next())
        }
    }

    #[test]
    fn answers_are_checked_at_once_and_end_in_a_file_that_reads() {
        let mut lines = Vec::new();
        for (key, ..) in QUESTIONS {
            match *key {
                "reversal.middle" => {
                    // Refused for its wrong unit, then right, those without a unit read back.
                    lines.push("0.95 lbf, 0.97".to_owned());
                    lines.push("0.95, 0.97 in, 0.96".to_owned());
                }
                // No such pull: it is asked for its unit, and then taken as told.
                "drag.start_toward" => {
                    lines.push("800, 850".to_owned());
                    lines.push("80 N, 85 N".to_owned());
                }
                "set_taken.set" => lines.push(".010".to_owned()),
                _ => lines.push(String::new()),
            }
        }
        let mut person = Script(lines.into_iter(), Vec::new());
        let text = interview(&mut person, Units::Inch, &mut Draft::nowhere())
            .map_err(|_| "stopped")
            .expect("enough answers");
        let needed = person.1.iter().filter(|line| line.contains("Needed"));
        assert_eq!(needed.count(), 2, "{:?}", person.1);
        let taken = person.1.iter().filter(|line| line.contains("Taken as"));
        let taken: Vec<_> = taken.collect();
        assert_eq!(
            taken,
            ["  Taken as 0.95 in, 0.96 in.", "  Taken as .010 in."]
        );
        let source = Source {
            name: "tests.toml",
            text: &text,
        };
        let (tests, _) = decode_shop_tests(source).expect("it reads");
        assert_eq!(tests.reversals[0].middle.len(), 3);
        assert!((tests.set - 0.010 * 0.0254).abs() < 1e-12);
        assert!(tests.foot.is_empty());
    }
}
