//! A force that holds the slide to one side: weight, spring or air cylinder.

use crate::lanes::Lanes;
use crate::quantity::Quantity;
use crate::scenario::{Preload, PreloadSource};
use crate::setup::Setup;

/// A preload in the terms of the cut.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct PreloadForce<P = f64> {
    /// Force out of the cut at the middle of the taper, N; negative pushes into the cut.
    pub out: P,
    /// Growth of that force as the slide moves into the cut, N/m (a spring's rate).
    pub rate: P,
    /// What a cylinder's seals add to the drag, N.
    pub seal_drag: P,
}

impl PreloadForce {
    /// The preload as this way of cutting feels it.
    pub fn new(preload: Option<&Preload>, setup: &Setup) -> Self {
        let Some(preload) = preload else {
            return Self::default();
        };
        let sign = setup.out_of_cut(preload.toward);
        match preload.source {
            PreloadSource::Constant(force) => Self {
                out: sign * force.si(),
                ..Self::default()
            },
            PreloadSource::Spring { force, rate } => {
                // A slide that gives way to the spring lets it relax, on either side.
                Self {
                    out: sign * force.si(),
                    rate: rate.si(),
                    seal_drag: 0.0,
                }
            }
            PreloadSource::Cylinder {
                bore,
                rod,
                pressure,
                seal_share,
            } => {
                let force = cylinder(bore.si(), rod.si(), pressure.si());
                Self {
                    out: sign * force,
                    rate: 0.0,
                    seal_drag: force * seal_share.si(),
                }
            }
        }
    }
}

impl PreloadForce {
    /// Those of several lathes, each a lane.
    pub fn gather<'a, R: Lanes>(hold: impl Fn(usize) -> &'a Self) -> PreloadForce<R> {
        PreloadForce {
            out: R::gather(|lane| hold(lane).out),
            rate: R::gather(|lane| hold(lane).rate),
            seal_drag: R::gather(|lane| hold(lane).seal_drag),
        }
    }
}

impl<P: Lanes> PreloadForce<P> {
    /// Force out of the cut where the cone is so much further into the cut than at the middle of
    /// the taper (m), the edge on it, N.
    pub fn at(&self, from_middle: f64) -> P {
        self.out + self.rate * P::splat(from_middle)
    }
}

/// Force of an air cylinder, N, without seals: `p pi (bore^2 - rod^2) / 4`, the rod only when its
/// side is pressed.
pub fn cylinder(bore: f64, rod: f64, pressure: f64) -> f64 {
    pressure * std::f64::consts::PI * (bore * bore - rod * rod) / 4.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cylinders_at_six_bar_closed_form() {
        // Bore and rod of the ISO 15552 series, force out and back: p times area.
        for (bore, rod, out, back) in [
            (32.0, 12.0, 482.5, 414.7),
            (50.0, 20.0, 1178.1, 989.6),
            (100.0, 25.0, 4712.4, 4417.9),
        ] {
            let (bore, rod) = (bore * 1e-3, rod * 1e-3);
            assert!((cylinder(bore, 0.0, 6e5) - out).abs() < 0.05);
            assert!((cylinder(bore, rod, 6e5) - back).abs() < 0.05);
        }
    }
}
