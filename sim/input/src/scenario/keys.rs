//! Every key that a file may have, found by letting the decoders ask for theirs.
//!
//! Nothing is listed here: a decoder that asks for a new key has it in these lists.

use std::collections::BTreeMap;

use super::decode::section::Section;
use super::decode::{Asked, Asks, keys_asked, keys_asked_by};
pub use super::want::Want;

/// A key of a file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Key {
    /// Its name with that of its tables: `tool.bar.diameter`.
    pub path: String,
    /// What may stand there: one of these.
    pub wants: Vec<Want>,
    /// Whether it has to be there when its table is.
    pub required: bool,
}

/// The keys of a file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Keys {
    /// All of them in the order of their paths.
    pub all: Vec<Key>,
    /// Those of the table that a [`Want::Spread`] may be.
    pub spread: Vec<Key>,
}

/// Every table that the reading of a job goes into only when it is there.
const JOB: &str = "\
[work]
kind = \"inside\"
slots = {}
[tool]
bar = {}
[cutting]
specific_force = { shape = \"trapezoid\" }
edge_force = { shape = \"mean of readings\" }
[preload]
cylinder = {}
[thread]
form = \"own\"
";

/// The same with nothing that makes another key needless or needed.
const JOB_BARE: &str = "\
[work]
slots = {}
[tool]
bar = {}
[cutting]
specific_force = { shape = \"rectangular\" }
[preload]
cylinder = {}
";

/// One whose taper brings its ends and its length.
const NAMED: &str = "\
[work]
taper = \"pipe thread 1/2\"
";

const LATHE: &str = "\
[slide]
drag = { shape = \"trapezoid\" }
weight = { shape = \"mean of readings\" }
";

const LATHE_BARE: &str = "\
[slide]
drag = { shape = \"rectangular\" }
";

/// The keys of a job file.
pub fn job() -> Keys {
    let asked = |text| keys_asked(text, Asks::Job);
    // A text with nothing in it says which tables have to be there.
    let mut absent = asked("").1;
    // What a standard taper brings need not be there.
    let named = asked(NAMED).1;
    let mut bare = asked(JOB_BARE);
    let brought =
        |path: &String| path.starts_with("work.") && path != "work.taper" && !named.contains(path);
    absent.retain(|path| !brought(path));
    bare.1.retain(|path| !brought(path));
    gather(
        asked(JOB),
        bare,
        absent,
        &["cutting.specific_force.", "cutting.edge_force."],
    )
}

/// The keys of a lathe file.
pub fn lathe() -> Keys {
    let asked = |text| keys_asked(text, Asks::Lathe);
    let absent = asked("").1;
    gather(
        asked(LATHE),
        asked(LATHE_BARE),
        absent,
        &["slide.drag.", "slide.weight."],
    )
}

/// The tables of readings that are read only when they are there.
const READINGS: &str = "\
[wanted]
[readout]
[readings]
[test_cut]
";

/// The same of shop tests.
const TESTS: &str = "\
[two_cuts]
";

/// The keys of a file of carriage and slide readings.
pub fn readings() -> Keys {
    plain(READINGS, Asks::Readings)
}

/// The keys of a file of a swept sample.
pub fn sample() -> Keys {
    plain("[sample]\n[swept]\n[turned]\n[behind]\n", Asks::Sample)
}

/// The keys of a file of shop tests.
pub fn tests() -> Keys {
    plain(TESTS, Asks::Tests)
}

/// The keys of a file of a finished piece.
pub fn piece() -> Keys {
    plain(
        "[way]\n[gauged]\ntaken = \"0.01 in +- 0.001 in\"\n",
        Asks::Piece,
    )
}

/// The keys of a file whose numbers have their spread in their text.
fn plain(full: &str, kind: Asks) -> Keys {
    read_by(full, |text| keys_asked(text, kind))
}

/// The keys that a reading asks for; `full` has every table that it goes into only when it is
/// there.
pub(crate) fn asked_by(full: &str, read: impl Fn(Section<'_>)) -> Keys {
    read_by(full, |text| keys_asked_by(text, &read))
}

fn read_by(full: &str, asked: impl Fn(&str) -> Asked) -> Keys {
    let absent = asked("").1;
    gather(asked(full), asked(full), absent, &[])
}

fn gather(full: Asked, bare: Asked, mut absent: Vec<String>, spreads: &[&str]) -> Keys {
    absent.extend(bare.1);
    let mut all = Vec::new();
    let mut spread: BTreeMap<String, Key> = BTreeMap::new();
    for (path, mut wants) in full.0 {
        // A spread may be a table of its own, as the probe has it.
        if matches!(wants[..], [Want::Spread(_), ..]) {
            wants.truncate(1);
        }
        let required = absent.contains(&path);
        match spreads.iter().find_map(|table| path.strip_prefix(table)) {
            None => all.push(Key {
                path,
                wants,
                required,
            }),
            Some(name) => {
                let key = spread.entry(name.to_owned()).or_insert_with(|| Key {
                    path: name.to_owned(),
                    wants,
                    required: false,
                });
                key.required |= required;
            }
        }
    }
    Keys {
        all,
        spread: spread.into_values().collect(),
    }
}
