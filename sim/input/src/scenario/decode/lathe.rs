//! The lathe file: every key, and what stands in for it.

use super::amount::Limits;
use super::measured;
use super::reading::Reading;
use super::section::{Section, Words};
use super::wordings::{READS, UNITS};
use crate::arithmetic::max;
use crate::quantity::{Force, INCH, LBF, Length, Quantity, Ratio, Stiffness, Units};
use crate::scenario::readings::Reads;
use crate::scenario::{
    Attachment, AttachmentKind, Condition, CrossSlide, Known, Lathe, Origin, Severity, Spindle,
    SpindleNose, SpreadShape, Tailstock, TopSlide, defaults,
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

const SLACK: Limits = Limits::NOT_NEGATIVE.doubt_above(0.25 * INCH);
const FORCE: Limits = Limits::NOT_NEGATIVE.doubt_above(300.0 * LBF);
const FRICTION: Limits = Limits::SHARE.doubt_above(0.5);

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
    let readout = readout(top.table("readout"), condition);
    let (tailstock_spring, tailstock) = tailstock(top.table("tailstock"), condition);
    let lathe = Lathe {
        name,
        units,
        condition,
        attachment: attachment(top.table("attachment"), condition),
        slide: slide(top.table("slide"), condition),
        top_slide: top_slide(top.table("top_slide"), condition),
        spindle: spindle(top.table("spindle"), condition),
        tailstock_spring,
        tailstock,
        lead_screw: super::thread::lead_screw(top.table("lead_screw")),
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
    top.finish();
    lathe
}

fn attachment(table: Section<'_>, c: Condition) -> Attachment {
    let length = Limits::POSITIVE.doubt_above(60.0 * INCH);
    // Whoever does not know has the kind that leaves the cross dial alive.
    let (fitted, kind) = table
        .word("kind", KIND)
        .given()
        .unwrap_or((true, AttachmentKind::Telescoping));
    let attachment = Attachment {
        fitted,
        kind,
        foot_slack: table.known("foot_slack", SLACK, defaults::FOOT_SLACK.of(c)),
        foot_spring: table.known("foot_spring", Limits::POSITIVE, defaults::FOOT_SPRING.of(c)),
        bar_drag: table.known("bar_drag", FORCE, defaults::BAR_DRAG.of(c)),
        shoe_slack: table.known("shoe_slack", SLACK, defaults::SHOE_SLACK.of(c)),
        thrust_slack: table.known("thrust_slack", SLACK, defaults::THRUST_SLACK.of(c)),
        nut_slack: table.known("nut_slack", SLACK, defaults::NUT_SLACK.of(c)),
        total_slack: table.measured("slack", SLACK).given(),
        shoe_spring: table.known("shoe_spring", Limits::POSITIVE, defaults::SHOE_SPRING.of(c)),
        screw_spring: table.known(
            "screw_spring",
            Limits::POSITIVE,
            defaults::SCREW_SPRING.of(c),
        ),
        screw_push_share: table.known(
            "screw_push_share",
            Limits::SHARE.not_zero(),
            defaults::SCREW_PUSH_SHARE.of(c),
        ),
        drive_spring: table.measured("drive_spring", Limits::POSITIVE).given(),
        guide_travel: table.known("guide_travel", length, defaults::GUIDE_TRAVEL.of(c)),
        steepest: table.known("steepest", Limits::POSITIVE, defaults::STEEPEST.of(c)),
        guide_end: table.known("guide_end", length, defaults::GUIDE_END.of(c)),
        setting_error: table.known_offset("setting_error", defaults::SETTING_ERROR.of(c)),
        guide_bow: table.known_offset("guide_bow", defaults::GUIDE_BOW.of(c)),
    };
    table.finish();
    attachment
}

fn slide(table: Section<'_>, c: Condition) -> CrossSlide {
    let weight = table.known("weight", FORCE, defaults::WEIGHT.of(c));
    let friction = table.known("friction", FRICTION, defaults::FRICTION.of(c));
    let slide = CrossSlide {
        drag: drag(&table, c, &weight, &friction),
        breakaway: table.known("breakaway", Limits::ONE_OR_MORE, defaults::BREAKAWAY.of(c)),
        weight,
        friction,
        side_friction: table.known("side_friction", FRICTION, defaults::SIDE_FRICTION.of(c)),
        overhang: table.known("overhang", Limits::ONE_OR_MORE, defaults::OVERHANG.of(c)),
        drag_left_cutting: table.known(
            "drag_left_cutting",
            Limits::SHARE,
            defaults::DRAG_LEFT_CUTTING.of(c),
        ),
        drag_change: table.known("drag_change", Limits::SHARE, defaults::DRAG_CHANGE.of(c)),
        gib_slack: table.known("gib_slack", SLACK, defaults::GIB_SLACK.of(c)),
        gib_length: table.known("gib_length", Limits::POSITIVE, defaults::GIB_LENGTH.of(c)),
        travel: table.known("travel", Limits::POSITIVE, defaults::SLIDE_TRAVEL.of(c)),
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
    let all = table.measured::<Force>("drag", FORCE).given();
    let gib = table.measured::<Force>("gib_drag", FORCE).given();
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
        (None, None) => defaults::DRAG.of(c),
    }
}

fn top_slide(table: Section<'_>, c: Condition) -> TopSlide {
    let top_slide = TopSlide {
        slack: table.known("slack", SLACK, defaults::TOP_SLIDE_SLACK.of(c)),
        spring: table.known("spring", Limits::POSITIVE, defaults::TOP_SLIDE_SPRING.of(c)),
        locked: table.flag("locked", false),
        travel: table.known(
            "travel",
            Limits::POSITIVE.doubt_above(24.0 * INCH),
            defaults::TOP_SLIDE_TRAVEL.of(c),
        ),
        graduation: table.known_offset("graduation", defaults::GRADUATION.of(c)),
        setting: table.known_offset("setting", defaults::TOP_SLIDE_SETTING.of(c)),
        gib_slack: table.known("gib_slack", SLACK, defaults::TOP_SLIDE_GIB_SLACK.of(c)),
        hand_feed: table.known("hand_feed", Limits::SHARE, defaults::HAND_FEED.of(c)),
    };
    table.finish();
    top_slide
}

/// Spring of its centre, and how far and how well it goes over.
fn tailstock(table: Section<'_>, c: Condition) -> (Known<Stiffness>, Tailstock) {
    let over = Limits::POSITIVE.doubt_above(3.0 * INCH);
    let spring = table.known("spring", Limits::POSITIVE, defaults::TAILSTOCK_SPRING.of(c));
    let tailstock = Tailstock {
        setover: table.known("setover", over, defaults::SETOVER.of(c)),
        setover_error: table.known_offset("setover_error", defaults::SETOVER_ERROR.of(c)),
        centre_height: table.known_offset("centre_height", defaults::CENTRE_HEIGHT.of(c)),
        seating: table.known_offset("seating", defaults::CENTRE_SEATING.of(c)),
        offset_centre: table.quantity("offset_centre", over).given(),
    };
    table.finish();
    (spring, tailstock)
}

fn spindle(table: Section<'_>, c: Condition) -> Spindle {
    let spindle = Spindle {
        // The careful ends: a chuck that may unscrew, and no reverse that may not be there.
        nose: table
            .word("nose", NOSE)
            .given()
            .unwrap_or(SpindleNose::ScrewedOn),
        reverse: table.flag("reverse", false),
        spring: table.known("spring", Limits::POSITIVE, defaults::SPINDLE_SPRING.of(c)),
    };
    table.finish();
    spindle
}

/// Step and what it counts. A step alone is doubtful: on a readout of diameters the slide moves
/// half of it.
fn readout(table: Section<'_>, c: Condition) -> (Known<Length>, Reads) {
    let limits = Limits::NOT_NEGATIVE.doubt_above(0.005 * INCH);
    let step = table.known("step", limits, defaults::READOUT_STEP.of(c));
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
