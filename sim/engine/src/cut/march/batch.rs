//! The machines and pieces that are cut side by side, number by number, and what changes slowly
//! along the work.

use crate::balance::Link;
use crate::cut::operation::{GAUGE_BAND, Operation};
use crate::lanes::{Layout, interpolate};
use crate::machine::foot::Foot;
use crate::machine::guide::GuideError;
use crate::machine::preload::PreloadForce;
use crate::machine::slide::Drag;
use crate::machine::tool::off_centre_radius;
use crate::machine::wear::Wear;
use crate::scenario::Scenario;
use crate::surface::Surface;

/// Chips thinner than this share of the edge's own radius are pressed down, not cut (common
/// practice, no source: 0.2 to 0.4).
pub(crate) const UNCUT_SHARE: f64 = 0.3;

/// One lathe with one piece, or several that cut pieces alike the same way: what they have in
/// common is the job (cone, feed, nose, places along the work).
pub(crate) struct MachineBatch<'a, L> {
    /// Where there are too few, the last fills the lanes.
    pub(super) operations: Vec<&'a Operation<'a>>,
    pub(super) drive: Link<L>,
    pub(super) drag: Drag<L>,
    pub(super) foot: Foot<L>,
    pub(super) hold: PreloadForce<L>,
    guide: GuideError<L>,
    wear: Wear<L>,
    /// What tools give way, m/N, and the work along its length.
    tool_gives: L,
    work_gives: Vec<L>,
    /// Drag along the stroke over its mean, less one.
    drag_along: Vec<L>,
    /// Height of the edge over the centre, m, and the same where the main force pushes it off.
    height: L,
    pub(super) off_centre: L,
    /// Heights of the guides' unloaded middles over the surface that was touched, m.
    pub(crate) touched_off: L,
    /// Carriage travel of the cut over which the guide bars ride with the carriage, m.
    foot_left: L,
    /// How far the tips can swing, m, without the sign of the push-off.
    pub(super) swing: L,
    /// How much further in the tips stand than at the touch-off, m.
    pub(crate) rock: L,
    /// Depth under which nothing is cut, m.
    pub(super) uncut: L,
}

/// What changes slowly along the work: looked up once a turn.
#[derive(Clone, Copy, Debug)]
pub struct Station<L> {
    /// From guide to slide.
    pub drive: Link<L>,
    /// What tool and work give way, m/N.
    pub gives: L,
    /// Drag over its mean along the stroke.
    pub drag: L,
    /// Preload out of the cut at height 0, N.
    pub preload: L,
    /// Error of the guide's setting and its bow, m along `n`.
    pub guide_error: L,
    /// What a tool off the centre height adds to the depth, m.
    pub height_error: L,
    /// Push-off that a tool off centre height adds per main force: `into * press * h / r`.
    pub height_share: L,
    /// Of the finished cone, m.
    pub radius: f64,
}

impl<'a, L: Layout> MachineBatch<'a, L> {
    /// Of these operations: ways alike of jobs alike, of as many steps a turn.
    pub(crate) fn new(operations: &'a [Operation<'a>]) -> Self {
        let last = operations.len() - 1;
        let operations: Vec<&Operation<'_>> =
            (0..L::LANES).map(|i| &operations[i.min(last)]).collect();
        let first = operations[0];
        debug_assert!(
            operations.iter().all(|operation| {
                operation.setup == first.setup
                    && operation.options.per_turn == first.options.per_turn
                    && operation.stock == first.stock
                    && operation.slope == first.slope
                    && operation.metal == first.metal
                    && operation.scenario.job.passes == first.scenario.job.passes
            }),
            "jobs that are not alike"
        );
        let lanes = |of: &dyn Fn(&Operation<'_>) -> f64| L::gather(|i| of(operations[i]));
        let setup = &first.setup;
        let table = |of: &dyn Fn(&'a Operation<'a>) -> &'a [f64]| -> Vec<L> {
            let places = of(first).len();
            (0..places)
                .map(|at| L::gather(|i| of(operations[i])[at]))
                .collect()
        };
        let guide = GuideError::gather(|i| {
            let Scenario { lathe, job } = operations[i].scenario;
            GuideError::new(lathe, &job.work, setup)
        });
        let off_centre = setup.inward() * setup.press().sign();
        Self {
            drive: Link {
                slack: lanes(&|c| c.machine.drive.slack),
                first: lanes(&|c| c.machine.drive.first),
                other: lanes(&|c| c.machine.drive.other),
            },
            drag: Drag::gather(|i| &operations[i].machine.drag),
            foot: Foot::gather(|i| &operations[i].machine.foot),
            hold: PreloadForce::gather(|i| &operations[i].machine.hold),
            guide,
            wear: Wear::gather(|i| operations[i].machine.wear),
            tool_gives: lanes(&|c| c.machine.tool_gives),
            work_gives: table(&|c| c.machine.bench.places()),
            drag_along: table(&|c| &c.realization.drag),
            height: lanes(&|c| c.scenario.job.tool.height.si()),
            off_centre: lanes(&|c| off_centre * c.scenario.job.tool.height.si()),
            touched_off: lanes(&|c| c.touched_off()),
            foot_left: lanes(&|c| c.approach.foot_left()),
            swing: lanes(&|c| c.machine.swing * c.scenario.job.tool.swing_left.si()),
            rock: lanes(&|c| c.machine.rock),
            uncut: lanes(&|c| UNCUT_SHARE * c.scenario.job.tool.edge_radius.si()),
            operations,
        }
    }

    /// The operation whose job is everyone's.
    pub(crate) fn first(&self) -> &'a Operation<'a> {
        self.operations[0]
    }

    /// What changes slowly, at `z`; beyond the ends held.
    pub(crate) fn station(&self, z: f64) -> Station<L> {
        let operation = self.first();
        let (stock, setup) = (&operation.stock, &operation.setup);
        let z = within(z, stock.length);
        let share = z / stock.length;
        // A spring is given at mid stroke; into the cut it grows with the slide's own travel.
        let from_middle =
            setup.inward() * setup.slope_sign() * operation.slope * (z - 0.5 * stock.length);
        let (gauge, here) = (stock.radius(stock.gauge_z), stock.radius(z));
        let radius = if here > SMALLEST { here } else { SMALLEST };
        Station {
            drive: Link {
                slack: self.slack_at(z),
                ..self.drive
            },
            gives: self.tool_gives + interpolate(&self.work_gives, share),
            drag: L::one() + interpolate(&self.drag_along, share),
            preload: self.hold.at(from_middle),
            guide_error: self.guide.at(z, stock.gauge_z, 0.5 * stock.length),
            // With the edge above or below the centre a straight path makes a hyperboloid. Set
            // right at the gauge plane.
            height_error: L::splat(setup.inward())
                * (off_centre_radius(gauge, here - gauge, self.height) - L::splat(here)),
            height_share: self.off_centre / L::splat(radius),
            radius,
        }
    }

    /// Slack of the drive at `z`, m.
    pub(super) fn slack_at(&self, z: f64) -> L {
        let stock = &self.first().stock;
        let more = |z: f64| self.wear.more_at(z - 0.5 * stock.length);
        (self.drive.slack + (more(z) - more(stock.gauge_z))).higher(L::zero())
    }

    /// How far the cone has gone on while a bar still rides with the carriage and the guide stands
    /// still, m along `n`, after a carriage travel since the pass began.
    pub(crate) fn guide_lag(&self, travelled: f64) -> L {
        let operation = self.first();
        let left = (self.foot_left - L::splat(travelled)).higher(L::zero());
        L::splat(operation.pull * operation.slope) * left
    }

    /// Carriage travel over which any guide bar rides with its carriage, m.
    pub(super) fn latest_foot(&self) -> f64 {
        (0..L::LANES)
            .map(|i| self.foot_left.extract(i))
            .fold(0.0, |latest, at| if at > latest { at } else { latest })
    }

    /// Where the unloaded slides stand against their guides' middles as a pass begins, m.
    pub(crate) fn entry_offset(&self, finishing: Option<usize>) -> L {
        L::gather(|i| {
            let operation = self.operations[i];
            let chance = operation.stick_slip_before(finishing);
            operation.approach.stick_slip().enters(chance)
        })
    }

    /// How far the dials are off in a finishing pass, m.
    pub(crate) fn dial_error(&self, pass: usize, last_set: usize) -> L {
        L::gather(|i| {
            let by_hand = &self.operations[i].scenario.job.by_hand;
            by_hand.dial_error(pass, last_set)
        })
    }

    /// Height of the blank on a line, m.
    pub(crate) fn blank(&self, line: usize) -> L {
        L::gather(|i| self.operations[i].realization.blank[line])
    }

    /// Mean height round the gauge plane, m.
    pub(crate) fn gauged(&self, surface: &Surface<L>) -> L {
        let operation = self.first();
        operation.mean_around(surface, operation.stock.gauge_z)
    }

    /// Mean height where it is told what a pass took, m.
    pub(crate) fn height_for_taken(&self, surface: &Surface<L>) -> L {
        let operation = self.first();
        operation.mean_around(surface, operation.stock.taken_z())
    }
}

impl Operation<'_> {
    /// What this way meets at `z`.
    pub fn station(&self, z: f64) -> Station<f64> {
        MachineBatch::new(std::slice::from_ref(self)).station(z)
    }

    /// Mean height over the band in which a mike or bore gauge sits at `z`, m.
    pub fn mean_around<L: Layout>(&self, surface: &Surface<L>, z: f64) -> L {
        let spacing = surface.spacing();
        let (band, z) = self.gauge_band(z, spacing);
        let (mut sum, mut count) = (L::zero(), 0.0);
        for k in band.start..band.end.min(surface.nodes()) {
            if (spacing * k as f64 - z).abs() <= GAUGE_BAND {
                sum += surface.mean_of(surface.round(k));
                count += 1.0;
            }
        }
        if count > 0.0 {
            sum / L::splat(count)
        } else {
            surface.at(surface.on_metal()[0], z)
        }
    }
}

/// Radius below which no work is, m.
const SMALLEST: f64 = 1e-4;

/// `z` on the work.
fn within(z: f64, length: f64) -> f64 {
    let z = if z > 0.0 { z } else { 0.0 };
    if z < length { z } else { length }
}
