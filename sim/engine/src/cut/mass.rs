//! The slide's mass, and how finely its motion is followed.

use crate::arithmetic::{clamp, max};
use crate::balance::{Body, MassBody};
use crate::machine::Machine;

/// Standard gravity, m/s^2.
const GRAVITY: f64 = 9.806_65;
/// Damping ratio of a slide seated in its drive (a guess within what oiled joints of machine tools
/// have, from memory: 0.03 to 0.2).
const DAMPING_RATIO: f64 = 0.1;
/// Time step times the frequency (rad/s) of the seated slide: the scheme's own damping ratio is
/// half of it there, and next to nothing where the slide floats.
const FINE: f64 = 0.1;

/// The slide's mass, and how finely its motion is followed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Inertia {
    /// Mass of the slide and what stands on it, kg.
    pub mass: f64,
    /// Damping ratio of the slide seated in its drive.
    pub damping_ratio: f64,
    /// Damping of the slide's speed on its ways, N s/m: oil and chip.
    pub on_ways: f64,
    /// Longest time step, over one radian of the seated slide's swing.
    pub fine: f64,
}

impl Inertia {
    /// Of the slide as the lathe file weighs it.
    pub fn of(machine: &Machine) -> Self {
        Self {
            mass: machine.drag.weight / GRAVITY,
            damping_ratio: DAMPING_RATIO,
            on_ways: 0.0,
            fine: FINE,
        }
    }

    /// The same, damped at this ratio of the critical where it swings freely at `frequency` (Hz).
    pub fn damped(self, ratio: f64, frequency: f64) -> Self {
        let swing = std::f64::consts::TAU * frequency;
        Self {
            on_ways: 2.0 * ratio * self.mass * swing,
            ..self
        }
    }

    /// The slide at rest where `body` is, the guide at `guide`.
    pub(super) fn slide(&self, body: &Body, guide: f64) -> MassBody {
        let stiffest = max(body.link.first, body.link.other);
        let mut slide = MassBody::new(body.link, self.mass, guide, body.position);
        slide.damping = 2.0 * self.damping_ratio * (stiffest * self.mass).sqrt();
        slide.on_ways = self.on_ways;
        slide.levels = body.levels;
        slide
    }

    /// Steps through this time (s) at most, where the slide is seated in its drive.
    pub fn steps_through(&self, machine: &Machine, time: f64) -> f64 {
        let stiffest = max(machine.drive.first, machine.drive.other);
        (time * (stiffest / self.mass).sqrt() / self.fine).ceil()
    }

    /// Steps through a time that the seated slide's swing asks for.
    pub(super) fn substeps(&self, body: &Body, time: f64) -> u32 {
        let stiffest = max(body.link.first, body.link.other);
        let frequency = (stiffest / self.mass).sqrt();
        clamp((time * frequency / self.fine).ceil(), 1.0, 1e5) as u32
    }
}
