//! `tautway tools manual` and `tautway tools completions`: the help for `man`, and for a shell to fill in words.

use clap::Command;
use clap_complete::Shell;
use clap_mangen::Man;

use crate::failure::Failure;

/// The program with every command of its own in sight: the help names the rest in a line.
fn in_sight(whole: Command) -> Command {
    let names: Vec<_> = whole
        .get_subcommands()
        .map(|one| one.get_name().to_owned())
        .collect();
    names.into_iter().fold(whole, |whole, name| {
        whole.mut_subcommand(name, |command| command.hide(false))
    })
}

/// The page of the program, or of one of its commands.
///
/// # Errors
/// When there is no such command.
pub fn manual(whole: Command, of: &[String]) -> Result<String, Failure> {
    let mut whole = in_sight(whole);
    whole.build();
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
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

/// What a shell needs to fill in the program's words.
pub fn completions(whole: Command, shell: Shell) -> String {
    let mut whole = in_sight(whole);
    whole.build();
    let mut bytes = Vec::new();
    clap_complete::generate(shell, &mut whole, "tautway", &mut bytes);
    String::from_utf8_lossy(&bytes).into_owned()
}
