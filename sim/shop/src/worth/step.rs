//! What may be done about a job, and what the job gains by it.

use schemars::JsonSchema;
use serde::Serialize;

use crate::arithmetic::max;
use crate::expect::{Expect, Reach, Share};
use crate::shop_tests::Test;
use crate::spread::{NORMAL_95, mean_and_deviation};

/// Saved by less than this, min, nobody would do it.
pub(super) const LEAST: f64 = 0.5;
/// A chance that is higher by less says nothing.
const TELLS: f64 = 0.03;

/// What may be done.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum What {
    /// A shop test.
    Test(Test),
    /// A change.
    Change {
        /// Its stable name.
        id: &'static str,
        /// In the shop's words.
        words: String,
    },
}

/// Something that may be done, and what the job gains by it.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Step {
    /// What.
    pub what: What,
    /// What it takes, once, min.
    pub minutes: f64,
    /// In tolerance after it, with the plan's gauging.
    pub met: Share,
    /// Whether the drawing is in reach then.
    pub verdict: Reach,
    /// What it saves a piece, its own minutes taken off, min.
    pub saves: f64,
    /// What these lathes leave open of that, either way, min.
    pub doubt: f64,
}

impl Step {
    /// Whether it is a shop test.
    pub fn is_test(&self) -> bool {
        matches!(self.what, What::Test(_))
    }

    /// What it saves a piece, its own minutes not counted, min.
    pub fn gain(&self, pieces: u64) -> f64 {
        self.saves + self.minutes / pieces as f64
    }

    /// Whether it pays, beyond doubt.
    pub fn pays(&self) -> bool {
        self.saves > max(self.doubt, LEAST)
    }

    /// Whether it makes things worse, beyond doubt, its minutes aside.
    pub fn harms(&self, pieces: u64) -> bool {
        -self.gain(pieces) > max(self.doubt, LEAST)
    }

    /// Whether it brings a drawing in reach that is not, and by more than the turn of a hair.
    pub fn brings(&self, now: &Expect) -> bool {
        self.verdict.is_reached()
            && !now.verdict.is_reached()
            && self.met.met > now.met().met + TELLS
    }
}

/// Everything that may be done about a job cut one way, what saves most first.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Worth {
    /// Tests and changes.
    pub steps: Vec<Step>,
}

impl Worth {
    /// Shop tests, what saves most first.
    pub fn tests(&self) -> impl Iterator<Item = &Step> {
        self.steps.iter().filter(|step| step.is_test())
    }

    /// What to do first; none where nothing pays.
    pub fn first(&self) -> Option<&Step> {
        self.steps.first().filter(|step| step.pays())
    }

    /// What brings the drawing in reach, the quickest first.
    pub fn brings(&self, now: &Expect) -> Vec<&Step> {
        let mut steps: Vec<&Step> = self.steps.iter().filter(|step| step.brings(now)).collect();
        steps.sort_by(|a, b| a.minutes.total_cmp(&b.minutes));
        steps
    }
}

/// Mean of what each lathe saves, and what so many leave open of it.
pub(super) fn saved(each: &[f64]) -> (f64, f64) {
    let (mean, deviation) = mean_and_deviation(each);
    (mean, NORMAL_95 * deviation / (each.len() as f64).sqrt())
}
