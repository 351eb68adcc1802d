//! The person's files: found, read and decoded, every trouble with them pointed at.

use std::path::{Path, PathBuf};

use tautway_sim::rehearse::{self, Script};
use tautway_sim::scenario::{
    Diagnostic, Scenario, Severity, Source, decode, decode_finished, decode_lathe, decode_readings,
    decode_sample, decode_shop_tests, lathe_named_in,
};

use crate::diagnostics;
use crate::failure::{Failure, Place};
use crate::terminal;
pub use crate::text_file::Text;
use crate::text_file::{OF_A_FORM, shown};

/// A job, its lathe and what came of reading them.
pub struct Read {
    /// What they say.
    pub scenario: Scenario,
    /// What looks like a slip.
    pub warnings: Vec<Diagnostic>,
    /// The texts, job first.
    pub texts: [Text; 2],
}

/// What is wrong in a pair of files.
pub struct Refused {
    /// Every fault and warning.
    pub found: Vec<Diagnostic>,
    /// The texts they point into.
    pub texts: Vec<Text>,
}

impl Refused {
    /// Shows it on stderr.
    pub fn show(&self) -> Failure {
        refused(&self.found, &self.texts)
    }
}

/// Faults that are told of one pair of files; the rest is counted.
pub const MOST_TOLD: usize = 50;
/// Warnings that are told before an answer; `check` tells them all.
const FIRST: usize = 3;

/// Draws diagnostics on stderr, and counts the errors when there are several.
pub fn show(found: &[Diagnostic], texts: &[Text]) {
    let refused = found.iter().any(|d| d.severity == Severity::Error);
    show_first(found, texts, if refused { MOST_TOLD } else { FIRST });
    let bare = found.iter().filter(|d| d.taken_as().is_some()).count();
    if bare > 0 && !refused {
        let numbers = match bare {
            1 => "1 number without a unit was".to_owned(),
            n => format!("{n} numbers without a unit were"),
        };
        terminal::note(&format!(
            "note: {numbers} taken in the file's units; `tautway check` lists them\n"
        ));
    }
}

/// Shows what stands in the way on stderr.
pub fn refused(found: &[Diagnostic], texts: &[Text]) -> Failure {
    show(found, texts);
    let errors = found.iter().filter(|d| d.severity == Severity::Error);
    Failure::Shown(errors.map(|fault| place(fault, texts)).collect())
}

/// A fault with its place in its text, as far as that is at hand.
fn place(fault: &Diagnostic, texts: &[Text]) -> Place {
    let text = texts.iter().find(|text| text.name == fault.file);
    let before = text.map(|text| &text.text[..fault.span.start.min(text.text.len())]);
    let line_before = before.map(|before| &before[before.rfind('\n').map_or(0, |at| at + 1)..]);
    Place {
        file: fault.file.clone(),
        line: before.map(|before| 1 + before.matches('\n').count()),
        column: line_before.map(|line| 1 + line.chars().count()),
        key: text.and_then(|text| text.key_at(fault.span.start)),
        message: fault.message.clone(),
        hint: fault.hint.clone(),
    }
}

/// How the numbers without a unit were taken, a line a file; nothing where there are none.
pub fn bare_numbers(found: &[Diagnostic]) -> String {
    let mut lines: Vec<(&str, Vec<&str>)> = Vec::new();
    for one in found.iter().filter(|d| d.taken_as().is_some()) {
        match lines.last_mut() {
            Some((file, said)) if *file == one.file => said.push(&one.message),
            _ => lines.push((&one.file, vec![&one.message])),
        }
    }
    lines
        .iter()
        .map(|(file, said)| format!("{file}: no unit: {}\n", said.join(", ")))
        .collect()
}

/// Draws so many at most, and counts the rest.
pub fn show_first(found: &[Diagnostic], texts: &[Text], most: usize) {
    // How a number was taken is told in one line.
    let told = found.iter().filter(|d| d.severity != Severity::Note);
    let mut told: Vec<Diagnostic> = told.cloned().collect();
    if told.is_empty() {
        return;
    }
    let all = told.len();
    let errors = told.iter().filter(|d| d.severity == Severity::Error);
    let errors = errors.count();
    let sources: Vec<_> = texts.iter().map(Text::source).collect();
    // What stands in the way comes first where not all is told.
    if all > most {
        told.sort_by_key(|d| d.severity);
    }
    let more = told.split_off(most.min(told.len()));
    terminal::aside(&diagnostics::render(&told, &sources, terminal::colour()));
    if !more.is_empty() {
        let rest = match errors {
            0 => format!("warnings: `tautway check` tells all {all}"),
            _ => format!("of {errors} errors and {} warnings", all - errors),
        };
        terminal::aside(&format!("\nand {} more {rest}", more.len()));
    } else if errors > 1 {
        terminal::aside(&format!("\n{errors} errors"));
    }
}

/// Reads a job and the lathe that it names.
///
/// # Errors
/// The outer when a file can't be read, the inner when what it says is not right.
pub fn job(path: &Path) -> Result<Result<Read, Refused>, Failure> {
    job_in(path, Text::read(path)?)
}

/// The same of a text that is at hand.
fn job_in(path: &Path, job: Text) -> Result<Result<Read, Refused>, Failure> {
    if is_lathe(&job) {
        return Err(Failure::Input(format!(
            "{} describes a lathe, not a job\n  help: name the job file; `tautway check {}` \
             reads a lathe file",
            job.name, job.name
        )));
    }
    let read = with_lathe(path, job, "job", lathe_named_in, decode)?;
    Ok(read.map(|read| Read {
        scenario: read.value,
        warnings: read.warnings,
        texts: read.texts,
    }))
}

/// The job that a finished piece was cut to: the one typed, else the one its file names, which is
/// looked for beside it.
///
/// # Errors
/// When there is neither.
pub fn job_of_piece(
    typed: Option<&Path>,
    named: Option<&str>,
    file: &Path,
) -> Result<PathBuf, Failure> {
    match (typed, named) {
        (Some(job), _) => Ok(job.to_owned()),
        (None, Some(named)) => Ok(file.with_file_name(named)),
        (None, None) => Err(Failure::Input(format!(
            "{} names no job\n  help: add a line like job = \"job.toml\" at its top, or give --job \
             FILE",
            shown(file)
        ))),
    }
}

/// A job and its lathe from texts that are at hand, job first.
///
/// # Errors
/// When what they say is not right.
pub fn decoded(texts: [Text; 2]) -> Result<Read, Refused> {
    match decode(texts[0].source(), texts[1].source()) {
        Ok((scenario, warnings)) => Ok(Read {
            scenario,
            warnings,
            texts,
        }),
        Err(found) => Err(Refused {
            found,
            texts: texts.into(),
        }),
    }
}

/// A moves file, its lathe and what came of reading them.
pub struct ReadMoves {
    /// What they say.
    pub script: Script,
    /// What looks like a slip.
    pub warnings: Vec<Diagnostic>,
    /// The texts, moves first.
    pub texts: [Text; 2],
}

/// Reads a moves file and the lathe that it names.
///
/// # Errors
/// As [`job`].
pub fn moves(path: &Path) -> Result<Result<ReadMoves, Refused>, Failure> {
    moves_in(path, Text::read(path)?)
}

/// The same of a text that is at hand.
fn moves_in(path: &Path, moves: Text) -> Result<Result<ReadMoves, Refused>, Failure> {
    let read = with_lathe(
        path,
        moves,
        "moves",
        rehearse::lathe_named_in,
        rehearse::decode,
    )?;
    Ok(read.map(|read| ReadMoves {
        script: read.value,
        warnings: read.warnings,
        texts: read.texts,
    }))
}

/// What a decoder makes of a text and its lathe.
type Decoded<T> = Result<(T, Vec<Diagnostic>), Vec<Diagnostic>>;

/// A text and its lathe, decoded.
struct WithLathe<T> {
    value: T,
    warnings: Vec<Diagnostic>,
    texts: [Text; 2],
}

/// Reads the lathe that a text names, beside it, and decodes both. Whatever stands in the way of
/// the lathe, the text's other faults are told with it.
fn with_lathe<T>(
    path: &Path,
    text: Text,
    what: &str,
    named_in: fn(Source<'_>) -> Result<String, Vec<Diagnostic>>,
    decode: fn(Source<'_>, Source<'_>) -> Decoded<T>,
) -> Result<Result<WithLathe<T>, Refused>, Failure> {
    let without_lathe = |text: Text, fault: Option<Diagnostic>| {
        let nothing = Source { name: "", text: "" };
        let mut found = match decode(text.source(), nothing) {
            Ok((_, found)) | Err(found) => found,
        };
        found.retain(|diagnostic| diagnostic.file == text.name);
        found.splice(0..0, fault);
        Refused {
            found,
            texts: vec![text],
        }
    };
    let Ok(named) = named_in(text.source()) else {
        return Ok(Err(without_lathe(text, None)));
    };
    let folder = path.parent().unwrap_or(Path::new(""));
    let lathe = match lathe_beside(&folder.join(&named)) {
        Ok(lathe) => lathe,
        Err(LatheTrouble::Named(message, hint)) => {
            let fault = Diagnostic {
                severity: Severity::Error,
                file: text.name.clone(),
                span: value_of_lathe(&text.text, &named),
                message,
                label: format!("the lathe file, looked for beside the {what}"),
                hint,
            };
            return Ok(Err(without_lathe(text, Some(fault))));
        }
        Err(LatheTrouble::Unreadable(failure)) => return Err(failure),
    };
    Ok(match decode(text.source(), lathe.source()) {
        Ok((value, warnings)) => Ok(WithLathe {
            value,
            warnings,
            texts: [text, lathe],
        }),
        Err(found) => Err(Refused {
            found,
            texts: vec![text, lathe],
        }),
    })
}

enum LatheTrouble {
    /// The job names what is no lathe file: message and hint.
    Named(String, String),
    Unreadable(Failure),
}

fn lathe_beside(path: &Path) -> Result<Text, LatheTrouble> {
    if path.is_dir() {
        return Err(LatheTrouble::Named(
            format!("{} is a directory, not a lathe file", path.display()),
            "name the file: lathe = \"lathe.toml\"".to_owned(),
        ));
    }
    if !path.exists() {
        return Err(LatheTrouble::Named(
            format!("there is no lathe file {}", path.display()),
            "give its name as seen from this file, or write one with `tautway new`".to_owned(),
        ));
    }
    Text::read(path).map_err(LatheTrouble::Unreadable)
}

/// Where the name of the lathe stands in the job.
fn value_of_lathe(text: &str, named: &str) -> std::ops::Range<usize> {
    let mut from = 0;
    for line in text.split_inclusive('\n') {
        if line.trim_start().starts_with("lathe") {
            let value = line.find('=').unwrap_or(0);
            return match line[value..].find(named) {
                Some(at) => from + value + at..from + value + at + named.len(),
                None => from..from + line.trim_end().len(),
            };
        }
        from += line.len();
    }
    0..0
}

/// Whether a text opens one of these tables.
fn opens(text: &Text, names: &[&str]) -> bool {
    text.text.lines().any(|line| {
        let table = line.trim_start().strip_prefix('[').unwrap_or("");
        let name = table.split([']', '.']).next().unwrap_or("").trim();
        names.contains(&name)
    })
}

/// Whether a text tells of a swept sample.
pub fn is_sample(text: &Text) -> bool {
    opens(text, &["sample", "swept"])
}

/// Whether a text describes a lathe: it names none and has a lathe's tables.
pub fn is_lathe(text: &Text) -> bool {
    const OF_A_LATHE: [&str; 7] = [
        "attachment",
        "slide",
        "spindle",
        "posts",
        "readout",
        "top_slide",
        "tailstock",
    ];
    lathe_named_in(text.source()).is_err()
        && !opens(text, &["work", "tool", "passes"])
        && opens(text, &OF_A_LATHE)
}

/// Whether a text says what was gauged on a finished piece.
pub fn is_piece(text: &Text) -> bool {
    opens(text, &["gauged"])
}

/// Whether a text lists hand moves.
fn is_moves(text: &Text) -> bool {
    let bare = |line: &str| line.split('#').next().unwrap_or("").trim().to_lowercase();
    text.text.lines().any(|line| bare(line) == "moves:")
}

/// Whether a text is a form of shop tests, filled in or not.
fn is_shop_tests(text: &Text) -> bool {
    opens(text, &OF_A_FORM) && !opens(text, &["work", "attachment", "wanted"])
}

/// A file that is in order.
pub struct InOrder {
    /// What it is, and the files read with it: `job.toml and its lathe lathe.toml`.
    pub what: String,
    /// What looks like a slip.
    pub warnings: Vec<Diagnostic>,
    /// The texts.
    pub texts: Vec<Text>,
}

/// Reads any file that the program reads, told apart by what stands in it; what is none of the
/// others is read as a job.
///
/// # Errors
/// As [`job`].
pub fn any(path: &Path) -> Result<Result<InOrder, Refused>, Failure> {
    let text = Text::read(path)?;
    let name = text.name.clone();
    let alone = |decoded: Result<(String, Vec<Diagnostic>), Vec<Diagnostic>>| {
        let texts = vec![text.clone()];
        match decoded {
            Ok((what, warnings)) => Ok(InOrder {
                what: format!("{name} ({what})"),
                warnings,
                texts,
            }),
            Err(found) => Err(Refused { found, texts }),
        }
    };
    let source = text.source();
    Ok(if is_moves(&text) {
        moves_in(path, text)?.map(|read| InOrder {
            what: format!(
                "{name} (hand moves, {}) and its lathe {}",
                read.script.moves.len(),
                read.texts[1].name
            ),
            warnings: read.warnings,
            texts: read.texts.to_vec(),
        })
    } else if is_piece(&text) {
        alone(decode_finished(source).map(|(_, w)| ("what a finished job gave".to_owned(), w)))
    } else if is_sample(&text) {
        alone(
            decode_sample(source)
                .map(|(sample, warnings)| (format!("a swept sample: {}", sample.name), warnings)),
        )
    } else if opens(&text, &["readings", "wanted"]) {
        alone(decode_readings(source).map(|(set, warnings)| {
            let what = format!("readings, {}: {}", set.readings.len(), set.name);
            (what, warnings)
        }))
    } else if is_shop_tests(&text) {
        alone(decode_shop_tests(source).map(|(tests, warnings)| {
            let done: Vec<String> = tests
                .done()
                .iter()
                .map(|t| t.number().to_string())
                .collect();
            let done = match done.len() {
                0 => "none filled in".to_owned(),
                _ => format!("filled in: {}", done.join(", ")),
            };
            (format!("shop tests, {done}"), warnings)
        }))
    } else if is_lathe(&text) {
        alone(decode_lathe(source).map(|(lathe, w)| (format!("lathe, {}", lathe.name), w)))
    } else {
        job_in(path, text)?.map(|read| InOrder {
            what: format!("{name} and its lathe {}", read.texts[1].name),
            warnings: read.warnings,
            texts: read.texts.to_vec(),
        })
    })
}
