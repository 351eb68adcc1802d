//! The same bytes from every build and on every processor: optimised or not, eight numbers side by
//! side, four or two, whatever the system's mathematics library takes of the processor.
//!
//! The builds take some minutes, so they are left out unless asked for:
//! `cargo test -p tautway --test all -- builds --ignored`.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use crate::workshop::Workshop;

/// Builds: the options of cargo, where the program then is, and the flags of the compiler, none
/// for those of the project.
const BUILDS: &[(&str, &[&str], Option<&str>)] = &[
    ("debug", &[], Some("")),
    ("release", &["--release"], None),
    ("release", &["--release"], Some("")),
    #[cfg(target_arch = "x86_64")]
    ("release", &["--release"], Some("-C target-cpu=x86-64-v3")),
];

/// What is run: the command, and whether it writes a directory.
const RUNS: [(&[&str], bool); 4] = [
    (
        &["compare", "job.toml", "--trials", "60", "--seed", "7"],
        true,
    ),
    (
        &[
            "predict",
            "tapered-socket.toml",
            "--trials",
            "50",
            "--seed",
            "3",
        ],
        true,
    ),
    (&["predict", "plug-cock.toml", "--trial", "4711"], false),
    (&["thread", "pipe-nipple.toml", "--format", "json"], false),
];

fn built(name: &str, options: &[&str], flags: Option<&str>) -> PathBuf {
    let target = Path::new(env!("CARGO_TARGET_TMPDIR")).join("builds");
    let mut cargo = Command::new(std::env::var_os("CARGO").expect("cargo runs the tests"));
    cargo
        .args(["build", "--locked", "-p", "tautway", "--target-dir"])
        .arg(&target)
        .args(options)
        .current_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join(".."))
        .env_remove("RUSTFLAGS");
    if let Some(flags) = flags {
        cargo.env("RUSTFLAGS", flags);
    }
    assert!(cargo.status().expect("cargo starts").success(), "{name}");
    target.join(name).join("tautway")
}

/// What tells the system's library to do as on a processor of 2003.
#[cfg(all(target_arch = "x86_64", target_os = "linux", target_env = "gnu"))]
const AS_OF_OLD: &str =
    "glibc.cpu.hwcaps=-AVX2,-FMA,-FMA4,-AVX512F,-AVX512VL,-AVX512DQ,-AVX,-SSE4_1,-SSE4_2";

/// Everything a program says and writes, with the system's library tuned so.
fn answers(program: &Path, tuned: Option<&str>) -> BTreeMap<String, Vec<u8>> {
    let shop = Workshop::with_scenarios();
    shop.write(
        "job.toml",
        include_str!("../../../../sim/tests/all/given/many/job.toml"),
    );
    shop.write(
        "lathe.toml",
        include_str!("../../../../sim/tests/all/given/many/lathe.toml"),
    );
    let mut answers = BTreeMap::new();
    for (i, (arguments, writes)) in RUNS.into_iter().enumerate() {
        let mut run = Command::new(program);
        run.args(arguments).current_dir(shop.path("."));
        run.env_remove("GLIBC_TUNABLES");
        if let Some(tuned) = tuned {
            run.env("GLIBC_TUNABLES", tuned);
        }
        if writes {
            run.args(["--out", &format!("out-{i}")]);
        }
        let done = run.output().expect("the program starts");
        assert!(
            done.status.code().is_some_and(|code| code < 2),
            "{arguments:?}: {}",
            String::from_utf8_lossy(&done.stderr)
        );
        answers.insert(arguments.join(" "), done.stdout);
        if writes {
            let names = shop.names(&format!("out-{i}"));
            assert!(names.iter().any(|name| name == "trials.csv"), "{names:?}");
            for name in names {
                let bytes = fs::read(shop.path(&format!("out-{i}")).join(&name)).expect("a file");
                answers.insert(format!("{name} of {}", arguments.join(" ")), bytes);
            }
        }
    }
    answers
}

fn are_the_same(what: &str, ours: &BTreeMap<String, Vec<u8>>, theirs: &BTreeMap<String, Vec<u8>>) {
    assert!(ours.keys().eq(theirs.keys()), "{what}");
    for (of, bytes) in ours {
        assert!(*bytes == theirs[of], "{what}: {of} differs");
    }
}

#[test]
#[ignore = "builds the program some times more"]
fn every_build_gives_the_same_bytes() {
    let ours = answers(Path::new(env!("CARGO_BIN_EXE_tautway")), None);
    for &(name, options, flags) in BUILDS {
        let program = built(name, options, flags);
        let what = format!("{name} with {flags:?}");
        are_the_same(&what, &ours, &answers(&program, None));
        #[cfg(all(target_arch = "x86_64", target_os = "linux", target_env = "gnu"))]
        are_the_same(
            &format!("{what}, as of old"),
            &ours,
            &answers(&program, Some(AS_OF_OLD)),
        );
    }
}

/// The same program, where only the system's library knows another processor.
#[cfg(all(target_arch = "x86_64", target_os = "linux", target_env = "gnu"))]
#[test]
fn the_systems_library_has_no_say() {
    let program = Path::new(env!("CARGO_BIN_EXE_tautway"));
    are_the_same(
        "as of old",
        &answers(program, None),
        &answers(program, Some(AS_OF_OLD)),
    );
}
