//! What each way may give over many lathes like the one described.

use tautway_sim::arithmetic::clamp;
use tautway_sim::{
    quantity::{Length, Quantity, Units},
    scenario::{Band, Kind, Work},
    spread::Coverage,
    study::{Outlook, WayOutlook},
};

use crate::{
    Drawing, font,
    ink::{Anchor, Ink, LETTER, Lettering, MARGIN, Stroke, WIDTH, colour},
    scale::Scale,
    strip::Strip,
};

/// Between the columns, px.
const GAP: f64 = 26.0;
/// Room for the number of trials that meet the drawing, px.
const MET: f64 = 118.0;
/// Height of a row's ground and of the bar on it, px.
const HIGH: (f64, f64) = (36.0, 18.0);
/// Size of units and directions, px.
const SMALL: f64 = 17.0;
/// Ground of what the drawing allows.
const ALLOWED: &str = "#cfe3f1";

/// One measure, in the person's units.
struct Measure {
    name: &'static str,
    unit: String,
    scale: Scale,
    of: fn(&WayOutlook) -> &Coverage,
    /// What the drawing allows.
    allowed: Option<(f64, f64)>,
    strip: Strip,
}

/// Taper, size and waves of every way, a row a way: the bar is where that share of the trials lie
/// that the record's intervals cover, the mark their mean, the shade what the drawing allows. `rows`
/// are the ways' names in the record's order, each with how many are good by the plan, in words;
/// empty where that was not played.
pub fn spread(outlook: &Outlook, rows: &[(String, String)], work: &Work, units: Units) -> Drawing {
    let lathes = match outlook.trials {
        1 => "1 lathe".into(),
        trials => format!("{trials} lathes"),
    };
    let title = match outlook.ways[..] {
        [_] => format!("What this way gives as set, on {lathes} like yours"),
        _ => format!("What each way gives as set, on {lathes} like yours"),
    };
    let (mut ink, mut y) = Ink::titled(&title);
    let measures = measures(outlook, work, units);
    y = headings(&mut ink, &measures, y);
    for (index, way) in outlook.ways.iter().enumerate() {
        let unnamed = (format!("way {}", index + 1), String::new());
        let (name, good) = rows.get(index).unwrap_or(&unnamed);
        for line in font::wrap(name, LETTER, true, WIDTH - 2.0 * MARGIN) {
            y += LETTER * 1.25;
            ink.text((MARGIN, y), &line, Lettering::BOLD);
        }
        y += 8.0;
        for measure in &measures {
            bar(&mut ink, measure, way, y);
        }
        ink.text(
            (WIDTH - MARGIN, y + HIGH.0 / 2.0 + 7.0),
            good,
            Lettering::BOLD.at(Anchor::End),
        );
        y += HIGH.0 + 10.0;
    }
    y = directions(&mut ink, &measures[1].strip, y);
    ink.captioned("spread", y, &caption(outlook, &measures))
}

fn measures(outlook: &Outlook, work: &Work, units: Units) -> [Measure; 3] {
    let wide = (WIDTH - 2.0 * MARGIN - MET - 3.0 * GAP) / 3.0;
    let (taper, height) = (Scale::taper(units), Scale::height(units));
    let tapers = (
        work.taper.si() + work.tolerance.lower.si(),
        work.taper.si() + work.tolerance.upper.si(),
    );
    let sizes = work.size_tolerance.map(|band| per_side(work.kind, &band));
    let waves = work.waves_allowed.map(|allowed| (0.0, allowed.si()));
    let measure = |index: usize,
                   name: &'static str,
                   how: &str,
                   scale: Scale,
                   of: fn(&WayOutlook) -> &Coverage,
                   allowed: Option<(f64, f64)>,
                   nought: Option<f64>| {
        let allowed = allowed.map(|(low, high)| (scale.of(low), scale.of(high)));
        let values: Vec<f64> = outlook
            .ways
            .iter()
            .map(of)
            .flat_map(|found| {
                let ends = found.symmetric;
                [found.estimate, ends.lower, ends.upper].map(|si| scale.of(si))
            })
            .chain(allowed.into_iter().flat_map(|(low, high)| [low, high]))
            .chain(nought)
            .collect();
        Measure {
            name,
            unit: format!("{} {how}", scale.unit),
            scale,
            of,
            allowed,
            strip: Strip::over(MARGIN + index as f64 * (wide + GAP), wide, &values),
        }
    };
    [
        measure(
            0,
            "Taper",
            "on diameter",
            taper,
            |way| &way.taper,
            Some(tapers),
            None,
        ),
        measure(
            1,
            "Size",
            "per side",
            height,
            |way| &way.size_error,
            sizes,
            Some(0.0),
        ),
        measure(
            2,
            "Waves",
            "per side",
            height,
            |way| &way.waves,
            waves,
            Some(0.0),
        ),
    ]
}

/// Limits on the diameter, which count outward, as limits of the record's size, which is per side
/// and counts into the work; m.
fn per_side(kind: Kind, band: &Band<Length>) -> (f64, f64) {
    let (lower, upper) = (band.lower.si() / 2.0, band.upper.si() / 2.0);
    match kind {
        Kind::Inside => (lower, upper),
        Kind::Outside => (-upper, -lower),
    }
}

/// Names columns, units and scales; gives the y below.
fn headings(ink: &mut Ink, measures: &[Measure; 3], y: f64) -> f64 {
    let small = Lettering {
        size: SMALL,
        ..Lettering::PLAIN
    };
    let line = |number: f64| y + LETTER + number * LETTER * 1.25;
    for measure in measures {
        let left = measure.strip.left;
        ink.text((left, line(0.0)), measure.name, Lettering::BOLD);
        ink.text((left, line(1.0)), &measure.unit, small);
        measure.strip.numbers(ink, line(2.2));
    }
    for (number, text) in ["Good,", "by the plan"].into_iter().enumerate() {
        let at = (WIDTH - MARGIN, line(number as f64));
        ink.text(at, text, Lettering::BOLD.at(Anchor::End));
    }
    line(2.2) + 6.0
}

fn bar(ink: &mut Ink, measure: &Measure, way: &WayOutlook, top: f64) {
    let strip = &measure.strip;
    let shade = measure.allowed.map(|(low, high)| (low, high, ALLOWED));
    strip.ground(ink, (top, HIGH.0), shade);
    let found = (measure.of)(way);
    let of = |si: f64| measure.scale.of(si);
    let (low, high) = (of(found.symmetric.lower), of(found.symmetric.upper));
    let middle = top + HIGH.0 / 2.0;
    if low.is_finite() && high.is_finite() {
        // Values all alike are still a line to be seen.
        let (from, to) = (strip.x(low) - 1.5, strip.x(high) + 1.5);
        ink.box_(
            (from, middle - HIGH.1 / 2.0),
            (to - from, HIGH.1),
            colour::BLUE,
            Some(Stroke::solid(colour::WHITE, 1.0)),
        );
    }
    let estimate = of(found.estimate);
    if estimate.is_finite() {
        ink.circle(
            (strip.x(estimate), middle),
            7.0,
            colour::WHITE,
            Some(Stroke::solid(colour::BLACK, 3.0)),
        );
    } else {
        let at = (strip.left + 6.0, middle + 6.0);
        ink.text(at, "unknown", Lettering::PLAIN);
    }
}

/// Says below the column of sizes what its two sides mean; gives the y below.
fn directions(ink: &mut Ink, sizes: &Strip, y: f64) -> f64 {
    let lettering = Lettering {
        size: SMALL,
        ..Lettering::PLAIN
    };
    let y = y + SMALL;
    ink.text((sizes.left, y), "← stock left", lettering);
    let right = (sizes.right(), y);
    ink.text(right, "too deep →", lettering.at(Anchor::End));
    y
}

fn caption(outlook: &Outlook, measures: &[Measure; 3]) -> String {
    let share = clamp((100.0 * outlook.probability).round(), 0.0, 100.0);
    let asked: Vec<String> = measures
        .iter()
        .filter(|measure| measure.allowed.is_some())
        .map(|measure| measure.name.to_lowercase())
        .collect();
    let beside = measures.iter().any(|measure| {
        outlook.ways.iter().map(measure.of).any(|found| {
            let ends = found.symmetric;
            found.estimate < ends.lower || found.estimate > ends.upper
        })
    });
    let strays = if beside {
        " A ring beside its bar: a few trials far out of it draw the mean along."
    } else {
        ""
    };
    format!(
        "Bar: {share:.0} of 100 trials lie in it. Ring: the mean.{strays} Shaded: what the drawing allows; it \
         limits {}. Every way was cut as set, nothing gauged, on the same {} lathes, drawn from the \
         numbers given and assumed. At the right: how many are good by the whole plan, gauged before \
         the last pass.",
        asked.join(", "),
        outlook.trials
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    // Worked by hand: a plug 0.2 mm too big has 0.1 mm left on per side, a bore as much too big is
    // 0.1 mm too deep.
    #[test]
    fn limits_on_the_diameter_are_turned_into_the_work() {
        let band = Band {
            lower: Length::from_si(0.0),
            upper: Length::from_si(0.2e-3),
        };
        assert_eq!(per_side(Kind::Outside, &band), (-0.1e-3, 0.0));
        assert_eq!(per_side(Kind::Inside, &band), (0.0, 0.1e-3));
    }
}
