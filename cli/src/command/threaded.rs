//! A job's thread, for every command that tells of it: the ways cut, the best tried on many lathes.

use tautway_sim::cut::Options;
use tautway_sim::quantity::Units;
use tautway_sim::scenario::Scenario;
use tautway_sim::spread::PropagationFault;
use tautway_sim::thread::{
    LikelyFault, Moves, ThreadLikely, ThreadWay, Threading, likely, moves, threading,
};

use crate::failure::Failure;
use crate::interrupt;
use crate::progress::Progress;
use tautway_screens::screen::ThreadTold;

/// What was found of a thread.
pub struct Threaded {
    /// The ways.
    pub found: Threading,
    /// The best on many lathes; none where none were asked for, or nothing can be cut.
    pub likely: Option<ThreadLikely>,
    /// What was assumed and moves the depth.
    pub moves: Vec<Moves>,
}

impl Threaded {
    /// Cuts the thread in every way and tries the best on so many lathes; none where the job tells of
    /// no thread.
    ///
    /// # Errors
    /// A range that makes no distribution, or too few lathes.
    pub fn of(scenario: &Scenario, options: Options, lathes: u64) -> Result<Option<Self>, Failure> {
        let Some(found) = threading(scenario, options) else {
            return Ok(None);
        };
        let best = found.best();
        let likely = match best {
            Some(best) if lathes > 0 => Some(tried(scenario, best, options, lathes)?),
            _ => None,
        };
        let moves = best.map_or(Vec::new(), |best| {
            let _progress = Progress::start("trying what was assumed");
            moves(scenario, best, options)
        });
        Ok(Some(Self {
            found,
            likely,
            moves,
        }))
    }

    /// What is told of it.
    pub fn told<'a>(
        &'a self,
        scenario: &'a Scenario,
        units: Units,
        detail: bool,
    ) -> ThreadTold<'a> {
        ThreadTold {
            scenario,
            found: &self.found,
            likely: self.likely.as_ref(),
            moves: &self.moves,
            units,
            detail,
        }
    }

    /// Whether the lathes tried are those made before a stop.
    pub fn stopped(&self) -> bool {
        self.likely.as_ref().is_some_and(|tried| tried.stopped)
    }

    /// Whether the drawing is expected to be met: by the middle of every range, and on more than half
    /// of the lathes tried.
    pub fn met(&self) -> bool {
        let best = self.found.best().and_then(|best| best.run.as_ref());
        let likely = self.likely.as_ref();
        best.is_some_and(|run| run.verdict.met() && likely.is_none_or(|tried| tried.met > 0.5))
    }
}

/// The way on many lathes.
fn tried(
    scenario: &Scenario,
    best: &ThreadWay,
    options: Options,
    lathes: u64,
) -> Result<ThreadLikely, Failure> {
    interrupt::note("the ways were cut, not yet the lathes tried; nothing was written".to_owned());
    let progress = Progress::start("trying lathes");
    let _gently = interrupt::gently();
    let mut go_on = |done: u64| {
        progress.tell(format!("trying lathes, {done} of {lathes}"));
        !interrupt::asked()
    };
    likely(scenario, best, options, lathes, &mut go_on).map_err(|fault| match fault {
        LikelyFault::Range(_) | LikelyFault::Trials(PropagationFault::Coverage { .. }) => {
            Failure::Input(fault.to_string())
        }
        LikelyFault::Trials(_) => Failure::Stopped(fault.to_string()),
    })
}
