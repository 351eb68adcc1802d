//! The lathe file: every key, and what stands in for it.

use super::measured;
use super::reading::Reading;
use super::section::{Section, Words};
use super::sense;
use super::wordings::{READS, UNITS};
use crate::arithmetic::max;
use crate::quantity::{Force, Length, Quantity, Ratio, Stiffness, Units};
use crate::scenario::numbers::{
    attachment, carriage, readout, slide, spindle, tailstock, top_slide,
};
use crate::scenario::readings::Reads;
use crate::scenario::{
    Attachment, AttachmentKind, Carriage, Condition, CrossSlide, Known, Lathe, Origin, Severity,
    Spindle, SpindleNose, SpreadShape, Tailstock, TopSlide,
};

const CONDITION: &Words<Condition> = &[
    (&["good", "new"], Condition::Good),
    (&["ordinary", "used", "average"], Condition::Ordinary),
    (&["worn", "loose"], Condition::Worn),
    (&["junk", "very worn"], Condition::Junk),
];

/// Whether there is one, and which; the kind says nothing of one that isn't there.
const KIND: &Words<(bool, AttachmentKind)> = &[
    (
        &["telescoping", "telescopic"],
        (true, AttachmentKind::Telescoping),
    ),
    (&["plain"], (true, AttachmentKind::Plain)),
    (
        &["none", "no attachment", "not fitted"],
        (false, AttachmentKind::Telescoping),
    ),
];

const NOSE: &Words<SpindleNose> = &[
    (
        &["screwed on", "screwed", "threaded"],
        SpindleNose::ScrewedOn,
    ),
    (&["cam lock", "camlock"], SpindleNose::CamLock),
    (&["key drive", "long taper"], SpindleNose::KeyDrive),
    (&["bolted", "flange", "bolted flange"], SpindleNose::Bolted),
];

/// Reads a whole lathe. Faults are reported in the text; what comes back then is not for use.
pub(super) fn read(top: Section<'_>) -> Lathe {
    let name = top.required_text("name", "\"the 14 inch lathe\"");
    let units = top
        .required_word("units", UNITS, "\"inch\"")
        .unwrap_or(Units::Inch);
    top.reading.units.set(units);
    let condition = top
        .word("condition", CONDITION)
        .given()
        .unwrap_or(Condition::Ordinary);
    let readout = read_readout(top.table("readout"), condition);
    let (tailstock_spring, tailstock) = read_tailstock(top.table("tailstock"), condition);
    let lathe = Lathe {
        name,
        units,
        condition,
        attachment: read_attachment(top.table("attachment"), condition),
        slide: read_slide(top.table("slide"), condition),
        top_slide: read_top_slide(top.table("top_slide"), condition),
        spindle: read_spindle(top.table("spindle"), condition),
        carriage: {
            let table = top.table("carriage");
            let rock = table.number(&carriage::ROCK, condition);
            table.finish();
            Carriage { rock }
        },
        tailstock_spring,
        tailstock,
        lead_screw: super::lead::lead_screw(top.table("lead_screw")),
        rear_post: {
            let table = top.table("posts");
            let rear = table.flag("rear", false);
            table.finish();
            rear
        },
        readout_step: readout.0,
        readout_reads: readout.1,
        measured: Vec::new(),
    };
    check_sum(top.reading, &lathe.attachment);
    let lathe = Lathe {
        measured: measured::read(&top),
        ..lathe
    };
    sense::meant(&top);
    top.finish();
    lathe
}

fn read_attachment(table: Section<'_>, c: Condition) -> Attachment {
    // Whoever does not know has the kind that leaves the cross dial alive.
    let (fitted, kind) = table
        .word("kind", KIND)
        .given()
        .unwrap_or((true, AttachmentKind::Telescoping));
    let attachment = Attachment {
        fitted,
        kind,
        foot_slack: table.number(&attachment::FOOT_SLACK, c),
        foot_spring: table.number(&attachment::FOOT_SPRING, c),
        bar_drag: table.number(&attachment::BAR_DRAG, c),
        shoe_slack: table.number(&attachment::SHOE_SLACK, c),
        thrust_slack: table.number(&attachment::THRUST_SLACK, c),
        nut_slack: table.number(&attachment::NUT_SLACK, c),
        total_slack: table.number_given(&attachment::TOTAL_SLACK).given(),
        shoe_spring: table.number(&attachment::SHOE_SPRING, c),
        screw_spring: table.number(&attachment::SCREW_SPRING, c),
        screw_push_share: table.number(&attachment::SCREW_PUSH_SHARE, c),
        drive_spring: table.number_given(&attachment::DRIVE_SPRING).given(),
        guide_travel: table.number(&attachment::GUIDE_TRAVEL, c),
        steepest: table.number(&attachment::STEEPEST, c),
        guide_end: table.number(&attachment::GUIDE_END, c),
        setting_error: table.number(&attachment::SETTING_ERROR, c),
        guide_bow: table.number(&attachment::GUIDE_BOW, c),
        wear_headstock_end: table.number_given(&attachment::WEAR_HEADSTOCK_END).given(),
        wear_tailstock_end: table.number_given(&attachment::WEAR_TAILSTOCK_END).given(),
    };
    table.finish();
    attachment
}

fn read_slide(table: Section<'_>, c: Condition) -> CrossSlide {
    let weight = table.number(&slide::WEIGHT, c);
    let friction = table.number(&slide::FRICTION, c);
    let slide = CrossSlide {
        drag: drag(&table, c, &weight, &friction),
        breakaway: table.number(&slide::BREAKAWAY, c),
        weight,
        friction,
        side_friction: table.number(&slide::SIDE_FRICTION, c),
        overhang: table.number(&slide::OVERHANG, c),
        drag_left_cutting: table.number(&slide::DRAG_LEFT_CUTTING, c),
        drag_change: table.number(&slide::DRAG_CHANGE, c),
        gib_slack: table.number(&slide::GIB_SLACK, c),
        gib_length: table.number(&slide::GIB_LENGTH, c),
        travel: table.number(&slide::TRAVEL, c),
    };
    table.finish();
    slide
}

/// Hand drag: as measured, else the gib's own and what the weight makes, else the default.
fn drag(
    table: &Section<'_>,
    c: Condition,
    weight: &Known<Force>,
    friction: &Known<Ratio>,
) -> Known<Force> {
    let all = table.number_given(&slide::DRAG).given();
    let gib = table
        .measured::<Force>("gib_drag", slide::FORCE_LIMITS)
        .given();
    match (all, gib) {
        (Some(all), None) => all,
        (Some(all), Some(_)) => {
            table.reading.report(
                Severity::Warning,
                table.reading.place("slide.gib_drag"),
                "`slide.gib_drag` is not used",
                "`drag` is given, and counts everything that rubs",
                "leave out one of the two",
            );
            all
        }
        (None, Some(gib)) => {
            let sum = |g: Force, w: Force, f: Ratio| Force::from_si(g.si() + w.si() * f.si());
            Known {
                middle: sum(gib.middle, weight.middle, friction.middle),
                low: sum(gib.low, weight.low, friction.low),
                high: sum(gib.high, weight.high, friction.high),
                shape: SpreadShape::Mostly,
                origin: Origin::Given,
            }
        }
        (None, None) => slide::DRAG.of(c),
    }
}

fn read_top_slide(table: Section<'_>, c: Condition) -> TopSlide {
    let top_slide = TopSlide {
        slack: table.number(&top_slide::SLACK, c),
        spring: table.number(&top_slide::SPRING, c),
        locked: table.flag("locked", false),
        travel: table.number(&top_slide::TRAVEL, c),
        graduation: table.number(&top_slide::GRADUATION, c),
        setting: table.number(&top_slide::SETTING, c),
        gib_slack: table.number(&top_slide::GIB_SLACK, c),
        hand_feed: table.number(&top_slide::HAND_FEED, c),
    };
    table.finish();
    top_slide
}

/// Spring of its centre, and how far and how well it goes over.
fn read_tailstock(table: Section<'_>, c: Condition) -> (Known<Stiffness>, Tailstock) {
    let spring = table.number(&tailstock::SPRING, c);
    let tailstock = Tailstock {
        setover: table.number(&tailstock::SETOVER, c),
        setover_error: table.number(&tailstock::SETOVER_ERROR, c),
        centre_height: table.number(&tailstock::CENTRE_HEIGHT, c),
        seating: table.number(&tailstock::SEATING, c),
        offset_centre: table
            .quantity("offset_centre", tailstock::OVER_LIMITS)
            .given(),
    };
    table.finish();
    (spring, tailstock)
}

fn read_spindle(table: Section<'_>, c: Condition) -> Spindle {
    let spindle = Spindle {
        // The careful ends: a chuck that may unscrew, and no reverse that may not be there.
        nose: table
            .word("nose", NOSE)
            .given()
            .unwrap_or(SpindleNose::ScrewedOn),
        reverse: table.flag("reverse", false),
        spring: table.number(&spindle::SPRING, c),
        out_of_line: table.number(&spindle::OUT_OF_LINE, c),
    };
    table.finish();
    spindle
}

/// Step and what it counts. A step alone is doubtful: on a readout of diameters the slide moves
/// half of it.
fn read_readout(table: Section<'_>, c: Condition) -> (Known<Length>, Reads) {
    let step = table.number(&readout::STEP, c);
    let reads = table.word("reads", READS).given();
    if step.origin == Origin::Given && reads.is_none() && !table.is_faulty_at("reads") {
        let half = step.middle.si() / 2.0;
        table.reading.report(
            Severity::Warning,
            table.reading.place("readout.step"),
            "is this step on diameter or per side?",
            format!(
                "taken as on diameter: the slide moves {} for it",
                Length::from_si(half).show(table.reading.units.get())
            ),
            "add to [readout] a line like this: reads = \"diameter\" (its numbers are twice the \
             slide's movement), \"radius\" or \"indicator\"",
        );
    }
    table.finish();
    (step, reads.unwrap_or(Reads::Diameter))
}

/// Parts that were all measured should add up to the total within a fifth.
fn check_sum(reading: &Reading<'_>, attachment: &Attachment) {
    let parts = [
        &attachment.shoe_slack,
        &attachment.thrust_slack,
        &attachment.nut_slack,
    ];
    let counted = match attachment.kind {
        AttachmentKind::Telescoping => 3,
        AttachmentKind::Plain => 2,
    };
    let Some(total) = &attachment.total_slack else {
        return;
    };
    if parts[..counted]
        .iter()
        .any(|part| part.origin == Origin::Assumed)
    {
        return;
    }
    let sum: f64 = parts[..counted].iter().map(|part| part.si()).sum();
    let span = (total.high.si() - total.low.si()) / 2.0;
    if (sum - total.si()).abs() > max(0.2 * total.si(), span) {
        let units = reading.units.get();
        reading.report(
            Severity::Warning,
            reading.place("attachment.slack"),
            "the parts of the slack don't add up to the whole",
            format!(
                "shoe, thrust and nut come to {}",
                Length::from_si(sum).show(units)
            ),
            "something was missed or counted twice: the whole is used, measure the parts again",
        );
    }
}
