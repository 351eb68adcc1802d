//! The window of force that keeps the drive seated, over the lathes of a study.
//!
//! On each lathe drawn the least force is the larger of what the run-in in air asks, the force that
//! starts the slide where its drag along the stroke is highest, and of what the cut asks, the most
//! by which the drag there exceeds the push-off at any depth up to the deepest pass. A cylinder's
//! seals drag too, in proportion to its force. Pulled in, guide and cut push the same way and no
//! preload is needed. The most is where the load would push the foot off its seat (steep tapers
//! only), or where a hand is no longer safe.

use schemars::JsonSchema;
use serde::Serialize;

use super::force_scan::pressed;
use super::seat::SlideForces;
use crate::arithmetic::{max, min};
use crate::caution::{PRELOAD_REFUSED, PRELOAD_WARNED};
use crate::cut::{Operation, Options};
use crate::machine::foot::SHOE_FRICTION;
use crate::quantity::{INCH, LBF, Length, Pressure, Quantity, Ratio, Units};
use crate::scenario::numbers::preload::SEAL_SHARE;
use crate::scenario::{Known, Preload, PreloadSource, Scenario, StartSurface, Toward};
use crate::setup::{Pull, Setup};
use crate::spread::Interval;
use crate::study::{RangeFault, Study};

/// What one lathe asks of a preload out of the cut.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Need {
    /// Force that starts the slide, at its mean drag along the stroke, N.
    pub starts: f64,
    /// The same where it drags most: what the run-in in air asks, N.
    pub air: f64,
    /// Most by which the drag exceeds the push-off in the cut, N; below 0 where it never does.
    pub cut: f64,
    /// Force to start the slide over force to keep it moving.
    pub breakaway: f64,
    /// Share of a cylinder's force that its seals take.
    pub seal_share: f64,
    /// Force above which the foot leaves its seat, N; none where it never does.
    pub foot: Option<f64>,
    /// Stroke that a source needs, m.
    pub stroke: f64,
    /// Whether the guide pulls in, so that nothing is needed.
    pub pulled_in: bool,
}

impl Need {
    /// Least force, N; from a cylinder with its seals, which may never do.
    pub fn least(&self, seals: bool) -> f64 {
        let share = if seals { self.seal_share } else { 0.0 };
        let with_seals = |force: f64, counted: f64| {
            if counted < 1.0 {
                max(force / (1.0 - counted), 0.0)
            } else {
                f64::INFINITY
            }
        };
        let cut = with_seals(self.cut, share);
        if self.pulled_in {
            return cut;
        }
        max(with_seals(self.air, share * self.breakaway), cut)
    }
}

/// What the lathes of a study ask, one by one.
pub struct Needs {
    study: Study,
    setup: Setup,
    options: Options,
    run_in: f64,
}

impl Needs {
    /// The lathes like this one, cut this way; a preload the job has is left aside, but for a
    /// cylinder's seals.
    ///
    /// # Errors
    /// A number whose range makes no distribution.
    pub fn new(
        scenario: &Scenario,
        setup: &Setup,
        options: Options,
        seal_share: Option<Known<Ratio>>,
    ) -> Result<Self, RangeFault> {
        let given = scenario.job.preload.and_then(|p| match p.source {
            PreloadSource::Cylinder { seal_share, .. } => Some(seal_share),
            _ => None,
        });
        let mut sealed = scenario.clone();
        // Any cylinder: only its seals are drawn.
        sealed.job.preload = Some(Preload {
            toward: Toward::Operator,
            source: PreloadSource::Cylinder {
                bore: Length::from_si(0.02),
                rod: Length::from_si(0.0),
                pressure: Known::given(Pressure::from_si(1e5)),
                seal_share: seal_share.or(given).unwrap_or_else(|| SEAL_SHARE.always()),
            },
        });
        let mut bare = scenario.clone();
        bare.job.preload = None;
        let run_in = Operation::new(&bare, *setup, options).approach().run_in();
        Ok(Self {
            study: Study::new(&sealed, &[*setup], options)?,
            setup: *setup,
            options,
            run_in,
        })
    }

    /// What a lathe asks, by its number in the study, from 1.
    pub fn of(&self, number: u64) -> Need {
        let (mut scenario, luck) = self.study.scenario_of(number);
        let seal_share = match scenario.job.preload.take().map(|p| p.source) {
            Some(PreloadSource::Cylinder { seal_share, .. }) => seal_share.si(),
            _ => 0.0,
        };
        let options = Options {
            seed: luck,
            ..self.options
        };
        let operation = Operation::new(&scenario, self.setup, options);
        let passes = &scenario.job.passes;
        let finish = passes.finish.iter().map(|d| d.si()).fold(0.0, max);
        let rough = match scenario.job.work.start {
            StartSurface::Straight { .. } | StartSurface::Tapered { .. } => passes.rough.si(),
            StartSurface::Roughed { .. } => 0.0,
        };
        let local = operation.most_local_drag();
        let pulled_in = self.setup.pull() != Pull::Away;
        let mut cut = f64::NEG_INFINITY;
        let mut most_drive = 0.0_f64;
        for (depth, feed) in [(finish, passes.feed.si()), (rough, passes.rough_feed.si())] {
            let slide = SlideForces::new(&operation, feed);
            let f = slide.at(depth, 1.0);
            cut = max(
                cut,
                if pulled_in {
                    // Guide and drag push the same way: only a tool that hooks in pulls against them.
                    -(f.push_off + f.drag)
                } else {
                    slide.most_held_back(depth, local)
                },
            );
            most_drive = max(most_drive, f.push_off + self.setup.pull().sign() * f.drag);
        }
        let drag = &operation.machine.drag;
        let starts = drag.hand() * drag.breakaway;
        let slope = operation.slope;
        // R = D + L (mu - slope) while the load drives the shoe, and below 0 the foot leaves.
        let foot = (!pulled_in && slope > SHOE_FRICTION).then(|| {
            max(
                operation.machine.foot.bar_drag / (slope - SHOE_FRICTION) - most_drive,
                0.0,
            )
        });
        Need {
            starts,
            air: starts * local,
            cut,
            breakaway: drag.breakaway,
            seal_share,
            foot,
            stroke: stroke(
                slope * (operation.length() + self.run_in),
                operation.machine.drive.slack,
            ),
            pulled_in,
        }
    }

    /// How far a spring's force falls and grows from mid stroke, per its rate: the slide's travel
    /// toward either end, m.
    pub fn spring_travel(&self, scenario: &Scenario) -> (f64, f64) {
        let slope = crate::cut::aimed_taper(scenario) / 2.0;
        let half = 0.5 * scenario.job.work.length.si();
        let (run_in_side, far_side) = (slope * (half + self.run_in), slope * half);
        // Drawn away, the slide goes out of the cut as it feeds, and the spring lets go with it.
        if self.setup.pull() == Pull::Away {
            (far_side, run_in_side)
        } else {
            (run_in_side, far_side)
        }
    }
}

/// Room beyond what the slide travels, m (1/2 in, common practice, no source).
const STROKE_SPARE: f64 = 0.5 * INCH;
/// Stroke that a cylinder or spring needs, m: the slide's travel over the job with its run-in, the
/// drive's slack, and half an inch.
pub fn stroke(slide_travel: f64, slack: f64) -> f64 {
    slide_travel + slack + STROKE_SPARE
}

/// A window of force.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Window {
    /// Share of the lathes that the least force holds.
    pub probability: f64,
    /// What is added to it, as a share.
    pub margin: f64,
    /// Lathes it was found from.
    pub lathes: u64,
    /// Force that starts the slide, 95 of 100 lathes, N.
    pub starts: Interval,
    /// Least force, with the margin, N.
    pub least: f64,
    /// Most force, N.
    pub most: f64,
    /// Whether it is the foot that sets the most, not the hand.
    pub foot: bool,
    /// Stroke needed, m, on that share of the lathes.
    pub stroke: f64,
}

impl Window {
    /// The window that holds on this share of the lathes with this margin; none without lathes.
    pub fn of(needs: &[Need], probability: f64, margin: f64, seals: bool) -> Option<Self> {
        let sorted = |of: &dyn Fn(&Need) -> f64| {
            let mut all: Vec<f64> = needs.iter().map(of).collect();
            all.sort_by(f64::total_cmp);
            all
        };
        let least = (1.0 + margin) * held(&sorted(&|n| n.least(seals)), probability)?;
        let starts = sorted(&|n| n.starts);
        let never = f64::INFINITY;
        let foot = held(&sorted(&|n| -n.foot.unwrap_or(never)), probability)?;
        let hand = if least <= PRELOAD_WARNED {
            PRELOAD_WARNED
        } else {
            PRELOAD_REFUSED
        };
        Some(Self {
            probability,
            margin,
            lathes: needs.len() as u64,
            starts: Interval {
                lower: held(&starts, 0.025)?,
                upper: held(&starts, 0.975)?,
            },
            least,
            most: min(hand, -foot),
            foot: -foot < hand,
            stroke: held(&sorted(&|n| n.stroke), probability)?,
        })
    }

    /// Whether there is a force in it at all.
    pub fn is_open(&self) -> bool {
        self.least <= self.most
    }

    /// The force to use, N: the least, or the plain rule of at least twice what starts the slide
    /// where that is more, still inside and not too strong for a hand, up to the next 5 lbf or 20 N; none in a shut window.
    pub fn advised(&self, plain_rule: f64, units: Units) -> Option<f64> {
        if !self.is_open() {
            return None;
        }
        let wanted = if plain_rule <= min(self.most, PRELOAD_WARNED) {
            max(self.least, plain_rule)
        } else {
            self.least
        };
        let step = match units {
            Units::Inch => 5.0 * LBF,
            Units::Metric => 20.0,
        };
        // A hair less than the step, so that a force already on it stays.
        let round = (wanted / step - 1e-9).ceil() * step;
        Some(if round <= self.most { round } else { wanted })
    }
}

/// The value that this share of the sorted ones doesn't exceed.
fn held(sorted: &[f64], share: f64) -> Option<f64> {
    let count = sorted.len();
    let place = max((share * count as f64 - 1e-9).ceil(), 1.0) as usize;
    sorted.get(place.min(count).wrapping_sub(1)).copied()
}

/// At least twice the force that starts the slide, on the lathe of the middle values, N.
pub fn plain_rule(scenario: &Scenario, setup: &Setup, options: Options) -> f64 {
    let bare = pressed(scenario, setup, 0.0);
    let operation = Operation::new(&bare, *setup, options);
    2.0 * SlideForces::new(&operation, bare.job.passes.feed.si()).starts()
}
