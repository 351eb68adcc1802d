//! Who answers the questions: a person at a terminal, or a script in the tests.

use std::io::{self, BufRead, IsTerminal, Write};

use crate::terminal;

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

/// A person whose answer is known from before: it is given once, without a word. Where it is not
/// right any more the person is asked.
pub struct Kept<'p> {
    person: &'p mut dyn Person,
    line: Option<String>,
    quiet: bool,
}

impl<'p> Kept<'p> {
    pub fn new(person: &'p mut dyn Person, line: String) -> Self {
        Self {
            person,
            line: Some(line),
            quiet: true,
        }
    }
}

impl Person for Kept<'_> {
    fn tell(&mut self, line: &str) -> io::Result<()> {
        match self.quiet {
            true => Ok(()),
            false => self.person.tell(line),
        }
    }

    fn ask(&mut self, prompt: &str) -> io::Result<Option<String>> {
        if let Some(line) = self.line.take() {
            return Ok(Some(line));
        }
        self.quiet = false;
        self.person.ask(prompt)
    }
}

/// The person at the terminal, or who wrote the answers beforehand, a line each, on standard input.
pub struct AtTerminal {
    is_terminal: bool,
}

impl AtTerminal {
    /// Someone who can answer; none where there is neither a terminal nor a line.
    pub fn new() -> Option<Self> {
        let is_terminal = io::stdin().is_terminal();
        let answers = is_terminal
            || io::stdin()
                .lock()
                .fill_buf()
                .is_ok_and(|read| !read.is_empty());
        answers.then_some(Self { is_terminal })
    }
}

impl Person for AtTerminal {
    fn tell(&mut self, line: &str) -> io::Result<()> {
        writeln!(io::stdout().lock(), "{}", terminal::wrapped(line))
    }

    fn ask(&mut self, prompt: &str) -> io::Result<Option<String>> {
        let mut out = io::stdout().lock();
        write!(out, "{} ", terminal::wrapped(prompt))?;
        out.flush()?;
        let mut line = Vec::new();
        if io::stdin().lock().read_until(b'\n', &mut line)? == 0 {
            return Ok(None);
        }
        let line = String::from_utf8_lossy(&line).trim().to_owned();
        if !self.is_terminal {
            // What a terminal would have shown as it was typed.
            writeln!(out, "{line}")?;
        }
        Ok(Some(line))
    }
}
