//! What a finished job says of the lathe: [`weighing`](crate::weighing) draws from the ranges known
//! so far, the finishing passes run for each.
//!
//! A second cut fed the other way is the strongest thing to bring: pulled in, what is left uncut is
//! push-off over spring; drawn away, the drag holds against that same push-off, and the slack gives
//! what they don't. What is left out: that the slacks of a worn lathe go together, and errors of the
//! model itself but for [`MODEL_SHARE`].

pub use crate::scenario::finished::{Gauged, Measured, OtherCut};
pub use crate::weighing::{LEAST_EFFECTIVE, Learned, MODEL_SHARE, Number, Refused, Told};

use crate::cut::Options;
use crate::quantity::{Length, Quantity};
use crate::record::Measures;
use crate::scenario::Scenario;
use crate::sensitivity::finishing;
use crate::setup::{Feed, Pull, Setup};
use crate::steady::Steady;
use crate::weighing::{Comes, weigh};

/// Learns from a finished job cut one way, or from one pass each way. `tick` is called after each
/// draw with their count.
///
/// # Errors
/// When there is nothing to narrow, or the draws can't tell.
pub fn learn(
    scenario: &Scenario,
    setup: &Setup,
    gauged: &Gauged,
    options: Options,
    draws: usize,
    mut tick: impl FnMut(usize),
) -> Result<Learned, Refused> {
    let of = [gauged.taken, gauged.taper, gauged.waves];
    let count = of.iter().flatten().count() + usize::from(gauged.other.is_some());
    let (learned, told) = weigh(scenario, (options.seed, draws), count, |varied, trial| {
        // Each draw meets its own hard and soft places.
        let luck = Options {
            seed: options.seed.wrapping_add(1 + trial as u64),
            ..options
        };
        let mut comes = Comes::default();
        against(
            gauged,
            varied,
            setup,
            &finishing(varied, setup, luck),
            &mut comes,
        );
        if let Some(cut) = &gauged.other {
            let (varied, back) = (set_to(varied, cut.set), fed_back(setup));
            let outcome = finishing(&varied, &back, luck);
            taken(Some(cut.taken), &varied, &back, &outcome, &mut comes);
            let drawn_away = if setup.pull() == Pull::Away {
                setup
            } else {
                &back
            };
            let steady = Steady::new(&varied, drawn_away);
            comes.told.push(steady.push_over_drag(outcome.set));
        }
        tick(trial + 1);
        comes
    })?;
    Ok(Learned {
        push_over_drag: told.first().copied(),
        ..learned
    })
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

/// The same job with another depth of its last pass, m.
fn set_to(scenario: &Scenario, set: Option<f64>) -> Scenario {
    let mut other = scenario.clone();
    if let (Some(set), Some(last)) = (set, other.job.passes.finish.last_mut()) {
        *last = Length::from_si(set);
    }
    other
}

fn against(
    gauged: &Gauged,
    scenario: &Scenario,
    setup: &Setup,
    outcome: &Measures,
    comes: &mut Comes,
) {
    taken(gauged.taken, scenario, setup, outcome, comes);
    comes.against(gauged.taper, outcome.taper, [0.0; 2]);
    comes.against(
        gauged.waves,
        outcome.waves,
        [0.0, MODEL_SHARE * outcome.set],
    );
}

/// What a pass took: touched off and dialled by hand.
fn taken(
    measured: Option<Measured>,
    scenario: &Scenario,
    setup: &Setup,
    outcome: &Measures,
    comes: &mut Comes,
) {
    if measured.is_some() {
        let by_hand = Steady::new(scenario, setup).scatter(outcome.set);
        comes.against(
            measured,
            outcome.taken,
            [by_hand, MODEL_SHARE * outcome.set],
        );
    }
}
