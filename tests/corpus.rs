//! The texts that the fuzzing starts from, and what it once stumbled over, through every decoder.

use std::fs;
use std::path::Path;

use tautway_sim::rehearse;
use tautway_sim::scenario::{
    Diagnostic, Source, decode, decode_finished, decode_lathe, decode_readings, decode_shop_tests,
    lathe_named_in,
};

/// Every text of one target.
fn corpus(target: &str) -> Vec<(String, String)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("fuzz/corpus")
        .join(target);
    let texts: Vec<_> = fs::read_dir(&folder)
        .expect("a corpus")
        .map(|entry| entry.expect("an entry").path())
        .map(|path| {
            let bytes = fs::read(&path).expect("a text");
            let text = String::from_utf8_lossy(&bytes).into_owned();
            (path.display().to_string(), text)
        })
        .collect();
    assert!(texts.len() >= 4, "{}", folder.display());
    texts
}

fn source(text: &str) -> Source<'_> {
    Source { name: "it", text }
}

/// Every fault points into the text and says what would be right.
fn pointed<T>(name: &str, text: &str, read: Result<T, Vec<Diagnostic>>) -> Option<T> {
    match read {
        Ok(read) => Some(read),
        Err(found) => {
            assert!(!found.is_empty(), "{name}");
            for fault in found.iter().filter(|fault| fault.file == "it") {
                assert!(text.get(fault.span.clone()).is_some(), "{name}: {fault:?}");
                assert!(!fault.hint.is_empty(), "{name}: {fault:?}");
            }
            None
        }
    }
}

#[test]
fn scenarios() {
    let mut right = 0;
    for (name, text) in corpus("scenario") {
        let (job, lathe) = text.split_once("\n---\n").unwrap_or((&text, &text));
        pointed(&name, job, lathe_named_in(source(job)));
        pointed(&name, lathe, decode_lathe(source(lathe)));
        let lathe = Source {
            name: "lathe",
            text: lathe,
        };
        right += usize::from(pointed(&name, job, decode(source(job), lathe)).is_some());
    }
    assert!(right >= 3, "{right} are right");
}

#[test]
fn readings() {
    let mut right = 0;
    for (name, text) in corpus("readings") {
        let it = source(&text);
        right += usize::from(pointed(&name, &text, decode_readings(it)).is_some());
        right += usize::from(pointed(&name, &text, decode_shop_tests(it)).is_some());
        right += usize::from(pointed(&name, &text, decode_finished(it)).is_some());
    }
    assert!(right >= 3, "{right} are right");
}

#[test]
fn moves() {
    let lathe = Source {
        name: "lathe",
        text: "name = \"a\"\nunits = \"inch\"\n",
    };
    let mut right = 0;
    for (name, text) in corpus("moves") {
        pointed(&name, &text, rehearse::lathe_named_in(source(&text)));
        if let Some((script, _)) = pointed(&name, &text, rehearse::decode(source(&text), lathe)) {
            let told = format!("{:?}", rehearse::rehearse(&script));
            assert!(!told.contains("NaN"), "{name}: {told}");
            right += 1;
        }
    }
    assert!(right >= 2, "{right} are right");
}
