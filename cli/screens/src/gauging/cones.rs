//! `tautway gauging rolls`, `balls` and `diameters`: the cone from what was measured on it.

use tautway_sim::gauging::{
    Balls, Diameters, Found, Gauge, Gauged, OneBall, OnePairOfRolls, Refusal, Rolls,
};
use tautway_sim::quantity::show::TaperForms;
use tautway_sim::quantity::{Quantity, Units};

use super::asked;
use super::page::{Page, Sum};
use super::units::units;
use crate::screen::found::{half_angle, length, taper};
use crate::typed::{TypedLength, TypedTaper};

/// Taper and angle, and how they stand to the wanted taper.
fn told(page: &mut Page, found: &Found, angle: &Found, wanted: Option<&TypedTaper>) {
    page.line(format!(
        "Taper: {} on diameter, {}.",
        taper(found, page.units),
        half_angle(angle)
    ));
    page.mostly_from("the taper", found);
    let Some(wanted) = wanted else {
        return;
    };
    let mut off = found.clone();
    off.value = found.value - wanted.taper.si();
    let how = if off.value > 0.0 {
        "steeper"
    } else {
        "shallower"
    };
    off.value = off.value.abs();
    let forms = TaperForms::of(wanted.taper);
    let wanted = match page.units {
        Units::Inch => forms.inch_per_foot,
        Units::Metric => forms.mm_per_metre,
    };
    if off.differs_from(0.0) || off.half == 0.0 {
        page.line(format!(
            "That is {how} than {wanted} by {}.",
            taper(&off, page.units)
        ));
    } else {
        page.line(format!(
            "These gauges can't tell it from {wanted}: the difference is {}.",
            taper(&off, page.units)
        ));
    }
}

fn against(wanted: Option<&TypedTaper>, found: &Found) -> Option<f64> {
    wanted.map(|wanted| found.value - wanted.taper.si())
}

/// The answer of rolls.
///
/// # Errors
/// When no taper gives these measures.
pub fn rolls(args: &asked::Rolls, asked: Option<Units>) -> Result<Page, Refusal> {
    let mut page = Page::new(units(asked, &[args.roll.metric, args.low.metric]));
    let on_blocks = |typed: Option<&TypedLength>| {
        typed.map_or(Gauged::exact(0.0), |blocks| blocks.by(Gauge::Blocks))
    };
    let roll = page.input("roll", args.roll.by(Gauge::Ball));
    let low = page.input("measure over the rolls", args.low.by(Gauge::Mike));
    let low_blocks = page.input("lower blocks", on_blocks(args.low_blocks.as_ref()));
    let length_typed = args.length.as_ref();
    let to_top = length_typed.map(|typed| page.input("length", typed.by(Gauge::Rule)));
    let units = page.units;
    let sizes = |page: &mut Page, big_end_up: bool, plate: &Found, top: Option<&Found>| {
        let (below, above) = if big_end_up {
            ("Small", "Big")
        } else {
            ("Big", "Small")
        };
        page.line(format!(
            "{below} end, at the plate: diameter {}.",
            length(plate, units)
        ));
        if let Some(top) = top {
            page.line(format!(
                "{above} end, above: diameter {}.",
                length(top, units)
            ));
        }
        page.line("The end at the plate is the cone carried on to it: a chamfer is not seen.");
    };
    if let Some(known) = &args.taper {
        let known = page.input("taper", known.gauged());
        let (plate, top) = OnePairOfRolls {
            roll,
            over: low,
            blocks: low_blocks,
            taper: known,
            big_end_up: args.big_end_up,
            length: to_top,
        }
        .sum()?;
        sizes(&mut page, args.big_end_up, &plate, top.as_ref());
        page.mostly_from("the size", &plate);
        page.found = Some(Sum::OnePairOfRolls {
            at_plate: plate,
            at_top: top,
        });
        return Ok(page);
    }
    let high = args.high.as_ref().unwrap_or(&args.low).by(Gauge::Mike);
    let high = page.input("measure over the raised rolls", high);
    let high_blocks = page.input("blocks", on_blocks(args.high_blocks.as_ref()));
    let plug = Rolls {
        roll,
        low,
        low_blocks,
        high,
        high_blocks,
        length: to_top,
    }
    .sum()?;
    told(
        &mut page,
        &plug.taper,
        &plug.half_angle,
        args.wanted.as_ref(),
    );
    sizes(
        &mut page,
        plug.big_end_up,
        &plug.at_plate,
        plug.at_top.as_ref(),
    );
    page.found = Some(Sum::Rolls {
        against_wanted: against(args.wanted.as_ref(), &plug.taper),
        plug,
    });
    Ok(page)
}

/// The answer of balls.
///
/// # Errors
/// When no bore holds the balls so.
pub fn balls(args: &asked::Balls, asked: Option<Units>) -> Result<Page, Refusal> {
    let mut page = Page::new(units(asked, &[args.large.metric, args.large_depth.metric]));
    let large = page.input("large ball", args.large.by(Gauge::Ball));
    let large_depth = args.large_depth.by(Gauge::DepthMike);
    let large_depth = page.input("depth of the large ball", large_depth);
    if let (Some(small), Some(small_depth)) = (&args.small, &args.small_depth) {
        let small = page.input("small ball", small.by(Gauge::Ball));
        let small_depth = small_depth.by(Gauge::DepthMike);
        let small_depth = page.input("depth of the small ball", small_depth);
        let bore = Balls {
            small,
            small_depth,
            large,
            large_depth,
        }
        .sum()?;
        told(
            &mut page,
            &bore.taper,
            &bore.half_angle,
            args.wanted.as_ref(),
        );
        page.line(format!(
            "Mouth, at the face the depths were measured from: diameter {}.",
            length(&bore.mouth, page.units)
        ));
        page.found = Some(Sum::Balls {
            against_wanted: against(args.wanted.as_ref(), &bore.taper),
            bore,
        });
    } else if let Some(known) = &args.taper {
        let known = page.input("taper", known.gauged());
        let mouth = OneBall {
            ball: large,
            depth: large_depth,
            taper: known,
        }
        .mouth()?;
        page.line(format!(
            "Mouth, at the face the depth was measured from: diameter {}.",
            length(&mouth, page.units)
        ));
        page.mostly_from("this", &mouth);
        page.found = Some(Sum::OneBall { mouth });
    }
    Ok(page)
}

/// The answer of diameters.
///
/// # Errors
/// When the numbers don't go together.
pub fn diameters(args: &asked::Diameters, asked: Option<Units>) -> Result<Page, Refusal> {
    let metric = [args.big.metric, args.small.metric, args.apart.metric];
    let mut page = Page::new(units(asked, &metric));
    let gauge = args.gauge;
    let big = page.input("big diameter", args.big.by(gauge));
    let small = page.input("small diameter", args.small.by(gauge));
    let apart = page.input("distance apart", args.apart.by(Gauge::Rule));
    let two = Diameters { big, small, apart }.sum(args.beyond.as_ref().map(|place| place.value))?;
    told(&mut page, &two.taper, &two.half_angle, args.wanted.as_ref());
    if let Some(there) = &two.there {
        page.line(format!("Diameter there: {}.", length(there, page.units)));
    }
    page.line("Both diameters must be of the same edge of the gauge: anvils bear on one edge.");
    page.found = Some(Sum::Diameters {
        against_wanted: against(args.wanted.as_ref(), &two.taper),
        two_places: two,
    });
    Ok(page)
}
