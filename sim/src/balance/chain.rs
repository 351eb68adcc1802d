//! Several rubbing bodies in a row, by active set.

use super::{Levels, Link, Load, Reaction, Rested, settle};
use crate::record::Counters;

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
/// The balance of the module's page, for all bodies at once. Bodies stand still until the one
/// furthest over its starting force is let go; the bodies let go so far are brought to balance
/// with the others held; then the next is looked for. At most one release a body, so it ends.
/// With one friction level and a monotone load the result is unique and the order of release
/// doesn't matter.
#[derive(Clone, Debug)]
pub struct Chain {
    links: Vec<Link>,
    bodies: Vec<Rubbing>,
    stood: Vec<f64>,
    position: Vec<f64>,
    released: Vec<bool>,
    parameter: f64,
    load: Reaction,
    moved: i8,
    rows: Vec<Row>,
}

/// A body in a Newton step on all bodies at once. Kept in the chain, so that a step along the cut
/// allocates nothing.
#[derive(Clone, Copy, Debug, Default)]
struct Row {
    /// Position and face before the Newton steps, and which way it moves: 0 if it stays.
    before: f64,
    face: f64,
    direction: f64,
    /// The row of the slopes: toward the body upstream, its own, toward the one downstream.
    up: f64,
    own: f64,
    down: f64,
    /// What is missing to balance; solved, the step.
    step: f64,
}

/// Solves rows that touch their neighbours only, by elimination down and substitution up.
fn solve(rows: &mut [Row]) {
    for i in 1..rows.len() {
        let last = rows[i - 1];
        let share = rows[i].up / last.own;
        rows[i].own -= share * last.down;
        rows[i].step -= share * last.step;
    }
    let mut next = 0.0;
    for row in rows.iter_mut().rev() {
        row.step = (row.step - row.down * next) / row.own;
        next = row.step;
    }
}

/// Body-by-body sweeps before the balance is given up as not found.
const MAX_SWEEPS: usize = 4000;

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
            moved: 0,
            rows: vec![Row::default(); n],
        }
    }

    /// Where the bodies stand, m, the driven end first.
    pub fn positions(&self) -> &[f64] {
        &self.position
    }

    /// Gives a better guess of the load's parameter than where it was; it only saves time.
    pub fn expect(&mut self, parameter: f64) {
        self.parameter = parameter;
    }

    /// Shifts all bodies, as when the reference they are measured from moves away under them.
    pub fn shift(&mut self, by: f64) {
        self.parameter += by;
        for x in &mut self.position {
            *x += by;
        }
    }

    /// Gives the last body other friction levels, as when a cut begins to shake it.
    pub fn set_levels(&mut self, levels: Levels) {
        if let Some(last) = self.bodies.last_mut() {
            last.levels = levels;
        }
    }

    /// Moves the guide to `guide` and lets every body come to its first balance. Returns the last
    /// body's rest; its `drive` is the force in its own link.
    pub fn advance<L: Load>(&mut self, guide: f64, load: &L, counters: &mut Counters) -> Rested {
        let last = self.bodies.len() - 1;
        if last == 0 {
            let rested = settle(
                &self.links[0],
                guide,
                self.position[0],
                self.parameter,
                self.moved,
                load,
                self.bodies[0].levels,
                counters,
            );
            self.position[0] = rested.load.position;
            self.parameter = rested.parameter;
            self.load = rested.load;
            self.moved = rested.moved;
            return rested;
        }
        self.stood.copy_from_slice(&self.position);
        self.released.fill(false);
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
                let levels = self.bodies[i].levels.released();
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
        }
        counters.iterations += inner.iterations;
        counters.ambiguous += inner.ambiguous;
        counters.unconverged += inner.unconverged + u64::from(!done);
    }

    /// Newton steps on all bodies that moved, faces and directions kept; undone when they change.
    fn newton<L: Load>(&mut self, guide: f64, load: &L) {
        let n = self.bodies.len();
        for i in 0..n {
            let moved = self.position[i] - self.stood[i];
            let moves = self.released[i] && moved != 0.0;
            self.rows[i] = Row {
                before: self.position[i],
                face: self.face(i, guide),
                direction: if moves { moved.signum() } else { 0.0 },
                ..Row::default()
            };
        }
        if self.rows.iter().filter(|row| row.direction != 0.0).count() < 2 {
            return;
        }
        let load_before = (self.parameter, self.load);
        for _ in 0..6 {
            for i in 0..n {
                self.rows[i] = self.row(i, guide);
            }
            solve(&mut self.rows);
            if self.rows.iter().any(|row| !row.step.is_finite()) {
                break;
            }
            let mut most = 0.0_f64;
            for (x, row) in self.position.iter_mut().zip(&self.rows) {
                *x += row.step;
                most = most.max(row.step.abs());
            }
            if self.rows[n - 1].direction != 0.0 {
                (self.parameter, self.load) = load.stand(self.position[n - 1], self.parameter);
            }
            if most <= 1e-18 + f64::EPSILON * self.position[n - 1].abs() {
                break;
            }
        }
        let consistent = (0..n).all(|i| {
            let row = self.rows[i];
            let moved = self.position[i] - self.stood[i];
            self.face(i, guide) == row.face
                && (row.direction == 0.0 || moved.is_finite() && moved * row.direction >= 0.0)
        });
        if !consistent {
            for (x, row) in self.position.iter_mut().zip(&self.rows) {
                *x = row.before;
            }
            (self.parameter, self.load) = load_before;
        }
    }

    /// The row of body `i`, slopes and what is missing where it is now; a body that stays has a
    /// step of 0.
    fn row(&self, i: usize, guide: f64) -> Row {
        let kept = self.rows[i];
        if kept.direction == 0.0 {
            return Row {
                up: 0.0,
                own: 1.0,
                down: 0.0,
                step: 0.0,
                ..kept
            };
        }
        let up = self.links[i].rate(self.gap(i, guide));
        let stop = kept.direction * self.bodies[i].levels.stop;
        let (down, own, limit) = if i + 1 < self.bodies.len() {
            let down = self.links[i + 1].rate(self.gap(i + 1, guide));
            (down, up + down, self.bodies[i].limit)
        } else {
            let slope = self.load.push_slope + stop * self.load.limit_slope;
            let own = up + slope / self.load.position_slope;
            (0.0, own, self.load.limit)
        };
        Row {
            up: -up,
            own,
            down: -down,
            step: self.net(i, guide) - stop * limit,
            ..kept
        }
    }

    /// +1, -1 or 0: on which face link `i` bears.
    fn face(&self, i: usize, guide: f64) -> f64 {
        let force = self.link_force(i, guide);
        if force == 0.0 { 0.0 } else { force.signum() }
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
