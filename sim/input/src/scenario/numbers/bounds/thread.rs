//! The numbers of a thread and of the lead screw: what they can't be and what they usually are.

use super::row::Bounds;
use crate::quantity::{DEGREE, INCH};

const PROFILE: &str = "no thread has such a profile";
const FLANK: &str = "no flank leans like that";
const PITCH: &str = "no lead screw cuts such a thread";

const fn flank(key: &'static str) -> Bounds {
    Bounds::new(key, DEGREE, [0.5, 120.0], [2.0, 60.0], FLANK)
}

const fn flat(key: &'static str) -> Bounds {
    Bounds::new(key, INCH, [1e-6, 2.0], [0.0005, 0.2], PROFILE).or_nothing()
}

/// In the order of the job file, then the lathe's.
pub(super) static BOUNDS: &[Bounds] = &[
    Bounds::new("thread.pitch", INCH, [0.005, 4.0], [0.012, 1.0], PITCH)
        .from("threads of 1 to 80 to the inch, pitches of 0.35 to 6 mm by ISO 261, pipe 8 to 28"),
    flank("thread.flank_angle"),
    flank("thread.small_end_flank"),
    flank("thread.big_end_flank"),
    flat("thread.crest_flat"),
    flat("thread.root_flat"),
    flat("thread.root_radius"),
    Bounds::new("thread.depth", INCH, [1e-4, 2.0], [0.004, 0.6], PROFILE),
    Bounds::new("thread.passes", INCH, [1e-6, 1.0], [0.0002, 0.06], PROFILE),
    Bounds::new(
        "thread.infeed_angle",
        DEGREE,
        [0.01, 90.0],
        [1.0, 45.0],
        FLANK,
    )
    .or_nothing(),
    Bounds::new(
        "thread.crowding",
        1.0,
        [1.0, 20.0],
        [1.0, 3.0],
        "two chips of a thread crowd each other, and not more than twice",
    ),
    Bounds::new(
        "thread.lead_tolerance",
        1.0,
        [1e-7, 0.1],
        [0.0002, 0.01],
        "no thread gauge tells so little",
    ),
    Bounds::new(
        "thread.dog_reach",
        INCH,
        [0.01, 60.0],
        [0.1, 12.0],
        "no dog is like that",
    )
    .or_nothing(),
    Bounds::new(
        "thread.dog_radius",
        INCH,
        [0.05, 60.0],
        [0.25, 20.0],
        "no dog is like that",
    ),
    Bounds::new("lead_screw.pitch", INCH, [0.01, 4.0], [0.03, 1.0], PITCH),
    Bounds::new(
        "lead_screw.dial_turn",
        INCH,
        [0.1, 100.0],
        [0.5, 24.0],
        "no thread dial is like that",
    ),
];
