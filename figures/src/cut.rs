//! The last cutting pass along the work: where the slide stands, which face holds it, and why.

use tautway_sim::arithmetic::{clamp, max, min};
use tautway_sim::{
    quantity::Units,
    record::{PassRecord, Run, Seat, TurnSample},
    setup::Feed,
};

use crate::{
    Drawing,
    chart::{Axis, BELOW, Curve, LEFT, Plot, thinned},
    font,
    ink::{Anchor, Ink, LETTER, Lettering, MARGIN, Stroke, WIDTH, colour, spread},
    scale::Scale,
};

/// Room right of the plots for the names of the curves, px.
const NAMES: f64 = 142.0;
/// Heights are drawn up from the work, so that a drawing looks like the surface it shows.
const UP: f64 = -1.0;

/// Three strips over the length: the slide in its slack, the face it sits on, and the forces.
pub fn cut(run: &Run, units: Units) -> Drawing {
    cut_beside(run, &[run], units)
}

/// The same on the scales of heights and forces that all of these runs need, so that drawings of
/// several ways can be held against each other.
pub fn cut_beside(run: &Run, others: &[&Run], units: Units) -> Drawing {
    let empty = PassRecord::default();
    let pass = run.passes.get(run.last_set).unwrap_or(&empty);
    let passes: Vec<&PassRecord> = others
        .iter()
        .filter_map(|run| run.passes.get(run.last_set))
        .chain([pass])
        .collect();
    let length = Scale::length(units);
    let (mut ink, y) = Ink::titled(&title(pass));

    let along = Axis::over(
        pass.turns
            .iter()
            .map(|turn| turn.z)
            .chain(run.profile.z.iter().copied())
            .map(|z| length.of(z)),
        (0.0, 0.0),
        7,
    );
    let strip = |top: f64, height: f64, y: Axis, x: Axis| Plot {
        left: LEFT + MARGIN,
        top,
        width: WIDTH - LEFT - MARGIN - NAMES,
        height,
        x,
        y,
    };
    feed_arrow(&mut ink, run.setup.feed, y + 10.0);
    let y = y + 34.0;
    let standing = strip(
        y + LETTER + 18.0,
        250.0,
        heights_axis(&passes, Scale::height(units)),
        along.clone().unnumbered(),
    );
    let heading = format!(
        "Slide and edge, {}: up is stock left, down is too deep",
        Scale::height(units).unit
    );
    ink.text((MARGIN, y + LETTER), &heading, Lettering::BOLD);
    draw_standing(&mut ink, &standing, pass, units);

    let y = standing.bottom() + 20.0;
    ink.text((MARGIN, y + LETTER), "Held by", Lettering::BOLD);
    let band = strip(
        y + LETTER + 10.0,
        48.0,
        Axis::over([], (0.0, 0.0), 1),
        along.clone(),
    );
    let y = draw_seats(&mut ink, &band, pass, length);

    let force = Scale::force(units);
    let values = passes
        .iter()
        .flat_map(|pass| &pass.turns)
        .flat_map(|turn| [turn.push_off, turn.drag, turn.drive])
        .chain([0.0])
        .map(|newton| force.of(newton));
    let forces = strip(
        y + LETTER + 38.0,
        200.0,
        Axis::over(values, (0.06, 0.08), 5),
        along,
    );
    let heading = format!("Forces, {}", force.unit);
    ink.text((MARGIN, y + LETTER + 20.0), &heading, Lettering::BOLD);
    draw_forces(&mut ink, &forces, pass, force, length);
    let below = forces.bottom() + BELOW + LETTER;
    ink.text(
        (forces.left + forces.width / 2.0, below),
        &format!(
            "Distance from the headstock end of the taper, {}",
            length.unit
        ),
        Lettering::BOLD.at(Anchor::Middle),
    );
    ink.captioned("cut", below, &caption(pass, units))
}

fn title(pass: &PassRecord) -> String {
    let held = |seat: Seat| pass.turns.iter().any(|turn| turn.seat == seat);
    let what = match (held(Seat::First), held(Seat::Other), held(Seat::Floating)) {
        (false, false, false) => "nothing was cut",
        (true, false, false) => "the slide stays on its first face",
        (false, true, false) => "the slide stays on its other face",
        (false, false, true) => "the slide floats in its slack",
        (true, true, false) => "the slide changes from face to face",
        _ => "the slide leaves its face and floats",
    };
    format!("The last cutting pass: {what}")
}

fn caption(pass: &PassRecord, units: Units) -> String {
    let (length, height) = (Scale::length(units), Scale::height(units));
    let mut text = format!(
        "Pass {}: set {} per side, took {} at the gauge plane. \
         Drive above 0 presses on the first face, below 0 on the other face.",
        pass.number,
        height.show(pass.set),
        height.show(pass.taken)
    );
    let name = |seat: Seat| match seat {
        Seat::First => "the first face",
        Seat::Other => "the other face",
        Seat::Floating => "floating",
    };
    match pass.seat_changes.as_slice() {
        [] => {}
        [change] => text.push_str(&format!(
            " It changes from {} to {} at {}.",
            name(change.from),
            name(change.to),
            length.show(change.z)
        )),
        [change, rest @ ..] => text.push_str(&format!(
            " It changes from {} to {} at {}, and {} {} more.",
            name(change.from),
            name(change.to),
            length.show(change.z),
            rest.len(),
            if rest.len() == 1 { "time" } else { "times" }
        )),
    }
    text
}

fn feed_arrow(ink: &mut Ink, feed: Feed, y: f64) {
    let right = WIDTH - NAMES;
    let (from, to, text) = match feed {
        Feed::Headstock => (right, right - 110.0, "feed, toward the headstock"),
        Feed::Tailstock => (right - 110.0, right, "feed, toward the tailstock"),
    };
    ink.arrow(&[(from, y), (to, y)], Stroke::solid(colour::BLACK, 3.5));
    ink.text(
        (right - 122.0, y + 7.0),
        text,
        Lettering::BOLD.at(Anchor::End),
    );
}

/// The heights where the slide and the edge are, the cone and the set depth; a face far from all
/// of them is left out, or a worn lathe's slack would press the cut into one line.
fn heights_axis(passes: &[&PassRecord], height: Scale) -> Axis {
    let turns = || passes.iter().flat_map(|pass| &pass.turns);
    let core: Vec<f64> = turns()
        .flat_map(|turn| [turn.slide, turn.edge])
        .chain(passes.iter().map(|pass| -pass.set))
        .chain([0.0])
        .filter(|height| height.is_finite())
        .collect();
    let low = core.iter().copied().fold(f64::INFINITY, min);
    let high = core.iter().copied().fold(f64::NEG_INFINITY, max);
    let reach = 1.5 * (high - low);
    let faces = turns()
        .flat_map(|turn| [turn.first_face, turn.other_face])
        .filter(|&face| face > low - reach && face < high + reach);
    let values: Vec<f64> = core
        .iter()
        .copied()
        .chain(faces)
        .map(|m| UP * height.of(m))
        .collect();
    Axis::over(values, (0.12, 0.12), 6).unsigned()
}

fn draw_standing(ink: &mut Ink, plot: &Plot, pass: &PassRecord, units: Units) {
    let (length, height) = (Scale::length(units), Scale::height(units));
    let points = |of: fn(&TurnSample) -> f64| -> Vec<(f64, f64)> {
        let all: Vec<_> = pass
            .turns
            .iter()
            .map(|turn| (length.of(turn.z), UP * height.of(of(turn))))
            .filter(|p| p.0.is_finite() && p.1.is_finite())
            .collect();
        thinned(&all, 500)
    };
    let inside = |p: &(f64, f64)| p.1 >= plot.y.low && p.1 <= plot.y.high;
    let shown = |of: fn(&TurnSample) -> f64| -> Vec<(f64, f64)> {
        points(of)
            .into_iter()
            .map(|p| if inside(&p) { p } else { (p.0, f64::NAN) })
            .collect()
    };
    // The slack lies under the grid, or its fill would hide it.
    let clamped = |of: fn(&TurnSample) -> f64| {
        points(of)
            .into_iter()
            .map(|p| plot.at(p.0, clamp(p.1, plot.y.low, plot.y.high)))
    };
    let mut slack: Vec<_> = clamped(|turn| turn.first_face).collect();
    slack.extend(
        clamped(|turn| turn.other_face)
            .collect::<Vec<_>>()
            .into_iter()
            .rev(),
    );
    ink.area(&slack, "#eef3f7", None);
    let ends = [plot.x.low, plot.x.high];
    let level = |at: f64| ends.map(|x| (x, UP * height.of(at))).to_vec();
    let mut curves = vec![
        Curve {
            points: level(0.0),
            stroke: Stroke::solid(colour::BLACK, 1.4),
        },
        Curve {
            points: shown(|turn| turn.first_face),
            stroke: Stroke::dashed(colour::BLUE, 2.4, 14.0, 6.0),
        },
        Curve {
            points: shown(|turn| turn.other_face),
            stroke: Stroke::dashed(colour::BLUE, 2.4, 3.0, 6.0),
        },
        Curve {
            points: shown(|turn| turn.edge),
            stroke: Stroke::solid(colour::VERMILION, 1.6),
        },
        Curve {
            points: shown(|turn| turn.slide),
            stroke: Stroke::solid(colour::BLACK, 3.6),
        },
    ];
    if pass.set > 0.0 {
        curves.push(Curve {
            points: level(-pass.set),
            stroke: Stroke::dashed(colour::GREY, 1.4, 5.0, 4.0),
        });
    }
    plot.draw(ink, &curves);
    let last = |of: fn(&TurnSample) -> f64| {
        points(of)
            .into_iter()
            .max_by(|a, b| a.0.total_cmp(&b.0))
            .map(|p| p.1)
    };
    let mut names: Vec<(&str, Option<f64>)> = vec![
        ("first face", last(|turn| turn.first_face)),
        ("other face", last(|turn| turn.other_face)),
        ("slide", last(|turn| turn.slide)),
        ("edge", last(|turn| turn.edge)),
        ("cone wanted", Some(0.0)),
    ];
    if pass.set > 0.0 {
        names.push(("before cut", Some(UP * height.of(-pass.set))));
    }
    label_right(ink, plot, &names);
    if pass.set > 0.0 {
        let text = format!("set {}", height.show(pass.set));
        let x = plot.x.low + 0.05 * (plot.x.high - plot.x.low);
        let (from, to) = (plot.at(x, UP * height.of(-pass.set)), plot.at(x, 0.0));
        ink.dimension(from, to);
        let at = (from.0 + 14.0, 0.0);
        let wide = font::width(&text, LETTER, false);
        let near = |p: &(f64, f64)| {
            let place = plot.at(p.0, p.1);
            let over = place.0 > at.0 - 8.0 && place.0 < at.0 + wide + 8.0;
            over.then_some(place.1)
        };
        let lines: Vec<f64> = [shown(|turn| turn.slide), shown(|turn| turn.edge)]
            .iter()
            .flatten()
            .filter_map(near)
            .filter(|y| y.is_finite())
            .collect();
        // High up, where the slide seldom comes, or wherever it is farthest from it.
        let room = |y: f64| {
            let gaps = lines.iter().map(|line| (line - (y - 6.0)).abs());
            gaps.fold(24.0, min)
        };
        let places = [0.12, 0.35, 0.6, 0.85].map(|share| from.1 + 14.0 + share * (to.1 - from.1));
        let mut y = places[0];
        for place in places {
            if room(place) > room(y) {
                y = place;
            }
        }
        ink.text((at.0, y), &text, Lettering::PLAIN);
    }
}

/// Names curves at the right of the plot, apart from each other; one that leaves the plot is
/// named at its edge with an arrow.
fn label_right(ink: &mut Ink, plot: &Plot, names: &[(&str, Option<f64>)]) {
    let mut shown: Vec<(String, f64)> = Vec::new();
    for &(name, value) in names {
        let Some(value) = value else { continue };
        let name = if value > plot.y.high {
            format!("{name} ↑")
        } else if value < plot.y.low {
            format!("{name} ↓")
        } else {
            name.to_owned()
        };
        let y = plot
            .at(plot.x.high, clamp(value, plot.y.low, plot.y.high))
            .1;
        shown.push((name, y));
    }
    let mut places: Vec<f64> = shown.iter().map(|(_, y)| *y).collect();
    spread(
        &mut places,
        LETTER + 4.0,
        plot.top + 4.0,
        plot.bottom() - 4.0,
    );
    for ((name, y), place) in shown.iter().zip(places) {
        let leader = [
            (plot.right() + 2.0, *y),
            (plot.right() + 8.0, *y),
            (plot.right() + 16.0, place),
            (plot.right() + 20.0, place),
        ];
        ink.line(&leader, Stroke::solid(colour::GREY, 1.2));
        let lettering = Lettering {
            size: 17.0,
            ..Lettering::PLAIN
        };
        ink.text((plot.right() + 23.0, place + 6.0), name, lettering);
    }
}

/// Bands of one seat each: filled, hatched or plain, so that they differ in black and white.
fn draw_seats(ink: &mut Ink, plot: &Plot, pass: &PassRecord, length: Scale) -> f64 {
    let looks = [
        (Seat::First, "first face"),
        (Seat::Floating, "floating"),
        (Seat::Other, "other face"),
    ];
    let mut named = [false; 3];
    let mut turns: Vec<(f64, Seat)> = pass
        .turns
        .iter()
        .map(|turn| (length.of(turn.z), turn.seat))
        .filter(|turn| turn.0.is_finite())
        .collect();
    turns.sort_by(|a, b| a.0.total_cmp(&b.0));
    let runs: Vec<&[(f64, Seat)]> = turns.chunk_by(|a, b| a.1 == b.1).collect();
    let mut from = plot.left;
    for (index, run) in runs.iter().enumerate() {
        let seat = run[0].1;
        let to = match runs.get(index + 1) {
            None => plot.right(),
            Some(next) => {
                plot.at(f64::midpoint(run[run.len() - 1].0, next[0].0), 0.0)
                    .0
            }
        };
        pattern(ink, seat, (from, plot.top), (to - from, plot.height));
        let kind = looks.iter().position(|look| look.0 == seat).unwrap_or(0);
        if to - from > font::width(looks[kind].1, LETTER, true) + 16.0 {
            let at = (f64::midpoint(from, to), plot.top + plot.height / 2.0 + 7.0);
            let lettering = Lettering::BOLD.at(Anchor::Middle);
            ink.text(at, looks[kind].1, lettering);
            named[kind] = true;
        }
        from = to;
    }
    ink.area(
        &crate::ink::corners((plot.left, plot.top), (plot.width, plot.height)),
        "none",
        Some(Stroke::solid(colour::BLACK, 1.2)),
    );
    let mut x = plot.left;
    let mut bottom = plot.bottom();
    for (kind, (seat, name)) in looks.iter().enumerate() {
        if named[kind] || !turns.iter().any(|turn| turn.1 == *seat) {
            continue;
        }
        bottom = plot.bottom() + 36.0;
        pattern(ink, *seat, (x, plot.bottom() + 12.0), (44.0, 22.0));
        ink.text((x + 52.0, plot.bottom() + 30.0), name, Lettering::PLAIN);
        x += 52.0 + font::width(name, LETTER, false) + 34.0;
    }
    bottom
}

fn pattern(ink: &mut Ink, seat: Seat, at: (f64, f64), size: (f64, f64)) {
    let edge = Some(Stroke::solid(colour::BLACK, 1.0));
    match seat {
        Seat::First => ink.box_(at, size, "#8fc1e0", edge),
        Seat::Other => ink.box_(at, size, colour::WHITE, edge),
        Seat::Floating => {
            ink.box_(at, size, colour::WHITE, edge);
            let outline = crate::ink::corners(at, size);
            ink.hatch(&outline, 11.0, true, Stroke::solid(colour::VERMILION, 2.0));
        }
    }
}

fn draw_forces(ink: &mut Ink, plot: &Plot, pass: &PassRecord, force: Scale, length: Scale) {
    let points = |of: fn(&TurnSample) -> f64| -> Vec<(f64, f64)> {
        let all: Vec<_> = pass
            .turns
            .iter()
            .map(|turn| (length.of(turn.z), force.of(of(turn))))
            .filter(|p| p.0.is_finite() && p.1.is_finite())
            .collect();
        thinned(&all, 500)
    };
    let curves = [
        Curve {
            points: vec![(plot.x.low, 0.0), (plot.x.high, 0.0)],
            stroke: Stroke::solid(colour::BLACK, 1.4),
        },
        Curve {
            points: points(|turn| turn.drag),
            stroke: Stroke::dashed(colour::BLUE, 2.6, 12.0, 7.0),
        },
        Curve {
            points: points(|turn| turn.push_off),
            stroke: Stroke::solid(colour::VERMILION, 1.6),
        },
        Curve {
            points: points(|turn| turn.drive),
            stroke: Stroke::solid(colour::BLACK, 3.6),
        },
    ];
    plot.draw(ink, &curves);
    let last = |curve: &Curve| {
        curve
            .points
            .iter()
            .max_by(|a, b| a.0.total_cmp(&b.0))
            .map(|p| p.1)
    };
    label_right(
        ink,
        plot,
        &[
            ("drag", last(&curves[1])),
            ("push-off", last(&curves[2])),
            ("drive", last(&curves[3])),
        ],
    );
}
