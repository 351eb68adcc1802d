//! Cuts of every story: what pieces come of it, to be held against the one at hand.

use rand::{RngExt, SeedableRng, distr::Open01};
use rand_chacha::ChaCha12Rng;

use crate::cut::{Operation, Options, aimed_taper};
use crate::measure::gauge;
use crate::quantity::{INCHES_PER_FOOT, Quantity};
use crate::scenario::finished::{Gauged, Measured, Piece};
use crate::scenario::{End, Scenario};
use crate::setup::Setup;
use crate::study::{PER_TURN, RangeFault, Study};
use crate::variates::normal;

use super::cause::Cause;
use super::reading::{Made, outcomes};

/// Where the diameters of a piece are taken if they are not: ends, quarters and middle.
const PLACES: [f64; 5] = [0.02, 0.25, 0.5, 0.75, 0.98];

/// How far a made-up micrometer may be off, m (0.0002 in).
const MICROMETER: f64 = 5e-6;

/// One cut of one story.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cut {
    /// The story.
    pub cause: Cause,
    /// Outcomes in the order of [`super::Gauge::ALL`], on the scale they are compared on.
    pub outcomes: [f64; 10],
    /// What was set for the last pass, m.
    pub set: f64,
}

/// What it takes to cut the stories on one job.
#[derive(Clone, Debug)]
pub struct Bank {
    study: Study,
    setup: Setup,
    options: Options,
    places: Vec<f64>,
    /// Diameter of the cone aimed at at its big end, m.
    gauge_diameter: f64,
    seed: u64,
}

impl Bank {
    /// For a piece cut this way. Its diameters say where to gauge the cuts, its start where they
    /// begin.
    ///
    /// # Errors
    /// A number of lathe or job whose range makes no distribution.
    pub fn new(
        scenario: &Scenario,
        setup: Setup,
        piece: &Piece,
        seed: u64,
    ) -> Result<Self, RangeFault> {
        let options = Options {
            per_turn: PER_TURN,
            seed,
            run_in: piece.started,
        };
        let study = Study::new(scenario, &[setup], options)?;
        let length = scenario.job.work.length.si();
        let taken = piece.places(scenario);
        let places = if taken.len() < 2 {
            PLACES.iter().map(|share| share * length).collect()
        } else {
            taken
        };
        Ok(Self {
            options: Options {
                run_in: study.run_in(0),
                ..options
            },
            gauge_diameter: scenario.job.work.diameter.si()
                + aimed_taper(scenario) * scenario.job.work.gauge_plane.si(),
            study,
            setup,
            places,
            seed,
        })
    }

    /// The stories that can be, in order.
    pub fn causes(&self) -> impl Iterator<Item = Cause> + '_ {
        Cause::ALL
            .into_iter()
            .filter(|cause| cause.can_be(&self.setup))
    }

    /// Cuts a story on the lathe of a trial, from 1: the same whatever ran before.
    pub fn cut(&self, cause: Cause, number: u64) -> Cut {
        let made = self.made(&[cause], number);
        Cut {
            cause,
            set: made.found.set,
            outcomes: outcomes(&self.setup, &self.places, &made),
        }
    }

    /// The same as a piece on the bench: gauged at the places of this bank, each gauge off by up
    /// to what the shop's gauges are [guess: micrometer 0.0002 in, indicator 0.0003 in, waves and
    /// steps a tenth and 0.0002 in]. An exercise to practise on, with its answer known.
    pub fn on_the_bench(&self, cause: Cause, number: u64, gauged: Gauged) -> Piece {
        self.with_all(&[cause], number, gauged)
    }

    /// The same with several troubles at once; the first says how the gauges are off.
    pub fn with_all(&self, causes: &[Cause], number: u64, gauged: Gauged) -> Piece {
        let made = self.made(causes, number);
        let mut luck = self.luck(
            causes.first().copied().unwrap_or(Cause::AsDescribed),
            number,
        );
        // Past what `how_bad` reads.
        luck.set_word_pos(64);
        let mut read = |value: f64, off: f64| Measured {
            value: value + off / 1.96 * normal(&mut luck),
            off,
        };
        let small = |value: f64| 5e-6 + 0.1 * value;
        let found = &made.found;
        let inward = self.setup.inward();
        let diameters = self
            .places
            .iter()
            .zip(&made.heights)
            .map(|(&z, &height)| {
                let from_big = match self.setup.big_end {
                    End::Headstock => z,
                    End::Tailstock => made.length - z,
                };
                let cone = self.gauge_diameter - made.aim * from_big;
                (
                    from_big,
                    read(cone + 2.0 * inward * height, MICROMETER).value,
                )
            })
            .collect();
        let seen = |value: f64| value > 8e-6;
        Piece {
            job: None,
            gauged: Gauged {
                taken: Some(read(found.taken, 7e-6)),
                taper: None,
                waves: Some(read(found.waves, small(found.waves))),
                ..gauged
            },
            started: self.options.run_in,
            diameters,
            diameter_off: MICROMETER,
            spacing: found
                .wave_spacing
                .filter(|_| seen(found.waves))
                .map(|spacing| read(spacing, 0.2 * spacing)),
            straight: Some(read(
                found.straight_part,
                0.5e-3 + 0.1 * found.straight_part,
            )),
            step: None,
            roundness: Some(read(found.roundness, small(found.roundness))),
            guide: Some(read(made.guide, 0.002 / INCHES_PER_FOOT)),
        }
    }

    fn made(&self, causes: &[Cause], number: u64) -> Made {
        let (mut scenario, luck) = self.study.scenario_of(number);
        let mut options = Options {
            seed: luck,
            ..self.options
        };
        let mut extra = 0.0;
        for cause in causes {
            let mut luck = self.luck(*cause, number);
            let how_bad = std::array::from_fn(|_| luck.sample(Open01));
            extra += cause.plant(&mut scenario, &self.setup, &mut options, how_bad);
        }
        let operation = Operation::new(&scenario, self.setup, options);
        let finished = operation.run_finishing();
        let lean = 0.5 * self.setup.inward() * self.setup.slope_sign() * extra;
        let aim = aimed_taper(&scenario);
        Made {
            found: gauge(&scenario, &self.setup, &operation, &finished),
            heights: self
                .places
                .iter()
                .map(|&z| {
                    operation.mean_around(&finished.surface, z) + lean * (z - operation.gauge_z())
                })
                .collect(),
            length: operation.length(),
            guide: aim + scenario.lathe.attachment.setting_error.si(),
            aim,
        }
    }

    fn luck(&self, cause: Cause, number: u64) -> ChaCha12Rng {
        let mut luck = ChaCha12Rng::seed_from_u64(self.seed ^ 0x7069_6563_6563_6174);
        luck.set_stream(number << 8 | cause as u64);
        luck
    }
}
