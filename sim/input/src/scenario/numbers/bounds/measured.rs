//! What is read at the lathe and at the gauge: what it can't be and what it usually is.

use super::row::{Bounds, MEMORY};
use crate::quantity::{DEGREE, INCH, INCH_PER_FOOT, LBF};

const STEP: &str = "no gauge has such steps";
const TRAVEL: &str = "no carriage travels so far, and none so little";
const SLACK: &str = "with more than 2 in of slack nothing follows anything";
const FORCE: &str = "no hand pulls like that";
const PIECE: &str = "no lathe that a hand works holds such a piece";
const TAPER: &str = "it is next to no taper, or a face";
const GAUGED: &str = "no gauge tells so little, and none is needed for so much";

const fn step(key: &'static str, least: f64, most: f64) -> Bounds {
    Bounds::new(key, INCH, [1e-7, 1.0], [least, most], STEP)
        .or_nothing()
        .from(MEMORY)
}

const fn travel(key: &'static str, least: f64) -> Bounds {
    Bounds::new(key, INCH, [1e-5, 300.0], [least, 60.0], TRAVEL).or_nothing()
}

const fn moved(key: &'static str) -> Bounds {
    Bounds::new(key, INCH, [1e-7, 2.0], [0.00002, 0.25], SLACK).or_nothing()
}

const fn pull(key: &'static str) -> Bounds {
    Bounds::new(key, LBF, [1e-3, 3000.0], [0.5, 300.0], FORCE).or_nothing()
}

const fn diameter(key: &'static str) -> Bounds {
    Bounds::new(key, INCH, [0.01, 120.0], [0.12, 30.0], PIECE)
}

const fn taper(key: &'static str) -> Bounds {
    Bounds::new(key, INCH_PER_FOOT, [1e-4, 140.0], [0.03, 30.0], TAPER)
}

const fn depth(key: &'static str) -> Bounds {
    Bounds::new(key, INCH, [1e-6, 2.0], [0.0003, 0.25], GAUGED)
}

const fn fine(key: &'static str, most: f64) -> Bounds {
    Bounds::new(key, INCH, [1e-7, 2.0], [0.000_02, most], GAUGED).or_nothing()
}

/// Distance of a gauged diameter from the big end.
pub static GAUGED_AT: Bounds = Bounds::new(
    "gauged.diameters",
    INCH,
    [1e-6, 300.0],
    [0.005, 60.0],
    PIECE,
)
.or_nothing();

/// A diameter gauged there.
pub static GAUGED_DIAMETER: Bounds = diameter("gauged.diameters");

/// How far a gauge may be off, either way.
pub static GAUGE_OFF: Bounds = Bounds::new("gauged", INCH, [1e-7, 12.0], [0.000_02, 0.25], GAUGED);

/// Shop tests, readings of carriage and slide, what a finished job gave.
pub(super) static BOUNDS: &[Bounds] = &[
    step("steps.slide", 0.000_004, 0.01),
    step("steps.carriage", 0.00003, 0.1),
    step("steps.gauge", 0.000_004, 0.005),
    Bounds::new("steps.scale", LBF, [1e-4, 100.0], [0.02, 10.0], STEP).or_nothing(),
    taper("reversal.taper"),
    moved("reversal.slide_moved"),
    travel("reversal.middle", 0.01),
    travel("reversal.headstock_end", 0.01),
    travel("reversal.tailstock_end", 0.01),
    taper("reversal_slow.taper"),
    moved("reversal_slow.slide_moved"),
    travel("reversal_slow.middle", 0.01),
    travel("reversal_slow.headstock_end", 0.01),
    travel("reversal_slow.tailstock_end", 0.01),
    Bounds::new("foot.lost", INCH, [1e-6, 12.0], [0.0002, 1.0], SLACK).or_nothing(),
    moved("parts.dial"),
    moved("parts.dial_at_ends"),
    moved("parts.thrust"),
    moved("parts.shoe"),
    pull("drag.start_toward"),
    pull("drag.start_away"),
    pull("drag.running_toward"),
    pull("drag.running_away"),
    pull("drag.along"),
    pull("drag.spindle_running"),
    pull("spring.forces"),
    moved("spring.post_pulled"),
    moved("spring.post_pushed"),
    moved("spring.slide_pulled"),
    moved("spring.slide_pushed"),
    pull("bar.chuck_force"),
    moved("bar.chuck_moved"),
    pull("bar.centre_force"),
    moved("bar.centre_moved"),
    pull("bar.tip_force"),
    moved("bar.tip_moved"),
    moved("bar.wag"),
    Bounds::new("bar.reach", INCH, [0.1, 150.0], [1.0, 60.0], TRAVEL),
    Bounds::new(
        "guide.zero",
        INCH_PER_FOOT,
        [1e-7, 2.0],
        [0.00005, 0.1],
        "that is no zero",
    )
    .or_nothing(),
    diameter("straight_cut.headstock_end"),
    diameter("straight_cut.tailstock_end"),
    Bounds::new(
        "straight_cut.apart",
        INCH,
        [0.05, 300.0],
        [0.5, 60.0],
        PIECE,
    ),
    diameter("two_way_cut.toward_headstock"),
    diameter("two_way_cut.toward_tailstock"),
    depth("set_taken.set"),
    moved("set_taken.taken"),
    moved("carriage_rock.moved"),
    depth("two_cuts.pulled_in_set"),
    moved("two_cuts.pulled_in_taken"),
    depth("two_cuts.drawn_away_set"),
    moved("two_cuts.drawn_away_taken"),
    taper("two_cuts.taper"),
    Bounds::new("two_cuts.feed", INCH, [1e-5, 0.5], [0.0005, 0.05], STEP),
    Bounds::new(
        "two_cuts.nose_radius",
        INCH,
        [0.0002, 4.0],
        [0.002, 0.25],
        "no edge has such a nose",
    ),
    Bounds::new(
        "two_cuts.entering_angle",
        DEGREE,
        [1.0, 179.0],
        [15.0, 117.0],
        "the edge would lie along the work",
    ),
    diameter("two_cuts.diameter"),
    taper("wanted.taper"),
    Bounds::new(
        "wanted.tolerance",
        INCH_PER_FOOT,
        [1e-6, 24.0],
        [0.0004, 1.5],
        GAUGED,
    ),
    step("readout.carriage_step", 0.00003, 0.02),
    fine("readout.repeatability", 0.01),
    Bounds::new("guide.end_radius", INCH, [0.05, 300.0], [1.5, 60.0], TRAVEL).from(MEMORY),
    Bounds::new("guide.travel", INCH, [0.05, 300.0], [2.5, 60.0], TRAVEL).from(MEMORY),
    Bounds::new(
        "guide.scale",
        DEGREE,
        [0.005, 89.0],
        [0.05, 60.0],
        "no guide swings like that",
    ),
    Bounds::new("test_cut.apart", INCH, [0.05, 300.0], [0.5, 60.0], PIECE),
    diameter("test_cut.at_headstock"),
    diameter("test_cut.at_tailstock"),
    fine("test_cut.gauge_error", 0.01),
    Bounds::new("way.started", INCH, [1e-4, 300.0], [0.03, 60.0], TRAVEL).or_nothing(),
    fine("gauged.taken", 0.25),
    taper("gauged.taper"),
    fine("gauged.waves", 0.05),
    fine("gauged.diameter_off", 0.01),
    Bounds::new("gauged.spacing", INCH, [1e-4, 60.0], [0.005, 12.0], GAUGED).or_nothing(),
    Bounds::new("gauged.straight", INCH, [1e-4, 60.0], [0.005, 24.0], GAUGED).or_nothing(),
    fine("gauged.step", 0.1),
    fine("gauged.roundness", 0.05),
    taper("gauged.guide"),
    depth("other_way.set"),
    fine("other_way.taken", 0.25),
    step("sample.step", 0.000_004, 0.005),
    step("sample.carriage_step", 0.00003, 0.1),
    step("sample.repeatability", 0.000_004, 0.005),
    Bounds::new("sample.run_out", INCH, [1e-7, 1.0], [0.00005, 0.1], GAUGED).or_nothing(),
];
