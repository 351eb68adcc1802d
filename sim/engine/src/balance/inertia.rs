//! The inertial form: the rubbing body with its mass, stepped through time.
//!
//! The quasi-static balance lets the body come to rest at each step; here it keeps its momentum.
//! It says where the other is not to be trusted, and costs some hundred times as much.

use super::{Levels, Link, Load, Reaction, Rested, settle};
use crate::arithmetic::max;
use crate::record::Counters;

/// One rubbing body with mass on its own link, under way.
///
/// # Law
/// Moreau and Jean's time stepping (J. J. Moreau 1988; M. Jean, Comput. Methods Appl. Mech. Engrg.
/// 177 (1999) 235), fully implicit: over a time `h`, with `v'` and `x' = x + h v'` at its end,
///
/// `m (v' - v) = h (net(x') - c v' - f)`, `f = F sign(v')`, or within `+-F` where `v' = 0`; `c`
/// is what oil and chip damp of its speed on the ways.
///
/// Velocities are against the ways, which the body rubs on. A closed link carries
/// `k s + c ds/dt`, `s` what it is pressed in, and never pulls: a stiff one stops a body without a
/// bounce (restitution 0). That is one more balance, the one of [`settle`] with the body's
/// inertia `(m / h^2) (x' - x - h v)` added to its load, so friction that hangs on the load, gaps
/// and faces are treated alike in both forms.
///
/// Energy is never created (the springs' is convex, and taken at the end of the step). The error
/// is of first order in `h`; the scheme damps an oscillation of frequency `w` (rad/s) as a damping
/// ratio of `w h / 2` would.
#[derive(Clone, Debug, PartialEq)]
pub struct MassBody {
    /// Its link to the guide.
    pub link: Link,
    /// Damping of the link while it bears, N s/m, at least 0.
    pub damping: f64,
    /// Damping of its speed on the ways, whatever the link does, N s/m, at least 0.
    pub on_ways: f64,
    /// Mass, kg, at least 0.
    pub mass: f64,
    /// What starts it, and what rubs once it moves.
    pub levels: Levels,
    position: f64,
    velocity: f64,
    /// Gap coordinate of the link at the end of the last step.
    gap: f64,
    acceleration: f64,
    parameter: f64,
    moved: i8,
}

impl MassBody {
    /// A body at rest at `position`, with one level of friction and no damping, the guide at
    /// `guide`.
    pub fn new(link: Link, mass: f64, guide: f64, position: f64) -> Self {
        Self {
            link,
            damping: 0.0,
            on_ways: 0.0,
            mass,
            levels: Levels::ONE,
            position,
            velocity: 0.0,
            gap: guide - position,
            acceleration: 0.0,
            parameter: position,
            moved: 0,
        }
    }

    /// Where it stands, m.
    pub fn position(&self) -> f64 {
        self.position
    }

    /// How fast it moves on the ways, m/s.
    pub fn velocity(&self) -> f64 {
        self.velocity
    }

    /// Gives it this velocity on the ways, m/s.
    pub fn set_velocity(&mut self, velocity: f64) {
        self.velocity = velocity;
        self.moved = velocity.partial_cmp(&0.0).map_or(0, |order| order as i8);
    }

    /// Mean acceleration over the last step, m/s^2.
    pub fn acceleration(&self) -> f64 {
        self.acceleration
    }

    /// Shifts it, as when the reference it is measured from moves away under it; its velocity on
    /// the ways stays.
    pub fn shift(&mut self, by: f64) {
        self.parameter += by;
        self.position += by;
    }

    /// Lets `time` (s, above 0) go by, at whose end the guide is at `guide`. Returns its state
    /// then; its `drive` is the force in its link.
    pub fn advance<L: Load>(
        &mut self,
        guide: f64,
        load: &L,
        time: f64,
        counters: &mut Counters,
    ) -> Rested {
        let from = self.position;
        let (link, off) = self.bearing(time);
        let carried = Carried {
            load,
            inertia: self.mass / (time * time),
            aim: from + time * self.velocity,
            damping: self.on_ways / time,
            from,
        };
        let levels = if self.velocity == 0.0 {
            self.levels
        } else {
            self.levels.released()
        };
        let rested = settle(
            &link,
            guide - off,
            from,
            self.parameter + time * self.velocity,
            self.moved,
            &carried,
            levels,
            counters,
        );
        let rested = Rested {
            load: carried.without(rested.load),
            ..rested
        };
        self.parameter = rested.parameter;
        self.moved = rested.moved;
        self.position = rested.load.position;
        let velocity = (self.position - from) / time;
        self.acceleration = (velocity - self.velocity) / time;
        self.velocity = velocity;
        self.gap = guide - self.position;
        rested
    }

    /// The link with its damping over a step, as a plain link, and how far its middle then lies
    /// off: `k s + c (s - s_before) / h` is a stiffer spring that begins to bear later.
    fn bearing(&self, time: f64) -> (Link, f64) {
        let link = self.link;
        let half = 0.5 * link.slack;
        let damped = self.damping / time;
        let later = |pressed: f64, rate: f64| damped * max(pressed, 0.0) / (rate + damped);
        let first = half + later(self.gap - half, link.first);
        let other = half + later(-self.gap - half, link.other);
        let bearing = Link {
            slack: first + other,
            first: link.first + damped,
            other: link.other + damped,
        };
        (bearing, 0.5 * (first - other))
    }
}

/// A load and the inertia of the body that carries it, over one step.
struct Carried<'a, L> {
    load: &'a L,
    /// Mass over the step's time squared, N/m.
    inertia: f64,
    /// Where the body would be at the end of the step if nothing acted on it.
    aim: f64,
    /// Damping on the ways over the step's time, N/m.
    damping: f64,
    /// Where it stood.
    from: f64,
}

impl<L> Carried<'_, L> {
    /// Inertia and damping at a position.
    fn own(&self, position: f64) -> f64 {
        self.inertia * (position - self.aim) + self.damping * (position - self.from)
    }

    fn with(&self, r: Reaction) -> Reaction {
        Reaction {
            push: r.push + self.own(r.position),
            push_slope: r.push_slope + (self.inertia + self.damping) * r.position_slope,
            ..r
        }
    }

    fn without(&self, r: Reaction) -> Reaction {
        Reaction {
            push: r.push - self.own(r.position),
            push_slope: r.push_slope - (self.inertia + self.damping) * r.position_slope,
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
