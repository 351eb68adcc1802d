//! The steps of lathes abreast: what the edges meet, what is remembered of the turns before, and
//! where the slides come to rest.

use crate::balance::{Ahead, Clamped};
use crate::cut::load::Felt;
use crate::cut::turn::LAWS_KEPT;
use crate::cutting::{ForceLaw, Pieces};
use crate::lanes::Lanes;

use super::Each;
use super::hardness::Hardness;
use super::notes::{Sample, Turn};
use super::surface::Path;

/// Of which lathes something holds.
pub(super) type Which = <Each as Lanes>::Mask;

/// Nothing on any lathe.
pub(super) const ZERO: Each = Each::ZERO;

/// Room for the steps of a turn and of a pass, and what is remembered of the turns before.
#[derive(Default)]
pub(super) struct Steps {
    pub(super) lines: Vec<Line>,
    pub(super) felt: Vec<Felt<Each>>,
    /// The steps and lanes at which the load is to be looked at anew.
    pub(super) asked: Vec<(usize, usize)>,
    /// The load of each step, and the bounds.
    pub(super) looks: Vec<Look>,
    pub(super) fields: Hardness,
    /// Whether the whole edge is in the cut at all steps, as written down.
    pub(super) whole: bool,
    pub(super) turn: Turn,
    pub(super) path: Path,
    pub(super) samples: Vec<Sample>,
    pub(super) pieces: Vec<Pieces>,
}

/// One line along the work: what the edges meet there this turn, and what is remembered of the
/// turns before.
#[derive(Clone, Copy, Default)]
pub(super) struct Line {
    pub(super) surface: Each,
    /// What the edges left a turn ago and before that, and where they are to be expected.
    pub(super) turn_ago: Each,
    pub(super) before: Each,
    pub(super) near: Each,
    /// Over the table's.
    pub(super) hardness: Each,
    /// Share of the edge that is between the work's ends, and of that what slots leave.
    pub(super) inside: Each,
    pub(super) engaged: Each,
    /// Which way the slides moved a turn ago, and for how many turns they have.
    pub(super) way: Each,
    pub(super) held: Each,
}

/// The load of a step as it is felt near where the edge is to be expected, and the bound of a slide
/// that goes on as a turn ago.
#[derive(Clone, Copy)]
pub(super) struct Look {
    pub(super) push: [Each; 3],
    pub(super) limit: [Each; 3],
    pub(super) ahead: Ahead<Each>,
}

impl Steps {
    /// For a pass with so many steps a turn.
    pub(super) fn begin(&mut self, per_turn: usize, law: &ForceLaw) -> usize {
        self.lines.clear();
        self.lines.resize(per_turn, Line::default());
        self.felt.clear();
        self.felt.resize(per_turn, Felt::nowhere());
        let nowhere = Look {
            push: [ZERO; 3],
            limit: [ZERO; 3],
            ahead: Ahead {
                by: ZERO,
                position: ZERO,
                sure: ZERO.simd_ne(ZERO),
            },
        };
        self.looks.resize(per_turn, nowhere);
        self.turn.resize(per_turn);
        self.fields.begin(per_turn);
        self.whole = false;
        self.samples.clear();
        match self.pieces.iter().position(|pieces| pieces.fit(law)) {
            Some(kept) => kept,
            None => {
                self.pieces.truncate(LAWS_KEPT - 1);
                self.pieces.insert(0, Pieces::new(law));
                0
            }
        }
    }

    /// Takes in the edges' heights a turn ago, and carries them on from one, two and three turns
    /// ago: as long as a slide has moved the same way, up to the change of their change.
    pub(super) fn look_back(&mut self, turns: usize) {
        if turns == 0 {
            for line in &mut self.lines {
                // Uncut: what stands there is what a turn ago left.
                line.turn_ago = line.surface;
            }
            return;
        }
        let carried_on = turns >= 3;
        for (line, &last) in self.lines.iter_mut().zip(&self.turn.edge) {
            let (before, third) = (line.turn_ago, line.before);
            (line.turn_ago, line.before) = (last, before);
            line.near = last;
            if carried_on {
                let change = last - before;
                let of_change = change - (before - third);
                let once = change.select(line.held.simd_ge(Each::splat(2.0)), ZERO);
                let twice = of_change.select(line.held.simd_ge(Each::splat(3.0)), ZERO);
                line.near = last + once + twice;
            }
        }
    }
}

/// Where the slides come to rest at a step.
#[derive(Clone, Copy)]
pub(super) struct Rest {
    pub(super) slide: Each,
    pub(super) edge: Each,
    /// Of tool and preload together, N.
    pub(super) push: Each,
    pub(super) drag: Each,
    pub(super) drive: Each,
    /// Which way they moved.
    pub(super) way: Each,
}

impl Rest {
    /// Of nothing known yet.
    pub(super) fn at(slide: Each, edge: Each) -> Self {
        Self {
            slide,
            edge,
            push: ZERO,
            drag: ZERO,
            drive: ZERO,
            way: ZERO,
        }
    }

    #[inline(always)]
    pub(super) fn new(edge: Each, at: &Clamped<Each>) -> Self {
        Self {
            slide: at.position,
            edge,
            push: at.push,
            drag: at.limit,
            drive: at.drive,
            way: at.way,
        }
    }

    pub(super) fn or(self, so: Which, other: Self) -> Self {
        Self {
            slide: self.slide.select(so, other.slide),
            edge: self.edge.select(so, other.edge),
            push: self.push.select(so, other.push),
            drag: self.drag.select(so, other.drag),
            drive: self.drive.select(so, other.drive),
            way: self.way.select(so, other.way),
        }
    }
}
