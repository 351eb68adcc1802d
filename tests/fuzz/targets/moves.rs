//! Any text as hand moves on a lathe that is right.
#![no_main]

use libfuzzer_sys::fuzz_target;
use tautway_sim::rehearse::{self, decode, lathe_named_in};
use tautway_sim::scenario::Source;

fuzz_target!(|text: &str| {
    let moves = Source { name: "it", text };
    let lathe = Source {
        name: "lathe",
        text: "name = \"a\"\nunits = \"inch\"\n",
    };
    let _ = lathe_named_in(moves);
    if let Ok((script, _)) = decode(moves, lathe) {
        let _ = rehearse::rehearse(&script);
    }
});
