//! The surface the work starts from, and how it is held.

use super::row::{About, Basis, ByCondition, Elsewhere, Number, Part, Place, Row};
use crate::quantity::{INCH, LBF_PER_THOU, Length, Stiffness, Taper};
use crate::scenario::limits::Limits;

const ROUND_LIMITS: Limits = Limits::NOT_NEGATIVE;
const LENGTH_LIMITS: Limits = Limits::POSITIVE;

/// In the order drawn, with the attachment or without.
pub(super) static ROWS: &[&dyn Number] = &[
    &RUN_OUT,
    &OVALITY,
    &LOBING,
    &STEADY_SPRING,
    &STEADY_SET,
    &TAPER_DOUBT,
];

/// Those that only the ways without the attachment know.
pub(super) static WITHOUT_ATTACHMENT: &[&dyn Number] = &[&BETWEEN_CENTRES];

/// Total indicator reading; it goes by the surface (`defaults::roundness`).
pub static RUN_OUT: Row<Length, Elsewhere> = Row {
    about: About {
        number: 32,
        key: "work.run_out",
        words: "run-out of the start surface",
        part: Part::Blank,
        limits: ROUND_LIMITS,
        ..About::NOTHING
    },
    place: Place::Job(|job| Some(&mut job.work.run_out)),
    default: Elsewhere,
};

/// Peak to valley on radius; as the run-out.
pub static OVALITY: Row<Length, Elsewhere> = Row {
    about: About {
        number: 33,
        key: "work.ovality",
        words: "out-of-round of the start surface",
        part: Part::Blank,
        limits: ROUND_LIMITS,
        ..About::NOTHING
    },
    place: Place::Job(|job| Some(&mut job.work.ovality)),
    default: Elsewhere,
};

/// Peak to valley on radius; as the run-out, and by how thin the ring is.
pub static LOBING: Row<Length, Elsewhere> = Row {
    about: About {
        number: 34,
        key: "work.lobing",
        words: "lobes left by the jaws",
        part: Part::Blank,
        limits: ROUND_LIMITS,
        ..About::NOTHING
    },
    place: Place::Job(|job| Some(&mut job.work.lobing)),
    default: Elsewhere,
};

/// [guess]: a cast frame on the bed, pads on long screws; half of a chuck's or less.
pub static STEADY_SPRING: Row<Stiffness> = Row {
    about: About {
        number: 66,
        key: "work.steady.spring",
        words: "spring of the steady rest",
        part: Part::Holding,
        limits: Limits::POSITIVE,
        ..About::NOTHING
    },
    place: Place::Job(|job| job.work.steady.as_mut().map(|steady| &mut steady.spring)),
    default: ByCondition::same(LBF_PER_THOU, Basis::Guess, [50.0, 120.0, 300.0]),
};

/// [guess]: pads brought up with an indicator on the band.
pub static STEADY_SET: Row<Length> = Row {
    about: About {
        number: 67,
        key: "work.steady.set",
        words: "steady rest off the spindle's line",
        part: Part::Holding,
        limits: Limits::ANY,
        both_ways: true,
        ..About::NOTHING
    },
    place: Place::Job(|job| job.work.steady.as_mut().map(|steady| &mut steady.set)),
    default: ByCondition::same(INCH, Basis::Guess, [-0.001, 0.0, 0.001]),
};

/// Given where the taper was read off a sample, which says it.
pub static TAPER_DOUBT: Row<Taper, Elsewhere> = Row {
    about: About {
        number: 68,
        key: "work.taper_doubt",
        words: "the sample's own taper",
        part: Part::Mate,
        limits: Limits::ANY,
        both_ways: true,
        ..About::NOTHING
    },
    place: Place::Job(|job| job.work.taper_doubt.as_mut()),
    default: Elsewhere,
};

/// As long as what is named beside the taper makes it (`defaults::between_centres`).
pub static BETWEEN_CENTRES: Row<Length, Elsewhere> = Row {
    about: About {
        number: 59,
        key: "work.between_centres",
        words: "length between centres",
        part: Part::Blank,
        limits: LENGTH_LIMITS,
        ..About::NOTHING
    },
    place: Place::Job(|job| job.work.between_centres.as_mut()),
    default: Elsewhere,
};
