//! What a shop test or a change is worth to one job, by the plan's own cost: minutes saved a piece,
//! less the minutes it takes, shared by the pieces.
//!
//! A change is cut on the same lathes before and after. A test is worth what the plan gains by
//! knowing ([`tested`]). Both are told with what these lathes leave open, so that next test, what to
//! mend first and the worth of a change are one list and can't contradict each other.

mod step;
mod tested;
mod changed;
mod asked;

pub use asked::{Ask, asked};
pub use changed::{Before, holds};
use step::LEAST;
pub use step::{Step, What, Worth};
pub use tested::known;

use crate::advice::catalogue::changes;
use crate::advice::change::{Arrangement, Change, Effect};
use crate::cut::Options;
use crate::expect::Expect;
use crate::parallel::*;
use crate::scenario::Scenario;
use crate::shop_tests::Test;
use crate::study::RangeFault;

/// What brings a drawing in reach is looked for among what takes no longer, min.
const SOON: f64 = 60.0;

/// Weighs every test, and every change that could pay or bring the drawing in reach, for a way
/// whose plan was played.
///
/// # Errors
/// A number whose range makes no distribution.
pub fn worth(now: &Arrangement, expect: &Expect, options: Options) -> Result<Worth, RangeFault> {
    let tests = Test::ALL
        .into_par_iter()
        .filter_map(|test| known(&now.scenario, expect, test, options).transpose())
        .collect::<Result<Vec<Step>, RangeFault>>()?;
    let reached = expect.verdict.is_reached();
    // No change saves more than all that goes wrong now.
    let most = expect.cost.expected - expect.cost.minutes;
    let pieces = now.scenario.job.pieces as f64;
    let could = |change: &&Change| {
        // The other feed is a way of its own, weighed as such.
        let turned = change.effects.contains(&Effect::FeedBack);
        !turned && (!reached && change.minutes <= SOON || most - change.minutes / pieces > LEAST)
    };
    let list = if !reached || most > LEAST {
        changes(now, holds(now, options)?, options)
    } else {
        Vec::new()
    };
    let mut steps = tests;
    let list: Vec<&Change> = list.iter().filter(could).collect();
    if !list.is_empty() {
        let before = Before::new(now, expect, options)?;
        for change in list {
            steps.extend(before.with(change)?);
        }
    }
    steps.sort_by(|a, b| b.saves.total_cmp(&a.saves));
    Ok(Worth { steps })
}

/// The job, its lathe and a way as they stand.
pub fn as_it_stands(scenario: &Scenario, expect: &Expect) -> Arrangement {
    Arrangement {
        scenario: scenario.clone(),
        setup: expect.way,
        by_hand: false,
    }
}
