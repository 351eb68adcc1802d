//! A steady rest in the job file, and where it can stand. A follower rest can't be: said why.

use super::section::{Section, Words};
use crate::arithmetic::max;
use crate::quantity::{INCH, Length, Quantity};
use crate::scenario::limits::Limits;
use crate::scenario::numbers::work as rows;
use crate::scenario::{Holding, Kind, Steady, Work};
use toml::de::DeValue;

/// Along the bed on either side of a rest's pads that its frame takes, m (1 in; a guess).
const FRAME: f64 = 1.0 * INCH;

/// Ways of holding, and whether a rest is named with them.
pub(super) const HELD: &Words<(Holding, bool)> = &[
    (
        &["chuck", "in a chuck", "faceplate", "on a faceplate"],
        (Holding::Chuck, false),
    ),
    (
        &[
            "chuck and centre",
            "chuck and center",
            "in a chuck and centre",
        ],
        (Holding::ChuckAndCentre, false),
    ),
    (
        &["between centres", "between centers", "centres", "centers"],
        (Holding::Centres, false),
    ),
    (
        &[
            "chuck and steady rest",
            "chuck and steady",
            "steady rest",
            "steady",
            "faceplate and steady rest",
        ],
        (Holding::Chuck, true),
    ),
    (
        &[
            "chuck, centre and steady rest",
            "chuck, center and steady rest",
        ],
        (Holding::ChuckAndCentre, true),
    ),
    (
        &[
            "between centres and steady rest",
            "between centers and steady rest",
        ],
        (Holding::Centres, true),
    ),
];

/// Why there is no follower rest on a taper.
pub const NO_FOLLOWER: &str = "its pads stand at one distance from the axis and ride on what the \
                               tool has just turned: on a taper that changes all along, so they \
                               lift off or jam. Use a steady rest on a straight band (held = \
                               \"chuck and steady rest\"), a centre, or lighter cuts";

/// How the work is held, and whether a rest was named.
pub(super) fn holding(table: &Section<'_>) -> (Holding, bool) {
    if let Some((DeValue::String(said), at)) = table.find("held")
        && super::section::plain_words(said).contains("follow")
    {
        table.reading.error(
            at,
            "a follower rest can't follow a taper",
            "no follower rest",
            NO_FOLLOWER,
        );
        return (Holding::Chuck, false);
    }
    let held = table.word("held", HELD).given();
    held.unwrap_or((Holding::Chuck, false))
}

/// The rest, where there is one.
pub(super) fn read(table: &Section<'_>, named: bool) -> Option<Steady> {
    let steady = table.table("steady");
    let (there, wanted) = (steady.is_there(), steady.is_there() || named);
    let at = match there {
        true => steady.required::<Length>("at", Limits::POSITIVE, "\"6 in\""),
        false => steady.quantity_or("at", Limits::POSITIVE, Length::from_si(f64::NAN)),
    };
    let read = Steady {
        at,
        spring: steady.number_or(&rows::STEADY_SPRING, rows::STEADY_SPRING.always()),
        set: steady.number_or(&rows::STEADY_SET, rows::STEADY_SET.always()),
    };
    steady.finish();
    if named && !there {
        table.reading.error(
            table.reading.place("work.held"),
            "where the steady rest bears is needed",
            "a rest, but no place",
            "give it as steady = { at = \"6 in\" }: from the jaws to the band it bears on",
        );
    }
    wanted.then_some(read)
}

/// Room to run the carriage past the tailstock-side end of the taper that the rest leaves.
pub(super) fn room(steady: Option<&Steady>, kind: Kind, end: f64) -> Option<f64> {
    let past = steady?.at.si() - end;
    (kind == Kind::Outside && past > 0.0).then(|| max(past - FRAME, 0.0))
}

/// Whether it stands where it can: on the work, not on the taper, out of the tool's way.
pub(super) fn check(table: &Section<'_>, work: &Work) {
    let Some(steady) = &work.steady else { return };
    let reading = table.reading;
    let (from, to) = (work.from_jaws.si(), work.from_jaws.si() + work.length.si());
    let at = steady.at.si();
    let show = |si: f64| Length::from_si(si).show(reading.units.get());
    let wrong = |path: &str, message: String, label: String, hint: &str| {
        reading.error(reading.place(path), message, label, hint);
    };
    if at > to + work.beyond.si() + 1e-8 {
        wrong(
            "work.steady.at",
            "the steady rest stands past the end of the work".to_owned(),
            format!(
                "the work ends {} from the jaws",
                show(to + work.beyond.si())
            ),
            "check from_jaws, length and beyond: beyond is what there is past the taper",
        );
    } else if work.kind == Kind::Outside && at > from - FRAME && at < to + 1e-8 {
        wrong(
            "work.steady.at",
            "the steady rest would stand on the taper, or in the tool's way".to_owned(),
            format!(
                "the taper goes from {} to {} from the jaws",
                show(from),
                show(to)
            ),
            "its pads need a straight band, turned true, clear of the taper by an inch",
        );
    }
    if let Some(room) = room(Some(steady), work.kind, to)
        && work.room_tailstock.si() > room + 1e-8
    {
        wrong(
            "work.room_tailstock",
            "the steady rest stands in the room past the taper".to_owned(),
            format!("it leaves {}", show(room)),
            "give the room up to the rest's frame, or set the rest further out",
        );
    }
}
