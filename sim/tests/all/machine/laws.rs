//! The laws of the machine's parts: drag, lost motion, the drive seen across the bed, and how far
//! the work gives way.

use crate::given::even_work::{INCH, even, exactly, near, way};
use tautway_sim::cut::{lost_motion, reversal};
use tautway_sim::machine::Machine;
use tautway_sim::machine::slide::Drag;
use tautway_sim::machine::work::Bench;
use tautway_sim::quantity::{Length, Quantity};
use tautway_sim::record::LostMotion;
use tautway_sim::scenario::{Holding, Scenario, Steady};
use tautway_sim::setup::{Press, Pull};

#[test]
fn drag_rises_pressed_falls_lifted_and_returns_on_the_keepers_closed_form() {
    let mut scenario = even();
    let slide = &mut scenario.lathe.slide;
    slide.drag = exactly(90.0);
    slide.weight = exactly(400.0);
    slide.friction = exactly(0.15);
    slide.side_friction = exactly(0.1);
    slide.overhang = exactly(1.25);
    slide.drag_left_cutting = exactly(0.6);
    let (down, lift) = (
        Drag::new(slide, Press::Down, 7.0),
        Drag::new(slide, Press::Lift, 7.0),
    );
    // The scale reads gib and weight together; a cylinder's seals come on top.
    near(down.hand(), 97.0, 1e-12);
    let cutting = |drag: &Drag, main: f64, feed: f64| drag.cutting(main, feed, 1.0).limit;
    near(cutting(&down, 0.0, 0.0), 0.6 * 90.0 + 7.0, 1e-12);
    for main in [50.0, 200.0, 319.0] {
        let change = 0.6 * 0.15 * 1.25 * main;
        near(cutting(&down, main, 0.0), 61.0 + change, 1e-12);
        near(cutting(&lift, main, 0.0), 61.0 - change, 1e-12);
    }
    // Weightless at 400 N over the arm; twice that presses on the keepers as the weight did.
    near(cutting(&lift, 320.0, 0.0), 0.6 * 30.0 + 7.0, 1e-12);
    near(cutting(&lift, 640.0, 0.0), 61.0, 1e-12);
    assert!(cutting(&lift, 900.0, 0.0) > 61.0);
    assert!(lift.cutting(300.0, 0.0, 1.0).over_main < 0.0);
    assert!(lift.cutting(340.0, 0.0, 1.0).over_main > 0.0);
    // The feed force presses it sideways, whichever way it feeds; seals don't mind the place.
    for feed in [80.0, -80.0] {
        near(
            cutting(&down, 0.0, feed),
            61.0 + 0.6 * 0.1 * 1.25 * 80.0,
            1e-12,
        );
    }
    near(down.cutting(0.0, 0.0, 1.5).limit, 1.5 * 54.0 + 7.0, 1e-12);
}

#[test]
fn scale_is_believed_where_weight_and_friction_ask_more_closed_form() {
    let mut scenario = even();
    let slide = &mut scenario.lathe.slide;
    slide.drag = exactly(30.0);
    slide.weight = exactly(400.0);
    slide.friction = exactly(0.15);
    let drag = Drag::new(slide, Press::Down, 0.0);
    near(drag.hand(), 30.0, 1e-12);
    assert_eq!(drag.gib, 0.0);
}

fn part(lost: &LostMotion, name: &str) -> Option<f64> {
    let found = lost.parts.iter().find(|(part, _)| part == name);
    found.map(|(_, travel)| *travel)
}

/// Lost by all parts but foot and wind-up.
fn by_slack(lost: &LostMotion) -> f64 {
    lost.total
        - part(lost, "foot and rod").expect("a foot")
        - part(lost, "wind-up").expect("wind-up")
}

fn with_slack(slack: f64, foot: f64) -> Scenario {
    let mut scenario = even();
    scenario.lathe.attachment.total_slack = Some(exactly(slack));
    scenario.lathe.attachment.foot_slack = exactly(foot);
    scenario
}

#[test]
fn lost_motion_by_slack_and_taper_table() {
    // The table of starting numbers, worked from slack / (taper / 24), foot and wind-up apart;
    // inches, rounded to the second place.
    for (taper, row) in [
        (3.0, [0.08, 0.16, 0.32, 0.64]),
        (2.0, [0.12, 0.24, 0.48, 0.96]),
        (1.0, [0.24, 0.48, 0.96, 1.92]),
        (0.75, [0.32, 0.64, 1.28, 2.56]),
        (0.25, [0.96, 1.92, 3.84, 7.68]),
    ] {
        for (slack, wanted) in [0.010, 0.020, 0.040, 0.080].into_iter().zip(row) {
            let scenario = with_slack(slack * INCH, 0.007 * INCH);
            for pull in [Pull::In, Pull::Away] {
                let m = Machine::new(&scenario, &way(&scenario, pull), taper / 24.0);
                let lost = lost_motion(&m, pull.sign());
                assert!(lost.changes_face);
                near(by_slack(&lost), wanted * INCH, 1e-9);
                let foot = part(&lost, "foot and rod").expect("a foot");
                near(foot, 0.007 * INCH, 1e-12);
                // Wound up by the drag one way, then the other.
                let wind_up = m.drag.hand() * (1.0 / m.drive.first + 1.0 / m.drive.other);
                let found = part(&lost, "wind-up").expect("wind-up");
                near(found, wind_up * 24.0 / taper, 1e-9);
            }
        }
    }
}

#[test]
fn slack_of_the_parts_adds_up_to_the_drive_s_closed_form() {
    let scenario = even();
    let slope: f64 = 1.0 / 12.0;
    let m = Machine::new(&scenario, &way(&scenario, Pull::In), slope);
    // 0.05 square to the guide, 0.05 float, 0.30 backlash.
    let wanted = 0.05e-3 / slope.atan().cos() + 0.35e-3;
    near(m.drive.slack, wanted, 1e-12);
    near(by_slack(&lost_motion(&m, 1.0)), wanted / slope, 1e-9);
}

#[test]
fn measured_total_is_lost_whatever_the_parts_say_closed_form() {
    for part in [0.0, 0.02e-3] {
        let mut scenario = with_slack(0.5e-3, 0.0);
        let a = &mut scenario.lathe.attachment;
        (a.shoe_slack, a.thrust_slack, a.nut_slack) = (exactly(part), exactly(0.0), exactly(0.0));
        let mut m = Machine::new(&scenario, &way(&scenario, Pull::In), 1.0 / 12.0);
        for total in [0.5e-3, 1.5e-3] {
            near(m.drive.slack, total, 1e-12);
            near(by_slack(&lost_motion(&m, 1.0)), 12.0 * total, 1e-9);
            m.set_slack(1.5e-3);
        }
    }
}

#[test]
fn preload_above_the_drag_leaves_foot_and_wind_up_only_closed_form() {
    let scenario = with_slack(0.080 * INCH, 0.010 * INCH);
    for pull in [Pull::In, Pull::Away] {
        let mut m = Machine::new(&scenario, &way(&scenario, pull), 1.0 / 12.0);
        m.drag.breakaway = 1.3;
        for out in [1.31, 2.0, -1.31] {
            m.hold.out = out * m.drag.hand();
            let lost = lost_motion(&m, pull.sign());
            assert!(!lost.changes_face);
            let names: Vec<&str> = lost.parts.iter().map(|(name, _)| name.as_str()).collect();
            assert_eq!(names, ["foot and rod", "wind-up"]);
            let rate = if out > 0.0 {
                m.drive.first
            } else {
                m.drive.other
            };
            let wind_up = 2.3 * m.drag.hand() / rate * 12.0;
            near(lost.total, 0.010 * INCH + wind_up, 1e-9);
        }
        m.hold.out = 0.9 * m.drag.hand();
        assert!(lost_motion(&m, pull.sign()).changes_face);
    }
}

/// Carriage travel over which the slide stands still after the second reversal: what a whole leg
/// of travel is short of moving the slide by its slope.
fn stands_still(m: &Machine, pull: f64) -> f64 {
    let record = reversal(m, pull);
    let half = record.slide.len() / 2;
    let (carriage, slide) = (&record.carriage[half - 1..], &record.slide[half - 1..]);
    let travel = (carriage[half] - carriage[0]).abs();
    // As many steps stand as go into the lost travel.
    let step = travel / half as f64;
    let still = |pair: &&[f64]| (pair[0] - pair[1]).abs() < 1e-12;
    let standing = slide.windows(2).take_while(still).count();
    let lost = travel - (slide[half] - slide[0]).abs() / m.slope;
    assert!((standing as f64 * step - lost).abs() <= 1.001 * step);
    lost
}

#[test]
fn lost_motion_leaves_the_work_straight_handbooks() {
    // US Army OD1645 and NAVEDTRA 14345 say that lost motion leaves the start straight; its
    // length is clearance / tan(half angle): 0.25 mm -> 8.0 mm at 1:16, 3.0 mm at 2 in/ft.
    for (taper, length) in [(1.0 / 16.0, 8.0e-3), (2.0 / 12.0, 3.0e-3)] {
        let mut scenario = with_slack(0.25e-3, 0.0);
        // Next to no drag: no wind-up.
        scenario.lathe.slide.drag = exactly(1e-6);
        for pull in [Pull::In, Pull::Away] {
            let m = Machine::new(&scenario, &way(&scenario, pull), taper / 2.0);
            near(stands_still(&m, pull.sign()), length, 1e-6);
        }
    }
}

#[test]
fn simulated_reversal_stands_still_over_the_lost_motion_closed_form() {
    for foot in [0.0, 0.4e-3] {
        for preload in [0.0, 30.0, 130.0, -130.0] {
            let scenario = with_slack(0.3e-3, foot);
            for pull in [Pull::In, Pull::Away] {
                let mut m = Machine::new(&scenario, &way(&scenario, pull), 1.0 / 12.0);
                m.hold.out = preload;
                let lost = lost_motion(&m, pull.sign());
                near(stands_still(&m, pull.sign()), lost.total, 1e-9);
            }
        }
    }
}

#[test]
fn drive_seen_across_the_bed_closed_form() {
    // Energy: a force L across the bed loads shoe and bar with L / cos square to the bar, the
    // foot with L slope along the bed, and the screw with L.
    let scenario = even();
    let a = &scenario.lathe.attachment;
    for slope in [1.0 / 32.0, 1.0 / 12.0, 1.0 / 8.0_f64] {
        for pull in [Pull::In, Pull::Away] {
            let setup = way(&scenario, pull);
            let m = Machine::new(&scenario, &setup, slope);
            let load = 100.0;
            let square = load / slope.atan().cos();
            let along = load * slope;
            // Outside work at the front, guide at the rear: into the cut is away from the
            // operator, so the first face pulls the screw, the other pushes it.
            for (rate, screw) in [
                (m.drive.first, a.screw_spring.si()),
                (m.drive.other, a.screw_spring.si() * 0.6),
            ] {
                let energy = 0.5
                    * (square * square / a.shoe_spring.si()
                        + along * along / a.foot_spring.si()
                        + load * load / screw);
                near(load / rate, 2.0 * energy / load, 1e-12);
            }
        }
    }
}

/// A cylinder of 20 mm, 200 mm from jaws (or centre) to its end, in supports this stiff.
fn cylinder(holding: Holding, spindle: f64, tailstock: f64) -> Bench {
    on_rest(holding, [spindle, tailstock], None)
}

/// The same on a rest at a place from the jaws, this stiff.
pub fn on_rest(
    holding: Holding,
    [spindle, tailstock]: [f64; 2],
    rest: Option<(f64, f64)>,
) -> Bench {
    let mut scenario = even();
    let work = &mut scenario.job.work;
    work.diameter = Length::from_si(20e-3);
    work.length = Length::from_si(200e-3);
    work.from_jaws = Length::from_si(0.0);
    work.beyond = Length::from_si(0.0);
    work.holding = holding;
    work.steady = rest.map(|(at, spring)| Steady {
        at: Length::from_si(at),
        spring: exactly(spring),
        set: exactly(0.0),
    });
    scenario.lathe.spindle.spring = exactly(spindle);
    scenario.lathe.tailstock_spring = exactly(tailstock);
    // The taper tends to nothing.
    Bench::new(&scenario.lathe, &scenario.job.work, 1e-12)
}

pub fn bending_stiffness() -> f64 {
    even().job.work.modulus.si() * std::f64::consts::PI * 20e-3_f64.powi(4) / 64.0
}

pub const RIGID: f64 = 1e20;
pub const LENGTH: f64 = 0.2;

#[test]
fn cylinder_in_a_chuck_is_a_cantilever_closed_form() {
    let stiffness = bending_stiffness();
    for spindle in [RIGID, 3e7] {
        let bench = cylinder(Holding::Chuck, spindle, RIGID);
        // At places of the table; the beam integral has 200 slices.
        for share in [0.25, 0.5, 0.75, 1.0_f64] {
            let wanted = (share * LENGTH).powi(3) / (3.0 * stiffness) + 1.0 / spindle;
            near(bench.gives(share * LENGTH), wanted, 1e-3);
        }
    }
}

#[test]
fn cylinder_between_centres_closed_form() {
    let stiffness = bending_stiffness();
    for (head, tail) in [(RIGID, RIGID), (5e7, 2e7)] {
        let bench = cylinder(Holding::Centres, head, tail);
        // L^3 / 48 E I at the middle, half of the force on each centre.
        let wanted = LENGTH.powi(3) / (48.0 * stiffness) + 0.25 / head + 0.25 / tail;
        near(bench.gives(0.5 * LENGTH), wanted, 1e-4);
        // a^2 b^2 / 3 E I L anywhere.
        let (a, b) = (0.25 * LENGTH, 0.75 * LENGTH);
        let wanted = (a * b).powi(2) / (3.0 * stiffness * LENGTH)
            + 0.75f64.powi(2) / head
            + 0.25f64.powi(2) / tail;
        near(bench.gives(a), wanted, 1e-4);
    }
}

#[test]
fn cylinder_in_chuck_and_centre_is_a_propped_cantilever_closed_form() {
    let stiffness = bending_stiffness();
    let bench = cylinder(Holding::ChuckAndCentre, RIGID, RIGID);
    // Fixed at one end, propped at the other, load at b from the chuck, a from the centre:
    // a^2 b^3 (3 L + a) / (12 E I L^3); at the middle 7 L^3 / 768 E I.
    for share in [0.25, 0.5, 0.75] {
        let (b, a) = (share * LENGTH, (1.0 - share) * LENGTH);
        let wanted = a * a * b.powi(3) * (3.0 * LENGTH + a) / (12.0 * stiffness * LENGTH.powi(3));
        near(bench.gives(b), wanted, 1e-3);
    }
    let middle = 7.0 * LENGTH.powi(3) / (768.0 * stiffness);
    near(bench.gives(0.5 * LENGTH), middle, 1e-3);
}

#[test]
fn a_springy_tailstock_centre_takes_only_its_share_closed_form() {
    // At the centre itself chuck with beam and tailstock stand side by side: their rates add.
    let stiffness = bending_stiffness();
    for (spindle, tail) in [(RIGID, 2e7), (5e7, 1e7)] {
        let bench = cylinder(Holding::ChuckAndCentre, spindle, tail);
        let beam = LENGTH.powi(3) / (3.0 * stiffness) + 1.0 / spindle;
        near(bench.gives(LENGTH), 1.0 / (1.0 / beam + tail), 1e-3);
    }
}

#[test]
fn along_the_side_work_gives_by_the_cosine_twice_over_a_longer_way() {
    // The force stands square to the side, so does the way: a cosine each.
    let bench = cylinder(Holding::Chuck, 3e7, RIGID);
    let side = bench.along_side(0.8);
    for share in [0.25, 0.5, 1.0] {
        let there = side.gives(share * LENGTH / 0.8);
        near(there, 0.64 * bench.gives(share * LENGTH), 1e-12);
    }
}

#[test]
fn a_cone_gives_alike_wherever_along_it_its_diameter_is_told() {
    // 40 mm at the big end, 1 in 5 over 0.1 m: 20 mm at the small end.
    let mut scenario = crate::given::worked::scenario("plug-cock.toml");
    let mut gives = |gauge_plane: f64, diameter: f64| {
        let work = &mut scenario.job.work;
        work.length = Length::from_si(0.1);
        work.gauge_plane = Length::from_si(gauge_plane);
        work.diameter = Length::from_si(diameter);
        let bench = Bench::new(&scenario.lathe, &scenario.job.work, 0.1);
        [0.0, 0.05, 0.1].map(|z| bench.gives(z))
    };
    let big = gives(0.0, 0.040);
    for (told, by) in [(0.05, 0.030), (0.1, 0.020)] {
        let other = gives(told, by);
        for (a, b) in big.iter().zip(other) {
            near(b, *a, 1e-9);
        }
    }
}
