//! The engine in WebAssembly against the native build: the same bytes to the same questions.
//!
//! The compiler's own standard library for `wasm32-unknown-unknown` serves where it is installed;
//! else the tools that `.ci/browser-tools` unpacks into `target/browser-tools`. Without either, or
//! without node, nothing is checked here and that is said; where `TAUTWAY_CI` is set it fails.

use std::env;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

/// What is asked of which job on which lathe.
const ASKED: [(&str, &str, &str); 9] = [
    ("ways 1", "worn-lathe.toml", "tapered-socket.toml"),
    ("way 0 3", "worn-lathe.toml", "tapered-socket.toml"),
    ("way 3 1", "metric-lathe.toml", "plug-cock.toml"),
    ("trials 1 41 7", "worn-lathe.toml", "tapered-socket.toml"),
    (
        "trials 4711 4730 2",
        "snug-lathe.toml",
        "snug-slide-socket.toml",
    ),
    ("ways 2", "toolroom-lathe.toml", "taper-sleeve.toml"),
    ("ways 5", "bare-lathe.toml", "valve-seat.toml"),
    ("thread 1", "toolroom-lathe.toml", "pipe-nipple.toml"),
    (
        "readings",
        "worn-lathe.toml",
        "socket-after-setting.readings",
    ),
];

/// What comes before a build of the module: the compiler, its linker, and how the standard
/// library is come by.
fn tools() -> Option<Command> {
    let mut cargo = Command::new(env::var_os("CARGO").expect("cargo runs the tests"));
    cargo
        .args(["build", "--release", "--locked", "--lib"])
        .args(["--target", "wasm32-unknown-unknown"])
        .env("RUSTFLAGS", "-C target-feature=+simd128");
    let sysroot = Command::new("rustc")
        .args(["--print", "sysroot"])
        .output()
        .ok()?;
    let sysroot = PathBuf::from(String::from_utf8(sysroot.stdout).ok()?.trim());
    let library = sysroot.join("lib/rustlib");
    if library.join("wasm32-unknown-unknown/lib").is_dir() {
        return Some(cargo);
    }
    let unpacked = root()
        .join("target/browser-tools/usr")
        .canonicalize()
        .ok()?;
    let linker = library.join("x86_64-unknown-linux-gnu/bin/rust-lld");
    let compiler = unpacked.join("bin/rustc");
    if !(linker.exists() && compiler.exists()) {
        return None;
    }
    cargo
        .arg("-Zbuild-std=std,panic_abort")
        .env("RUSTC", compiler)
        .env("RUSTC_BOOTSTRAP", "1")
        .env("LD_LIBRARY_PATH", unpacked.join("lib/x86_64-linux-gnu"))
        .env("CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_LINKER", linker);
    Some(cargo)
}

/// In the engine's folder, where its own lock file holds; its builds stay out of the tests' way.
fn built(mut cargo: Command) -> PathBuf {
    let target = root().join("target/browser");
    let done = cargo
        .current_dir(root().join("tests/browser-engine"))
        .arg("--target-dir")
        .arg(&target)
        .status();
    assert!(done.expect("cargo starts").success(), "{cargo:?}");
    target
}

/// The answers, a line each.
fn answers(mut program: Command) -> Vec<String> {
    let scenarios = root().join("scenarios");
    let place = |name: &str| scenarios.join(name).display().to_string();
    let lines: Vec<String> = ASKED
        .iter()
        .map(|(question, lathe, job)| format!("{question}\t{}\t{}\n", place(lathe), place(job)))
        .collect();
    let mut run = program
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("it starts");
    let mut input = run.stdin.take().expect("an input");
    input
        .write_all(lines.concat().as_bytes())
        .expect("it reads");
    drop(input);
    let done = run.wait_with_output().expect("it ends");
    assert!(done.status.success(), "{program:?}");
    let text = String::from_utf8(done.stdout).expect("text");
    text.lines().map(str::to_owned).collect()
}

#[test]
fn webassembly_gives_the_bytes_of_the_native_build() {
    let node = Command::new("node").arg("--version").output();
    let tools = tools().filter(|_| node.is_ok_and(|node| node.status.success()));
    let Some(tools) = tools else {
        assert!(
            env::var_os("TAUTWAY_CI").is_none(),
            "no WebAssembly toolchain: .ci/browser-tools unpacks one"
        );
        // Past the test's captured output, so that it is seen.
        writeln!(
            std::io::stderr(),
            "NOT CHECKED: WebAssembly against the native build: no toolchain for it here"
        )
        .expect("an error output");
        return;
    };
    let target = built(tools);
    let mut native = Command::new(env::var_os("CARGO").expect("cargo runs the tests"));
    native.args(["build", "--release", "--locked", "--bin", "native"]);
    built(native);

    let ours = answers(Command::new(target.join("release/native")));
    let mut node = Command::new("node");
    node.arg(root().join("tests/browser-engine/run.mjs"))
        .arg(target.join("wasm32-unknown-unknown/release/tautway_browser_engine.wasm"));
    let theirs = answers(node);
    assert_eq!([ours.len(), theirs.len()], [ASKED.len(); 2]);
    for ((asked, ours), theirs) in ASKED.iter().zip(&ours).zip(&theirs) {
        assert!(!ours.starts_with("error"), "{asked:?}: {ours}");
        assert!(ours.len() > 1000, "{asked:?}: {ours}");
        assert!(ours == theirs, "{asked:?}: WebAssembly gives other bytes");
    }
}
