//! The numbers of work, tool, cut and preload: what they can't be and what they usually are.

use super::row::{Bounds, GUESS, MEMORY};
use crate::quantity::{DEGREE, FOOT, INCH, INCH_PER_FOOT, LBF, LBF_PER_THOU, PSI};

const PIECE: &str = "no lathe that a hand works holds such a piece";
const ROUND: &str = "no piece this far out of round is turned";
const DEPTH: &str = "no pass is that deep";
const FEED: &str = "no carriage feeds like that";
const HAND: &str = "no hand is that far off";
const LENGTH: &str = "no lathe that a hand works is that long";
const CYLINDER: &str = "no such cylinder goes on a cross-slide";
const STRONG: &str = "no cross-slide stands such a force";
const SHARE: &str = "the engine works with shares of this size";
/// N/m in a newton per mm of edge.
const N_PER_MM: f64 = 1000.0;
/// Pa in a newton per mm2.
const MPA: f64 = 1e6;

/// A distance along the bed, which may be nothing.
const fn distance(key: &'static str) -> Bounds {
    Bounds::new(key, INCH, [0.001, 300.0], [0.03, 60.0], LENGTH).or_nothing()
}

const fn out_of_round(key: &'static str) -> Bounds {
    Bounds::new(key, INCH, [1e-7, 1.0], [0.00005, 0.1], ROUND).or_nothing()
}

/// In the order of the job file.
pub(super) static BOUNDS: &[Bounds] = &[
    Bounds::new(
        "work.taper",
        INCH_PER_FOOT,
        [1e-4, 140.0],
        [0.03, 30.0],
        "it is next to no taper, or a face",
    ),
    Bounds::new(
        "work.tolerance",
        INCH_PER_FOOT,
        [1e-9, 24.0],
        [0.0004, 1.5],
        "no gauge tells so little, and no drawing allows so much",
    ),
    Bounds::new(
        "work.taper_doubt",
        INCH_PER_FOOT,
        [1e-9, 24.0],
        [0.0001, 0.5],
        "no sweep tells so little, and none so much",
    )
    .or_nothing(),
    Bounds::new("work.length", INCH, [0.01, 240.0], [0.08, 60.0], PIECE),
    distance("work.gauge_plane"),
    Bounds::new("work.diameter", INCH, [0.01, 120.0], [0.12, 30.0], PIECE),
    Bounds::new(
        "work.size_tolerance",
        INCH,
        [1e-6, 1.0],
        [0.0001, 0.06],
        "no gauge tells so little, and no drawing allows so much",
    ),
    Bounds::new(
        "work.waves_allowed",
        INCH,
        [1e-7, 1.0],
        [0.00002, 0.02],
        "no finger feels so little",
    ),
    distance("work.from_jaws"),
    distance("work.beyond"),
    Bounds::new(
        "work.between_centres",
        INCH,
        [0.1, 300.0],
        [1.0, 100.0],
        LENGTH,
    ),
    Bounds::new("work.steady.at", INCH, [0.05, 300.0], [0.5, 60.0], LENGTH),
    Bounds::new(
        "work.steady.spring",
        LBF_PER_THOU,
        [0.1, 1e5],
        [20.0, 1500.0],
        "no rest springs like that",
    ),
    Bounds::new(
        "work.steady.set",
        INCH,
        [1e-6, 0.5],
        [0.00005, 0.02],
        "no rest is set that far off",
    )
    .or_nothing(),
    Bounds::new(
        "work.outside_diameter",
        INCH,
        [0.02, 120.0],
        [0.2, 40.0],
        PIECE,
    ),
    Bounds::new(
        "work.start.straight",
        INCH,
        [0.01, 120.0],
        [0.1, 30.0],
        PIECE,
    ),
    Bounds::new(
        "work.start.roughed",
        INCH,
        [1e-5, 20.0],
        [0.002, 0.3],
        "no stock is that thick, and none so thin",
    ),
    Bounds::new(
        "work.start.taper",
        INCH_PER_FOOT,
        [1e-4, 140.0],
        [0.03, 30.0],
        "it is next to no taper, or a face",
    ),
    Bounds::new(
        "work.start.diameter",
        INCH,
        [0.01, 120.0],
        [0.1, 30.0],
        PIECE,
    ),
    out_of_round("work.run_out"),
    out_of_round("work.ovality"),
    out_of_round("work.lobing"),
    Bounds::new("work.slots.width", INCH, [0.002, 60.0], [0.015, 4.0], PIECE),
    Bounds::new("work.relief.width", INCH, [0.001, 60.0], [0.02, 3.0], PIECE),
    Bounds::new("work.relief.depth", INCH, [1e-5, 10.0], [0.002, 0.5], PIECE),
    distance("work.room_headstock"),
    distance("work.room_tailstock"),
    Bounds::new(
        "cutting.specific_force",
        MPA,
        [50.0, 30_000.0],
        [200.0, 6000.0],
        "nothing that is turned cuts so easily, and nothing so hard",
    )
    .from("force tables by VDI 3323 groups: 350 to 4,200 N/mm2, with room either way"),
    Bounds::new("cutting.exponent", 1.0, [0.0, 1.0], [0.05, 0.5], SHARE)
        .from("force tables by VDI 3323 groups: 0.20 to 0.30, with room either way"),
    Bounds::new("cutting.push_ratio", 1.0, [0.0, 3.0], [0.05, 1.6], SHARE).or_nothing(),
    Bounds::new(
        "cutting.edge_force",
        N_PER_MM,
        [1e-3, 2000.0],
        [5.0, 150.0],
        "no edge pushes like that",
    )
    .or_nothing()
    .from(MEMORY),
    Bounds::new("cutting.unevenness", 1.0, [1e-6, 1.5], [0.002, 1.0], SHARE).or_nothing(),
    Bounds::new(
        "cutting.patch",
        INCH,
        [0.01, 1000.0],
        [0.03, 6.0],
        "the engine has no finer patches than 0.01 in",
    ),
    Bounds::new(
        "tool.nose_radius",
        INCH,
        [0.0018, 4.0],
        [0.002, 0.25],
        "no edge has such a nose, and the engine has no finer lines along the work",
    )
    .from("insert noses by ISO 1832: 0.1 to 3.2 mm; round ones and ground points beyond"),
    Bounds::new(
        "tool.entering_angle",
        DEGREE,
        [1.0, 179.0],
        [15.0, 117.0],
        "the edge would lie along the work: from 1 to 120 deg",
    ),
    Bounds::new(
        "tool.included_angle",
        DEGREE,
        [5.0, 175.0],
        [25.0, 120.0],
        "no point is as sharp as that, and none so blunt",
    )
    .from("insert shapes by ISO 1832: 35 to 120 deg; a thread tool of 29 deg"),
    Bounds::new(
        "tool.edge_radius",
        INCH,
        [1e-7, 0.2],
        [0.00005, 0.005],
        "no edge that cuts is as round as that",
    )
    .or_nothing(),
    Bounds::new(
        "tool.height",
        INCH,
        [1e-6, 12.0],
        [0.0005, 0.05],
        "the tool would stand beside the work",
    )
    .or_nothing(),
    Bounds::new("tool.swing_left", 1.0, [1e-9, 1.5], [1e-3, 1.0], SHARE).or_nothing(),
    Bounds::new(
        "tool.bar.diameter",
        INCH,
        [0.02, 20.0],
        [0.12, 6.0],
        "no boring bar is like that",
    ),
    Bounds::new(
        "tool.bar.stick_out",
        INCH,
        [0.05, 150.0],
        [0.4, 60.0],
        "no boring bar is like that",
    ),
    Bounds::new(
        "tool.bar.edge_out",
        INCH,
        [0.001, 12.0],
        [0.005, 1.0],
        "no tool stands out of a bar like that",
    ),
    Bounds::new(
        "tool.bar.holder_factor",
        1.0,
        [0.01, 1.5],
        [0.2, 1.0],
        SHARE,
    )
    .from(MEMORY),
    Bounds::new("passes.rough", INCH, [0.0, 2.0], [0.002, 0.3], DEPTH),
    Bounds::new("passes.rough_feed", INCH, [0.0, 0.5], [0.001, 0.05], FEED),
    Bounds::new("passes.finish", INCH, [0.0, 2.0], [0.0005, 0.1], DEPTH),
    Bounds::new("passes.feed", INCH, [0.0, 0.5], [0.0005, 0.05], FEED),
    Bounds::new(
        "passes.touch_off_within",
        INCH,
        [1e-8, 0.5],
        [0.00003, 0.02],
        HAND,
    )
    .or_nothing(),
    Bounds::new(
        "passes.dial_within",
        INCH,
        [1e-8, 0.5],
        [0.00003, 0.02],
        HAND,
    )
    .or_nothing(),
    Bounds::new(
        "gauge.within",
        INCH,
        [1e-7, 0.2],
        [0.00003, 0.01],
        "no gauge is that good, and none so bad",
    )
    .from("a caliper reads to 0.002 in, a jig indicator to 0.00005 (memory of trade books)"),
    Bounds::new("preload.weight", LBF, [0.01, 3000.0], [2.0, 300.0], STRONG),
    Bounds::new(
        "preload.constant",
        LBF,
        [0.01, 3000.0],
        [2.0, 300.0],
        STRONG,
    ),
    Bounds::new("preload.spring", LBF, [0.01, 3000.0], [2.0, 300.0], STRONG),
    Bounds::new(
        "preload.rate",
        LBF / INCH,
        [1e-3, 1e5],
        [0.2, 120.0],
        "a spring as stiff as that holds for no stroke",
    )
    .or_nothing(),
    Bounds::new(
        "preload.cylinder.bore",
        INCH,
        [0.05, 20.0],
        [0.3, 4.0],
        CYLINDER,
    )
    .from("cylinder bores by ISO 6432 and ISO 15552: 8 to 320 mm; inch ones from 5/16 in"),
    Bounds::new(
        "preload.cylinder.rod",
        INCH,
        [0.01, 10.0],
        [0.1, 2.0],
        CYLINDER,
    )
    .or_nothing(),
    Bounds::new(
        "preload.cylinder.pressure",
        PSI,
        [0.5, 5000.0],
        [8.0, 150.0],
        "no shop has such air",
    )
    .from(MEMORY),
    Bounds::new(
        "preload.cylinder.seal_share",
        1.0,
        [1e-6, 1.5],
        [0.01, 0.6],
        SHARE,
    )
    .or_nothing(),
];

/// Turns a second: no lathe turns slower than a turn in ten seconds, and from 20,000 a minute on
/// the chuck comes apart. Usually 8 to 3,000 rpm [memory of trade books].
pub static TURNS: Bounds = Bounds::new(
    "passes.speed",
    1.0 / 60.0,
    [6.0, 20_000.0],
    [8.0, 3000.0],
    "no lathe turns that slowly, and no chuck holds together so fast",
)
.from(MEMORY);

/// m/s at the cut: threads by hand from a few ft/min, aluminium with carbide to 2,000.
pub static CUTTING_SPEED: Bounds = Bounds::new(
    "passes.speed",
    FOOT / 60.0,
    [0.5, 10_000.0],
    [8.0, 2500.0],
    "no tool stands such a speed, and no lathe turns so slowly",
)
.from(GUESS);
