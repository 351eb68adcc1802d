//! What changes to lathe, tool and way of cutting buy, tried on lathes like the one described.

use tautway_sim::advice::catalogue::changes;
use tautway_sim::advice::change::{Arrangement, Change};
use tautway_sim::advice::gain::{Bought, Tryout};
use tautway_sim::compare::Way;
use tautway_sim::cut::Options;
use tautway_sim::quantity::Units;
use tautway_sim::scenario::Scenario;
use tautway_sim::study::PER_TURN;
use tautway_sim::worth::{Before, holds};

use crate::hands::{Hands, NoAnswer};

/// Lathes tried where nothing else is asked for.
pub const LATHES: u64 = 100;

/// What was found.
pub struct Changed {
    /// The changes.
    pub changes: Vec<Change>,
    /// What they buy.
    pub bought: Bought,
    /// Whether the lathes are those tried before a stop.
    pub stopped: bool,
}

/// Why a way is nothing to start from, and what to do about it.
pub fn cannot(way: &Way, units: Units) -> Option<[String; 2]> {
    if let Some(reason) = way.out.first() {
        return Some([
            format!("this way can't be cut: {}", reason.words(units)),
            "`tautway compare` tells the others".to_owned(),
        ]);
    }
    way.forbidden.then(|| {
        [
            "this way's preload is never to be used".to_owned(),
            "Turn it round or take it off first; `tautway preload` says how".to_owned(),
        ]
    })
}

/// Tries every change that applies to a way, or `own` alone, on so many lathes; with `pairs` every
/// two that go together.
///
/// # Errors
/// A range that makes no distribution, or a stop before enough lathes were tried.
pub fn weigh(
    scenario: &Scenario,
    way: &Way,
    own: Option<Change>,
    (trials, pairs): (u64, bool),
    options: Options,
    hands: &impl Hands,
) -> Result<Changed, NoAnswer> {
    let now = Arrangement {
        scenario: scenario.clone(),
        setup: way.setup,
        by_hand: false,
    };
    let options = Options {
        per_turn: PER_TURN,
        ..options
    };
    let list = match own {
        Some(change) => vec![change],
        None => hands.work("looking for what applies", || {
            holds(&now, options).map(|hold| changes(&now, hold, options))
        })?,
    };
    let tryout = Tryout::new(&now, list, pairs, options)?;
    let doing = "trying the changes on lathes like this one";
    let (cuts, stopped) = hands.trials(doing, trials, |numbers| tryout.trials(numbers));
    let mut bought = tryout.bought(&cuts)?;
    if let (Some(expect), false) = (&way.expect, stopped) {
        hands.work("weighing what each change saves", || {
            let before = Before::new(&now, expect, options)?;
            for (tried, change) in bought.tried.iter_mut().zip(&tryout.changes) {
                tried.saved = before.saved(change)?;
            }
            Ok::<_, NoAnswer>(())
        })?;
    }
    Ok(Changed {
        changes: tryout.changes,
        bought,
        stopped,
    })
}
