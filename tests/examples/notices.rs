//! Prints the notices of everything that is in the program: each package, its licence, and the texts
//! that come with it.
//!
//! `cargo run -p tautway-tests --example notices > NOTICES.txt`

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use serde_json::Value;
use tautway_tests::cargo;

/// How files begin that hold a licence or what has to be said with it.
const TEXTS: &[&str] = &[
    "LICENSE",
    "LICENCE",
    "COPYING",
    "NOTICE",
    "COPYRIGHT",
    "UNLICENSE",
];

fn main() {
    const PLATFORM: &str = "x86_64-unknown-linux-gnu";
    let tree = cargo(&[
        "tree",
        "--locked",
        "-p",
        "tautway",
        "-p",
        "tautway-packed",
        "-e",
        "normal",
        "--target",
        PLATFORM,
        "--prefix",
        "none",
        "--format",
        "{p}",
    ]);
    // `name v1.2.3`, and a place behind it for the workspace's own.
    let within: BTreeSet<String> = String::from_utf8_lossy(&tree)
        .lines()
        .filter(|line| !line.contains("(/"))
        .map(|line| line.split(' ').take(2).collect::<Vec<_>>().join(" "))
        .collect();
    let metadata = cargo(&[
        "metadata",
        "--format-version",
        "1",
        "--locked",
        "--filter-platform",
        PLATFORM,
    ]);
    let metadata: Value = serde_json::from_slice(&metadata).expect("JSON");
    let packages = metadata["packages"].as_array().expect("packages");
    println!(
        "tautway is made with these packages of others. The embedded font has its own licence,"
    );
    println!("which lies beside this file.");
    for package in packages {
        let text = |key: &str| package[key].as_str().unwrap_or_default();
        if !within.contains(&format!("{} v{}", text("name"), text("version"))) {
            continue;
        }
        println!(
            "\n{}\n{} {}: {}",
            "=".repeat(80),
            text("name"),
            text("version"),
            text("license")
        );
        let folder = Path::new(text("manifest_path")).parent().expect("a folder");
        let mut files: Vec<_> = fs::read_dir(folder)
            .expect("the package's sources")
            .map(|entry| entry.expect("an entry").path())
            .filter(|path| path.is_file())
            .filter(|path| {
                let name = path.file_name().unwrap_or_default().to_string_lossy();
                let name = name.to_uppercase();
                TEXTS.iter().any(|begins| name.starts_with(begins))
            })
            .collect();
        files.sort();
        for file in files {
            let said = fs::read(&file).expect("a text");
            println!("\n{}", String::from_utf8_lossy(&said).trim_end());
        }
    }
}
