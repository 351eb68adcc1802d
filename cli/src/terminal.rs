//! The two streams: answers to stdout, asides to stderr, colour only where someone looks.

use std::env;
use std::io::{self, ErrorKind, IsTerminal, Write};

use crate::failure::Failure;

/// Writes an answer to stdout. A reader that has seen enough and closed the pipe is no fault.
///
/// # Errors
/// When it can't be written for another reason, such as a full disk.
pub fn answer(text: &str) -> Result<(), Failure> {
    let mut out = io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(why) if why.kind() != ErrorKind::BrokenPipe => {
            Err(Failure::Stopped(format!("can't write the answer: {why}")))
        }
        _ => Ok(()),
    }
}

/// Writes a line to stderr; nobody listening is no fault.
pub fn aside(text: &str) {
    let _ = writeln!(io::stderr().lock(), "{}", text.trim_end());
}

/// Tells on stderr why the program stops.
pub fn tell(failure: &Failure) {
    match failure {
        Failure::Input(words) | Failure::Stopped(words) => aside(&format!("error: {words}")),
        Failure::Shown | Failure::Told => {}
    }
}

/// Whether asides may be coloured: at a terminal that can, unless `NO_COLOR` is set.
pub fn colour() -> bool {
    let set = |name: &str| env::var_os(name).filter(|value| !value.is_empty());
    io::stderr().is_terminal()
        && set("NO_COLOR").is_none()
        && set("TERM").is_none_or(|term| term != "dumb")
}
