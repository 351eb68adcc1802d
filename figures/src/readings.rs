//! Readings against the line through them, and how far each lies off it.

use tautway_sim::arithmetic::{clamp, max, min};
use tautway_sim::quantity::INCHES_PER_FOOT;
use tautway_sim::{
    quantity::Units,
    readings::{Evaluation, Judged, LostRead, Use},
    setup::Feed,
};

use crate::{
    Drawing,
    chart::{Axis, BELOW, Curve, LEFT, Plot},
    ink::{Anchor, Ink, LETTER, Lettering, MARGIN, Place, Stroke, WIDTH, colour},
    scale::{Scale, number},
};

/// Half the size of a marker, px.
const MARK: f64 = 7.0;

/// The slide against the carriage above, below it what is left of each reading without the line
/// of its direction. Triangles point the way the carriage was going; wild readings are ringed,
/// those left out for slack are hollow.
pub fn readings(record: &Evaluation, units: Units) -> Drawing {
    let along = Scale::length(units);
    let small = Scale::height(units);
    let (factor, decimals, unit) = match units {
        Units::Inch => (INCHES_PER_FOOT, 4, "in/ft"),
        Units::Metric => (1e3, 3, "mm/m"),
    };
    let rate = |taper: f64| number(factor * taper, decimals);
    let title = format!(
        "Really set: {} {unit} on diameter ({} to {})",
        rate(record.taper.value),
        rate(record.taper.low),
        rate(record.taper.high)
    );
    let (mut ink, y) = Ink::titled(&title);
    let all = &record.readings;
    let places = || all.iter().map(|r| along.of(r.reading.carriage));
    let wide = WIDTH - LEFT - 2.0 * MARGIN - 10.0;
    let x = Axis::over(places(), (0.06, 0.06), 7);

    let heading = format!("Slide movement, {}", along.unit);
    ink.text((MARGIN, y + LETTER), &heading, Lettering::BOLD);
    let above = Plot {
        left: LEFT + MARGIN,
        top: y + LETTER + 20.0,
        width: wide,
        height: 300.0,
        x: x.clone().unnumbered(),
        y: Axis::over(all.iter().map(|r| along.of(r.reading.slide)), (0.1, 0.1), 6),
    };
    let line = &record.line;
    let ends: Vec<f64> = all.iter().map(|r| r.reading.carriage).collect();
    let (low, high) = ends
        .iter()
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), &z| {
            (min(l, z), max(h, z))
        });
    let branch = |way: f64, stroke: Stroke| Curve {
        points: [low, high]
            .map(|z| {
                let slide = line.intercept + line.slope * z - 0.5 * way * line.gap;
                (along.of(z), along.of(slide))
            })
            .to_vec(),
        stroke,
    };
    let mut curves = vec![branch(1.0, Stroke::solid(colour::BLUE, 1.8))];
    if line.gap != 0.0 {
        curves.push(branch(
            -1.0,
            Stroke::dashed(colour::VERMILION, 1.8, 9.0, 5.0),
        ));
    }
    above.draw(&mut ink, &curves);
    for reading in all {
        let at = above.at(
            along.of(reading.reading.carriage),
            along.of(reading.reading.slide),
        );
        mark(&mut ink, at, reading, record.carriage_sign);
    }

    let top = above.bottom() + 24.0;
    let heading = format!("Off the line of its direction, {} of slide", small.unit);
    ink.text((MARGIN, top + LETTER), &heading, Lettering::BOLD);
    let step = small.of(record.step / 2.0);
    let counted = all
        .iter()
        .filter(|r| r.taken == Use::Used)
        .map(|r| small.of(r.residual));
    let mut scale: Vec<f64> = counted.chain([step, -step]).collect();
    // Readings far off would press all others flat: they are drawn at the edge.
    let most = scale.iter().fold(0.0_f64, |m, v| max(m, v.abs()));
    let far = |r: &&Judged| small.of(r.residual).abs() <= 4.0 * most;
    scale.extend(all.iter().filter(far).map(|r| small.of(r.residual)));
    let below = Plot {
        left: above.left,
        top: top + LETTER + 20.0,
        width: wide,
        height: 230.0,
        x,
        y: Axis::over(scale, (0.2, 0.2), 5),
    };
    let level = |at: f64, stroke: Stroke| Curve {
        points: vec![(below.x.low, at), (below.x.high, at)],
        stroke,
    };
    let edge = Stroke::dashed(colour::GREY, 1.2, 4.0, 4.0);
    let mut levels = vec![level(0.0, Stroke::solid(colour::BLACK, 1.2))];
    if step > 0.0 {
        levels.extend([level(step, edge), level(-step, edge)]);
    }
    below.draw(&mut ink, &levels);
    let mut beyond = false;
    for reading in all {
        let off = small.of(reading.residual);
        let drawn = clamp(off, below.y.low, below.y.high);
        beyond |= drawn != off;
        let at = below.at(along.of(reading.reading.carriage), drawn);
        mark(&mut ink, at, reading, record.carriage_sign);
        if reading.taken == Use::Wild {
            let label = format!(
                "row {}: {}",
                reading.reading.row,
                small.show(reading.residual)
            );
            let (dx, anchor) = if at.0 > below.left + 0.7 * wide {
                (-18.0, Anchor::End)
            } else {
                (18.0, Anchor::Start)
            };
            let y = clamp(at.1, below.top + 22.0, below.bottom() - 8.0);
            ink.text((at.0 + dx, y), &label, Lettering::BOLD.at(anchor));
        }
    }
    let foot = below.bottom() + BELOW + LETTER;
    ink.text(
        (below.left + wide / 2.0, foot),
        &format!("Carriage, {}", along.unit),
        Lettering::BOLD.at(Anchor::Middle),
    );
    ink.captioned("readings", foot, &caption(record, small, along, beyond))
}

fn caption(record: &Evaluation, small: Scale, along: Scale, beyond: bool) -> String {
    let mut text = "Triangles point the way the carriage was going: blue with growing numbers, \
                    red with falling ones. "
        .to_owned();
    match record.lost {
        LostRead::Known { travel, .. } => text.push_str(&format!(
            "Between the two directions {} of carriage travel are lost. ",
            along.show(travel.value)
        )),
        LostRead::OneDirection => {
            text.push_str("Lost motion can't be known from readings in one direction. ");
        }
        LostRead::Ahead { .. } => text.push_str("The directions seem the wrong way round. "),
    }
    if record.step > 0.0 {
        text.push_str(&format!(
            "Grey: half a readout step of {} {}, as slide movement. ",
            number(small.of(record.step), 3),
            small.unit
        ));
    }
    let left_out = |taken: &[Use]| record.readings.iter().any(|r| taken.contains(&r.taken));
    if left_out(&[Use::Wild]) {
        text.push_str("Ringed: wild, left out. ");
    }
    if left_out(&[Use::NotTakenUp, Use::Doubtful]) {
        text.push_str("Hollow: slack not taken up, left out. ");
    }
    if beyond {
        text.push_str("Readings farther off than the scale stand at its edge.");
    }
    text
}

/// A triangle that points the way the numbers went.
fn mark(ink: &mut Ink, at: Place, reading: &Judged, carriage_sign: f64) {
    let way = match reading.reading.feed {
        Feed::Tailstock => carriage_sign,
        Feed::Headstock => -carriage_sign,
    };
    let hue = if way > 0.0 {
        colour::BLUE
    } else {
        colour::VERMILION
    };
    let hollow = matches!(reading.taken, Use::NotTakenUp | Use::Doubtful);
    let fill = if hollow { colour::WHITE } else { hue };
    let corners = [
        (at.0 + way * MARK, at.1),
        (at.0 - way * MARK, at.1 - MARK),
        (at.0 - way * MARK, at.1 + MARK),
    ];
    ink.area(&corners, fill, Some(Stroke::solid(hue, 2.0)));
    if reading.taken == Use::Wild {
        ink.circle(
            at,
            2.0 * MARK,
            "none",
            Some(Stroke::solid(colour::BLACK, 2.4)),
        );
    }
}
