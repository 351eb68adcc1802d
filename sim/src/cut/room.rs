//! Room for the arrays of a run, kept from pass to pass and from run to run: nothing of what a run
//! comes to depends on it.

use std::cell::Cell;

use crate::cutting::ForceLaw;
use crate::record::TurnSample;

use super::Finished;
use super::abreast::AbreastRoom;
use super::turn::Turn;

/// Room for the arrays of a run.
#[derive(Default)]
pub struct Room {
    turn: Option<Turn>,
    pub(super) abreast: AbreastRoom,
    /// The edge's height at each step of a pass.
    pub(super) edges: Vec<f64>,
    /// What the surface keeps of it.
    pub(super) heights: Vec<f64>,
    /// What each turn leaves.
    pub(super) left: Vec<f64>,
    /// The surface itself.
    pub(super) surface: Vec<f64>,
    /// Samples of the turns.
    pub(super) turns: Vec<TurnSample>,
}

thread_local! {
    /// This thread's, while nobody has it.
    static OF_THREAD: Cell<Option<Room>> = const { Cell::new(None) };
}

impl Room {
    /// Lends this thread's room.
    pub fn of_thread<T>(to: impl FnOnce(&mut Self) -> T) -> T {
        let mut room = OF_THREAD.take().unwrap_or_default();
        let made = to(&mut room);
        OF_THREAD.set(Some(room));
        made
    }

    /// For the turns of a pass.
    pub(super) fn turn(&mut self, steps: usize, law: &ForceLaw) -> Turn {
        match self.turn.take() {
            Some(mut turn) if turn.steps() == steps => {
                turn.begin(law);
                turn
            }
            _ => Turn::new(steps, law),
        }
    }

    /// Takes it back.
    pub(super) fn keep(&mut self, turn: Turn) {
        self.turn = Some(turn);
    }

    /// Takes back the arrays of a run that nobody asks any more.
    pub fn clear(&mut self, finished: Finished) {
        let Finished {
            passes,
            standing,
            last_path,
            ..
        } = finished;
        self.surface = standing.into_heights();
        self.heights = last_path.heights;
        if let Some(pass) = passes.into_iter().next_back() {
            self.turns = pass.turns;
        }
    }
}
