//! What is kept from turn to turn: what the edges meet on each meridian, the expansion of the load
//! there, and where the slides came to rest.

use crate::balance::SlipLimit;
use crate::cut::load::LoadExpansion;
use crate::cutting::{ForceLaw, ForceTable};
use crate::lanes::{Eight, Layout, nowhere};
use crate::surface::{Envelope, Path};

use super::hardness::Hardness;
use super::step::{Meridian, Rest, StepLoad, ZERO};
use super::turn::{Sample, Turn};

/// Laws whose tables are kept: of roughing and finishing, feeding in and out.
const LAWS_KEPT: usize = 4;

/// Room for a pass and its turns.
#[derive(Default)]
pub(crate) struct Memory<L> {
    /// By block, as all that follows.
    pub(super) meridians: Vec<Meridian>,
    pub(super) felt: Vec<LoadExpansion<Eight>>,
    pub(super) loads: Vec<StepLoad>,
    /// The blocks and lanes at which the law is to be asked again.
    pub(super) asked: Vec<(usize, usize)>,
    /// The blocks that are expanded only once the law has been asked.
    pub(super) late: Vec<usize>,
    pub(super) hardness: Hardness,
    /// Share of each meridian's width that is metal; empty where all is.
    pub(super) metal: Vec<Eight>,
    /// Whether the whole edge is in the cut at all steps, as written down.
    pub(super) whole: bool,
    pub(super) turn: Turn,
    pub(super) samples: Vec<Sample<L>>,
    pub(super) tables: Vec<ForceTable>,
    pub(super) undo: Undo,
    pub(crate) path: Path<L>,
    pub(super) envelope: Envelope<L>,
}

/// What a turn changes before it is known whether it can be taken whole.
#[derive(Default)]
pub(super) struct Undo {
    pub(super) wanted: bool,
    felt: Vec<(usize, LoadExpansion<Eight>)>,
    /// Way and for how many turns.
    ways: Vec<(usize, Eight, Eight)>,
}

impl<L: Layout> Memory<L> {
    /// For a pass with so many steps a turn; returns the number of the law's table.
    pub(super) fn begin(
        &mut self,
        per_turn: usize,
        law: &ForceLaw,
        metal: Option<&[f64]>,
    ) -> usize {
        let blocks = L::blocks(per_turn);
        self.meridians.clear();
        self.meridians.resize(blocks, Meridian::default());
        self.felt.clear();
        self.felt.resize(blocks, LoadExpansion::nowhere());
        let none = StepLoad {
            push: [ZERO; 3],
            limit: [ZERO; 3],
            slip_limit: SlipLimit {
                by: ZERO,
                position: ZERO,
                sure: nowhere(),
            },
        };
        self.loads.resize(blocks, none);
        self.turn.begin(blocks);
        self.hardness.begin(blocks);
        self.metal.clear();
        if let Some(metal) = metal {
            self.metal
                .extend((0..blocks).map(|block| L::alike(metal, block)));
        }
        self.whole = false;
        self.samples.clear();
        match self.tables.iter().position(|table| table.fit(law)) {
            Some(kept) => kept,
            None => {
                self.tables.truncate(LAWS_KEPT - 1);
                self.tables.insert(0, ForceTable::new(law));
                0
            }
        }
    }

    /// Keeps a block's expansion as it was before a step of it was resolved, where the turn may have
    /// to be taken back.
    #[inline(always)]
    pub(super) fn keep(&mut self, block: usize) {
        let kept = &mut self.undo.felt;
        if self.undo.wanted && kept.last().is_none_or(|(last, _)| *last != block) {
            kept.push((block, self.felt[block]));
        }
    }

    /// Writes down where the slides came to rest at a step and which way they moved, and for how
    /// many turns they have: `held` so far, if `told` by the expansion to go the same way.
    #[inline(always)]
    pub(super) fn put(&mut self, step: usize, found: &Rest<L>, told: L::Mask) {
        let block = step / L::STEPS;
        let kept = &mut self.meridians[block];
        if self.undo.wanted {
            self.undo.ways.push((block, kept.way, kept.held));
        }
        let same = told & found.way.simd_eq(L::at(kept.way, step));
        let held = L::at(kept.held, step).select(same, L::zero());
        held.put(&mut kept.held, step);
        found.way.put(&mut kept.way, step);
        self.turn.rests[block].put(step, found);
    }

    /// From here on what is kept can be taken back.
    pub(super) fn mark(&mut self) {
        self.undo.wanted = true;
        self.undo.felt.clear();
        self.undo.ways.clear();
    }

    /// Takes back all since [`Memory::mark`].
    pub(super) fn take_back(&mut self) {
        while let Some((block, felt)) = self.undo.felt.pop() {
            self.felt[block] = felt;
        }
        while let Some((block, way, held)) = self.undo.ways.pop() {
            let meridian = &mut self.meridians[block];
            (meridian.way, meridian.held) = (way, held);
        }
    }
}
