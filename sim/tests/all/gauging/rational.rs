//! Balls and rolls against whole-number triangles, books' formulas from memory, and published cones.
//!
//! The handbook's discs and dovetails, from memory, are in `gauging_laws.rs`. Three more kinds
//! of evidence stand here instead, each named at its test: cones whose sides lie along
//! whole-number right triangles, laid out in exact fractions by points and normals without any
//! formula of gauging; the formulas in the shape that books of gauge-making give them, from
//! memory; and cones whose ends are published, gauged on paper.

use num_rational::Ratio;
use tautway_sim::gauging::{Balls, Gauged, OneBall, OnePairOfRolls, Rolls};

type Q = Ratio<i64>;

const INCH: f64 = 0.0254;

fn q(over: i64, under: i64) -> Q {
    Q::new(over, under)
}

fn real(exact: Q) -> f64 {
    *exact.numer() as f64 / *exact.denom() as f64
}

fn gauged(exact: Q) -> Gauged {
    Gauged::exact(real(exact))
}

fn close(got: f64, wanted: Q) {
    let wanted = real(wanted);
    assert!(
        (got - wanted).abs() <= 1e-13 * wanted.abs().max(1.0),
        "{got} and not {wanted}"
    );
}

/// A right triangle in whole numbers: across the axis, along it, and the side of the cone.
const TRIANGLES: [(i64, i64, i64); 6] = [
    (3, 4, 5),
    (5, 12, 13),
    (8, 15, 17),
    (7, 24, 25),
    (9, 40, 41),
    (20, 99, 101),
];

/// A point in the plane of the axis: from the axis, and along it.
type Point = (Q, Q);

/// The straight side of a cone: a point on it and its direction, one long.
struct SideOfCone {
    through: Point,
    along: Point,
}

impl SideOfCone {
    /// Signed distance of a point from it, by the cross product; exact, for the direction is one
    /// long exactly.
    fn distance(&self, (x, z): Point) -> Q {
        let (dx, dz) = (x - self.through.0, z - self.through.1);
        dx * self.along.1 - dz * self.along.0
    }

    /// Where along a straight line the distance is as wanted: it grows evenly along it.
    fn at_distance(&self, wanted: Q, from: Point, going: Point) -> Point {
        let here = self.distance(from);
        let there = self.distance((from.0 + going.0, from.1 + going.1));
        let steps = (wanted - here) / (there - here);
        (from.0 + steps * going.0, from.1 + steps * going.1)
    }
}

/// Exact: the ball's centre is the point of the axis whose distance to the side, by the cross
/// product in fractions, is its radius. The sums know nothing of that.
#[test]
fn two_balls_in_cones_of_whole_number_triangles() {
    for (across, along, side) in TRIANGLES {
        // Z down from the mouth, the bore closing.
        let mouth_radius = q(7, 8);
        let wall = SideOfCone {
            through: (mouth_radius, q(0, 1)),
            along: (q(-across, side), q(along, side)),
        };
        let top_of = |ball: Q| {
            let radius = ball / 2;
            let centre = wall.at_distance(-radius, (q(0, 1), q(0, 1)), (q(0, 1), q(1, 1)));
            assert_eq!(wall.distance(centre), -radius, "it touches, exactly");
            centre.1 - radius
        };
        let (small, large) = (q(3, 8), q(7, 8));
        let balls = Balls {
            small: gauged(small),
            small_depth: gauged(top_of(small)),
            large: gauged(large),
            large_depth: gauged(top_of(large)),
        };
        let bore = balls.sum().expect("a bore");
        close(bore.taper.value, q(2 * across, along));
        close(bore.half_angle.value.sin(), q(across, side));
        close(bore.mouth.value, mouth_radius * 2);
        for ball in [small, large] {
            let one = OneBall {
                ball: gauged(ball),
                depth: gauged(top_of(ball)),
                taper: gauged(q(2 * across, along)),
            };
            close(one.mouth().expect("a mouth").value, mouth_radius * 2);
        }
    }
}

/// Exact: the roll's centre is the point at its height whose distance to the side, by the cross
/// product in fractions, is its radius.
#[test]
fn rolls_on_plugs_of_whole_number_triangles_big_end_up_and_down() {
    for (across, along, side) in TRIANGLES {
        for big_end_up in [true, false] {
            let lean = if big_end_up { across } else { -across };
            let at_plate = q(9, 4);
            let flank = SideOfCone {
                through: (at_plate / 2, q(0, 1)),
                along: (q(lean, side), q(along, side)),
            };
            let roll = q(1, 4);
            let over = |blocks: Q| {
                let radius = roll / 2;
                let height = blocks + radius;
                let centre = flank.at_distance(radius, (q(0, 1), height), (q(1, 1), q(0, 1)));
                assert_eq!(flank.distance(centre), radius, "it touches, exactly");
                (centre.0 + radius) * 2
            };
            let (low, high, length) = (q(1, 8), q(3, 4), q(5, 4));
            let rolls = Rolls {
                roll: gauged(roll),
                low: gauged(over(low)),
                low_blocks: gauged(low),
                high: gauged(over(high)),
                high_blocks: gauged(high),
                length: Some(gauged(length)),
            };
            let plug = rolls.sum().expect("a plug");
            let at_top = at_plate + q(2 * lean, along) * length;
            assert_eq!(plug.big_end_up, big_end_up);
            close(plug.taper.value, q(2 * across, along));
            close(plug.half_angle.value.tan(), q(across, along));
            close(plug.at_plate.value, at_plate);
            close(plug.at_top.expect("a top").value, at_top);
            let one = OnePairOfRolls {
                roll: gauged(roll),
                over: gauged(over(high)),
                blocks: gauged(high),
                taper: gauged(q(2 * across, along)),
                big_end_up,
                length: Some(gauged(length)),
            };
            let (plate, top) = one.sum().expect("a plug");
            close(plate.value, at_plate);
            close(top.expect("a top").value, at_top);
        }
    }
}

#[test]
fn the_sums_agree_with_the_formulas_as_books_of_gauge_making_write_them() {
    // From memory, books of gauge-making and workshop metrology; no page was at hand:
    // two balls, sin(half angle) = (D - d) / (2 (h_d - h_D) - (D - d)), depths to the tops;
    // rolls, tan(half angle) = (M2 - M1) / 2h, small end = M1 - d (1 + cot((90 deg - half) / 2)).
    let (d, big_d, deep, shallow) = (0.5, 0.75, 2.1, 0.22);
    let bore = Balls {
        small: Gauged::exact(d),
        small_depth: Gauged::exact(deep),
        large: Gauged::exact(big_d),
        large_depth: Gauged::exact(shallow),
    }
    .sum()
    .expect("a bore");
    let sine: f64 = (big_d - d) / (2.0 * (deep - shallow) - (big_d - d));
    assert!((bore.half_angle.value - sine.asin()).abs() < 1e-14);
    let (roll, low, high, raised) = (0.25, 1.7321, 1.8204, 1.0);
    let plug = Rolls {
        roll: Gauged::exact(roll),
        low: Gauged::exact(low),
        low_blocks: Gauged::exact(0.0),
        high: Gauged::exact(high),
        high_blocks: Gauged::exact(raised),
        length: None,
    }
    .sum()
    .expect("a plug");
    let half = ((high - low) / (2.0 * raised)).atan();
    assert!((plug.half_angle.value - half).abs() < 1e-14);
    let complement = (std::f64::consts::FRAC_PI_2 - half) / 2.0;
    let small_end = low - roll * (1.0 + 1.0 / complement.tan());
    assert!((plug.at_plate.value - small_end).abs() < 1e-14);
}

/// Foot of the perpendicular from a point to the side through two points, by projection.
fn distance_to((x, z): (f64, f64), a: (f64, f64), b: (f64, f64)) -> f64 {
    let (dx, dz) = (b.0 - a.0, b.1 - a.1);
    let along = ((x - a.0) * dx + (z - a.1) * dz) / (dx * dx + dz * dz);
    (x - a.0 - along * dx).hypot(z - a.1 - along * dz)
}

/// Halving between a point too near and one far enough.
fn halved(mut near: f64, mut far: f64, distance: impl Fn(f64) -> f64, wanted: f64) -> f64 {
    for _ in 0..200 {
        let middle = f64::midpoint(near, far);
        if distance(middle) < wanted {
            near = middle;
        } else {
            far = middle;
        }
    }
    far
}

#[test]
fn published_cones_gauged_on_paper_come_back() {
    // API Spec 7-2 (read): large and small end and length, mm. NC38 and NC50 are 1/6 on diameter,
    // NC56 1/4. The measures over rolls and balls are laid out from these ends alone, by the foot
    // of a perpendicular; the ends are rounded to 0.01 mm, which is 0.0002 on the taper here.
    for (large, small, length, taper) in [
        (102.01, 85.06, 101.61, 1.0 / 6.0),
        (133.35, 114.30, 114.31, 1.0 / 6.0),
        (149.25, 117.50, 127.01, 1.0 / 4.0),
    ] {
        let mm = |m: f64| Gauged::exact(m * 1e-3);
        let (foot, top) = ((small / 2.0, 0.0), (large / 2.0, length));
        let roll = 12.0;
        let over = |blocks: f64| {
            let height = blocks + roll / 2.0;
            let side = foot.0 + (top.0 - foot.0) * height / length;
            let away = |x: f64| distance_to((x, height), foot, top);
            2.0 * halved(side, side + 2.0 * roll, away, roll / 2.0) + roll
        };
        let plug = Rolls {
            roll: mm(roll),
            low: mm(over(0.0)),
            low_blocks: mm(0.0),
            high: mm(over(75.0)),
            high_blocks: mm(75.0),
            length: Some(mm(length)),
        }
        .sum()
        .expect("a plug");
        assert!((plug.taper.value - taper).abs() < 2e-4);
        assert!((plug.at_plate.value * 1e3 - small).abs() < 1e-9);
        assert!((plug.at_top.expect("a top").value * 1e3 - large).abs() < 1e-9);
        // The same cone as a bore, mouth up.
        let wall = [(large / 2.0, 0.0), (small / 2.0, length)];
        let depth = |ball: f64| {
            // Up from the apex the wall comes away.
            let apex = length * large / (large - small);
            let away = |up: f64| distance_to((0.0, apex - up), wall[0], wall[1]);
            apex - halved(0.0, 2.0 * apex, away, ball / 2.0) - ball / 2.0
        };
        let balls = [small + 1.0, large - 1.0];
        let bore = Balls {
            small: mm(balls[0]),
            small_depth: mm(depth(balls[0])),
            large: mm(balls[1]),
            large_depth: mm(depth(balls[1])),
        }
        .sum()
        .expect("a bore");
        assert!((bore.taper.value - taper).abs() < 2e-4);
        assert!((bore.mouth.value * 1e3 - large).abs() < 1e-9);
    }
}

#[test]
fn a_morse_plug_over_rolls_gives_its_printed_rate() {
    // ISO 296 (read): size 2 rises 0.59941 in/ft; half angle 1.430689 deg. Over rolls that stand
    // 2.000 in apart on blocks a mike goes 2 x 0.59941 / 12 more, by similar triangles.
    let more = 2.0 * 0.59941 / 12.0;
    let plug = Rolls {
        roll: Gauged::exact(0.25 * INCH),
        low: Gauged::exact(0.9 * INCH),
        low_blocks: Gauged::exact(0.0),
        high: Gauged::exact((0.9 + more) * INCH),
        high_blocks: Gauged::exact(2.0 * INCH),
        length: None,
    }
    .sum()
    .expect("a plug");
    assert!((plug.taper.value * 12.0 - 0.59941).abs() < 1e-12);
    assert!((plug.half_angle.value.to_degrees() - 1.430689).abs() < 1e-6);
}
