//! x
#[allow(
    dead_code,
    reason = "the commands that draw them come with the program"
)]
mod diagnostics;

fn main() {}
