//! What changes buy: before and after, each with how far the difference may be off.

use tautway_sim::arithmetic::{clamp, max, min};
use tautway_sim::{
    advice::gain::{Bought, Gain, Gains, Standing, Tried},
    quantity::Units,
    spread::Interval,
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

/// What a change does to one measure, as it is drawn.
struct Shift {
    before: f64,
    after: f64,
    /// Where the 95 % interval of the difference ends.
    ends: [f64; 2],
    hue: &'static str,
}

/// What a change does to a measure; none where it wasn't tried.
type ShiftOf<'a> = Box<dyn Fn(&Tried) -> Option<Shift> + 'a>;

/// One measure: a column.
struct Measure<'a> {
    name: &'static str,
    unit: String,
    shift: ShiftOf<'a>,
    strip: Strip,
}

/// A row a change, in the order given (places in [`Bought::tried`]): a bar from before to after
/// for chance, taper, size and waves, blue where it is better and vermilion where worse, grey
/// where that may be chance; the thin line is the 95 % interval of the difference. `names` are
/// those of the rows.
pub fn changes(bought: &Bought, order: &[usize], names: &[String], units: Units) -> Drawing {
    let (mut ink, mut y) = Ink::titled("What each change buys");
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
        if tried.after.is_some() {
            for measure in &measures {
                if let Some(shift) = (measure.shift)(tried) {
                    bar(&mut ink, &measure.strip, &shift, y);
                }
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

fn measures<'a>(bought: &'a Bought, rows: &[(&Tried, &str)], units: Units) -> [Measure<'a>; 4] {
    let wide = (WIDTH - 2.0 * MARGIN - 3.0 * GAP) / 4.0;
    let (taper, height) = (Scale::taper(units), Scale::height(units));
    let column = |at: usize, (name, unit): (&'static str, String), shift: ShiftOf<'a>| {
        let mut values = vec![0.0];
        for shift in rows.iter().filter_map(|(tried, _)| shift(tried)) {
            values.extend([shift.before, shift.after]);
            values.extend(shift.ends);
        }
        Measure {
            name,
            unit,
            shift,
            strip: Strip::over(MARGIN + at as f64 * (wide + GAP), wide, &values),
        }
    };
    let off = |scale: Scale, of: fn(&Standing) -> f64, gain: fn(&Gains) -> Gain| {
        Box::new(move |tried: &Tried| {
            let gain = tried.gains.as_ref().map(gain)?;
            let now = of(&bought.now);
            // What is off gets less by what is gained.
            let Interval { lower, upper } = gain.interval;
            Some(Shift {
                before: scale.of(now),
                after: scale.of(of(tried.after.as_ref()?)),
                ends: [lower, upper].map(|end| scale.of(now - end)),
                hue: hue(lower, upper),
            })
        })
    };
    let first = if bought.tried.iter().any(|tried| tried.saved.is_some()) {
        column(
            0,
            ("Saves a piece", "min, by the plan".into()),
            Box::new(|tried| {
                let saved = tried.saved?;
                let counted = saved.counted();
                Some(Shift {
                    before: 0.0,
                    after: saved.minutes,
                    ends: [-1.0, 1.0].map(|way| saved.minutes + way * saved.doubt),
                    hue: hue(counted, counted),
                })
            }),
        )
    } else {
        let per_100 = |share: f64| clamp(100.0 * share, 0.0, 100.0);
        column(
            0,
            ("Meets the drawing", "of 100 lathes, as set".into()),
            Box::new(move |tried| {
                let Interval { lower, upper } = tried.gains.as_ref()?.met.interval;
                let now = bought.now.met.share;
                Some(Shift {
                    before: per_100(now),
                    after: per_100(tried.after.as_ref()?.met.share),
                    ends: [lower, upper].map(|end| per_100(now + end)),
                    hue: hue(lower, upper),
                })
            }),
        )
    };
    let per_side = format!("{} per side", height.unit);
    [
        first,
        column(
            1,
            ("Taper off by", format!("{} on diameter", taper.unit)),
            off(taper, |s| s.taper_off, |g| g.taper),
        ),
        column(
            2,
            ("Size off by", per_side.clone()),
            off(height, |s| s.size_off, |g| g.size),
        ),
        column(
            3,
            ("Waves", per_side),
            off(height, |s| s.waves, |g| g.waves),
        ),
    ]
}

/// Better, worse, or not to be told, by the ends of what is gained.
fn hue(lower: f64, upper: f64) -> &'static str {
    if lower > 0.0 {
        colour::BLUE
    } else if upper < 0.0 {
        colour::VERMILION
    } else {
        UNSURE
    }
}

/// Names columns, units and scales; gives the y below.
fn headings(ink: &mut Ink, measures: &[Measure<'_>; 4], y: f64) -> f64 {
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

fn bar(ink: &mut Ink, strip: &Strip, shift: &Shift, top: f64) {
    strip.ground(ink, (top, HIGH.0), None);
    let [from, to] = [shift.before, shift.after].map(|value| strip.x(value));
    let middle = top + HIGH.0 / 2.0;
    let (low, high) = (min(from, to) - 1.0, max(from, to) + 1.0);
    ink.box_(
        (low, middle - HIGH.1 / 2.0),
        (high - low, HIGH.1),
        shift.hue,
        None,
    );
    let [low, high] = shift.ends.map(|end| strip.x(end));
    whisker(ink, (low, high), middle);
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
            format!(" Tried besides, and left out: {rest} that change nothing one would see.")
        }
    };
    format!(
        "Each change by itself, cut on the same {} lathes before and after: what saves most \
         first, then what comes nearer, then what makes it worse. Strong line: before. Ring: after. Blue better, vermilion worse, grey: the \
         difference may be chance. Thin line: 95 % interval of the difference. All are means over \
         the lathes.{rest}",
        bought.trials
    )
}
