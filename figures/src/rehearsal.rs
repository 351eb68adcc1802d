//! Hand moves: the slide against the carriage, and what dial, readout and tool show move by move.

use tautway_sim::arithmetic::{hypot, max, min};
use tautway_sim::{
    quantity::Units,
    rehearse::{Move, Rehearsal, Step},
};

use crate::{
    Drawing,
    chart::{Axis, BELOW, Curve, LEFT, Plot},
    font,
    ink::{Anchor, Ink, LETTER, Lettering, MARGIN, Place, Stroke, WIDTH, colour, spread},
    scale::Scale,
};

const SLIDE: Stroke = Stroke::solid(colour::BLACK, 2.2);
const STILL: Stroke = Stroke::solid(colour::BLUE, 6.0);
const BY_HAND: Stroke = Stroke::solid(colour::VERMILION, 3.5);
const DIAL: Stroke = Stroke::dashed(colour::VERMILION, 2.6, 9.0, 6.0);
const READOUT: Stroke = Stroke::solid(colour::BLUE, 2.6);
const TOOL: Stroke = Stroke::solid(colour::BLACK, 2.2);
/// Room right of the lower plot for the names of its lines, px.
const NAMES: f64 = 110.0;
/// Ends of moves nearer than this share one label, px.
const TOGETHER: f64 = 30.0;

/// The slide's place against the carriage's, thick where the slide stands still, each end of a
/// move with its number; below it dial, readout and tool after every move.
pub fn rehearsal(record: &Rehearsal, units: Units) -> Drawing {
    let title = if record.name.is_empty() {
        "Hand moves"
    } else {
        &record.name
    };
    let (mut ink, y) = Ink::titled(title);
    let below = slide_against_carriage(&mut ink, record, units, y);
    let below = after_each_move(&mut ink, record, units, below + 16.0);
    ink.captioned("rehearsal", below, &caption(record, units))
}

fn caption(record: &Rehearsal, units: Units) -> String {
    let length = Scale::length(units);
    let most = record
        .steps
        .iter()
        .filter_map(|step| Some((step.number, step.lost?.stood_still)))
        .filter(|(_, stood)| *stood > 0.0)
        .max_by(|a, b| a.1.total_cmp(&b.1));
    let mut text = String::from(
        "Numbers are the moves of the table. Thick blue: the carriage moves and the slide stands \
         still. Vermilion: the slide moved by dial, air or hand, the carriage at rest. ",
    );
    if let Some((number, stood)) = most {
        text.push_str(&format!(
            "The slide stands still longest in move {number}: {} of carriage travel. ",
            length.show(stood)
        ));
    }
    if let Some(broken) = &record.broken {
        text.push_str(&format!(
            "Ends before move {}, which would break something: {}. ",
            broken.number, broken.words
        ));
    }
    text.push_str("Dial, readout and tool are counted per side.");
    text
}

fn is_carriage(step: &Step) -> bool {
    matches!(step.action, Move::Carriage { .. })
}

/// Draws the upper plot; returns the y below it.
fn slide_against_carriage(ink: &mut Ink, record: &Rehearsal, units: Units, y: f64) -> f64 {
    let length = Scale::length(units);
    let point = |&(along, across): &(f64, f64)| (length.of(along), length.of(across));
    let start = point(&(record.start.carriage, record.start.slide));
    let all: Vec<(f64, f64)> = std::iter::once(start)
        .chain(record.steps.iter().flat_map(|s| s.path.iter().map(point)))
        .filter(|(x, y)| x.is_finite() && y.is_finite())
        .collect();
    ink.text(
        (MARGIN, y + LETTER),
        &format!("Slide, {}: up is toward the operator", length.unit),
        Lettering::BOLD,
    );
    let plot = Plot {
        left: LEFT + MARGIN,
        top: y + LETTER + 14.0,
        width: WIDTH - LEFT - 2.0 * MARGIN - 10.0,
        height: 340.0,
        x: Axis::over(all.iter().map(|p| p.0), (0.08, 0.08), 7),
        y: Axis::over(all.iter().map(|p| p.1), (0.16, 0.16), 6),
    };
    let mut curves = Vec::new();
    for step in &record.steps {
        let points: Vec<_> = step.path.iter().map(point).collect();
        let stroke = if is_carriage(step) { SLIDE } else { BY_HAND };
        if is_carriage(step) {
            curves.extend(
                points
                    .windows(2)
                    .filter(|pair| pair[0].1 == pair[1].1 && pair[0].0 != pair[1].0)
                    .map(|pair| Curve {
                        points: pair.to_vec(),
                        stroke: STILL,
                    }),
            );
        }
        curves.push(Curve { points, stroke });
    }
    plot.draw(ink, &curves);
    for step in record.steps.iter().filter(|step| is_carriage(step)) {
        arrow(ink, &plot, &step.path.iter().map(point).collect::<Vec<_>>());
    }
    ink.circle(plot.at(start.0, start.1), 5.0, colour::WHITE, Some(SLIDE));
    number_ends(ink, &plot, start, record, length);
    let below = plot.bottom() + BELOW + LETTER;
    ink.text(
        (plot.left + plot.width / 2.0, below),
        &format!("Carriage, {}: right is toward the tailstock", length.unit),
        Lettering::BOLD.at(Anchor::Middle),
    );
    below
}

/// An arrow on the longest stretch of a carriage move.
fn arrow(ink: &mut Ink, plot: &Plot, points: &[(f64, f64)]) {
    let places: Vec<Place> = points.iter().map(|p| plot.at(p.0, p.1)).collect();
    let long = |pair: &&[Place]| hypot(pair[1].0 - pair[0].0, pair[1].1 - pair[0].1);
    let Some(pair) = places.windows(2).max_by(|a, b| long(a).total_cmp(&long(b))) else {
        return;
    };
    let size = long(&pair);
    if size < 70.0 || !size.is_finite() {
        return;
    }
    let (from, to) = (pair[0], pair[1]);
    let on = |share: f64| {
        (
            from.0 + share * (to.0 - from.0),
            from.1 + share * (to.1 - from.1),
        )
    };
    // Off the middle, so that the arrows of a way out and the way back don't meet.
    ink.arrow(&[on(0.62 - 26.0 / size), on(0.62)], SLIDE);
}

/// The number of every move at its end; moves that end close by share a label.
fn number_ends(ink: &mut Ink, plot: &Plot, start: (f64, f64), record: &Rehearsal, length: Scale) {
    let mut labels: Vec<(Place, Vec<String>)> =
        vec![(plot.at(start.0, start.1), vec!["start".to_owned()])];
    for step in &record.steps {
        let (x, y) = (length.of(step.stand.carriage), length.of(step.stand.slide));
        let place = plot.at(x, y);
        let near = labels
            .iter_mut()
            .find(|(at, _)| hypot(at.0 - place.0, at.1 - place.1) < TOGETHER);
        match near {
            Some((_, names)) => names.push(step.number.to_string()),
            None => labels.push((place, vec![step.number.to_string()])),
        }
    }
    let mut heights: Vec<f64> = labels
        .iter()
        .map(|((_, y), _)| {
            // Away from the middle, where the lines are.
            if *y < plot.top + plot.height / 2.0 {
                y - 14.0
            } else {
                y + LETTER + 10.0
            }
        })
        .collect();
    for (index, (place, names)) in labels.iter().enumerate() {
        let text = shortened(names);
        let half = font::width(&text, LETTER, true) / 2.0;
        let x = min(
            max(place.0, plot.left + half + 6.0),
            plot.right() - half - 6.0,
        );
        // Above or below what already stands there.
        for other in 0..index {
            let apart = (labels[other].0.0 - x).abs();
            if apart < half + 30.0 && (heights[other] - heights[index]).abs() < LETTER {
                heights[index] = heights[other] + LETTER * 1.1;
            }
        }
        ink.circle(*place, 4.0, colour::BLACK, None);
        ink.text(
            (x, heights[index]),
            &text,
            Lettering::BOLD.at(Anchor::Middle),
        );
    }
}

/// `1, 3-5, 9`; of a long list the first and the last.
fn shortened(names: &[String]) -> String {
    let mut parts: Vec<String> = Vec::new();
    let mut run: Option<(usize, usize)> = None;
    let close = |run: Option<(usize, usize)>, parts: &mut Vec<String>| match run {
        Some((a, b)) if a == b => parts.push(a.to_string()),
        Some((a, b)) if b == a + 1 => parts.extend([a.to_string(), b.to_string()]),
        Some((a, b)) => parts.push(format!("{a}–{b}")),
        None => {}
    };
    for name in names {
        match (name.parse::<usize>(), run) {
            (Ok(n), Some((a, b))) if n == b + 1 => run = Some((a, n)),
            (Ok(n), _) => {
                close(run, &mut parts);
                run = Some((n, n));
            }
            (Err(_), _) => parts.push(name.clone()),
        }
    }
    close(run, &mut parts);
    if parts.len() > 5 {
        let last = parts.len() - 1;
        return format!("{}, {}, ..., {}", parts[0], parts[1], parts[last]);
    }
    parts.join(", ")
}

/// Draws the lower plot; returns the y below it.
fn after_each_move(ink: &mut Ink, record: &Rehearsal, units: Units, y: f64) -> f64 {
    let height = Scale::height(units);
    ink.text(
        (MARGIN, y + LETTER),
        &format!(
            "After each move, {} per side: up is toward the operator",
            height.unit
        ),
        Lettering::BOLD,
    );
    let stands: Vec<_> = std::iter::once(&record.start)
        .chain(record.steps.iter().map(|step| &step.stand))
        .collect();
    let lines = [
        (
            "dial",
            DIAL,
            stands.iter().map(|s| s.dial).collect::<Vec<_>>(),
        ),
        (
            "readout",
            READOUT,
            stands.iter().map(|s| s.readout).collect(),
        ),
        ("tool", TOOL, stands.iter().map(|s| s.tool).collect()),
    ];
    let values = lines.iter().flat_map(|(_, _, values)| values.iter());
    let plot = Plot {
        left: LEFT + MARGIN,
        top: y + LETTER + 14.0,
        width: WIDTH - LEFT - 2.0 * MARGIN - NAMES,
        height: 250.0,
        x: Axis::over(
            [0.0, stands.len() as f64 - 1.0],
            (0.0, 0.04),
            stands.len().min(12),
        ),
        y: Axis::over(values.map(|&v| height.of(v)), (0.08, 0.08), 5),
    };
    let curves: Vec<Curve> = [2, 1, 0]
        .into_iter()
        .map(|index: usize| {
            let (_, stroke, values) = &lines[index];
            Curve {
                points: stairs(values, height),
                stroke: *stroke,
            }
        })
        .collect();
    plot.draw(ink, &curves);
    let ends: Vec<f64> = lines
        .iter()
        .map(|(_, _, values)| height.of(values.last().copied().unwrap_or(0.0)))
        .collect();
    let mut heights: Vec<f64> = ends.iter().map(|&end| plot.at(0.0, end).1 + 6.0).collect();
    spread(
        &mut heights,
        LETTER * 1.15,
        plot.top + LETTER,
        plot.bottom(),
    );
    for ((name, stroke, _), at) in lines.iter().zip(&heights) {
        let lettering = Lettering {
            colour: stroke.colour,
            ..Lettering::BOLD
        };
        ink.text((plot.right() + 10.0, *at), name, lettering);
    }
    let below = plot.bottom() + BELOW + LETTER;
    ink.text(
        (plot.left + plot.width / 2.0, below),
        "Number of the move",
        Lettering::BOLD.at(Anchor::Middle),
    );
    below
}

/// A value holds from its move to the next, and changes at the move.
fn stairs(values: &[f64], height: Scale) -> Vec<(f64, f64)> {
    let mut points = Vec::with_capacity(2 * values.len() + 1);
    for (index, &value) in values.iter().enumerate() {
        let at = index as f64;
        if let Some(&(_, before)) = points.last() {
            points.push((at, before));
        }
        points.push((at, height.of(value)));
    }
    if let Some(&(at, last)) = points.last() {
        points.push((at + 0.5, last));
    }
    points
}
