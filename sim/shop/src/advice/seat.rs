//! Where the slide stands under a preload, in closed form.
//!
//! While the slide moves with the guide the drive carries `L = Fp + P + pull * F`: push-off,
//! preload (positive out of the cut), drag. Solid on the first face while `L > 0`, on the other,
//! a slack deeper against the guide, while `L < 0`; where `L` is nothing the slide floats and the
//! drag sets the depth. The face it was touched off on is that of the run-in in air: `P + F > 0`
//! pulled in, and drawn away `P` at or above the force that starts the slide.
//!
//! Between the force that keeps the slide moving and the one that starts it, a preload against the
//! guide's pull makes it jump from face to face in air; it is then taken as touched off on the
//! other face, the worst case.
//!
//! Even material, steady depth: what varies along the work is left to the run itself.

use crate::arithmetic::max;
use crate::cut::Operation;

/// Bisections of a root: to rounding.
const HALVINGS: usize = 80;

/// Where the slide stands, with the depth it cuts, m.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Stand {
    /// On the first face: the iron pushes the tool into the cut.
    First(f64),
    /// On the other face: the iron holds the tool back.
    Other(f64),
    /// In its slack: forces alone set the depth.
    Floating(f64),
    /// Pushed out by more than the depth: nothing is cut.
    Out,
}

/// Push-off and drag at one depth, N.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Forces {
    /// Push-off.
    pub push_off: f64,
    /// Drag while cutting.
    pub drag: f64,
}

/// One cut on one machine, seen as forces on its slide.
pub struct SlideForces<'a> {
    operation: &'a Operation<'a>,
    law: crate::cutting::ForceLaw,
    pull: f64,
}

impl<'a> SlideForces<'a> {
    /// The slide of a cut at this feed, m a turn.
    pub fn new(operation: &'a Operation<'a>, feed: f64) -> Self {
        Self {
            operation,
            law: operation.law(feed),
            pull: operation.setup().pull().sign(),
        }
    }

    /// Push-off and drag at a depth, m, where the drag is `local` times its mean.
    pub fn at(&self, depth: f64, local: f64) -> Forces {
        let force = self.law.at(depth, 0.0, 1.0);
        let drag = self.operation.machine.drag;
        Forces {
            push_off: force.push_off + self.operation.off_centre_share() * force.main,
            drag: drag.cutting(force.main, force.feed, local).limit,
        }
    }

    /// Force that starts the slide in air, N.
    pub fn starts(&self) -> f64 {
        let drag = &self.operation.machine.drag;
        drag.hand() * drag.breakaway
    }

    /// Force in the drive at a depth with this preload out of the cut, N.
    fn drive(&self, depth: f64, out: f64) -> f64 {
        let f = self.at(depth, 1.0);
        f.push_off + out + self.pull * f.drag
    }

    /// Depth on a face of this spring, N/m, of what is set: less what tool and work give way, and
    /// less the stretch of the drive that the touch-off in air hadn't.
    fn depth_on(&self, spring: f64, set: f64) -> f64 {
        let machine = &self.operation.machine;
        let gives = machine.tool_gives + machine.bench.gives(0.5 * self.operation.length());
        let hand = machine.drag.hand();
        root(0.0, set, |depth| {
            let f = self.at(depth, 1.0);
            let stretch = (f.push_off + self.pull * (f.drag - hand)) / spring;
            depth + gives * f.push_off + stretch - set
        })
    }

    /// Whether the run-in in air leaves it on the first face, with this preload out of the cut, N.
    pub fn first_in_air(&self, out: f64) -> bool {
        if self.pull < 0.0 {
            out >= self.starts()
        } else {
            out > -self.operation.machine.drag.hand()
        }
    }

    /// Where it stands half way along a cut of this depth set, m, with this preload out of the
    /// cut (negative into it), N.
    pub fn stands(&self, set: f64, out: f64) -> Stand {
        let drive = &self.operation.machine.drive;
        if self.first_in_air(out) {
            let depth = self.depth_on(drive.first, set);
            if self.drive(depth, out) > 0.0 {
                return Stand::First(depth);
            }
            // The cut adds more drag than push-off: drawn on over its slack.
            let deepest = depth + drive.slack;
            return if self.drive(deepest, out) < 0.0 {
                Stand::Other(deepest)
            } else {
                Stand::Floating(root(depth, deepest, |a| self.drive(a, out)))
            };
        }
        let depth = self.depth_on(drive.other, set);
        if self.drive(depth, out) < 0.0 {
            return Stand::Other(depth);
        }
        // Pushed off the face it was touched off on, over its slack at the most.
        // On the first face it then stands as deep as the spring of drive, tool and work leaves it.
        let over = set - drive.slack;
        let shallowest = (over > 0.0).then(|| self.depth_on(drive.first, over));
        let floats = if self.drive(0.0, out) < 0.0 {
            root(0.0, depth, |a| self.drive(a, out))
        } else {
            0.0
        };
        match shallowest {
            Some(depth) if depth > floats => Stand::First(depth),
            _ if floats > 0.0 => Stand::Floating(floats),
            _ => Stand::Out,
        }
    }

    /// Most that the drag exceeds the push-off by from no depth to this one, N, where the drag is
    /// `local` times its mean.
    pub fn most_held_back(&self, depth: f64, local: f64) -> f64 {
        const STEPS: usize = 16;
        (0..=STEPS)
            .map(|i| {
                let f = self.at(depth * i as f64 / STEPS as f64, local);
                f.drag - f.push_off
            })
            .fold(f64::NEG_INFINITY, max)
    }
}

/// Where `excess` crosses zero upward between two places.
fn root(mut low: f64, mut high: f64, excess: impl Fn(f64) -> f64) -> f64 {
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        if excess(middle) < 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}
