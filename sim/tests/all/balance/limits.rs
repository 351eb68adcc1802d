//! The balance in its limit cases, where the answer is known in closed form.

use tautway_sim::balance::{Body, Levels, Link, Load, Reaction};
use tautway_sim::cut::Air;
use tautway_sim::record::Counters;

use super::chain::{Chain, Rubbing};

const FREE: Air = Air {
    preload: 0.0,
    rate: 0.0,
    limit: 0.0,
};

fn one(link: Link, levels: Levels) -> Body {
    Body::new(link, levels, 0.0)
}

fn even(slack: f64, rate: f64) -> Link {
    Link {
        slack,
        first: rate,
        other: rate,
    }
}

/// Steps of a walk that never repeats itself: fractions of multiples of the golden ratio.
fn walk(count: u32, reach: f64) -> impl Iterator<Item = f64> {
    (1..=count).map(move |i| {
        let fraction = |x: f64| x - x.floor() - 0.5;
        let i = f64::from(i);
        2.0 * reach * fraction(i * 0.618_033_988_749_895) * fraction(i * 0.414_213_562_373_095)
            + reach * (0.05 * i).sin()
    })
}

fn play(w: f64, u: f64, slack: f64) -> f64 {
    (u - 0.5 * slack).max((u + 0.5 * slack).min(w))
}

#[test]
fn no_force_is_the_play_operator_closed_form() {
    for (slack, rate) in [(0.0, 1e7), (0.3e-3, 1e7), (2e-3, 1e5), (0.05e-3, 1e9)] {
        let mut body = one(even(slack, rate), Levels::ONE);
        let mut counters = Counters::default();
        let mut w = 0.0;
        for u in walk(4000, 1e-3) {
            body.advance(u, &FREE, &mut counters);
            w = play(w, u, slack);
            let x = body.position;
            assert!((x - w).abs() <= 1e-12 * 1e-3, "{x} for {w}, slack {slack}");
        }
        assert_eq!(counters.unconverged, 0);
    }
}

#[test]
fn play_of_a_sine_published() {
    // Krasnosel'skii and Pokrovskii; survey Nordin and Gutman, Automatica 38 (2002) 1633:
    // amplitude 1, half clearance 0.2 gives output amplitude 0.8, loop area 0.64, describing
    // function 0.857622 - 0.203718 j.
    const STEPS: u32 = 20_000;
    let mut body = one(even(0.4, 1e3), Levels::ONE);
    let mut counters = Counters::default();
    let (mut most, mut area, mut sine, mut cosine) = (0.0_f64, 0.0, 0.0, 0.0);
    let mut last = (0.0, 0.0);
    for i in 0..=2 * STEPS {
        let angle = std::f64::consts::TAU * f64::from(i) / f64::from(STEPS);
        let u = angle.sin();
        body.advance(u, &FREE, &mut counters);
        let w = body.position;
        if i > STEPS {
            most = most.max(w);
            area += 0.5 * (w + last.1) * (u - last.0);
            sine += w * angle.sin();
            cosine += w * angle.cos();
        }
        last = (u, w);
    }
    let share = 2.0 / f64::from(STEPS);
    assert!((most - 0.8).abs() < 1e-12, "{most}");
    assert!((area.abs() - 0.64).abs() < 1e-6, "{area}");
    assert!((share * sine - 0.857622).abs() < 1e-6, "{}", share * sine);
    assert!(
        (share * cosine + 0.203718).abs() < 1e-6,
        "{}",
        share * cosine
    );
}

/// Where `link(u - x) - preload - rate x` is `net`, by trying the three pieces of the link.
/// ISO 230-2, from memory: at each target the mean place come to from below less the mean from
/// above; the reversal value is the largest in size. Play b alone makes every one of them b.
#[test]
fn reversal_value_of_pure_play_from_memory() {
    let (play, visits) = (0.08e-3, 5);
    let targets: Vec<f64> = (1..=7).map(|i| 1e-3 * f64::from(i)).collect();
    let mut body = one(even(play, 1e8), Levels::ONE);
    let mut counters = Counters::default();
    let mut come_to = |target: f64| {
        body.advance(target, &FREE, &mut counters);
        body.position
    };
    let (mut up, mut down) = (vec![0.0; targets.len()], vec![0.0; targets.len()]);
    for _ in 0..visits {
        // Past the last target each way, further than the play, as the standard has it.
        come_to(0.0);
        for (sum, target) in up.iter_mut().zip(&targets) {
            *sum += come_to(*target) / f64::from(visits);
        }
        come_to(8e-3);
        for (sum, target) in down.iter_mut().zip(&targets).rev() {
            *sum += come_to(*target) / f64::from(visits);
        }
    }
    let each = down.iter().zip(&up).map(|(down, up)| down - up);
    let value = each.clone().fold(0.0, f64::max);
    assert!((value - play).abs() < 1e-12, "{value}");
    assert!(each.clone().all(|b| (b - play).abs() < 1e-12));
}

fn where_net_is(net: f64, u: f64, link: Link, load: Air) -> f64 {
    let (half, p) = (0.5 * link.slack, net + load.preload);
    let first = (link.first * (u - half) - p) / (link.first + load.rate);
    if u - first >= half {
        return first;
    }
    let other = (link.other * (u + half) - p) / (link.other + load.rate);
    if u - other <= -half {
        return other;
    }
    -p / load.rate
}

#[test]
fn one_body_with_a_linear_load_is_a_clamp_closed_form() {
    for (first, other) in [(2e7, 2e7), (2e7, 5e6), (1e5, 4e6)] {
        for (preload, rate, limit) in [(0.0, 1e6, 30.0), (80.0, 3e5, 20.0), (-50.0, 4e6, 0.0)] {
            let link = Link {
                slack: 0.4e-3,
                first,
                other,
            };
            let load = Air {
                preload,
                rate,
                limit,
            };
            let mut body = one(link, Levels::ONE);
            let mut counters = Counters::default();
            let mut x = 0.0;
            for u in walk(3000, 1e-3) {
                body.advance(u, &load, &mut counters);
                let low = where_net_is(limit, u, link, load);
                let high = where_net_is(-limit, u, link, load);
                assert!(low <= high);
                x = f64::clamp(x, low, high);
                let ours = body.position;
                // The balance is asked for to 1e-13 of the forces, up to 3 kN here, on a spring.
                let close = 1e-12 * (1e-3 + (first.max(other) * 2e-3) / (rate + limit / 1e-3));
                assert!(
                    (ours - x).abs() <= close,
                    "{ours} for {x}: {link:?} {load:?}"
                );
            }
            assert_eq!(counters.unconverged, 0);
            assert_eq!(counters.ambiguous, 0);
        }
    }
}

#[test]
fn infinite_friction_moves_nothing() {
    let held = Rubbing {
        limit: f64::INFINITY,
        levels: Levels::breakaway(1.3, 0.0),
    };
    let load = Air {
        preload: 100.0,
        rate: 1e6,
        limit: f64::INFINITY,
    };
    let mut body = Body::new(even(0.1e-3, 1e7), held.levels, 0.25e-3);
    let mut counters = Counters::default();
    for u in walk(500, 5e-3) {
        assert_eq!(body.advance(u, &load, &mut counters).moved, 0);
        assert_eq!(body.position, 0.25e-3);
    }
    assert_eq!((counters.steps, counters.stuck), (500, 500));
    for bodies in 1..=4 {
        let mut chain = Chain::new(vec![even(0.1e-3, 1e7); bodies], vec![held; bodies], 0.25e-3);
        let mut counters = Counters::default();
        for u in walk(500, 5e-3) {
            assert_eq!(chain.advance(u, &load, &mut counters).moved, 0);
            assert!(chain.positions().iter().all(|&x| x == 0.25e-3));
        }
        assert_eq!((counters.steps, counters.stuck), (500, 500));
    }
}

#[test]
fn stiff_links_err_as_one_over_the_rate() {
    // Rigid links: a row of plays, one behind the other, whatever rubs.
    let error = |rate: f64| {
        let body = Rubbing {
            limit: 25.0,
            levels: Levels::ONE,
        };
        let slacks = [0.2e-3, 0.0, 0.5e-3];
        let links = slacks.map(|slack| even(slack, rate)).to_vec();
        let mut chain = Chain::new(links, vec![body; 3], 0.0);
        let load = Air {
            limit: 40.0,
            ..FREE
        };
        let mut counters = Counters::default();
        let mut rigid = [0.0; 3];
        let mut most = 0.0_f64;
        for u in walk(2000, 1e-3) {
            chain.advance(u, &load, &mut counters);
            let mut upstream = u;
            for (w, slack) in rigid.iter_mut().zip(slacks) {
                *w = play(*w, upstream, slack);
                upstream = *w;
            }
            most = most.max((chain.positions()[2] - rigid[2]).abs());
        }
        assert_eq!(counters.unconverged, 0);
        most
    };
    let errors = [1e6, 1e7, 1e8, 1e9].map(error);
    // All three links carry the last body's 40 N, the first two 25 N more, the first 50 N.
    assert!(errors[0] <= (40.0 + 65.0 + 90.0) / 1e6 * (1.0 + 1e-9));
    for pair in errors.windows(2).skip(1) {
        let order = (pair[0] / pair[1]).log10();
        assert!((order - 1.0).abs() < 0.02, "order {order}: {errors:?}");
    }
}

#[test]
fn triangle_wave_loop_width_closed_form() {
    let link = Link {
        slack: 0.2e-3,
        first: 8e6,
        other: 3e6,
    };
    for levels in [Levels::ONE, Levels::breakaway(1.0, 1.0)] {
        let load = Air {
            limit: 90.0,
            ..FREE
        };
        let mut body = one(link, levels);
        let mut counters = Counters::default();
        let mut widths = [0.0; 3];
        for (i, leg) in [1.0, -1.0, 1.0, -1.0].into_iter().enumerate() {
            for step in -400..=400 {
                let u = leg * 2.5e-6 * f64::from(step);
                body.advance(u, &load, &mut counters);
                if step == 0 && i > 0 {
                    // u = 0, well after the reversal.
                    widths[i - 1] = u - body.position;
                }
            }
        }
        let width = 0.2e-3 + 90.0 / 8e6 + 90.0 / 3e6;
        for pair in widths.windows(2) {
            let ours = (pair[0] - pair[1]).abs();
            assert!((ours - width).abs() <= 1e-12 * width, "{ours} for {width}");
        }
    }
}

#[test]
fn friction_free_body_condenses_to_a_link_in_series() {
    let links = [
        Link {
            slack: 0.2e-3,
            first: 8e6,
            other: 3e6,
        },
        Link {
            slack: 0.0,
            first: 2e7,
            other: 1e6,
        },
        Link {
            slack: 0.35e-3,
            first: 5e5,
            other: 4e7,
        },
    ];
    let free = Rubbing {
        limit: 0.0,
        levels: Levels::ONE,
    };
    let load = Air {
        preload: 20.0,
        rate: 2e5,
        limit: 60.0,
    };
    for levels in [Levels::ONE, Levels::breakaway(1.4, 0.5)] {
        let last = Rubbing { limit: 0.0, levels };
        for (row, whole) in [
            (links[..2].to_vec(), links[0].in_series(links[1])),
            (links[1..].to_vec(), links[1].in_series(links[2])),
            (
                links.to_vec(),
                links[0].in_series(links[1]).in_series(links[2]),
            ),
        ] {
            let mut bodies = vec![free; row.len() - 1];
            bodies.push(last);
            let mut long = Chain::new(row, bodies, 0.0);
            let mut short = Body::new(whole, levels, 0.0);
            let mut counters = Counters::default();
            let (mut most, mut force) = (0.0_f64, 0.0_f64);
            for u in walk(1500, 1e-3) {
                let a = long.advance(u, &load, &mut counters);
                let b = short.advance(u, &load, &mut counters);
                most = most.max((a.load.position - b.load.position).abs());
                force = force.max((a.drive - b.drive).abs());
            }
            // To rounding: walks of 1 mm, forces of some 100 N.
            assert!(most <= 1e-12 * 1e-3, "{most:e} m");
            assert!(force <= 1e-12 * 100.0, "{force:e} N");
            assert_eq!(counters.unconverged, 0);
        }
    }
}

#[test]
fn slip_starts_at_the_starting_force_and_ends_at_the_stopping_force_closed_form() {
    let (rate, limit) = (1e7, 100.0);
    for (undershoot, stop) in [(0.0, 1.0), (0.5, 0.85), (1.0, 0.7)] {
        let levels = Levels::breakaway(1.3, undershoot);
        assert!((levels.stop - stop).abs() < 1e-15);
        let load = Air { limit, ..FREE };
        let mut body = one(even(0.0, rate), levels);
        let mut counters = Counters::default();
        let mut slips = Vec::new();
        let step = 1e-9;
        for i in 1..60_000 {
            let u = step * f64::from(i);
            let rested = body.advance(u, &load, &mut counters);
            if rested.moved != 0 {
                assert_eq!(rested.moved, 1);
                // Ends exactly where |net| = stop * F.
                assert!((rested.drive - stop * limit).abs() <= 1e-12 * limit);
                slips.push(u);
            } else {
                assert!(rested.drive <= 1.3 * limit);
            }
        }
        // Starts within a step of where |net| = start * F, then once more each time the guide
        // has wound up the difference.
        assert!(slips[0] >= 1.3 * limit / rate && slips[0] <= 1.3 * limit / rate + 1.001 * step);
        let wind_up = (1.3 - stop) * limit / rate;
        for pair in slips.windows(2) {
            let apart = pair[1] - pair[0];
            assert!(apart >= wind_up * (1.0 - 1e-9) && apart <= wind_up + 1.001 * step);
        }
    }
}

/// A load whose friction falls, rises and falls again as the body backs out: on the way out
/// from `e = 1e-3` the push beats the friction, balances it at 0.7e-3, beats it again from
/// 0.4e-3 on, and balances it for good below 0.
struct Waist;

const PUSH: f64 = 500.0;

impl Load for Waist {
    fn at(&self, e: f64) -> Reaction {
        let t = 1.0 - 1e3 * e;
        let (over, over_slope) = if t <= 1.0 {
            (400.0 * (t - 0.3) * (t - 0.6), 400.0 * (2.0 * t - 0.9))
        } else {
            (112.0 - 1000.0 * (t - 1.0), -1000.0)
        };
        Reaction {
            position: e,
            position_slope: 1.0,
            push: PUSH,
            push_slope: 0.0,
            limit: PUSH - over,
            limit_slope: 1e3 * over_slope,
        }
    }

    fn stand(&self, position: f64, _near: f64) -> (f64, Reaction) {
        (position, self.at(position))
    }

    fn kinks(&self) -> &[f64] {
        &[0.0]
    }
}

#[test]
fn first_of_several_balances_is_taken_and_counted() {
    // Slack so wide that the link carries nothing.
    let mut body = Body::new(even(10e-3, 1e7), Levels::ONE, 1e-3);
    let mut counters = Counters::default();
    let rested = body.advance(0.0, &Waist, &mut counters);
    assert_eq!(rested.moved, -1);
    assert!((rested.load.position - 0.7e-3).abs() <= 1e-12 * 1e-3);
    assert_eq!((counters.ambiguous, counters.unconverged), (1, 0));
    // It stays there: the second balance is never jumped to.
    let again = body.advance(0.0, &Waist, &mut counters);
    assert!((again.load.position - 0.7e-3).abs() <= 1e-12 * 1e-3);
    // Standing between the second balance and the surface, it runs out to the last one.
    let mut body = Body::new(even(10e-3, 1e7), Levels::ONE, 0.2e-3);
    let rested = body.advance(0.0, &Waist, &mut counters);
    assert!((rested.load.position + 0.112e-3).abs() <= 1e-12 * 1e-3);
}
