//! The fields of the forms, in the shop's words, the more common first.

use super::row::{How, Row, row};

const ENDS: How = How::Word(&[("headstock", "headstock"), ("tailstock", "tailstock")]);
const KINDS: How = How::Word(&[("outside", "outside"), ("inside", "bore")]);
const SIDES: How = How::Word(&[("front", "front"), ("rear", "rear")]);
const TAPER: How = How::Text(["1-3/4 in/ft", "1:7"]);
const fn like(inch: &'static str, metric: &'static str) -> How {
    How::Text([inch, metric])
}

const READ: &str = "What was read";
const WANTED: &str = "The taper wanted";
const GUIDE: &str = "The guide";
const TEST_CUT: &str = "A straight test cut";

pub(super) const READINGS: &[Row] = &[
    row(
        READ,
        "readings.rows",
        "a line a reading, in order: carriage, slide, which way it was fed",
        How::Lines([
            "carriage in, slide in, direction\n",
            "carriage mm, slide mm, direction\n",
        ]),
    ),
    row(
        READ,
        "readout.reads",
        "the slide's numbers count",
        How::Word(&[
            ("diameter", "on diameter"),
            ("radius", "per side"),
            ("indicator", "an indicator's movement"),
        ]),
    )
    .from(1, "readout.reads"),
    row(
        READ,
        "readout.step",
        "they go in steps of",
        like("0.0005 in", "0.01 mm"),
    )
    .from(1, "readout.step"),
    row(
        READ,
        "name",
        "what is it?",
        like("socket, guide as set", "socket, guide as set"),
    )
    .from(0, "name"),
    row(
        READ,
        "readout.carriage_step",
        "the carriage's go in steps of",
        like("0.005 in", "0.1 mm"),
    )
    .rare(),
    row(
        READ,
        "readout.repeatability",
        "spread of readings at one place",
        like("0.0002 in", "0.005 mm"),
    )
    .rare(),
    row(
        READ,
        "readout.carriage_grows",
        "the carriage's numbers grow toward the",
        ENDS,
    )
    .rare(),
    row(
        READ,
        "readout.direction",
        "fed all the time toward the",
        ENDS,
    )
    .rare(),
    row(WANTED, "wanted.taper", "taper on diameter", TAPER).from(0, "work.taper"),
    row(
        WANTED,
        "wanted.tolerance",
        "its tolerance, with its signs",
        like("+0.000 -0.030 in/ft", "+0 -2.5 mm/m"),
    )
    .from(0, "work.tolerance"),
    row(WANTED, "wanted.kind", "outside or bore", KINDS).from(0, "work.kind"),
    row(WANTED, "wanted.big_end", "big end toward the", ENDS).from(0, "work.big_end"),
    row(WANTED, "wanted.tool", "the tool cuts at the", SIDES).rare(),
    row(
        GUIDE,
        "guide.end_radius",
        "from its pivot to the end that is nudged",
        like("10 in", "250 mm"),
    ),
    row(GUIDE, "guide.end", "the end that is nudged", ENDS),
    row(
        GUIDE,
        "guide.scale",
        "its degree scale stands at",
        like("4 deg 10 min", "4 deg 10 min"),
    )
    .rare(),
    row(
        GUIDE,
        "guide.travel",
        "usable travel",
        like("10 in", "250 mm"),
    )
    .rare(),
    row(
        TEST_CUT,
        "test_cut.at_headstock",
        "diameter toward the headstock",
        like("1.2510 in", "31.80 mm"),
    )
    .rare(),
    row(
        TEST_CUT,
        "test_cut.at_tailstock",
        "diameter toward the tailstock",
        like("1.2502 in", "31.78 mm"),
    )
    .rare(),
    row(
        TEST_CUT,
        "test_cut.apart",
        "how far apart",
        like("4 in", "100 mm"),
    )
    .rare(),
    row(
        TEST_CUT,
        "test_cut.gauge_error",
        "the gauge may be off by",
        like("0.0002 in", "0.005 mm"),
    )
    .rare(),
];

const CUT: &str = "How it was cut";
const GAUGED: &str = "What was gauged, each with how far the gauge may be off";
const OTHER: &str = "The same cut fed the other way";

pub(super) const PIECE: &[Row] = &[
    row(CUT, "way.feed", "fed toward the", ENDS),
    row(
        CUT,
        "way.started",
        "started before the taper",
        like("1.0 in", "25 mm"),
    ),
    row(CUT, "way.side", "the tool at the", SIDES).rare(),
    row(
        CUT,
        "way.rotation",
        "spindle",
        How::Word(&[("forward", "forward"), ("reverse", "reversed")]),
    )
    .rare(),
    row(
        GAUGED,
        "gauged.diameters",
        "diameters, a line each: from the big end, diameter there",
        How::Pairs(["0.1 in, 2.4815 in", "2 mm, 63.05 mm"]),
    ),
    row(
        GAUGED,
        "gauged.diameter_off",
        "those may be off by",
        like("0.0003 in", "0.008 mm"),
    ),
    row(
        GAUGED,
        "gauged.taken",
        "last pass took off, per side",
        like("0.0090 in +- 0.0003 in", "0.230 mm +- 0.008 mm"),
    ),
    row(
        GAUGED,
        "gauged.waves",
        "waves, high to low",
        like("0.0003 in +- 0.0001 in", "8 um +- 3 um"),
    ),
    row(
        GAUGED,
        "gauged.straight",
        "straight at the start",
        like("0.30 in +- 0.06 in", "7.5 mm +- 1.5 mm"),
    ),
    row(
        GAUGED,
        "gauged.roundness",
        "out of round",
        like("0.0004 in +- 0.0002 in", "10 um +- 5 um"),
    ),
    row(
        GAUGED,
        "gauged.guide",
        "taper the guide stands at",
        like("1.735 in/ft +- 0.003 in/ft", "145 mm/m +- 0.3 mm/m"),
    ),
    row(
        GAUGED,
        "gauged.taper",
        "taper, where no diameters are given",
        like("1.73 in/ft +- 0.01 in/ft", "144 mm/m +- 1 mm/m"),
    )
    .rare(),
    row(
        GAUGED,
        "gauged.spacing",
        "from wave to wave",
        like("0.8 in +- 0.2 in", "20 mm +- 5 mm"),
    )
    .rare(),
    row(
        GAUGED,
        "gauged.step",
        "a step where there should be none, per side",
        like("0.0020 in +- 0.0005 in", "0.05 mm +- 0.01 mm"),
    )
    .rare(),
    row(
        OTHER,
        "other_way.set",
        "set on the dial, per side",
        like("0.010 in", "0.25 mm"),
    )
    .rare(),
    row(
        OTHER,
        "other_way.taken",
        "took off, per side",
        like("0.0052 in +- 0.0003 in", "0.130 mm +- 0.008 mm"),
    )
    .rare(),
];

const SUM: &str = "What was gauged";
const MORE: &str = "More";

pub(super) const STANDOFF: &[Row] = &[
    row(
        SUM,
        "taper",
        "taper on diameter, or a standard taper's name",
        TAPER,
    )
    .called(&["taper"])
    .from(0, "work.taper"),
    row(
        SUM,
        "read",
        "the gauge stands off",
        like("0.100 in", "2.5 mm"),
    )
    .called(&["standoff"]),
    row(
        SUM,
        "kind",
        "ring on outside work, or plug in a bore",
        How::Word(&[("outside", "ring, outside work"), ("inside", "plug, bore")]),
    )
    .from(0, "work.kind"),
    row(
        SUM,
        "at_size",
        "at size it should stand off",
        like("closed up", "closed up"),
    ),
    row(
        SUM,
        "step",
        "table in steps of",
        like("a thou on diameter", "0.02 mm on diameter"),
    )
    .called(&["step"]),
];

pub(super) const BLUE: &[Row] = &[
    row(
        SUM,
        "bears",
        "the gauge bears",
        How::Word(&[
            ("big", "at the big end only"),
            ("small", "at the small end only"),
            ("all", "all along"),
            ("uneven", "at both ends or in the middle only"),
        ]),
    ),
    row(SUM, "taper", "taper of the gauge, on diameter", TAPER)
        .called(&["taper"])
        .from(0, "work.taper"),
    row(SUM, "kind", "outside work or bore", KINDS).from(0, "work.kind"),
    row(SUM, "big_end", "big end toward the", ENDS).from(0, "work.big_end"),
    row(
        SUM,
        "nudge",
        "end of the guide to nudge",
        How::Word(&[("tailstock", "tailstock"), ("headstock", "headstock")]),
    ),
    row(
        "How far: rocked on its bearing end, or the mark's length",
        "shake",
        "all of the indicator's movement when it is rocked",
        like("0.002 in", "0.05 mm"),
    )
    .called(&["shake"]),
    row(
        "How far: rocked on its bearing end, or the mark's length",
        "over",
        "from the bearing end to the indicator; all along: the taper's length",
        like("3 in", "75 mm"),
    )
    .called(&["length"]),
    row(
        "How far: rocked on its bearing end, or the mark's length",
        "mark",
        "or length of the mark, from the bearing end",
        like("1 in", "25 mm"),
    )
    .called(&["mark"]),
    row(
        MORE,
        "film",
        "thickness of the blue",
        like("0.0003 in", "0.008 mm"),
    )
    .rare()
    .called(&["film of blue"]),
    row(
        MORE,
        "guide_end",
        "from the guide's pivot to that end",
        like("10 in", "250 mm"),
    )
    .rare()
    .called(&["guide's end from its pivot"]),
    row(MORE, "side", "the tool cuts at the", SIDES).rare(),
];

pub(super) const ROLLS: &[Row] = &[
    row(SUM, "roll", "diameter of a roll", like("0.250 in", "6 mm")).called(&["roll"]),
    row(
        SUM,
        "low",
        "over the rolls, low",
        like("1.7702 in", "44.96 mm"),
    )
    .called(&["measure over the rolls"]),
    row(
        SUM,
        "high",
        "over the rolls, raised",
        like("1.9368 in", "49.19 mm"),
    )
    .called(&["measure over the raised rolls"]),
    row(
        SUM,
        "high_blocks",
        "raised on blocks of",
        like("1 in", "25 mm"),
    )
    .called(&["blocks"]),
    row(SUM, "wanted", "taper wanted, to hold it against", TAPER).from(0, "work.taper"),
    row(
        MORE,
        "low_blocks",
        "blocks under the low rolls too",
        like("none", "none"),
    )
    .rare()
    .called(&["lower blocks"]),
    row(
        MORE,
        "length",
        "length of the taper, for its upper end",
        like("3 in", "75 mm"),
    )
    .rare()
    .called(&["length"]),
    row(
        MORE,
        "taper",
        "taper known: then one height is enough",
        TAPER,
    )
    .rare()
    .called(&["taper"]),
    row(
        MORE,
        "big_end_up",
        "with it: which end is up",
        How::Word(&[("no", "the small end"), ("yes", "the big end")]),
    )
    .rare(),
];

pub(super) const BALLS: &[Row] = &[
    row(
        SUM,
        "small",
        "diameter of the small ball",
        like("0.500 in", "12 mm"),
    )
    .called(&["small ball"]),
    row(
        SUM,
        "small_depth",
        "from the mouth down to its top",
        like("3.1 in", "78.5 mm"),
    )
    .called(&["depth of the small ball"]),
    row(
        SUM,
        "big",
        "diameter of the large ball",
        like("0.750 in", "20 mm"),
    )
    .called(&["large ball", "ball"]),
    row(
        SUM,
        "big_depth",
        "from the mouth down to its top; minus: it stands proud",
        like("1.47 in", "37 mm"),
    )
    .called(&["depth of the large ball", "depth"]),
    row(SUM, "wanted", "taper wanted, to hold it against", TAPER).from(0, "work.taper"),
    row(
        MORE,
        "taper",
        "taper known: then the large ball is enough",
        TAPER,
    )
    .rare()
    .called(&["taper"]),
];

pub(super) const DIAMETERS: &[Row] = &[
    row(SUM, "big", "bigger diameter", like("1.502 in", "38.15 mm")).called(&["big diameter"]),
    row(
        SUM,
        "small",
        "smaller diameter",
        like("1.000 in", "25.65 mm"),
    )
    .called(&["small diameter"]),
    row(
        SUM,
        "apart",
        "how far apart, along the axis",
        like("3 in", "75 mm"),
    )
    .called(&["distance apart"]),
    row(
        SUM,
        "with",
        "gauged with",
        How::Word(&[
            ("mike", "outside mike"),
            ("bore-gauge", "bore gauge"),
            ("telescoping-gauge", "telescoping gauge and mike"),
            ("caliper", "caliper"),
        ]),
    ),
    row(SUM, "wanted", "taper wanted, to hold it against", TAPER).from(0, "work.taper"),
    row(
        MORE,
        "beyond",
        "diameter so far beyond the bigger one; minus: toward the smaller",
        like("1 in", "25 mm"),
    )
    .rare(),
];
