//! `tautway gauging`: gauging sums, each with what the gauges leave open.

use serde_json::json;
use tautway_screens::gauging;
use tautway_sim::gauging::Refusal;

use crate::answer::json::written;
use crate::failure::{Failure, Verdict};
use crate::plan::{CheckFormat, Fit};
use crate::terminal;

/// Does the sum and answers.
///
/// # Errors
/// When no cone could have given the numbers, or the answer can't be written.
pub fn fit(plan: &Fit) -> Result<Verdict, Failure> {
    let page = gauging::answer(&plan.sum, plan.units).map_err(|refusal| refused(&refusal))?;
    let text = match plan.format {
        CheckFormat::Text => terminal::set(&page.document()),
        CheckFormat::Json => written(&json!({
            "version": env!("CARGO_PKG_VERSION"),
            "units": "SI: m, rad; tapers as change of diameter over length",
            "given": page.given(),
            "found": page.found,
        })),
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
