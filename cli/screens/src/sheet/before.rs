//! Sections one to eight: all that comes before the first cut.

use tautway_sim::expect::Expect;
use tautway_sim::quantity::{Angle, Force, INCH, Quantity, Units, show};
use tautway_sim::record::Seat;
use tautway_sim::scenario::{Band, End, Holding, Kind, Toward};
use tautway_sim::setup::Rotation;
use tautway_sim::sheet::{DrawingAsks, Rest, Sheet, TouchOff};
use tautway_sim::verdict::{NOT_SEEN, Verdict};

use super::figures::{
    caution, cautions_of, end, exact, figures, margin, opposite, size, the_way, toward, unit,
};
use super::page::{self, Place, boxes, check, figure, loud, say};
use crate::screen::expect as expectation;
use crate::screen::finish;
use crate::screen::words::{self, Tapers};
use tautway_words::{BLANK, Block, Figure, strong};

/// The taper, its ends, gauge plane and tolerance.
pub fn taper(d: &DrawingAsks, units: Units) -> Vec<Block> {
    let tapers = Tapers::within(&d.tolerance, units);
    let shape = match d.kind {
        Kind::Inside => "bore",
        Kind::Outside => "outside",
    };
    let limits = d.size_tolerance.as_ref().map_or_else(
        || "no tolerance given".to_owned(),
        |band| size_band(band, units),
    );
    let big_end = words::end(d.big_end);
    let mut of = vec![
        figure(
            format!("taper on diameter, {shape}"),
            tapers.nominal(d.taper),
            tapers.band(&d.tolerance),
        ),
        figure("aim", tapers.show(d.aim.si()), "middle of tolerance"),
    ];
    let small = size(d.small.si(), units);
    let at = d.gauge_plane.si();
    let (at_big, at_small) = (at == 0.0, (at - d.length.si()).abs() < 1e-9);
    // A gauge plane at an end is not told twice.
    of.push(if at_big {
        figure(
            "big end = gauge plane",
            size(d.big.si(), units),
            format!("toward the {big_end}; {limits}"),
        )
    } else {
        figure(
            "big end",
            size(d.big.si(), units),
            format!("toward the {big_end}"),
        )
    });
    of.push(if at_small {
        figure("small end = gauge plane", small, limits.clone())
    } else {
        figure("small end", small, "")
    });
    of.push(figure("length", size(d.length.si(), units), ""));
    if !at_big && !at_small {
        of.push(figure(
            "gauge plane",
            size(d.diameter.si(), units),
            format!("{} from big end; {limits}", size(at, units)),
        ));
    }
    vec![page::figures(of)]
}

fn size_band(band: &Band<tautway_sim::quantity::Length>, units: Units) -> String {
    let signed = |m: f64| {
        let sign = if m < 0.0 { '-' } else { '+' };
        format!("{sign}{}", figures(m.abs(), units))
    };
    format!(
        "{} {} {}",
        signed(band.upper.si()),
        signed(band.lower.si()),
        unit(units)
    )
}

/// What can hurt most.
pub fn box_of_cautions(sheet: &Sheet) -> Vec<Block> {
    let of = |found| caution(found, &margin(sheet, found));
    sheet.in_the_box().iter().map(of).collect()
}

/// The way in one line, what it gives, and the drawing.
pub fn way(sheet: &Sheet, units: Units, svg: String) -> Vec<Block> {
    let e = &sheet.expected;
    let within = |half: Option<f64>, show: &dyn Fn(f64) -> String| {
        half.map_or(String::new(), |half| format!(" +- {}", show(half)))
    };
    let tapers = Tapers::within(&sheet.drawing.tolerance, units);
    // The unit once, behind the range.
    let taper = e.taper_within.map_or_else(
        || tapers.show(e.taper),
        |half| format!("{} +- {}", tapers.bare(e.taper), tapers.difference(half)),
    );
    let taper = format!("{taper} on diameter");
    let left = match e.size_error {
        off if off.abs() < 0.0001 * INCH => "size as set".to_owned(),
        off if off < 0.0 => format!("leaves {} per side", words::height(off, units)),
        off => format!("goes {} too deep per side", words::height(off, units)),
    };
    let left = format!(
        "{left}{}",
        within(e.size_within, &|half| words::height(half, units))
    );
    let held = match (e.seat, e.may_float) {
        (Seat::Floating, _) => "The slide floats in its slack.",
        (Seat::First, false) => "The slide stays hard against the guide.",
        (Seat::Other, false) => "The slide rides on the back of the slack.",
        (_, true) => "Within what is not known the slide may come to float: prove it by gauging.",
    };
    let waves = if e.waves <= NOT_SEEN {
        "no waves you would see".to_owned()
    } else {
        format!("waves {}", words::height(e.waves, units))
    };
    let mut items = vec![
        loud(format!("{}.", the_way(sheet))),
        say(match &sheet.expect {
            Some(expect) => format!("{} {held}", promise(expect, sheet)),
            None => format!("Expect {taper}; {left}; {waves}. {held}"),
        }),
    ];
    if let Some(out) = e.verdict.and_then(|verdict| out_of_drawing(&verdict)) {
        items.push(loud(format!("Not expected to meet the drawing: {out}.")));
    }
    items.push(Block::Figure(Figure { svg }));
    items
}

/// Whether it is in reach, in the words of the first screen.
fn promise(expect: &Expect, sheet: &Sheet) -> String {
    let drawing = &sheet.drawing;
    let finish = drawing.waves_allowed.is_some();
    let told = expectation::chances(expect, drawing.kind, finish, sheet.units);
    format!("{} {told}", strong(expectation::verdict(expect.verdict)))
}

/// What the drawing asks that isn't expected to be met.
fn out_of_drawing(verdict: &Verdict) -> Option<String> {
    let missed: Vec<&str> = [
        (!verdict.taper, "taper out"),
        (verdict.size == Some(false), "size out"),
        (verdict.waves == Some(false), "too wavy"),
    ]
    .into_iter()
    .filter_map(|(missed, words)| missed.then_some(words))
    .collect();
    (!missed.is_empty()).then(|| missed.join(", "))
}

/// What the lathe must be ready for.
pub fn lathe(sheet: &Sheet) -> Vec<Block> {
    let c = &sheet.lathe_check;
    let top_slide = if c.on_cross_dial {
        "Top slide locked; depth goes on the cross dial."
    } else {
        "Cross-feed nut disconnected, shoe bolted to the slide. Depth goes on the top slide, in line with the \
         cross-slide; lock it after each setting."
    };
    let held = match c.holding {
        Holding::Chuck => "Work gripped long.",
        Holding::ChuckAndCentre => "Centre oiled, not too hard.",
        Holding::Centres => "Dog free in its slot, tail guarded.",
    };
    let mut items: Vec<Block> = cautions_of(sheet, Place::Lathe).collect();
    items.push(check(format!(
        "Shoe and slide gibs snug, guide oiled. {held}"
    )));
    items.extend(
        [
            top_slide.to_owned(),
            format!(
                "Foot clamped at carriage {BLANK}, {} with the shoe locked.",
                strong("never")
            ),
        ]
        .map(check),
    );
    items.extend(
        c.rest
            .map(|rest| steady_rest(&rest, &sheet.drawing, sheet.units)),
    );
    if sheet.setup.rotation == Rotation::Reverse {
        items.push(check("Spindle set to reverse, chuck locked.".to_owned()));
    }
    items
}

/// The steady rest: where, set how, and what it is worth.
pub fn steady_rest(rest: &Rest, drawing: &DrawingAsks, units: Units) -> Block {
    // As the shop sets it: a thou, or 0.02 mm.
    let step = match units {
        Units::Inch => 0.001 * INCH,
        Units::Metric => 0.02e-3,
    };
    let taper = Tapers::within(&drawing.tolerance, units).show(rest.taper_per_off * step);
    check(format!(
        "Steady rest on a true band {} from the jaws, pads set by indicator, oiled, locked: {} \
         {} off the line is {taper}. It takes {} of the work's spring.",
        size(rest.at, units),
        figures(step, units),
        unit(units),
        finish::share_of_spring(rest.takes),
    ))
}

/// A reading rounded to what the readout shows.
fn shown(reading: f64, step: f64, units: Units) -> String {
    let rounded = if step > 0.0 {
        (reading / step - 1e-6).round() * step
    } else {
        reading
    };
    figures(rounded, units)
}

/// The guide: aim, allowed band, and which way to nudge.
pub fn guide(sheet: &Sheet, units: Units) -> Vec<Block> {
    let g = &sheet.guide;
    let half = sheet.drawing.aim.half_angle();
    let (travel, unit) = (size(g.travel, units), unit(units));
    let (low, high) = g.limits;
    let allowed = match g.proves {
        Some((proved_low, proved_high)) => figure(
            format!("good, allowing for steps of {}", figures(g.step, units)),
            format!(
                "{} to {}",
                figures(proved_low, units),
                figures(proved_high, units)
            ),
            format!(
                "per side {} to {}",
                figures(proved_low / 2.0, units),
                figures(proved_high / 2.0, units)
            ),
        ),
        None => figure(
            "your indicator can't prove this",
            format!("{} to {}", figures(low, units), figures(high, units)),
            "a finer one or a longer run",
        ),
    };
    let nudge = &g.nudge;
    let one = match units {
        Units::Inch => "One thou",
        Units::Metric => "0.01 mm",
    };
    vec![
        say(format!(
            "Scale {BLANK} ({} per side, {} included). Feed {} till the slide moves, zero both, \
             go {}.",
            Angle::from_si(half).show(units),
            Angle::from_si(2.0 * half).show(units),
            words::toward(sheet.setup.feed),
            strong(&travel)
        )),
        page::figures(vec![
            figure(
                "aim, on diameter",
                format!("{} {unit}", exact(g.aim, units)),
                format!("nearest step {}", shown(g.aim, g.step, units)),
            ),
            allowed,
        ]),
        boxes(["Read 1", "2", "3"]),
        say(format!(
            "{one} on diameter = {} at the guide's tailstock end. Reads too large: that end {}; \
             too small: {}.",
            strong(&small(nudge.at_end, units)),
            strong(toward(nudge.too_large)),
            strong(toward(opposite(nudge.too_large)))
        )),
    ]
}

/// Thou to one digit, or hundredths.
fn small(m: f64, units: Units) -> String {
    show::dial(tautway_sim::quantity::Length::from_si(m), units)
}

/// The tool and its room.
pub fn tool(sheet: &Sheet, units: Units) -> Vec<Block> {
    let t = &sheet.tool;
    let mut items: Vec<Block> = cautions_of(sheet, Place::Tool).collect();
    let mut parts = vec![format!(
        "On centre within {}. Nose {}.",
        size(t.height_within, units),
        size(t.nose_radius.si(), units)
    )];
    if let Some(bar) = &t.bar {
        parts.push(format!(
            "Bar {}, out at most {}.",
            size(bar.diameter.si(), units),
            strong(&size(bar.stick_out.si(), units))
        ));
    }
    if let Some(needed) = &t.needed {
        parts.push(format!(
            "{}.",
            words::capital(&words::tool(needed, sheet.setup.kind))
        ));
    }
    if t.thread {
        parts.push("Square to the spindle's axis, not to the cone.".to_owned());
    }
    items.push(check(parts.join(" ")));
    items
}

fn hand(toward: Toward) -> &'static str {
    match toward {
        Toward::Operator => "pull it toward you",
        Toward::Away => "push it away from you",
    }
}

/// Where each pass starts, or how the slide is seated by hand.
pub fn run_in(sheet: &Sheet, units: Units) -> Vec<Block> {
    let r = &sheet.run_in;
    let mut items: Vec<Block> = cautions_of(sheet, Place::RunIn).collect();
    let at = end(r.at_big_end);
    let lost = words::about(r.lost, units);
    if r.by_hand {
        let room = words::about(r.room, units);
        items.push(loud(format!(
            "No room to run in: seat the slide by hand, every pass: {}.",
            hand(r.hand_toward)
        )));
        items.push(say(format!(
            "{lost} of travel are lost and there are {room} past the {at}. Spindle stopped, tool \
             clear of the work, from your side: {} until it stops, let go \
             gently; its drag keeps it there. Unseated, the first {} stay straight.",
            hand(r.hand_toward),
            words::about(r.straight_left, units)
        )));
    } else {
        let more = if r.wanted > r.room {
            format!(
                "All the room there is; {} would be better.",
                words::about(r.wanted, units)
            )
        } else {
            format!("{lost} are lost on reversal.")
        };
        items.push(loud(format!(
            "Start {} past the {at}. Z {BLANK}",
            start(sheet, units)
        )));
        items.push(say(format!("{more} Also after stopping part way.")));
    }
    if let Some(relief) = &r.relief {
        let starts = match relief.at == r.starts_at {
            true => "the tool starts in it, every pass",
            false => "the tool comes out in it",
        };
        items.push(check(format!(
            "First the relief at the {} end: {} wide, {} deeper per side than the taper there, edge \
             broken; {starts}. Dial noted before the tool leaves it.",
            words::end(relief.at),
            size(relief.width.si(), units),
            size(relief.depth.si(), units)
        )));
    }
    // A thread's own caution asks for the mark at its end.
    if let Some(room) = r.stop.filter(|_| sheet.thread.is_none()) {
        items.push(check(format!(
            "Carriage stop or feed trip at Z {BLANK}: {} past the {} to jaws, shoulder or bottom.",
            words::about(room, units),
            end(!r.at_big_end)
        )));
    }
    items
}

/// How far past the end to start; all the room there is where it is short.
pub fn start(sheet: &Sheet, units: Units) -> String {
    let r = &sheet.run_in;
    if r.wanted > r.room {
        words::about(r.start, units)
    } else {
        let start = tautway_sim::quantity::Length::from_si(r.start);
        format!("at least {}", show::carriage_travel(start, units))
    }
}

/// Where the dial is set to zero, and how far to withdraw.
pub fn touch_off(sheet: &Sheet, units: Units) -> Vec<Block> {
    let cross = sheet.lathe_check.on_cross_dial;
    touched(
        "After the run-in, not backing up",
        &sheet.touch_off,
        sheet.drawing.kind,
        cross,
        units,
    )
}

/// The same for any way; `cross`: on the cross dial.
pub fn touched(when: &str, t: &TouchOff, kind: Kind, cross: bool, units: Units) -> Vec<Block> {
    let place = match t.end {
        Some(place) => {
            let side = match place {
                End::Headstock => "headstock",
                End::Tailstock => "tailstock",
            };
            format!("at the {} ({side} side), met first", end(t.at_big_end))
        }
        None => "at the gauge plane".to_owned(),
    };
    let (dial, how) = if cross {
        ("cross dial", "come back past it")
    } else {
        ("top slide's dial", "taken up inward")
    };
    let into = match kind {
        Kind::Inside => "outward",
        Kind::Outside => "inward",
    };
    vec![
        say(format!(
            "{when}, {place}. Z {BLANK} Touch going {into}; {dial} to {}.",
            strong("zero")
        )),
        page::figures(vec![
            figure(
                "from there to size, per side",
                format!("{} {}", figures(t.stock, units), unit(units)),
                format!("on diameter {}", figures(2.0 * t.stock, units)),
            ),
            figure(
                "withdraw at least",
                size(t.withdraw, units),
                format!("slack {}: {how}", size(t.slack, units)),
            ),
        ]),
    ]
}

/// A force in the person's units.
pub fn force(n: f64, units: Units) -> String {
    Force::from_si(n).show(units)
}
