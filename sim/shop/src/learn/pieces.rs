//! Finished pieces on one lathe as something to be held against draws: which number of which piece
//! goes by which score, and how likely what was gauged is.

use std::sync::Arc;

use super::population::State;
use crate::cut::{Options, Realization};
use crate::quantity::{Length, Quantity};
use crate::record::Measures;
use crate::scenario::Scenario;
use crate::scenario::finished::Gauged;
use crate::scenario::finished::Measured;
use crate::scenario::numbers;
use crate::setup::{Feed, Pull, Setup};
use crate::special::normal_quantile;
use crate::spread::Draws;
use crate::steady::Steady;
use crate::study::{Coordinate, PER_TURN, RangeFault, Study};
use crate::unevenness::Luck;
use crate::weighing::{Comes, MODEL_SHARE};

/// Numbers of one job more stand so much further on in a trial's stream, lucks of pieces from here.
const JOB: u32 = 1 << 8;
const LUCKS: u32 = 1 << 20;

/// A finished piece.
#[derive(Clone, Copy, Debug)]
pub struct Finished<'a> {
    /// The lathe as known so far, and the job.
    pub scenario: &'a Scenario,
    /// How it was cut.
    pub setup: Setup,
    /// What was gauged.
    pub gauged: &'a Gauged,
    /// Carriage travel before the taper that the feed started from, m; `None` for what the sheet says.
    pub started: Option<f64>,
}

/// A piece with what cuts it.
struct Piece<'a> {
    given: Finished<'a>,
    /// Place among the jobs that differ.
    job: usize,
    study: Study,
    /// The pass fed the other way: its study, and its way.
    other: Option<(Study, Setup)>,
    /// Where the scores of its coordinates stand.
    places: Vec<(Coordinate, usize)>,
    /// Of which nothing is asked.
    any: Arc<Realization>,
}

/// Pieces of one lathe.
pub(super) struct Pieces<'a> {
    pieces: Vec<Piece<'a>>,
    /// By score: its job where it isn't the lathe's, and what it belongs to.
    coordinates: Vec<(Option<usize>, Coordinate)>,
}

/// The same job with another depth of its last pass, m.
fn set_to(scenario: &Scenario, set: Option<f64>) -> Scenario {
    let mut other = scenario.clone();
    if let (Some(set), Some(last)) = (set, other.job.passes.finish.last_mut()) {
        *last = Length::from_si(set);
    }
    other
}

/// The same cut with the carriage fed the other way.
pub fn fed_back(setup: &Setup) -> Setup {
    Setup {
        feed: match setup.feed {
            Feed::Headstock => Feed::Tailstock,
            Feed::Tailstock => Feed::Headstock,
        },
        ..*setup
    }
}

impl<'a> Pieces<'a> {
    pub fn new(given: &[Finished<'a>], options: Options) -> Result<Self, RangeFault> {
        let mut pieces: Vec<Piece<'a>> = Vec::new();
        let mut coordinates: Vec<(Option<usize>, Coordinate)> = Vec::new();
        let mut jobs = 0;
        for one in given {
            let options = Options {
                per_turn: options.per_turn.min(PER_TURN),
                run_in: one.started,
                ..options
            };
            let same = pieces
                .iter()
                .find(|p| p.given.scenario.job == one.scenario.job);
            let job = same.map_or(jobs, |same| same.job);
            jobs = jobs.max(job + 1);
            let study = Study::new(one.scenario, &[one.setup], options)?;
            let other = match &one.gauged.other {
                Some(cut) => {
                    let back = fed_back(&one.setup);
                    let scenario = set_to(one.scenario, cut.set);
                    let options = Options {
                        run_in: None,
                        ..options
                    };
                    Some((Study::new(&scenario, &[back], options)?, back))
                }
                None => None,
            };
            let mut places = Vec::new();
            for coordinate in study.coordinates() {
                let at = (of_job(coordinate).then_some(job), coordinate);
                let known = coordinates.iter().position(|one| *one == at);
                places.push((coordinate, known.unwrap_or(coordinates.len())));
                if known.is_none() {
                    coordinates.push(at);
                }
            }
            let any = Arc::new(Realization::new(one.scenario, options));
            pieces.push(Piece {
                given: *one,
                job,
                study,
                other,
                places,
                any,
            });
        }
        Ok(Self {
            pieces,
            coordinates,
        })
    }

    pub fn are_in_doubt(&self) -> bool {
        !self.coordinates.is_empty()
    }

    /// The first piece's lathes.
    pub fn first(&self) -> &Study {
        &self.pieces[0].study
    }

    pub fn scenario(&self) -> &Scenario {
        self.pieces[0].given.scenario
    }

    /// How many things were read on each piece.
    pub fn gauged(&self) -> Vec<usize> {
        let count = |piece: &Piece<'_>| {
            let gauged = piece.given.gauged;
            let read = [gauged.taken, gauged.taper, gauged.waves];
            read.iter().flatten().count() + usize::from(gauged.other.is_some())
        };
        self.pieces.iter().map(count).collect()
    }

    /// So many draws of the prior.
    pub fn drawn(&self, seed: u64, draws: usize) -> Vec<State> {
        let draw = |trial: usize| {
            let mut draws = Draws { seed }.trial(trial as u64);
            let mut score = |&(job, coordinate): &(Option<usize>, Coordinate)| {
                let job = job.map_or(0, |job| job as u32);
                normal_quantile(draws.uniform(coordinate.place() + JOB * job))
            };
            let scores = self.coordinates.iter().map(&mut score).collect();
            let luck = |piece: usize| Luck::from(draws.uniform(LUCKS + piece as u32).to_bits());
            State {
                scores,
                lucks: (0..self.pieces.len()).map(luck).collect(),
            }
        };
        (0..draws).map(draw).collect()
    }

    /// The score of each quantity of a piece's study.
    pub fn scores(&self, piece: usize, state: &State) -> Vec<f64> {
        let places = &self.pieces[piece].places;
        let score = |coordinate: Coordinate| {
            let place = places.iter().find(|(one, _)| *one == coordinate);
            place.map_or(0.0, |(_, place)| state.scores[*place])
        };
        self.pieces[piece].study.scores_at(&score)
    }

    /// What comes of a piece on each of some draws.
    pub fn cut(&self, piece: usize, states: &[State]) -> Vec<Comes> {
        let scores: Vec<Vec<f64>> = states.iter().map(|s| self.scores(piece, s)).collect();
        let own = &self.pieces[piece];
        let (gauged, setup) = (own.given.gauged, &own.given.setup);
        let mut all = vec![Comes::default(); states.len()];
        own.each(
            &own.study,
            (piece, states, &scores),
            &mut |i, scenario, found| {
                let comes = &mut all[i];
                own.taken(gauged.taken, scenario, setup, found, comes);
                comes.against(gauged.taper, found.taper, [0.0; 2]);
                comes.against(gauged.waves, found.waves, [0.0, MODEL_SHARE * found.set]);
            },
        );
        if let (Some((study, back)), Some(cut)) = (&own.other, &gauged.other) {
            own.each(
                study,
                (piece, states, &scores),
                &mut |i, scenario, found| {
                    own.taken(Some(cut.taken), scenario, back, found, &mut all[i]);
                },
            );
        }
        all
    }

    /// Push-off over drag in the cut drawn away of the first piece that was cut both ways.
    pub fn push_over_drag(&self, states: &[State]) -> Option<Vec<f64>> {
        let piece = self.pieces.iter().position(|piece| piece.other.is_some())?;
        let own = &self.pieces[piece];
        let (other, back) = own.other.as_ref()?;
        let (study, away) = if own.given.setup.pull() == Pull::Away {
            (&own.study, &own.given.setup)
        } else {
            (other, back)
        };
        let of = |state: &State| {
            let drawn = study.at(&self.scores(piece, state));
            let set = drawn.scenario.job.passes.finish.last();
            let steady = Steady::with(&drawn.scenario, away, &own.any);
            steady.push_over_drag(set.map_or(0.0, |set| set.si()))
        };
        Some(states.iter().map(of).collect())
    }
}

impl Piece<'_> {
    /// Cuts a study's way on each of some draws.
    fn each(
        &self,
        study: &Study,
        (piece, states, scores): (usize, &[State], &[Vec<f64>]),
        with: &mut dyn FnMut(usize, &Scenario, &Measures),
    ) {
        let drawn: Vec<_> = scores.iter().map(|scores| study.at(scores)).collect();
        let lucks: Vec<&Luck> = states.iter().map(|state| &state.lucks[piece]).collect();
        let found = study.cut_drawn(0, &drawn, &lucks);
        for (i, (drawn, found)) in drawn.iter().zip(&found).enumerate() {
            with(i, &drawn.scenario, found);
        }
    }

    /// What a pass took: touched off and dialled by hand.
    fn taken(
        &self,
        measured: Option<Measured>,
        scenario: &Scenario,
        setup: &Setup,
        found: &Measures,
        comes: &mut Comes,
    ) {
        if measured.is_some() {
            let by_hand = Steady::with(scenario, setup, &self.any).scatter(found.set);
            comes.against(measured, found.taken, [by_hand, MODEL_SHARE * found.set]);
        }
    }
}

/// Whether it is the job's own; what unmeasured slacks share is the lathe's.
fn of_job(coordinate: Coordinate) -> bool {
    match coordinate {
        Coordinate::Own(number) => {
            !numbers::with_attachment().any(|row| row.about().number == number && row.is_of_lathe())
        }
        Coordinate::Shared(_) => false,
    }
}
