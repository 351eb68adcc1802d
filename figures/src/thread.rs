//! A thread: its section, true and as made, and what each pass takes and how it sits.

use tautway_sim::arithmetic::{clamp, log10, max, min, powf, powi, sin_cos, tan};
use tautway_sim::quantity::{INCH, MM_PER_INCH};
use tautway_sim::{
    quantity::{Quantity, Units},
    record::Seat,
    scenario::Work,
    scenario::groove::{Flank, Profile, Tip},
    setup::Feed,
    thread::{ThreadPass, ThreadRun, ThreadWay},
};

use crate::{
    Drawing,
    chart::{Axis, BELOW, Curve, LEFT, Plot},
    ink::{Anchor, Ink, LETTER, Lettering, MARGIN, Place, Stroke, WIDTH, colour},
    scale::Scale,
};

const TRUE: Stroke = Stroke::dashed(colour::BLUE, 2.6, 10.0, 6.0);
const MADE: Stroke = Stroke::solid(colour::BLACK, 2.6);
const LEANS: Stroke = Stroke::dashed(colour::VERMILION, 2.4, 4.0, 4.0);
const AXIS: Stroke = Stroke::dashed(colour::GREY, 1.5, 22.0, 6.0);
/// An error that would not show is drawn as high as this, px.
const SHOWN: f64 = 22.0;
/// Grooves that are drawn.
const GROOVES: usize = 3;

/// A few turns of the thread cut open along the axis: the groove wanted and the one the dial alone
/// leaves. The depth's error is drawn larger than life where it would not show, and says so.
/// `lean`, where the work could be cut with the tailstock over: by how much the flanks then lean,
/// rad, if the tool is squared to the bed.
pub fn thread_section(
    work: &Work,
    way: &ThreadWay,
    run: &ThreadRun,
    lean: Option<f64>,
    units: Units,
) -> Drawing {
    let profile = &way.profile;
    let (mut ink, y) = Ink::titled("The thread in section");
    let height = 300.0;
    let wide = WIDTH - 2.0 * MARGIN;
    let scale = min(
        wide / ((GROOVES as f64 + 1.0) * profile.pitch),
        0.72 * height / profile.depth,
    );
    let error = run.by_dial.depth_error;
    let larger = if error == 0.0 {
        1.0
    } else {
        larger_than_life(error.abs() * scale)
    };
    let made = clamp(
        profile.depth + larger * error,
        0.05 * profile.depth,
        profile.triangle,
    );
    let left = MARGIN + 0.5 * (wide - (GROOVES as f64 + 1.0) * profile.pitch * scale);
    let outside = way.setup.inward() < 0.0;
    let top = y + 24.0;
    // Outside work lies below its surface, inside work above its bore.
    let surface = if outside {
        top + 50.0
    } else {
        top + height - 50.0
    };
    let into = if outside { 1.0 } else { -1.0 };
    // Along the sheet from left (headstock) to right; the cone rises toward its big end.
    let big_left = way.setup.slope_sign() < 0.0;
    let slope = 0.5 * work.taper.si();
    let rise = |z: f64| {
        let from_middle = z - 0.5 * (GROOVES as f64 + 1.0) * profile.pitch;
        let bigger = if big_left { -from_middle } else { from_middle };
        // Bigger is up for outside work seen on its upper line, and for a bore alike.
        -slope * bigger * scale
    };
    let at = |z: f64, depth: f64| -> Place {
        (left + z * scale, surface + rise(z) + into * depth * scale)
    };
    let wanted = outline(profile, way.setup.feed, profile.depth, GROOVES);
    let cut = outline(profile, way.setup.feed, made, GROOVES);
    let line = |points: &[(f64, f64)]| -> Vec<Place> {
        points.iter().map(|&(z, depth)| at(z, depth)).collect()
    };
    let made_line = line(&cut);
    let mut body = made_line.clone();
    let far = if outside { top + height } else { top };
    body.push((body.last().map_or(left, |p| p.0), far));
    body.push((body[0].0, far));
    ink.hatch(&body, 16.0, true, Stroke::solid(colour::GREY, 1.0));
    ink.line(&line(&wanted), TRUE);
    ink.line(&made_line, MADE);
    let end = (GROOVES as f64 + 1.0) * profile.pitch;
    ink.line(&[at(0.0, 0.0), at(end, 0.0)], AXIS);
    if let Some(lean) = lean {
        // About the middle groove's tip, square to the cone in place of the axis.
        let centre = 2.0 * profile.pitch;
        let turned = if big_left { -lean } else { lean };
        let (sin, cos) = sin_cos(turned);
        let upright = outline(profile, way.setup.feed, profile.depth, 1);
        let leaning: Vec<Place> = upright[1..upright.len() - 1]
            .iter()
            .map(|&(z, depth)| {
                let (x, up) = (z - profile.pitch, profile.depth - depth);
                // As seen from the axis: along and away from it.
                let (along, away) = (x * cos - up * sin, x * sin + up * cos);
                at(centre + along, profile.depth - away + tan(turned) * along)
            })
            .collect();
        ink.line(&leaning, LEANS);
    }
    // Pitch, over the crests or under them.
    let (a, b) = (0.5 * profile.pitch, 1.5 * profile.pitch);
    let beside = -into * 26.0;
    // Along the axis, as the pitch of a taper thread is counted.
    let level = at(2.0 * profile.pitch, 0.0).1 + beside;
    let ends = [a, b].map(|z| (at(z + profile.pitch, 0.0).0, level));
    ink.dimension(ends[0], ends[1]);
    let length = Scale::length(units);
    let small = Scale::height(units);
    let middle = (
        0.5 * (ends[0].0 + ends[1].0),
        ends[0].1 + if outside { -10.0 } else { LETTER + 6.0 },
    );
    ink.text(
        middle,
        &format!("pitch {}", length.show(profile.pitch)),
        Lettering::PLAIN.at(Anchor::Middle),
    );
    for (x, name, anchor) in [
        (MARGIN, "headstock side", Anchor::Start),
        (WIDTH - MARGIN, "tailstock side", Anchor::End),
    ] {
        let y = top + height + 2.0 + LETTER;
        ink.text((x, y), name, Lettering::PLAIN.at(anchor));
    }
    let below = top + height + LETTER + 10.0;
    let off = if error < 0.0 { "shallow" } else { "too deep" };
    let drawn = if larger > 1.5 {
        format!(", drawn {larger:.0} times larger than life")
    } else {
        ", drawn to scale".to_owned()
    };
    let caption = format!(
        "Dashed blue: the groove wanted, {} deep, crests {} wide. Black: what the dial alone \
         leaves, {} {off}{drawn}. Flanks {:.1} and {:.1} degrees from square to the axis. Fine \
         dashes: the cone over the crests.{}",
        small.show(profile.depth),
        small.show(profile.crest_flat(profile.depth)),
        small.show(error.abs()),
        profile.leading.angle.to_degrees(),
        profile.trailing.angle.to_degrees(),
        lean.map_or(String::new(), |lean| format!(
            " Vermilion: how the flanks would lean, by {:.1} degrees, with the tailstock over and \
             the tool squared to the bed.",
            lean.to_degrees()
        )),
    );
    ink.captioned("thread-section", below, &caption)
}

/// A whole number by which an error of so many px is drawn larger, 1 where it shows by itself.
fn larger_than_life(px: f64) -> f64 {
    let rough = SHOWN / px;
    if rough <= 1.5 {
        return 1.0;
    }
    let decade = powf(10f64, log10(rough).floor());
    let step = [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .rfind(|step| step * decade <= rough)
        .unwrap_or(1.0);
    clamp(step * decade, 2.0, 1000.0)
}

/// The line of a few grooves of a depth: places along the axis and depths.
fn outline(profile: &Profile, feed: Feed, depth: f64, grooves: usize) -> Vec<(f64, f64)> {
    let (toward_headstock, toward_tailstock) = match feed {
        Feed::Headstock => (profile.leading, profile.trailing),
        Feed::Tailstock => (profile.trailing, profile.leading),
    };
    let mut points = vec![(0.0, 0.0)];
    for groove in 0..grooves {
        let centre = (groove as f64 + 1.0) * profile.pitch;
        let half = |t: f64, flank: Flank| {
            let (tip, _) = profile.tip(max(t, 1e-9));
            0.5 * tip + t * flank.tan
        };
        let steps: Vec<f64> = match profile.root {
            Tip::Flat(_) => vec![0.0, depth],
            Tip::Round(radius) => {
                let ends = min(radius * (1.0 - profile.leading.sin), depth);
                (0..=12)
                    .map(|i| ends * powi(f64::from(i) / 12.0, 2))
                    .chain([depth])
                    .collect()
            }
        };
        for &t in steps.iter().rev() {
            points.push((centre - half(t, toward_headstock), depth - t));
        }
        for &t in &steps {
            points.push((centre + half(t, toward_tailstock), depth - t));
        }
    }
    points.push(((grooves as f64 + 1.0) * profile.pitch, 0.0));
    points
}

/// What each pass was to reach and reached, and under it what it pushes off against what the slide
/// drags; the bar at the bottom tells how it sits.
pub fn thread_passes(run: &ThreadRun, units: Units) -> Drawing {
    let (mut ink, y) = Ink::titled("The passes of the thread");
    let passes: Vec<&ThreadPass> = run.passes.iter().chain(&run.by_gauge).collect();
    let height = Scale::height(units);
    let force = Scale::force(units);
    let area = match units {
        Units::Inch => (1e6 / INCH / MM_PER_INCH, "thousandths of a square inch"),
        Units::Metric => (1e6, "mm2"),
    };
    let number = |pass: &ThreadPass| pass.number as f64;
    let width = WIDTH - LEFT - 2.0 * MARGIN - 10.0;
    let x = || {
        Axis::over(
            [0.5, passes.len() as f64 + 0.5],
            (0.0, 0.0),
            passes.len().min(12),
        )
    };
    let mut below = y;
    let mut panel = |ink: &mut Ink, title: &str, curves: Vec<Curve>, tall: f64, last: bool| {
        ink.text((MARGIN, below + LETTER), title, Lettering::BOLD);
        let values = curves
            .iter()
            .flat_map(|curve| curve.points.iter().map(|p| p.1))
            .chain([0.0]);
        let plot = Plot {
            left: LEFT + MARGIN,
            top: below + LETTER + 12.0,
            width,
            height: tall,
            x: if last { x() } else { x().unnumbered() },
            y: Axis::over(values, (0.0, 0.1), 4),
        };
        plot.draw(ink, &curves);
        below = plot.bottom() + 16.0;
        plot
    };
    let line = |of: &dyn Fn(&ThreadPass) -> f64, stroke| Curve {
        points: passes.iter().map(|pass| (number(pass), of(pass))).collect(),
        stroke,
    };
    panel(
        &mut ink,
        &format!(
            "Depth, {}: dashed what the dial says, black what is reached",
            height.unit
        ),
        vec![
            line(&|pass| height.of(pass.dial), TRUE),
            line(&|pass| height.of(pass.reached), MADE),
        ],
        190.0,
        false,
    );
    panel(
        &mut ink,
        &format!("Area of chip, {}: dashed as set, black as taken", area.1),
        vec![
            line(&|pass| area.0 * pass.area_set, TRUE),
            line(&|pass| area.0 * pass.area, MADE),
        ],
        130.0,
        false,
    );
    let plot = panel(
        &mut ink,
        &format!(
            "Force, {}: black push-off, vermilion the slide's drag",
            force.unit
        ),
        vec![
            line(
                &|pass| force.of(0.5 * (pass.push_off.0 + pass.push_off.1)),
                MADE,
            ),
            line(
                &|pass| force.of(0.5 * (pass.drag.0 + pass.drag.1)),
                Stroke::dashed(colour::VERMILION, 2.6, 4.0, 4.0),
            ),
        ],
        150.0,
        true,
    );
    let top = plot.bottom() + BELOW + 10.0;
    let each = width / passes.len().max(1) as f64;
    for (index, pass) in passes.iter().enumerate() {
        let at = (plot.left + each * index as f64, top);
        let fill = match pass.seat {
            Seat::First => colour::BLUE,
            Seat::Other => colour::VERMILION,
            Seat::Floating => colour::WHITE,
        };
        ink.box_(
            at,
            (each, 20.0),
            fill,
            Some(Stroke::solid(colour::BLACK, 1.2)),
        );
    }
    let under = top + 20.0 + LETTER + 4.0;
    ink.text(
        (plot.left + width / 2.0, under),
        "Number of the pass",
        Lettering::BOLD.at(Anchor::Middle),
    );
    let planned = run.passes.len();
    let springs = run.passes.iter().filter(|pass| pass.spring).count();
    let gauged = if run.by_gauge.is_empty() {
        "none more after gauging".to_owned()
    } else {
        format!("{} more after gauging", run.by_gauge.len())
    };
    let caption = format!(
        "{planned} passes as planned, {springs} of them with the dial left alone, {gauged}. The \
         bar tells how the slide sits: blue against the guide, vermilion on the far face of its \
         slack, white floating in it."
    );
    ink.captioned("thread-passes", under, &caption)
}
