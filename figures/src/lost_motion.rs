//! The slide against the carriage over a reversal, and the travel that is lost.

use std::ops::RangeInclusive;

use tautway_sim::arithmetic::{hypot, max, min};
use tautway_sim::{quantity::Units, record::ReversalLoop};

use crate::{
    Drawing,
    chart::{Axis, BELOW, Curve, LEFT, Plot, thinned},
    font,
    ink::{Anchor, Ink, LETTER, Lettering, MARGIN, Stroke, WIDTH, colour},
    scale::Scale,
};

const GUIDE: Stroke = Stroke::dashed(colour::VERMILION, 2.0, 10.0, 7.0);
const SLIDE: Stroke = Stroke::solid(colour::BLACK, 2.2);
/// Length of the arrows along the slide's curve, px.
const ARROW: f64 = 26.0;
const STILL: Stroke = Stroke::solid(colour::BLUE, 6.0);

/// The slide's place against the carriage's travel; where it stands still is drawn thick, and
/// the first whole stretch carries the lost travel as a dimension.
pub fn lost_motion(record: &ReversalLoop, units: Units) -> Drawing {
    let length = Scale::length(units);
    let lost = &record.lost;
    let title = if lost.total > 0.0 {
        format!(
            "Reversing loses {} of carriage travel",
            length.show(lost.total)
        )
    } else {
        "Reversing loses nothing: the slide follows at once".to_owned()
    };
    let (mut ink, y) = Ink::titled(&title);
    let pairs = |of: &[f64]| -> Vec<(f64, f64)> {
        record
            .carriage
            .iter()
            .zip(of)
            .map(|(&along, &across)| (length.of(along), length.of(across)))
            .filter(|(along, across)| along.is_finite() && across.is_finite())
            .collect()
    };
    let slide = pairs(&record.slide);
    let guide = pairs(&record.guide);
    let all = || slide.iter().chain(&guide);

    let heading = format!("Slide, {} along the cross-slide", length.unit);
    ink.text((MARGIN, y + LETTER), &heading, Lettering::BOLD);
    let plot = Plot {
        left: LEFT + MARGIN,
        top: y + LETTER + 20.0,
        width: WIDTH - LEFT - 2.0 * MARGIN - 10.0,
        height: 380.0,
        x: Axis::over(all().map(|p| p.0), (0.04, 0.04), 7),
        y: Axis::over(all().map(|p| p.1), (0.34, 0.34), 6),
    };
    let flats = still(&slide);
    let mut curves = vec![
        Curve {
            points: thinned(&slide, 450),
            stroke: SLIDE,
        },
        Curve {
            points: thinned(&guide, 450),
            stroke: GUIDE,
        },
    ];
    curves.extend(flats.iter().map(|flat| Curve {
        points: thinned(&slide[flat.clone()], 450),
        stroke: STILL,
    }));
    plot.draw(&mut ink, &curves);
    directions(&mut ink, &plot, &slide);
    let rising = covariance(&slide) >= 0.0;
    label_curves(&mut ink, &plot, &slide, &guide, rising);
    let span = |flat: &RangeInclusive<usize>| (slide[*flat.end()].0 - slide[*flat.start()].0).abs();
    let longest = flats.iter().map(span).fold(0.0, max);
    // The first whole one: later ones may lie over others.
    let whole = flats.iter().find(|flat| span(flat) > 0.95 * longest);
    if let Some(flat) = whole.filter(|_| lost.total > 0.0) {
        let ends = (slide[*flat.start()], slide[*flat.end()]);
        dimension(
            &mut ink,
            &plot,
            ends,
            &format!("{} lost", length.show(lost.total)),
        );
    }
    let below = plot.bottom() + BELOW + LETTER;
    ink.text(
        (plot.left + plot.width / 2.0, below),
        &format!("Carriage travel, {}", length.unit),
        Lettering::BOLD.at(Anchor::Middle),
    );
    ink.captioned("lost-motion", below, &caption(record, length))
}

fn caption(record: &ReversalLoop, length: Scale) -> String {
    let lost = &record.lost;
    let mut text = String::new();
    if lost.total > 0.0 && !lost.parts.is_empty() {
        let parts: Vec<String> = lost
            .parts
            .iter()
            .map(|(part, share)| format!("{part} {}", length.show(*share)))
            .collect();
        text = format!(
            "What is lost, as carriage travel: {}. All together {}. ",
            parts.join(", "),
            length.show(lost.total)
        );
    }
    if lost.total > 0.0 {
        text.push_str("Thick: the carriage moves and the slide does not. ");
    }
    text.push_str(if lost.changes_face {
        "The slack is taken up from one face to the other."
    } else {
        "The slide stays on the same face when the carriage turns back, so its slack does not \
         count."
    });
    text
}

/// Stretches on which the carriage moves and the slide doesn't, as indices into the points.
fn still(slide: &[(f64, f64)]) -> Vec<RangeInclusive<usize>> {
    let span = |of: fn(&(f64, f64)) -> f64| {
        let low = slide.iter().map(of).fold(f64::INFINITY, min);
        let high = slide.iter().map(of).fold(f64::NEG_INFINITY, max);
        high - low
    };
    let (along, across) = (span(|p| p.0), span(|p| p.1));
    // A hundredth of the mean slope: a slide that creeps while parts wind up still stands still
    // to the eye.
    let slope = 0.01 * across / along;
    if !slope.is_finite() {
        return Vec::new();
    }
    let mut flats: Vec<RangeInclusive<usize>> = Vec::new();
    for index in 1..slide.len() {
        let (dx, dy) = (
            (slide[index].0 - slide[index - 1].0).abs(),
            (slide[index].1 - slide[index - 1].1).abs(),
        );
        if dx <= 0.0 || dy > slope * dx {
            continue;
        }
        match flats.last_mut() {
            Some(last) if *last.end() == index - 1 => *last = *last.start()..=index,
            _ => flats.push(index - 1..=index),
        }
    }
    flats.retain(|flat| (slide[*flat.end()].0 - slide[*flat.start()].0).abs() > 0.01 * along);
    flats
}

fn covariance(points: &[(f64, f64)]) -> f64 {
    let count = points.len().max(1) as f64;
    let mean_x = points.iter().map(|p| p.0 / count).sum::<f64>();
    let mean_y = points.iter().map(|p| p.1 / count).sum::<f64>();
    points.iter().map(|p| (p.0 - mean_x) * (p.1 - mean_y)).sum()
}

/// An arrow on each long run of the carriage one way, where the slide follows.
fn directions(ink: &mut Ink, plot: &Plot, slide: &[(f64, f64)]) {
    let mut start = 0;
    while start + 1 < slide.len() {
        let way = (slide[start + 1].0 - slide[start].0).signum();
        let mut end = start + 1;
        while end + 1 < slide.len() && (slide[end + 1].0 - slide[end].0) * way >= 0.0 {
            end += 1;
        }
        let (a, b) = (slide[start].0, slide[end].0);
        if (b - a).abs() > 0.3 * (plot.x.high - plot.x.low) {
            // Beyond the middle of the run: there the slack is taken up.
            let middle = a + 0.62 * (b - a);
            let index = (start + 1..=end)
                .find(|&index| (slide[index].0 - middle) * way >= 0.0)
                .unwrap_or(end);
            let tip = plot.at(slide[index].0, slide[index].1);
            let from = plot.at(slide[start].0, slide[start].1);
            // As the curve comes over the arrow's length: from one point to the next a slide may
            // go in small jerks.
            let tail = slide[start..index]
                .iter()
                .rev()
                .map(|p| plot.at(p.0, p.1))
                .find(|p| hypot(tip.0 - p.0, tip.1 - p.1) >= ARROW)
                .unwrap_or(from);
            let (dx, dy) = (tip.0 - tail.0, tip.1 - tail.1);
            let long = hypot(dx, dy);
            if long > 0.0 && (tip.0 - from.0).abs() > 30.0 {
                let back = (tip.0 - ARROW * dx / long, tip.1 - ARROW * dy / long);
                ink.arrow(&[back, tip], Stroke::solid(colour::BLACK, 2.6));
            }
        }
        start = end;
    }
}

/// Names both curves from the two corners that the loop leaves empty.
fn label_curves(
    ink: &mut Ink,
    plot: &Plot,
    slide: &[(f64, f64)],
    guide: &[(f64, f64)],
    rising: bool,
) {
    let place = |share: f64| if rising { share } else { 1.0 - share };
    let near = |points: &[(f64, f64)], share: f64, highest: bool| {
        let want = plot.x.low + place(share) * (plot.x.high - plot.x.low);
        let reach = 0.03 * (plot.x.high - plot.x.low);
        let close = points.iter().filter(|p| (p.0 - want).abs() <= reach);
        let by_height = |a: &&(f64, f64), b: &&(f64, f64)| a.1.total_cmp(&b.1);
        if highest {
            close.max_by(by_height).copied()
        } else {
            close.min_by(by_height).copied()
        }
    };
    let anchor = |start: bool| {
        if start == rising {
            Anchor::Start
        } else {
            Anchor::End
        }
    };
    let leader = Stroke::solid(colour::GREY, 1.2);
    let labels = [
        ("slide", near(slide, 0.3, true), 0.08, 0.17, anchor(true)),
        (
            "where the guide wants it",
            near(guide, 0.72, false),
            0.96,
            0.88,
            anchor(false),
        ),
    ];
    for (name, target, x, y, anchor) in labels {
        let Some(target) = target else { continue };
        let target = plot.at(target.0, target.1);
        let at = (
            plot.left + place(x) * plot.width,
            plot.top + y * plot.height,
        );
        let wide = font::width(name, LETTER, true);
        let middle = match anchor {
            Anchor::Start => at.0 + wide / 2.0,
            _ => at.0 - wide / 2.0,
        };
        let foot = if target.1 > at.1 { 8.0 } else { -LETTER };
        ink.line(&[(middle, at.1 + foot), target], leader);
        ink.circle(target, 4.0, colour::BLACK, None);
        ink.text(at, name, Lettering::BOLD.at(anchor));
    }
}

fn dimension(ink: &mut Ink, plot: &Plot, ends: ((f64, f64), (f64, f64)), text: &str) {
    let (a, b) = (plot.at(ends.0.0, ends.0.1), plot.at(ends.1.0, ends.1.1));
    let above = a.1 < plot.top + plot.height / 2.0;
    let y = if above {
        min(a.1, b.1) - 34.0
    } else {
        max(a.1, b.1) + 34.0
    };
    let witness = Stroke::solid(colour::BLACK, 1.2);
    let past = if above { -5.0 } else { 5.0 };
    for end in [a, b] {
        ink.line(&[(end.0, end.1 - past), (end.0, y + past)], witness);
    }
    ink.dimension((a.0, y), (b.0, y));
    let half = font::width(text, LETTER, true) / 2.0;
    let middle = min(
        max(f64::midpoint(a.0, b.0), plot.left + half + 8.0),
        plot.right() - half - 8.0,
    );
    let baseline = if above { y - 10.0 } else { y + LETTER + 6.0 };
    ink.text((middle, baseline), text, Lettering::BOLD.at(Anchor::Middle));
}
