//! The program `tautway`: reads what was typed, does it, answers, and says by its exit code how
//! it went.
#![cfg_attr(not(test), deny(clippy::disallowed_methods))]

mod processor;
mod failure;
mod terminal;
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

use arguments::Typed;
use plan::Plan;

fn main() -> ExitCode {
    if let Some(why) = processor::lacks() {
        let failure = failure::Failure::Stopped(why.into());
        terminal::tell(&failure);
        return ExitCode::from(&failure);
    }
    let typed: Vec<_> = std::env::args_os().skip(1).collect();
    let as_json = arguments::wants_json(&typed);
    let done = match arguments::read(typed) {
        Ok(Typed { arguments, hint }) => {
            terminal::ask_for(arguments.color);
            terminal::ask_for_quiet(arguments.quiet);
            table::ask_for(arguments.decimal);
            hint.iter().for_each(|hint| terminal::note(hint));
            interrupt::watch();
            arguments.plan().and_then(command::run)
        }
        Err(_) if std::env::args_os().len() == 1 && terminal::started_from_a_desktop() => {
            command::run(Plan::of_a_desktop())
        }
        Err(fault) => {
            if as_json && fault.use_stderr() {
                let words = fault.render().to_string();
                let words = words.trim_start_matches("error: ").trim_end();
                let _ = terminal::answer(&answer::json::error("command", words, &[]));
            }
            fault.exit()
        }
    };
    match done {
        Ok(verdict) => verdict.into(),
        Err(failure) => {
            terminal::tell(&failure);
            // Whoever asked for JSON reads it in place of the answer.
            if let Some(why) = answer::json::refused(&failure).filter(|_| as_json) {
                let _ = terminal::answer(&why);
            }
            ExitCode::from(&failure)
        }
    }
}
