//! `tautway gauging standoff`.

use tautway_sim::cone::travel_for;
use tautway_sim::gauging::{Gauge, Refusal, Standoff, StandoffSum, standoff_rows};
use tautway_sim::quantity::{INCH, Length, Quantity, Units};
use tautway_sim::scenario::Kind;
use tautway_words::{Block, Table};

use super::asked;
use super::page::{Page, Sum};
use super::units::units;
use crate::screen::found::{fine_length, length, length_half};

const ROWS: u32 = 10;

/// The answer.
///
/// # Errors
/// When the numbers don't go together.
pub fn answer(args: &asked::Standoff, asked: Option<Units>) -> Result<Page, Refusal> {
    let metric = [
        args.taper.metric,
        args.read.as_ref().is_some_and(|read| read.metric),
        args.step.as_ref().is_some_and(|step| step.metric),
    ];
    let mut page = Page::new(units(asked, &metric));
    let taper = page.input("taper", args.taper.gauged());
    let mut sum = None;
    if let Some(read) = &args.read {
        let read = page.input("standoff", read.by(Gauge::Caliper));
        let at_size = args.at_size.as_ref().map_or(0.0, |wanted| wanted.value);
        let done = Standoff {
            kind: args.kind.unwrap_or(Kind::Outside),
            taper,
            read,
            wanted: at_size,
        }
        .sum()?;
        told(&mut page, &done, args.kind, taper.value);
        page.words.gap();
        sum = Some(done);
    }
    let rows = table(&mut page, args)?;
    page.found = Some(Sum::Standoff {
        still_to_come_off_on_diameter: sum.as_ref().map(|sum| sum.on_diameter.clone()),
        still_to_come_off_per_side: sum.as_ref().map(|sum| sum.per_side.clone()),
        size_error: sum
            .filter(|_| args.kind.is_some())
            .map(|sum| sum.size_error),
        rows,
    });
    Ok(page)
}

fn told(page: &mut Page, sum: &StandoffSum, kind: Option<Kind>, taper: f64) {
    let units = page.units;
    let mut off = sum.on_diameter.clone();
    let (wide, side) = if off.value >= 0.0 {
        (length(&off, units), length(&sum.per_side, units))
    } else {
        off.value = -off.value;
        let mut side = sum.per_side.clone();
        side.value = -side.value;
        (length(&off, units), length(&side, units))
    };
    if !sum.on_diameter.differs_from(0.0) && off.half > 0.0 {
        page.line(format!(
            "At size as far as this can tell: within {} on diameter.",
            length_half(off.value + off.half, units)
        ));
    } else if sum.on_diameter.value > 0.0 {
        page.line(format!(
            "Still to come off: {wide} on diameter, {side} per side."
        ));
        let toward = match kind {
            Some(Kind::Inside) => {
                "Turn the tool into the wall, toward you at the front wall, away at the far wall,"
            }
            _ => "Turn the tool in",
        };
        page.line(format!(
            "{toward} by what the dial counts, on diameter or per side: the cross dial, or the top \
             slide's where the cross-feed nut is out."
        ));
    } else if sum.on_diameter.value < 0.0 {
        page.line(format!(
            "Already off too much: {wide} on diameter, {side} per side."
        ));
        if kind == Some(Kind::Inside) {
            let mut back = off.clone();
            (back.value, back.half) = (off.value / taper, off.half / taper);
            page.line(format!(
                "No cut of the bore brings it back. Facing the mouth does, by {}, where there is \
                 stock for it and the length may lose it.",
                length(&back, units)
            ));
        } else {
            page.line("No cut brings it back.");
        }
    } else {
        page.line("At size.");
    }
    if let Some(kind) = kind
        && sum.on_diameter.differs_from(0.0)
    {
        let what = match kind {
            Kind::Outside => "work",
            Kind::Inside => "bore",
        };
        let how = if sum.size_error.value > 0.0 {
            "big"
        } else {
            "small"
        };
        page.line(format!(
            "The {what} is {wide} too {how} on diameter at the gauge plane."
        ));
    }
    page.mostly_from("this", &sum.on_diameter);
}

fn table(
    page: &mut Page,
    args: &asked::Standoff,
) -> Result<Vec<tautway_sim::gauging::StandoffRow>, Refusal> {
    let units = page.units;
    let on_diameter = match units {
        Units::Inch => 0.001 * INCH,
        Units::Metric => 0.02e-3,
    };
    let step = match &args.step {
        Some(step) if step.value > 0.0 => step.value,
        Some(_) => {
            return Err(Refusal {
                about: "step",
                message: "the rows must be some way apart".into(),
                hint: "give a positive length, such as `0.010 in`".into(),
            });
        }
        None => travel_for(args.taper.taper, Length::from_si(on_diameter))
            .map_or(on_diameter, Length::si),
    };
    let rows = standoff_rows(args.taper.taper, step, ROWS);
    let mut table = Table::new(["standoff", "on diameter", "per side"]);
    for row in &rows {
        let lengths = [row.standoff, row.on_diameter, row.per_side];
        table.row(lengths.map(|length| fine_length(length, units)));
    }
    page.words.push(Block::Table(table));
    Ok(rows)
}
