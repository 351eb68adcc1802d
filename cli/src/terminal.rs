//! The two streams: answers to stdout, asides to stderr, colour only where someone looks.

use std::env;
use std::io::{self, ErrorKind, IsTerminal, Write};
use std::sync::OnceLock;

use tautway_sim::scenario::is_unshowable;
use tautway_words::Document;
use tautway_words::text::{self, OF_FILE, Style};

use crate::failure::Failure;

/// When what is written for a person is coloured.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Colour {
    /// At a terminal that can, unless `NO_COLOR` is set.
    #[default]
    Auto,
    /// Wherever it goes.
    Always,
    /// Nowhere.
    Never,
}

/// As asked for when the program began.
static COLOUR: OnceLock<Colour> = OnceLock::new();
static QUIET: OnceLock<bool> = OnceLock::new();

/// Asks for colour, once.
pub fn ask_for(colour: Colour) {
    let _ = COLOUR.set(colour);
}

/// Asks for no progress, hints and notes, once.
pub fn ask_for_quiet(quiet: bool) {
    let _ = QUIET.set(quiet);
}

/// Whether only what is wrong is to be told beside the answer.
pub fn is_quiet() -> bool {
    QUIET.get().copied().unwrap_or_default()
}

/// A document as text for whoever reads stdout: as wide as a terminal is within reason, and as
/// wide as a file where none is.
pub fn set(document: &Document) -> String {
    let colour = coloured(io::stdout().is_terminal());
    text::write(document, Style::of_terminal(columns(), colour))
}

/// Letters that go on a line of whatever stdout is.
fn columns() -> usize {
    match io::stdout().is_terminal() {
        true => textwrap::termwidth(),
        false => OF_FILE,
    }
}

/// Lines of a question or an answer to one, no longer than the terminal is wide; a line's indent
/// goes on.
pub fn wrapped(text: &str) -> String {
    let columns = columns();
    let line = |line: &str| {
        let words = line.trim_start();
        let indent = &line[..line.len() - words.len()];
        let options = textwrap::Options::new(columns.saturating_sub(1))
            .initial_indent(indent)
            .subsequent_indent(indent);
        textwrap::fill(words, options)
    };
    text.split('\n').map(line).collect::<Vec<_>>().join("\n")
}

fn coloured(terminal: bool) -> bool {
    let set = |name: &str| env::var_os(name).filter(|value| !value.is_empty());
    match COLOUR.get().copied().unwrap_or_default() {
        Colour::Always => true,
        Colour::Never => false,
        Colour::Auto => {
            terminal && set("NO_COLOR").is_none() && set("TERM").is_none_or(|term| term != "dumb")
        }
    }
}

/// Writes an answer to stdout. A reader that has seen enough and closed the pipe is no fault.
///
/// # Errors
/// When it can't be written for another reason, such as a full disk.
pub fn answer(text: &str) -> Result<(), Failure> {
    answer_bytes(text.as_bytes())
}

/// The same of text that is bytes already.
///
/// # Errors
/// As [`answer`].
pub fn answer_bytes(bytes: &[u8]) -> Result<(), Failure> {
    let mut out = io::stdout().lock();
    match out.write_all(bytes).and_then(|()| out.flush()) {
        Err(why) if why.kind() != ErrorKind::BrokenPipe => {
            Err(Failure::Stopped(format!("can't write the answer: {why}")))
        }
        _ => Ok(()),
    }
}

/// Writes a PDF to stdout, for another program or a file, never to a terminal.
///
/// # Errors
/// As [`answer`], and where a terminal would show it.
pub fn answer_pdf(bytes: &[u8]) -> Result<(), Failure> {
    if io::stdout().is_terminal() {
        return Err(Failure::Input(
            "a PDF can't be read at a terminal\n  help: give it a file: --out FILE.pdf".to_owned(),
        ));
    }
    answer_bytes(bytes)
}

/// Whether a person sits at this machine's own screen, so that a browser may be opened unasked.
pub fn at_desktop() -> bool {
    io::stdout().is_terminal() && has_screen()
}

/// Whether the program was started by a click: there is a screen, and no terminal, pipe or file to
/// read from or write to.
pub fn started_from_a_desktop() -> bool {
    let nobody = !io::stdin().is_terminal() && !io::stdout().is_terminal();
    nobody && has_screen() && !is_fed()
}

fn has_screen() -> bool {
    let screen = |name| env::var_os(name).is_some_and(|value| !value.is_empty());
    !cfg!(unix) || cfg!(target_os = "macos") || screen("DISPLAY") || screen("WAYLAND_DISPLAY")
}

/// Whether standard input is a pipe or a file: then a script is at work.
fn is_fed() -> bool {
    #[cfg(unix)]
    {
        use std::os::fd::AsFd;
        let own = io::stdin().as_fd().try_clone_to_owned();
        let about = own.and_then(|own| std::fs::File::from(own).metadata());
        about.is_ok_and(|about| {
            use std::os::unix::fs::FileTypeExt;
            about.is_file() || about.file_type().is_fifo() || about.file_type().is_socket()
        })
    }
    #[cfg(not(unix))]
    false
}

/// Writes a line to stderr; nobody listening is no fault.
pub fn aside(text: &str) {
    let _ = writeln!(io::stderr().lock(), "{}", text.trim_end());
}

/// Writes a line to stderr that nobody misses: a hint, what was written where.
pub fn note(text: &str) {
    if !is_quiet() {
        aside(text);
    }
}

/// Tells on stderr why the program stops.
pub fn tell(failure: &Failure) {
    match failure {
        Failure::Input(words) | Failure::Stopped(words) => {
            aside(&format!("error: {}", escaped(words)));
        }
        Failure::Nothing(words) => aside(&escaped(words)),
        Failure::Shown(_) | Failure::Answered | Failure::Told => {}
    }
}

/// The text with every character escaped that a terminal would act on, but for the ends of lines.
pub fn escaped(text: &str) -> String {
    text.chars().fold(String::new(), |mut made, c| {
        match c {
            '\n' => made.push(c),
            c if is_unshowable(c) => made.extend(c.escape_unicode()),
            c => made.push(c),
        }
        made
    })
}

/// Whether asides may be coloured: at a terminal that can, unless `NO_COLOR` is set.
pub fn colour() -> bool {
    coloured(io::stderr().is_terminal())
}
