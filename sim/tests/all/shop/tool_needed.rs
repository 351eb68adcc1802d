//! The tool that a way asks for, and whether its back edge clears the cone.

use tautway_sim::caution::{back_edge_clears, cautions};
use tautway_sim::cut::{Operation, Options, RunIn, ToolNeeded};
use tautway_sim::quantity::{INCHES_PER_FOOT, Length, Quantity, Taper};
use tautway_sim::scenario::Scenario;
use tautway_sim::setup::{Pull, Setup, ToolHand};

use crate::given::even_work::{JOB, LATHE, decoded, near, way};

/// The even job, 2 in/ft, with this written of the tool.
fn with(tool: &str) -> Scenario {
    let told = "entering_angle = \"95 deg\"";
    assert!(JOB.contains(told));
    decoded(LATHE, &JOB.replace(told, tool))
}

fn rubs(scenario: &Scenario, pull: Pull) -> bool {
    let setup = way(scenario, pull);
    cautions(scenario, &setup, RunIn::Travel)
        .iter()
        .any(|caution| caution.id == "back-edge-rubs")
}

#[test]
fn pulled_in_an_80_degree_point_has_five_degrees_against_the_taper_closed_form() {
    let scenario = with("shape = \"80 degree diamond\"");
    // 180 - 95 - 80 = 5 degrees; an inch a foot a side is 4.7636 degrees.
    for (pull, degrees) in [
        (Pull::In, 5.0 - 4.763_641_69),
        (Pull::Away, 5.0 + 4.763_641_69),
    ] {
        let clears = back_edge_clears(&scenario, &way(&scenario, pull)).expect("a known point");
        near(clears.to_degrees(), degrees, 1e-6);
    }
    assert!(rubs(&scenario, Pull::In));
    assert!(!rubs(&scenario, Pull::Away));
}

#[test]
fn a_slimmer_point_or_a_slower_taper_clears() {
    assert!(!rubs(&with("shape = \"55 degree diamond\""), Pull::In));
    let mut slow = with("shape = \"80 degree diamond\"");
    slow.job.work.taper = Taper::from_si(0.75 / INCHES_PER_FOOT);
    assert!(!rubs(&slow, Pull::In));
    // A point too wide for its holder rubs on any cone.
    let wide = "entering_angle = \"95 deg\"\nincluded_angle = \"88 deg\"";
    assert!(rubs(&with(wide), Pull::In) && !rubs(&with(wide), Pull::Away));
}

#[test]
fn what_is_written_of_the_point_goes_before_its_shape_and_nothing_known_claims_nothing() {
    let written = "shape = \"80 degree diamond\"\nincluded_angle = \"60 deg\"";
    assert!(!rubs(&with(written), Pull::In));
    for unknown in [
        "entering_angle = \"95 deg\"",
        "shape = \"round\"",
        "shape = \"hss\"",
    ] {
        let scenario = with(unknown);
        assert_eq!(scenario.job.tool.back_edge(), None, "{unknown}");
        assert!(!rubs(&scenario, Pull::In), "{unknown}");
    }
}

fn needed(scenario: &Scenario, setup: Setup) -> ToolNeeded {
    Operation::new(scenario, setup, Options::default()).tool_needed()
}

#[test]
fn the_two_ways_ask_for_two_tools_unless_the_nose_alone_cuts() {
    // Nose 0.8 mm, passes of 0.25 mm at most: the arc of a tool ground alike both sides reaches
    // 0.8 (1 - cos K).
    let hands = |scenario: &Scenario| {
        [Pull::In, Pull::Away].map(|pull| needed(scenario, way(scenario, pull)))
    };
    let [a, b] = hands(&with("entering_angle = \"90 deg\""));
    assert!(a.either && b.either);
    assert_ne!(a.hand, b.hand);
    let steep = hands(&with("entering_angle = \"40 deg\""));
    assert!(steep.iter().all(|needed| !needed.either), "{steep:?}");
    // An insert's other side lies flat behind its nose: fed backward it cuts with that.
    let insert = hands(&with("shape = \"80 degree diamond\""));
    assert!(insert.iter().all(|needed| !needed.either), "{insert:?}");
    // The everyday way, from the small end toward the chuck, is a right-hand tool's.
    assert_eq!(b.hand, ToolHand::Right);
}

#[test]
fn where_the_nose_alone_cuts_is_told_in_the_path_s_axes_closed_form() {
    // At K = 60 deg the arc is 0.8 (1 - cos(60 + 4.76 deg)) high pulled in, and over the cosine
    // of the slope along `n`.
    let alpha = (1.0 / INCHES_PER_FOOT).atan();
    for pull in [Pull::In, Pull::Away] {
        let turned = 60f64.to_radians() + pull.sign() * alpha;
        let top = 0.8e-3 * (1.0 - turned.cos()) / alpha.cos();
        for (share, either) in [(0.999, true), (1.001, false)] {
            let mut scenario = with("entering_angle = \"60 deg\"");
            scenario.job.passes.finish = vec![Length::from_si(share * top)];
            scenario.job.work.start = tautway_sim::scenario::StartSurface::Roughed {
                stock: Length::from_si(share * top),
            };
            let setup = way(&scenario, pull);
            assert_eq!(needed(&scenario, setup).either, either, "{pull:?} {share}");
        }
    }
}
