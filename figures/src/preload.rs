//! What a preload of any force does to seat, size and surface, with the window to stay in.

use tautway_sim::arithmetic::{clamp, max, min};
use tautway_sim::{
    advice::{
        force_scan::{Band, ForcePoint},
        preload::PreloadAdvice,
    },
    caution::{PRELOAD_REFUSED, PRELOAD_WARNED},
    quantity::Units,
    scenario::Toward,
    setup::Pull,
};

use crate::{
    Drawing,
    chart::{Axis, BELOW, Curve, LEFT, Plot},
    font,
    ink::{Anchor, Ink, LETTER, Lettering, MARGIN, Stroke, WIDTH, colour},
    scale::{Scale, number},
};

/// Height of one plot, px.
const HIGH: f64 = 190.0;
const CURVE: Stroke = Stroke::solid(colour::BLACK, 2.6);
/// Where most of the lathes lie.
const BAND: &str = "#b9b9b9";
const SMALL: f64 = 17.0;

/// What a panel shows of a force.
type Shown = fn(&ForcePoint) -> &Band;

/// A stretch of forces with its name.
struct Zone {
    from: f64,
    to: f64,
    name: &'static str,
    ground: &'static str,
    ink: &'static str,
}

/// Seat margin, stock left and waves against the force of a preload, over the lathes tried: line
/// the mean, grey where most of them lie. Stretches are named: into the cut, too weak, the
/// window, too strong for a hand, refused.
pub fn preload(advice: &PreloadAdvice, units: Units) -> Drawing {
    let force = Scale::force(units);
    let (mut ink, mut y) = Ink::titled(&title(advice, force));
    let forces: Vec<f64> = advice.scan.iter().map(|p| force.of(p.force)).collect();
    let x = Axis::over(forces.iter().copied(), (0.0, 0.0), 8);
    let zones = zones(advice, force, &x);
    y = names(&mut ink, &zones, &x, y);
    let height = Scale::height(units);
    let panels: [(String, Scale, Shown); 3] = [
        (
            format!("Held against the guide by, {}", force.unit),
            force,
            |p| &p.seat_margin,
        ),
        (
            format!("Stock left on, {} per side", height.unit),
            height,
            |p| &p.left,
        ),
        (format!("Waves, {} per side", height.unit), height, |p| {
            &p.waves
        }),
    ];
    let mut bottom = y;
    for (at, (name, scale, of)) in panels.iter().enumerate() {
        ink.text((MARGIN, bottom + LETTER), name, Lettering::BOLD);
        let last = at + 1 == panels.len();
        let values = advice.scan.iter().flat_map(|point| {
            let band = of(point);
            [band.mean, band.low, band.high].map(|si| scale.of(si))
        });
        let plot = Plot {
            left: LEFT + MARGIN,
            top: bottom + LETTER + 10.0,
            width: WIDTH - LEFT - 2.0 * MARGIN - 10.0,
            height: HIGH,
            x: if last {
                x.clone()
            } else {
                x.clone().unnumbered()
            },
            y: Axis::over(values.chain([0.0]), (0.05, 0.08), 4),
        };
        panel(&mut ink, &plot, &zones, advice, (force, *scale), *of);
        bottom = plot.bottom() + if last { BELOW } else { 8.0 };
    }
    let way = match advice.toward {
        Toward::Operator => "toward the operator",
        Toward::Away => "away from the operator",
    };
    ink.text(
        (
            LEFT + MARGIN + 0.5 * (WIDTH - LEFT - 2.0 * MARGIN),
            bottom + LETTER,
        ),
        &format!("Force {way}, {}", force.unit),
        Lettering::BOLD.at(Anchor::Middle),
    );
    ink.captioned("preload", bottom + LETTER, &caption(advice, force))
}

fn title(advice: &PreloadAdvice, force: Scale) -> String {
    match (advice.pull, advice.advised) {
        (Pull::In, _) => "Holding the slide: pulled in, no preload is needed".into(),
        (_, Some(advised)) if advised > PRELOAD_WARNED => format!(
            "Holding the slide: it takes {}, too strong for a hand",
            whole(advised, force)
        ),
        (_, Some(advised)) => format!("Holding the slide: {} does it", whole(advised, force)),
        (_, None) => "Holding the slide: no preload can be advised here".into(),
    }
}

/// A force without decimals: nobody sets it finer.
fn whole(si: f64, force: Scale) -> String {
    format!("{}\u{a0}{}", number(force.of(si), 0), force.unit)
}

fn zones(advice: &PreloadAdvice, force: Scale, x: &Axis) -> Vec<Zone> {
    let of = |si: f64| clamp(force.of(si), x.low, x.high);
    let window = &advice.window;
    let zone = |from: f64, to: f64, name, ground, ink| Zone {
        from: of(from),
        to: of(to),
        name,
        ground,
        ink,
    };
    let never = f64::INFINITY;
    let open = window.least <= window.most;
    let weak = if open {
        window.least
    } else {
        min(window.most, window.least)
    };
    let mut all = vec![
        zone(
            -never,
            0.0,
            "into the cut: never",
            "#f6d5bd",
            colour::VERMILION,
        ),
        zone(0.0, weak, "too weak", "#ececec", colour::GREY),
    ];
    if open {
        all.push(zone(
            window.least,
            window.most,
            "the window",
            "#cfe3f1",
            colour::BLUE,
        ));
    }
    let strong = if open { window.most } else { weak };
    if window.foot && open {
        all.push(zone(
            strong,
            PRELOAD_REFUSED,
            "foot leaves",
            "#fae8da",
            colour::VERMILION,
        ));
    } else {
        all.push(zone(
            max(strong, min(PRELOAD_WARNED, PRELOAD_REFUSED)),
            PRELOAD_REFUSED,
            "breaks a hand",
            "#fae8da",
            colour::VERMILION,
        ));
    }
    all.push(zone(
        PRELOAD_REFUSED,
        never,
        "refused",
        "#f0b48f",
        colour::VERMILION,
    ));
    all.retain(|zone| zone.to - zone.from > 1e-9 * (x.high - x.low));
    all
}

/// Names over their stretches, each on the first line where it has room; gives the y below.
fn names(ink: &mut Ink, zones: &[Zone], x: &Axis, y: f64) -> f64 {
    let (left, wide) = (LEFT + MARGIN, WIDTH - LEFT - 2.0 * MARGIN - 10.0);
    let mut free = [left - LEFT; 2];
    let mut lines = 1;
    for zone in zones {
        let size = font::width(zone.name, SMALL, true);
        let middle = left + wide * 0.5 * (x.share(zone.from) + x.share(zone.to));
        let at = clamp(middle - 0.5 * size, left - LEFT, left + wide - size);
        let line = usize::from(at < free[0]);
        free[line] = at + size + 12.0;
        lines = lines.max(line + 1);
        let lettering = Lettering {
            size: SMALL,
            colour: zone.ink,
            ..Lettering::BOLD
        };
        ink.text(
            (at, y + SMALL + line as f64 * SMALL * 1.25),
            zone.name,
            lettering,
        );
    }
    y + lines as f64 * SMALL * 1.25 + 8.0
}

fn panel(
    ink: &mut Ink,
    plot: &Plot,
    zones: &[Zone],
    advice: &PreloadAdvice,
    (force, scale): (Scale, Scale),
    of: Shown,
) {
    for zone in zones {
        let (from, to) = (plot.at(zone.from, 0.0).0, plot.at(zone.to, 0.0).0);
        ink.box_(
            (from, plot.top),
            (to - from, plot.height),
            zone.ground,
            None,
        );
    }
    let points: Vec<(f64, [f64; 3])> = advice
        .scan
        .iter()
        .map(|point| {
            let band = of(point);
            let values = [band.low, band.mean, band.high].map(|si| scale.of(si));
            (force.of(point.force), values)
        })
        .filter(|(x, values)| x.is_finite() && values.iter().all(|v| v.is_finite()))
        .collect();
    let lower = points.iter().map(|(x, values)| plot.at(*x, values[0]));
    let upper = points
        .iter()
        .rev()
        .map(|(x, values)| plot.at(*x, values[2]));
    let outline: Vec<_> = lower.chain(upper).collect();
    ink.area(&outline, BAND, None);
    let line = |at: usize| points.iter().map(|(x, values)| (*x, values[at])).collect();
    plot.draw(
        ink,
        &[Curve {
            points: line(1),
            stroke: CURVE,
        }],
    );
    if let Some(advised) = advice.advised.map(|si| force.of(si)) {
        let (x, _) = plot.at(advised, 0.0);
        let upright = [(x, plot.top), (x, plot.bottom())];
        ink.line(&upright, Stroke::dashed(colour::BLUE, 3.0, 9.0, 5.0));
    }
    for (from, to) in held_now(advice) {
        for end in [from, to] {
            let (x, _) = plot.at(clamp(force.of(end), plot.x.low, plot.x.high), 0.0);
            let upright = [(x, plot.top), (x, plot.bottom())];
            ink.line(&upright, Stroke::dashed(colour::BLACK, 3.0, 2.0, 5.0));
        }
    }
}

/// Least and most force, out of the cut, of the preload that was asked about and of the job's own.
fn held_now(advice: &PreloadAdvice) -> Vec<(f64, f64)> {
    let judged = advice.own.iter().chain(&advice.of_job);
    let signed = judged.map(|judged| {
        let sign = if judged.out_of_cut { 1.0 } else { -1.0 };
        (sign * judged.force.0, sign * judged.force.1)
    });
    signed.collect()
}

fn caption(advice: &PreloadAdvice, force: Scale) -> String {
    let window = &advice.window;
    let mut text = format!(
        "Cut drawn away, on {} lathes like yours under each force: line the mean, grey where 80 of \
         100 lie.",
        advice.trials
    );
    if advice.pull == Pull::In {
        text = text.replace("drawn away", "pulled in");
    }
    if let Some(advised) = advice.advised {
        text.push_str(&format!(
            " Dashed: {}. The window, {} to {}, holds on {:.0} of 100 with {:.0} % to spare, in the \
             run-in and over the whole cut.",
            whole(advised, force),
            whole(window.least, force),
            whole(window.most, force),
            100.0 * window.probability,
            100.0 * window.margin
        ));
    }
    for (from, to) in held_now(advice) {
        let [from, to] = [from, to].map(|si| whole(si, force));
        let range = if from == to {
            from
        } else {
            format!("{from} to {to}")
        };
        text.push_str(&format!(" Dotted: yours, {range}."));
    }
    text.push_str(
        " Into the cut it may read steady and is never used: if anything lets go, the tool is \
         driven into the work.",
    );
    text
}
