//! The file that says what a finished job gave: what was gauged, and how well.

use super::amount::Limits;
use super::lathe::UNITS;
use super::section::{Got, Section};
use crate::learn::{Gauged, Measured};
use crate::quantity::{Length, Quantity, Taper, Units};
use crate::scenario::Severity;
use crate::setup::{Feed, Rotation, Side};

/// Reads it. Faults are reported in the text; what comes back then is not for use.
pub(super) fn read(top: Section<'_>) -> Gauged {
    let units = top
        .required_word("units", UNITS, "\"inch\"")
        .unwrap_or(Units::Inch);
    top.reading.units.set(units);
    let way = top.table("way");
    let gauged = Gauged {
        units,
        side: way
            .word(
                "side",
                &[(&["front"], Side::Front), (&["rear"], Side::Rear)],
            )
            .given(),
        feed: way
            .required_word(
                "feed",
                &[
                    (&["headstock", "toward the headstock"], Feed::Headstock),
                    (&["tailstock", "toward the tailstock"], Feed::Tailstock),
                ],
                "\"headstock\"",
            )
            .unwrap_or(Feed::Headstock),
        rotation: way
            .word(
                "rotation",
                &[
                    (&["forward"], Rotation::Forward),
                    (&["reverse"], Rotation::Reverse),
                ],
            )
            .given(),
        taken: None,
        taper: None,
        waves: None,
    };
    way.finish();
    let found = top.required_table("gauged", "[gauged]");
    let length = Limits::NOT_NEGATIVE;
    let gauged = Gauged {
        taken: measured::<Length>(&found, "taken", length),
        taper: measured::<Taper>(&found, "taper", Limits::POSITIVE),
        waves: measured::<Length>(&found, "waves", length),
        ..gauged
    };
    let nothing = gauged.taken.is_none() && gauged.taper.is_none() && gauged.waves.is_none();
    let faulty = ["taken", "taper", "waves"]
        .iter()
        .any(|key| found.is_faulty_at(key));
    if found.is_there() && nothing && !faulty {
        found.missing("taken", "\"0.0085 in +- 0.0003 in\"");
    }
    found.finish();
    top.finish();
    gauged
}

/// A gauged number with how far its gauge may be off.
fn measured<Q: Quantity>(
    table: &Section<'_>,
    key: &'static str,
    limits: Limits,
) -> Option<Measured> {
    let Got::Given(known) = table.measured::<Q>(key, limits) else {
        return None;
    };
    let off = known.high.si() - known.si();
    if off <= 0.0 {
        table.reading.report(
            Severity::Error,
            table.reading.place(&table.key_path(key)),
            format!("`{}` needs its gauge's own error", table.key_path(key)),
            "no gauge is exact",
            "write what was gauged and how far the gauge may be off: \"0.0085 in +- 0.0003 in\"",
        );
        return None;
    }
    Some(Measured {
        value: known.si(),
        off,
    })
}
