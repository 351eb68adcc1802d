//! What makes the spread: shares of the variance by part of the machine, so that the first thing
//! to mend or to measure is known (Sobol' indices, [`crate::spread::Design`]).

use schemars::JsonSchema;
use serde::Serialize;

use super::{Drawn, LUCK, PLACES, Part, Study, WayOutlook, cut_batch, luck};
use crate::cut::BATCH;
use crate::parallel::*;
use crate::record::Measures;
use crate::scenario::Origin;
use crate::spread::{
    Bootstrap, Design, GroupIndices, OutputIndices, Row, SharedFactor, SobolFault,
};
use crate::verdict::trouble;

/// Times that the trials are drawn anew for the intervals.
const REPLICATES: u64 = 200;
/// Confidence of the intervals.
const CONFIDENCE: f64 = 0.95;
/// A chance from which the taper is not in doubt.
const SURE: f64 = 0.95;

/// Place of the taper in [`Mend::outputs`].
pub const TAPER: usize = 0;
/// Place of the size.
pub const SIZE: usize = 1;
/// Place of the waves.
pub const WAVES: usize = 2;

/// A part and the numbers that belong to it.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct MendPart {
    /// The part.
    pub part: Part,
    /// Keys of its uncertain numbers, in the person's files.
    pub keys: Vec<&'static str>,
    /// Shop tests that measure some of them and were not done.
    pub tests: Vec<&'static str>,
}

/// One uncertain number by itself.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct MendNumber {
    /// Its key, in the person's files.
    pub key: &'static str,
    /// What the shop calls it.
    pub words: &'static str,
}

/// What makes the spread of one way.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Mend {
    /// Trials, each of them run once a part and twice more.
    pub trials: u64,
    /// The parts.
    pub parts: Vec<MendPart>,
    /// Single numbers, where they were asked for: those that go with others, as unmeasured slacks
    /// do, are found in their part only.
    pub numbers: Vec<MendNumber>,
    /// The output that the order goes by, [`TAPER`], [`SIZE`] or [`WAVES`].
    pub decides: usize,
    /// Variance and indices of taper, size, waves, straight part, and of what is wrong in all
    /// ([`crate::verdict::trouble`]), by part in the same order, then by number.
    pub outputs: Vec<OutputIndices>,
}

/// The runs that a study of the parts asks for.
#[derive(Clone, Debug)]
pub struct MendDesign<'a> {
    study: &'a Study,
    way: usize,
    parts: Vec<MendPart>,
    numbers: Vec<MendNumber>,
    design: Design,
}

impl<'a> MendDesign<'a> {
    /// A study of one way with this many trials, of the parts and, if `each`, of the single numbers
    /// too.
    ///
    /// # Errors
    /// Fewer than two trials.
    pub fn new(study: &'a Study, way: usize, trials: u64, each: bool) -> Result<Self, SobolFault> {
        let mut places: Vec<(Part, Vec<usize>)> = vec![(Part::Luck, vec![LUCK])];
        let mut parts = vec![MendPart {
            part: Part::Luck,
            keys: Vec::new(),
            tests: Vec::new(),
        }];
        for quantity in &study.quantities {
            if !quantity.varies() {
                continue;
            }
            let at = places
                .iter()
                .position(|(part, _)| *part == quantity.part)
                .unwrap_or_else(|| {
                    places.push((quantity.part, Vec::new()));
                    parts.push(MendPart {
                        part: quantity.part,
                        keys: Vec::new(),
                        tests: Vec::new(),
                    });
                    places.len() - 1
                });
            places[at].1.push(quantity.number as usize);
            parts[at].keys.push(quantity.key);
            if let (Origin::Assumed, Some(test)) = (quantity.origin, quantity.test)
                && !parts[at].tests.contains(&test)
            {
                parts[at].tests.push(test);
            }
        }
        let mut groups: Vec<Vec<usize>> = places.into_iter().map(|(_, places)| places).collect();
        let mut numbers = Vec::new();
        for quantity in study.quantities.iter().filter(|q| each && q.varies()) {
            let place = quantity.number as usize;
            let goes_with = |factor: &SharedFactor| factor.members().contains(&place);
            if !study.factors.iter().any(goes_with) {
                groups.push(vec![place]);
                numbers.push(MendNumber {
                    key: quantity.key,
                    words: quantity.words,
                });
            }
        }
        Ok(Self {
            study,
            way,
            parts,
            numbers,
            design: Design::new(groups, study.factors.clone(), PLACES, trials)?,
        })
    }

    /// The runs, trial after trial.
    pub fn rows(&self) -> impl Iterator<Item = Row> + '_ {
        self.design.rows()
    }

    /// Makes one of the runs.
    pub fn run(&self, row: Row) -> Vec<f64> {
        self.runs(&[row]).remove(0)
    }

    /// Makes some of them on all threads, in their order; soonest by [`BATCH`] or a multiple.
    pub fn runs(&self, rows: &[Row]) -> Vec<Vec<f64>> {
        let way = &self.study.ways[self.way];
        let in_batches = |rows: &[Row]| {
            let drawn: Vec<Drawn> = rows
                .iter()
                .map(|row| {
                    let uniforms = self.design.uniforms(*row, &self.study.draws);
                    self.study.drawn(&uniforms)
                })
                .collect();
            let luck: Vec<_> = drawn.iter().map(|drawn| luck(drawn, way)).collect();
            cut_batch(&drawn, way, &luck)
        };
        let chunks: Vec<&[Row]> = rows.chunks(BATCH).collect();
        let cut: Vec<Vec<Measures>> = chunks.into_par_iter().map(in_batches).collect();
        cut.into_iter()
            .flatten()
            .map(|found| {
                vec![
                    found.taper,
                    found.size_error,
                    found.waves,
                    found.straight_part,
                    trouble(&found),
                ]
            })
            .collect()
    }

    /// The indices from the outputs of the runs, in their order; runs may be missing at the end.
    /// `decides` says which output the order goes by.
    ///
    /// # Errors
    /// Fewer than two whole trials.
    pub fn indices(&self, outputs: &[Vec<f64>], decides: usize) -> Result<Mend, SobolFault> {
        let bootstrap = Bootstrap {
            replicates: REPLICATES,
            confidence: CONFIDENCE,
            draws: self.study.draws,
        };
        Ok(Mend {
            trials: (outputs.len() / self.design.rows_per_trial()) as u64,
            parts: self.parts.clone(),
            numbers: self.numbers.clone(),
            decides,
            outputs: self.design.indices(outputs, bootstrap)?,
        })
    }
}

/// The output whose spread is to be mended first in a way: the taper where the drawing is in doubt
/// for it, else size or waves, whichever is spread more.
pub fn decides(way: &WayOutlook) -> usize {
    if way.taper_met.share < SURE {
        TAPER
    } else if way.size_error.standard_uncertainty >= way.waves.standard_uncertainty {
        SIZE
    } else {
        WAVES
    }
}

impl Mend {
    /// The part to mend or to measure first, and its share of what decides; none if all that
    /// varies is luck.
    pub fn first(&self) -> Option<(&MendPart, GroupIndices)> {
        self.ranked(self.decides)
            .into_iter()
            .find(|(part, _)| part.part != Part::Luck)
    }

    /// Single numbers of one output with their indices, most of the spread first.
    pub fn ranked_numbers(&self, output: usize) -> Vec<(&MendNumber, GroupIndices)> {
        let Some(groups) = &self.outputs[output].groups else {
            return Vec::new();
        };
        let own = groups.iter().copied().skip(self.parts.len());
        let mut ranked: Vec<_> = self.numbers.iter().zip(own).collect();
        ranked.sort_by(|a, b| b.1.total.value.total_cmp(&a.1.total.value));
        ranked
    }

    /// Parts of one output with their indices, most of the spread first.
    pub fn ranked(&self, output: usize) -> Vec<(&MendPart, GroupIndices)> {
        let Some(groups) = &self.outputs[output].groups else {
            return Vec::new();
        };
        let mut ranked: Vec<_> = self.parts.iter().zip(groups.iter().copied()).collect();
        ranked.sort_by(|a, b| b.1.total.value.total_cmp(&a.1.total.value));
        ranked
    }
}
