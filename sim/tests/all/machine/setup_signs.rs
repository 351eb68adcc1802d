//! Every sign of every way of cutting, against vectors worked out from the geometry alone.
//!
//! As one stands at the lathe: right (toward the tailstock), up, toward the operator. Nothing
//! here uses the formulas of `setup`: the spindle is a rotation vector, the cone two circles,
//! the tool a point that goes from one to the other.

use tautway_sim::scenario::{End, Hand, Kind, Toward};
use tautway_sim::setup::{Face, Feed, Press, Pull, Rotation, ScrewLoad, Setup, Side, ToolHand};

type Vector = [f64; 3];
const RIGHT: Vector = [1.0, 0.0, 0.0];
const UP: Vector = [0.0, 1.0, 0.0];
const OPERATOR: Vector = [0.0, 0.0, 1.0];

fn cross(a: Vector, b: Vector) -> Vector {
    [
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    ]
}

fn dot(a: Vector, b: Vector) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

fn times(a: Vector, by: f64) -> Vector {
    a.map(|x| x * by)
}

fn minus(a: Vector, b: Vector) -> Vector {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

/// What the lathe does, drawn in space.
struct Drawing {
    /// Unit vector from the axis to the tool.
    outward: Vector,
    /// Unit vector from the tool into the metal.
    into: Vector,
    /// The tool's way along the finished cone.
    way: Vector,
    /// Spindle's rotation.
    spin: Vector,
    /// Velocity of the work's surface at the tool.
    surface: Vector,
}

fn drawing(setup: &Setup) -> Drawing {
    let outward = match setup.side {
        Side::Front => OPERATOR,
        Side::Rear => times(OPERATOR, -1.0),
    };
    // Outside the metal lies between tool and axis, in a bore beyond the tool.
    let into = match setup.kind {
        Kind::Outside => times(outward, -1.0),
        Kind::Inside => outward,
    };
    // Any cone will do: 100 long, radius 20 at the small end, 25 at the big one.
    let place = |end: End| {
        let along = match end {
            End::Headstock => 0.0,
            End::Tailstock => 100.0,
        };
        let radius = if end == setup.big_end { 25.0 } else { 20.0 };
        [along, 0.0, radius * outward[2]]
    };
    let (from, to) = match setup.feed {
        Feed::Headstock => (End::Tailstock, End::Headstock),
        Feed::Tailstock => (End::Headstock, End::Tailstock),
    };
    // The ordinary way round the front of the work comes down: seen from the tailstock,
    // against the clock, a right-hand screw toward the tailstock.
    let spin = match setup.rotation {
        Rotation::Forward => RIGHT,
        Rotation::Reverse => times(RIGHT, -1.0),
    };
    Drawing {
        outward,
        into,
        way: minus(place(to), place(from)),
        spin,
        surface: cross(spin, outward),
    }
}

fn every_setup() -> Vec<Setup> {
    let mut every = Vec::new();
    for kind in [Kind::Outside, Kind::Inside] {
        for big_end in [End::Headstock, End::Tailstock] {
            every.extend(Setup::all(kind, big_end));
        }
    }
    every
}

#[test]
fn all_64_ways_are_there_and_differ() {
    let every = every_setup();
    assert_eq!(every.len(), 64);
    for (i, a) in every.iter().enumerate() {
        assert!(every[..i].iter().all(|b| a != b), "{a:?} twice");
    }
}

#[test]
fn forward_brings_the_front_down_vectors() {
    assert_eq!(cross(RIGHT, OPERATOR), times(UP, -1.0));
}

#[test]
fn pull_is_the_tool_s_way_seen_from_the_metal_vectors() {
    for setup in every_setup() {
        let d = drawing(&setup);
        let deeper = dot(d.way, d.into);
        let pull = if deeper > 0.0 { Pull::In } else { Pull::Away };
        assert_eq!(setup.pull(), pull, "{setup:?}");
        assert_eq!(setup.pull().sign(), deeper.signum(), "{setup:?}");
    }
}

#[test]
fn the_bar_leans_as_the_tool_goes_along_the_cone_vectors() {
    for setup in every_setup() {
        let way = drawing(&setup).way;
        // How far the tool comes toward the operator for each bit that it goes to the right.
        let lean = dot(way, OPERATOR) / dot(way, RIGHT);
        assert_eq!(setup.guide_lean(), lean.signum(), "{setup:?}");
    }
}

#[test]
fn face_hand_and_press_follow_the_surface_at_the_tool_vectors() {
    for setup in every_setup() {
        let d = drawing(&setup);
        let face = match setup.face {
            Face::Up => UP,
            Face::Down => times(UP, -1.0),
        };
        assert_eq!(setup.cuts(), dot(face, d.surface) < 0.0, "{setup:?}");
        // The work drags the tool along with its surface.
        let press = if dot(d.surface, UP) < 0.0 {
            Press::Down
        } else {
            Press::Lift
        };
        assert_eq!(setup.press(), press, "{setup:?}");
        // Seen from the work, the tool turns the other way while it goes along: a helix is
        // right-handed when it goes the way a right-hand screw would.
        let turns = times(d.spin, -1.0);
        let hand = if dot(turns, d.way) > 0.0 {
            Hand::Right
        } else {
            Hand::Left
        };
        assert_eq!(setup.hand(), hand, "{setup:?}");
    }
}

/// The tool as one holds it to tell its hand: face up, shank toward oneself. What is then on the
/// left, as a vector at the lathe.
fn left_of_the_tool(face: Vector, away_from_shank: Vector) -> Vector {
    cross(face, away_from_shank)
}

#[test]
fn tool_hand_is_where_its_edge_or_point_is_seen_from_the_shank_vectors() {
    // Looking away from the operator, face up, the left is toward the headstock.
    let left = left_of_the_tool(UP, times(OPERATOR, -1.0));
    assert_eq!(left, times(RIGHT, -1.0));
    let (mut right, mut backward) = (0, 0);
    for setup in every_setup() {
        let d = drawing(&setup);
        let face = match setup.face {
            Face::Up => UP,
            Face::Down => times(UP, -1.0),
        };
        let hand = match setup.kind {
            // The shank stands behind the point, and the edge has to go ahead.
            Kind::Outside => dot(left_of_the_tool(face, d.into), d.way) > 0.0,
            // The shank lies along the work, toward the tailstock.
            Kind::Inside => dot(left_of_the_tool(face, times(RIGHT, -1.0)), d.into) > 0.0,
        };
        let hand = if hand {
            ToolHand::Right
        } else {
            ToolHand::Left
        };
        assert_eq!(setup.tool_hand(), hand, "{setup:?}");
        let toward_shank = setup.kind == Kind::Inside && dot(d.way, RIGHT) > 0.0;
        assert_eq!(setup.cuts_backward(), toward_shank, "{setup:?}");
        right += usize::from(hand == ToolHand::Right);
        backward += usize::from(toward_shank);
    }
    assert_eq!((right, backward), (32, 16));
}

#[test]
fn a_tool_fed_the_other_way_asks_for_its_other_edge() {
    for setup in every_setup() {
        let fed = Setup {
            feed: match setup.feed {
                Feed::Headstock => Feed::Tailstock,
                Feed::Tailstock => Feed::Headstock,
            },
            ..setup
        };
        match setup.kind {
            Kind::Outside => assert_ne!(setup.tool_hand(), fed.tool_hand()),
            Kind::Inside => assert_ne!(setup.cuts_backward(), fed.cuts_backward()),
        }
    }
    // Common practice, no source: in front, face up, toward the chuck cuts a right-hand tool, and
    // an everyday bar at the front wall is right-hand.
    for kind in [Kind::Outside, Kind::Inside] {
        let everyday = Setup {
            kind,
            big_end: End::Headstock,
            side: Side::Front,
            feed: Feed::Headstock,
            rotation: Rotation::Forward,
            face: Face::Up,
        };
        assert_eq!(everyday.tool_hand(), ToolHand::Right);
        assert!(!everyday.cuts_backward());
    }
}

#[test]
fn screw_is_pulled_when_it_drags_the_slide_to_the_rear_vectors() {
    // The guide is at the rear: a force on the slide toward the guide stretches the screw.
    let to_guide = times(OPERATOR, -1.0);
    for setup in every_setup() {
        let d = drawing(&setup);
        for first_face in [true, false] {
            let on_slide = if first_face {
                d.into
            } else {
                times(d.into, -1.0)
            };
            let load = if dot(on_slide, to_guide) > 0.0 {
                ScrewLoad::Tension
            } else {
                ScrewLoad::Compression
            };
            assert_eq!(setup.screw(first_face), load, "{setup:?} {first_face}");
        }
    }
}

#[test]
fn preload_and_axis_signs_vectors() {
    for setup in every_setup() {
        let d = drawing(&setup);
        for (toward, force) in [
            (Toward::Operator, OPERATOR),
            (Toward::Away, times(OPERATOR, -1.0)),
        ] {
            let out = -dot(force, d.into);
            assert_eq!(setup.out_of_cut(toward), out, "{setup:?} {toward:?}");
        }
        // A larger radius is deeper in a bore.
        assert_eq!(setup.inward(), dot(d.outward, d.into), "{setup:?}");
        // Radius along +Z, whichever way the tool goes.
        let along = dot(d.way, RIGHT);
        let radius = dot(d.way, d.outward);
        assert_eq!(setup.slope_sign(), (radius / along).signum(), "{setup:?}");
        let starts = if along > 0.0 {
            End::Headstock
        } else {
            End::Tailstock
        };
        assert_eq!(setup.starts_at(), starts, "{setup:?}");
    }
}

#[test]
fn one_line_rule_outside_big_to_small_bores_small_to_big_pulls_in() {
    for setup in every_setup() {
        let from_big = setup.starts_at() == setup.big_end;
        let rule = match setup.kind {
            Kind::Outside => from_big,
            Kind::Inside => !from_big,
        };
        assert_eq!(setup.pull() == Pull::In, rule, "{setup:?}");
    }
}

#[test]
fn everyday_outside_taper_is_drawn_away() {
    // Common practice, no source: small end at the tailstock, fed toward the chuck.
    let everyday = Setup {
        kind: Kind::Outside,
        big_end: End::Headstock,
        side: Side::Front,
        feed: Feed::Headstock,
        rotation: Rotation::Forward,
        face: Face::Up,
    };
    assert_eq!(everyday.pull(), Pull::Away);
    assert_eq!(everyday.press(), Press::Down);
    assert_eq!(everyday.hand(), Hand::Right);
    assert!(everyday.cuts());
}

#[test]
fn side_rotation_and_face_never_enter_the_pull() {
    for a in every_setup() {
        for b in every_setup() {
            if (a.kind, a.big_end, a.feed) == (b.kind, b.big_end, b.feed) {
                assert_eq!(a.pull(), b.pull(), "{a:?} {b:?}");
            }
        }
    }
}

#[test]
fn mirror_of_the_bed_keeps_the_cut_and_turns_thread_and_screw() {
    for setup in every_setup() {
        let mirror = setup.mirrored();
        assert_ne!(mirror.side, setup.side);
        assert_ne!(mirror.rotation, setup.rotation);
        assert_eq!(
            (mirror.kind, mirror.big_end, mirror.feed, mirror.face),
            (setup.kind, setup.big_end, setup.feed, setup.face)
        );
        assert_eq!(mirror.mirrored(), setup);
        assert_eq!(mirror.pull(), setup.pull());
        assert_eq!(mirror.press(), setup.press());
        assert_eq!(mirror.cuts(), setup.cuts());
        // A mirror makes a left-hand thread of a right-hand one, and the guide stays behind.
        assert_ne!(mirror.hand(), setup.hand());
        assert_ne!(mirror.screw(true), setup.screw(true));
        for toward in [Toward::Operator, Toward::Away] {
            assert_eq!(mirror.out_of_cut(toward), -setup.out_of_cut(toward));
        }
        // The mirror's geometry, too, is the same: vectors with the operator's axis turned over.
        let (a, b) = (drawing(&setup), drawing(&mirror));
        let over = |v: Vector| [v[0], v[1], -v[2]];
        assert_eq!(over(a.into), b.into);
        assert_eq!(over(a.way), b.way);
        assert_eq!(over(a.surface), b.surface);
    }
}

#[test]
fn other_side_alone_turns_press_and_face_over() {
    for setup in every_setup() {
        let other = Setup {
            side: setup.mirrored().side,
            ..setup
        };
        assert_eq!(other.pull(), setup.pull());
        assert_ne!(other.press(), setup.press());
        assert_ne!(other.cuts(), setup.cuts());
        assert_eq!(other.hand(), setup.hand());
    }
}

/// Exhaustive, against vectors: the tool at two places along the feed, on its side of the axis,
/// says which way the guide takes the slide; a slide that drags lags on the other face; the hand
/// that seats it pushes it there. The signs of `n` take no part in this.
#[test]
fn the_hand_seats_the_slide_where_its_drag_would_leave_it_in_every_setup() {
    let mut seen = 0;
    for kind in [Kind::Outside, Kind::Inside] {
        for big_end in [End::Headstock, End::Tailstock] {
            for setup in Setup::all(kind, big_end) {
                let radius = |z: f64| match big_end {
                    End::Tailstock => 1.0 + 0.1 * z,
                    End::Headstock => 1.0 - 0.1 * z,
                };
                let side = if setup.side == Side::Front { 1.0 } else { -1.0 };
                let x = |z: f64| side * radius(z);
                let fed = if setup.feed == Feed::Tailstock {
                    1.0
                } else {
                    -1.0
                };
                let guide_goes = x(fed) - x(0.0);
                let lags = if guide_goes > 0.0 {
                    Toward::Away
                } else {
                    Toward::Operator
                };
                // Pulled in it lags out of the cut, drawn away into it.
                let hand = setup.toward_in_x(setup.pull() == Pull::In);
                assert_eq!(hand, lags, "{setup:?}");
                // The other face is the other way.
                assert_ne!(setup.toward_in_x(setup.pull() != Pull::In), hand);
                // Out of the cut a bore's radius shrinks and a bar's grows.
                let moved = if setup.toward_in_x(true) == Toward::Operator {
                    0.01
                } else {
                    -0.01
                };
                let grows = (x(0.0) + moved).abs() > x(0.0).abs();
                assert_eq!(grows, kind == Kind::Outside, "{setup:?}");
                seen += 1;
            }
        }
    }
    assert_eq!(seen, 64);
}
