//! What holds for the rubbing body and for every row of them, on random rows and walks of the guide,
//! and an independent answer by trying every state there is.

use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use tautway_sim::balance::{Body, Levels, Link, Load, Reaction, Rested};
use tautway_sim::cut::Air;
use tautway_sim::record::Counters;

use super::chain::{Chain, Rubbing};

/// A load that grows with the place: linear from a preload on, and beyond the surface a cut whose
/// push grows with the power 1.5, bends the tool, and adds to the friction. Monotone, for the
/// friction grows more slowly than the push.
#[derive(Clone, Copy, Debug)]
struct Cutting {
    preload: f64,
    rate: f64,
    limit: f64,
    kink: [f64; 1],
    strength: f64,
    gives: f64,
    friction: f64,
}

impl Load for Cutting {
    fn at(&self, e: f64) -> Reaction {
        let depth = (e - self.kink[0]).max(0.0);
        let cut = self.strength * depth.powf(1.5);
        let slope = 1.5 * self.strength * depth.sqrt();
        Reaction {
            position: e + self.gives * cut,
            position_slope: 1.0 + self.gives * slope,
            push: self.preload + self.rate * e + cut,
            push_slope: self.rate + slope,
            limit: self.limit + self.friction * cut,
            limit_slope: self.friction * slope,
        }
    }

    fn stand(&self, position: f64, _near: f64) -> (f64, Reaction) {
        if position <= self.kink[0] || self.gives == 0.0 {
            return (position, self.at(position));
        }
        let (mut low, mut high) = (self.kink[0], position);
        for _ in 0..200 {
            let mid = 0.5 * (low + high);
            if self.at(mid).position > position {
                high = mid;
            } else {
                low = mid;
            }
        }
        (high, self.at(high))
    }

    fn kinks(&self) -> &[f64] {
        &self.kink
    }
}

#[derive(Clone, Debug)]
struct Row {
    links: Vec<Link>,
    bodies: Vec<Rubbing>,
    load: Cutting,
    walk: Vec<f64>,
}

/// What moves: the single body of the product, or several by the chain.
enum Standing {
    Single(Body),
    Several(Chain),
}

impl Standing {
    fn new(links: Vec<Link>, bodies: Vec<Rubbing>, position: f64) -> Self {
        if let ([link], [body]) = (&links[..], &bodies[..]) {
            Self::Single(Body::new(*link, body.levels, position))
        } else {
            Self::Several(Chain::new(links, bodies, position))
        }
    }

    fn advance(&mut self, guide: f64, load: &Cutting, counters: &mut Counters) -> Rested {
        match self {
            Self::Single(body) => body.advance(guide, load, counters),
            Self::Several(chain) => chain.advance(guide, load, counters),
        }
    }

    fn positions(&self) -> &[f64] {
        match self {
            Self::Single(body) => std::slice::from_ref(&body.position),
            Self::Several(chain) => chain.positions(),
        }
    }

    fn shift(&mut self, by: f64) {
        match self {
            Self::Single(body) => body.shift(by),
            Self::Several(chain) => chain.shift(by),
        }
    }
}

impl Row {
    fn standing(&self) -> Standing {
        self.standing_at(0.0)
    }

    fn standing_at(&self, position: f64) -> Standing {
        Standing::new(self.links.clone(), self.bodies.clone(), position)
    }

    fn limit(&self, i: usize, rested: &Rested) -> f64 {
        if i + 1 == self.bodies.len() {
            rested.load.limit
        } else {
            self.bodies[i].limit
        }
    }

    fn link_forces(&self, guide: f64, x: &[f64]) -> Vec<f64> {
        (0..x.len())
            .map(|i| self.links[i].force(if i == 0 { guide } else { x[i - 1] } - x[i]))
            .collect()
    }

    fn nets(&self, guide: f64, x: &[f64], rested: &Rested) -> Vec<f64> {
        let mut forces = self.link_forces(guide, x);
        forces.push(rested.load.push);
        forces.windows(2).map(|pair| pair[0] - pair[1]).collect()
    }

    /// A force that positions to within 1e-12 of the walk can't tell from none.
    fn small_force(&self) -> f64 {
        let stiffest = self.links.iter().map(|l| l.first.max(l.other));
        1e-12 * 1e-3 * stiffest.fold(self.load.rate, f64::max) + 1e-9
    }
}

/// Spring rates over four decades, 1e5 to 1e9 N/m.
fn rates() -> impl Strategy<Value = f64> {
    (5.0..9.0_f64).prop_map(|power| 10f64.powf(power))
}

fn slacks() -> impl Strategy<Value = f64> {
    prop_oneof![1 => Just(0.0), 3 => 1e-6..0.5e-3_f64]
}

fn frictions() -> impl Strategy<Value = f64> {
    prop_oneof![1 => Just(0.0), 4 => 1.0..300.0_f64]
}

fn rows(most: usize, breaks_away: bool, cuts: bool) -> impl Strategy<Value = Row> {
    (1..=most)
        .prop_flat_map(move |n| {
            let link = (slacks(), rates(), rates()).prop_map(|(slack, first, other)| Link {
                slack,
                first,
                other,
            });
            let start = if breaks_away {
                1.0..1.8
            } else {
                1.0..1.000_000_1_f64
            };
            let body =
                (frictions(), start, 0.0..1.0_f64).prop_map(move |(limit, start, undershoot)| {
                    Rubbing {
                        limit,
                        levels: if breaks_away {
                            Levels::breakaway(start, undershoot)
                        } else {
                            Levels::ONE
                        },
                    }
                });
            let load = (
                -200.0..200.0_f64,
                prop_oneof![Just(0.0), 1e4..1e7_f64],
                1.0..300.0_f64,
                -0.5e-3..0.5e-3_f64,
                if cuts {
                    1e6..1e8_f64
                } else {
                    0.0..f64::MIN_POSITIVE
                },
                prop_oneof![Just(0.0), 1e-9..1e-7_f64],
                0.0..0.4_f64,
            )
                .prop_map(
                    |(preload, rate, limit, kink, strength, gives, friction)| Cutting {
                        preload,
                        rate,
                        limit,
                        kink: [kink],
                        strength,
                        gives,
                        friction,
                    },
                );
            (
                proptest::collection::vec(link, n),
                proptest::collection::vec(body, n),
                load,
                proptest::collection::vec(-1e-3..1e-3_f64, 1..14),
            )
        })
        .prop_map(|(links, bodies, load, walk)| Row {
            links,
            bodies,
            load,
            walk,
        })
}

/// What must hold after a step from `before` to `after`.
fn check(row: &Row, guide: f64, before: &[f64], after: &[f64], rested: &Rested) {
    let small = row.small_force();
    let nets = row.nets(guide, after, rested);
    for i in 0..after.len() {
        let upstream = if i == 0 { guide } else { after[i - 1] };
        let (gap, half) = (upstream - after[i], 0.5 * row.links[i].slack);
        let force = row.links[i].force(gap);
        // Contact pushes only, and an open gap carries nothing.
        assert!(force == 0.0 || force.signum() == gap.signum() && gap.abs() > half);
        let limit = row.limit(i, rested);
        let levels = row.bodies[i].levels;
        let moved = after[i] - before[i];
        if moved == 0.0 {
            assert!(nets[i].abs() <= levels.start * limit + small);
        } else {
            // Rounding can make a body creep by less than its last digit.
            let crept = moved.abs() <= 1e-17 + 8.0 * f64::EPSILON * before[i].abs();
            let miss = (nets[i] - moved.signum() * levels.stop * limit).abs();
            assert!(
                crept || miss <= small,
                "body {i} misses by {miss} N: {row:?}"
            );
            // Friction pushes against the way gone: its work is never above zero.
            assert!(-nets[i] * moved <= small * moved.abs());
        }
    }
    let drive = row.link_forces(guide, after).pop().unwrap_or_default();
    assert!(
        (rested.drive - drive).abs() <= small,
        "{} {drive}",
        rested.drive
    );
}

/// The same rows on every run. (`PROPTEST_CASES` doesn't count here.)
fn same_rows(cases: u32) -> ProptestConfig {
    ProptestConfig {
        cases,
        failure_persistence: None,
        rng_seed: RngSeed::Fixed(20),
        ..ProptestConfig::default()
    }
}

proptest! {
    #![proptest_config(same_rows(400))]

    #[test]
    fn contact_pushes_friction_brakes_and_the_balance_holds(row in rows(5, true, true)) {
        let mut standing = row.standing();
        let mut counters = Counters::default();
        for &guide in &row.walk {
            let before = standing.positions().to_vec();
            let rested = standing.advance(guide, &row.load, &mut counters);
            check(&row, guide, &before, standing.positions(), &rested);
        }
        prop_assert_eq!(counters.unconverged, 0);
        prop_assert_eq!(counters.ambiguous, 0);
        prop_assert_eq!(counters.steps, row.walk.len() as u64);
    }

    /// With one level of friction a step in one go ends where many small steps the same way do:
    /// no body turns back on the way, so every friction force keeps its sign. To 1e-9 of the walk,
    /// for a thousand roundings add up.
    #[test]
    fn pace_does_not_matter_with_one_level_of_friction(row in rows(5, false, true)) {
        let (mut coarse, mut fine) = (row.standing(), row.standing());
        let mut counters = Counters::default();
        // Into balance first: from a start out of balance the first step is a fall.
        let mut from = 0.0;
        coarse.advance(from, &row.load, &mut counters);
        fine.advance(from, &row.load, &mut counters);
        for &to in &row.walk {
            let a = coarse.advance(to, &row.load, &mut counters);
            let mut b = a;
            for part in 1..=37 {
                let guide = from + (to - from) * f64::from(part) / 37.0;
                b = fine.advance(guide, &row.load, &mut counters);
            }
            from = to;
            prop_assert!((a.load.position - b.load.position).abs() <= 1e-9 * 1e-3);
            let forces = |standing: &Standing| row.link_forces(to, standing.positions());
            for (a, b) in forces(&coarse).iter().zip(forces(&fine)) {
                prop_assert!((a - b).abs() <= 1e-9 * 1e3 + row.small_force(), "{} {}", a, b);
            }
        }
    }

    #[test]
    fn shifted_world_gives_the_shifted_answer(row in rows(5, true, true), by in -2e-3..2e-3_f64) {
        let mut here = row.standing();
        let mut there = row.standing_at(by);
        let mut shifted = row.standing();
        let load = Cutting {
            preload: row.load.preload - row.load.rate * by,
            kink: [row.load.kink[0] + by],
            ..row.load
        };
        let mut counters = Counters::default();
        shifted.shift(by);
        for &guide in &row.walk {
            let a = here.advance(guide, &row.load, &mut counters);
            let b = there.advance(guide + by, &load, &mut counters);
            let c = shifted.advance(guide + by, &load, &mut counters);
            prop_assert!((a.load.position + by - b.load.position).abs() <= 1e-10 * 1e-3);
            prop_assert!((a.load.position + by - c.load.position).abs() <= 1e-10 * 1e-3);
        }
    }

    #[test]
    fn mirror_with_faces_swapped_gives_the_mirrored_answer(row in rows(5, true, false)) {
        let swap = |link: &Link| Link { first: link.other, other: link.first, ..*link };
        let links = row.links.iter().map(swap).collect();
        let mut mirror = Standing::new(links, row.bodies.clone(), 0.0);
        let load = Cutting { preload: -row.load.preload, kink: [-row.load.kink[0]], ..row.load };
        let mut standing = row.standing();
        let mut counters = Counters::default();
        for &guide in &row.walk {
            let a = standing.advance(guide, &row.load, &mut counters);
            let b = mirror.advance(-guide, &load, &mut counters);
            prop_assert_eq!(a.moved, -b.moved);
            prop_assert!((a.load.position + b.load.position).abs() <= 1e-12 * 1e-3);
            prop_assert!((a.drive + b.drive).abs() <= row.small_force());
        }
    }
}

/// The balance by trying every state: each link on its first face, open or on the other, each
/// body held, gone forward or gone back. Each state is a row of linear equations; the answer is
/// the one state that agrees with itself. Constant friction and a linear load make the balance
/// the least energy of a convex problem, so there is one set of forces.
fn by_trying_all(row: &Row, guide: f64, stood: &[f64]) -> Option<(Vec<f64>, f64)> {
    let n = stood.len();
    let mut best: Option<(Vec<f64>, f64)> = None;
    let states = 3usize.pow(n as u32);
    for faces in 0..states {
        let face = |i: usize| faces / 3usize.pow(i as u32) % 3;
        for ways in 0..states {
            let way = |i: usize| [0.0, 1.0, -1.0][ways / 3usize.pow(i as u32) % 3];
            let Some(x) = solve(row, guide, stood, &face, &way) else {
                continue;
            };
            let miss = disagreement(row, guide, stood, &x, &way);
            if best.as_ref().is_none_or(|(_, least)| miss < *least) {
                best = Some((x, miss));
            }
        }
    }
    best
}

/// Solves the tridiagonal equations of one state; none if a body hangs on nothing.
fn solve(
    row: &Row,
    guide: f64,
    stood: &[f64],
    face: &impl Fn(usize) -> usize,
    way: &impl Fn(usize) -> f64,
) -> Option<Vec<f64>> {
    let n = stood.len();
    // Force of link i: rate * (upstream - x) - offset.
    let link = |i: usize| {
        let l = &row.links[i];
        match face(i) {
            0 => (l.first, l.first * 0.5 * l.slack),
            1 => (0.0, 0.0),
            _ => (l.other, -l.other * 0.5 * l.slack),
        }
    };
    let mut x = vec![0.0; n];
    let (mut upper, mut right) = (vec![0.0; n], vec![0.0; n]);
    for i in 0..n {
        let (mut lower, mut diagonal, mut above, mut known) = (0.0, 1.0, 0.0, stood[i]);
        if way(i) != 0.0 {
            let (rate, offset) = link(i);
            diagonal = rate;
            known = -offset;
            if i == 0 {
                known += rate * guide;
            } else {
                lower = -rate;
            }
            let limit = if i + 1 < n {
                let (next, offset) = link(i + 1);
                diagonal += next;
                above = -next;
                known += offset;
                row.bodies[i].limit
            } else {
                diagonal += row.load.rate;
                known -= row.load.preload;
                row.load.limit
            };
            known -= way(i) * limit;
        }
        if i > 0 {
            diagonal -= lower * upper[i - 1];
            known -= lower * right[i - 1];
        }
        if diagonal.abs() < 1e-3 {
            return None;
        }
        upper[i] = above / diagonal;
        right[i] = known / diagonal;
    }
    for i in (0..n).rev() {
        x[i] = right[i] - if i + 1 < n { upper[i] * x[i + 1] } else { 0.0 };
    }
    Some(x)
}

/// How far a solved state is from agreeing with itself, N and N over the softest spring.
fn disagreement(
    row: &Row,
    guide: f64,
    stood: &[f64],
    x: &[f64],
    way: &impl Fn(usize) -> f64,
) -> f64 {
    let mut forces = row.link_forces(guide, x);
    forces.push(row.load.preload + row.load.rate * x[x.len() - 1]);
    (0..x.len())
        .map(|i| {
            let last = i + 1 == x.len();
            let limit = if last {
                row.load.limit
            } else {
                row.bodies[i].limit
            };
            let net = forces[i] - forces[i + 1];
            let backward = (-way(i) * (x[i] - stood[i])).max(0.0);
            if way(i) == 0.0 {
                (net.abs() - limit).max(0.0)
            } else {
                (net - way(i) * limit).abs() + 1e5 * backward
            }
        })
        .fold(0.0, f64::max)
}

proptest! {
    #![proptest_config(same_rows(60))]

    #[test]
    fn constant_friction_against_every_state_tried(row in rows(4, false, false)) {
        let mut standing = row.standing();
        let mut counters = Counters::default();
        for &guide in row.walk.iter().take(5) {
            let stood = standing.positions().to_vec();
            let rested = standing.advance(guide, &row.load, &mut counters);
            let (x, miss) = by_trying_all(&row, guide, &stood).expect("some state can be solved");
            prop_assert!(miss <= 10.0 * row.small_force(), "{} N", miss);
            // The last body rubs: it has one place. Bodies that don't may stand anywhere in an
            // open gap, but what the links carry is one.
            prop_assert!((rested.load.position - x[x.len() - 1]).abs() <= 1e-9 * 1e-3);
            let ours = row.link_forces(guide, standing.positions());
            for (a, b) in ours.iter().zip(row.link_forces(guide, &x)) {
                let close = 1e-9 * (a.abs() + 1.0) + 10.0 * row.small_force();
                prop_assert!((a - b).abs() <= close, "{} {} {:?}", a, b, standing.positions());
            }
            for (i, body) in row.bodies.iter().enumerate() {
                if body.limit > 0.0 && row.load.rate > 0.0 {
                    prop_assert!((standing.positions()[i] - x[i]).abs() <= 1e-9 * 1e-3);
                }
            }
        }
        prop_assert_eq!(counters.unconverged, 0);
    }
}

proptest! {
    #![proptest_config(same_rows(400))]

    /// The march to the first balance is the reference.
    #[test]
    fn in_air_the_closed_form_rests_where_the_march_does(
        (slack, first, other) in (0.0..200e-6, 1e6..1e8, 1e6..1e8),
        (preload, rate, limit) in (-300.0..300.0, prop_oneof![Just(0.0), 0.0..1e5], 0.0..200.0),
        (start, stop) in (0.5..2.0_f64, 0.0..1.0),
        (guide, position, moved) in (-150e-6..150e-6, -100e-6..100e-6, -1i8..=1),
    ) {
        let levels = Levels { start, stop: start * stop };
        let mut body = Body::new(Link { slack, first, other }, levels, position);
        body.moved = moved;
        let load = Air { preload, rate, limit };
        let Some(ours) = body.advance_evenly(guide, [preload, rate], limit) else {
            // Onto another piece of the link, or off one that lies open.
            let theirs = body.advance(guide, &load, &mut Counters::default());
            let piece = |at: f64| body.link.rate(guide - at);
            prop_assert!(piece(theirs.load.position) != piece(position) || piece(position) + rate == 0.0);
            return Ok(());
        };
        let theirs = body.advance(guide, &load, &mut Counters::default());
        let close = |a: f64, b: f64, to: f64| (a - b).abs() <= to;
        prop_assert!(close(ours.load.position, theirs.load.position, 1e-12), "{ours:?} {theirs:?}");
        prop_assert!(close(ours.parameter, theirs.parameter, 1e-12));
        prop_assert!(close(ours.drive, theirs.drive, 1e-4) && close(ours.load.push, theirs.load.push, 1e-4));
        prop_assert!(close(ours.load.limit, theirs.load.limit, 1e-9));
        prop_assert_eq!(ours.moved, theirs.moved);
    }
}
