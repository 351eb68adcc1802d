//! What the material asks of the tool.

use super::row::{About, Basis, ByCondition, Elsewhere, Number, Part, Place, Row};
use crate::quantity::{EdgeLoad, INCH, Length, Pressure, Ratio};
use crate::scenario::limits::Limits;
use crate::scenario::shop_tests::Test;

/// In the order drawn, with the attachment or without.
pub(super) static ROWS: &[&dyn Number] = &[
    &SPECIFIC_FORCE,
    &PUSH_RATIO,
    &EDGE_FORCE,
    &UNEVENNESS,
    &PATCH,
];

/// It goes by the material. The test gives the product of this and the next two, the push-off,
/// within some 20 %.
pub static SPECIFIC_FORCE: Row<Pressure, Elsewhere> = Row {
    about: About {
        number: 35,
        key: "cutting.specific_force",
        words: "how hard the material cuts",
        part: Part::Material,
        limits: Limits::POSITIVE,
        test: Some(Test::SetAgainstTaken),
        repeats: Some(0.12),
        ..About::NOTHING
    },
    place: Place::Job(|job| Some(&mut job.cutting.specific_force)),
    default: Elsewhere,
};

/// It goes by the edge (`defaults::push_ratio`).
pub static PUSH_RATIO: Row<Ratio, Elsewhere> = Row {
    about: About {
        number: 36,
        key: "cutting.push_ratio",
        words: "push-off against main force",
        part: Part::Material,
        limits: Limits::PUSH,
        test: Some(Test::SetAgainstTaken),
        repeats: Some(0.12),
        ..About::NOTHING
    },
    place: Place::Job(|job| Some(&mut job.cutting.push_ratio)),
    default: Elsewhere,
};

/// It goes by the edge and the material (`defaults::edge_force`).
pub static EDGE_FORCE: Row<EdgeLoad, Elsewhere> = Row {
    about: About {
        number: 37,
        key: "cutting.edge_force",
        words: "push of the edge itself",
        part: Part::Material,
        limits: Limits::NOT_NEGATIVE,
        test: Some(Test::SetAgainstTaken),
        repeats: Some(0.12),
        ..About::NOTHING
    },
    place: Place::Job(|job| Some(&mut job.cutting.edge_force)),
    default: Elsewhere,
};

/// The material's own, or that of a surface harder in places (`defaults::uneven_surface`).
pub static UNEVENNESS: Row<Ratio, Elsewhere> = Row {
    about: About {
        number: 38,
        key: "cutting.unevenness",
        words: "hard and soft places in the material",
        part: Part::Material,
        limits: Limits::SHARE,
        ..About::NOTHING
    },
    place: Place::Job(|job| Some(&mut job.cutting.unevenness)),
    default: Elsewhere,
};

/// Length over which hardness changes [mem].
pub static PATCH: Row<Length> = Row {
    about: About {
        number: 39,
        key: "cutting.patch",
        words: "size of the hard and soft places",
        part: Part::Material,
        limits: Limits::POSITIVE,
        ..About::NOTHING
    },
    place: Place::Job(|job| Some(&mut job.cutting.patch)),
    default: ByCondition::same(INCH, Basis::Memory, [0.1, 0.5, 2.0]),
};
