//! Any text as a job and as a lathe: job and lathe are parted by a line `---`.
#![no_main]

use libfuzzer_sys::fuzz_target;
use tautway_sim::scenario::{Source, decode, decode_lathe, lathe_named_in};

fuzz_target!(|text: &str| {
    let (job, lathe) = text.split_once("\n---\n").unwrap_or((text, text));
    let source = |text| Source { name: "it", text };
    let _ = lathe_named_in(source(job));
    let _ = decode_lathe(source(lathe));
    if let Err(found) = decode(source(job), source(lathe)) {
        assert!(!found.is_empty());
    }
});
