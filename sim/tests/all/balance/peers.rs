//! The quasi-static balance against a convex solver, and against marching in small steps.
//!
//! The cases and the answers were made by `tests/peers/chain_balance.py`, whose head says how.

use serde_json::Value;
use tautway_sim::balance::{Body, Levels, Link, Load, Reaction};
use tautway_sim::cut::Air;
use tautway_sim::record::Counters;

use super::chain::{Chain, Rubbing};

const UM: f64 = 1e-6;

fn cases(kind: &str) -> Vec<Value> {
    let all: Value =
        serde_json::from_str(include_str!("../../../../tests/peers/chain_balance.json"))
            .expect("it is JSON");
    all[kind].as_array().expect("a list of cases").clone()
}

fn number(value: &Value) -> f64 {
    value.as_f64().expect("a number")
}

fn numbers(value: &Value) -> Vec<f64> {
    let list = value.as_array().expect("a list of numbers");
    list.iter().map(number).collect()
}

fn links(case: &Value) -> Vec<Link> {
    let links = case["links"].as_array().expect("a list of links");
    links
        .iter()
        .map(|link| Link {
            slack: UM * number(&link["slack"]),
            first: number(&link["first"]) / UM,
            other: number(&link["other"]) / UM,
        })
        .collect()
}

/// The most that any body stands from where the peer has it, m.
fn apart(ours: &[f64], theirs: &Value) -> f64 {
    let each = ours.iter().zip(numbers(theirs));
    each.fold(0.0, |most, (a, b)| most.max((a - UM * b).abs()))
}

#[test]
fn constant_friction_is_the_minimum_a_convex_solver_finds() {
    let mut worst = 0.0_f64;
    let mut single = 0;
    for case in cases("convex") {
        let limits = numbers(&case["limits"]);
        let bodies = limits.iter().map(|&limit| Rubbing {
            limit,
            levels: Levels::ONE,
        });
        let load = Air {
            preload: number(&case["preload"]),
            rate: number(&case["rate"]) / UM,
            limit: *limits.last().expect("at least one body"),
        };
        let links = links(&case);
        let is_one = links.len() == 1;
        single += u32::from(is_one);
        let mut body = Body::new(links[0], Levels::ONE, 0.0);
        let mut chain = Chain::new(links, bodies.collect(), 0.0);
        let mut counters = Counters::default();
        let places = case["places"].as_array().expect("places");
        for (guide, theirs) in numbers(&case["guide"]).iter().zip(places) {
            chain.advance(UM * guide, &load, &mut counters);
            worst = worst.max(apart(chain.positions(), theirs));
            if is_one {
                body.advance(UM * guide, &load, &mut counters);
                worst = worst.max(apart(&[body.position], theirs));
            }
        }
        assert_eq!(counters.unconverged, 0);
    }
    // The solver ends where rounding stops it, at some 1e-9 of the energy, and what it is off by
    // it carries on to the next step: 0.17 nm found, of places up to 0.8 mm.
    assert!(worst < 5e-10, "{worst}");
    assert!(single > 0, "some cases are the single body");
}

/// The load of the marched cases, by the edge's place.
struct Depth {
    surface: f64,
    stiff: f64,
    power: f64,
    gives: f64,
    preload: f64,
    still: f64,
    friction: f64,
    weight: f64,
    lift: f64,
}

impl Load for Depth {
    fn at(&self, e: f64) -> Reaction {
        let depth = (e - self.surface).max(0.0) / UM;
        let push = self.stiff * depth.powf(self.power);
        let slope = if depth > 0.0 {
            self.power * push / (UM * depth)
        } else {
            0.0
        };
        let on_ways = self.weight - self.lift * push;
        Reaction {
            position: e + self.gives * push,
            position_slope: 1.0 + self.gives * slope,
            push: push + self.preload,
            push_slope: slope,
            limit: self.still + self.friction * on_ways.abs(),
            limit_slope: -self.friction * self.lift * slope * on_ways.signum(),
        }
    }

    fn stand(&self, position: f64, _near: f64) -> (f64, Reaction) {
        let (mut low, mut high) = (self.surface.min(position), position);
        for _ in 0..80 {
            let middle = 0.5 * (low + high);
            if self.at(middle).position < position {
                low = middle;
            } else {
                high = middle;
            }
        }
        let e = if position <= self.surface {
            position
        } else {
            low
        };
        (e, self.at(e))
    }

    fn kinks(&self) -> &[f64] {
        std::slice::from_ref(&self.surface)
    }
}

#[test]
fn friction_that_hangs_on_the_force_rests_where_marching_stops() {
    let mut several = 0;
    for (n, case) in cases("marched").iter().enumerate() {
        let of = |name: &str| number(&case[name]);
        let links = links(case);
        let count = links.len();
        let bodies = vec![
            Rubbing {
                limit: of("limit"),
                levels: Levels::ONE
            };
            count
        ];
        let mut chain = Chain::new(links.clone(), bodies, 0.0);
        let mut body = Body::new(links[0], Levels::ONE, 0.0);
        let mut counters = Counters::default();
        let moves = case["moves"].as_array().expect("moves");
        let places = case["places"].as_array().expect("places");
        let mut here = 0.0_f64;
        for (to, theirs) in moves.iter().zip(places) {
            let to = numbers(to);
            let load = Depth {
                surface: UM * to[1],
                stiff: of("stiff"),
                power: of("power"),
                gives: UM * of("gives"),
                preload: of("preload"),
                still: of("still"),
                friction: of("friction"),
                weight: of("weight"),
                lift: of("lift"),
            };
            chain.advance(UM * to[0], &load, &mut counters);
            here = here.max(apart(chain.positions(), theirs));
            if count == 1 {
                body.advance(UM * to[0], &load, &mut counters);
                here = here.max(apart(&[body.position], theirs));
            }
        }
        assert_eq!(counters.unconverged, 0);
        several += counters.ambiguous;
        // The table is rounded to 1e-6 um.
        assert!(here < 1e-12, "case {n}: {here}");
    }
    assert!(several > 0, "some steps have more than one balance");
}
