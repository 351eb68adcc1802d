//! One file for every PC: the program built for several levels of processor, of which the best that
//! this one can run is unpacked into memory and started in this one's place.

use std::io::{Error, Read};
use std::process::ExitCode;

use ruzstd::decoding::StreamingDecoder;

/// The program built for a level of processor.
struct Build {
    level: &'static str,
    /// Packed; nothing where none was put in.
    packed: &'static [u8],
}

/// From the best on; levels as the processors' makers agreed on for x86-64.
const BUILDS: [Build; 3] = [
    Build {
        level: "v4",
        packed: include_bytes!(concat!(env!("OUT_DIR"), "/v4")),
    },
    Build {
        level: "v3",
        packed: include_bytes!(concat!(env!("OUT_DIR"), "/v3")),
    },
    Build {
        level: "v1",
        packed: include_bytes!(concat!(env!("OUT_DIR"), "/v1")),
    },
];

/// What a level needs of a processor that every x86-64 hasn't, as far as the compiler makes use of
/// it.
#[cfg(target_arch = "x86_64")]
fn runs(level: &str) -> bool {
    use std::arch::is_x86_feature_detected as has;
    let v3 = || {
        has!("avx2")
            && has!("bmi1")
            && has!("bmi2")
            && has!("f16c")
            && has!("fma")
            && has!("lzcnt")
            && has!("movbe")
            && has!("popcnt")
    };
    let v4 = || {
        has!("avx512f")
            && has!("avx512bw")
            && has!("avx512cd")
            && has!("avx512dq")
            && has!("avx512vl")
    };
    match level {
        "v4" => v3() && v4(),
        "v3" => v3(),
        _ => true,
    }
}

#[cfg(not(target_arch = "x86_64"))]
fn runs(_level: &str) -> bool {
    false
}

/// The level to start: that asked for, if this processor can run it, else the best.
fn chosen(asked: Option<&str>) -> Option<&'static Build> {
    let mut able = BUILDS.iter().filter(|build| runs(build.level));
    match asked {
        Some(level) => able.find(|build| build.level == level),
        None => able.next(),
    }
}

/// Unpacks a build, and goes on as it; comes back only when that can't be done.
#[cfg(target_os = "linux")]
fn start(build: &Build) -> Error {
    use std::fs::File;
    use std::io::Write;
    use std::os::fd::AsRawFd;
    use std::os::unix::process::CommandExt;
    use std::process::Command;

    use rustix::fs::{MemfdFlags, memfd_create};

    let unpacked = || -> Result<File, Error> {
        let mut program = Vec::new();
        StreamingDecoder::new(build.packed)
            .map_err(Error::other)?
            .read_to_end(&mut program)?;
        let mut file = File::from(memfd_create("tautway", MemfdFlags::CLOEXEC)?);
        file.write_all(&program)?;
        Ok(file)
    };
    let file = match unpacked() {
        Ok(file) => file,
        Err(why) => return why,
    };
    let mut words = std::env::args_os();
    let mut program = Command::new(format!("/proc/self/fd/{}", file.as_raw_fd()));
    if let Some(own) = words.next() {
        program.arg0(own);
    }
    program.args(words).exec()
}

#[cfg(not(target_os = "linux"))]
fn start(_build: &Build) -> Error {
    Error::other("only Linux starts a program out of memory")
}

fn main() -> ExitCode {
    // To compare them, and where one is thought to be at fault.
    let asked = std::env::var("TAUTWAY_LEVEL").ok();
    let why = match chosen(asked.as_deref()) {
        Some(build) if !build.packed.is_empty() => start(build).to_string(),
        Some(_) => "no program was packed into this file: `.ci/package` does".to_owned(),
        None => "this processor runs no such level: v1, v3 and v4 are there".to_owned(),
    };
    eprintln!("error: tautway can't be started here: {why}");
    eprintln!("  help: build it from its sources: cargo install --path cli");
    ExitCode::from(3)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_best_level_that_runs_is_chosen_and_the_lowest_runs_anywhere() {
        if cfg!(target_arch = "x86_64") {
            let best = chosen(None).expect("every PC runs the lowest");
            assert!(runs(best.level));
            let better = BUILDS.iter().take_while(|build| build.level != best.level);
            assert!(better.into_iter().all(|build| !runs(build.level)));
            assert_eq!(chosen(Some("v1")).map(|build| build.level), Some("v1"));
        }
        assert!(chosen(Some("v2")).is_none());
    }
}
