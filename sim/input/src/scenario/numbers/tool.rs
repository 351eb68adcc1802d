//! The tool and the boring bar.

use super::row::{About, Basis, ByCondition, Elsewhere, Number, Part, Place, Row};
use crate::quantity::{INCH, Length, Ratio};
use crate::scenario::limits::Limits;
use crate::scenario::shop_tests::Test;

/// In the order drawn, with the attachment or without.
pub(super) static ROWS: &[&dyn Number] = &[&EDGE_RADIUS, &HEIGHT, &HOLDER_FACTOR, &SWING_LEFT];

/// Those that only the ways without the attachment know.
pub(super) static WITHOUT_ATTACHMENT: &[&dyn Number] = &[&GIB_LEFT];

/// It goes by the edge and what it is made of (`defaults::edge_radius`).
pub static EDGE_RADIUS: Row<Length, Elsewhere> = Row {
    about: About {
        number: 40,
        key: "tool.edge_radius",
        words: "roundness of the cutting edge",
        part: Part::Material,
        limits: Limits::NOT_NEGATIVE,
        ..About::NOTHING
    },
    place: Place::Job(|job| Some(&mut job.tool.edge_radius)),
    default: Elsewhere,
};

/// A tool set on centre by eye or scale [guess].
pub static HEIGHT: Row<Length> = Row {
    about: About {
        number: 41,
        key: "tool.height",
        words: "height of the tool",
        part: Part::ToolHeight,
        limits: Limits::ANY,
        both_ways: true,
        ..About::NOTHING
    },
    place: Place::Job(|job| Some(&mut job.tool.height)),
    default: ByCondition::same(INCH, Basis::Guess, [-0.005, 0.0, 0.005]),
};

/// Real stiffness of a held bar over that of a perfectly clamped one [mem].
pub static HOLDER_FACTOR: Row<Ratio> = Row {
    about: About {
        number: 42,
        key: "tool.bar.holder_factor",
        words: "hold of the boring bar",
        part: Part::Bar,
        limits: Limits::SHARE.not_zero(),
        test: Some(Test::BarTip),
        repeats: Some(0.15),
        ..About::NOTHING
    },
    place: Place::Job(|job| job.tool.bar.as_mut().map(|bar| &mut bar.holder_factor)),
    default: ByCondition::same(1.0, Basis::Memory, [0.4, 0.6, 0.85]),
};

/// A slide stays turned as the last cut left it, unless something pushes the bar's tip in between
/// [guess]. A tip can't swing further than its slack.
pub static SWING_LEFT: Row<Ratio> = Row {
    about: About {
        number: 49,
        key: "tool.swing_left",
        words: "swing of the bar left at touch-off",
        part: Part::Gib,
        limits: Limits::SHARE,
        test: Some(Test::BarTip),
        drawn_within: Some([0.0, 1.0]),
        ..About::NOTHING
    },
    place: Place::Job(|job| {
        let bar = job.tool.bar.is_some();
        bar.then_some(&mut job.tool.swing_left)
    }),
    default: ByCondition::same(1.0, Basis::Guess, [0.0, 0.0, 1.0]),
};

/// The same number without a bar.
pub static GIB_LEFT: Row<Ratio> = Row {
    about: About {
        number: 49,
        key: "tool.swing_left",
        words: "slack of the top slide's gib left at touch-off",
        part: Part::Gib,
        limits: Limits::SHARE,
        drawn_within: Some([0.0, 1.0]),
        ..About::NOTHING
    },
    place: Place::Job(|job| {
        let bar = job.tool.bar.is_some();
        (!bar).then_some(&mut job.tool.swing_left)
    }),
    default: ByCondition::same(1.0, Basis::Guess, [0.0, 0.0, 1.0]),
};
