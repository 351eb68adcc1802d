//! Puts numbers into a lathe file, checked by reading it again.

use tautway_browser_engine::measured::{self, Change};
use tautway_sim::quantity::Units;
use tautway_sim::readings::Reads;
use tautway_sim::scenario::{Lathe, Source, decode_lathe};

use crate::failure::Failure;
use crate::texts::{self, Text};

/// The lathe file with the changes in it, and what its readout counts where that became known.
///
/// # Errors
/// When the result is no lathe file; its faults are shown.
pub fn put(
    lathe: &Text,
    units: Units,
    changes: &[Change],
    reads: Option<Reads>,
) -> Result<(String, Lathe), Failure> {
    let text = measured::put(&lathe.text, units, changes, reads)
        .map_err(|why| Failure::Stopped(format!("can't take {} apart: {why}", lathe.name)))?;
    let read = decode_lathe(Source {
        name: &lathe.name,
        text: &text,
    });
    match read {
        Ok((read, _)) => Ok((text, read)),
        Err(found) => {
            let name = lathe.name.clone();
            Err(texts::refused(&found, &[Text { name, text }]))
        }
    }
}
