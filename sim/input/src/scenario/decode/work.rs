//! The work and its material in the job file: every key, and what stands in for it.

use super::reading::nearest;
use super::section::{Got, Section, Words};
use super::standard::{self, Fixed};
use super::wordings::BIG_END;
use super::{relief, steady};
use crate::arithmetic::{max, min};
use crate::quantity::{Dimension, INCH, INCH_PER_FOOT, Length, Pressure, Quantity, Ratio, Taper};
use crate::scenario::defaults::{self, Edge, Surface};
use crate::scenario::limits::Limits;
use crate::scenario::material::{MATERIALS, Material};
use crate::scenario::numbers::{cutting, work as rows};
use crate::scenario::want::Want;
use crate::scenario::{
    Band, CuttingData, End, Holding, Kind, Known, Passes, Severity, Slots, StartSurface, Work,
};
use crate::standard_taper::{PipeThread, StandardTaper};

/// Young's modulus of a material that isn't named, Pa: steel.
const STEEL_MODULUS: f64 = 205e9;

pub(super) const KIND: &Words<Kind> = &[
    (&["outside", "external", "turned"], Kind::Outside),
    (&["inside", "bore", "bored", "internal"], Kind::Inside),
];

const SURFACE: &Words<Surface> = &[
    (
        &[
            "turned in this setting",
            "bored in this setting",
            "same setting",
        ],
        Surface::SameSetting,
    ),
    (
        &["re-chucked in a four-jaw", "four-jaw", "4-jaw"],
        Surface::FourJaw,
    ),
    (
        &["re-chucked in a three-jaw", "three-jaw", "3-jaw"],
        Surface::ThreeJaw,
    ),
    (
        &[
            "cold-drawn bar",
            "cold-drawn",
            "cold rolled",
            "bright bar",
            "drilled",
        ],
        Surface::ColdDrawn,
    ),
    (
        &["black bar", "hot-rolled bar", "hot rolled"],
        Surface::BlackBar,
    ),
    (&["forging", "forged"], Surface::Forging),
    (&["casting", "cast"], Surface::Casting),
    (&["flame-cut", "flame cut", "burned out"], Surface::FlameCut),
    (
        &["worn seat", "worn", "an existing taper", "existing taper"],
        Surface::WornSeat,
    ),
    (&["weld", "welded", "built up by welding"], Surface::Weld),
];

const LENGTH: Limits = Limits::POSITIVE;
const DISTANCE: Limits = Limits::NOT_NEGATIVE;

/// Where the size is measured: at an end, or this far off the big end.
#[derive(Clone, Copy)]
enum GaugePlane {
    Big,
    Small,
    Off(Length),
}

fn gauge_plane(text: &str) -> Result<GaugePlane, crate::quantity::Fault> {
    match super::section::plain_words(text).as_str() {
        "at the big end" | "big end" => Ok(GaugePlane::Big),
        "at the small end" | "small end" => Ok(GaugePlane::Small),
        _ => {
            let distance = Length::parse(text).map_err(|mut fault| {
                fault.hint = format!(
                    "write \"at the big end\", \"at the small end\" or how far from the big end; \
                     {}",
                    fault.hint
                );
                fault
            })?;
            super::section::finite(text, distance).map(GaugePlane::Off)
        }
    }
}

fn read_gauge_plane(table: &Section<'_>) -> Got<GaugePlane> {
    const EXAMPLE: &str = "at the big end";
    table.want("gauge_plane", Want::Notation(EXAMPLE.to_owned()));
    let Some((value, at)) = table.find("gauge_plane") else {
        return Got::Open;
    };
    let length = Dimension::Length;
    table.read_number("gauge_plane", value, at, EXAMPLE, length, gauge_plane)
}

/// The work, and what is named in it that other tables hang on.
pub(super) struct Read {
    pub work: Work,
    pub material: Option<&'static Material>,
    pub surface: Surface,
    /// The thread of the standard taper.
    pub thread: Option<PipeThread>,
}

/// Reads `[work]`, and the surface named in it, on which the force law depends too.
pub(super) fn read(table: Section<'_>, passes: &Passes) -> Read {
    let kind = table
        .required_word("kind", KIND, "\"outside\"")
        .unwrap_or(Kind::Outside);
    let standard = standard::named(&table);
    let fixed = Fixed::new(standard.as_ref(), kind);
    let length = fixed.length(&table);
    let plane = read_gauge_plane(&table);
    let (diameter, at_small_end) = fixed.diameter(&table, !matches!(plane, Got::Open));
    let plane = match plane {
        Got::Given(GaugePlane::Off(distance)) if !table.holds("gauge_plane", distance) => {
            Got::Faulty
        }
        plane => plane,
    };
    let surface = table
        .word("surface", SURFACE)
        .given()
        .unwrap_or(Surface::SameSetting);
    let (holding, rest_named) = steady::holding(&table);
    let between = table.number_given(&rows::BETWEEN_CENTRES);
    let outside_diameter = table.quantity::<Length>("outside_diameter", LENGTH).given();
    // Three jaws spring a ring whose wall is thinner than about an eighth of its diameter [guess].
    let thin = outside_diameter.is_some_and(|outside| {
        kind == Kind::Inside && outside.si() - diameter.si() < 0.25 * outside.si()
    });
    let [run_out, ovality, lobing] = defaults::roundness(surface, thin);
    let (jaws, past) = match holding {
        Holding::Chuck => (0.5, 0.0),
        Holding::ChuckAndCentre => (0.5, 0.5),
        Holding::Centres => (3.0, 0.5),
    };
    let from_jaws = table.quantity_or("from_jaws", DISTANCE, Length::from_si(jaws * INCH));
    let beyond = table.quantity_or("beyond", DISTANCE, Length::from_si(past * INCH));
    // Nothing told: up to the jaws on one side, and at a free end as far as one needs.
    let free = match holding {
        Holding::Chuck => Length::from_si(6.0 * INCH),
        _ => beyond,
    };
    let rest = steady::read(&table, rest_named);
    let groove = relief::read(&table);
    let blind = |end: End, room: Length| match groove {
        Some(relief) if relief.at == end => relief.width,
        _ => room,
    };
    let end = from_jaws.si() + length.si();
    let free = match steady::room(rest.as_ref(), kind, end) {
        Some(room) => Length::from_si(min(room, free.si())),
        None => free,
    };
    let work = Work {
        kind,
        big_end: table
            .required_word("big_end", BIG_END, "\"headstock\"")
            .unwrap_or(End::Headstock),
        taper: taper(&table, standard.as_ref()),
        tolerance: tolerance(&table),
        taper_doubt: table.number_given(&rows::TAPER_DOUBT).given(),
        length,
        gauge_plane: match plane {
            Got::Given(GaugePlane::Off(distance)) => distance,
            Got::Given(GaugePlane::Small) => length,
            Got::Open if at_small_end => length,
            Got::Given(GaugePlane::Big) | Got::Open => Length::from_si(0.0),
            Got::Faulty => Length::from_si(f64::NAN),
        },
        diameter,
        size_tolerance: table.band("size_tolerance", "\"+-0.002 in\"").given(),
        waves_allowed: table.quantity("waves_allowed", Limits::POSITIVE).given(),
        material: String::new(),
        modulus: Pressure::from_si(STEEL_MODULUS),
        holding,
        from_jaws,
        beyond,
        between_centres: match (between, holding) {
            (Got::Given(between), _) => Some(as_measured(between)),
            (Got::Open, Holding::Centres) if kind == Kind::Outside => {
                let told = ["work.from_jaws", "work.beyond"];
                Some(defaults::between_centres(
                    from_jaws.si() + length.si() + beyond.si(),
                    told.iter().all(|path| table.reading.has(path)),
                ))
            }
            _ => None,
        },
        steady: rest,
        outside_diameter,
        start: start(&table, passes),
        run_out: table.number_or(&rows::RUN_OUT, run_out),
        ovality: table.number_or(&rows::OVALITY, ovality),
        lobing: table.number_or(&rows::LOBING, lobing),
        slots: slots(table.table("slots"), diameter),
        relief: groove,
        room_headstock: table.quantity_or(
            "room_headstock",
            DISTANCE,
            blind(End::Headstock, from_jaws),
        ),
        room_tailstock: table.quantity_or("room_tailstock", DISTANCE, blind(End::Tailstock, free)),
    };
    steady::check(&table, &work);
    let named = table.required_text("material", "\"1018\"");
    let material = Material::named(&named);
    table.finish();
    Read {
        work: Work {
            modulus: material.map_or(work.modulus, Material::modulus),
            material: material.map_or(named, |row| row.name.to_owned()),
            ..work
        },
        material,
        surface,
        thread: standard.and_then(|standard| standard.thread),
    }
}

/// The taper, by its numbers or by the name of a standard one.
fn taper(table: &Section<'_>, standard: Option<&StandardTaper>) -> Taper {
    match standard {
        Some(standard) => {
            table.want("taper", Want::Number(Dimension::Taper));
            standard.taper
        }
        None => table.required::<Taper>("taper", Limits::POSITIVE, "\"1-1/2 in/ft\""),
    }
}

/// A length between centres that was given without a spread was measured with a rule.
fn as_measured(between: Known<Length>) -> Known<Length> {
    if between.low < between.high {
        return between;
    }
    Known {
        origin: between.origin,
        ..defaults::between_centres(between.si(), true)
    }
}

/// Slots along the work, if it has any: together they leave half of the circumference at least.
fn slots(table: Section<'_>, diameter: Length) -> Option<Slots> {
    if !table.is_there() {
        return None;
    }
    let count = table
        .count(
            "count",
            "1",
            1..=12,
            "a number of slots is wanted",
            "write a whole number from 1 to 12",
        )
        .given()
        .unwrap_or(1);
    let width = table.required::<Length>("width", LENGTH, "\"1/4 in\"");
    let half = 0.5 * std::f64::consts::PI * diameter.si();
    if f64::from(count) * width.si() > half {
        table.reading.error(
            table.reading.place("work.slots.width"),
            "slots this wide leave less than half of the circumference",
            "too wide",
            "give the width of one slot, across the axis",
        );
    }
    table.finish();
    Some(Slots { count, width })
}

/// A tolerance that nobody knows is taken as 0.010 in/ft either way [guess], and said so.
fn tolerance(table: &Section<'_>) -> Band<Taper> {
    let example = "\"+0.000 -0.030 in/ft\"";
    match table.band::<Taper>("tolerance", example) {
        Got::Given(band) => band,
        Got::Faulty => Band {
            lower: Taper::from_si(f64::NAN),
            upper: Taper::from_si(f64::NAN),
        },
        Got::Open => {
            let half = Taper::from_si(0.010 * INCH_PER_FOOT);
            if table.is_there() {
                table.reading.report(
                    Severity::Warning,
                    table.reading.place("work.tolerance"),
                    "the tolerance on the taper is not known",
                    format!("taken as +-{}", half.show(table.reading.units.get())),
                    format!("take it from the drawing, with its signs: tolerance = {example}"),
                );
            }
            Band {
                lower: Taper::from_si(-half.si()),
                upper: half,
            }
        }
    }
}

/// The start surface. Not known, it is taken as roughed with half as much again as the finishing
/// passes take, 0.020 in per side at least [guess].
fn start(table: &Section<'_>, passes: &Passes) -> StartSurface {
    let faulty = StartSurface::Roughed {
        stock: Length::from_si(f64::NAN),
    };
    let start = table.table("start");
    let straight = start.quantity::<Length>("straight", LENGTH);
    let roughed = start.quantity::<Length>("roughed", Limits::POSITIVE);
    let tapered = tapered(&start);
    let there = start.is_there();
    let at = table.reading.place("work.start");
    start.finish();
    match (straight, roughed, tapered) {
        (Got::Given(diameter), Got::Open, Got::Open) => StartSurface::Straight { diameter },
        (Got::Open, Got::Given(stock), Got::Open) => StartSurface::Roughed { stock },
        (Got::Open, Got::Open, Got::Given(tapered)) => tapered,
        (Got::Open, Got::Open, Got::Open) if !there => {
            let finish: f64 = passes.finish.iter().map(|pass| pass.si()).sum();
            StartSurface::Roughed {
                stock: Length::from_si(max(0.020 * INCH, 1.5 * finish)),
            }
        }
        (Got::Faulty, ..) | (_, Got::Faulty, _) | (.., Got::Faulty) => faulty,
        _ => {
            table.reading.error(
                at,
                "`work.start` should say one thing",
                "either straight or roughed, or the taper that is there",
                "write { straight = \"1.750 in\" } for a plain bore or bar of that diameter, or \
                 { roughed = \"0.020 in\" } for stock per side left on the taper, or { taper = \
                 \"0.6 in/ft\", diameter = \"2.05 in\" } for another taper, diameter at the gauge \
                 plane",
            );
            faulty
        }
    }
}

/// A taper that is there already, by its numbers or by the name of a standard one.
fn tapered(start: &Section<'_>) -> Got<StartSurface> {
    let diameter = start.quantity::<Length>("diameter", LENGTH);
    let taper = match standard::named(start) {
        Some(standard) => Got::Given(standard.taper),
        None => start.quantity::<Taper>("taper", Limits::POSITIVE),
    };
    match (taper, diameter) {
        (Got::Given(taper), Got::Given(diameter)) => {
            Got::Given(StartSurface::Tapered { taper, diameter })
        }
        (Got::Open, Got::Open) => Got::Open,
        (Got::Given(_), Got::Open) => {
            start.missing("diameter", "\"2.05 in\"");
            Got::Faulty
        }
        (Got::Open, Got::Given(_)) => {
            start.missing("taper", "\"0.6 in/ft\"");
            Got::Faulty
        }
        _ => Got::Faulty,
    }
}

/// Reads `[cutting]`: what the person knows better than the table of materials.
pub(super) fn read_cutting(
    table: Section<'_>,
    work: &Work,
    material: Option<&'static Material>,
    edge: Option<Edge>,
    surface: Surface,
) -> CuttingData {
    let row = material.unwrap_or(&MATERIALS[0]);
    let force = table.number_given(&cutting::SPECIFIC_FORCE);
    let exponent = table.quantity::<Ratio>("exponent", Limits::SHARE);
    let law_known = matches!((&force, &exponent), (Got::Given(_), Got::Given(_)));
    if material.is_none() && !law_known && !work.material.is_empty() {
        let names: Vec<_> = MATERIALS.iter().map(|row| row.name).collect();
        let near = nearest(
            &work.material.to_lowercase(),
            MATERIALS
                .iter()
                .flat_map(|row| std::iter::once(row.name).chain(row.also.iter().copied())),
        );
        table.reading.error(
            table.reading.place("work.material"),
            format!("\"{}\" is not in the table of materials", work.material),
            "unknown material",
            format!(
                "{}choose one of {}; or give specific_force and exponent in [cutting]",
                near.map(|near| format!("did you mean \"{near}\"? Or "))
                    .unwrap_or_default(),
                names.join(", ")
            ),
        );
    }
    let mut edge_force = defaults::edge_force(edge);
    for value in [
        &mut edge_force.low,
        &mut edge_force.middle,
        &mut edge_force.high,
    ] {
        *value = Quantity::from_si(value.si() * row.edge_share);
    }
    let unevenness = defaults::uneven_surface(surface).unwrap_or(row.unevenness());
    let data = CuttingData {
        specific_force: force.given().unwrap_or(row.specific_force()),
        exponent: exponent.given().map_or(row.exponent, Ratio::si),
        push_ratio: table.number_or(&cutting::PUSH_RATIO, defaults::push_ratio(edge)),
        edge_force: table.number_or(&cutting::EDGE_FORCE, edge_force),
        unevenness: table.number_or(&cutting::UNEVENNESS, unevenness),
        patch: table.number_or(&cutting::PATCH, cutting::PATCH.always()),
    };
    table.finish();
    data
}
