//! `tautway gauging`: gauging sums, each with what the gauges leave open.

use std::collections::BTreeMap;

use tautway_screens::gauging::{self, Gives};

use schemars::JsonSchema;
use serde::Serialize;
use tautway_sim::gauging::{Gauged, Refusal};

use crate::answer::{Record, answered};
use crate::failure::{Failure, Verdict};
use crate::plan::{CheckFormat, Fit};
use crate::terminal;

/// What a gauging sum answers.
#[derive(Serialize, JsonSchema)]
pub struct Gauging {
    /// What went in, SI, by its name.
    given: BTreeMap<&'static str, Gauged>,
    /// What it gives.
    found: Option<Gives>,
}

impl Record for Gauging {
    const UNITS: &'static str = "SI: m, rad; tapers as change of diameter over length";
}

/// Does the sum and answers.
///
/// # Errors
/// When no cone could have given the numbers, or the answer can't be written.
pub fn fit(plan: &Fit) -> Result<Verdict, Failure> {
    let page = gauging::answer(&plan.sum, plan.units).map_err(|refusal| refused(&refusal))?;
    let text = match plan.format {
        CheckFormat::Text => terminal::set(&page.document()),
        CheckFormat::Json => answered(Gauging {
            given: page.given(),
            found: page.found,
        }),
    };
    terminal::answer(&text)?;
    Ok(Verdict::Done)
}

fn refused(refusal: &Refusal) -> Failure {
    // Said once where the message names it.
    let about = if refusal.message.contains(refusal.about) {
        String::new()
    } else {
        format!("{}: ", refusal.about)
    };
    Failure::Input(format!(
        "{about}{}\n  help: {}",
        refusal.message, refusal.hint
    ))
}
