//! Which way it pulls: four cards, and what the back changes and what it doesn't.

use schemars::JsonSchema;
use serde::Serialize;

use crate::compare::Way;
use crate::cut::{Operation, Options};
use crate::measure::gauge;
use crate::record::Measures;
use crate::scenario::{End, Hand, Kind, Scenario};
use crate::setup::{Face, Feed, Press, Pull, Rotation, ScrewLoad, Setup, Side};

/// One of the four: outside or bored, big end left or right.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Card {
    /// Outside or inside.
    pub kind: Kind,
    /// Which end is big.
    pub big_end: End,
    /// What the guide does, fed toward the headstock and toward the tailstock.
    pub pulls: [Pull; 2],
}

fn front(kind: Kind, big_end: End, feed: Feed) -> Setup {
    Setup {
        kind,
        big_end,
        side: Side::Front,
        feed,
        rotation: Rotation::Forward,
        face: Face::Up,
    }
}

pub(super) fn cards() -> [Card; 4] {
    [
        (Kind::Outside, End::Headstock),
        (Kind::Outside, End::Tailstock),
        (Kind::Inside, End::Headstock),
        (Kind::Inside, End::Tailstock),
    ]
    .map(|(kind, big_end)| Card {
        kind,
        big_end,
        pulls: [Feed::Headstock, Feed::Tailstock].map(|feed| front(kind, big_end, feed).pull()),
    })
}

/// How everything stands in one way.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Stance {
    /// The way.
    pub setup: Setup,
    /// Pulled in or drawn away.
    pub pull: Pull,
    /// Presses the slide down or lifts it.
    pub press: Press,
    /// Hand of thread that it would cut.
    pub hand: Hand,
    /// The cross screw, while the tool is pushed into the cut.
    pub screw: ScrewLoad,
    /// +1 when the guide's tailstock end is the one nearer the operator.
    pub lean: f64,
}

impl Stance {
    fn new(setup: Setup) -> Self {
        Self {
            setup,
            pull: setup.pull(),
            press: setup.press(),
            hand: setup.hand(),
            screw: setup.screw(true),
            lean: setup.guide_lean(),
        }
    }
}

/// The tool in front, and moved to the back: the same feed of the same taper.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Behind {
    /// In front, forward, face up.
    pub front: Stance,
    /// At the rear, forward, upside down.
    pub upside_down: Stance,
    /// At the rear, reversed, face up.
    pub reversed: Stance,
    /// What comes of the front way and of the reversed rear one, cut on the model whatever this
    /// lathe allows.
    pub cut: [Measures; 2],
}

impl Behind {
    pub(super) fn new(scenario: &Scenario, way: &Way, options: Options) -> Self {
        let setup = front(way.setup.kind, way.setup.big_end, way.setup.feed);
        let reversed = setup.mirrored();
        let upside_down = Setup {
            rotation: Rotation::Forward,
            face: Face::Down,
            ..reversed
        };
        Self {
            front: Stance::new(setup),
            upside_down: Stance::new(upside_down),
            reversed: Stance::new(reversed),
            cut: [setup, reversed].map(|setup| match &way.run {
                Some(run) if way.setup == setup => run.outcome.measures.clone(),
                _ => {
                    let operation = Operation::new(scenario, setup, options);
                    gauge(scenario, &setup, &operation, &operation.run())
                }
            }),
        }
    }
}
