//! Who answers the questions: a person at a terminal, or a script in the tests.

use std::io::{self, BufRead, Write};

/// Someone who can be told things and asked for a line.
pub trait Person {
    /// Tells a line.
    ///
    /// # Errors
    /// When the terminal is gone.
    fn tell(&mut self, line: &str) -> io::Result<()>;

    /// Asks for a line; `None` when there are no more.
    ///
    /// # Errors
    /// When the terminal is gone.
    fn ask(&mut self, prompt: &str) -> io::Result<Option<String>>;
}

/// The person at the terminal.
pub struct AtTerminal;

impl Person for AtTerminal {
    fn tell(&mut self, line: &str) -> io::Result<()> {
        writeln!(io::stdout().lock(), "{line}")
    }

    fn ask(&mut self, prompt: &str) -> io::Result<Option<String>> {
        let mut out = io::stdout().lock();
        write!(out, "{prompt} ")?;
        out.flush()?;
        let mut line = Vec::new();
        if io::stdin().lock().read_until(b'\n', &mut line)? == 0 {
            return Ok(None);
        }
        Ok(Some(String::from_utf8_lossy(&line).trim().to_owned()))
    }
}
