//! The program `tautway`: reads what was typed, does it, answers, and says by its exit code how
//! it went.
#![cfg_attr(not(test), deny(clippy::disallowed_methods))]

mod processor;
mod failure;
mod terminal;
mod typed;
mod arguments;
mod interrupt;
mod progress;
mod diagnostics;
mod output;
mod texts;
mod table;
mod trials;
mod screen;
mod answer;
mod sheet;
mod page;
mod lesson;
mod command;

use std::process::ExitCode;

use clap::Parser;

use arguments::{Arguments, Command};

fn main() -> ExitCode {
    if let Some(why) = processor::lacks() {
        let failure = failure::Failure::Stopped(why.into());
        terminal::tell(&failure);
        return ExitCode::from(&failure);
    }
    let arguments = Arguments::parse();
    terminal::ask_for(arguments.color.into());
    interrupt::watch();
    let done = match arguments.command {
        Command::Compare {
            job,
            answer,
            spread,
            range,
        } => command::compare(&job, &answer, &spread, range),
        Command::Join {
            parts,
            format,
            out,
            overwrite,
            threads,
        } => command::join(&parts, format, out, overwrite, threads),
        Command::Predict {
            job,
            choice,
            answer,
            spread,
            method,
            trial,
            inertia,
        } => match method {
            Some(method) => command::method(&job, method.into(), &answer, &spread),
            None => command::predict(&job, choice, &answer, &spread, (trial, inertia)),
        },
        Command::Preload(args) => command::preload(&args),
        Command::Modify(args) => command::modify(&args),
        Command::Page(args) => command::page(&args),
        Command::Sheet { job, choice, sheet } => command::sheet(&job, choice, &sheet),
        Command::Lesson(args) => command::lesson(&args),
        Command::Piece(args) => command::piece(&args),
        Command::Check { file, format } => command::check(&file, format),
        Command::Readings { file, answer } => command::readings(&file, &answer),
        Command::Rehearse { moves, answer } => command::rehearse(&moves, &answer),
        Command::Lathe(what) => command::lathe(what),
        Command::New {
            place,
            example,
            overwrite,
        } => command::new(&place, example, overwrite),
        Command::Fit { sum, units, format } => command::fit(&sum, units, format),
        Command::Thread(args) => command::thread(&args),
        Command::Taper(args) => command::taper(&args),
        Command::Schema { kind } => command::schema(kind),
        Command::Manual { of } => command::manual(&of),
        Command::Completions { shell } => command::completions(shell),
    };
    match done {
        Ok(verdict) => verdict.into(),
        Err(failure) => {
            terminal::tell(&failure);
            ExitCode::from(&failure)
        }
    }
}
