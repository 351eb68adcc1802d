//! Hand moves as a table, with what to know about each below it.

use tautway_sim::quantity::{Force, INCH, Length, Quantity, Taper, Units, show};
use tautway_sim::rehearse::{Bearing, Rehearsal, Stand, Step};
use tautway_sim::scenario::End;

use tautway_words::{Block, Document, Role, Table};

use super::{hurts, words};

/// The table, the notices, the hazard and the cautions.
pub fn rehearsal(made: &Rehearsal, units: Units) -> Document {
    let mut page = Document::new();
    page.say("REHEARSAL:", format!("{}, on {}.", made.name, made.lathe));
    if let Some(note) = &made.note {
        page.say("", note);
    }
    if let Some(caution) = made.cautions.first() {
        page.stop_if(format!("{}. {}", caution.stop_if, caution.advice));
    }
    let end = match made.big_end {
        End::Headstock => "headstock",
        End::Tailstock => "tailstock",
    };
    page.say(
        "Guide:",
        format!(
            "{} on diameter, big end at the {end} for a tool in front; usable guide left {} \
             toward the headstock, {} toward the tailstock.",
            Taper::from_si(made.taper).show(units),
            Length::from_si(made.start.guide_room.0).show(units),
            Length::from_si(made.start.guide_room.1).show(units),
        ),
    );
    page.gap();
    let unit = match units {
        Units::Inch => "in",
        Units::Metric => "mm",
    };
    page.say(
        "Numbers:",
        format!(
            "carriage {unit}; dial, readout and tool {unit} per side; \"still\" is carriage travel \
             before the slide follows, {unit}."
        ),
    );
    let head = [
        "no.", "move", "carriage", "dial", "readout", "tool", "still",
    ];
    let mut table = Table::new(head).words_in(&[1]);
    table.row(row("", "start", &made.start, None, units));
    for step in &made.steps {
        let number = step.number.to_string();
        table.row(row(&number, &step.words, &step.stand, Some(step), units));
    }
    page.push(Block::Table(table));
    page.gap();
    for step in &made.steps {
        for notice in &step.notices {
            let label = if notice.is_warning() {
                format!("  {} WATCH:", step.number)
            } else {
                format!("  {}:", step.number)
            };
            page.say(&label, words::capital(&notice.words(units)));
        }
    }
    let last = made.steps.last().map_or(&made.start, |step| &step.stand);
    page.say("At the end:", standing(last, units));
    if let Some(broken) = &made.broken {
        page.gap();
        page.say(
            "STOPPED:",
            format!(
                "before move {} (line {}), {}.",
                broken.number, broken.line, broken.words
            ),
        );
        page.under(
            "It breaks something:",
            format!("{}.", broken.hazard.breaks(units)),
        );
        page.under("Do this:", format!("{}.", broken.hazard.advice()));
    }
    page.gap();
    hurts(&mut page, &made.cautions);
    page.gap();
    page.say(
        "I assumed:",
        "it begins coupled, foot clamped, nothing locked, air off, the slide in the middle of \
         its slack. The readout counts the slide and not the tool. A rehearsal is not an \
         inspection: try it on the lathe.",
    );
    page.say_as(Role::Note, "", format!("tautway {}", made.version));
    page
}

fn row(number: &str, words: &str, stand: &Stand, step: Option<&Step>, units: Units) -> [String; 7] {
    let still = step
        .and_then(|step| step.lost)
        .map_or(String::new(), |lost| along(lost.stood_still, units));
    [
        number.to_owned(),
        words.to_owned(),
        sided(
            stand.carriage,
            &along(stand.carriage.abs(), units),
            ["head", "tail"],
        ),
        sided(stand.dial, &across(stand.dial.abs(), units), ["in", "out"]),
        sided(
            stand.readout,
            &across(stand.readout.abs(), units),
            ["in", "out"],
        ),
        sided(stand.tool, &across(stand.tool.abs(), units), ["in", "out"]),
        still,
    ]
}

/// `in 0.0100`: which way and how far; which way is left out of nothing.
fn sided(value: f64, number: &str, words: [&str; 2]) -> String {
    if number.bytes().all(|b| matches!(b, b'0' | b'.')) {
        return number.to_owned();
    }
    let word = if value < 0.0 { words[0] } else { words[1] };
    format!("{word} {number}")
}

fn along(m: f64, units: Units) -> String {
    match units {
        Units::Inch => format!("{:.3}", m / INCH),
        Units::Metric => format!("{:.1}", m * 1e3),
    }
}

fn across(m: f64, units: Units) -> String {
    match units {
        Units::Inch => format!("{:.4}", m / INCH),
        Units::Metric => format!("{:.3}", m * 1e3),
    }
}

/// Which faces bear, how hard, and how far the slide floats.
fn standing(stand: &Stand, units: Units) -> String {
    let dial = |m: f64| show::dial(Length::from_si(m), units);
    let foot = match stand.gaps.first().map(|gap| gap.bears) {
        Some(Bearing::Headstock) => "the foot bears on its headstock side",
        Some(Bearing::Tailstock) => "the foot bears on its tailstock side",
        _ => "the foot is loose in its slack",
    };
    let drive = if stand.drive == 0.0 {
        format!(
            "the slide floats, {} toward the operator and {} away",
            dial(stand.float.0),
            dial(stand.float.1)
        )
    } else {
        let way = if stand.drive > 0.0 {
            "pushes the slide toward the operator"
        } else {
            "holds the slide away from the operator"
        };
        format!(
            "the drive {way} with {}",
            Force::from_si(stand.drive.abs()).show(units)
        )
    };
    format!("{foot}; {drive}.")
}
