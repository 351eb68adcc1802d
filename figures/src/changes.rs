//! What changes buy: before and after, each with how far the difference may be off.

use tautway_sim::arithmetic::{clamp, max, min};
use tautway_sim::{
    advice::gain::{Bought, Gain, Standing, Tried},
    quantity::Units,
};

use crate::{
    Drawing, font,
    ink::{Ink, LETTER, Lettering, MARGIN, Place, Stroke, WIDTH, colour},
    scale::Scale,
    strip::Strip,
};

/// Between the columns, px.
const GAP: f64 = 40.0;
/// Height of a row's ground and of the bar on it, px.
const HIGH: (f64, f64) = (28.0, 14.0);
const SMALL: f64 = 17.0;
/// A bar of a difference that may be none.
const UNSURE: &str = "#a0a0a0";

/// One measure: before, after, gain.
struct Measure {
    name: &'static str,
    unit: String,
    /// SI to what is drawn.
    of: fn(&Standing) -> f64,
    gain: fn(&Tried) -> Option<Gain>,
    /// 1 where a gain raises the value, -1 where it lowers it.
    sign: f64,
    strip: Strip,
    scale: Option<Scale>,
}

impl Measure {
    fn drawn(&self, si: f64) -> f64 {
        self.scale.map_or(100.0 * si, |scale| scale.of(si))
    }
}

/// A row a change, in the order given (places in [`Bought::tried`]): a bar from before to after
/// for chance, taper, size and waves, blue where it is better and vermilion where worse, grey
/// where that may be chance; the thin line is the 95 % interval of the difference. `names` are
/// those of the rows.
pub fn changes(bought: &Bought, order: &[usize], names: &[String], units: Units) -> Drawing {
    let (mut ink, mut y) = Ink::titled("What an afternoon buys");
    let rows: Vec<(&Tried, &str)> = order
        .iter()
        .zip(names)
        .filter_map(|(place, name)| Some((bought.tried.get(*place)?, name.as_str())))
        .collect();
    let measures = measures(bought, &rows, units);
    y = headings(&mut ink, &measures, y);
    for (tried, name) in &rows {
        for line in font::wrap(name, LETTER, true, WIDTH - 2.0 * MARGIN) {
            y += LETTER * 1.2;
            ink.text((MARGIN, y), &line, Lettering::BOLD);
        }
        y += 6.0;
        if let Some(after) = &tried.after {
            for measure in &measures {
                bar(&mut ink, measure, (&bought.now, after), tried, y);
            }
            y += HIGH.0 + 8.0;
        } else {
            y += LETTER;
            ink.text((MARGIN, y), "can't be cut then", Lettering::PLAIN);
            y += 8.0;
        }
    }
    ink.captioned("changes", y, &caption(bought, rows.len()))
}

fn measures(bought: &Bought, rows: &[(&Tried, &str)], units: Units) -> [Measure; 4] {
    let wide = (WIDTH - 2.0 * MARGIN - 3.0 * GAP) / 4.0;
    let (taper, height) = (Scale::taper(units), Scale::height(units));
    let measure = |at: usize,
                   name: &'static str,
                   unit: String,
                   scale: Option<Scale>,
                   sign: f64,
                   of: fn(&Standing) -> f64,
                   gain: fn(&Tried) -> Option<Gain>| {
        let drawn = |si: f64| scale.map_or(100.0 * si, |scale: Scale| scale.of(si));
        let now = of(&bought.now);
        let mut values = vec![0.0, drawn(now)];
        for (tried, _) in rows {
            values.extend(tried.after.iter().map(|after| drawn(of(after))));
            let ends = gain(tried).map(|g| [g.interval.lower, g.interval.upper]);
            values.extend(
                ends.into_iter()
                    .flatten()
                    .map(|end| drawn(now + sign * end)),
            );
        }
        if scale.is_none() {
            values.iter_mut().for_each(|v| *v = clamp(*v, 0.0, 100.0));
            values.push(100.0);
        }
        Measure {
            name,
            unit,
            of,
            gain,
            sign,
            strip: Strip::over(MARGIN + at as f64 * (wide + GAP), wide, &values),
            scale,
        }
    };
    [
        measure(
            0,
            "Meets the drawing",
            "of 100 lathes".into(),
            None,
            1.0,
            |s| s.met.share,
            |t| t.gains.map(|g| g.met),
        ),
        measure(
            1,
            "Taper off by",
            format!("{} on diameter", taper.unit),
            Some(taper),
            -1.0,
            |s| s.taper_off,
            |t| t.gains.map(|g| g.taper),
        ),
        measure(
            2,
            "Size off by",
            format!("{} per side", height.unit),
            Some(height),
            -1.0,
            |s| s.size_off,
            |t| t.gains.map(|g| g.size),
        ),
        measure(
            3,
            "Waves",
            format!("{} per side", height.unit),
            Some(height),
            -1.0,
            |s| s.waves,
            |t| t.gains.map(|g| g.waves),
        ),
    ]
}

/// Names columns, units and scales; gives the y below.
fn headings(ink: &mut Ink, measures: &[Measure; 4], y: f64) -> f64 {
    let small = Lettering {
        size: SMALL,
        ..Lettering::PLAIN
    };
    let line = |number: f64| y + LETTER + number * LETTER * 1.25;
    for measure in measures {
        let left = measure.strip.left;
        let bold = Lettering {
            size: SMALL,
            ..Lettering::BOLD
        };
        ink.text((left, line(0.0)), measure.name, bold);
        ink.text((left, line(1.0)), &measure.unit, small);
        measure.strip.numbers(ink, line(2.1));
    }
    line(2.1) + 4.0
}

fn bar(
    ink: &mut Ink,
    measure: &Measure,
    (now, after): (&Standing, &Standing),
    tried: &Tried,
    top: f64,
) {
    let strip = &measure.strip;
    strip.ground(ink, (top, HIGH.0), None);
    let (before, then) = ((measure.of)(now), (measure.of)(after));
    let (from, to) = (strip.x(measure.drawn(before)), strip.x(measure.drawn(then)));
    let gain = (measure.gain)(tried);
    let hue = match gain {
        Some(gain) if gain.interval.lower > 0.0 => colour::BLUE,
        Some(gain) if gain.interval.upper < 0.0 => colour::VERMILION,
        _ => UNSURE,
    };
    let middle = top + HIGH.0 / 2.0;
    let (low, high) = (min(from, to) - 1.0, max(from, to) + 1.0);
    ink.box_(
        (low, middle - HIGH.1 / 2.0),
        (high - low, HIGH.1),
        hue,
        None,
    );
    if let Some(gain) = gain {
        let end = |si: f64| strip.x(measure.drawn(before + measure.sign * si));
        whisker(
            ink,
            (end(gain.interval.lower), end(gain.interval.upper)),
            middle,
        );
    }
    let upright = [(from, top), (from, top + HIGH.0)];
    ink.line(&upright, Stroke::solid(colour::BLACK, 3.0));
    ink.circle(
        (to, middle),
        5.0,
        colour::WHITE,
        Some(Stroke::solid(colour::BLACK, 2.4)),
    );
}

/// A thin line with ends.
fn whisker(ink: &mut Ink, (from, to): Place, y: f64) {
    let stroke = Stroke::solid(colour::BLACK, 1.6);
    ink.line(&[(from, y), (to, y)], stroke);
    for x in [from, to] {
        ink.line(&[(x, y - 5.0), (x, y + 5.0)], stroke);
    }
}

fn caption(bought: &Bought, shown: usize) -> String {
    let single = bought.tried.iter().filter(|t| t.changes.len() == 1).count();
    let rest = match single.saturating_sub(shown) {
        0 => String::new(),
        rest => {
            format!(" Tried besides, and left out: {rest} that gain less or nothing one would see.")
        }
    };
    format!(
        "Each change by itself, cut on the same {} lathes before and after; the one that gains most \
         stands first. Strong line: before. Ring: after. Blue better, vermilion worse, grey: the \
         difference may be chance. Thin line: 95 % interval of the difference. All are means over \
         the lathes.{rest}",
        bought.trials
    )
}
