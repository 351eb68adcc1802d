//! From the moves file and the lathe file to a [`Script`], with every fault reported at once.
//!
//! A moves file has a head in TOML, which names the lathe and the guide's taper, then a line
//! `moves:`, then one move a line in shop words; `#` begins a comment in both.

use std::ops::Range;

use super::script::{Cylinder, Script};
use super::words::Course;
use crate::quantity::{INCH, Length, Quantity, Ratio, Taper};
use crate::scenario::decode::bare::weight_of;
use crate::scenario::decode::job::TOWARD;
use crate::scenario::decode::reading::Reading;
use crate::scenario::decode::section::{Got, Section};
use crate::scenario::decode::syntax;
use crate::scenario::decode::wordings::BIG_END;
use crate::scenario::decode::wordings::UNITS;
use crate::scenario::keys::{Keys, asked_by};
use crate::scenario::limits::Limits;
use crate::scenario::numbers::preload::SEAL_SHARE;
use crate::scenario::{Diagnostic, End, Lathe, Severity, Source, Toward, decode_lathe};

/// The line between head and moves.
pub const OPENING: &str = "moves:";

/// Where head and moves lie in the text.
struct Halves {
    head: Range<usize>,
    /// From the line after `moves:`; `None` when there is no such line.
    moves: Option<Range<usize>>,
}

fn halves(text: &str) -> Halves {
    let mut from = 0;
    let mut head_only = true;
    let mut head_ends = 0;
    for line in text.split_inclusive('\n') {
        let plain = line.split('#').next().unwrap_or("").trim();
        if plain.eq_ignore_ascii_case(OPENING) {
            return Halves {
                head: 0..from,
                moves: Some(from + line.len()..text.len()),
            };
        }
        // Without the opening line, the head is what looks like one.
        head_only &= plain.is_empty() || plain.contains('=') || plain.starts_with('[');
        from += line.len();
        if head_only {
            head_ends = from;
        }
    }
    Halves {
        head: 0..head_ends,
        moves: None,
    }
}

/// The lathe file that a moves file names, so that it can be read before the moves are decoded.
///
/// # Errors
/// The faults that stand in the way of the name.
pub fn lathe_named_in(moves: Source<'_>) -> Result<String, Vec<Diagnostic>> {
    crate::scenario::lathe_named_in(Source {
        name: moves.name,
        text: &moves.text[halves(moves.text).head],
    })
}

/// The keys of the head.
pub fn keys() -> Keys {
    asked_by("[start]\n[cylinder]\n", |top| drop(head(top)))
}

/// What the head says.
struct Head {
    name: String,
    note: Option<String>,
    units: Option<crate::quantity::Units>,
    taper: Taper,
    big_end: End,
    room_headstock: Option<Length>,
    room_operator: Option<Length>,
    cylinder: Option<Cylinder>,
}

/// Decodes a moves file and the lathe that it names. With the script come the warnings.
///
/// # Errors
/// Every fault of both texts, and the warnings: the moves' first, each text's in reading order.
pub fn decode(
    moves: Source<'_>,
    lathe: Source<'_>,
) -> Result<(Script, Vec<Diagnostic>), Vec<Diagnostic>> {
    let (lathe, of_lathe) = match decode_lathe(lathe) {
        Ok((lathe, warnings)) => (Some(lathe), warnings),
        Err(found) => (None, found),
    };
    let halves = halves(moves.text);
    let source = Source {
        name: moves.name,
        text: &moves.text[halves.head.clone()],
    };
    let text = syntax::parse(source);
    let reading = Reading::new(source);
    if let Some(lathe) = &lathe {
        reading.units.set(lathe.units);
    }
    let head = head(Section::top(&reading, &text.table));
    check(&reading, &head, lathe.as_ref());
    let below = Reading::new(moves);
    below.units.set(reading.units.get());
    below.stated.set(head.units);
    if let Some(range) = &halves.moves {
        let [inch, metric] = reading.weight.get();
        // The units stand behind the lines' first digits.
        let lines = moves.text[range.clone()].lines();
        let amounts =
            lines.filter_map(|line| Some(&line[line.find(|c: char| c.is_ascii_digit())?..]));
        let weight = amounts.map(weight_of).fold([inch, metric], |sum, one| {
            [sum[0] + one[0], sum[1] + one[1]]
        });
        below.weight.set(weight);
    }
    let mut found = syntax::merge(text, reading);

    let reading = below;
    let spoken = match &halves.moves {
        None => {
            let at = halves.head.end.min(moves.text.len());
            let line = moves.text[at..]
                .find('\n')
                .map_or(moves.text.len(), |i| at + i);
            reading.error(
                at..line,
                "the line `moves:` is missing",
                "the moves begin after it",
                "write `moves:` on a line of its own, then one move a line, such as \
                 `carriage 3 in toward the headstock`",
            );
            Vec::new()
        }
        Some(range) => Course::new(&reading, head.cylinder.is_some()).read(range.clone()),
    };
    found.extend(reading.into_found().into_iter().map(|(d, _)| d));
    found.extend(of_lathe);
    let faulty = found.iter().any(|d| d.severity == Severity::Error);
    let Some(lathe) = lathe.filter(|_| !faulty) else {
        return Err(found);
    };
    let (guide, slide) = (lathe.attachment.guide_travel.si(), lathe.slide.travel.si());
    let script = Script {
        name: head.name,
        note: head.note,
        units: head.units.unwrap_or(lathe.units),
        taper: head.taper,
        big_end: head.big_end,
        room_headstock: head.room_headstock.map_or(0.5 * guide, Quantity::si),
        room_operator: head.room_operator.map_or(0.5 * slide, Quantity::si),
        cylinder: head.cylinder,
        moves: spoken,
        lathe,
    };
    Ok((script, found))
}

fn head(top: Section<'_>) -> Head {
    let name = top.required_text("name", "\"zeroed too early\"");
    let note = top.text("note").given();
    // Read when the lathe was looked for.
    let _ = top.required_text("lathe", "\"lathe.toml\"");
    let units = top.word("units", UNITS).given();
    if let Some(units) = units {
        top.reading.units.set(units);
    }
    let taper = top.required::<Taper>("taper", Limits::POSITIVE, "\"1-1/2 in/ft\"");
    let big_end = top
        .word("big_end", BIG_END)
        .given()
        .unwrap_or(End::Headstock);
    let start = top.table("start");
    let room = Limits::NOT_NEGATIVE.doubt_above(60.0 * INCH);
    let room_headstock = start.quantity("room_headstock", room).given();
    let room_operator = start.quantity("room_operator", room).given();
    start.finish();
    let cylinder = cylinder(top.table("cylinder"));
    top.finish();
    Head {
        name,
        note,
        units,
        taper,
        big_end,
        room_headstock,
        room_operator,
        cylinder,
    }
}

fn cylinder(table: Section<'_>) -> Option<Cylinder> {
    if !table.is_there() {
        table.finish();
        return None;
    }
    let bore = table.required::<Length>("bore", Limits::POSITIVE, "\"1-1/16 in\"");
    let rod = table.quantity("rod", Limits::NOT_NEGATIVE);
    let cylinder = Cylinder {
        bore,
        rod: match rod {
            Got::Given(rod) => rod,
            Got::Open | Got::Faulty => Length::from_si(0.0),
        },
        toward: table
            .required_word("toward", TOWARD, "\"toward the operator\"")
            .unwrap_or(Toward::Operator),
        seal_share: table
            .quantity_or::<Ratio>("seal_share", Limits::SHARE, SEAL_SHARE.always().middle)
            .si(),
    };
    if cylinder.rod >= cylinder.bore {
        table.reading.error(
            table.reading.place("cylinder.rod"),
            "the rod is as thick as the bore",
            "too thick",
            "leave rod out when the plain side is pressed",
        );
    }
    table.finish();
    Some(cylinder)
}

/// Whether the head fits the lathe.
fn check(reading: &Reading<'_>, head: &Head, lathe: Option<&Lathe>) {
    let Some(lathe) = lathe else { return };
    if !lathe.attachment.fitted {
        reading.error(
            reading.place("lathe"),
            "this lathe has no taper attachment",
            "its attachment is \"none\"",
            "hand moves rehearse the attachment: name a lathe that has one",
        );
        return;
    }
    let units = reading.units.get();
    if head.taper.si() > lathe.attachment.steepest.high.si() {
        reading.report(
            Severity::Warning,
            reading.place("taper"),
            "the taper is steeper than the guide swings",
            format!(
                "this lathe goes to {}",
                lathe.attachment.steepest.middle.show(units)
            ),
            "take a taper that the guide can be set to",
        );
    }
    for (path, room, travel, what) in [
        (
            "start.room_headstock",
            head.room_headstock,
            lathe.attachment.guide_travel.middle,
            "guide",
        ),
        (
            "start.room_operator",
            head.room_operator,
            lathe.slide.travel.middle,
            "slide",
        ),
    ] {
        if let Some(room) = room
            && room > travel
        {
            reading.error(
                reading.place(path),
                format!("that is more than the {what} travels"),
                format!("the {what} travels {}", travel.show(units)),
                "give what is left that way at the beginning",
            );
        }
    }
}
