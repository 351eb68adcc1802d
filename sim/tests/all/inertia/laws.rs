//! The inertial form of the slide in cases whose answer is known in closed form, and its energy.

use proptest::prelude::*;
use tautway_sim::balance::{Body, Levels, Link, MassBody};
use tautway_sim::cut::Air;
use tautway_sim::record::Counters;

/// Standard gravity, m/s^2.
const GRAVITY: f64 = 9.806_65;

const MASS: f64 = 40.0;

/// A body on an even link, the guide at 0.
fn heavy(slack: f64, rate: f64, position: f64) -> MassBody {
    let link = Link {
        slack,
        first: rate,
        other: rate,
    };
    MassBody::new(link, MASS, 0.0, position)
}

/// What its speed holds, J.
fn kinetic(body: &MassBody) -> f64 {
    0.5 * body.mass * body.velocity() * body.velocity()
}

fn air(limit: f64) -> Air {
    Air {
        preload: 0.0,
        rate: 0.0,
        limit,
    }
}

#[test]
fn free_flight_across_a_gap_takes_gap_over_speed_closed_form() {
    // A body let go at one face of a gap of 2 mm at 50 mm/s: at the other after 40 ms, at every
    // step where it should be, and its speed untouched.
    let (gap, speed, time) = (2e-3, 0.05, 1e-4);
    let mut body = heavy(gap, 1e7, -0.5 * gap);
    body.set_velocity(speed);
    let mut counters = Counters::default();
    for step in 1..=400 {
        body.advance(0.0, &air(0.0), time, &mut counters);
        let there = -0.5 * gap + speed * time * f64::from(step);
        let x = body.position();
        assert!((x - there).abs() <= 1e-15, "step {step}: {x} for {there}");
    }
    assert!((body.velocity() - speed).abs() <= 1e-10);
    body.advance(0.0, &air(0.0), time, &mut counters);
    assert!(body.velocity() < speed, "the face brakes it");
    assert_eq!(counters.unconverged, 0);
}

/// How far and how long a body slides that starts at `speed` on dry ways.
fn slide_to_rest(speed: f64, coefficient: f64, time: f64) -> (f64, f64) {
    let load = air(coefficient * MASS * GRAVITY);
    let mut body = heavy(10.0, 1e7, 0.0);
    body.set_velocity(speed);
    let mut counters = Counters::default();
    let mut steps = 0;
    while body.velocity() != 0.0 {
        body.advance(0.0, &load, time, &mut counters);
        steps += 1;
        assert!(steps < 1_000_000, "it never stops");
    }
    let rests = body.position();
    body.advance(0.0, &load, time, &mut counters);
    assert_eq!(body.position(), rests, "what has stopped stays");
    (rests, time * f64::from(steps))
}

#[test]
fn a_sliding_body_stops_in_the_closed_form_distance() {
    // v^2 / (2 mu g) and v / (mu g); implicit steps fall short by v h / 2 at the most.
    for (speed, coefficient) in [(0.3, 0.15), (0.02, 0.05)] {
        let way = speed * speed / (2.0 * coefficient * GRAVITY);
        let takes = speed / (coefficient * GRAVITY);
        for time in [1e-3, 2.5e-4, 1e-5] {
            let (stops, after) = slide_to_rest(speed, coefficient, time);
            assert!(
                stops <= way && way - stops <= 0.51 * speed * time,
                "{stops} for {way} in steps of {time}"
            );
            assert!((after - takes).abs() <= time, "{after} for {takes}");
        }
    }
}

#[test]
fn a_mass_on_a_spring_swings_at_the_closed_form_frequency() {
    // A link without slack: sqrt(k/m), and damped by the step alone, as w h / 2.
    let (rate, time): (f64, f64) = (1e6, 2e-5);
    let w = (rate / 40.0).sqrt();
    let mut body = heavy(0.0, rate, 1e-4);
    let mut counters = Counters::default();
    let (mut crossings, mut before) = (Vec::new(), 1e-4);
    for step in 1..20_000 {
        body.advance(0.0, &air(0.0), time, &mut counters);
        let x = body.position();
        if (x > 0.0) != (before > 0.0) {
            crossings.push(time * (f64::from(step) - x.abs() / (x - before).abs()));
        }
        before = x;
    }
    let halves = crossings.len() - 1;
    let half = (crossings[halves] - crossings[0]) / halves as f64;
    assert!(halves > 15 && (half * w / std::f64::consts::PI - 1.0).abs() < 1e-4);
    let shrinks = (kinetic(&body) + 0.5 * rate * before * before) / (0.5 * rate * 1e-8);
    let expected = (-w * time * w * time * 19_999.0).exp();
    assert!(
        (shrinks / expected - 1.0).abs() < 0.02,
        "{shrinks} {expected}"
    );
}

#[test]
fn a_stiff_face_stops_a_body_without_a_bounce() {
    // Restitution 0: in the limit of a stiff link the step that meets the face ends there at rest.
    for rate in [1e13, 1e15] {
        let mut body = heavy(1e-3, rate, 0.0);
        body.set_velocity(0.1);
        let mut counters = Counters::default();
        let mut met = false;
        for _ in 0..400 {
            body.advance(0.0, &air(0.0), 1e-4, &mut counters);
            let x = body.position();
            met |= x >= 0.5e-3 - 1e-12;
            if met {
                let v = body.velocity();
                assert!((x - 0.5e-3).abs() < 1e-9 && v > -1e-5 * 0.1, "{x} {v}");
                break;
            }
        }
        assert!(met);
    }
}

#[test]
fn pressed_on_a_face_a_body_rests_without_chatter() {
    // 100 N against a face of 1e7 N/m, no friction, no damping: dropped from the face it settles
    // 10 um in; then nothing moves any more, however long.
    let load = Air {
        preload: 100.0,
        rate: 0.0,
        limit: 0.0,
    };
    let mut body = heavy(1e-3, 1e7, -0.5e-3);
    let mut counters = Counters::default();
    for _ in 0..3000 {
        body.advance(0.0, &load, 1e-3, &mut counters);
    }
    let rests = body.position();
    assert!((rests + 0.5e-3 + 1e-5).abs() < 1e-15, "{rests}");
    for _ in 0..2000 {
        let rested = body.advance(0.0, &load, 1e-3, &mut counters);
        assert!((body.position() - rests).abs() <= 1e-15);
        assert!((rested.drive - 100.0).abs() < 1e-6);
    }
}

#[test]
fn a_damped_link_swings_out_at_its_ratio_closed_form() {
    // Seated all the time, ratio 0.2: peaks an oscillation apart shrink by exp(-2 pi z / sqrt(1-z^2)).
    let (rate, ratio): (f64, f64) = (1e7, 0.2);
    let seat = -0.5e-3 - 1000.0 / rate;
    let mut body = heavy(1e-3, rate, seat + 0.5e-4);
    body.damping = 2.0 * ratio * (rate * body.mass).sqrt();
    let load = Air {
        preload: 1000.0,
        rate: 0.0,
        limit: 0.0,
    };
    let mut counters = Counters::default();
    let mut peaks = vec![0.5e-4];
    let (mut before, mut earlier) = (f64::NEG_INFINITY, f64::NEG_INFINITY);
    for _ in 0..40_000 {
        body.advance(0.0, &load, 1e-6, &mut counters);
        let x = body.position() - seat;
        if before > x && before > earlier && before < 0.49e-4 {
            peaks.push(before);
        }
        (earlier, before) = (before, x);
    }
    let expected = (-std::f64::consts::TAU * ratio / (1.0 - ratio * ratio).sqrt()).exp();
    assert!(peaks.len() > 2);
    for pair in peaks.windows(2).take(2) {
        assert!((pair[1] / pair[0] / expected - 1.0).abs() < 0.01);
    }
}

#[test]
fn damped_on_its_ways_a_swing_dies_at_its_ratio_closed_form() {
    // On a spring, seated all the time: peaks shrink by exp(-2 pi z / sqrt(1 - z^2)) an
    // oscillation, whatever the link's own damping, here none.
    let (rate, ratio): (f64, f64) = (1e7, 0.05);
    let mut body = heavy(0.0, rate, 0.5e-4);
    body.on_ways = 2.0 * ratio * (rate * body.mass).sqrt();
    let mut counters = Counters::default();
    let mut peaks = vec![0.5e-4];
    let (mut before, mut earlier) = (f64::NEG_INFINITY, f64::NEG_INFINITY);
    for _ in 0..60_000 {
        body.advance(0.0, &air(0.0), 1e-6, &mut counters);
        let x = body.position();
        if before > earlier && before > x && earlier.is_finite() {
            peaks.push(before);
        }
        (earlier, before) = (before, x);
    }
    let expected = (-std::f64::consts::TAU * ratio / (1.0 - ratio * ratio).sqrt()).exp();
    assert!(peaks.len() > 2);
    for pair in peaks.windows(2).take(2) {
        assert!((pair[1] / pair[0] / expected - 1.0).abs() < 0.01);
    }
}

#[test]
fn damped_on_its_ways_it_drifts_at_force_over_damping_closed_form() {
    // Heavily damped, mass counts for nothing: v = P / c, in an open gap.
    let load = Air {
        preload: -20.0,
        rate: 0.0,
        limit: 5.0,
    };
    let mut body = heavy(1.0, 1e7, 0.0);
    body.on_ways = 1e6;
    let mut counters = Counters::default();
    for _ in 0..100 {
        body.advance(0.0, &load, 1e-3, &mut counters);
    }
    assert!((body.velocity() * 1e6 / 15.0 - 1.0).abs() < 1e-6);
}

/// A guide to and fro at `speed` and a slide behind it, both forms; the most they are apart, m.
fn apart(speed: f64, reach: f64, steps: u32) -> f64 {
    let mut body = heavy(0.2e-3, 5e6, 0.0);
    body.damping = 0.3 * (5e6_f64 * body.mass).sqrt();
    let load = Air {
        preload: 10.0,
        rate: 2e4,
        limit: 60.0,
    };
    let mut still = Body::new(body.link, Levels::ONE, 0.0);
    let mut counters = Counters::default();
    let time = 4.0 * reach / speed / f64::from(steps);
    let mut most = 0.0_f64;
    for step in 1..=2 * steps {
        let turn = f64::from(step) / f64::from(steps);
        let guide = reach * (4.0 * ((turn + 0.25).fract() - 0.5).abs() - 1.0);
        body.advance(-guide, &load, time, &mut counters);
        still.advance(-guide, &load, &mut counters);
        most = most.max((body.position() - still.position).abs());
    }
    assert_eq!(counters.unconverged, 0);
    most
}

#[test]
fn slow_motion_is_quasi_static_to_first_order_in_speed() {
    // A face met at a speed v swings by v sqrt(m/k): halving the speed halves what the forms are
    // apart. 20,000 steps a cycle: finer ones change it by less than 2 %.
    let far: Vec<f64> = [4e-3, 2e-3, 1e-3, 0.5e-3]
        .iter()
        .map(|&speed| apart(speed, 0.5e-3, 20_000))
        .collect();
    for pair in far.windows(2) {
        let order = (pair[0] / pair[1]).log2();
        assert!((0.85..1.15).contains(&order), "{far:?}");
    }
    // v sqrt(m/k) = 1.4 um at 0.5 mm/s, less what the damping takes.
    assert!(far[3] < 0.5e-3 * (40.0_f64 / 5e6).sqrt() * 1.05, "{far:?}");
    // To nothing: the step is so long that momentum counts for nothing.
    assert!(apart(1e-9, 0.5e-3, 2000) < 1e-12);
}

#[test]
fn without_mass_the_body_is_the_quasi_static_one() {
    // Mass 0: inertia is gone, and each step is the balance, whatever the time.
    let link = Link {
        slack: 0.2e-3,
        first: 5e6,
        other: 4e6,
    };
    let mut still = Body::new(link, Levels::ONE, 0.0);
    let mut body = MassBody::new(link, 0.0, 0.0, 0.0);
    let load = Air {
        preload: 30.0,
        rate: 1e5,
        limit: 50.0,
    };
    let mut counters = Counters::default();
    for step in 0..400 {
        let guide = 1e-3 * (0.05 * f64::from(step)).sin() * (1.0 - 0.002 * f64::from(step));
        still.advance(guide, &load, &mut counters);
        body.advance(guide, &load, 1e-3, &mut counters);
        let (a, b) = (still.position, body.position());
        assert!((a - b).abs() < 1e-12, "step {step}: {a} {b}");
    }
    assert_eq!(counters.unconverged, 0);
}

#[derive(Clone, Debug)]
struct Case {
    body: MassBody,
    load: (f64, f64, f64),
    speed: f64,
    walk: Vec<f64>,
    time: f64,
}

fn case() -> impl Strategy<Value = Case> {
    let body = (
        (0.0..0.5e-3, 5.0..8.0, 0.2..1.0),
        (0.0..5e3, 0.5..80.0, 1.0..2.0),
        -1e-3..1e-3,
    )
        .prop_map(
            |((slack, decade, other), (damping, mass, start), position)| {
                let link = Link {
                    slack,
                    first: 10_f64.powf(decade),
                    other: other * 10_f64.powf(decade),
                };
                let mut body = MassBody::new(link, mass, 0.0, position);
                body.damping = damping;
                body.levels = Levels::breakaway(start, 0.0);
                body
            },
        );
    (
        body,
        (-100.0..100.0, 0.0..1e5, 0.0..100.0),
        -0.1..0.1,
        prop::collection::vec(-0.2e-3..0.2e-3, 1..60),
        -5.0..-2.0,
    )
        .prop_map(|(body, load, speed, walk, decade)| Case {
            body,
            load,
            speed,
            walk,
            time: 10_f64.powf(decade),
        })
}

/// Kinetic energy, the spring's, and the load's, J.
fn energy(body: &MassBody, guide: f64, load: (f64, f64, f64)) -> f64 {
    let x = body.position();
    let force = body.link.force(guide - x);
    let spring = if force == 0.0 {
        0.0
    } else {
        0.5 * force * force / body.link.rate(guide - x)
    };
    kinetic(body) + spring + load.0 * x + 0.5 * load.1 * x * x
}

proptest! {
    #[test]
    fn energy_is_never_created_but_by_the_drive_property(case in case()) {
        let Case { mut body, load, speed, walk, time } = case;
        let acts = Air { preload: load.0, rate: load.1, limit: load.2 };
        body.set_velocity(speed);
        let mut counters = Counters::default();
        let mut guide = 0.0;
        let mut has = energy(&body, guide, load);
        for by in walk {
            guide += by;
            let drive = body.advance(guide, &acts, time, &mut counters).drive;
            let x = body.position();
            let now = energy(&body, guide, load);
            let scale = has.abs() + now.abs() + (drive * by).abs() + 1e-9;
            prop_assert!(now <= has + drive * by + 1e-9 * scale,
                "{now} from {has} and {}, at {x:?}", drive * by);
            has = now;
        }
        prop_assert_eq!(counters.unconverged, 0);
    }

    #[test]
    fn the_same_bytes_again_property(case in case()) {
        let run = || {
            let acts = Air { preload: case.load.0, rate: case.load.1, limit: case.load.2 };
            let mut body = case.body.clone();
            let mut counters = Counters::default();
            let mut guide = 0.0;
            for by in &case.walk {
                guide += by;
                body.advance(guide, &acts, case.time, &mut counters);
            }
            (body, counters)
        };
        prop_assert_eq!(run(), run());
    }
}
