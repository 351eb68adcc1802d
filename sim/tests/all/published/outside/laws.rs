//! Force laws, surface and uncertainty: closed forms and guides.

use tautway_sim::cutting::{EdgeShape, ForceLaw};
use tautway_sim::measure::filter::{mean_height, mean_line, passed};
use tautway_sim::quantity::Quantity;
use tautway_sim::scenario::material::Material;
use tautway_sim::spread::{Distribution, Input, first_order};

use super::{How, Ours, Table};

pub fn cutting(table: &mut Table) {
    use How::{Exact, Memory, Unnamed};
    use Ours::{Here, There, Typed, Within};
    table.group("Cutting force and surface");
    // VDI 3323 groups as printed in a 2017 turning catalogue: kc1.1 in N/mm2, exponent.
    let source = "a catalogue of 2017, by VDI 3323 groups";
    for (name, kc, mc) in [
        ("1018", 1350.0, 0.21),
        ("1045", 1500.0, 0.22),
        ("4140", 1775.0, 0.24),
        ("304", 2150.0, 0.20),
        ("6061", 700.0, 0.25),
        ("brass", 700.0, 0.27),
    ] {
        let row = Material::named(name).expect("a material");
        let ours = Typed(kc, row.specific_force().si() / 1e6, 0, 1e-6);
        table.row(
            source,
            Unnamed,
            format!("specific force of {name}, N/mm2"),
            ours,
        );
        let ours = Typed(mc, row.exponent, 2, 1e-9);
        table.row(source, Unnamed, format!("exponent of {name}"), ours);
    }
    // The same catalogue; the names of its rows differ between editions.
    let iron = Material::named("grey iron").expect("a material");
    let ours = Typed(1150.0, iron.specific_force().middle.si() / 1e6, 0, 1e-6);
    table.row(
        source,
        Unnamed,
        "specific force of grey iron, about, N/mm2",
        ours,
    );
    let ours = Typed(0.20, iron.exponent, 2, 1e-9);
    table.row(source, Unnamed, "exponent of grey iron", ours);
    let square = |nose, feed| EdgeShape::new(nose, 90f64.to_radians(), feed);
    let main = |kc: f64, mc, nose| {
        let shape = square(nose, 0.2e-3);
        ForceLaw::new(kc * 1e6, mc, 0.5, 20e3, shape, 0.0)
            .at(2e-3, 0.0, 1.0)
            .main
    };
    // Closed form kc1.1 b h^(1 - mc), depth 2 mm, feed 0.2 mm, entering angle 90 deg.
    for (kc, mc, printed) in [
        (1775.0, 0.24, 1044.747),
        (1500.0, 0.22, 854.918),
        (700.0, 0.27, 432.394),
    ] {
        let what = format!("main force, {kc}/{mc}, sharp corner, N");
        table.row(
            "closed form",
            Exact,
            what,
            Here(printed, main(kc, mc, 0.0), 3),
        );
    }
    // Worked beside the closed form: about 1108 N with a nose of 0.8 mm.
    let ours = Within(1108.0, main(1775.0, 0.24, 0.8e-3), 0, 2.0);
    table.row(
        "closed form",
        Exact,
        "main force, 1775/0.24, nose 0.8 mm, N",
        ours,
    );
    // A textbook's row of C45, from memory, over the catalogue's at a chip of 0.2 mm.
    let ours = Here(1.3, main(2220.0, 0.14, 0.0) / main(1500.0, 0.22, 0.0), 1);
    let what = "C45 by a textbook, 2220/0.14, over 1500/0.22, chip 0.2 mm";
    table.row("a textbook", Memory, what, ours);
    let ours = There(
        "2500/0.26, 2220/0.14, 1160/0.26",
        "published/mod",
        "other_books_forces_lie_about_a_third_from_ours",
    );
    let what = "42CrMo4, C45, GJL-250 by a textbook";
    table.row("a textbook", Memory, what, ours);
    // Colwell, Trans. ASME 76 (1954) 199, with the feed term.
    for (depth, feed, angle) in [
        (2.0, 0.2, 65.7723),
        (0.5, 0.1, 32.2772),
        (0.25, 0.1, 21.6149),
        (0.1, 0.05, 13.6334),
    ] {
        let shape = square(0.8e-3, feed * 1e-3);
        let force = ForceLaw::new(2e9, 0.25, 0.5, 20e3, shape, 0.0).at(depth * 1e-3, 0.0, 1.0);
        let ours = force.feed.atan2(force.push_off).to_degrees();
        let what = format!("direction of the chord, depth {depth}, feed {feed}, nose 0.8 mm, deg");
        table.row("Colwell 1954", Exact, what, Here(angle, ours, 4));
    }
    // ISO 16610-21: waviness passed by the filter, from the closed form.
    for (wavelength, share, digits) in [(0.5, 0.0625, 4), (1.0, 0.5, 1), (2.0, 0.840896, 6)] {
        let what = format!("waves of {wavelength} cut-offs passed by the filter");
        let ours = Here(share, passed(1.0, wavelength), digits);
        table.row("ISO 16610-21", Memory, what, ours);
    }
    // ISO 16610-21, from memory, closed form: the constant and the weights' standard deviation.
    let constant = (-passed(1.0, 1.0).ln() / std::f64::consts::PI).sqrt();
    let ours = Here(0.4697186, constant, 7);
    table.row("ISO 16610-21", Memory, "constant of the filter", ours);
    let mut spike = vec![0.0; 4001];
    spike[2000] = 1.0;
    let weights = mean_line(&spike, 1e-3, 1.0);
    let places = weights.iter().zip(-2000..);
    let square_of = |(weight, i): (&f64, i32)| weight * (1e-3 * f64::from(i)).powi(2);
    let width = places.map(square_of).sum::<f64>().sqrt();
    // The weights end at one cut-off, 5.3 deviations.
    let ours = Within(0.1873906, width, 7, 1e-6);
    let what = "standard deviation of the weights, in cut-offs";
    table.row("ISO 16610-21", Memory, what, ours);
    // ISO 21920, from memory, closed form: Ra of a sine of 100, and of arcs over feed^2 / nose.
    let turn = (0..100_000).map(|i| f64::from(i) / 1e5);
    let sine: Vec<f64> = turn
        .clone()
        .map(|t| 100.0 * (std::f64::consts::TAU * t).sin())
        .collect();
    let arcs: Vec<f64> = turn.map(|t| 0.5 * (t - 0.5) * (t - 0.5)).collect();
    for (what, printed, ours, digits) in [
        ("Ra of a sine of 100", 63.6620, mean_height(&sine), 4),
        (
            "Ra of feed marks, of feed^2 / nose",
            0.0320750,
            mean_height(&arcs),
            7,
        ),
    ] {
        table.row("ISO 21920", Memory, what, Here(printed, ours, digits));
    }
    // Closed form: f^2 / 8 r and the exact arc, 0.2 and 0.8 mm.
    let ours = There(
        "6.25, 6.274607",
        "cut/laws",
        "kinematic_roughness_of_a_steady_cut_closed_form",
    );
    table.row(
        "closed form",
        Exact,
        "feed marks, feed 0.2, nose 0.8 mm, um",
        ours,
    );
}

pub fn uncertainty(table: &mut Table) {
    use How::{Exact, Memory};
    use Ours::{Here, There, Within};
    table.group("Uncertainty");
    let input = |u| Input {
        estimate: 0.0,
        standard_uncertainty: u,
        degrees_of_freedom: f64::INFINITY,
    };
    let sum = |us: [f64; 4]| {
        let found = first_order(&us.map(input), None, 1.0, |x| vec![x.iter().sum()]);
        found.expect("a result")[0].clone()
    };
    // JCGM 101:2008, 9.2, from memory; computed independently to these digits.
    let source = "JCGM 101, 9.2";
    let four = sum([1.0; 4]).interval(0.95).upper;
    table.row(
        source,
        Exact,
        "four normal inputs, half of 95 %",
        Here(3.919928, four, 6),
    );
    let wide = sum([1.0, 1.0, 1.0, 10.0]);
    let ours = Here(10.148892, wide.standard_uncertainty, 6);
    table.row(source, Exact, "three inputs of 1, one of 10: u", ours);
    // The guide takes 1.96 for 1.959964 there.
    let ours = Within(19.891827, wide.interval(0.95).upper, 6, 4e-4);
    table.row(source, Exact, "the same, half of 95 % to first order", ours);
    // JCGM 101:2008, 6.4, from memory: variances.
    let variance = |one: Distribution| one.standard_deviation().powi(2);
    let (lower, upper) = (0.0, 1.0);
    let trapezoid = Distribution::CurvilinearTrapezoid {
        lower,
        upper,
        inexactness: 0.1,
    };
    let triangle = Distribution::Triangular {
        lower,
        mode: 0.5,
        upper,
    };
    for (what, one, printed) in [
        (
            "arcsine on 0 to 1, variance",
            Distribution::Arcsine { lower, upper },
            0.125,
        ),
        ("triangle on 0 to 1, variance", triangle, 0.041667),
        (
            "rectangle on 0 to 1, variance",
            Distribution::Rectangular { lower, upper },
            0.083333,
        ),
        (
            "trapezoid on 0 to 1, ends within 0.1, variance",
            trapezoid,
            0.084444,
        ),
    ] {
        table.row(
            "JCGM 101, 6.4",
            Memory,
            what,
            Here(printed, variance(one), 6),
        );
    }
    // The same, 6.4.9: (n - 1) / (n - 3) s^2 / n, here for the gauge block's 25 readings of s = 1.
    let readings = Distribution::ScaledT {
        degrees_of_freedom: 24.0,
        centre: 0.0,
        scale: 0.2,
    };
    let ours = Here(0.043636, variance(readings), 6);
    let what = "mean of 25 readings that scatter by 1, variance";
    table.row("JCGM 101, 6.4", Memory, what, ours);
    // JCGM 101:2008, 7.9, from memory.
    let ours = There(
        "10000 at 95 %, 100000 at 99.9 %",
        "spread/adaptive",
        "numerical_tolerances",
    );
    let what = "trials in a block, half a unit in the last digit";
    table.row("JCGM 101, 7.9", Memory, what, ours);
    for (source, what, printed, test) in [
        // JCGM 101:2008, 9.2 to 9.5, from memory, computed independently.
        (
            "JCGM 101, 9.2",
            "four rectangles, half of 95 %",
            "3.879407",
            "additive_model_of_four_rectangles",
        ),
        (
            "JCGM 101, 9.2",
            "three of 1, one rectangle of 10: half of 95 %",
            "17.01",
            "additive_model_of_three_rectangles_and_a_wide_one",
        ),
        (
            "JCGM 101, 9.3",
            "mass: u to first order, u",
            "0.0538516, 0.0754793",
            "mass_calibration",
        ),
        (
            "JCGM 101, 9.4",
            "comparison loss: u, shortest, symmetric, for three x1",
            "50, 111.803, 502.494 and ends",
            "comparison_loss_of_power_meters",
        ),
        (
            "JCGM 101, 9.5",
            "gauge block: u, ends of 99 %, nm",
            "35.808, 744.3, 931.6",
            "gauge_block_calibration",
        ),
        (
            "JCGM 101, 9.5",
            "gauge block: u to first order, nm",
            "32.138",
            "first_order_of_the_gauge_block",
        ),
    ] {
        table.row(source, Memory, what, There(printed, "spread/guide", test));
    }
    // Ishigami and Homma (1990), from memory; closed form.
    let ours = There(
        "13.844588; 0.313905, 0.442411, 0; 0.557589, 0.442411, 0.243684",
        "spread/peers",
        "ishigami_indices_within_their_bootstrap_error",
    );
    table.row(
        "Ishigami and Homma 1990",
        Exact,
        "variance, shares, total shares",
        ours,
    );
}
