//! Tells the program its commit, where that is known and can't become another.

use std::process::Command;
use std::{env, path::Path};

fn main() {
    println!("cargo::rerun-if-changed=build.rs");
    println!("cargo::rerun-if-env-changed=TAUTWAY_COMMIT");
    // A checkout that cargo made to install from stays as it is; one that is worked in doesn't.
    let here = env::var("CARGO_MANIFEST_DIR").expect("set by cargo");
    let here = Path::new(&here);
    let parts: Vec<_> = here.iter().map(|part| part.to_string_lossy()).collect();
    let of_cargo = parts
        .windows(2)
        .any(|two| two[0] == "git" && two[1] == "checkouts");
    if env::var_os("TAUTWAY_COMMIT").is_some() || !of_cargo {
        return;
    }
    let asked = Command::new("git")
        .args(["rev-parse", "--short=9", "HEAD"])
        .current_dir(here)
        .output();
    if let Ok(told) = asked
        && told.status.success()
    {
        let commit = String::from_utf8_lossy(&told.stdout);
        println!("cargo::rustc-env=TAUTWAY_COMMIT={}", commit.trim());
    }
}
