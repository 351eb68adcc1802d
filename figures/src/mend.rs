//! Which part of the machine to mend first: each part's share of what makes a cut come out
//! otherwise.

use tautway_sim::arithmetic::{clamp, max, min};
use tautway_sim::{
    quantity::Units,
    spread::OutputIndices,
    study::{Mend, MendPart, Part},
};

use crate::{
    Drawing,
    chart::Axis,
    font,
    ink::{Anchor, Ink, LETTER, Lettering, MARGIN, Place, Stroke, WIDTH, colour, corners},
    scale::Scale,
    strip::Strip,
};

/// What is shown of [`Mend::outputs`], from the first on.
const SHOWN: [&str; 3] = ["Taper", "Size", "Waves"];
/// A part that has less than this in each of them is left out.
const LEAST: f64 = 0.02;
/// Between the columns, px.
const GAP: f64 = 24.0;
/// Room for the number at the end of a bar, px.
const NUMBER: f64 = 70.0;
/// Height of a bar, px.
const BAR: f64 = 26.0;
/// Size of numbers and key, px.
const SMALL: f64 = 17.0;
/// What no mending helps is drawn in it.
const PALE: &str = "#a0a0a0";

/// One part's share of one output's spread, all within 0 to 1.
#[derive(Clone, Copy, Default)]
struct Share {
    alone: f64,
    total: f64,
    low: f64,
    high: f64,
}

/// A part with its share of each output; none where that doesn't vary.
struct Row<'a> {
    part: &'a MendPart,
    shares: [Option<Share>; 3],
}

impl Row<'_> {
    fn matters(&self) -> bool {
        self.shares
            .iter()
            .flatten()
            .any(|share| share.total >= LEAST)
    }
}

/// Each part's share of the spread of taper, size and waves of one way, most first. Solid is what
/// it makes by itself, hatched what it makes together with others; a thin line says how far the
/// share may be off. `way` is named below the title, unless it is empty.
pub fn mend(way: &str, record: &Mend, units: Units) -> Drawing {
    let varying = varying(record, units);
    let mut rows = rows(record, &varying);
    // Stable: equal ones keep the record's order.
    let decides = |row: &Row<'_>| row.shares[record.decides.min(2)].map_or(0.0, |s| s.total);
    rows.sort_by(|a, b| decides(b).total_cmp(&decides(a)));
    let (shown, rest): (Vec<_>, Vec<_>) = rows.into_iter().partition(Row::matters);
    let mendable: Vec<&Row<'_>> = shown.iter().filter(|row| !is_luck(row)).collect();
    let (mut ink, mut y) = Ink::titled(&title(record, &mendable, &shown));
    if !way.is_empty() {
        for line in font::wrap(way, LETTER, true, WIDTH - 2.0 * MARGIN) {
            ink.text((MARGIN, y + LETTER), &line, Lettering::BOLD);
            y += LETTER * 1.25;
        }
        y += 6.0;
    }
    let columns = columns();
    y = headings(&mut ink, &columns, &varying, units, y);
    for row in &shown {
        let words = row.part.part.words();
        for line in font::wrap(words, LETTER, true, WIDTH - 2.0 * MARGIN) {
            y += LETTER * 1.25;
            ink.text((MARGIN, y), &line, Lettering::BOLD);
        }
        y += 7.0;
        for (column, share) in columns.iter().zip(&row.shares) {
            if let Some(share) = share {
                bar(&mut ink, column, y, share, is_luck(row));
            }
        }
        y += BAR + 12.0;
    }
    y = key(&mut ink, y + 6.0);
    ink.captioned(
        "mend",
        y,
        &caption(record, &varying, &mendable, &shown, &rest),
    )
}

fn is_luck(row: &Row<'_>) -> bool {
    row.part.part == Part::Luck
}

fn rows<'a>(record: &'a Mend, varying: &Varying<'_>) -> Vec<Row<'a>> {
    let within = |value: f64| {
        if value.is_finite() {
            clamp(value, 0.0, 1.0)
        } else {
            0.0
        }
    };
    let share = |output: usize, part: usize| -> Option<Share> {
        let groups = varying[output]?.groups.as_ref()?;
        let found = groups.get(part)?;
        let total = within(found.total.value);
        Some(Share {
            // By chance it may come out larger than the whole.
            alone: min(within(found.first.value), total),
            total,
            low: min(within(found.total.interval.lower), total),
            high: max(within(found.total.interval.upper), total),
        })
    };
    record
        .parts
        .iter()
        .enumerate()
        .map(|(index, part)| Row {
            part,
            shares: [0, 1, 2].map(|output| share(output, index)),
        })
        .collect()
}

fn title(record: &Mend, mendable: &[&Row<'_>], shown: &[Row<'_>]) -> String {
    let of = SHOWN[record.decides.min(2)].to_lowercase();
    match (mendable, shown) {
        ([first, ..], _) => format!(
            "Most of the spread of the {of}: {}",
            first.part.part.words()
        ),
        ([], []) => "Nothing in it varies that one would see".into(),
        ([], _) => "Hard spots alone make the spread".into(),
    }
}

fn columns() -> [Strip; 3] {
    let wide = (WIDTH - 2.0 * MARGIN - 2.0 * GAP) / 3.0;
    [0.0, 1.0, 2.0].map(|index| Strip {
        left: MARGIN + index * (wide + GAP),
        width: wide - NUMBER,
        axis: Axis::over([0.0, 100.0], (0.0, 0.0), 2),
    })
}

/// The outputs of the columns, those that vary.
type Varying<'a> = [Option<&'a OutputIndices>; 3];

/// An output varies where its spread isn't nothing as it is shown.
fn varying(record: &Mend, units: Units) -> Varying<'_> {
    std::array::from_fn(|column| {
        let output = record.outputs.get(column)?;
        let shown = scale(column, units).show(half(output));
        let seen = shown.contains(|c: char| ('1'..='9').contains(&c));
        (output.groups.is_some() && seen).then_some(output)
    })
}

/// The scale of a column.
fn scale(column: usize, units: Units) -> Scale {
    match column {
        0 => Scale::taper(units),
        _ => Scale::height(units),
    }
}

/// Twice the standard deviation: about 95 of 100 lie within.
fn half(output: &OutputIndices) -> f64 {
    2.0 * output.variance.sqrt()
}

/// Names the columns, says how wide each spread is; gives the y below.
fn headings(
    ink: &mut Ink,
    columns: &[Strip; 3],
    varying: &Varying<'_>,
    units: Units,
    y: f64,
) -> f64 {
    let small = Lettering {
        size: SMALL,
        ..Lettering::PLAIN
    };
    let line = |number: f64| y + LETTER + number * LETTER * 1.25;
    for (index, (column, name)) in columns.iter().zip(SHOWN).enumerate() {
        let Some(output) = varying[index] else {
            ink.text((column.left, line(0.0)), name, Lettering::BOLD);
            ink.text((column.left, line(1.0)), "none one would see", small);
            continue;
        };
        let heading = format!("{name}, % of spread");
        ink.text((column.left, line(0.0)), &heading, Lettering::BOLD);
        let how = if index == 0 { "" } else { " per side" };
        let wide = scale(index, units).show(half(output));
        let wide = format!("spread ± {wide}{how}");
        ink.text((column.left, line(1.0)), &wide, small);
        column.numbers(ink, line(2.1));
    }
    line(2.1) + 6.0
}

fn bar(ink: &mut Ink, column: &Strip, top: f64, share: &Share, luck: bool) {
    let hue = if luck { PALE } else { colour::BLUE };
    let x = |share: f64| column.x(100.0 * share);
    column.ground(ink, (top, BAR), None);
    let (alone, total) = (x(share.alone), x(share.total));
    patch(
        ink,
        (column.left, top),
        (alone - column.left, BAR),
        hue,
        true,
    );
    patch(ink, (alone, top), (total - alone, BAR), hue, false);
    whisker(ink, (x(share.low), x(share.high)), top + BAR / 2.0);
    let lettering = Lettering {
        size: SMALL,
        ..Lettering::BOLD
    };
    ink.text(
        (column.right() + NUMBER - 2.0, top + BAR / 2.0 + 6.0),
        &format!("{:.0}\u{a0}%", 100.0 * share.total),
        lettering.at(Anchor::End),
    );
}

/// A stretch of a bar: solid, or hatched.
fn patch(ink: &mut Ink, at: Place, size: Place, hue: &'static str, solid: bool) {
    if size.0 < 0.3 {
        return;
    }
    let outline = corners(at, size);
    let edge = Some(Stroke::solid(hue, 1.6));
    if solid {
        ink.area(&outline, hue, edge);
    } else {
        ink.area(&outline, colour::WHITE, None);
        ink.hatch(&outline, 9.0, true, Stroke::solid(hue, 2.2));
        ink.area(&outline, "none", edge);
    }
}

/// A thin line with ends, in a white rim to read over solid and hatched.
fn whisker(ink: &mut Ink, (from, to): (f64, f64), y: f64) {
    let lines = [
        [(from, y), (to, y)],
        [(from, y - 6.0), (from, y + 6.0)],
        [(to, y - 6.0), (to, y + 6.0)],
    ];
    for stroke in [
        Stroke::solid(colour::WHITE, 5.0),
        Stroke::solid(colour::BLACK, 2.0),
    ] {
        for line in &lines {
            ink.line(line, stroke);
        }
    }
}

/// What solid, hatched and the thin line mean; gives the y below.
fn key(ink: &mut Ink, y: f64) -> f64 {
    let lettering = Lettering {
        size: SMALL,
        ..Lettering::PLAIN
    };
    let size = (36.0, 22.0);
    let mut x = MARGIN;
    for (index, name) in [
        "by itself",
        "together with others",
        "how far the share may be off",
    ]
    .into_iter()
    .enumerate()
    {
        match index {
            0 | 1 => patch(ink, (x, y), size, colour::BLUE, index == 0),
            _ => whisker(ink, (x, x + size.0), y + size.1 / 2.0),
        }
        ink.text((x + 45.0, y + 17.0), name, lettering);
        x += 45.0 + font::width(name, SMALL, false) + 28.0;
    }
    y + size.1
}

fn caption(
    record: &Mend,
    varying: &Varying<'_>,
    mendable: &[&Row<'_>],
    shown: &[Row<'_>],
    rest: &[Row<'_>],
) -> String {
    let mut text = format!(
        "What makes the cut come out otherwise from one trial to the next, in {} trials; most of \
         the {} first. The spread holds about 95 of 100 trials. What parts do \
         only together counts for each of them, so that a column may come to more than 100 %.",
        record.trials,
        SHOWN[record.decides.min(2)].to_lowercase()
    );
    let still: Vec<&str> = SHOWN
        .iter()
        .enumerate()
        .filter(|(index, _)| varying[*index].is_none())
        .map(|(_, name)| *name)
        .collect();
    if !still.is_empty() {
        text.push_str(&format!(
            " As good as the same in every trial: {}.",
            still.join(", ").to_lowercase()
        ));
    }
    if let [first, second, ..] = mendable
        && let at = record.decides.min(2)
        && let (Some(one), Some(other)) = (first.shares[at], second.shares[at])
        && one.low < other.high
    {
        text.push_str(&format!(
            " More trials might still put \u{201c}{}\u{201d} first.",
            second.part.part.words()
        ));
    }
    if let [first, ..] = mendable
        && !first.part.tests.is_empty()
    {
        text.push_str(&format!(
            " Measure before you mend: {}.",
            first.part.tests.join("; ")
        ));
    }
    if !rest.is_empty() && !shown.is_empty() {
        let names: Vec<&str> = rest.iter().map(|row| row.part.part.words()).collect();
        text.push_str(&format!(
            " The rest: under {:.0} % each ({}).",
            100.0 * LEAST,
            names.join("; ")
        ));
    }
    text
}
