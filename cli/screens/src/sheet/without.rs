//! The sheet of another way than one set-up of the attachment: top slide, tailstock or centre set
//! over, and the guide in two set-ups, both on one page.

use tautway_sim::caution::Caution;
use tautway_sim::expect::Expect;
use tautway_sim::method::tailstock::Offset;
use tautway_sim::method::top_slide::{SetBy, Swivel};
use tautway_sim::method::{Method, Setting, TwoSetUps};
use tautway_sim::quantity::{Angle, Quantity, THOU, Units};
use tautway_sim::scenario::{Holding, Kind};
use tautway_sim::sheet::{IN_THE_BOX, MethodSheet, Proof, Stage};
use tautway_sim::verdict::NOT_SEEN;

use super::before::steady_rest;
use super::figures::{caution, exact, figures, section_of, size, toward, unit};
use super::frame::{head, laid_out};
use super::page::{self, Place, boxes, check, figure, loud, say};
use super::{after, before};
use crate::screen;
use crate::screen::abrasive;
use crate::screen::expect as expectation;
use crate::screen::two_set_ups;
use crate::screen::words::{self, Tapers};
use tautway_words::{BLANK, Block, Document, strong};

/// The whole page.
pub fn page(sheet: &MethodSheet, taper: &str) -> Document {
    let units = sheet.units;
    let sections = [
        (Place::Taper, before::taper(&sheet.drawing, units)),
        (Place::Box, cautions(&sheet.way.cautions, None)),
        (Place::Way, way(sheet, taper, units)),
        (Place::Lathe, lathe(sheet)),
        (Place::SetOver, set_over(sheet, units)),
        (Place::Guide, guide(sheet, units)),
        (Place::Leave, leave(sheet, units)),
        (Place::Tool, tool(sheet, units)),
        (
            Place::TouchOff,
            if is_turned(sheet) {
                before::touched(
                    match two(sheet) {
                        Some(_) => "Slack taken up with the feed",
                        None => "Nut's slack taken up",
                    },
                    &sheet.touch_off,
                    sheet.drawing.kind,
                    on_cross_dial(sheet),
                    units,
                )
            } else {
                Vec::new()
            },
        ),
        (Place::Passes, passes(sheet, units)),
        (Place::SecondSetUp, second(sheet, units)),
        (Place::Gauge, gauge(sheet, units)),
        (Place::Signs, signs(sheet)),
        (Place::Afterwards, afterwards(sheet)),
    ];
    let mut foot = Document::new();
    after::note(&mut foot, sheet.version, sheet.seed);
    laid_out(
        head(
            [&sheet.job, &sheet.lathe, &sheet.drawing.material],
            sheet.note.as_deref(),
        ),
        sections,
        foot,
    )
}

/// The cautions of the box, or those of a section that are not in it.
fn cautions(all: &[Caution], section: Option<Place>) -> Vec<Block> {
    let (boxed, below) = all.split_at(all.len().min(IN_THE_BOX));
    match section {
        None => boxed.iter().map(|found| caution(found, "")).collect(),
        Some(section) => below
            .iter()
            .filter(|caution| section_of(caution) == section)
            .map(|found| caution(found, ""))
            .collect(),
    }
}

/// Two set-ups of the guide, where it is these.
fn two(sheet: &MethodSheet) -> Option<&TwoSetUps> {
    two_set_ups::of(&sheet.way)
}

/// Whether it is cut by a tool; a wheel or a lap is led by hand.
fn is_turned(sheet: &MethodSheet) -> bool {
    sheet.way.outcome.is_some()
}

/// What to leave for wheel or lap, and how they are led.
fn leave(sheet: &MethodSheet, units: Units) -> Vec<Block> {
    let told = match &sheet.way.setting {
        Some(Setting::Grinding(set)) => abrasive::to_grind(set, units),
        Some(Setting::Lapping(set)) => abrasive::to_lap(set, units),
        _ => return Vec::new(),
    };
    let mut items = cautions(&sheet.way.cautions, Some(Place::Passes));
    items.extend(cautions(&sheet.way.cautions, Some(Place::Tool)));
    items.push(say(
        "Turned first, by a sheet of its own, with this left on, its angle not touched since.",
    ));
    let lines = told.into_iter();
    items.extend(lines.map(|(label, text)| check(format!("{}: {text}", strong(label)))));
    items.push(boxes(["Left on", "Wheel rpm", "Took off"]));
    items
}

/// Whether depth is set on the cross dial.
fn on_cross_dial(sheet: &MethodSheet) -> bool {
    two(sheet).is_none_or(|set| set.on_cross_dial)
}

fn way(sheet: &MethodSheet, taper: &str, units: Units) -> Vec<Block> {
    let mut items = vec![loud(words::capital(&format!(
        "{}.",
        screen::set_in_words(&sheet.way, units)
    )))];
    let Some(outcome) = &sheet.way.outcome else {
        items.push(say("Not simulated: what comes of it, the gauge says."));
        return items;
    };
    if let Some(expect) = &sheet.way.expect {
        let drawing = &sheet.drawing;
        let finish = drawing.waves_allowed.is_some();
        let told = expectation::chances(expect, drawing.kind, finish, units);
        items.push(say(format!(
            "{} {told}",
            strong(expectation::verdict(expect.verdict))
        )));
    }
    items.push(say(format!(
        "{taper} Size: {}. Waves: {}.",
        words::size(&sheet.way.setup, outcome, units),
        if outcome.waves <= NOT_SEEN {
            "none you would see".to_owned()
        } else {
            words::height(outcome.waves, units)
        }
    )));
    if sheet.way.verdict.is_some_and(|verdict| !verdict.met()) {
        items.push(loud("Not expected to meet the drawing."));
    }
    items
}

fn lathe(sheet: &MethodSheet) -> Vec<Block> {
    let mut items = cautions(&sheet.way.cautions, Some(Place::Lathe));
    if sheet.attachment {
        items.push(check("Attachment let go; its shoe free of the guide."));
    }
    items.extend(
        match sheet.way.setting {
            Some(Setting::TwoSetUps(_)) => [
                "Slide lock off, cross feed out. Whole stroke tried by hand, both clamp places.",
                match sheet.holding {
                    Holding::Chuck => "Work gripped long; it stays in the chuck for both.",
                    _ => "Centre oiled, not too hard; the work stays for both.",
                },
            ],
            Some(Setting::Grinding(_)) => [
                "Ways, chuck and slide covered; grit caught at the wheel. Wheel guarded, rung, dressed.",
                "Slide lock off, cross feed out. Whole stroke tried by hand, wheel clear.",
            ],
            Some(Setting::Lapping(_)) => [
                "Ways and chuck covered. Spindle at its slowest, or by hand.",
                "Work gripped as it was turned.",
            ],
            Some(Setting::Swivel(_)) => [
                "Carriage locked. Top slide's gib snug, its feed by hand.",
                match sheet.holding {
                    Holding::Chuck => "Work gripped long.",
                    _ => "Centre oiled, not too hard.",
                },
            ],
            _ => [
                "Dog's tail free in its slot at every place of a turn, guarded.",
                "Centres clean; ball-ended where there are; oiled. Cross-slide gib snug.",
            ],
        }
        .map(check),
    );
    let rest = sheet.rest.as_ref();
    items.extend(rest.map(|rest| steady_rest(rest, &sheet.drawing, sheet.units)));
    items
}

fn set_over(sheet: &MethodSheet, units: Units) -> Vec<Block> {
    let tapers = Tapers::within(&sheet.drawing.tolerance, units);
    match &sheet.way.setting {
        Some(Setting::Offset(set)) => offset(sheet, set, &tapers, units),
        Some(Setting::Swivel(set)) => swivel(sheet, set, &tapers, units),
        _ => Vec::new(),
    }
}

fn offset(sheet: &MethodSheet, set: &Offset, tapers: &Tapers, units: Units) -> Vec<Block> {
    let (step, in_words) = match units {
        Units::Inch => (THOU, "0.001 in"),
        Units::Metric => (1e-5, "0.01 mm"),
    };
    let (what, on) = if sheet.way.method == Method::OffsetCentre {
        ("centre over", "the centre's point")
    } else {
        ("tailstock over", "the quill")
    };
    let mut items = vec![
        page::figures(vec![
            figure(
                format!("{what}, {}", toward(set.toward)),
                size(set.over, units),
                format!("exactly {} {}", exact(set.over, units), unit(units)),
            ),
            figure(
                "between the centres' points",
                size(set.between, units),
                "measure it: the offset goes with it",
            ),
        ]),
        say(format!(
            "By an indicator on {on}. {in_words} there is {} of taper{}. Power feed as usual.",
            tapers.show(set.taper_per_offset * step),
            set.has.map_or(String::new(), |has| format!(
                "; it goes {} over",
                words::about(has, units)
            ))
        )),
    ];
    items.extend(proof(
        &sheet.proof,
        "Proof: a straight test bar as long as the piece between the centres, indicator on the slide, carriage run",
        units,
    ));
    items.push(say(
        "Reads too much: less over; too little: more. Then a cut on the piece while stock is left.",
    ));
    items
}

fn swivel(sheet: &MethodSheet, set: &Swivel, tapers: &Tapers, units: Units) -> Vec<Block> {
    let across = std::f64::consts::FRAC_PI_2 - set.angle;
    let by = match set.set_by {
        SetBy::Marks => format!(
            "Its marks will do: +-{} of taper",
            tapers.difference(set.by_marks)
        ),
        SetBy::Indicator => format!(
            "By its marks, then by indicator: marks alone leave +-{} of taper, an indicator +-{}",
            tapers.difference(set.by_marks),
            tapers.difference(set.by_indicator)
        ),
    };
    let mut items = vec![
        page::figures(vec![
            figure(
                "top slide over, per side",
                Angle::from_si(set.angle).show(units),
                format!(
                    "{} if marked from across",
                    Angle::from_si(across).show(units)
                ),
            ),
            figure(
                "stroke needed",
                words::about(set.needs, units),
                format!("of {}", words::about(set.has, units)),
            ),
        ]),
        say(format!("{by}. Scale {BLANK}")),
    ];
    items.extend(proof(
        &sheet.proof,
        "Proof: a straight bar in the spindle, indicator on the post, top slide run",
        units,
    ));
    items.push(say(
        "Feed by hand, slowly, both hands, without a stop, one way only.",
    ));
    items
}

/// The guide, as for one set-up, and where the first section begins and ends.
fn guide(sheet: &MethodSheet, units: Units) -> Vec<Block> {
    let Some(set) = two(sheet) else {
        return Vec::new();
    };
    let mut items = vec![say(format!(
        "First {}",
        two_set_ups::first(set, &sheet.way.setup, units)
    ))];
    items.extend(proof(
        &sheet.proof,
        "Proof: indicator on the slide, slack taken up, carriage run",
        units,
    ));
    items
}

/// The second set-up: clamp, proof, pick-up, its passes, the joint.
fn second(sheet: &MethodSheet, units: Units) -> Vec<Block> {
    let Some(set) = two(sheet) else {
        return Vec::new();
    };
    let setup = &sheet.way.setup;
    let mut items = cautions(&sheet.way.cautions, Some(Place::SecondSetUp));
    items.extend(cautions(&sheet.way.cautions, Some(Place::RunIn)));
    items.extend([
        check(words::capital(&two_set_ups::moved(set, setup, units))),
        check(words::capital(&two_set_ups::proved(set, units))),
        boxes(["Dial before", "after", "Indicator"]),
        check(words::capital(&two_set_ups::picked_up(set, units))),
    ]);
    let roughing = sheet.second_roughing.as_deref().unwrap_or_default();
    let first = match roughing {
        [] => String::new(),
        [.., last] => format!(
            "{} of {} roughing, then ",
            roughing.len(),
            figures(last.set, units)
        ),
    };
    let finishing = sheet
        .passes
        .iter()
        .filter(|pass| pass.stage != Stage::Rough);
    let size = sheet.passes.last().map_or(0.0, |pass| pass.dial);
    let short: Vec<String> = finishing
        .map(|pass| size - pass.dial)
        .filter(|short| *short > 0.0)
        .map(|short| figures(short, units))
        .collect();
    items.push(say(format!(
        "Passes: {first}{} short of that zero, per side, and the last.",
        short.join(", ")
    )));
    if let Some(joint) = &sheet.way.joint {
        let tapers = Tapers::within(&sheet.drawing.tolerance, units);
        items.push(say(format!(
            "Joint: {} Indicator over it at the end. Step {BLANK}",
            two_set_ups::joint_in_words(joint, &tapers, units)
        )));
    }
    items
}

/// What the indicator must read.
fn proof(proof: &Proof, how: &str, units: Units) -> Vec<Block> {
    let told = match proof.proves {
        Some((low, high)) => figure(
            format!("good, less its step ({})", exact(proof.step, units)),
            format!("{} to {}", figures(low, units), figures(high, units)),
            "",
        ),
        None => figure(
            "your indicator can't prove this",
            format!(
                "{} to {}",
                figures(proof.limits.0, units),
                figures(proof.limits.1, units)
            ),
            "a finer one or a longer run",
        ),
    };
    vec![
        say(format!("{how} {}.", strong(&size(proof.travel, units)))),
        page::figures(vec![
            figure(
                "must read, per side",
                format!("{} {}", exact(proof.aim, units), unit(units)),
                "",
            ),
            told,
        ]),
        boxes(["Read 1", "2", "3"]),
    ]
}

fn tool(sheet: &MethodSheet, units: Units) -> Vec<Block> {
    if !is_turned(sheet) {
        return Vec::new();
    }
    let mut items = cautions(&sheet.way.cautions, Some(Place::Tool));
    let bar = sheet.bar.map_or(String::new(), |bar| {
        format!(
            " Bar {}, out at most {}.",
            size(bar.diameter.si(), units),
            strong(&size(bar.stick_out.si(), units))
        )
    });
    items.push(check(format!(
        "On centre within {}. Nose {}.{bar} {}.",
        size(sheet.height_within, units),
        size(sheet.nose_radius.si(), units),
        words::capital(&words::stance(&sheet.way.setup))
    )));
    items
}

fn passes(sheet: &MethodSheet, units: Units) -> Vec<Block> {
    if !is_turned(sheet) {
        return Vec::new();
    }
    let mut items = cautions(&sheet.way.cautions, Some(Place::Passes));
    items.push(say(after::speed(
        &after::Speed {
            turns: sheet.turns,
            surface: sheet.surface_speed,
            assumed: sheet.speed_assumed,
            dead_centre: sheet.dead_centre,
        },
        on_cross_dial(sheet),
        units,
    )));
    items.extend(after::table_of(
        sheet
            .passes
            .iter()
            .map(|pass| after::row(pass, units))
            .collect(),
    ));
    let (stopped, cold) = (strong("spindle stopped"), strong("cold"));
    let helps = |expect: &&Expect| expect.gauging_helps();
    match sheet.way.expect.as_ref().filter(helps) {
        Some(expect) => {
            items.push(say(format!(
                "Before finishing: gauge, touch off anew at zero. Before the last: {stopped}, chips \
                 out, gauge {cold}; no new touch-off. By {} still left on, {}:",
                strong("what is"),
                strong("turn the dial in")
            )));
            let mut table = expectation::table(expect, units);
            table.class = "numbers dial";
            items.push(Block::Table(table));
        }
        None => items.push(say(format!(
            "Before finishing: gauge, touch off anew at zero. Before the last: {stopped}, gauge \
             {cold}, set what is left. Left {BLANK}"
        ))),
    }
    items
}

fn gauge(sheet: &MethodSheet, units: Units) -> Vec<Block> {
    let mut items = after::standoff(&sheet.standoff, sheet.heat.as_ref(), units);
    items.push(page::sum(&sheet.drawing, units));
    // A ring bears at the big end of a cone too steep, a plug at that of one too slow.
    let (big, small) = match sheet.drawing.kind {
        Kind::Outside => ("less", "more"),
        Kind::Inside => ("more", "less"),
    };
    let set = match sheet.way.setting {
        Some(Setting::TwoSetUps(_) | Setting::Grinding(_)) => "swing the guide",
        Some(Setting::Lapping(_)) => return items,
        _ => "set",
    };
    items.push(say(format!(
        "Blue at the big end only: {set} {} over; small end only: {}.",
        strong(big),
        strong(small)
    )));
    items
}

fn signs(sheet: &MethodSheet) -> Vec<Block> {
    let over = matches!(sheet.way.setting, Some(Setting::Offset(_)));
    let row =
        |seen: &str, likely: &str, what: &str| [strong(seen), likely.to_owned(), what.to_owned()];
    let rows = match sheet.way.setting {
        Some(Setting::Grinding(_)) => vec![
            row(
                "taper out",
                "led from the other end",
                "always from the same",
            ),
            row(
                "burnt, chattered",
                "wheel glazed, too deep",
                "dress it, less a pass",
            ),
            row(
                "won't spark out",
                "quill springs, wheel loaded",
                "dress it, once more",
            ),
        ],
        Some(Setting::Lapping(_)) => vec![
            row("bears at one end", "taper out", "back to wheel or tool"),
            row(
                "rings, bell mouth",
                "too much compound, long strokes",
                "wash, less, shorter",
            ),
        ],
        _ => Vec::new(),
    };
    if !rows.is_empty() {
        return vec![page::sentences(["you see", "likely", "do"], rows)];
    }
    let mut rows = vec![row("taper out", "set wrong, crept", "prove it again")];
    if two(sheet).is_some() {
        rows.push(row("a step at the joint", "picked up off", "touch again"));
        rows.push(row("a knee at the joint", "angle shifted", "sweep again"));
    } else if over {
        rows.push(row(
            "chatter, squeal",
            "centre on its edge",
            "oil, slow down",
        ));
    } else {
        rows.push(row(
            "rings in the finish",
            "hand stopped",
            "one slow stroke",
        ));
        rows.push(row("cone hollow", "tool off centre", "height again"));
    }
    rows.push(row(
        "won't size",
        "spring, dull edge",
        "fresh edge, same dial",
    ));
    vec![page::sentences(["you see", "likely", "do"], rows)]
}

fn afterwards(sheet: &MethodSheet) -> Vec<Block> {
    let mut items = cautions(&sheet.way.cautions, Some(Place::Afterwards));
    let back = match (&sheet.way.setting, sheet.way.method) {
        (Some(Setting::TwoSetUps(_)), _) => "Bed clamp back to its place.",
        (Some(Setting::Grinding(_)), _) => {
            "Grit washed off before the covers go; ways wiped, oiled."
        }
        (Some(Setting::Lapping(_)), _) => "Both parts washed until a white rag stays white.",
        (Some(Setting::Swivel(_)), _) => "Top slide back to its place, carriage free.",
        (_, Method::OffsetCentre) => "Offset centre out.",
        _ => "Tailstock back, proved straight by test bar or trial cut.",
    };
    items.push(check(
        "Cool; gauge; blue; write down what came out.".to_owned(),
    ));
    items.push(check(back.to_owned()));
    items.push(boxes(["Taper", "Size", "Waves"]));
    items
}
