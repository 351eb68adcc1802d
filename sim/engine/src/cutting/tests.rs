//! The force law against closed forms and its own slopes.

use super::*;

fn law(specific: f64, exponent: f64, shape: EdgeShape, path: f64) -> ForceLaw {
    ForceLaw::new(specific * 1e6, exponent, 0.5, 20e3, shape, path)
}

fn square(nose: f64, feed: f64) -> EdgeShape {
    EdgeShape::new(nose, 90f64.to_radians(), feed)
}

#[test]
fn kienzle_with_a_sharp_corner_closed_form() {
    // kc1.1 and mc by VDI 3323 groups as printed in a 2017 turning catalogue; the force is
    // the closed form kc1.1 b h^(1-mc) at depth 2 mm, feed 0.2 mm, entering angle 90 deg.
    for (specific, exponent, force) in [
        (1775.0, 0.24, 1044.747),
        (1500.0, 0.22, 854.918),
        (700.0, 0.27, 432.394),
    ] {
        let main = law(specific, exponent, square(0.0, 0.2e-3), 0.0)
            .at(2e-3, 0.0, 1.0)
            .main;
        assert!((main - force).abs() < 5e-4, "{main} against {force}");
    }
}

#[test]
fn a_nose_radius_raises_the_main_force_a_little() {
    // Worked beside the closed form above: about 1108 N with a 0.8 mm nose.
    let main = law(1775.0, 0.24, square(0.8e-3, 0.2e-3), 0.0)
        .at(2e-3, 0.0, 1.0)
        .main;
    assert!((main - 1108.0).abs() < 2.0, "{main}");
}

#[test]
fn chord_direction_closed_form() {
    // Colwell, Trans. ASME 76 (1954) 199, with the feed term, entering angle 90 deg.
    for (depth, feed, angle) in [
        (2.0, 0.2, 65.7723),
        (0.5, 0.1, 32.2772),
        (0.25, 0.1, 21.6149),
        (0.1, 0.05, 13.6334),
    ] {
        let shape = square(0.8e-3, feed * 1e-3);
        let force = law(2000.0, 0.25, shape, 0.0).at(depth * 1e-3, 0.0, 1.0);
        let ours = force.feed.atan2(force.push_off).to_degrees();
        assert!((ours - angle).abs() < 5e-5, "{ours} against {angle}");
    }
}

#[test]
fn slopes_are_those_of_the_values() {
    for nose in [0.0, 0.4e-3, 0.8e-3] {
        for entering in [60f64, 90.0, 95.0] {
            for depth in [1e-6, 5e-6, 20e-6, 0.1e-3, 0.3e-3, 1e-3] {
                for deepening in [-2e-7, 0.0, 3e-6] {
                    let shape = EdgeShape::new(nose, entering.to_radians(), 0.2e-3);
                    let law = law(1675.0, 0.24, shape, -0.08);
                    let h = depth * 1e-6;
                    let (low, mid, high) = (
                        law.at(depth - h, deepening - h, 1.1),
                        law.at(depth, deepening, 1.1),
                        law.at(depth + h, deepening + h, 1.1),
                    );
                    for (a, b, slope) in [
                        (low.main, high.main, mid.main_slope),
                        (low.push_off, high.push_off, mid.push_off_slope),
                        (low.feed, high.feed, mid.feed_slope),
                    ] {
                        let numeric = (b - a) / (2.0 * h);
                        let close = 2e-4 * numeric.abs() + 1.0;
                        assert!(
                            (numeric - slope).abs() < close,
                            "nose {nose} K {entering} a {depth} d {deepening}: {slope} {numeric}"
                        );
                    }
                }
            }
        }
    }
}

#[test]
fn area_is_continuous_where_the_cut_leaves_its_own_groove_and_the_arc() {
    let shape = EdgeShape::new(0.8e-3, 75f64.to_radians(), 0.2e-3);
    let mark = 0.8e-3 - (0.8e-3f64.powi(2) - 0.1e-3f64.powi(2)).sqrt();
    let top = 0.8e-3 * (1.0 - 75f64.to_radians().cos());
    for depth in [mark, top] {
        let (a, b) = (
            shape.engaged(depth * (1.0 - 1e-9)),
            shape.engaged(depth * (1.0 + 1e-9)),
        );
        assert!((a.area - b.area).abs() < 1e-15);
        assert!((a.edge - b.edge).abs() < 1e-10);
        assert!((a.lead - b.lead).abs() < 1e-10);
    }
}
