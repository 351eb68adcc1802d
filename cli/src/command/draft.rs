//! Answers kept while questions are asked, so that nothing is lost when they are stopped.

use std::fs;
use std::path::{Path, PathBuf};

use toml_edit::{DocumentMut, value};

use crate::failure::Failure;
use crate::interrupt;
use crate::output::file::{self, Kind};

const OPENING: &str = "# Answers so far, kept until all questions are asked.";

/// The file that answers are kept in.
pub const DRAFT: Kind = Kind {
    what: "file of kept answers",
    option: "the answers so far",
    example: "job.answers",
    is_ours: |text| text.starts_with(OPENING),
};

/// Answers by the key that they are of, as typed.
pub struct Draft {
    /// None where nothing is kept.
    path: Option<PathBuf>,
    answers: DocumentMut,
    /// What was there when the questions began.
    before: usize,
}

impl Draft {
    /// Nothing kept and nothing to keep.
    #[cfg(test)]
    pub fn nowhere() -> Self {
        Self {
            path: None,
            answers: DocumentMut::new(),
            before: 0,
        }
    }

    /// What is kept beside a file, if anything.
    ///
    /// # Errors
    /// When another file stands there.
    pub fn beside(path: &Path) -> Result<Self, Failure> {
        let path = path.with_extension("answers");
        let mut answers = DocumentMut::new();
        if path.exists() {
            file::may_be_written(&path, true, &DRAFT)?;
            let text = fs::read_to_string(&path).unwrap_or_default();
            answers = text.parse().unwrap_or_default();
        }
        Ok(Self {
            before: answers.len(),
            path: Some(path),
            answers,
        })
    }

    /// Where they are kept.
    pub fn place(&self) -> String {
        let path = self.path.as_ref();
        path.map_or_else(String::new, |path| path.display().to_string())
    }

    /// That answers were kept before the questions began, if any were.
    pub fn going_on(&self) -> Option<String> {
        (self.before > 0).then(|| {
            format!(
                "Going on with the {} answers kept in {}; back goes to the last of them.",
                self.before,
                self.place()
            )
        })
    }

    /// Whether nothing is kept.
    pub fn is_empty(&self) -> bool {
        self.answers.is_empty()
    }

    /// What was answered before.
    pub fn given(&self, key: &str) -> Option<String> {
        Some(self.answers.get(key)?.as_str()?.to_owned())
    }

    /// Keeps an answer.
    ///
    /// # Errors
    /// When it can't be written.
    pub fn keep(&mut self, key: &str, said: &str) -> Result<(), Failure> {
        if self.given(key).as_deref() == Some(said) {
            return Ok(());
        }
        self.answers[key] = value(said);
        self.write()
    }

    /// Takes an answer back.
    ///
    /// # Errors
    /// When it can't be written.
    pub fn forget(&mut self, key: &str) -> Result<(), Failure> {
        if self.answers.remove(key).is_some() {
            self.write()?;
        }
        Ok(())
    }

    fn write(&self) -> Result<(), Failure> {
        let Some(path) = &self.path else {
            return Ok(());
        };
        let body = self.answers.to_string();
        let body = body.trim_start_matches(OPENING).trim_start();
        file::write(path, true, &format!("{OPENING}\n{body}"), &DRAFT)?;
        interrupt::note(self.told());
        Ok(())
    }

    /// That the answers are kept.
    pub fn told(&self) -> String {
        let answers = match self.answers.len() {
            1 => "the one answer so far is".to_owned(),
            n => format!("the {n} answers so far are"),
        };
        format!(
            "{answers} kept in {}; the same command goes on",
            self.place()
        )
    }

    /// All is asked: nothing is kept any more.
    pub fn done(self) {
        if let Some(path) = &self.path {
            file::take_away(path, &DRAFT);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn answers_are_kept_given_again_taken_back_and_taken_away() {
        let room = tempfile::tempdir().expect("a directory");
        let place = room.path().join("job.toml");
        let kept = room.path().join("job.answers");
        let mut draft = Draft::beside(&place).expect("nothing there");
        assert_eq!(draft.before, 0);
        draft.keep("work.taper", "3/4").expect("written");
        draft.keep("work.material", "").expect("written");
        drop(draft);
        let mut again = Draft::beside(&place).expect("ours");
        assert_eq!(again.before, 2);
        assert_eq!(again.given("work.taper").as_deref(), Some("3/4"));
        assert_eq!(again.given("work.material").as_deref(), Some(""));
        assert_eq!(again.given("work.length"), None);
        again.forget("work.taper").expect("written");
        let third = Draft::beside(&place).expect("ours");
        assert_eq!(third.before, 1);
        third.done();
        assert!(!kept.exists());
        // What somebody else wrote is let be.
        fs::write(&kept, "mine").expect("written");
        assert!(Draft::beside(&place).is_err());
        assert_eq!(fs::read_to_string(&kept).expect("there"), "mine");
    }
}
