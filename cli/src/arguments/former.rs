//! Words that were typed before: read as what they are called now, with one hint.

use std::ffi::OsString;

/// The words of a command, and what it is called now.
const COMMANDS: &[(&[&str], &[&str])] = &[
    (&["fit"], &["gauging"]),
    (&["readings"], &["guide"]),
    (&["lathe", "blank"], &["blank", "tests"]),
    (&["join"], &["tools", "join"]),
    (&["schema"], &["tools", "schema"]),
    (&["manual"], &["tools", "manual"]),
    (&["completions"], &["tools", "completions"]),
];

/// A command that is told by another, and does what it did.
const TOLD_BY: &[(&str, &str)] = &[("thread", "compare")];

/// Options of these commands, and what each is called now.
const OPTIONS: &[(&[&str], &str, &str)] = &[
    (
        &[
            "compare", "predict", "modify", "preload", "guide", "rehearse", "thread", "tools",
        ],
        "--out",
        "--folder",
    ),
    (&["blank", "lathe"], "--write", "--out"),
    (&["compare"], "--from", "--first-trial"),
    (&["compare"], "--count", "--trials"),
    (&["preload"], "--sure", "--coverage"),
    (&["piece"], "--cuts", "--trials"),
    (&["lathe"], "--draws", "--trials"),
    (&["gauging"], "--standoff", "--read"),
    (&["gauging"], "--large", "--big"),
    (&["gauging"], "--large-depth", "--big-depth"),
];

/// Options of the whole program that take the next word with them.
const TAKES_A_WORD: [&str; 2] = ["--color", "--decimal"];

/// What was typed in today's words, and what to say to who typed others.
pub fn in_todays_words(typed: Vec<OsString>) -> (Vec<OsString>, Option<String>) {
    let mut words = typed;
    let mut said: Vec<String> = Vec::new();
    let places = commands(&words);
    let word = |words: &[OsString], nth: usize| {
        let place: Option<&usize> = places.get(nth);
        place.and_then(|at| words[*at].to_str().map(str::to_owned))
    };
    let renamed = COMMANDS.iter().find(|(former, _)| {
        let mut former = former.iter().enumerate();
        former.all(|(nth, former)| word(&words, nth).as_deref() == Some(*former))
    });
    let told_by = TOLD_BY
        .iter()
        .find(|(former, _)| word(&words, 0).as_deref() == Some(*former));
    if let Some((former, now)) = renamed {
        let (first, last) = (places[0], places[former.len() - 1]);
        words.splice(first..=last, now.iter().map(OsString::from));
        let [former, now] = [former, now].map(|words| words.join(" "));
        said.push(format!("`tautway {former}` is `tautway {now}` now"));
    }
    if let Some((former, now)) = told_by {
        said.push(format!("`tautway {former}` is told by `tautway {now}` now"));
    }
    let command = commands(&words).first().map(|at| words[*at].clone());
    let end = words.iter().position(|word| word == "--");
    let end = end.unwrap_or(words.len());
    for typed in &mut words[..end] {
        let Some(text) = typed.to_str() else { continue };
        let (name, value) = match text.split_once('=') {
            Some((name, value)) => (name, Some(value)),
            None => (text, None),
        };
        let known = OPTIONS.iter().find(|(of, former, _)| {
            *former == name
                && of
                    .iter()
                    .any(|of| command.as_deref().is_some_and(|c| c == *of))
        });
        let Some((_, former, now)) = known else {
            continue;
        };
        let hint = format!("`{former}` is `{now}` now");
        if !said.contains(&hint) {
            said.push(hint);
        }
        *typed = match value {
            Some(value) => format!("{now}={value}").into(),
            None => (*now).into(),
        };
    }
    let hint = (!said.is_empty()).then(|| format!("hint: {}", said.join(", ")));
    (words, hint)
}

/// Where the first two words stand that are no options.
fn commands(words: &[OsString]) -> Vec<usize> {
    let mut found = Vec::new();
    let mut taken = false;
    for (at, word) in words.iter().enumerate() {
        let option = word.as_encoded_bytes().starts_with(b"-");
        if !option && !taken {
            found.push(at);
        }
        if found.len() == 2 || word == "--" {
            break;
        }
        taken = TAKES_A_WORD.iter().any(|option| word == option);
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(line: &str) -> (String, Option<String>) {
        let typed = line.split(' ').map(OsString::from).collect();
        let (words, hint) = in_todays_words(typed);
        let words: Vec<_> = words.iter().map(|word| word.to_string_lossy()).collect();
        (words.join(" "), hint)
    }

    #[test]
    fn former_words_are_read_as_todays_and_told_in_one_hint() {
        for (typed, now, said) in [
            (
                "compare job.toml --from 5 --count=50 --out part",
                "compare job.toml --first-trial 5 --trials=50 --folder part",
                Some(
                    "hint: `--from` is `--first-trial` now, `--count` is `--trials` now, `--out` is \
                     `--folder` now",
                ),
            ),
            (
                "--color never lathe -q blank --write a.tests",
                "--color never blank tests --out a.tests",
                Some(
                    "hint: `tautway lathe blank` is `tautway blank tests` now, `--write` is `--out` now",
                ),
            ),
            (
                "readings a --out b --out=c",
                "guide a --folder b --folder=c",
                Some("hint: `tautway readings` is `tautway guide` now, `--out` is `--folder` now"),
            ),
            (
                "thread job.toml",
                "thread job.toml",
                Some("hint: `tautway thread` is told by `tautway compare` now"),
            ),
            (
                "lathe update t --from worn",
                "lathe update t --from worn",
                None,
            ),
            (
                "sheet job.toml --out a.html",
                "sheet job.toml --out a.html",
                None,
            ),
            ("check -- --write", "check -- --write", None),
            ("help fit", "help fit", None),
        ] {
            assert_eq!(read(typed), (now.to_owned(), said.map(str::to_owned)));
        }
    }
}
