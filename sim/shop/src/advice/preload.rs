//! All that is to be said of holding the slide on one job, as a plain record.

use schemars::JsonSchema;
use serde::Serialize;

use super::force_scan::ForcePoint;
use super::source::{Cylinder, Offer, Series, Suits, cylinders, judged, offers};
use super::window::{Need, Window};
use crate::arithmetic::min;
use crate::caution::PRELOAD_REFUSED;
use crate::machine::preload::PreloadForce;
use crate::quantity::{Quantity, Units};
use crate::scenario::{Preload, PreloadSource, Toward};
use crate::setup::{Pull, Setup};
use crate::study::Chance;

/// What there is to say of a preload on one job.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct PreloadAdvice {
    /// The best way without a preload.
    pub best: Setup,
    /// On how many lathes it keeps to one face.
    pub best_steady: Chance,
    /// The way that the preload is weighed for.
    pub setup: Setup,
    /// Pulled in or drawn away.
    pub pull: Pull,
    /// Which way it must act: out of the cut.
    pub toward: Toward,
    /// Window of a weight or spring.
    pub window: Window,
    /// Window of a cylinder, whose seals drag too.
    pub sealed: Window,
    /// At least twice the force that starts the slide, N.
    pub plain_rule: f64,
    /// Weight or spring to use, N; none where the window is shut.
    pub advised: Option<f64>,
    /// Cylinder's force to use, N.
    pub advised_sealed: Option<f64>,
    /// Pressure of the line, Pa.
    pub line: f64,
    /// What the slide goes from mid stroke to where a spring is weakest, and strongest, m.
    pub spring_travel: (f64, f64),
    /// Cylinders of the lists on this job.
    pub offers: Vec<Offer>,
    /// The preload asked about.
    pub own: Option<Judged>,
    /// The preload that the job has.
    pub of_job: Option<Judged>,
    /// The cut under a row of forces, least first; those below 0 push into the cut.
    pub scan: Vec<ForcePoint>,
    /// Lathes cut under each.
    pub trials: u64,
}

/// A preload as it is set.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Judged {
    /// It.
    pub preload: Preload,
    /// Whether it acts out of the cut.
    pub out_of_cut: bool,
    /// Least and most of its force along the stroke, N.
    pub force: (f64, f64),
    /// Force of a cylinder at the line's pressure, N.
    pub at_line: Option<f64>,
    /// How it suits, if it acts out of the cut.
    pub suits: Suits,
}

/// What the advice is made from.
pub struct Grounds<'a> {
    /// The best way without a preload, and on how many lathes it keeps to one face.
    pub best: (Setup, Chance),
    /// The way that the preload is weighed for.
    pub setup: Setup,
    /// What the lathes ask.
    pub needs: &'a [Need],
    /// Share of the lathes to hold, and margin.
    pub sure: (f64, f64),
    /// At least twice the force that starts the slide, N.
    pub plain_rule: f64,
    /// A spring's fall and growth, m.
    pub spring_travel: (f64, f64),
    /// Pressure of the line, Pa.
    pub line: f64,
    /// The person's units.
    pub units: Units,
}

impl PreloadAdvice {
    /// The advice, its scan still to be made; none without lathes.
    pub fn new(grounds: &Grounds<'_>) -> Option<Self> {
        let (probability, margin) = grounds.sure;
        let window = Window::of(grounds.needs, probability, margin, false)?;
        let sealed = Window::of(grounds.needs, probability, margin, true)?;
        let advised = |window: &Window| window.advised(grounds.plain_rule, grounds.units);
        let advised_sealed = advised(&sealed);
        let offers = advised_sealed.map_or(Vec::new(), |force| {
            offers(&cylinders(grounds.units), &sealed, force, grounds.line)
        });
        Some(Self {
            best: grounds.best.0,
            best_steady: grounds.best.1,
            setup: grounds.setup,
            pull: grounds.setup.pull(),
            toward: grounds.setup.toward_in_x(true),
            advised: advised(&window),
            window,
            sealed,
            plain_rule: grounds.plain_rule,
            advised_sealed,
            line: grounds.line,
            spring_travel: grounds.spring_travel,
            offers,
            own: None,
            of_job: None,
            scan: Vec::new(),
            trials: 0,
        })
    }

    /// A preload as it is set, on this job.
    pub fn judged(&self, preload: &Preload) -> Judged {
        let hold = PreloadForce::new(Some(preload), &self.setup);
        let (falls, grows) = self.spring_travel;
        let force = (
            hold.out.abs() - hold.rate * falls,
            hold.out.abs() + hold.rate * grows,
        );
        let (at_line, window) = match preload.source {
            PreloadSource::Cylinder { bore, rod, .. } => {
                let own = Cylinder {
                    bore: bore.si(),
                    rod: rod.si(),
                    series: Series::Own,
                };
                let rod_side = rod.si() > 0.0;
                (Some(own.force(self.line, rod_side)), &self.sealed)
            }
            PreloadSource::Constant(_) | PreloadSource::Spring { .. } => (None, &self.window),
        };
        let suits = match judged(force, window) {
            Suits::Refused => Suits::Refused,
            _ if at_line.is_some_and(|force| force > PRELOAD_REFUSED) => Suits::LineTooStrong,
            other => other,
        };
        Judged {
            preload: *preload,
            out_of_cut: self.setup.out_of_cut(preload.toward) > 0.0,
            force,
            at_line,
            suits,
        }
    }

    /// Whether the best way doesn't keep to its face without, on as many lathes as wanted.
    pub fn is_needed(&self) -> bool {
        self.best_steady.share < self.window.probability
    }

    /// Forces to scan, N: into the cut two fifths as far as out of it, nothing, and past the
    /// window's end.
    pub fn forces(&self) -> Vec<f64> {
        const OUT: usize = 24;
        const INTO: usize = 10;
        let most = if self.window.is_open() {
            self.window.most
        } else {
            PRELOAD_REFUSED
        };
        let top = min(1.25 * most, 1.1 * PRELOAD_REFUSED);
        let mut forces: Vec<f64> = (1..=INTO)
            .map(|i| -0.4 * top * i as f64 / INTO as f64)
            .chain((0..=OUT).map(|i| top * i as f64 / OUT as f64))
            .chain(self.advised)
            .collect();
        forces.sort_by(f64::total_cmp);
        forces.dedup_by(|a, b| (*a - *b).abs() < 1e-6);
        forces
    }

    /// The cut with no preload.
    pub fn without(&self) -> Option<&ForcePoint> {
        self.scan.iter().find(|point| point.force == 0.0)
    }

    /// The cut with what is advised.
    pub fn with_advised(&self) -> Option<&ForcePoint> {
        let advised = self.advised?;
        let near = |point: &&ForcePoint| (point.force - advised).abs() < 1e-6;
        self.scan.iter().find(near)
    }

    /// Of the forces weaker than the window, the one that leaves most stock standing, if that is
    /// worse than none by more than one would see.
    pub fn worst_weak(&self) -> Option<&ForcePoint> {
        let none = self.without()?;
        self.scan
            .iter()
            .filter(|point| point.force > 0.0 && point.force < self.window.least)
            .max_by(|a, b| a.left.mean.total_cmp(&b.left.mean))
            .filter(|worst| worst.left.mean > none.left.mean + crate::verdict::NOT_SEEN)
    }
}
