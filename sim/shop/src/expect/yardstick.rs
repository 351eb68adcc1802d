//! One yardstick for ways, gauging, tests and changes: the time it takes, with what goes wrong in
//! it.

use super::play::Play;
use super::record::{Cost, Gauging, Times};
use crate::cut::{RunIn, approach};
use crate::quantity::{Quantity, Speed};
use crate::scenario::{GaugeKind, Scenario};
use crate::setup::{Face, Rotation, Setup, Side};

/// Minutes (guesses all, of the order that a shop would say).
const SET_GUIDE: f64 = 15.0;
const TOUCH_OFF: f64 = 2.0;
const BACK_AND_SET: f64 = 1.0;
const COOL: f64 = 5.0;
const SEAT_BY_HAND: f64 = 1.5;
const UNUSUAL_SETUP: f64 = 10.0;
const BLANK: f64 = 30.0;
/// A job that can't be made again: a spoilt piece weighs as so many of them.
const CANT_BE_REPLACED: f64 = 20.0;

/// What a reading takes, min.
fn gauging(kind: GaugeKind) -> f64 {
    match kind {
        GaugeKind::Micrometer | GaugeKind::Caliper => 2.0,
        GaugeKind::BoreGauge | GaugeKind::TelescopingGauge => 3.0,
        GaugeKind::PlugOrRing => 4.0,
    }
}

impl Times {
    /// Of a way with the attachment.
    pub(super) fn of(scenario: &Scenario, setup: &Setup, by_hand: bool) -> Self {
        let (_, approach) = approach(scenario, setup, crate::cut::Options::default());
        let seat = if by_hand || approach.how == RunIn::ByHand {
            SEAT_BY_HAND
        } else {
            0.0
        };
        let travel = scenario.job.work.length.si() + approach.wanted;
        Self {
            set_up: SET_GUIDE + unusual(setup),
            pass: pass_over(scenario, travel) + seat,
        }
    }
}

/// A pass over so much travel, m, back, and the dial set, min.
pub(crate) fn pass_over(scenario: &Scenario, travel: f64) -> f64 {
    let job = &scenario.job;
    let turns = match job.passes.speed {
        Speed::Turns(turns) => turns,
        Speed::Surface(surface) => surface / (std::f64::consts::PI * job.work.diameter.si()),
    };
    travel / (job.passes.feed.si() * turns) / 60.0 + BACK_AND_SET
}

/// How much a setup is out of the ordinary: tool behind, spindle backward, face down.
fn unusual(setup: &Setup) -> f64 {
    let odd = [
        setup.side == Side::Rear,
        setup.rotation == Rotation::Reverse,
        setup.face == Face::Down,
    ];
    UNUSUAL_SETUP * odd.into_iter().filter(|odd| *odd).count() as f64
}

/// Time at the lathe for one piece when all goes well, the guide's setting shared by the pieces.
pub(super) fn minutes(play: &Play<'_>) -> f64 {
    let job = &play.scenario.job;
    let set_up = play.times.set_up / job.pieces as f64;
    let gauged = play
        .gauge
        .map_or(0.0, |(kind, _)| COOL + 3.0 * gauging(kind));
    set_up + 2.0 * TOUCH_OFF + 3.0 * play.times.pass + gauged
}

/// Expected time of a way; `helps` says whether a gauge finds what is left on and another pass
/// takes it.
pub fn cost(play: &Play<'_>, minutes: f64, found: &Gauging, helps: bool) -> Cost {
    let again = if play.scenario.job.replaceable {
        1.0
    } else {
        CANT_BE_REPLACED
    };
    let spoilt = again * (BLANK + minutes);
    let more = play.times.pass + play.gauge.map_or(0.0, |(kind, _)| COOL + gauging(kind));
    // Missed otherwise, by taper or finish, it is as good as spoilt.
    let mended = if helps { found.rework } else { 0.0 };
    let bad = 1.0 - found.share.met - mended;
    Cost {
        minutes,
        spoilt,
        pass: more,
        expected: minutes + bad * spoilt + mended * more,
    }
}
