//! One file for every PC: the program built for several levels of processor, of which the best that
//! this one can run is unpacked into memory and started in this one's place.

use std::io::{Error, Read};
use std::process::ExitCode;

use zstd::Decoder;

/// Levels that the program was built for, as they stand behind each other in [`BUILDS`]: the
/// commonest first, as who wants a later one unpacks those before it.
const PACKED: [&str; 3] = ["v3", "v4", "v1"];

/// Length of each build, bytes; none where nothing was put in.
const LENGTHS: [u64; 3] = include!(concat!(env!("OUT_DIR"), "/lengths"));

/// All of them, packed as one: they are alike.
const BUILDS: &[u8] = include_bytes!(concat!(env!("OUT_DIR"), "/builds.zst"));

/// Window of the packing, as a power of two: each build can look back to the one before.
const WINDOW: u32 = 27;

/// The levels, the best first, as the makers of processors agreed on for x86-64.
const LEVELS: [&str; 3] = ["v4", "v3", "v1"];

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
fn chosen(asked: Option<&str>) -> Option<&'static str> {
    let mut able = LEVELS.into_iter().filter(|level| runs(level));
    match asked {
        Some(asked) => able.find(|level| *level == asked),
        None => able.next(),
    }
}

/// The build of a level out of `packed`, in which builds stand behind each other.
fn unpacked(packed: &[u8], lengths: [u64; 3], level: &str) -> Result<Vec<u8>, Error> {
    let place = PACKED.iter().position(|packed| *packed == level);
    let place = place.ok_or_else(|| Error::other("no such build is in it"))?;
    let mut all = Decoder::with_buffer(packed)?;
    all.window_log_max(WINDOW)?;
    let before = lengths[..place].iter().sum();
    std::io::copy(&mut all.by_ref().take(before), &mut std::io::sink())?;
    let mut program = Vec::with_capacity(usize::try_from(lengths[place]).unwrap_or(0));
    all.take(lengths[place]).read_to_end(&mut program)?;
    match program.len() as u64 == lengths[place] {
        true => Ok(program),
        false => Err(Error::other("the file is cut short")),
    }
}

/// Unpacks a build, and goes on as it; comes back only when that can't be done.
#[cfg(target_os = "linux")]
fn start(level: &str) -> Error {
    use std::fs::File;
    use std::io::Write;
    use std::os::fd::AsRawFd;
    use std::os::unix::process::CommandExt;
    use std::process::Command;

    use rustix::fs::{MemfdFlags, memfd_create};

    let in_memory = || -> Result<File, Error> {
        let program = unpacked(BUILDS, LENGTHS, level)?;
        let mut file = File::from(memfd_create("tautway", MemfdFlags::CLOEXEC)?);
        file.write_all(&program)?;
        Ok(file)
    };
    let file = match in_memory() {
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
fn start(_level: &str) -> Error {
    Error::other("only Linux starts a program out of memory")
}

fn main() -> ExitCode {
    // To compare them, and where one is thought to be at fault.
    let asked = std::env::var("TAUTWAY_LEVEL").ok();
    let why = match chosen(asked.as_deref()) {
        Some(level) if !BUILDS.is_empty() => start(level).to_string(),
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
            assert!(runs(best));
            let better = LEVELS.into_iter().take_while(|level| *level != best);
            assert!(better.into_iter().all(|level| !runs(level)));
            assert_eq!(chosen(Some("v1")), Some("v1"));
        }
        assert!(chosen(Some("v2")).is_none());
    }

    #[test]
    fn each_build_comes_out_as_it_was_put_in_and_one_cut_short_is_refused() {
        let builds = [&b"the third"[..], b"the fourth", b"the first"];
        let lengths = builds.map(|build| build.len() as u64);
        let packed = zstd::encode_all(&builds.concat()[..], 3).expect("packed");
        for (level, build) in PACKED.into_iter().zip(builds) {
            assert_eq!(unpacked(&packed, lengths, level).expect(level), build);
        }
        let longer = [lengths[0], lengths[1], lengths[2] + 1];
        assert!(unpacked(&packed, longer, "v1").is_err());
        assert!(unpacked(&packed[..packed.len() - 4], lengths, "v1").is_err());
    }
}
