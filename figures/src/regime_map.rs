//! What drag and slack do to size and surface, as a map with the job on it.

use tautway_sim::arithmetic::{clamp, max, min};
use tautway_sim::record::RegimeMap;

use crate::{
    Drawing,
    chart::{Axis, BELOW, Curve, LEFT, Plot},
    font,
    ink::{Anchor, Ink, LETTER, Lettering, MARGIN, Place, Stroke, WIDTH, colour, corners},
    scale::number,
};

/// Share of the set depth left standing up to which each shade goes; lighter is better.
const SHADES: [(f64, &str, &str); 5] = [
    (0.02, "#ffffff", "under 2 %"),
    (0.10, "#dcebf5", "2–10 %"),
    (0.30, "#b3d3e8", "10–30 %"),
    (0.60, "#7db3d6", "30–60 %"),
    (f64::INFINITY, "#4a8fbf", "over 60 %"),
];
/// Waves over set depth above which a cell is hatched, and hatched both ways.
const WAVES: [f64; 2] = [0.05, 0.25];
const HATCH: Stroke = Stroke::solid("#333333", 0.9);
const HATCH_SPACING: f64 = 13.0;

/// Where a cut drawn away is steady, where it floats and where it is pushed back.
///
/// Shades show the size left, hatching the waves, heavy lines the two boundaries; all are ratios,
/// so the map has no units.
/// `way` is named below the title, unless it is empty.
pub fn regime_map(way: &str, map: &RegimeMap) -> Drawing {
    let (drag, slack) = map.job;
    let title = match zone(map, drag, slack) {
        _ if !(drag.is_finite() && slack.is_finite()) => {
            "What drag and slack do to size and surface"
        }
        Zone::Steady => "This job stays steady: its drag beats its push-off",
        Zone::Floats => "This job floats in its slack: part of the depth is left on",
        Zone::PushedBack => "This job is pushed back on the first face, and stays there",
    };
    let (mut ink, mut y) = Ink::titled(title);
    if !way.is_empty() {
        for line in font::wrap(way, LETTER, false, WIDTH - 2.0 * MARGIN) {
            ink.text((MARGIN, y + LETTER), &line, Lettering::PLAIN);
            y += LETTER * 1.25;
        }
        y += 6.0;
    }
    ink.text(
        (MARGIN, y + LETTER),
        "Slack over depth set",
        Lettering::BOLD,
    );
    let columns = edges(&map.drag_over_push_off);
    let rows = edges(&map.slack_over_depth);
    let plot = Plot {
        left: LEFT + MARGIN,
        top: y + LETTER + 48.0,
        width: WIDTH - LEFT - 2.0 * MARGIN - 10.0,
        height: 430.0,
        x: Axis::over(columns.iter().copied(), (0.0, 0.0), 7),
        y: Axis::over(rows.iter().copied(), (0.0, 0.0), 6),
    };
    let boundary: Vec<(f64, f64)> = map
        .seats_again
        .iter()
        .zip(&map.slack_over_depth)
        .filter(|(x, y)| x.is_finite() && y.is_finite())
        .map(|(&x, &y)| (x, y))
        .filter(|&(x, _)| x >= plot.x.low && x <= plot.x.high && x > 0.0)
        .collect();
    cells(&mut ink, &plot, map, &columns, &rows);
    plot.draw(
        &mut ink,
        &[
            Curve {
                points: vec![(1.0, plot.y.low), (1.0, plot.y.high)]
                    .into_iter()
                    .filter(|p| p.0 >= plot.x.low && p.0 <= plot.x.high)
                    .collect(),
                stroke: Stroke::solid(colour::BLACK, 4.0),
            },
            Curve {
                points: boundary.clone(),
                stroke: Stroke::dashed(colour::BLACK, 4.0, 14.0, 7.0),
            },
        ],
    );
    let mut taken: Vec<(Place, Place)> = Vec::new();
    job(&mut ink, &plot, map, &mut taken);
    boundary_names(&mut ink, &plot, &boundary, &mut taken);
    zone_names(&mut ink, &plot, map, &mut taken);
    let below = plot.bottom() + BELOW + LETTER;
    ink.text(
        (plot.left + plot.width / 2.0, below),
        "Drag over push-off at the depth set",
        Lettering::BOLD.at(Anchor::Middle),
    );
    let below = key(&mut ink, below + 14.0);
    let caption = format!(
        "This job: drag {} times its push-off, slack {} times its depth. Left of the heavy line \
         the push-off beats the drag. Below the dashed line it would beat it a whole slack \
         shallower too: there the slide is pushed back until its first face holds it. With a slack \
         deeper than the cut, from 1 up, it is all one how deep.",
        number(drag, 2),
        number(slack, 2)
    );
    ink.captioned("drag-and-slack", below, &caption)
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Zone {
    Steady,
    Floats,
    PushedBack,
}

/// The zone of a place on the map, by the record's boundaries.
fn zone(map: &RegimeMap, drag: f64, slack: f64) -> Zone {
    if drag >= 1.0 {
        return Zone::Steady;
    }
    let rows = &map.slack_over_depth;
    let above = rows.iter().position(|&row| row >= slack);
    let again = |row: usize| map.seats_again.get(row).copied().unwrap_or(0.0);
    let limit = match above {
        None => rows.len().checked_sub(1).map_or(0.0, again),
        Some(0) => again(0),
        Some(row) => {
            let share = (slack - rows[row - 1]) / (rows[row] - rows[row - 1]);
            again(row - 1) + share * (again(row) - again(row - 1))
        }
    };
    if drag < limit {
        Zone::PushedBack
    } else {
        Zone::Floats
    }
}

/// Edges of the cells round the record's columns or rows.
fn edges(middles: &[f64]) -> Vec<f64> {
    match middles {
        [] => vec![0.0, 1.0],
        [only] => vec![only - 0.5, only + 0.5],
        _ => {
            let last = middles.len() - 1;
            let mut edges = vec![middles[0]];
            edges.extend(
                middles
                    .windows(2)
                    .map(|pair| f64::midpoint(pair[0], pair[1])),
            );
            edges.push(middles[last]);
            edges
        }
    }
}

/// Shades and hatching, neighbours of one look in a row joined.
fn cells(ink: &mut Ink, plot: &Plot, map: &RegimeMap, columns: &[f64], rows: &[f64]) {
    let look = |row: usize, column: usize| {
        let value = |table: &Vec<Vec<f64>>| {
            table
                .get(row)
                .and_then(|row| row.get(column))
                .copied()
                .filter(|value| value.is_finite())
                .unwrap_or(0.0)
        };
        let loss = value(&map.size_loss);
        let shade = SHADES.iter().position(|shade| loss < shade.0).unwrap_or(4);
        let waves = value(&map.waves);
        let hatch = WAVES.iter().filter(|&&limit| waves > limit).count();
        (shade, hatch)
    };
    for layer in 0..2 {
        for row in 0..rows.len() - 1 {
            let mut column = 0;
            while column + 1 < columns.len() {
                let this = look(row, column);
                let mut end = column + 1;
                while end + 1 < columns.len() && look(row, end) == this {
                    end += 1;
                }
                let (left, bottom) = plot.at(columns[column], rows[row]);
                let (right, top) = plot.at(columns[end], rows[row + 1]);
                // A hair of overlap: else the white shows between the rows.
                let outline = corners((left, top - 0.3), (right - left + 0.3, bottom - top + 0.6));
                if layer == 0 {
                    ink.area(&outline, SHADES[this.0].1, None);
                } else {
                    let exact = corners((left, top), (right - left, bottom - top));
                    hatched(ink, &exact, this.1);
                }
                column = end;
            }
        }
    }
}

fn hatched(ink: &mut Ink, outline: &[Place], hatch: usize) {
    if hatch >= 1 {
        ink.hatch(outline, HATCH_SPACING, true, HATCH);
    }
    if hatch >= 2 {
        ink.hatch(outline, HATCH_SPACING, false, HATCH);
    }
}

fn boundary_names(
    ink: &mut Ink,
    plot: &Plot,
    boundary: &[(f64, f64)],
    taken: &mut Vec<(Place, Place)>,
) {
    let size = 17.0;
    let lettering = Lettering {
        size,
        ..Lettering::PLAIN
    };
    if plot.x.low <= 1.0 && plot.x.high >= 1.0 {
        let at = plot.at(1.0, plot.y.high);
        let text = "push-off = drag at the depth set";
        let half = font::width(text, size, false) / 2.0;
        let x = clamp(at.0, plot.left + half, plot.right() - half);
        ink.line(
            &[(at.0, at.1 - 14.0), at],
            Stroke::solid(colour::BLACK, 1.4),
        );
        ink.text((x, at.1 - 20.0), text, lettering.at(Anchor::Middle));
    }
    let lines = ["push-off = drag", "a slack shallower"];
    let wide = font::width(lines[1], size, false);
    let wall = min(plot.at(1.0, 0.0).0, plot.right()) - 8.0;
    // Beside the line, from its middle outward, at the first place that is free.
    let middle = boundary.len() / 2;
    let mut order: Vec<usize> = (0..boundary.len()).collect();
    order.sort_by_key(|index| index.abs_diff(middle));
    let free = order.into_iter().find_map(|index| {
        let target = plot.at(boundary[index].0, boundary[index].1);
        let at = (target.0 + 30.0, target.1 - 44.0);
        let outline = (
            (at.0 - 4.0, at.1 - size),
            (at.0 + wide + 4.0, at.1 + size * 1.5),
        );
        let fits = outline.1.0 < wall && outline.0.1 > plot.top;
        (fits && !taken.iter().any(|other| meet(*other, outline))).then_some((target, at, outline))
    });
    if let Some((target, at, outline)) = free {
        ink.line(
            &[(at.0 + 6.0, at.1 + 26.0), target],
            Stroke::solid(colour::BLACK, 1.4),
        );
        ink.lines(at, &lines, lettering);
        taken.push(outline);
    }
}

/// Marks the job; off the map it stands at the edge with an arrow outward.
fn job(ink: &mut Ink, plot: &Plot, map: &RegimeMap, taken: &mut Vec<(Place, Place)>) {
    let (x, y) = map.job;
    if !(x.is_finite() && y.is_finite()) {
        return;
    }
    let inside = (
        clamp(x, plot.x.low, plot.x.high),
        clamp(y, plot.y.low, plot.y.high),
    );
    let mut at = plot.at(inside.0, inside.1);
    at.0 = clamp(at.0, plot.left + 14.0, plot.right() - 14.0);
    at.1 = clamp(at.1, plot.top + 14.0, plot.bottom() - 14.0);
    ink.circle(
        at,
        12.0,
        colour::WHITE,
        Some(Stroke::solid(colour::BLACK, 3.0)),
    );
    ink.circle(
        at,
        5.5,
        colour::VERMILION,
        Some(Stroke::solid(colour::BLACK, 1.5)),
    );
    let text = if inside == (x, y) {
        "this job".to_owned()
    } else if inside.0 == x {
        format!("this job, slack {} times", number(y, 1))
    } else {
        "this job, off the map".to_owned()
    };
    let wide = font::width(&text, LETTER, true);
    let right = at.0 + 20.0 + wide < plot.right() - 6.0;
    let (x, anchor) = if right {
        (at.0 + 20.0, Anchor::Start)
    } else {
        (at.0 - 20.0, Anchor::End)
    };
    ink.text((x, at.1 + 7.0), &text, Lettering::BOLD.at(anchor));
    let left = if right { at.0 - 16.0 } else { x - wide };
    taken.push(((left, at.1 - 18.0), (left + wide + 40.0, at.1 + 18.0)));
}

/// Names each zone where its name fits with the most room round it.
fn zone_names(ink: &mut Ink, plot: &Plot, map: &RegimeMap, taken: &mut Vec<(Place, Place)>) {
    let names = [
        (Zone::Steady, ["steady,", "held back", "by drag"]),
        (Zone::Floats, ["floats:", "size left,", "waves"]),
        (Zone::PushedBack, ["pushed back", "on the", "first face"]),
    ];
    for (which, lines) in names {
        let wide = lines
            .iter()
            .map(|line| font::width(line, LETTER, true))
            .fold(0.0, max);
        let high = 3.0 * LETTER * 1.2;
        let Some(at) = roomiest(plot, map, which, (wide + 12.0, high + 10.0), taken) else {
            continue;
        };
        taken.push((
            (at.0 - wide / 2.0, at.1 - high / 2.0),
            (at.0 + wide / 2.0, at.1 + high / 2.0),
        ));
        ink.lines(
            (at.0, at.1 - high / 2.0 + LETTER),
            &lines,
            Lettering::BOLD.at(Anchor::Middle),
        );
    }
}

/// Whether two boxes, each given by two corners, overlap.
fn meet(a: (Place, Place), b: (Place, Place)) -> bool {
    a.0.0 < b.1.0 && b.0.0 < a.1.0 && a.0.1 < b.1.1 && b.0.1 < a.1.1
}

/// Middle of the place for a label of `size` that lies within the zone with most room; where none
/// does, the place with most of it inside.
fn roomiest(
    plot: &Plot,
    map: &RegimeMap,
    which: Zone,
    size: Place,
    taken: &[(Place, Place)],
) -> Option<Place> {
    const STEPS: usize = 32;
    let within = |at: Place| {
        let x = plot.x.low + (at.0 - plot.left) / plot.width * (plot.x.high - plot.x.low);
        let y = plot.y.low + (plot.bottom() - at.1) / plot.height * (plot.y.high - plot.y.low);
        at.0 > plot.left
            && at.0 < plot.right()
            && at.1 > plot.top
            && at.1 < plot.bottom()
            && zone(map, x, y) == which
    };
    let mut best: Option<(usize, Place)> = None;
    for column in 1..STEPS {
        for row in 1..STEPS {
            let at = (
                plot.left + plot.width * column as f64 / STEPS as f64,
                plot.top + plot.height * row as f64 / STEPS as f64,
            );
            let half = (size.0 / 2.0, size.1 / 2.0);
            if !within(at)
                || taken.iter().any(|other| {
                    let low = (at.0 - half.0, at.1 - half.1);
                    meet(*other, (low, (at.0 + half.0, at.1 + half.1)))
                })
            {
                continue;
            }
            // Rings of points at the label's outline and beyond it: the more inside, the roomier.
            let room = [0.5, 0.8, 1.0, 1.3, 1.7, 2.2, 3.0]
                .iter()
                .map(|ring| {
                    let inside = (-2..=2)
                        .flat_map(|i| (-2..=2).map(move |j| (f64::from(i), f64::from(j))))
                        .filter(|(i, j)| {
                            within((
                                at.0 + ring * half.0 * i / 2.0,
                                at.1 + ring * half.1 * j / 2.0,
                            ))
                        })
                        .count();
                    // Room at the label itself counts before any room beyond it.
                    if *ring <= 1.0 { 20 * inside } else { inside }
                })
                .sum();
            if best.is_none_or(|(most, _)| room > most) {
                best = Some((room, at));
            }
        }
    }
    best.map(|(_, at)| at)
}

/// Shades and hatchings with their meaning; gives the y below them.
fn key(ink: &mut Ink, y: f64) -> f64 {
    let size = 17.0;
    let lettering = Lettering {
        size,
        ..Lettering::PLAIN
    };
    let heading = Lettering {
        bold: true,
        ..lettering
    };
    let edge = Some(Stroke::solid(colour::BLACK, 1.0));
    let sample = (36.0, 22.0);
    ink.text((MARGIN, y + 26.0), "Size left, of depth", heading);
    let mut x = MARGIN;
    for (_, fill, name) in SHADES {
        ink.box_((x, y + 36.0), sample, fill, edge);
        ink.text((x + 43.0, y + 53.0), name, lettering);
        x += 43.0 + font::width(name, size, false) + 20.0;
    }
    ink.text((MARGIN, y + 90.0), "Waves, of depth", heading);
    x = MARGIN + font::width("Size left, of depth", size, true) + 18.0;
    for (hatch, name) in ["under 5 %", "5–25 %", "over 25 %"].into_iter().enumerate() {
        let at = (x, y + 74.0);
        ink.box_(at, sample, colour::WHITE, edge);
        hatched(ink, &corners(at, sample), hatch);
        ink.text((x + 43.0, y + 91.0), name, lettering);
        x += 43.0 + font::width(name, size, false) + 24.0;
    }
    y + 98.0
}
