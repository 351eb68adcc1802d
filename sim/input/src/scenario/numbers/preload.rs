//! What holds the slide to one side.

use super::row::{About, Basis, ByCondition, Elsewhere, Number, Part, Place, Row};
use crate::quantity::{Force, INCH, LBF, Pressure, Ratio, Stiffness};
use crate::scenario::job::{Job, PreloadSource};
use crate::scenario::limits::Limits;

/// A force on the slide.
pub(in crate::scenario) const FORCE_LIMITS: Limits = Limits::POSITIVE;

fn source(job: &mut Job) -> Option<&mut PreloadSource> {
    job.preload.as_mut().map(|preload| &mut preload.source)
}

/// In the order drawn, with the attachment or without.
pub(super) static ROWS: &[&dyn Number] = &[&CONSTANT, &SPRING, &RATE, &PRESSURE, &SEAL_SHARE];

/// A weight on a cord or a spring of constant force; nobody else can know it.
pub static CONSTANT: Row<Force, Elsewhere> = Row {
    about: About {
        number: 43,
        key: "preload.constant",
        words: "force of the preload",
        part: Part::Preload,
        limits: FORCE_LIMITS,
        ..About::NOTHING
    },
    place: Place::Job(|job| match source(job)? {
        PreloadSource::Constant(force) => Some(force),
        _ => None,
    }),
    default: Elsewhere,
};

/// With the tool at the middle of the taper.
pub static SPRING: Row<Force, Elsewhere> = Row {
    about: About {
        number: 44,
        key: "preload.spring",
        words: "force of the preload spring",
        part: Part::Preload,
        limits: FORCE_LIMITS,
        ..About::NOTHING
    },
    place: Place::Job(|job| match source(job)? {
        PreloadSource::Spring { force, .. } => Some(force),
        _ => None,
    }),
    default: Elsewhere,
};

/// A spring picked from the drawer: its rate [guess].
pub static RATE: Row<Stiffness> = Row {
    about: About {
        number: 45,
        key: "preload.rate",
        words: "rate of the preload spring",
        part: Part::Preload,
        limits: Limits::NOT_NEGATIVE,
        ..About::NOTHING
    },
    place: Place::Job(|job| match source(job)? {
        PreloadSource::Spring { rate, .. } => Some(rate),
        _ => None,
    }),
    default: ByCondition::same(LBF / INCH, Basis::Guess, [1.0, 5.0, 20.0]),
};

/// Over that of the air.
pub static PRESSURE: Row<Pressure, Elsewhere> = Row {
    about: About {
        number: 46,
        key: "preload.cylinder.pressure",
        words: "air pressure",
        part: Part::Preload,
        limits: Limits::POSITIVE,
        ..About::NOTHING
    },
    place: Place::Job(|job| match source(job)? {
        PreloadSource::Cylinder { pressure, .. } => Some(pressure),
        _ => None,
    }),
    default: Elsewhere,
};

/// Share of a cylinder's force that its seals take: 10 to 20 % is published, the wider range is
/// for small and old cylinders [guess].
pub static SEAL_SHARE: Row<Ratio> = Row {
    about: About {
        number: 47,
        key: "preload.cylinder.seal_share",
        words: "drag of the cylinder's seals",
        part: Part::Preload,
        limits: Limits::SHARE,
        ..About::NOTHING
    },
    place: Place::Job(|job| match source(job)? {
        PreloadSource::Cylinder { seal_share, .. } => Some(seal_share),
        _ => None,
    }),
    default: ByCondition::same(1.0, Basis::Guess, [0.05, 0.15, 0.25]),
};
