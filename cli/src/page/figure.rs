//! The figures that the command line writes, one at a time, for the page to show.

use tautway_figures::{Drawing, cut_beside, lost_motion, surfaces};

use super::answer::Answered;
use super::picture;
use tautway_screens::screen;

/// One figure of an answer by its name; none where there is no such figure or nothing to draw.
pub fn named(answered: &Answered, name: &str) -> Option<Drawing> {
    let units = answered.units();
    match name {
        "plan" => Some(picture::plan(&answered.scenario, &answered.chosen)),
        "cut" => {
            // On one scale, whichever way is looked at.
            let ran: Vec<_> = answered.comparison.feasible().collect();
            let runs: Vec<_> = ran.iter().filter_map(|way| way.run.as_ref()).collect();
            Some(cut_beside(answered.chosen.run.as_ref()?, &runs, units))
        }
        "lost-motion" => Some(lost_motion(&answered.chosen.run.as_ref()?.reversal, units)),
        "surfaces" => {
            let ran: Vec<_> = answered
                .comparison
                .feasible()
                .filter_map(|way| Some((screen::name_of(&way.setup), way.run.as_ref()?)))
                .collect();
            (!ran.is_empty()).then(|| surfaces(&ran, units))
        }
        _ => None,
    }
}
