//! One reader for every file of a person's: plain text, of a size one writes by hand, of our kinds.

use std::fs::{self, File};
use std::io::{self, BufRead as _, ErrorKind, Read};
use std::path::Path;
use std::sync::atomic::{AtomicBool, Ordering};

use tautway_sim::scenario::{Source, keys};

use crate::failure::Failure;
use crate::output;
use crate::terminal;

/// The name that stands for what is typed or piped in.
pub const STANDARD_INPUT: &str = "-";
/// Whether it was read: there is one.
static STDIN_READ: AtomicBool = AtomicBool::new(false);
/// Bytes of a text written by hand, at most.
const MOST: u64 = 1 << 20;
/// The same of readings, which a readout may have written, and of what the program wrote itself.
const MOST_READINGS: u64 = 16 << 20;

/// A file's text and the name it goes by in messages.
#[derive(Clone, Debug)]
pub struct Text {
    /// As the person wrote it, or as found from the job; what can't be shown is escaped.
    pub name: String,
    /// Its text.
    pub text: String,
}

impl Text {
    /// As the decoder wants it.
    pub fn source(&self) -> Source<'_> {
        Source {
            name: &self.name,
            text: &self.text,
        }
    }

    /// The key whose value stands at this byte: `work.length`; none outside of any.
    pub fn key_at(&self, at: usize) -> Option<String> {
        let upto = self.text.get(..at)?;
        let rest = self.text[at..].lines().next().unwrap_or("");
        let lines: Vec<&str> = upto.split('\n').collect();
        let (last, before) = lines.split_last()?;
        let last = format!("{last}{rest}");
        let head = |line: &str| {
            let table = line.trim().strip_prefix('[')?.split(']').next()?;
            Some(table.trim_matches('[').trim().to_owned())
        };
        // A value may go on over several lines: its key is the nearest above.
        let key = |line: &str| {
            let (key, _) = line.split_once('=')?;
            let key = key.trim().trim_matches('"');
            let plain = |c: char| c.is_alphanumeric() || matches!(c, '_' | '-' | '.');
            (!key.is_empty() && key.chars().all(plain)).then(|| key.to_owned())
        };
        let upward = || std::iter::once(last.as_str()).chain(before.iter().rev().copied());
        let is_head = |line: &str| line.trim_start().starts_with('[') && head(line).is_some();
        let own = upward().take_while(|line| !is_head(line)).find_map(key);
        let table = upward().find(|line| is_head(line)).and_then(head);
        match (table, own) {
            (Some(table), Some(own)) => Some(format!("{table}.{own}")),
            (table, own) => own.or(table),
        }
    }

    /// The file's own name, without where it lies: what is written tells that, as the same files
    /// may be run from other directories.
    pub fn file_name(&self) -> String {
        let name = Path::new(&self.name).file_name();
        name.map_or(self.name.clone(), |name| {
            name.to_string_lossy().into_owned()
        })
    }

    /// The lines of a file too long to be held.
    ///
    /// # Errors
    /// When it can't be opened; a line, when it can't be read or isn't UTF-8.
    pub fn lines(path: &Path) -> Result<impl Iterator<Item = io::Result<String>>, Failure> {
        let file = opened(path)?;
        output::read_from(path);
        Ok(io::BufReader::new(file).lines())
    }

    /// Reads one file of a person's; `-` is standard input.
    ///
    /// # Errors
    /// When it isn't a readable plain file of UTF-8, or plainly none of ours.
    pub fn read(path: &Path) -> Result<Self, Failure> {
        let text = if path.as_os_str() == STANDARD_INPUT {
            let name = "standard input".to_owned();
            if STDIN_READ.swap(true, Ordering::SeqCst) {
                return Err(Failure::Input(
                    "standard input can be read as one file only\n  help: name the other file"
                        .to_owned(),
                ));
            }
            let bytes = held(io::stdin().lock(), &name)
                .map_err(|why| Failure::of_file("read", Path::new(&name), &why))??;
            Self::of_bytes(name, bytes)?
        } else {
            let name = shown(path);
            let bytes = held(opened(path)?, &name).map_err(|why| unread(path, &why))??;
            output::read_from(path);
            Self::of_bytes(name, bytes)?
        };
        if text.text.len() as u64 > MOST && !text.has(&["readings", "rows"]) {
            return Err(too_large(&text.name, MOST));
        }
        if text.is_of_another_kind() {
            return Err(Failure::Input(format!(
                "{} is no file of a lathe, a job, readings, shop tests, moves or a finished job",
                text.name
            )));
        }
        Ok(text)
    }

    /// Reads a file that the program wrote.
    ///
    /// # Errors
    /// When it isn't a readable plain file of UTF-8.
    pub fn of_ours(path: &Path) -> Result<Self, Failure> {
        let name = shown(path);
        let bytes = held(opened(path)?, &name).map_err(|why| unread(path, &why))??;
        output::read_from(path);
        Self::of_bytes(name, bytes)
    }

    fn of_bytes(name: String, bytes: Vec<u8>) -> Result<Self, Failure> {
        match String::from_utf8(bytes) {
            Ok(text) => Ok(Self {
                name,
                text: with_straight_quotes(text),
            }),
            Err(fault) => {
                let good = &fault.as_bytes()[..fault.utf8_error().valid_up_to()];
                let line = 1 + good.iter().filter(|byte| **byte == b'\n').count();
                let from = good
                    .iter()
                    .rposition(|b| *b == b'\n')
                    .map_or(0, |at| at + 1);
                let column = 1 + String::from_utf8_lossy(&good[from..]).chars().count();
                Err(Failure::Input(format!(
                    "{name}:{line}:{column}: this is not UTF-8 text\n  \
                     help: save the file as plain text in UTF-8 (not UTF-16, not the format of \
                     a word processor)"
                )))
            }
        }
    }

    /// Whether a line begins with one of these, as a key or a table.
    fn has(&self, names: &[&str]) -> bool {
        openings(&self.text).any(|opening| names.contains(&opening))
    }

    /// Whether it says something, and no line of it begins as one of ours does: then nothing of
    /// it is shown either.
    fn is_of_another_kind(&self) -> bool {
        let says = |line: &str| {
            let line = line.trim().trim_start_matches('\u{feff}');
            !line.is_empty() && !line.starts_with('#')
        };
        if !self.text.lines().any(says) {
            return false;
        }
        let known: Vec<String> = [keys::lathe(), keys::job()]
            .into_iter()
            .flat_map(|keys| keys.all)
            .map(|key| key.path.split('.').next().unwrap_or("").to_owned())
            .collect();
        let of_others = [
            "moves",
            "guide",
            "spring",
            "bar",
            "wanted",
            "readings",
            "gauged",
            "way",
            "other_way",
            "job",
            "taper",
            "big_end",
        ];
        !openings(&self.text).any(|opening| {
            OF_A_FORM.contains(&opening)
                || of_others.contains(&opening)
                || known.iter().any(|known| known == opening)
        })
    }
}

/// Tables that tell a form of shop tests.
pub const OF_A_FORM: [&str; 11] = [
    "steps",
    "reversal",
    "reversal_slow",
    "foot",
    "parts",
    "drag",
    "straight_cut",
    "two_way_cut",
    "set_taken",
    "carriage_rock",
    "two_cuts",
];

/// What stands before `=` or `:`, or first in brackets, in each line, without what follows a point.
fn openings(text: &str) -> impl Iterator<Item = &str> {
    text.lines().filter_map(|line| {
        let line = line.trim().trim_start_matches('\u{feff}');
        let name = match line.strip_prefix('[') {
            Some(table) => table.split(']').next()?,
            None => line.split_once(['=', ':'])?.0,
        };
        let name = name.split('.').next()?.trim();
        Some(name.trim_matches('"'))
    })
}

/// A path in messages: what a terminal would act on is escaped.
pub fn shown(path: &Path) -> String {
    terminal::escaped(&path.display().to_string())
}

fn opened(path: &Path) -> Result<File, Failure> {
    if path.is_dir() {
        return Err(Failure::Input(a_directory(path)));
    }
    let about = fs::metadata(path).map_err(|why| unread(path, &why))?;
    if !about.is_file() {
        return Err(Failure::Input(format!(
            "{} is no plain file\n  help: name a file; to pipe a text in, write - for its name",
            shown(path)
        )));
    }
    if about.len() > MOST_READINGS && path.extension().is_none_or(|end| end != "jsonl") {
        return Err(too_large(&shown(path), MOST_READINGS));
    }
    File::open(path).map_err(|why| unread(path, &why))
}

fn too_large(name: &str, most: u64) -> Failure {
    Failure::Input(format!(
        "{name} is larger than {} MiB\n  help: a file of this kind is written by hand, and readings \
         are 16 MiB at most",
        most >> 20
    ))
}

/// All of it, as long as it is no larger than any file of ours.
fn held(from: impl Read, name: &str) -> io::Result<Result<Vec<u8>, Failure>> {
    let mut bytes = Vec::new();
    from.take(MOST_READINGS + 1).read_to_end(&mut bytes)?;
    Ok(match bytes.len() as u64 > MOST_READINGS {
        true => Err(too_large(name, MOST_READINGS)),
        false => Ok(bytes),
    })
}

fn unread(path: &Path, why: &io::Error) -> Failure {
    match why.kind() {
        ErrorKind::NotFound => Failure::Stopped(not_there(path)),
        _ => Failure::of_file("read", path, why),
    }
}

fn a_directory(path: &Path) -> String {
    let mut inside: Vec<String> = fs::read_dir(path)
        .into_iter()
        .flatten()
        .flatten()
        .map(|entry| entry.path())
        .filter(|file| file.extension().is_some_and(|end| end == "toml"))
        .map(|file| shown(&file))
        .collect();
    inside.sort();
    inside.truncate(5);
    let hint = if inside.is_empty() {
        format!("write a job there with `tautway new {}`", shown(path))
    } else {
        format!("name a file, such as {}", inside.join(" or "))
    };
    format!("{} is a directory\n  help: {hint}", shown(path))
}

fn not_there(path: &Path) -> String {
    let parent = path.parent().filter(|p| !p.as_os_str().is_empty());
    let hint = match parent {
        Some(parent) if !parent.is_dir() => {
            format!("there is no directory {} either", shown(parent))
        }
        _ => "look at the spelling, or write a job with `tautway new`".to_owned(),
    };
    format!("there is no file {}\n  help: {hint}", shown(path))
}

/// The text with the curly quotes round its values made straight, as pasted ones are no quotes of
/// a file; spaces keep every place. Those within quotes, comments and texts of several lines stay.
fn with_straight_quotes(text: String) -> String {
    const CURLY: [char; 5] = ['\u{201c}', '\u{201d}', '\u{201e}', '\u{2018}', '\u{2019}'];
    if !text.contains(CURLY) || text.contains("\"\"\"") || text.contains("'''") {
        return text;
    }
    let mut made = String::with_capacity(text.len());
    for line in text.split_inclusive('\n') {
        let mut rest = line;
        while let Some(at) = rest.find(|c| CURLY.contains(&c) || matches!(c, '"' | '\'' | '#')) {
            let opening = rest[at..].chars().next().unwrap_or_default();
            let inside = &rest[at + opening.len_utf8()..];
            let curly = CURLY.contains(&opening);
            let closes = |c: char| match curly {
                true => CURLY.contains(&c),
                false => c == opening,
            };
            let Some(end) = inside.find(closes).filter(|_| opening != '#') else {
                break;
            };
            let closing = inside[end..].chars().next().map_or(0, char::len_utf8);
            made.push_str(&rest[..at]);
            if curly {
                let value = &inside[..end];
                let quote = if value.contains('"') { "'" } else { "\"" };
                made.push_str(&format!(
                    "  {quote}{value}{quote}{}",
                    " ".repeat(closing - 1)
                ));
            } else {
                made.push_str(&rest[at..at + 1 + end + closing]);
            }
            rest = &inside[end + closing..];
        }
        made.push_str(rest);
    }
    made
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pasted_quotes_are_made_straight_and_every_place_stays() {
        for (pasted, straight) in [
            ("length = “3 in”\n", "length =   \"3 in\"  \n"),
            ("bar = “3\"”\n", "bar =   '3\"'  \n"),
            ("a = [‘1 in’, “2 in”]", "a = [  \"1 in\"  ,   \"2 in\"  ]"),
            (
                "note = \"the “big” end\" # it’s “so”\n",
                "note = \"the “big” end\" # it’s “so”\n",
            ),
            ("a = “3 in\nb = 2\n", "a = “3 in\nb = 2\n"),
        ] {
            let made = with_straight_quotes(pasted.to_owned());
            assert_eq!(made, straight);
            assert_eq!(made.len(), pasted.len());
        }
    }
}
