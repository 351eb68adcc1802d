//! The same answers from the processor at hand: questions as lines `question TAB lathe TAB job`, answers as lines.

use std::fs::read_to_string;
use std::io::{self, Write};

use tautway_browser_engine::answer;

fn main() -> io::Result<()> {
    let mut out = io::stdout().lock();
    for line in io::stdin().lines() {
        let line = line?;
        let parts: Vec<&str> = line.split('\t').collect();
        let [question, lathe, job] = parts[..] else {
            return Err(io::Error::other("three fields are wanted"));
        };
        let found = answer(question, &read_to_string(lathe)?, &read_to_string(job)?);
        writeln!(
            out,
            "{}",
            found.unwrap_or_else(|why| format!("error: {why}"))
        )?;
    }
    Ok(())
}
