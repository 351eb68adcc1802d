//! A directory with the example pair in it, and the program to try on it.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use tempfile::TempDir;

/// A directory of its own for one test.
pub struct Workshop {
    room: TempDir,
}

impl Workshop {
    /// With every worked example in it.
    pub fn with_scenarios() -> Self {
        let shop = Self::empty();
        let scenarios = Path::new(env!("CARGO_MANIFEST_DIR")).join("../scenarios");
        for file in fs::read_dir(scenarios).expect("the worked examples") {
            let path = file.expect("an entry").path();
            if path.is_dir() {
                continue;
            }
            let name = path.file_name().expect("a name").display().to_string();
            shop.write(&name, fs::read(&path).expect("a file"));
        }
        shop
    }

    /// Empty.
    pub fn empty() -> Self {
        Self {
            room: tempfile::tempdir().expect("a directory"),
        }
    }

    /// With the pair that `new --example` writes.
    pub fn with_example() -> Self {
        let shop = Self::empty();
        let done = shop.run(&["new", "--example"]);
        assert_eq!(code(&done), 0, "{}", err(&done));
        shop
    }

    /// A file or directory in it.
    pub fn path(&self, name: &str) -> PathBuf {
        self.room.path().join(name)
    }

    /// Writes a file.
    pub fn write(&self, name: &str, text: impl AsRef<[u8]>) {
        fs::write(self.path(name), text).expect("a file");
    }

    /// Reads a file.
    pub fn read(&self, name: &str) -> String {
        fs::read_to_string(self.path(name)).expect("a file")
    }

    /// Replaces a part of a file that is there once.
    pub fn edit(&self, name: &str, from: &str, to: &str) {
        let text = self.read(name);
        assert_eq!(text.matches(from).count(), 1, "{from:?} in\n{text}");
        self.write(name, text.replace(from, to));
    }

    /// Everything in a directory of it, hidden files too, in order.
    pub fn names(&self, directory: &str) -> Vec<String> {
        let mut names: Vec<_> = fs::read_dir(self.path(directory))
            .expect("a directory")
            .map(|entry| entry.expect("an entry").file_name().display().to_string())
            .collect();
        names.sort();
        names
    }

    /// The program, to be run in it.
    pub fn program(&self) -> Command {
        let mut program = Command::new(env!("CARGO_BIN_EXE_tautway"));
        program.current_dir(self.room.path());
        program
    }

    /// Runs the program with nobody at the terminal.
    pub fn run(&self, arguments: &[&str]) -> Output {
        let mut program = self.program();
        program.args(arguments).stdin(std::process::Stdio::null());
        program.output().expect("the program starts")
    }
}

/// Exit code.
pub fn code(output: &Output) -> i32 {
    output.status.code().expect("it ended by itself")
}

/// Stdout.
pub fn out(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).expect("UTF-8")
}

/// Stderr.
pub fn err(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).expect("UTF-8")
}
