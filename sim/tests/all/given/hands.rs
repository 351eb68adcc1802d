//! Moves files for the worn lathe of the examples.

use crate::given::worked::by_hand_text;
use tautway_sim::rehearse::{Script, decode};
use tautway_sim::scenario::Source;

/// Decodes moves for the worn lathe of the examples.
pub fn read(moves: &str) -> Script {
    let moves = Source {
        name: "a.moves",
        text: moves,
    };
    let lathe = Source {
        name: "worn-lathe.toml",
        text: &by_hand_text("worn-lathe.toml"),
    };
    let (script, warnings) = decode(moves, lathe).unwrap_or_else(|found| panic!("{found:#?}"));
    assert!(warnings.is_empty(), "{warnings:#?}");
    script
}

/// A moves file of its own, with `extra` lines in the head.
pub fn head(extra: &str, moves: &[&str]) -> String {
    format!(
        "name = \"a\"\nlathe = \"worn-lathe.toml\"\ntaper = \"2 in/ft\"\n\
         big_end = \"tailstock\"\n{extra}\nmoves:\n{}\n",
        moves.join("\n")
    )
}
