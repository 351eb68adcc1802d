//! The inertial form: the same links and rubbing bodies with masses, stepped through time.
//!
//! The quasi-static balance lets every body come to rest at each step; here it keeps its momentum.
//! It says where the other is not to be trusted, and costs some hundred times as much.

use super::chain::Downstream;
use super::{Levels, Link, Load, Reaction, Rested, settle};
use crate::arithmetic::max;
use crate::record::Counters;

/// A body with mass behind its own link.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Heavy {
    /// Link to its upstream neighbour.
    pub link: Link,
    /// Damping of the link while it bears, N s/m, at least 0.
    pub damping: f64,
    /// Mass, kg, at least 0.
    pub mass: f64,
    /// Friction limit once moving, N. Not used for the last body, whose load carries its own.
    pub limit: f64,
    /// What starts it, and what rubs once it moves.
    pub levels: Levels,
}

/// Bodies with mass in a row behind the guide, as in [`super::Chain`].
///
/// # Law
/// Moreau and Jean's time stepping (J. J. Moreau 1988; M. Jean, Comput. Methods Appl. Mech. Engrg.
/// 177 (1999) 235), fully implicit: over a time `h`, with `v'` and `x' = x + h v'` at its end,
///
/// `m (v' - v) = h (net(x') - f)`, `f = F sign(v')`, or within `+-F` where `v' = 0`.
///
/// Velocities are against the ways, which the bodies rub on. A closed link carries
/// `k s + c ds/dt`, `s` what it is pressed in, and never pulls: a stiff one stops a body without a
/// bounce (restitution 0). That is one more balance, the one of [`settle`] with the body's
/// inertia `(m / h^2) (x' - x - h v)` added to its load, so friction that hangs on the load, gaps
/// and faces are treated alike in both forms. Several bodies are settled in turn until none moves.
///
/// Energy is never created (the springs' is convex, and taken at the end of the step). The error
/// is of first order in `h`; the scheme damps an oscillation of frequency `w` (rad/s) as a damping
/// ratio of `w h / 2` would.
#[derive(Clone, Debug, PartialEq)]
pub struct Train {
    bodies: Vec<Heavy>,
    position: Vec<f64>,
    velocity: Vec<f64>,
    /// Gap coordinate of each link at the end of the last step.
    gap: Vec<f64>,
    guide_force: f64,
    acceleration: f64,
    parameter: f64,
    moved: i8,
}

/// Sweeps over the bodies before a step is given up as not found.
const MAX_SWEEPS: usize = 4000;

impl Train {
    /// Bodies at rest, each as far into its gap from the guide, at `guide`, as `position` says.
    ///
    /// # Panics
    /// If there is no body.
    pub fn new(bodies: Vec<Heavy>, guide: f64, position: f64) -> Self {
        assert!(!bodies.is_empty(), "at least one body");
        let n = bodies.len();
        let mut gap = vec![0.0; n];
        gap[0] = guide - position;
        Self {
            bodies,
            position: vec![position; n],
            velocity: vec![0.0; n],
            gap,
            guide_force: 0.0,
            acceleration: 0.0,
            parameter: position,
            moved: 0,
        }
    }

    /// Where the bodies stand, m, the driven end first.
    pub fn positions(&self) -> &[f64] {
        &self.position
    }

    /// How fast they move on the ways, m/s.
    pub fn velocities(&self) -> &[f64] {
        &self.velocity
    }

    /// Gives all bodies this velocity on the ways, m/s.
    pub fn set_velocity(&mut self, velocity: f64) {
        self.velocity.fill(velocity);
        self.moved = velocity.partial_cmp(&0.0).map_or(0, |order| order as i8);
    }

    /// What all bodies' speed holds, J.
    pub fn kinetic(&self) -> f64 {
        let each = self.bodies.iter().zip(&self.velocity);
        each.map(|(body, v)| 0.5 * body.mass * v * v).sum()
    }

    /// Force in the first link at the end of the last step, N: what the guide has to give.
    pub fn guide_force(&self) -> f64 {
        self.guide_force
    }

    /// Mean acceleration of the last body over the last step, m/s^2.
    pub fn acceleration(&self) -> f64 {
        self.acceleration
    }

    /// Gives the last body other friction levels, as when a cut begins to shake it.
    pub fn set_levels(&mut self, levels: Levels) {
        if let Some(last) = self.bodies.last_mut() {
            last.levels = levels;
        }
    }

    /// Shifts all bodies, as when the reference they are measured from moves away under them;
    /// their velocities on the ways stay.
    pub fn shift(&mut self, by: f64) {
        self.parameter += by;
        for x in &mut self.position {
            *x += by;
        }
    }

    /// Lets `time` (s, above 0) go by, at whose end the guide is at `guide`. Returns the last
    /// body's state then; its `drive` is the force in its own link.
    pub fn advance<L: Load>(
        &mut self,
        guide: f64,
        load: &L,
        time: f64,
        counters: &mut Counters,
    ) -> Rested {
        let n = self.bodies.len();
        let last = n - 1;
        // The inner solves must not count as steps along the cut.
        let mut inner = Counters::default();
        let from = self.position.clone();
        self.parameter += time * self.velocity[last];
        let mut rested = None;
        for sweep in 0.. {
            let mut change = 0.0_f64;
            let mut size = 0.0_f64;
            for (i, &from) in from.iter().enumerate() {
                let upstream = if i == 0 { guide } else { self.position[i - 1] };
                let there = if i == last {
                    let found = self.settled(i, upstream, from, load, time, &mut inner);
                    self.parameter = found.parameter;
                    rested = Some(found);
                    found.load.position
                } else {
                    let (next, off) = self.bearing(i + 1, time);
                    let limit = self.bodies[i].limit;
                    let down = Downstream::new(next, self.position[i + 1] + off, limit);
                    let found = self.settled(i, upstream, from, &down, time, &mut inner);
                    found.load.position
                };
                change = max(change, (there - self.position[i]).abs());
                size = max(size, there.abs());
                self.position[i] = there;
            }
            if n == 1 || change <= 1e-17 + 8.0 * f64::EPSILON * size {
                break;
            }
            if sweep == MAX_SWEEPS {
                inner.unconverged += 1;
                break;
            }
        }
        let (first, off) = self.bearing(0, time);
        self.guide_force = first.force(guide - off - self.position[0]);
        for (i, &from) in from.iter().enumerate() {
            let velocity = (self.position[i] - from) / time;
            if i == last {
                self.acceleration = (velocity - self.velocity[i]) / time;
            }
            self.velocity[i] = velocity;
            let upstream = if i == 0 { guide } else { self.position[i - 1] };
            self.gap[i] = upstream - self.position[i];
        }
        let rested = rested.expect("there is a last body");
        self.moved = rested.moved;
        counters.steps += 1;
        counters.stuck += u64::from(rested.moved == 0);
        counters.iterations += inner.iterations;
        counters.ambiguous += inner.ambiguous;
        counters.unconverged += inner.unconverged;
        rested
    }

    /// Link `i` with its damping over a step, as a plain link, and how far its middle then lies
    /// off: `k s + c (s - s_before) / h` is a stiffer spring that begins to bear later.
    fn bearing(&self, i: usize, time: f64) -> (Link, f64) {
        let Heavy { link, damping, .. } = self.bodies[i];
        let half = 0.5 * link.slack;
        let damped = damping / time;
        let later = |pressed: f64, rate: f64| damped * max(pressed, 0.0) / (rate + damped);
        let first = half + later(self.gap[i] - half, link.first);
        let other = half + later(-self.gap[i] - half, link.other);
        let bearing = Link {
            slack: first + other,
            first: link.first + damped,
            other: link.other + damped,
        };
        (bearing, 0.5 * (first - other))
    }

    /// Where body `i` is at the end of the step, its neighbours held.
    fn settled<L: Load>(
        &self,
        i: usize,
        upstream: f64,
        from: f64,
        load: &L,
        time: f64,
        counters: &mut Counters,
    ) -> Rested {
        let body = &self.bodies[i];
        let (link, off) = self.bearing(i, time);
        let velocity = self.velocity[i];
        let carried = Carried {
            load,
            inertia: body.mass / (time * time),
            aim: from + time * velocity,
        };
        let levels = if velocity == 0.0 {
            body.levels
        } else {
            body.levels.released()
        };
        let is_last = i + 1 == self.bodies.len();
        let (near, moved) = if is_last {
            (self.parameter, self.moved)
        } else {
            (self.position[i], 0)
        };
        let rested = settle(
            &link,
            upstream - off,
            from,
            near,
            moved,
            &carried,
            levels,
            counters,
        );
        Rested {
            load: carried.without(rested.load),
            ..rested
        }
    }
}

/// A load and the inertia of the body that carries it, over one step.
struct Carried<'a, L> {
    load: &'a L,
    /// Mass over the step's time squared, N/m.
    inertia: f64,
    /// Where the body would be at the end of the step if nothing acted on it.
    aim: f64,
}

impl<L> Carried<'_, L> {
    fn with(&self, r: Reaction) -> Reaction {
        Reaction {
            push: r.push + self.inertia * (r.position - self.aim),
            push_slope: r.push_slope + self.inertia * r.position_slope,
            ..r
        }
    }

    fn without(&self, r: Reaction) -> Reaction {
        Reaction {
            push: r.push - self.inertia * (r.position - self.aim),
            push_slope: r.push_slope - self.inertia * r.position_slope,
            ..r
        }
    }
}

impl<L: Load> Load for Carried<'_, L> {
    #[inline]
    fn at(&self, e: f64) -> Reaction {
        self.with(self.load.at(e))
    }

    fn stand(&self, position: f64, near: f64) -> (f64, Reaction) {
        let (e, there) = self.load.stand(position, near);
        (e, self.with(there))
    }

    fn kinks(&self) -> &[f64] {
        self.load.kinks()
    }
}
