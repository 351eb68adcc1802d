//! Room for the arrays of a run, kept from pass to pass and from run to run: nothing of what a run
//! comes to depends on it.

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

impl Room {
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
