//! Gauging sums against exact constructions and the shop's rules of thumb.
//!
//! A known cone is laid out point by point, the depths and measures that it gives are computed
//! without the formulas, and the cone must come back. `gauging_rational.rs` does so in exact
//! fractions and says what other evidence there is.

use proptest::prelude::*;
use tautway_sim::gauging::{
    Balls, Bearing, Blue, BlueSign, Correction, Diameters, Gauge, Gauged, OneBall, OnePairOfRolls,
    Rolls, Standoff, guide_nudge, standoff_rows, unseen,
};
use tautway_sim::quantity::{Quantity, Taper};
use tautway_sim::scenario::{End, Kind, Toward};
use tautway_sim::setup::{Face, Feed, Rotation, Setup, Side};

const INCH: f64 = 0.0254;

fn close(got: f64, wanted: f64, within: f64) {
    assert!((got - wanted).abs() <= within, "{got} is not {wanted}");
}

fn exact(inches: f64) -> Gauged {
    Gauged::exact(inches * INCH)
}

fn per_foot(rate: f64) -> Gauged {
    Gauged::exact(rate / 12.0)
}

/// Distance from a point to the straight line through two others, in the plane of the axis.
fn distance((x, z): (f64, f64), (x1, z1): (f64, f64), (x2, z2): (f64, f64)) -> f64 {
    ((x2 - x1) * (z1 - z) - (x1 - x) * (z2 - z1)).abs() / (x2 - x1).hypot(z2 - z1)
}

/// Root of a rising or falling function by halving.
fn root(low: f64, high: f64, f: impl Fn(f64) -> f64) -> f64 {
    let (mut low, mut high) = (low, high);
    let rising = f(high) > 0.0;
    for _ in 0..200 {
        let middle = (low + high) / 2.0;
        if (f(middle) > 0.0) == rising {
            high = middle;
        } else {
            low = middle;
        }
    }
    (low + high) / 2.0
}

#[test]
fn standoff_rule_of_thumb() {
    // Worked from similar triangles, as said in the shop: 0.001 in on diameter is 0.006 in of
    // standoff at 2 in/ft, 0.012 at 1, 0.016 at 3/4.
    for (rate, standoff) in [(2.0, 0.006), (1.0, 0.012), (0.75, 0.016)] {
        let sum = Standoff {
            kind: Kind::Outside,
            taper: per_foot(rate),
            read: exact(standoff),
            wanted: 0.0,
        }
        .sum()
        .expect("a sum");
        close(sum.on_diameter.value / INCH, 0.001, 1e-12);
        close(sum.per_side.value / INCH, 0.0005, 1e-12);
    }
}

#[test]
fn standoff_leaves_outside_work_big_and_a_bore_small() {
    let sum = |kind, read: f64, wanted: f64| {
        Standoff {
            kind,
            taper: per_foot(2.0),
            read: exact(read),
            wanted: wanted * INCH,
        }
        .sum()
        .expect("a sum")
    };
    let (out, bore) = (sum(Kind::Outside, 0.1, 0.04), sum(Kind::Inside, 0.1, 0.04));
    close(out.size_error.value / INCH, 0.010, 1e-12);
    close(bore.size_error.value / INCH, -0.010, 1e-12);
    assert_eq!(out.on_diameter, bore.on_diameter);
    assert!(sum(Kind::Inside, 0.02, 0.04).on_diameter.value < 0.0);
}

#[test]
fn standoff_table_has_ten_even_rows() {
    let rows = standoff_rows(Taper::from_si(2.0 / 12.0), 0.006 * INCH, 10);
    assert_eq!(rows.len(), 10);
    for (index, row) in rows.iter().enumerate() {
        let thou = (index + 1) as f64;
        // Worked from similar triangles: a thou on diameter a row.
        close(row.on_diameter / INCH * 1e3, thou, 1e-9);
        close(row.per_side / INCH * 1e3, thou / 2.0, 1e-9);
    }
}

/// A small ball and a large ball dropped into a bore: centre where the ball's distance to the
/// wall, as laid out by two points of it, is its radius.
fn depth_of_ball(mouth: f64, taper: f64, ball: f64) -> f64 {
    let wall = |depth: f64| ((mouth - taper * depth) / 2.0, depth);
    let apex = mouth / taper;
    let centre = root(-10.0 * ball - apex, apex, |z| {
        distance((0.0, z), wall(0.0), wall(1.0)) - ball / 2.0
    });
    centre - ball / 2.0
}

proptest! {
    /// Closed form: the cone that gave the depths comes back.
    #[test]
    fn two_balls_give_the_bore_back(
        mouth in 1.0..3.0_f64,
        rate in 0.25..6.0_f64,
        small in 0.3..0.5_f64,
        large in 0.55..0.9_f64,
    ) {
        let taper = rate / 12.0;
        let balls = Balls {
            small: Gauged::exact(small),
            small_depth: Gauged::exact(depth_of_ball(mouth, taper, small)),
            large: Gauged::exact(large),
            large_depth: Gauged::exact(depth_of_ball(mouth, taper, large)),
        };
        let bore = balls.sum().expect("a bore");
        close(bore.taper.value, taper, 1e-12);
        close(bore.half_angle.value, (taper / 2.0).atan(), 1e-12);
        close(bore.mouth.value, mouth, 1e-12 * mouth / taper);
        let one = OneBall { ball: balls.large, depth: balls.large_depth, taper: Gauged::exact(taper) };
        close(one.mouth().expect("a mouth").value, mouth, 1e-12 * mouth / taper);
    }

    /// Closed form: the plug that gave the measures comes back, big end up or down.
    #[test]
    fn rolls_give_the_plug_back(
        at_plate in 1.5..3.0_f64,
        rate in -6.0..6.0_f64,
        roll in 0.2..0.4_f64,
        low_blocks in 0.0..0.2_f64,
        raise in 0.5..1.2_f64,
    ) {
        prop_assume!(rate.abs() > 0.05);
        let taper = rate / 12.0;
        let side = |z: f64| ((at_plate + taper * z) / 2.0, z);
        let over = |blocks: f64| {
            let height = blocks + roll / 2.0;
            // From the side outward the distance grows.
            let centre = root(side(height).0, side(height).0 + 2.0 * roll, |x| {
                distance((x, height), side(0.0), side(1.0)) - roll / 2.0
            });
            Gauged::exact(2.0 * centre + roll)
        };
        let rolls = Rolls {
            roll: Gauged::exact(roll),
            low: over(low_blocks),
            low_blocks: Gauged::exact(low_blocks),
            high: over(low_blocks + raise),
            high_blocks: Gauged::exact(low_blocks + raise),
            length: Some(Gauged::exact(2.0)),
        };
        let plug = rolls.sum().expect("a plug");
        close(plug.taper.value, taper.abs(), 1e-12);
        prop_assert_eq!(plug.big_end_up, taper > 0.0);
        close(plug.at_plate.value, at_plate, 1e-12);
        close(plug.at_top.expect("a top").value, at_plate + 2.0 * taper, 2e-12);
        let one = OnePairOfRolls {
            roll: rolls.roll,
            over: rolls.low,
            blocks: rolls.low_blocks,
            taper: Gauged::exact(taper.abs()),
            big_end_up: taper > 0.0,
            length: rolls.length,
        };
        let (plate, top) = one.sum().expect("a plug");
        close(plate.value, at_plate, 1e-12);
        close(top.expect("a top").value, at_plate + 2.0 * taper, 2e-12);
    }
}

/// Two balls resting in a cone, their centres this far apart, inches: the smaller deep down.
fn resting(small: f64, large: f64, centres: f64) -> f64 {
    let large_depth = 0.1;
    let balls = Balls {
        small: Gauged::exact(small * INCH),
        small_depth: Gauged::exact((large_depth + large / 2.0 + centres - small / 2.0) * INCH),
        large: Gauged::exact(large * INCH),
        large_depth: Gauged::exact(large_depth * INCH),
    };
    let bore = balls.sum().expect("a bore");
    // Both figures it gives are of one cone.
    assert!((2.0 * bore.half_angle.value.tan() / bore.taper.value - 1.0).abs() < 1e-12);
    bore.taper.value
}

#[test]
fn two_balls_are_two_discs_of_the_handbook() {
    // Machinery's Handbook, measuring tapers by discs, worked examples (from memory): discs of
    // 1 1/4 and 1 1/2 in set for 3/4 in/ft stand 4.002 in apart, centre to centre.
    let taper = 12.0 * resting(1.25, 1.5, 4.002);
    assert!((taper - 0.75).abs() < 1e-4, "{taper}");
    // Discs of 1 and 1 1/2 in that touch: an included angle of 23.07 deg.
    let included = 2.0 * (resting(1.0, 1.5, 1.25) / 2.0).atan().to_degrees();
    assert!((included - 23.07).abs() < 5e-3, "{included}");
}

#[test]
fn rolls_are_the_rolls_in_a_dovetail_of_the_handbook() {
    // Machinery's Handbook, measuring dovetail slides over rolls (from memory): over the rolls
    // `x = a + D (1 + cot (angle / 2))` with the printed factors for 60, 55, 50 and 45 deg; a
    // cone whose sides stand at that angle on the plate is such a dovetail turned round.
    for (angle, factor) in [
        (60.0, 2.7321),
        (55.0, 2.9210),
        (50.0, 3.1445),
        (45.0, 3.4142),
    ] {
        let half_angle = f64::to_radians(90.0 - angle);
        let rolls = OnePairOfRolls {
            roll: Gauged::exact(0.5 * INCH),
            over: Gauged::exact((1.0 + 0.5 * factor) * INCH),
            blocks: Gauged::exact(0.0),
            taper: Gauged::exact(2.0 * half_angle.tan()),
            big_end_up: true,
            length: None,
        };
        let (plate, _) = rolls.sum().expect("a plug");
        // Four decimals of the factor, half an inch of roll.
        assert!(
            (plate.value / INCH - 1.0).abs() < 3e-5,
            "{angle}: {plate:?}"
        );
    }
}

#[test]
fn two_balls_by_hand() {
    // Worked by hand on the 3-4-5 triangle: sin a = 0.6, tan a = 0.75, balls of radius 0.3 and
    // 0.6, centres (0.6 - 0.3) / 0.6 = 0.5 apart; the large one's centre 0.1 below the mouth:
    // D = 2 (0.1 x 0.75 + 0.6 / 0.8) = 1.65.
    let bore = Balls {
        small: Gauged::exact(0.6),
        small_depth: Gauged::exact(0.6 - 0.3),
        large: Gauged::exact(1.2),
        large_depth: Gauged::exact(0.1 - 0.6),
    }
    .sum()
    .expect("a bore");
    close(bore.taper.value, 1.5, 1e-12);
    close(bore.mouth.value, 1.65, 1e-12);
}

#[test]
fn rolls_by_hand() {
    // Worked by hand on the 3-4-5 triangle: tan a = 0.75, sec a = 1.25; rolls of diameter 0.2 on
    // the plate: D0 + 0.2 (1 + 1.25 + 0.75) = D0 + 0.6; on 0.4 of blocks 2 x 0.4 x 0.75 more.
    let plug = Rolls {
        roll: Gauged::exact(0.2),
        low: Gauged::exact(1.6),
        low_blocks: Gauged::exact(0.0),
        high: Gauged::exact(2.2),
        high_blocks: Gauged::exact(0.4),
        length: None,
    }
    .sum()
    .expect("a plug");
    close(plug.taper.value, 1.5, 1e-12);
    close(plug.at_plate.value, 1.0, 1e-12);
    assert!(plug.big_end_up);
}

#[test]
fn diameters_at_two_places() {
    // US Navy NAVEDTRA 14345: 3 in to 2 in over 12 in is 1 in/ft.
    let two = Diameters {
        big: exact(3.0),
        small: exact(2.0),
        apart: exact(12.0),
    };
    let sum = two.sum(Some(6.0 * INCH)).expect("a sum");
    close(sum.taper.value * 12.0, 1.0, 1e-12);
    close(sum.there.expect("asked for").value / INCH, 3.5, 1e-12);
    // Common practice, no source: 0.502 in over 3 in is 0.008 in/ft over 2 in/ft.
    let two = Diameters {
        big: exact(1.502),
        small: exact(1.0),
        apart: exact(3.0),
    };
    let taper = two.sum(None).expect("a sum").taper.value;
    close(taper * 12.0, 2.008, 1e-12);
}

fn setup(kind: Kind, big_end: End, side: Side) -> Setup {
    Setup {
        kind,
        big_end,
        side,
        feed: Feed::Headstock,
        rotation: Rotation::Forward,
        face: Face::Up,
    }
}

/// The radius that a tool cuts at `z` when its guide, pivoted at `z = 0`, stands so.
fn radius_at(setup: &Setup, guide_angle: f64, z: f64) -> f64 {
    let side = setup.side.sign();
    // The slide goes with its shoe, whose place along X the bar decides.
    let x = side * 1.0 + z * guide_angle.tan();
    side * x
}

#[test]
fn blue_is_nudged_the_right_way_in_every_case() {
    let wanted = Taper::from_si(2.0 / 12.0);
    let reach = 10.0 * INCH;
    for kind in [Kind::Outside, Kind::Inside] {
        for big_end in [End::Headstock, End::Tailstock] {
            for side in [Side::Front, Side::Rear] {
                for end in [End::Headstock, End::Tailstock] {
                    for steeper in [true, false] {
                        one_blue_case(&setup(kind, big_end, side), end, steeper, wanted, reach);
                    }
                }
            }
        }
    }
}

/// Cuts with a guide that is off, finds by comparing radii where a gauge bears, asks for the
/// nudge, turns the guide by it, cuts again.
fn one_blue_case(setup: &Setup, end: End, steeper: bool, wanted: Taper, reach: f64) {
    let off = if steeper { 1.01 } else { 0.99 };
    let sign = match (setup.big_end, setup.side) {
        (End::Tailstock, Side::Front) | (End::Headstock, Side::Rear) => 1.0,
        (End::Headstock, Side::Front) | (End::Tailstock, Side::Rear) => -1.0,
    };
    let angle = sign * Taper::from_si(wanted.si() * off).half_angle();
    let length = 3.0 * INCH;
    let (z_big, z_small) = match setup.big_end {
        End::Tailstock => (length, 0.0),
        End::Headstock => (-length, 0.0),
    };
    let big = radius_at(setup, angle, z_big);
    let small = radius_at(setup, angle, z_small);
    assert!(big > small, "the big end is where it should be: {setup:?}");
    // How much the work is too thick at its big end, its small end fitting.
    let proud = (big - small) - wanted.slope() * length;
    let too_much_metal = match setup.kind {
        Kind::Outside => proud > 0.0,
        Kind::Inside => proud < 0.0,
    };
    let blue = Blue {
        setup: *setup,
        wanted,
        bears: if too_much_metal {
            Bearing::Big
        } else {
            Bearing::Small
        },
        sign: Some(BlueSign::Shake {
            total: Gauged::exact(2.0 * proud.abs()),
            over: Gauged::exact(length),
        }),
        guide_end: Gauged::exact(reach),
        end,
    };
    assert_eq!(blue.steeper(), steeper, "{setup:?}");
    let correction = blue.correction().expect("a correction");
    let amount = correction.amount.expect("a shake");
    close(amount.taper_error.value, wanted.si() * (off - 1.0), 1e-12);
    let toward = match correction.toward {
        Toward::Operator => 1.0,
        Toward::Away => -1.0,
    };
    let along = match end {
        End::Tailstock => reach,
        End::Headstock => -reach,
    };
    let turned = angle + toward * amount.nudge.value / along;
    let slope = (radius_at(setup, turned, z_big) - radius_at(setup, turned, z_small)) / length;
    close(slope, wanted.slope(), 1e-12);
}

#[test]
fn everyday_blue_cases_in_words() {
    // Derived here from the guide's lean: an outside taper, small end at the tailstock, front
    // tool, bears at the big end: too steep. The bar's tailstock end stands away from the
    // operator and must come toward him.
    let shake = BlueSign::Shake {
        total: exact(0.002),
        over: exact(3.0),
    };
    let case = |kind, big_end, bears| {
        Blue {
            setup: setup(kind, big_end, Side::Front),
            wanted: Taper::from_si(2.0 / 12.0),
            bears,
            sign: Some(shake),
            guide_end: exact(10.0),
            end: End::Tailstock,
        }
        .correction()
        .expect("a correction")
    };
    let far = |one: &Correction| one.amount.clone().expect("a shake");
    let outside = case(Kind::Outside, End::Headstock, Bearing::Big);
    assert_eq!(outside.toward, Toward::Operator);
    close(far(&outside).taper_error.value * 12.0, 0.008, 1e-12);
    // Closed form, to first order R dT/2 cos^2 a: 10 x 0.000333 x 0.9931 = 0.00331 in.
    close(far(&outside).nudge.value / INCH, 0.00331, 0.00001);
    // The same fault in a bore whose mouth looks at the tailstock: bears at the small end.
    let bore = case(Kind::Inside, End::Tailstock, Bearing::Small);
    assert_eq!(bore.toward, Toward::Away);
    assert!(far(&bore).taper_error.value > 0.0);
}

#[test]
fn a_nudge_there_and_back_is_none() {
    let one = setup(Kind::Inside, End::Tailstock, Side::Front);
    let (a, b) = (Taper::from_si(0.16), Taper::from_si(0.17));
    let there = guide_nudge(&one, End::Tailstock, 0.25, a, b);
    let back = guide_nudge(&one, End::Tailstock, 0.25, b, a);
    // A steeper bore with its big end at the tailstock: that end comes toward the operator.
    assert!(there > 0.0);
    close(there + back, 0.0, 1e-15);
}

#[test]
fn the_mark_of_blue_is_a_wedge() {
    // Closed form: film 0.0003 in showing over 1.2 in is 2 x 0.0003 / 1.2 on diameter.
    let blue = Blue {
        setup: setup(Kind::Outside, End::Headstock, Side::Front),
        wanted: Taper::from_si(2.0 / 12.0),
        bears: Bearing::Small,
        sign: Some(BlueSign::Mark {
            length: exact(1.2),
            film: exact(0.0003),
        }),
        guide_end: exact(10.0),
        end: End::Tailstock,
    };
    let correction = blue.correction().expect("a correction");
    let amount = correction.amount.as_ref().expect("a mark");
    close(amount.taper_error.value, -0.0005, 1e-12);
    assert!(!correction.steeper);
    let way_alone = Blue { sign: None, ..blue }.correction().expect("a way");
    assert_eq!(way_alone.toward, correction.toward);
    assert_eq!(way_alone.amount, None);
    let all = unseen(exact(0.0003), exact(3.0)).expect("a limit");
    close(all.value * 12.0, 0.0024, 1e-12);
}

#[test]
fn numbers_that_no_cone_gives_are_refused() {
    let balls = |small: f64, small_depth: f64, large: f64, large_depth: f64| Balls {
        small: exact(small),
        small_depth: exact(small_depth),
        large: exact(large),
        large_depth: exact(large_depth),
    };
    let about = |balls: Balls| balls.sum().expect_err("no cone").about;
    assert_eq!(about(balls(0.5, 2.0, 0.4, 0.1)), "large ball");
    assert_eq!(about(balls(0.5, 0.1, 0.75, 1.0)), "depth of the small ball");
    // A ball far proud of the mouth rests on its edge.
    assert_eq!(about(balls(0.5, 0.2, 1.5, -1.4)), "large ball");
    assert_eq!(
        about(balls(0.5, f64::NAN, 0.75, 1.0)),
        "depth of the small ball"
    );
    let rolls = Rolls {
        roll: exact(0.25),
        low: exact(2.0),
        low_blocks: exact(0.0),
        high: exact(2.1),
        high_blocks: exact(1.0),
        length: Some(exact(0.9)),
    };
    assert_eq!(rolls.sum().expect_err("above the top").about, "blocks");
    let level = Rolls {
        high_blocks: exact(0.0),
        ..rolls
    };
    assert_eq!(level.sum().expect_err("same height").about, "blocks");
    let two = Diameters {
        big: exact(1.0),
        small: exact(1.5),
        apart: exact(3.0),
    };
    assert_eq!(two.sum(None).expect_err("swapped").about, "big diameter");
    // A rule's error as large as the distance leaves nothing to divide by.
    let coarse = Diameters {
        big: exact(1.5),
        small: exact(1.0),
        apart: Gauged::with(0.005 * INCH, Gauge::Rule),
    };
    assert_eq!(
        coarse.sum(None).expect_err("too coarse").about,
        "distance apart"
    );
}
