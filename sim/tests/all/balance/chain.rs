//! Several rubbing bodies in a row, by active set: what the links in series and the single body of
//! the product are held against.

use nalgebra::{DMatrix, DVector};
use tautway_sim::balance::{Levels, Link, Load, Reaction, Rested, settle};
use tautway_sim::record::Counters;

/// A body that rubs on the bed of the machine with constant friction.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rubbing {
    /// Friction limit once moving, N. Not used for the last body, whose load carries its own.
    pub limit: f64,
    /// What starts and stops it.
    pub levels: Levels,
}

/// Bodies in a row behind the guide: link 0 ties body 0 to the guide, link `i` body `i` to
/// body `i - 1`; the last body carries the load.
///
/// # Law
/// The balance of `tautway_sim::balance`, for all bodies at once: `net_i(x) = link_i(x_{i-1} - x_i) -
/// link_{i+1}(x_i - x_{i+1}) - load_i(x_i)` within `+-F_i`. Bodies stand still until the one
/// furthest over its starting force is let go; the bodies let go so far are brought to balance
/// with the others held; then the next is looked for. At most one release a body, so it ends.
/// With one friction level and a monotone load the result is unique and the order of release
/// doesn't matter.
#[derive(Clone, Debug, PartialEq)]
pub struct Chain {
    links: Vec<Link>,
    bodies: Vec<Rubbing>,
    stood: Vec<f64>,
    position: Vec<f64>,
    released: Vec<bool>,
    parameter: f64,
    load: Reaction,
    /// Face that a link without slack and force is taken to bear on next.
    tried: f64,
}

/// Body-by-body sweeps before the balance is given up as not found.
const MAX_SWEEPS: usize = 4000;
/// Spring that ties a moving body to its place in a Newton step, over its own links' rates: well
/// above rounding, and too little to slow the steps.
const TRACE: f64 = 1e-12;

impl Chain {
    /// A chain at rest with every body at `position`.
    ///
    /// # Panics
    /// If there isn't one link a body, or no body at all.
    pub fn new(links: Vec<Link>, bodies: Vec<Rubbing>, position: f64) -> Self {
        assert!(
            !bodies.is_empty() && links.len() == bodies.len(),
            "one link a body"
        );
        let n = bodies.len();
        Self {
            links,
            bodies,
            stood: vec![position; n],
            position: vec![position; n],
            released: vec![false; n],
            parameter: position,
            load: Reaction::default(),
            tried: 1.0,
        }
    }

    /// Where the bodies stand, m, the driven end first.
    pub fn positions(&self) -> &[f64] {
        &self.position
    }

    /// Shifts all bodies, as when the reference they are measured from moves away under them.
    pub fn shift(&mut self, by: f64) {
        self.parameter += by;
        for x in &mut self.position {
            *x += by;
        }
    }

    /// Moves the guide to `guide` and lets every body come to its first balance. Returns the last
    /// body's rest; its `drive` is the force in its own link.
    pub fn advance<L: Load>(&mut self, guide: f64, load: &L, counters: &mut Counters) -> Rested {
        let last = self.bodies.len() - 1;
        self.stood.copy_from_slice(&self.position);
        self.released.fill(false);
        self.tried = 1.0;
        (self.parameter, self.load) = load.stand(self.position[last], self.parameter);
        loop {
            let mut furthest = None;
            let mut most = 0.0;
            for i in 0..=last {
                if self.released[i] {
                    continue;
                }
                let limit = if i == last {
                    self.load.limit
                } else {
                    self.bodies[i].limit
                };
                let over = self.net(i, guide).abs() - self.bodies[i].levels.start * limit;
                if over > most {
                    most = over;
                    furthest = Some(i);
                }
            }
            let Some(i) = furthest else { break };
            self.released[i] = true;
            self.rebalance(guide, load, counters);
        }
        counters.steps += 1;
        let moved = self.position[last] - self.stood[last];
        if moved == 0.0 {
            counters.stuck += 1;
        }
        Rested {
            parameter: self.parameter,
            load: self.load,
            drive: self.link_force(last, guide),
            moved: if moved == 0.0 {
                0
            } else {
                moved.signum() as i8
            },
        }
    }

    /// Gap coordinate of link `i`, m.
    fn gap(&self, i: usize, guide: f64) -> f64 {
        let upstream = if i == 0 { guide } else { self.position[i - 1] };
        upstream - self.position[i]
    }

    fn link_force(&self, i: usize, guide: f64) -> f64 {
        self.links[i].force(self.gap(i, guide))
    }

    /// Force on body `i` without friction, N.
    fn net(&self, i: usize, guide: f64) -> f64 {
        let out = if i + 1 < self.bodies.len() {
            self.link_force(i + 1, guide)
        } else {
            self.load.push
        };
        self.link_force(i, guide) - out
    }

    /// Brings the bodies let go so far to balance, the others held.
    ///
    /// Body by body, each exactly, which can't fail but may creep; after each sweep a Newton step
    /// on all moving bodies at once, kept if it is consistent with faces and directions.
    fn rebalance<L: Load>(&mut self, guide: f64, load: &L, counters: &mut Counters) {
        let last = self.bodies.len() - 1;
        // The inner solves must not count as steps along the cut.
        let mut inner = Counters::default();
        let mut done = false;
        for _ in 0..MAX_SWEEPS {
            let mut change = 0.0_f64;
            let mut size = 0.0_f64;
            for i in 0..=last {
                if !self.released[i] {
                    continue;
                }
                let upstream = if i == 0 { guide } else { self.position[i - 1] };
                let levels = released(self.bodies[i].levels);
                let rested = if i == last {
                    let near = self.parameter;
                    settle(
                        &self.links[i],
                        upstream,
                        self.stood[i],
                        near,
                        0,
                        load,
                        levels,
                        &mut inner,
                    )
                } else {
                    let down = Downstream::new(
                        self.links[i + 1],
                        self.position[i + 1],
                        self.bodies[i].limit,
                    );
                    let from = self.stood[i];
                    settle(
                        &self.links[i],
                        upstream,
                        from,
                        from,
                        0,
                        &down,
                        levels,
                        &mut inner,
                    )
                };
                let there = rested.load.position;
                change = change.max((there - self.position[i]).abs());
                size = size.max(there.abs());
                self.position[i] = there;
                if i == last {
                    self.parameter = rested.parameter;
                    self.load = rested.load;
                }
            }
            if change <= 1e-17 + 4.0 * f64::EPSILON * size {
                done = true;
                break;
            }
            self.newton(guide, load);
            self.tried = -self.tried;
            let balanced = |i: usize| !self.released[i] || self.is_balanced(i, guide);
            if (0..=last).all(balanced) {
                done = true;
                break;
            }
        }
        counters.iterations += inner.iterations;
        counters.ambiguous += inner.ambiguous;
        counters.unconverged += inner.unconverged + u64::from(!done);
    }

    /// Newton steps on all bodies that moved, faces and directions kept; where they would change,
    /// one step only, and up to there.
    fn newton<L: Load>(&mut self, guide: f64, load: &L) {
        let n = self.bodies.len();
        let moving: Vec<usize> = (0..n)
            .filter(|&i| self.released[i] && self.position[i] != self.stood[i])
            .collect();
        if moving.len() < 2 {
            return;
        }
        let before = (self.position.clone(), self.parameter, self.load);
        let mut first_step: Option<Vec<f64>> = None;
        let faces: Vec<f64> = (0..n).map(|i| self.closed_face(i, guide)).collect();
        let direction: Vec<f64> = (0..n)
            .map(|i| (self.position[i] - self.stood[i]).signum())
            .collect();
        for _ in 0..6 {
            let mut slope = DMatrix::zeros(moving.len(), moving.len());
            let mut residual = DVector::zeros(moving.len());
            for (row, &i) in moving.iter().enumerate() {
                let limit = if i + 1 == n {
                    self.load.limit
                } else {
                    self.bodies[i].limit
                };
                residual[row] =
                    self.net(i, guide) - direction[i] * self.bodies[i].levels.stop * limit;
                let own = self.rate(i, guide);
                let mut diagonal = own;
                if i + 1 < n {
                    let down = self.rate(i + 1, guide);
                    diagonal += down;
                    if moving.get(row + 1) == Some(&(i + 1)) {
                        slope[(row, row + 1)] = -down;
                    }
                } else {
                    let stop = direction[i] * self.bodies[i].levels.stop;
                    diagonal += (self.load.push_slope + stop * self.load.limit_slope)
                        / self.load.position_slope;
                }
                // Bodies that bear on each other alone, in an open gap, have no place of their
                // own: a trace of spring sends them off together, up to the next face.
                slope[(row, row)] = diagonal * (1.0 + TRACE);
                if row > 0 && moving[row - 1] + 1 == i {
                    slope[(row, row - 1)] = -own;
                }
            }
            let Some(step) = slope.lu().solve(&residual) else {
                break;
            };
            if step.iter().any(|s| !s.is_finite()) {
                break;
            }
            for (row, &i) in moving.iter().enumerate() {
                self.position[i] += step[row];
            }
            first_step.get_or_insert_with(|| self.position.clone());
            if moving.last() == Some(&(n - 1)) {
                (self.parameter, self.load) = load.stand(self.position[n - 1], self.parameter);
            }
            if step.amax() <= 1e-18 + f64::EPSILON * self.position[n - 1].abs() {
                break;
            }
        }
        // A link let go to exactly nothing ends at the edge of its gap, on either side by
        // rounding: that is as good, if it really is the balance.
        let same_faces = (0..n).all(|i| self.face(i, guide) == faces[i]);
        let balanced_at_edge = || {
            (0..n).all(|i| self.face(i, guide) == faces[i] || self.is_at_edge(i, guide))
                && moving.iter().all(|&i| self.is_balanced(i, guide))
        };
        let consistent = (same_faces || balanced_at_edge())
            && moving.iter().all(|&i| {
                let moved = self.position[i] - self.stood[i];
                moved.is_finite() && moved * direction[i] >= 0.0
            });
        if !consistent {
            (self.position, self.parameter, self.load) = before;
            if let Some(aim) = first_step {
                let share = self.up_to_a_kink(guide, &aim);
                for (x, aim) in self.position.iter_mut().zip(aim) {
                    *x += share * (aim - *x);
                }
                (self.parameter, self.load) = load.stand(self.position[n - 1], self.parameter);
            }
        }
    }

    /// Share of the way to `aim` on which no link meets an edge of its gap and no body comes back
    /// to where it stood: the way the equations were made for.
    fn up_to_a_kink(&self, guide: f64, aim: &[f64]) -> f64 {
        let mut share = 1.0_f64;
        let mut meet = |from: f64, to: f64, kink: f64| {
            if (from - kink) * (to - kink) < 0.0 {
                share = share.min((kink - from) / (to - from));
            }
        };
        for (i, link) in self.links.iter().enumerate() {
            let from = self.gap(i, guide);
            let to = if i == 0 { guide } else { aim[i - 1] } - aim[i];
            meet(from, to, 0.5 * link.slack);
            meet(from, to, -0.5 * link.slack);
            meet(self.position[i], aim[i], self.stood[i]);
        }
        share
    }

    /// Whether body `i`, let go, stands where the net force is its friction against the way it
    /// went, or within it if it went nowhere; to what rounding of positions makes of the forces.
    fn is_balanced(&self, i: usize, guide: f64) -> bool {
        let last = i + 1 == self.bodies.len();
        let limit = if last {
            self.load.limit
        } else {
            self.bodies[i].limit
        };
        let net = self.net(i, guide);
        let friction = self.bodies[i].levels.stop * limit;
        let moved = self.position[i] - self.stood[i];
        let miss = if moved == 0.0 {
            net.abs() - friction
        } else {
            (net - moved.signum() * friction).abs()
        };
        let stiffest = |link: &Link| link.first.max(link.other);
        let rate = stiffest(&self.links[i]) + self.links.get(i + 1).map_or(0.0, stiffest);
        let size = guide.abs() + self.position[i].abs() + self.links[i].slack;
        let push = if last { self.load.push.abs() } else { 0.0 };
        miss <= f64::EPSILON * (16.0 * rate * size + 256.0 * (limit + push))
    }

    /// Whether link `i` bears with no more than rounding makes of its ends' positions.
    fn is_at_edge(&self, i: usize, guide: f64) -> bool {
        let upstream = if i == 0 { guide } else { self.position[i - 1] };
        let size = upstream.abs() + self.position[i].abs() + self.links[i].slack;
        let gap = self.gap(i, guide).abs() - 0.5 * self.links[i].slack;
        gap.abs() <= 4.0 * f64::EPSILON * size
    }

    /// The face link `i` bears on or, at the edge of its gap, would bear on: what was just pushed
    /// there will be pushed on.
    fn closed_face(&self, i: usize, guide: f64) -> f64 {
        if self.is_at_edge(i, guide) {
            if self.links[i].slack > 0.0 {
                self.gap(i, guide).signum()
            } else {
                // Both faces are there: one is tried after the other.
                self.tried
            }
        } else {
            self.face(i, guide)
        }
    }

    /// Rate of link `i` on that face, N/m.
    fn rate(&self, i: usize, guide: f64) -> f64 {
        let face = self.closed_face(i, guide);
        if face > 0.0 {
            self.links[i].first
        } else if face < 0.0 {
            self.links[i].other
        } else {
            0.0
        }
    }

    /// +1, -1 or 0: on which face link `i` bears.
    fn face(&self, i: usize, guide: f64) -> f64 {
        let force = self.link_force(i, guide);
        if force == 0.0 { 0.0 } else { force.signum() }
    }
}

/// A body already let go: it may move wherever its stopping level is exceeded.
fn released(levels: Levels) -> Levels {
    Levels {
        start: levels.stop,
        ..levels
    }
}

/// The link downstream of a body, as that body's load, the neighbour held.
struct Downstream {
    link: Link,
    neighbour: f64,
    limit: f64,
    kinks: [f64; 2],
}

impl Downstream {
    fn new(link: Link, neighbour: f64, limit: f64) -> Self {
        let half = 0.5 * link.slack;
        Self {
            link,
            neighbour,
            limit,
            kinks: [neighbour - half, neighbour + half],
        }
    }
}

impl Load for Downstream {
    fn at(&self, e: f64) -> Reaction {
        Reaction {
            position: e,
            position_slope: 1.0,
            push: self.link.force(e - self.neighbour),
            push_slope: self.link.rate(e - self.neighbour),
            limit: self.limit,
            limit_slope: 0.0,
        }
    }

    fn stand(&self, position: f64, _near: f64) -> (f64, Reaction) {
        (position, self.at(position))
    }

    fn kinks(&self) -> &[f64] {
        &self.kinks
    }
}
