//! The passes of one lathe, roughing first, or of several side by side; room for their arrays is
//! kept from run to run, and nothing of what a run comes to depends on it.

use std::cell::Cell;

use std::cell::RefCell;

use crate::arithmetic::max;
use crate::lanes::{Eight, Lanes, Layout};
use crate::quantity::Quantity;
use crate::record::{PassRecord, Roughing};
use crate::surface::{EdgePath, Surface, Traced};

use super::inertia::Ridden;
use super::march::{Expansions, MachineBatch, Made, Memory};
use super::operation::{GAUGE_BAND, Operation, PassKind, Plan};

/// Extra roughing passes at the same dial before the roughing is taken as it is.
const EXTRA_ROUGHING: usize = 6;
/// A roughed surface is even when it strays by less than this share of the finishing stock.
const EVEN_SHARE: f64 = 0.3;

/// The work after its last pass.
#[derive(Clone, Debug)]
pub struct Finished {
    /// Every pass, in order.
    pub passes: Vec<PassRecord>,
    /// Position in `passes` of the last pass with a set depth.
    pub last_set: usize,
    /// The surface that stands, mean between feed marks.
    pub surface: Surface,
    /// The edge's path of the last pass, for the feed marks.
    pub last_path: EdgePath,
    /// How the roughing went.
    pub roughing: Roughing,
    /// How the last pass with a set depth went with the slide's mass, if it was made so.
    pub ridden: Option<Ridden>,
}

/// Room for the arrays of a run.
#[derive(Default)]
pub struct Scratch {
    one: LayoutScratch<f64>,
    eight: LayoutScratch<Eight>,
}

/// Of one lathe, or of several side by side.
#[derive(Default)]
struct LayoutScratch<L> {
    surface: Surface<L>,
    memory: Memory<L>,
}

thread_local! {
    /// This thread's, while nobody has it.
    static OF_THREAD: Cell<Option<Scratch>> = const { Cell::new(None) };
}

impl Scratch {
    /// Lends this thread's scratch.
    pub fn of_thread<T>(to: impl FnOnce(&mut Self) -> T) -> T {
        let mut scratch = OF_THREAD.take().unwrap_or_default();
        let made = to(&mut scratch);
        OF_THREAD.set(Some(scratch));
        made
    }

    /// Takes back the arrays of a run that nobody asks any more.
    pub fn clear(&mut self, finished: Finished) {
        self.one.surface = finished.surface;
        self.one.memory.path.heights = finished.last_path.heights;
    }
}

impl Operation<'_> {
    /// Makes every pass, roughing first.
    ///
    /// Where roughing this way doesn't leave an even stock, finishing starts from an even one,
    /// as after roughing another way: the finishing passes of all ways can then be compared.
    pub fn run(&self) -> Finished {
        if self.stock.is_roughed() && self.stock.roughing().is_none() {
            return self.run_finishing();
        }
        let scratch = &mut Scratch::default();
        let lathe = MachineBatch::new(std::slice::from_ref(self));
        let mut passes = Vec::new();
        self.begin(&lathe, &mut scratch.one);
        scratch.one.surface.lay(|z| self.stock.blank(z));
        let roughing = self.rough(&lathe, &mut scratch.one, &mut passes);
        if roughing.came_even {
            lathe.size(&mut scratch.one.surface);
        } else {
            self.begin(&lathe, &mut scratch.one);
            lathe.lay_to_finish(&mut scratch.one.surface);
        }
        self.finish(&lathe, roughing, passes, scratch)
    }

    /// Makes the finishing passes alone, from an even stock.
    pub fn run_finishing(&self) -> Finished {
        self.run_finishing_in(&mut Scratch::default())
    }

    /// The same, in scratch that is there already.
    pub fn run_finishing_in(&self, scratch: &mut Scratch) -> Finished {
        let lathe = MachineBatch::new(std::slice::from_ref(self));
        self.begin(&lathe, &mut scratch.one);
        lathe.lay_to_finish(&mut scratch.one.surface);
        self.finish(&lathe, Roughing::NONE, Vec::new(), scratch)
    }

    /// A round of the blank's run-out and out-of-round, to be laid along the work.
    fn begin<L: Layout>(&self, lathes: &MachineBatch<'_, L>, scratch: &mut LayoutScratch<L>) {
        let round = (0..self.options.per_turn).map(|line| lathes.blank(line));
        let (length, spacing) = (self.stock.length, self.spacing());
        let metal = self.metal.as_deref();
        scratch.surface.begin(length, spacing, round, metal);
    }

    /// Roughing: dialled from a touch on the blank, until the finishing stock is left.
    fn rough(
        &self,
        lathe: &MachineBatch<'_, f64>,
        scratch: &mut LayoutScratch<f64>,
        records: &mut Vec<PassRecord>,
    ) -> Roughing {
        let Some(dialled) = self.stock.roughing() else {
            return Roughing::NONE;
        };
        let guide = -dialled.stock - self.approach.stands();
        let (planned, set) = (dialled.passes, dialled.set);
        let plan = Plan {
            kind: PassKind::Rough,
            set,
            feed: self.scenario.job.passes.rough_feed.si(),
            with_inertia: false,
            finishing: None,
        };
        let LayoutScratch { surface, memory } = scratch;
        for n in 1..=planned {
            let made = lathe.pass(plan, guide + set * n as f64, surface, memory);
            records.push(made.record(0, n));
        }
        // As everyone does: again at the same dial while it still takes metal.
        let again = Plan { set: 0.0, ..plan };
        let even = EVEN_SHARE * self.stock.to_finish;
        let mut extra = 0;
        while extra < EXTRA_ROUGHING && self.unevenness_of(lathe, surface) > even {
            let made = lathe.pass(again, guide + set * planned as f64, surface, memory);
            records.push(made.record(0, records.len() + 1));
            extra += 1;
        }
        let left = self.unevenness_of(lathe, surface);
        Roughing {
            planned,
            extra,
            left,
            came_even: left <= even,
        }
    }

    /// How far the surface strays from its height at the gauge plane, m.
    fn unevenness_of(&self, lathe: &MachineBatch<'_, f64>, surface: &Surface) -> f64 {
        let mean = surface.mean();
        let gauge = lathe.gauged(surface);
        let skip = (GAUGE_BAND / surface.spacing()) as usize;
        let inner = &mean[skip.min(mean.len() / 4)..mean.len() - skip.min(mean.len() / 4)];
        inner.iter().map(|h| (h - gauge).abs()).fold(0.0, max)
    }

    /// Finishing, and all that is told of one lathe.
    fn finish(
        &self,
        lathe: &MachineBatch<'_, f64>,
        roughing: Roughing,
        mut passes: Vec<PassRecord>,
        scratch: &mut Scratch,
    ) -> Finished {
        let first = passes.len();
        let mut ridden = None;
        lathe.finish(&mut scratch.one, as_set, |n, made| {
            passes.push(made.record(0, first + n + 1));
            if made.plan.kind == PassKind::Finish {
                ridden = made.ridden;
            }
        });
        let LayoutScratch { surface, memory } = &mut scratch.one;
        let path = &mut memory.path;
        Finished {
            passes,
            last_set: first + self.scenario.job.passes.finish.len().saturating_sub(1),
            surface: std::mem::take(surface),
            last_path: EdgePath {
                heights: std::mem::take(&mut path.heights),
                start: path.start,
                direction: self.setup.feed.sign(),
                per_turn: self.options.per_turn,
                shape: self.shape(self.scenario.job.passes.feed.si()),
            },
            roughing,
            ridden,
        }
    }
}

/// Lathes side by side.
pub const BATCH: usize = Eight::LANES;

/// What gauges are put to: the surface, and the last pass with a set depth.
#[derive(Clone, Debug)]
pub struct Turned {
    /// The surface that stands.
    pub traced: Traced,
    /// The pass.
    pub last: PassRecord,
}

/// Makes the finishing passes of up to [`BATCH`] lathes from an even stock, without the slide's
/// mass; the operations are ways alike of jobs alike, of as many steps a turn.
///
/// # Panics
/// Without an operation, or with too many.
pub fn finish_batch(operations: &[Operation<'_>], scratch: &mut Scratch) -> Vec<Turned> {
    let (lathes, scratch) = laid(operations, scratch);
    let last_set = operations[0].scenario.job.passes.finish.len() - 1;
    let mut last = Vec::new();
    lathes.finish(scratch, as_set, |n, made| {
        if n == last_set {
            last = records(made, operations.len(), n + 1);
        }
    });
    turned(&scratch.surface, last)
}

/// The same, with the work gauged before the last pass with a set depth: `between` is told of each
/// lathe's work as it then stands, and says how much further than set its dial is turned, m.
///
/// # Panics
/// Without an operation, with too many, or with fewer than two passes.
pub fn finish_gauged(
    operations: &[Operation<'_>],
    scratch: &mut Scratch,
    between: impl FnOnce(Vec<Turned>) -> Vec<f64>,
) -> Vec<Turned> {
    let (lathes, scratch) = laid(operations, scratch);
    let last_set = operations[0].scenario.job.passes.finish.len() - 1;
    assert!(last_set > 0, "a pass to gauge after, and one more");
    let last = RefCell::new(Vec::new());
    let mut between = Some(between);
    let gauged = |n: usize, surface: &Surface<Eight>| match between.take_if(|_| n == last_set) {
        None => Eight::splat(0.0),
        Some(between) => {
            let more = between(turned(surface, last.take()));
            Eight::gather(|i| more[i.min(more.len() - 1)])
        }
    };
    lathes.finish(scratch, gauged, |n, made| {
        if n + 1 == last_set || n == last_set {
            last.replace(records(made, operations.len(), n + 1));
        }
    });
    turned(&scratch.surface, last.into_inner())
}

/// Lathes side by side, and their work with the even stock on it.
fn laid<'a, 's>(
    operations: &'a [Operation<'a>],
    scratch: &'s mut Scratch,
) -> (MachineBatch<'a, Eight>, &'s mut LayoutScratch<Eight>) {
    assert!(
        (1..=BATCH).contains(&operations.len()),
        "one to {BATCH} lathes"
    );
    let lathes = MachineBatch::<Eight>::new(operations);
    let scratch = &mut scratch.eight;
    operations[0].begin(&lathes, scratch);
    lathes.lay_to_finish(&mut scratch.surface);
    (lathes, scratch)
}

/// The dial is set as the passes say.
fn as_set<L: Layout>(_: usize, _: &Surface<L>) -> L {
    L::splat(0.0)
}

/// The pass of each of so many lathes.
fn records(made: &Made<'_, Eight>, lathes: usize, number: usize) -> Vec<PassRecord> {
    (0..lathes).map(|i| made.record(i, number)).collect()
}

fn turned(surface: &Surface<Eight>, last: Vec<PassRecord>) -> Vec<Turned> {
    let both = surface.traced().into_iter().zip(last);
    both.map(|(traced, last)| Turned { traced, last }).collect()
}

impl<L: Expansions> MachineBatch<'_, L> {
    /// Lays an even stock along the work, as it is measured at the gauge plane.
    fn lay_to_finish(&self, surface: &mut Surface<L>) {
        let depth = L::splat(self.first().stock.to_finish);
        let even = -depth - self.gauged(surface);
        surface.lay_even(even);
    }

    /// Sets the size anew: the surface is measured at the gauge plane.
    fn size(&self, surface: &mut Surface<L>) {
        let depth = L::splat(self.first().stock.to_finish);
        let by = -depth - self.gauged(surface);
        surface.shift(by);
    }

    /// Finishing: the edge touched off anew after the run-in, the passes and spring passes made;
    /// asked before each how much further than set the dial goes, told of each in turn.
    fn finish(
        &self,
        scratch: &mut LayoutScratch<L>,
        mut further: impl FnMut(usize, &Surface<L>) -> L,
        mut made: impl FnMut(usize, &Made<'_, L>),
    ) {
        let operation = self.first();
        let job = &operation.scenario.job.passes;
        let guide = self.touched_off - L::splat(operation.stock.to_finish) + self.rock;
        let last_set = job.finish.len().saturating_sub(1);
        let LayoutScratch { surface, memory } = scratch;
        let (mut dial, mut more) = (0.0, L::splat(0.0));
        let finish = job.finish.iter().map(|set| (PassKind::Finish, set.si()));
        let spring = (0..job.spring).map(|_| (PassKind::Spring, 0.0));
        for (n, (kind, set)) in finish.chain(spring).enumerate() {
            dial += set;
            let plan = Plan {
                kind,
                set,
                feed: job.feed.si(),
                with_inertia: n + 1 >= job.finish.len(),
                finishing: Some(n),
            };
            more += further(n, surface);
            let set = L::splat(dial) + more + self.dial_error(n, last_set);
            made(n, &self.pass(plan, guide + set, surface, memory));
        }
    }
}
