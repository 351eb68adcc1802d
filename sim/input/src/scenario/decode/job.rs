//! The job file: tool, passes, preload and thread, and the whole.

use toml::de::DeValue;

use super::section::{Got, Section, Words};
use super::sense;
use super::wordings::UNITS;
use super::{thread, work};
use crate::arithmetic::min;
use crate::quantity::{Angle, Dimension, Fault, Force, INCH, Length, Quantity, Speed, Units};
use crate::scenario::defaults::{self, Edge, ToolMaterial, TouchOff};
use crate::scenario::limits::Limits;
use crate::scenario::material::{MATERIALS, Material};
use crate::scenario::numbers::{passes as hand, preload as hold, tool as rows};
use crate::scenario::want::Want;
use crate::scenario::{
    Bar, ByHand, Gauge, GaugeKind, HandDraws, Job, Kind, Passes, Preload, PreloadSource, Severity,
    Tool, Toward, Work,
};

/// What a shape of tool tells: entering angle, included angle of the point where it is the same on
/// all such tools, degrees, and what the tool is made of.
#[derive(Clone, Copy)]
struct Shape {
    entering: f64,
    included: Option<f64>,
    material: Option<ToolMaterial>,
}

const fn insert(entering: f64, included: f64) -> Shape {
    Shape {
        entering,
        included: Some(included),
        material: None,
    }
}

/// Insert shapes with the entering angle of their usual holders, degrees [mem]; letters and the
/// included angles as in ISO 1832. A ground tool and the nose of a round one are [guess].
const SHAPE: &Words<Shape> = &[
    (&["80 degree diamond", "C"], insert(95.0, 80.0)),
    (&["55 degree diamond", "D"], insert(93.0, 55.0)),
    (&["35 degree diamond", "V"], insert(93.0, 35.0)),
    (&["triangle", "T"], insert(91.0, 60.0)),
    (&["trigon", "W"], insert(95.0, 80.0)),
    (&["square", "S"], insert(75.0, 90.0)),
    (
        &["round", "R"],
        Shape {
            entering: 90.0,
            included: None,
            material: None,
        },
    ),
    (
        &["hss", "ground tool", "high speed steel"],
        Shape {
            entering: 80.0,
            included: None,
            material: Some(ToolMaterial::HighSpeedSteel),
        },
    ),
    (&["60 degree threading", "threading"], insert(60.0, 60.0)),
];

const EDGE: &Words<Edge> = &[
    (&["fresh", "new", "sharp"], Edge::Fresh),
    (&["used"], Edge::Used),
    (&["dull", "worn"], Edge::Dull),
];

const TOOL_MATERIAL: &Words<ToolMaterial> = &[
    (&["carbide"], ToolMaterial::Carbide),
    (&["hss", "high speed steel"], ToolMaterial::HighSpeedSteel),
];

const TOUCH_OFF: &Words<TouchOff> = &[
    (&["paper"], TouchOff::Paper),
    (&["feel", "first chip"], TouchOff::Feel),
    (&["blue"], TouchOff::Blue),
    (&["indicator"], TouchOff::Indicator),
];

const GAUGE: &Words<Option<GaugeKind>> = &[
    (&["micrometer", "mike"], Some(GaugeKind::Micrometer)),
    (&["bore gauge"], Some(GaugeKind::BoreGauge)),
    (&["telescoping gauge"], Some(GaugeKind::TelescopingGauge)),
    (&["caliper"], Some(GaugeKind::Caliper)),
    (
        &["plug", "ring", "plug or ring"],
        Some(GaugeKind::PlugOrRing),
    ),
    (&["none"], None),
];

const BAR_MATERIAL: &Words<bool> = &[(&["steel"], false), (&["carbide"], true)];

pub(crate) const TOWARD: &Words<Toward> = &[
    (
        &["toward the operator", "the operator", "operator"],
        Toward::Operator,
    ),
    (&["away from the operator", "away"], Toward::Away),
];

const DEPTH: Limits = Limits::POSITIVE;
const FEED: Limits = Limits::POSITIVE;

/// Reads a whole job. Faults are reported in the text; what comes back then is not for use.
pub(super) fn read(top: Section<'_>, lathe_units: Units) -> Job {
    let units = top.word("units", UNITS).given().unwrap_or(lathe_units);
    top.reading.units.set(units);
    let name = top.required_text("name", "\"bearing cone\"");
    top.required_text("lathe", "\"lathe.toml\"");
    let note = top.text("note").given();
    let work_table = top.required_table("work", "[work]");
    let tool_table = top.table("tool");
    let passes_table = top.table("passes");

    let (passes, by_hand, speed) = passes(passes_table);
    let work::Read {
        work,
        material,
        surface,
        thread: named,
    } = work::read(work_table, &passes);
    let (tool, edge, tool_material) = tool(tool_table, &work);
    let cutting = work::read_cutting(top.table("cutting"), &work, material, edge, surface);
    let preload = preload(top.table("preload"));
    let thread = thread::read(top.table("thread"), &work, named);
    let gauge = gauge(top.table("gauge"), work.kind);
    let (pieces, replaceable) = pieces(top.table("pieces"));
    sense::meant(&top);
    top.finish();
    let row = material.unwrap_or(&MATERIALS[0]);
    Job {
        name,
        note,
        units,
        work,
        cutting,
        tool,
        passes: Passes {
            speed: speed.unwrap_or(start_speed(row, tool_material)),
            speed_assumed: speed.is_none(),
            ..passes
        },
        by_hand,
        gauge,
        pieces,
        replaceable,
        preload,
        thread,
    }
}

/// Reads `[gauge]`: without it, what most shops would reach for.
fn gauge(table: Section<'_>, kind: Kind) -> Gauge {
    let usual = match kind {
        Kind::Inside => GaugeKind::BoreGauge,
        Kind::Outside => GaugeKind::Micrometer,
    };
    let kind = table.word("kind", GAUGE).given().unwrap_or(Some(usual));
    let within = table.quantity_or(
        "within",
        Limits::POSITIVE,
        defaults::gauge_within(kind.unwrap_or(usual)),
    );
    table.finish();
    Gauge { kind, within }
}

/// Reads `[pieces]`: how many, and whether one that is spoilt can be made again.
fn pieces(table: Section<'_>) -> (u64, bool) {
    let count = table.count(
        "count",
        "1",
        1..=100_000,
        "this is not a number of pieces from 1 to 100,000",
        "write how many are to be made, such as 1",
    );
    let count = count.given().map_or(1, u64::from);
    let replaceable = table.flag("replaceable", true);
    table.finish();
    (count, replaceable)
}

fn start_speed(material: &Material, tool: ToolMaterial) -> Speed {
    Speed::Surface(material.speed(tool))
}

fn tool(table: Section<'_>, work: &Work) -> (Tool, Option<Edge>, ToolMaterial) {
    let told = table.word("shape", SHAPE).given();
    let shape = told.unwrap_or(SHAPE[0].1);
    let material = table
        .word("material", TOOL_MATERIAL)
        .given()
        .or(shape.material)
        .unwrap_or(ToolMaterial::Carbide);
    let edge = table.word("edge", EDGE).given();
    let tool = Tool {
        nose_radius: table.quantity_or(
            "nose_radius",
            Limits::POSITIVE,
            Length::from_si(INCH / 32.0),
        ),
        entering_angle: table.quantity_or(
            "entering_angle",
            Limits::ENTERING,
            Angle::from_si(shape.entering.to_radians()),
        ),
        included_angle: table
            .quantity("included_angle", Limits::ENTERING)
            .given()
            .or(told
                .and_then(|shape| shape.included)
                .map(|degrees| Angle::from_si(degrees.to_radians()))),
        edge_radius: table.number_or(&rows::EDGE_RADIUS, defaults::edge_radius(edge, material)),
        height: table.number_or(&rows::HEIGHT, rows::HEIGHT.always()),
        swing_left: table.number_or(&rows::SWING_LEFT, rows::SWING_LEFT.always()),
        bar: bar(&table, work),
    };
    if tool.bar.is_none() && work.kind == Kind::Inside && !table.is_faulty_at("bar") {
        table.reading.absence(
            "tool.bar".to_owned(),
            table.reading.place("tool.bar"),
            "boring needs a bar: `tool.bar` is missing",
            "no bar here",
            "a bar is the softest link of a bore; add to [tool] a line like this: \
             bar = { diameter = \"1 in\", stick_out = \"6 in\" }",
        );
    }
    table.finish();
    (tool, edge, material)
}

/// A bar that nobody measured is taken as six tenths of the least bore, long enough to reach
/// through it with an inch and a half of run-in where there is room [guess], and said so.
fn bar(table: &Section<'_>, work: &Work) -> Option<Bar> {
    let bar = table.table("bar");
    let assume = bar.is_left_open() && work.kind == Kind::Inside;
    if !bar.is_there() && !assume {
        return None;
    }
    let (_, small) = work.end_diameters();
    let read = Bar {
        diameter: bar_size(&bar, "diameter", 0.6 * small.si()),
        stick_out: bar_size(
            &bar,
            "stick_out",
            work.length.si() + work.beyond.si() + min(work.room_headstock.si(), 1.5 * INCH),
        ),
        edge_out: bar.quantity("edge_out", Limits::POSITIVE).given(),
        carbide: bar.word("material", BAR_MATERIAL).given().unwrap_or(false),
        holder_factor: bar.number_or(&rows::HOLDER_FACTOR, rows::HOLDER_FACTOR.always()),
    };
    bar.finish();
    Some(read)
}

fn bar_size(bar: &Section<'_>, key: &'static str, default: f64) -> Length {
    match bar.quantity(key, Limits::POSITIVE) {
        Got::Given(size) => return size,
        Got::Faulty => return Length::from_si(f64::NAN),
        Got::Open => {}
    }
    let size = Length::from_si(default);
    if default.is_finite() {
        let path = bar.key_path(key);
        bar.reading.report(
            Severity::Warning,
            bar.reading.place(&path),
            format!("`{path}` is not known"),
            format!("taken as {}", size.show(bar.reading.units.get())),
            "measure it: a boring bar is the softest link of a bore",
        );
    }
    size
}

/// Reads `[passes]`. The speed is apart: its default goes by material and tool.
fn passes(table: Section<'_>) -> (Passes, ByHand, Option<Speed>) {
    let inch = |value: f64| Length::from_si(value * INCH);
    let speed = table.read("speed", "\"300 sfm\"", |text| {
        let speed = Speed::parse(text)?;
        let (Speed::Turns(value) | Speed::Surface(value)) = speed;
        if value.is_finite() && value > 0.0 {
            return Ok(speed);
        }
        Err(Fault {
            at: 0..text.len(),
            message: "the spindle has to turn".to_owned(),
            hint: "write a speed above zero: \"600 rpm\" or \"300 sfm\"".to_owned(),
        })
    });
    let speed = match speed {
        Got::Given(said) => {
            let path = table.key_path("speed");
            let at = table.reading.place(&path);
            match table.reading.hold_speed(&path, &at, said) {
                true => Got::Given(said),
                false => Got::Faulty,
            }
        }
        other => other,
    };
    let passes = Passes {
        rough: table.quantity_or("rough", DEPTH, inch(0.040)),
        rough_feed: table.quantity_or("rough_feed", FEED, inch(0.008)),
        finish: finish(&table),
        feed: table.quantity_or("feed", FEED, inch(0.004)),
        spring: table
            .count(
                "spring",
                "1",
                0..=20,
                "a number of passes is wanted",
                "write a whole number from 0 to 20",
            )
            .given()
            .unwrap_or(0),
        speed: Speed::Turns(f64::NAN),
        speed_assumed: true,
    };
    let how = table.word("touch_off", TOUCH_OFF).given();
    let by_hand = ByHand {
        touch_off: table.number_or(
            &hand::TOUCH_OFF_WITHIN,
            defaults::touch_off(how.unwrap_or(TouchOff::Paper)),
        ),
        dial: table.number_or(&hand::DIAL_WITHIN, hand::DIAL_WITHIN.always()),
        chance: HandDraws::default(),
    };
    table.finish();
    (passes, by_hand, speed.given())
}

fn finish(table: &Section<'_>) -> Vec<Length> {
    table.want("finish", Want::Number(Dimension::Length));
    table.want("finish", Want::List(Dimension::Length));
    let default = || [0.010, 0.005].map(|v| Length::from_si(v * INCH)).to_vec();
    let Some((value, at)) = table.find("finish") else {
        return default();
    };
    let faulty = vec![Length::from_si(f64::NAN)];
    let DeValue::Array(list) = value else {
        return match table.quantity_in("finish", value, at, DEPTH) {
            Got::Given(depth) => vec![depth],
            Got::Open => default(),
            Got::Faulty => faulty,
        };
    };
    if list.is_empty() {
        table.reading.error(
            at,
            "`passes.finish` is empty",
            "one finishing pass at least",
            "list the last passes in order: finish = [\"0.010 in\", \"0.005 in\"]",
        );
        return faulty;
    }
    list.iter()
        .map(|depth| {
            match table.quantity_in("finish", depth.get_ref(), depth.span(), DEPTH) {
                Got::Given(depth) => depth,
                // One that is not known in the list is the last default.
                Got::Open => Length::from_si(0.005 * INCH),
                Got::Faulty => faulty[0],
            }
        })
        .collect()
}

fn preload(table: Section<'_>) -> Option<Preload> {
    if !table.is_there() {
        return None;
    }
    let toward = table.required_word("toward", TOWARD, "\"toward the operator\"");
    let weight = table.measured::<Force>("weight", hold::FORCE_LIMITS);
    let constant = table.number_given(&hold::CONSTANT);
    let spring = table.number_given(&hold::SPRING);
    let rate = table.number_given(&hold::RATE);
    let cylinder = table.table("cylinder");
    if !matches!(rate, Got::Open) && matches!(spring, Got::Open) {
        table.reading.error(
            table.reading.place("preload.rate"),
            "`preload.rate` goes with a spring",
            "there is no spring here",
            "leave it out, or give the spring's force: spring = \"40 lbf\"",
        );
    }
    let given = [
        !matches!(weight, Got::Open),
        !matches!(constant, Got::Open),
        !matches!(spring, Got::Open),
        cylinder.is_there(),
    ];
    let at = table.reading.place("preload");
    let source = if given.iter().filter(|g| **g).count() != 1 {
        table.reading.error(
            at,
            "[preload] should say one source of its force",
            "one of weight, constant, spring or cylinder",
            "for example weight = \"40 lbf\"; spring = \"40 lbf\" with rate = \"5 lbf/in\"; or \
             cylinder = { bore = \"1-1/16 in\", pressure = \"60 psi\" }",
        );
        None
    } else if cylinder.is_there() {
        Some(PreloadSource::Cylinder {
            bore: cylinder.required("bore", Limits::POSITIVE, "\"1-1/16 in\""),
            rod: cylinder.quantity_or("rod", Limits::NOT_NEGATIVE, Length::from_si(0.0)),
            pressure: cylinder
                .number_given(&hold::PRESSURE)
                .given()
                .or_else(|| {
                    if !cylinder.is_faulty_at("pressure") {
                        cylinder.open("pressure", "\"60 psi\"");
                    }
                    None
                })
                .unwrap_or(crate::scenario::Known::assumed(
                    f64::NAN,
                    f64::NAN,
                    f64::NAN,
                )),
            seal_share: cylinder.number_or(&hold::SEAL_SHARE, hold::SEAL_SHARE.always()),
        })
    } else if let Got::Given(force) = spring {
        Some(PreloadSource::Spring {
            force,
            rate: match rate {
                Got::Given(rate) => rate,
                _ => hold::RATE.always(),
            },
        })
    } else {
        weight
            .given()
            .or(constant.given())
            .map(PreloadSource::Constant)
    };
    cylinder.finish();
    table.finish();
    Some(Preload {
        toward: toward?,
        source: source?,
    })
}
