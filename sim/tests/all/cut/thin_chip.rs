//! What the edge pushes counts once: limit cases of thick, thin and no chip, of turning and of
//! threads, and a tool that hooks in.

use tautway_sim::cut::{Operation, Options};
use tautway_sim::cutting::{EdgeShape, ForceLaw, RUBBED, THIN_CHIP};
use tautway_sim::scenario::groove::{Flank, Profile, Tip};
use tautway_sim::setup::Pull;
use tautway_sim::thread::force::ThreadLaw;

use crate::given::even_work::{JOB, LATHE, decoded, even, exactly, near, way};

const SPECIFIC: f64 = 1.7e9;
const EXPONENT: f64 = 0.24;

/// Without nose, square to the work, the chip is as thick as the feed (but for the trailing half
/// feed, which has no edge).
fn law(ratio: f64, edge: f64, feed: f64) -> ForceLaw {
    let shape = EdgeShape::new(0.0, 90f64.to_radians(), feed);
    ForceLaw::new(SPECIFIC, EXPONENT, ratio, edge, shape, 0.0)
}

/// In-plane force over the length of edge, and main force over it, N/m, in a chip so thick.
fn a_metre(ratio: f64, edge: f64, chip: f64) -> [f64; 2] {
    let depth = 1e-3;
    let force = law(ratio, edge, chip).at(depth, 0.0, 1.0);
    [force.push_off.hypot(force.feed), force.main].map(|force| force / depth)
}

#[test]
fn from_the_thin_chip_on_the_ratio_is_all() {
    for chip in [THIN_CHIP * (1.0 + 1e-9), 0.1e-3, 0.3e-3] {
        let [in_plane, main] = a_metre(0.6, 25e3, chip);
        near(in_plane, 0.6 * main, 1e-9);
    }
}

#[test]
fn with_no_chip_left_the_edge_is_all() {
    // The ratio's share goes as the chip to the power 0.76.
    let [in_plane, main] = a_metre(0.6, 25e3, 1.001 * RUBBED);
    assert!(0.6 * main < 0.25 * 25e3, "{main}");
    near(in_plane, 25e3, 0.2);
    // Of a ratio of nothing it is exactly what is not held.
    for chip in [2e-6, 10e-6, 30e-6] {
        let held: f64 = (chip / THIN_CHIP).powf(1.0 - EXPONENT);
        near(a_metre(0.0, 25e3, chip)[0], 25e3 * (1.0 - held), 1e-6);
    }
}

#[test]
fn between_the_two_it_is_the_straight_share_of_both_closed_form() {
    // At the thin chip the ratio's force is this; below it goes to the edge's, by the power of
    // the chip, never over the sum of both.
    let [there, _] = a_metre(0.6, 25e3, THIN_CHIP * (1.0 + 1e-9));
    let mut last = 0.0;
    for chip in [1.01e-6, 5e-6, 15e-6, 30e-6, 45e-6] {
        let held: f64 = (chip / THIN_CHIP).powf(1.0 - EXPONENT);
        let [in_plane, main] = a_metre(0.6, 25e3, chip);
        near(in_plane, 25e3 + (there - 25e3) * held, 1e-6);
        assert!(in_plane < 0.6 * main + 25e3);
        assert!(in_plane > last);
        last = in_plane;
    }
}

#[test]
fn nothing_jumps_where_the_chip_gets_thin_or_only_rubs() {
    for kink in [THIN_CHIP, RUBBED] {
        for ratio in [0.6, -0.2] {
            let [below, above] =
                [1.0 - 1e-7, 1.0 + 1e-7].map(|by| a_metre(ratio, 25e3, kink * by)[0]);
            near(below, above, 1e-5);
        }
    }
    let rubbed = a_metre(0.0, 25e3, 0.5 * RUBBED)[0];
    near(
        rubbed,
        0.5 * a_metre(0.0, 25e3, RUBBED * (1.0 - 1e-9))[0],
        1e-6,
    );
}

#[test]
fn a_harder_place_pushes_harder_by_the_chip_not_by_the_edge() {
    for chip in [10e-6, 40e-6, 0.2e-3] {
        let with = |hardness, edge| {
            let force = law(0.6, edge, chip).at(1e-3, 0.0, hardness);
            force.push_off.hypot(force.feed)
        };
        near(
            with(1.3, 25e3) - with(1.0, 25e3),
            with(1.3, 0.0) - with(1.0, 0.0),
            1e-6,
        );
    }
}

#[test]
fn a_thread_s_edges_push_by_the_same_law() {
    // A flat tip alone, without flanks: the chip is as thick as the pass is deep.
    let profile = Profile {
        pitch: 2e-3,
        triangle: 1.7e-3,
        root_off: 0.0,
        depth: 1e-3,
        leading: Flank::new(1e-13),
        trailing: Flank::new(1e-13),
        root: Tip::Flat(1e-3),
    };
    for (ratio, edge) in [(0.6, 25e3), (-0.2, 15e3)] {
        let law = ThreadLaw::new(SPECIFIC, EXPONENT, ratio, edge, profile, 0.0, 1.0);
        for chip in [0.5e-6, 3e-6, 20e-6, 49e-6, 51e-6, 0.2e-3] {
            let force = law.at(0.5e-3, 0.5e-3 + chip, 1.0);
            let turned = a_metre(ratio, edge, chip)[0].copysign(force.push_off);
            // Straight down to nothing below what only rubs, there by the chip, here by the edge.
            if chip > RUBBED {
                near(force.push_off / 1e-3, turned, 1e-5);
            }
            if chip > THIN_CHIP {
                near(force.push_off, ratio * force.main, 1e-9);
            }
        }
    }
}

#[test]
fn a_tool_that_hooks_in_pulls_the_slide_into_brass() {
    let job = JOB.replace("4140 30 HRC", "brass").replace(
        "unevenness = 0",
        "unevenness = 0\npush_ratio = -0.15\nedge_force = \"10 N/mm\"",
    );
    let scenario = decoded(LATHE, &job);
    let law = Operation::new(&scenario, way(&scenario, Pull::In), Options::default());
    // A fine cut still rubs more than it pulls; a rough one pulls.
    let rough = law.law(0.3e-3).at(1.0e-3, 0.0, 1.0);
    assert!(rough.push_off < -10.0, "{rough:?}");
    let rubbing = law.law(0.1e-3).at(0.01e-3, 0.0, 1.0);
    assert!(rubbing.push_off > 0.0, "{rubbing:?}");
    // What is felt of it: the slide goes past what was set, and the seat carries less.
    for pull in [Pull::In, Pull::Away] {
        let mut scenario = scenario.clone();
        scenario.job.passes.feed = scenario.job.passes.rough_feed;
        scenario.job.passes.finish = vec![scenario.job.passes.rough];
        let setup = way(&scenario, pull);
        let finished = Operation::new(&scenario, setup, Options::default()).run_finishing();
        let turns = &finished.passes[finished.last_set].turns;
        let turn = turns[turns.len() / 2];
        assert!(turn.push_off < 0.0, "{pull:?} {turn:?}");
    }
}

#[test]
fn an_edge_force_alone_never_reaches_into_a_thick_chip() {
    let mut scenario = even();
    let setup = way(&scenario, Pull::In);
    let push_off = |scenario: &_| {
        Operation::new(scenario, setup, Options::default())
            .law(0.3e-3)
            .at(1.0e-3, 0.0, 1.0)
            .push_off
    };
    let before = push_off(&scenario);
    scenario.job.cutting.edge_force = exactly(60e3);
    near(push_off(&scenario), before, 1e-12);
    scenario.job.cutting.push_ratio = exactly(2.0 * scenario.job.cutting.push_ratio.si());
    near(push_off(&scenario), 2.0 * before, 1e-12);
}
