//! Why a way of cutting a thread is out.

use crate::feasibility::Reason;
use crate::quantity::{Length, Quantity, Units};
use crate::scenario::{End, Kind, Scenario, ThreadCut, ThreadEnd};
use crate::setup::Setup;
use schemars::JsonSchema;
use serde::Serialize;

/// Why a way is out.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(tag = "reason", rename_all = "snake_case")]
pub enum ThreadReason {
    /// Nothing to start in at the end where this feed begins.
    NoStart {
        /// That end.
        end: End,
        /// Where that is a bore's bottom: the run-in past it that would be asked for, m.
        at_bottom: Option<f64>,
    },
    /// There is no attachment on this lathe.
    NoAttachment,
    /// The tailstock's way wants a centre at either end.
    NotBetweenCentres,
    /// A centre would stand in the bore.
    InsideWork,
    /// The tailstock doesn't go over that far.
    SetOverTooFar {
        /// What it takes, m.
        needs: f64,
        /// What it has, m.
        has: f64,
    },
    /// As for any cut with this setup, told as it is there.
    #[serde(untagged)]
    Setup(Reason),
}

impl ThreadReason {
    /// In the shop's words.
    pub fn words(&self, units: Units) -> String {
        let length = |m: f64| Length::from_si(m).show(units);
        match *self {
            Self::Setup(reason) => reason.words(units),
            Self::NoStart {
                at_bottom: Some(run_in),
                ..
            } => format!(
                "it starts at the bottom of the bore, with no groove there: neither {} of run-in nor \
                 the tool that waits while the slide is seated by hand has a place",
                length(run_in)
            ),
            Self::NoStart { end, .. } => format!(
                "it starts at the {} end, where there is no groove to start in",
                match end {
                    End::Headstock => "headstock",
                    End::Tailstock => "tailstock",
                }
            ),
            Self::NoAttachment => "this lathe has no taper attachment".to_owned(),
            Self::NotBetweenCentres => "needs centres".to_owned(),
            Self::InsideWork => "not for inside work: a centre would stand in the bore".to_owned(),
            Self::SetOverTooFar { needs, has } => format!(
                "the tailstock would go over by {}, it goes {}",
                length(needs),
                length(has)
            ),
        }
    }
}

/// Whether a way starts at a bore's bottom: where the thread doesn't go through, there is a groove
/// at the most, and past that the run-in has nowhere to go.
pub fn bottom(scenario: &Scenario, cut: &ThreadCut, setup: &Setup) -> bool {
    let end = setup.starts_at();
    scenario.job.work.kind == Kind::Inside
        && end == End::Headstock
        && cut.end(end) != ThreadEnd::Open
}
