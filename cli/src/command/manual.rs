//! `tautway manual` and `tautway completions`: the help for `man`, and for a shell to fill in words.

use clap::{Command, CommandFactory};
use clap_complete::Shell;
use clap_mangen::Man;

use crate::arguments::Arguments;
use crate::failure::{Failure, Verdict};
use crate::terminal;

/// Writes the page of the program, or of one of its commands, to stdout.
///
/// # Errors
/// When there is no such command, or it can't be written.
pub fn manual(of: &[String]) -> Result<Verdict, Failure> {
    let whole = built();
    let mut page = &whole;
    for word in of {
        page = page.find_subcommand(word).ok_or_else(|| {
            let known: Vec<_> = page.get_subcommands().map(Command::get_name).collect();
            Failure::Input(format!(
                "{} has no command {word}\n  help: name one of {}, or nothing for the whole",
                ["tautway".to_owned()]
                    .iter()
                    .chain(of)
                    .take_while(|known| *known != word)
                    .cloned()
                    .collect::<Vec<_>>()
                    .join(" "),
                known.join(", ")
            ))
        })?;
    }
    let mut bytes = Vec::new();
    Man::new(page.clone())
        .source(concat!("tautway ", env!("CARGO_PKG_VERSION")))
        .render(&mut bytes)
        .map_err(|why| Failure::Stopped(format!("can't write the page: {why}")))?;
    terminal::answer(&String::from_utf8_lossy(&bytes))?;
    Ok(Verdict::Done)
}

/// Writes what a shell needs to fill in the program's words to stdout.
///
/// # Errors
/// When it can't be written.
pub fn completions(shell: Shell) -> Result<Verdict, Failure> {
    let mut bytes = Vec::new();
    clap_complete::generate(shell, &mut built(), "tautway", &mut bytes);
    terminal::answer(&String::from_utf8_lossy(&bytes))?;
    Ok(Verdict::Done)
}

fn built() -> Command {
    let mut whole = Arguments::command();
    whole.build();
    whole
}
