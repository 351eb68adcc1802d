//! The first-order error of the gauging sums against a Monte Carlo of the same formulas.

use rand::SeedableRng;
use rand_chacha::ChaCha12Rng;
use rand_distr::{Distribution, StandardNormal};
use tautway_sim::gauging::{
    Balls, Bearing, Blue, BlueSign, Bore, Diameters, Found, Gauge, Gauged, Plug, Rolls, Standoff,
};
use tautway_sim::quantity::{Quantity, Taper};
use tautway_sim::scenario::{End, Kind};
use tautway_sim::setup::{Face, Feed, Rotation, Setup, Side};

const INCH: f64 = 0.0254;

fn close(got: f64, wanted: f64, within: f64) {
    assert!((got - wanted).abs() <= within, "{got} is not {wanted}");
}

/// Down to the top of a ball in a bore: its centre stands `q / sin a` above the apex.
fn depth_of_ball(mouth: f64, taper: f64, ball: f64) -> f64 {
    let half_angle = (taper / 2.0).atan();
    mouth / taper - ball / 2.0 / half_angle.sin() - ball / 2.0
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

/// Twice the standard deviation of many draws, each input normal with half its half-width as
/// deviation.
fn by_monte_carlo<const N: usize>(inputs: [Gauged; N], law: impl Fn([f64; N]) -> f64) -> f64 {
    const DRAWS: usize = 40_000;
    let mut rng = ChaCha12Rng::seed_from_u64(7);
    let results: Vec<f64> = (0..DRAWS)
        .map(|_| {
            law(inputs.map(|one| {
                let unit: f64 = StandardNormal.sample(&mut rng);
                one.value + one.half / 2.0 * unit
            }))
        })
        .collect();
    let mean = results.iter().sum::<f64>() / DRAWS as f64;
    let square = results.iter().map(|r| (r - mean).powi(2)).sum::<f64>();
    2.0 * (square / (DRAWS - 1) as f64).sqrt()
}

/// 40 000 draws know a deviation to 0.35 %; three times that, and the curvature left out.
fn agrees(found: &Found, drawn: f64) {
    assert!(drawn > 0.0);
    close(found.half / drawn, 1.0, 0.015);
}

#[test]
fn first_order_error_of_two_balls_holds_against_draws() {
    let mouth = 1.5 * INCH;
    let taper = 2.0 / 12.0;
    let with = |value: f64, gauge: Gauge| Gauged::with(value, gauge);
    let inputs = [
        with(0.5 * INCH, Gauge::Ball),
        with(depth_of_ball(mouth, taper, 0.5 * INCH), Gauge::DepthMike),
        with(1.0 * INCH, Gauge::Ball),
        with(depth_of_ball(mouth, taper, 1.0 * INCH), Gauge::DepthMike),
    ];
    let balls = |[small, small_depth, large, large_depth]: [Gauged; 4]| {
        Balls {
            small,
            small_depth,
            large,
            large_depth,
        }
        .sum()
        .expect("a bore")
    };
    let bore = balls(inputs);
    let drawn =
        |pick: fn(&Bore) -> f64| by_monte_carlo(inputs, |at| pick(&balls(at.map(Gauged::exact))));
    agrees(&bore.taper, drawn(|bore| bore.taper.value));
    agrees(&bore.half_angle, drawn(|bore| bore.half_angle.value));
    agrees(&bore.mouth, drawn(|bore| bore.mouth.value));
    assert!(bore.taper.shares[0].of.contains("depth"), "{bore:?}");
}

#[test]
fn first_order_error_of_rolls_holds_against_draws() {
    let inputs = [
        Gauged::with(0.25 * INCH, Gauge::Ball),
        Gauged::with(2.0 * INCH, Gauge::Mike),
        Gauged::with(0.25 * INCH, Gauge::Blocks),
        Gauged::with(2.125 * INCH, Gauge::Mike),
        Gauged::with(1.0 * INCH, Gauge::Blocks),
        Gauged::with(3.0 * INCH, Gauge::Rule),
    ];
    let rolls = |[roll, low, low_blocks, high, high_blocks, length]: [Gauged; 6]| {
        Rolls {
            roll,
            low,
            low_blocks,
            high,
            high_blocks,
            length: Some(length),
        }
        .sum()
        .expect("a plug")
    };
    let plug = rolls(inputs);
    let drawn =
        |pick: fn(&Plug) -> f64| by_monte_carlo(inputs, |at| pick(&rolls(at.map(Gauged::exact))));
    agrees(&plug.taper, drawn(|plug| plug.taper.value));
    agrees(&plug.at_plate, drawn(|plug| plug.at_plate.value));
    let top = plug.at_top.as_ref().expect("a top");
    agrees(
        top,
        drawn(|plug| plug.at_top.as_ref().map_or(0.0, |top| top.value)),
    );
}

#[test]
fn first_order_error_of_standoff_diameters_and_blue_holds_against_draws() {
    let inputs = [
        Gauged::given(2.0 / 12.0, 0.01 / 12.0),
        Gauged::with(0.100 * INCH, Gauge::Caliper),
    ];
    let standoff = |[taper, read]: [Gauged; 2]| {
        let kind = Kind::Inside;
        let sum = Standoff {
            kind,
            taper,
            read,
            wanted: 0.0,
        };
        sum.sum().expect("a sum").per_side
    };
    agrees(
        &standoff(inputs),
        by_monte_carlo(inputs, |at| standoff(at.map(Gauged::exact)).value),
    );
    let inputs = [
        Gauged::with(1.5 * INCH, Gauge::Mike),
        Gauged::with(1.0 * INCH, Gauge::Mike),
        Gauged::with(3.0 * INCH, Gauge::Rule),
    ];
    let two = |[big, small, apart]: [Gauged; 3]| {
        let two = Diameters { big, small, apart };
        two.sum(None).expect("a sum").taper
    };
    agrees(
        &two(inputs),
        by_monte_carlo(inputs, |at| two(at.map(Gauged::exact)).value),
    );
    let inputs = [
        Gauged::with(0.003 * INCH, Gauge::Indicator),
        Gauged::with(3.0 * INCH, Gauge::Rule),
        Gauged::given(10.0 * INCH, 0.5 * INCH),
    ];
    let blue = |[total, over, guide_end]: [Gauged; 3]| {
        Blue {
            setup: setup(Kind::Inside, End::Tailstock, Side::Front),
            wanted: Taper::from_si(2.0 / 12.0),
            bears: Bearing::Small,
            sign: Some(BlueSign::Shake { total, over }),
            guide_end,
            end: End::Tailstock,
        }
        .correction()
        .expect("a correction")
        .amount
        .expect("a shake")
        .nudge
    };
    agrees(
        &blue(inputs),
        by_monte_carlo(inputs, |at| blue(at.map(Gauged::exact)).value),
    );
}
