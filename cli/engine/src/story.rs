//! What a finished piece tells: stories of one trouble each, cut on lathes like the one described and
//! held against it.

use tautway_sim::piece::{Bank, Cause, Diagnosis, Look, diagnose, look};
use tautway_sim::scenario::Scenario;
use tautway_sim::scenario::finished::Piece;
use tautway_sim::setup::Setup;

use crate::hands::{Hands, NoAnswer};

/// Pieces cut with each trouble where nothing else is asked for.
pub const CUTS: u64 = 150;

/// What was found.
pub struct Story {
    /// How it was cut.
    pub setup: Setup,
    /// Which troubles are likely.
    pub diagnosis: Diagnosis,
    /// What tells the first two apart.
    pub look: Option<Look>,
}

/// Cuts so many pieces with each trouble and weighs them.
///
/// # Errors
/// No such way, a range that makes no distribution, nothing gauged, or a stop.
pub fn weigh(
    scenario: &Scenario,
    piece: &Piece,
    cuts: u64,
    seed: u64,
    hands: &impl Hands,
) -> Result<Story, NoAnswer> {
    let input = |words: &str| NoAnswer::Input(words.to_owned());
    let way = piece.gauged.way(scenario);
    let setup = way.ok_or_else(|| input("no such way can cut this work"))?;
    let bank = Bank::new(scenario, setup, piece, seed)?;
    let wanted: Vec<(Cause, u64)> = bank
        .causes()
        .flat_map(|cause| (1..=cuts).map(move |number| (cause, number)))
        .collect();
    let doing = "cutting pieces with one trouble each";
    let (made, stopped) = hands.trials(doing, wanted.len() as u64, |numbers| {
        let these = &wanted[numbers.start as usize - 1..numbers.end as usize - 1];
        let cut = |(cause, number): &(Cause, u64)| bank.cut(*cause, *number);
        these.iter().map(cut).collect()
    });
    if stopped {
        return Err(NoAnswer::Stopped(format!(
            "stopped after {} of {} pieces: nothing can be told from a part of the stories",
            made.len(),
            wanted.len()
        )));
    }
    let diagnosis = diagnose(scenario, &setup, piece, &made).ok_or_else(|| {
        input("nothing was gauged on the piece\n  help: `tautway help piece` shows such a file")
    })?;
    let look = look(&diagnosis, &made);
    Ok(Story {
        setup,
        diagnosis,
        look,
    })
}
