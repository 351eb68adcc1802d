//! The program `tautway`: reads what was typed, does it, answers, and says by its exit code how
//! it went.
#![cfg_attr(not(test), deny(clippy::disallowed_methods))]

mod processor;
mod failure;
mod terminal;
mod typed;
mod plan;
mod arguments;
mod interrupt;
mod progress;
mod diagnostics;
mod output;
mod text_file;
mod texts;
mod table;
mod trials;
mod bench;
mod answer;
mod page;
mod lesson;
mod command;

use std::process::ExitCode;

use clap::Parser;

use arguments::Arguments;

fn main() -> ExitCode {
    if let Some(why) = processor::lacks() {
        let failure = failure::Failure::Stopped(why.into());
        terminal::tell(&failure);
        return ExitCode::from(&failure);
    }
    let arguments = Arguments::parse();
    terminal::ask_for(arguments.color);
    let typed: Vec<String> = std::env::args_os()
        .skip(1)
        .map(|word| word.to_string_lossy().into_owned())
        .collect();
    if let Some(hint) = arguments::hint(&typed) {
        terminal::aside(&hint);
    }
    interrupt::watch();
    let done = arguments.plan().and_then(command::run);
    match done {
        Ok(verdict) => verdict.into(),
        Err(failure) => {
            terminal::tell(&failure);
            ExitCode::from(&failure)
        }
    }
}
