//! What each way leaves on the work, side by side on one scale.

use tautway_sim::arithmetic::clamp;
use tautway_sim::{quantity::Units, record::Run, scenario::Kind};

use crate::{
    Drawing,
    chart::{Axis, BELOW, Curve, LEFT, Plot, thinned},
    font,
    ink::{Anchor, Ink, LETTER, Lettering, MARGIN, Stroke, WIDTH, colour},
    scale::Scale,
};

/// Room right of the plots for the words of the axis, px.
const WORDS: f64 = 128.0;

/// The surface against the cone wanted, a panel a way, all on one vertical scale: the mean drawn
/// heavy, one line along the work with its feed marks drawn light.
pub fn surfaces(ways: &[(String, &Run)], units: Units) -> Drawing {
    let (length, height) = (Scale::length(units), Scale::height(units));
    let title = match ways {
        [_] => "The surface this way leaves, against the cone wanted",
        _ => "The surface pulled in and drawn away",
    };
    let (mut ink, mut y) = Ink::titled(title);
    // Stock left is drawn up, so that the curve looks like the surface.
    let up = |m: f64| -height.of(m);
    let heights: Vec<f64> = ways
        .iter()
        .flat_map(|(_, run)| {
            let mean = run.profile.mean.iter().copied();
            mean.chain(common(&run.profile.meridian))
        })
        .chain([0.0])
        .map(up)
        .collect();
    let across = Axis::over(heights, (0.1, 0.1), 4).unsigned();
    // What of the light lines has no room, m.
    let beyond = ways
        .iter()
        .flat_map(|(_, run)| run.profile.meridian.iter().copied())
        .filter(|&m| up(m) > across.high || up(m) < across.low)
        .max_by(|a, b| a.abs().total_cmp(&b.abs()));
    let along = Axis::over(
        ways.iter()
            .flat_map(|(_, run)| run.profile.z.iter())
            .map(|&z| length.of(z)),
        (0.0, 0.0),
        7,
    );
    ink.text(
        (MARGIN, y + LETTER),
        &format!("Height, {} per side", height.unit),
        Lettering::BOLD,
    );
    y += LETTER + 6.0;
    let panel = if ways.len() > 4 { 130.0 } else { 170.0 };
    for (index, (way, run)) in ways.iter().enumerate() {
        for line in font::wrap(way, LETTER, true, WIDTH - LEFT - 2.0 * MARGIN) {
            y += LETTER * 1.25;
            ink.text((MARGIN + LEFT, y), &line, Lettering::BOLD);
        }
        let last = index + 1 == ways.len();
        let plot = Plot {
            left: LEFT + MARGIN,
            top: y + 10.0,
            width: WIDTH - LEFT - MARGIN - WORDS,
            height: panel,
            x: if last {
                along.clone()
            } else {
                along.clone().unnumbered()
            },
            y: across.clone(),
        };
        let points = |of: &[f64]| -> Vec<(f64, f64)> {
            let all: Vec<_> = run
                .profile
                .z
                .iter()
                .zip(of)
                .map(|(&z, &m)| (length.of(z), clamp(up(m), across.low, across.high)))
                .filter(|p| p.0.is_finite() && p.1.is_finite())
                .collect();
            thinned(&all, 600)
        };
        plot.draw(
            &mut ink,
            &[
                Curve {
                    points: points(&run.profile.meridian),
                    stroke: Stroke::solid("#8f8f8f", 1.0),
                },
                Curve {
                    points: vec![(plot.x.low, 0.0), (plot.x.high, 0.0)],
                    stroke: Stroke::dashed(colour::BLUE, 2.0, 9.0, 6.0),
                },
                Curve {
                    points: points(&run.profile.mean),
                    stroke: Stroke::solid(colour::BLACK, 2.6),
                },
            ],
        );
        words(&mut ink, &plot, run.setup.kind);
        y = plot.bottom() + 12.0;
    }
    let below = y + BELOW + LETTER - 12.0;
    ink.text(
        (LEFT + MARGIN + (WIDTH - LEFT - MARGIN - WORDS) / 2.0, below),
        &format!(
            "Distance from the headstock end of the taper, {}",
            length.unit
        ),
        Lettering::BOLD.at(Anchor::Middle),
    );
    let mut caption = "Heavy: the mean round the work. Light: one line along it, with its feed \
                       marks. Dashed: the cone wanted. Up is stock left, down is too deep."
        .to_owned();
    if let Some(most) = beyond {
        caption.push_str(&format!(
            " Where the light line is cut off at the frame it goes on to {}.",
            height.show(most.abs())
        ));
    }
    ink.captioned("surfaces", below, &caption)
}

/// What a line along the work mostly is: the one place in a hundred where it strays farthest to
/// either side would press all the rest flat.
fn common(line: &[f64]) -> [f64; 2] {
    let mut sorted: Vec<f64> = line.iter().copied().filter(|m| m.is_finite()).collect();
    sorted.sort_by(f64::total_cmp);
    let strays = sorted.len() / 100;
    match sorted.len() {
        0 => [0.0; 2],
        count => [sorted[strays], sorted[count - 1 - strays]],
    }
}

/// Says beside the axis what up and down mean on the mike.
fn words(ink: &mut Ink, plot: &Plot, kind: Kind) {
    let (above, below) = match kind {
        Kind::Outside => (["↑ stock left:", "too big"], ["↓ too deep:", "too small"]),
        Kind::Inside => (["↑ stock left:", "bore small"], ["↓ too deep:", "bore big"]),
    };
    let lettering = Lettering {
        size: 16.0,
        ..Lettering::PLAIN
    };
    let x = plot.right() + 8.0;
    ink.lines((x, plot.top + 15.0), &above, lettering);
    ink.lines((x, plot.bottom() - 21.0), &below, lettering);
}
