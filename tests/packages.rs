//! What the program is built from: where every package comes from, under which licence, and which of
//! them are there in two versions.

use std::collections::{BTreeMap, BTreeSet};

use serde_json::Value;
use spdx::{Expression, LicenseItem, ParseMode};
use tautway_tests::cargo;

/// Licences under which a package may be taken, by their names in the SPDX list (2024).
const TAKEN: &[&str] = &[
    "0BSD",
    "Apache-2.0",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "CDLA-Permissive-2.0",
    "ISC",
    "MIT",
    "MIT-0",
    "Unicode-3.0",
    "Zlib",
];

/// Where packages may come from; none is the workspace's own.
const SOURCE: &str = "registry+https://github.com/rust-lang/crates.io-index";

/// Packages under another licence that only the tests are made with: nothing of them is handed on.
/// This one writes what drives the browser that the page is tried in.
const OF_TESTS: &[&str] = &["auto_generate_cdp"];

/// Packages in two versions, because two others ask for them: the list may only shrink.
const TWICE: &[&str] = &[
    "base64",
    "bit-set",
    "bit-vec",
    "cpufeatures",
    "font-types",
    "getrandom",
    "miniz_oxide",
    "rand",
    "rand_chacha",
    "rand_core",
    "read-fonts",
    "skrifa",
    "syn",
];

/// Every package of the lock file that a PC with Linux needs, the tests' too.
fn packages() -> Vec<Value> {
    let platform = "x86_64-unknown-linux-gnu";
    let metadata = [
        "metadata",
        "--format-version",
        "1",
        "--locked",
        "--filter-platform",
        platform,
    ];
    let told: Value = serde_json::from_slice(&cargo(&metadata)).expect("JSON");
    let packages = told["packages"].as_array().expect("packages").clone();
    assert!(packages.len() > 100, "{}", packages.len());
    packages
}

/// Names of the packages that are in the program.
fn handed_on() -> BTreeSet<String> {
    let tree = cargo(&[
        "tree", "--locked", "-p", "tautway", "-e", "normal", "--prefix", "none",
    ]);
    let tree = String::from_utf8_lossy(&tree);
    let names = tree.lines().filter_map(|line| line.split(' ').next());
    names.map(str::to_owned).collect()
}

fn text<'v>(package: &'v Value, key: &str) -> &'v str {
    package[key].as_str().unwrap_or_default()
}

/// Whether a package may be taken under one of these.
fn may_be_taken(licence: &str) -> bool {
    let Ok(expression) = Expression::parse_mode(licence, ParseMode::LAX) else {
        return false;
    };
    expression.evaluate(|asked| match &asked.license {
        LicenseItem::Spdx { id, .. } => TAKEN.contains(&id.name),
        LicenseItem::Other { .. } => false,
    })
}

#[test]
fn every_package_is_from_the_registry_under_a_licence_that_lets_it_be_handed_on() {
    for (licence, taken) in [
        ("MIT OR Apache-2.0", true),
        ("MIT/Apache-2.0", true),
        ("GPL-3.0-only", false),
        ("GPL-3.0-only OR MIT", true),
        ("MIT AND GPL-3.0-only", false),
        ("", false),
    ] {
        assert_eq!(may_be_taken(licence), taken, "{licence}");
    }
    let handed_on = handed_on();
    assert!(handed_on.contains("clap"));
    for package in packages() {
        let what = format!("{} {}", text(&package, "name"), text(&package, "version"));
        let name = text(&package, "name");
        let taken = match OF_TESTS.contains(&name) {
            true => !handed_on.contains(name),
            false => may_be_taken(text(&package, "license")),
        };
        assert!(taken, "{what}: {}", package["license"]);
        assert!(matches!(text(&package, "source"), "" | SOURCE), "{what}");
    }
}

#[test]
fn packages_in_two_versions_are_known() {
    let mut versions: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    for package in packages() {
        let version = text(&package, "version").to_owned();
        versions
            .entry(text(&package, "name").to_owned())
            .or_default()
            .insert(version);
    }
    let twice: Vec<_> = versions
        .iter()
        .filter(|(_, versions)| versions.len() > 1)
        .map(|(name, _)| name.as_str())
        .collect();
    assert_eq!(twice, TWICE);
}
