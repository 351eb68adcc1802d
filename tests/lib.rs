//! Checks that belong to no single crate; each lives in its own test or bench file.

/// What cargo tells, asked from here.
pub fn cargo(arguments: &[&str]) -> Vec<u8> {
    let cargo = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
    let told = std::process::Command::new(cargo)
        .args(arguments)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .expect("cargo tells");
    assert!(
        told.status.success(),
        "{}",
        String::from_utf8_lossy(&told.stderr)
    );
    told.stdout
}
