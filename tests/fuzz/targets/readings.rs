//! Any text as readings, as shop tests and as what a finished job gave.
#![no_main]

use libfuzzer_sys::fuzz_target;
use tautway_sim::scenario::{Source, decode_finished, decode_readings, decode_shop_tests};

fuzz_target!(|text: &str| {
    let source = Source { name: "it", text };
    let _ = decode_readings(source);
    let _ = decode_shop_tests(source);
    let _ = decode_finished(source);
});
