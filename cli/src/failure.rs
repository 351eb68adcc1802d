//! Why the program stops, and the exit code that says so.

use std::path::Path;
use std::process::ExitCode;

use schemars::JsonSchema;
use serde::Serialize;
use tautway_browser_engine::hands::NoAnswer;

/// A fault in a file, with its place.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Place {
    /// The file, by the name it went by.
    pub file: String,
    /// Line, from 1.
    pub line: Option<usize>,
    /// Letter in the line, from 1.
    pub column: Option<usize>,
    /// The key it is about: `work.length`.
    pub key: Option<String>,
    /// What is wrong.
    pub message: String,
    /// What would be right.
    pub hint: String,
}

/// Why the program stops short.
#[derive(Debug)]
pub enum Failure {
    /// The files or the command are not right; what is wrong and what would be right.
    Input(String),
    /// The files are not right and every fault of them has been shown; here they are again.
    Shown(Vec<Place>),
    /// The files are not right, which is what was asked and has been answered.
    Answered,
    /// It was stopped, and what was done so far has been told.
    Told,
    /// The files are right, and there is nothing to answer: why, and what would help.
    Nothing(String),
    /// It could not run.
    Stopped(String),
}

impl From<NoAnswer> for Failure {
    fn from(why: NoAnswer) -> Self {
        match why {
            NoAnswer::Input(words) => Self::Input(words),
            NoAnswer::Stopped(words) => Self::Stopped(words),
        }
    }
}

impl Failure {
    /// Something went wrong with a file.
    pub fn of_file(doing: &str, path: &Path, why: &std::io::Error) -> Self {
        Self::Stopped(format!("can't {doing} {}: {why}", path.display()))
    }

    /// There is no directory `above` to write `what` into.
    pub fn no_place(above: &Path, what: &Path) -> Self {
        Self::Input(format!(
            "there is no directory {} to write {} into\n  help: make it first, or name a place that \
             is there",
            above.display(),
            what.display()
        ))
    }

    /// Whether the files or the command are not right, rather than that it could not run.
    pub fn is_input(&self) -> bool {
        match self {
            Self::Input(_) | Self::Shown(_) | Self::Answered => true,
            Self::Nothing(_) | Self::Told | Self::Stopped(_) => false,
        }
    }

    /// The same with nothing more to say: it was told.
    pub fn once_told(&self) -> Self {
        match self.is_input() {
            true => Self::Answered,
            false => Self::Told,
        }
    }

    /// What there is to say of it beside what was shown.
    pub fn words(self) -> String {
        match self {
            Self::Input(words) | Self::Nothing(words) | Self::Stopped(words) => words,
            Self::Shown(_) | Self::Answered | Self::Told => String::new(),
        }
    }
}

/// What the program says to a script.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// Done; the drawing is expected to be met where that was asked.
    Done,
    /// The drawing is not expected to be met, or a hand move would break something.
    NotMet,
}

impl From<Verdict> for ExitCode {
    fn from(verdict: Verdict) -> Self {
        match verdict {
            Verdict::Done => Self::SUCCESS,
            Verdict::NotMet => Self::from(1),
        }
    }
}

impl From<&Failure> for ExitCode {
    fn from(failure: &Failure) -> Self {
        match failure {
            Failure::Nothing(_) => Verdict::NotMet.into(),
            failure if failure.is_input() => Self::from(2),
            _ => Self::from(3),
        }
    }
}
